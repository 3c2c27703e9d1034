"""Runs, things and whole jobs as the objects of other libraries, for scripts of one's own.

What makes them needs those libraries and stands further on in the flow of data: `pipemodel.story` hands it in here,
and it is loaded when the first object is asked for.
"""

from collections.abc import Callable
from typing import Any

CHORD_MM = 0.05
"""How far a triangle may stray from the true surface, unless asked for otherwise."""


_made_by: Callable[[], Any] | None = None


def hand_in(load: Callable[[], Any]) -> None:
    """Say what returns the module that makes the objects (`solids.libraries`), each time one is asked for."""
    global _made_by
    _made_by = load


def _makers() -> Any:
    if _made_by is None:
        raise RuntimeError("nothing makes objects of other libraries yet: import pipemodel.story first")
    return _made_by()


class InLibraries:
    """What can be had as an object of another library, in mm and in its place in the room.

    A run or a thing of the room is one object. A schedule is all its runs and things, each under its own name; of two
    with one name the second has " (2)" after it. There a wall without end is a slab; alone it has no size, which
    raises a ValueError. A file of the room that cannot be read raises an OSError or a ValueError.
    """

    def cadquery(self) -> Any:
        """Return the exact solid as a `cadquery.Shape`, or all of a schedule as a coloured `cadquery.Assembly`."""
        return _makers().cadquery(self)

    def trimesh(self, chord_mm: float = CHORD_MM) -> Any:
        """Return the surface as a `trimesh.Trimesh`, or all of a schedule as a `trimesh.Scene`.

        Args:
            chord_mm: how far a triangle may stray from the true surface, mm.
        """
        return _makers().trimesh(self, chord_mm)

    def pyvista(self, chord_mm: float = CHORD_MM) -> Any:
        """Return the surface as a `pyvista.PolyData`, or all of a schedule as a `pyvista.MultiBlock`.

        Args:
            chord_mm: how far a triangle may stray from the true surface, mm.
        """
        return _makers().pyvista(self, chord_mm)
