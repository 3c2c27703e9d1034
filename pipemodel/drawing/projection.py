"""The views of a drawing: from where each is taken, and what of runs and room is seen in it."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import hypot
from typing import NamedTuple

from pipemodel.drawing.primitives import Point
from pipemodel.geometry.vectors import EAST, NORTH, UP, Vec3, cross, dot, scale, unit
from pipemodel.solids.outlines import Body
from pipemodel.solids.projected import Stroke, projected

SOUTH, WEST = scale(NORTH, -1.0), scale(EAST, -1.0)


@dataclass(frozen=True)
class View:
    """From where a view is taken, and what points up in it."""

    title: str
    toward_eye: Vec3
    up: Vec3

    @property
    def right(self) -> Vec3:
        """The direction that points right in the view."""
        return unit(cross(self.up, self.toward_eye))

    @property
    def upright(self) -> Vec3:
        """The direction that points up in the view, square to the line of sight."""
        return cross(unit(self.toward_eye), self.right)

    @property
    def isometric(self) -> bool:
        """Whether all three axes are seen shortened alike."""
        return all(abs(c) > 1e-9 for c in self.toward_eye)

    def flat(self, p: Vec3) -> Point:
        """Return where a point of the room lies on the view, mm of the room."""
        return (dot(p, self.right), dot(p, self.upright))


PLAN = View("plan, from above", UP, NORTH)
FRONTS = (View("from the south", SOUTH, UP), View("from the north", NORTH, UP))
SIDES = (View("from the west", WEST, UP), View("from the east", EAST, UP))
ISOMETRICS = (
    View("isometric, from the south-east", (1.0, -1.0, 1.0), UP),
    View("isometric, from the south-west", (-1.0, -1.0, 1.0), UP),
    View("isometric, from the north-east", (1.0, 1.0, 1.0), UP),
    View("isometric, from the north-west", (-1.0, 1.0, 1.0), UP),
)


MANY = 40
"""With more solids than this the views are taken from the usual sides, without looking for clearer ones."""


@dataclass(frozen=True)
class Solid:
    """A body to draw. `thing` names what it is of the room, "" for a run's tube.

    `facing` is given for a wall without end, drawn as a slab: the unit vector out of it.
    """

    body: Body
    thing: str = ""
    facing: Vec3 | None = None


@dataclass(frozen=True)
class Seen:
    """A view with its strokes, mm of the room; `body` of a stroke counts `solids`, `without` names what is left out."""

    view: View
    solids: tuple[Solid, ...]
    strokes: tuple[Stroke, ...]
    without: tuple[str, ...] = ()

    @property
    def hidden_mm(self) -> float:
        """How much of the tubes' outlines lies behind something."""
        return sum(_length(s) for s in self.strokes if not s.visible and not self.solids[s.body].thing)


class Views(NamedTuple):
    """The four views of a drawing."""

    front: Seen
    side: Seen
    plan: Seen
    isometric: Seen


def take_views(solids: Sequence[Solid], origin: Vec3) -> Views:
    """Take the four views of some solids, each elevation from the side that shows more of the tubes.

    Args:
        solids: what is looked at.
        origin: a point near them.
    """

    def clearest(views: tuple[View, ...]) -> Seen:
        return _clearest(views[:1] if len(solids) > MANY else views, solids, origin)

    return Views(clearest(FRONTS), clearest(SIDES), _see(PLAN, solids, origin), clearest(ISOMETRICS))


def _see(view: View, solids: Sequence[Solid], origin: Vec3) -> Seen:
    """Take a view. Walls without end that stand between the eye and the room are left out of it."""
    kept, without = [], []
    for solid in solids:
        if solid.facing is not None and dot(solid.facing, unit(view.toward_eye)) < -0.1:
            without.append(solid.thing)
        else:
            kept.append(solid)
    strokes = projected([solid.body for solid in kept], view.toward_eye, view.up, origin)
    return Seen(view, tuple(kept), tuple(strokes), tuple(without))


def _clearest(views: Sequence[View], solids: Sequence[Solid], origin: Vec3) -> Seen:
    """Take the view in which the least of the tubes is hidden; the first of those that are alike."""
    best: Seen | None = None
    for view in views:
        seen = _see(view, solids, origin)
        if best is None or seen.hidden_mm < 0.95 * best.hidden_mm:
            best = seen
        if best.hidden_mm == 0.0:
            break
    assert best is not None, "there is at least one view to choose from"
    return best


def _length(stroke: Stroke) -> float:
    return sum(hypot(q[0] - p[0], q[1] - p[1]) for p, q in zip(stroke.points, stroke.points[1:], strict=False))
