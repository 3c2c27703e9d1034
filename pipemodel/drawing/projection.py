"""The views of a drawing: from where each is taken, and what of runs and room is seen in it."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import hypot
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from pipemodel.bending.schedule import SolvedRun
from pipemodel.geometry.vectors import EAST, NORTH, UP, Vec3, dot, scale
from pipemodel.geometry.view import FlatPoint, View
from pipemodel.solids.outlines import Body
from pipemodel.solids.projected import Stroke, projected

if TYPE_CHECKING:
    from numpy.typing import NDArray

SOUTH, WEST = scale(NORTH, -1.0), scale(EAST, -1.0)


PLAN = View("plan, from above", UP, NORTH)
FRONTS = (View("from the south", SOUTH, UP), View("from the north", NORTH, UP))
SIDES = (View("from the west", WEST, UP), View("from the east", EAST, UP))
ISOMETRICS = (
    View("isometric, from the south-east", (1.0, -1.0, 1.0), UP),
    View("isometric, from the south-west", (-1.0, -1.0, 1.0), UP),
    View("isometric, from the north-east", (1.0, 1.0, 1.0), UP),
    View("isometric, from the north-west", (-1.0, 1.0, 1.0), UP),
)


PICTORIALS = tuple(
    tuple(View.standing(side * away, above) for above in (22.0, 35.0) for away in sides for side in (-1, 1))
    for sides in ((35.0, 55.0, 20.0, 70.0), (145.0, 125.0, 160.0, 110.0))
)
"""Views for pictures, from the south and from the north; none looks along an axis, or along the 45 degrees that sets
are often made with."""

BETTER = 0.02
FROM_SOUTH = 0.35
"""How much is given up for a view from the south, where east lies to the right as on a map."""
HIDDEN_WEIGHT = 4.0
COUNTED = (0.001, 0.25)
"""Gaps between points that make a difference, as parts of the paper."""
MOST_KEYS = 500
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
    def hidden(self) -> float:
        """How much of the tubes' outlines lies behind something, 0 to 1."""
        tubes = [(_length(s), s.visible) for s in self.strokes if not self.solids[s.body].thing]
        return sum(size for size, visible in tubes if not visible) / (sum(size for size, _ in tubes) or 1.0)


class Views(NamedTuple):
    """The four views of a drawing."""

    front: Seen
    side: Seen
    plan: Seen
    isometric: Seen


def take_views(solids: Sequence[Solid], keys: Sequence[Vec3]) -> Views:
    """Take the four views of some solids, each but the plan from the side that shows the tubes best.

    Args:
        solids: what is looked at.
        keys: the places of the tubes that must be told apart; at least one.
    """

    def best(views: tuple[View, ...]) -> Seen:
        if len(solids) > MANY:
            return see(views[0], solids, keys[0])
        seen = {view: see(view, solids, keys[0]) for view in views}
        return seen[best_view(views, keys, hidden={view: taken.hidden for view, taken in seen.items()})]

    return Views(best(FRONTS), best(SIDES), see(PLAN, solids, keys[0]), best(ISOMETRICS))


def key_points(runs: Sequence[SolvedRun]) -> list[Vec3]:
    """Return the places that must be told apart in a view: ends of the runs and middles of their bends."""
    points: list[Vec3] = []
    for run in runs:
        line = run.centreline
        points += [line.start, *(arc.point_at(arc.length / 2.0) for arc in line.arcs), line.finish]
    return points


def pictorial_view(keys: Sequence[Vec3], size: FlatPoint = (1.0, 1.0)) -> View:
    """Return from where a picture is best taken; see `best_view`. From the south, unless the north is much better."""
    return best_view([best_view(side, keys, size) for side in PICTORIALS], keys, size, FROM_SOUTH)


def best_view(
    views: Sequence[View],
    keys: Sequence[Vec3],
    size: FlatPoint = (1.0, 1.0),
    better: float = BETTER,
    hidden: Mapping[View, float] | None = None,
) -> View:
    """Return the view that shows tubes best: key points far apart on the paper, and little behind something.

    The measure is the mean, over the points, of the logarithm of how far each is from its nearest neighbour, less what
    is hidden. The first view is taken unless another is better by so much, so that a job is always seen from one side.

    Args:
        views: to choose from.
        keys: the points, mm; of very many, a part decides.
        size: width and height of the paper, in any unit, which the points are drawn to fill.
        better: how much.
        hidden: of each view, the share of the tubes' outlines that is hidden; nothing if left out.
    """
    points = np.array(keys[:: len(keys) // MOST_KEYS + 1], dtype=float)
    scores = [_apart(view, points, size) - HIDDEN_WEIGHT * (hidden[view] if hidden else 0.0) for view in views]
    best = 0
    for i, score in enumerate(scores):
        if score > scores[best] + better:
            best = i
    return views[best]


def _apart(view: View, points: "NDArray[np.float64]", size: FlatPoint) -> float:
    flat = points @ np.array([view.right, view.upright]).T
    fill = float((np.ptp(flat, axis=0) / size).max()) or 1.0
    gaps = np.linalg.norm(flat[:, None] - flat[None], axis=2) / fill / max(size)
    np.fill_diagonal(gaps, np.inf)
    return float(np.log(np.clip(gaps.min(axis=1), *COUNTED)).mean())


def see(view: View, solids: Sequence[Solid], origin: Vec3) -> Seen:
    """Take a view; walls without end that stand between the eye and the room are left out. `origin`: a point nearby."""
    kept, without = [], []
    for solid in solids:
        if solid.facing is not None and dot(solid.facing, view.eye) < -0.1:
            without.append(solid.thing)
        else:
            kept.append(solid)
    strokes = projected([solid.body for solid in kept], view, origin)
    return Seen(view, tuple(kept), tuple(strokes), tuple(without))


def _length(stroke: Stroke) -> float:
    return sum(hypot(q[0] - p[0], q[1] - p[1]) for p, q in zip(stroke.points, stroke.points[1:], strict=False))
