"""The CAD kernel, loaded once and quietly; every module that needs it takes its parts from here.

The kernel registers some hundred thousand Python objects when it loads. Left alone, the garbage collector
walks through them again and again while they come in, and once more when the process ends: a third of the
whole loading time. So collection waits while the kernel loads, and what is there afterwards is set aside
as permanent. Measured figures are in docs/benchmarks.md.
"""

import gc
from collections.abc import Iterator
from contextlib import contextmanager

from pipemodel.geometry.vectors import Vec3
from pipemodel.solids.missing import LibraryMissingError

_collecting = gc.isenabled()
gc.disable()
try:
    import OCP.TopoDS  # noqa: F401  the package itself gives the casts (`Face_s`) one name in every version
    from OCP import (
        TDF,
        BRep,
        BRepAdaptor,
        BRepBuilderAPI,
        BRepMesh,
        BRepPrimAPI,
        BRepTools,
        Geom,
        Geom2d,
        GeomAbs,
        IFSelect,
        Interface,
        Message,
        Poly,
        STEPCAFControl,
        STEPControl,
        TCollection,
        TDataStd,
        TDocStd,
        TopAbs,
        TopExp,
        TopLoc,
        TopoDS,
        XCAFDoc,
        gp,
    )
except ImportError as error:
    raise LibraryMissingError("kernel", str(error)) from error
finally:
    gc.freeze()
    if _collecting:
        gc.enable()

__all__ = [
    "TDF",
    "BRep",
    "BRepAdaptor",
    "BRepBuilderAPI",
    "BRepMesh",
    "BRepPrimAPI",
    "BRepTools",
    "Geom",
    "Geom2d",
    "GeomAbs",
    "IFSelect",
    "Interface",
    "Message",
    "Poly",
    "STEPCAFControl",
    "STEPControl",
    "TCollection",
    "TDataStd",
    "TDocStd",
    "TopAbs",
    "TopExp",
    "TopLoc",
    "TopoDS",
    "UnreadableError",
    "XCAFDoc",
    "gp",
    "pnt",
    "quiet",
    "way",
]


class UnreadableError(OSError):
    """A STEP file of the room that the kernel cannot read."""


@contextmanager
def quiet() -> Iterator[None]:
    """Keep the kernel from printing to the console while it reads or writes; what went wrong is in its answers."""
    messenger = Message.Message.DefaultMessenger_s()
    printers = list(messenger.Printers())
    for printer in printers:
        messenger.RemovePrinter(printer)
    try:
        yield
    finally:
        for printer in printers:
            messenger.AddPrinter(printer)


def pnt(p: Vec3) -> gp.gp_Pnt:
    """Return a point as the kernel has it."""
    return gp.gp_Pnt(*p)


def way(d: Vec3) -> gp.gp_Dir:
    """Return a direction as the kernel has it."""
    return gp.gp_Dir(*d)
