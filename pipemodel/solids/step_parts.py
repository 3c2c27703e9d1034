"""The parts of a STEP file, each with its name, as triangles."""

from collections.abc import Iterator
from io import BytesIO
from typing import NamedTuple

from pipemodel.geometry.arrays import Floats, Ints
from pipemodel.solids.kernel import (
    TDF,
    BRepMesh,
    IFSelect,
    STEPCAFControl,
    TCollection,
    TDataStd,
    TDocStd,
    TopLoc,
    TopoDS,
    UnreadableError,
    XCAFDoc,
    quiet,
)
from pipemodel.solids.step_facets import FLAT_RAD, faces_of, triangles_of_faces

MOST_PARTS = 100_000
_DEEPEST = 50


class ReadStepPart(NamedTuple):
    """A part of a STEP file: its name, its corners (n, 3) mm and faces (m, 3)."""

    name: str
    vertices: Floats
    faces: Ints


def step_parts(data: bytes, chord_mm: float) -> list[ReadStepPart]:
    """Return the parts of a STEP file, those of assemblies in their places.

    A damaged file can crash the kernel, so this is done in a child process (`processes.child`), never in the main one.

    Args:
        data: what is in the file.
        chord_mm: how far a triangle may stand off a curved face.

    Raises:
        UnreadableError: if the kernel cannot read it.
    """
    document = TDocStd.TDocStd_Document(TCollection.TCollection_ExtendedString("XmlXCAF"))
    reader = STEPCAFControl.STEPCAFControl_Reader()
    reader.SetNameMode(True)
    with quiet():
        status = reader.ReadStream("model.step", BytesIO(data))
        if status != IFSelect.IFSelect_RetDone or not reader.Transfer(document):
            raise UnreadableError("this is not a STEP file that can be read")
    tool = XCAFDoc.XCAFDoc_DocumentTool.ShapeTool_s(document.Main())
    roots = TDF.TDF_LabelSequence()
    tool.GetFreeShapes(roots)
    found = []
    for label in _each(roots):
        for name, shape in _leaves(label, TopLoc.TopLoc_Location(), _name(label), 0):
            with quiet():
                BRepMesh.BRepMesh_IncrementalMesh(shape, chord_mm, False, FLAT_RAD, False)
            found.append(ReadStepPart(name, *triangles_of_faces(faces_of(shape))))
            if len(found) > MOST_PARTS:
                raise UnreadableError(f"it has more than {MOST_PARTS} parts")
    return found


def _each(labels: TDF.TDF_LabelSequence) -> Iterator[TDF.TDF_Label]:
    for k in range(1, labels.Length() + 1):
        yield labels.Value(k)


def _leaves(
    label: TDF.TDF_Label, place: TopLoc.TopLoc_Location, name: str, level: int
) -> Iterator[tuple[str, TopoDS.TopoDS_Shape]]:
    """Yield the shapes that an assembly is put together of, each with its own name, in its place."""
    tool = XCAFDoc.XCAFDoc_ShapeTool
    if level > _DEEPEST:
        raise UnreadableError("its assemblies hold each other without end")
    if not tool.IsAssembly_s(label):
        yield name, tool.GetShape_s(label).Moved(place)
        return
    parts = TDF.TDF_LabelSequence()
    tool.GetComponents_s(label, parts)
    for part in _each(parts):
        referred = TDF.TDF_Label()
        tool.GetReferredShape_s(part, referred)
        own = _name(referred) or _name(part) or name
        yield from _leaves(referred, place * tool.GetLocation_s(part), own, level + 1)


def _name(label: TDF.TDF_Label) -> str:
    attribute = TDataStd.TDataStd_Name()
    if not label.FindAttribute(TDataStd.TDataStd_Name.GetID_s(), attribute):
        return ""
    return str(attribute.Get().ToExtString()).strip()
