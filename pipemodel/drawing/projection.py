"""The views of a drawing: from where each is taken, and what of runs and room is seen in it.

All views of a job are taken from the side on which the fitter stands (`standing.where_stands`): the elevation from
there, the plan with that side at the bottom, and whatever is seen at an angle from the two corners beside it.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from math import atan2, degrees, hypot
from typing import NamedTuple

import numpy as np

from pipemodel.bending.schedule import SolvedRun
from pipemodel.drawing.cut import Strokes, cut_at, plane_before
from pipemodel.drawing.sight import free_mm, hidden_share, places_along
from pipemodel.geometry.arrays import Floats
from pipemodel.geometry.centreline import Centreline
from pipemodel.geometry.shapes.mesh import Mesh
from pipemodel.geometry.vectors import EAST, NORTH, UP, Vec3, dot, scale
from pipemodel.geometry.view import FlatPoint, View
from pipemodel.solids.outlines import Body, SeenTube
from pipemodel.solids.projected import Stroke, projected

SOUTH, WEST = scale(NORTH, -1.0), scale(EAST, -1.0)


PLAN = View("plan, from above", UP, NORTH)
PLANS = (
    PLAN,
    View("plan, from above, north at the bottom", UP, SOUTH),
    View("plan, from above, east at the bottom", UP, WEST),
    View("plan, from above, west at the bottom", UP, EAST),
)
"""The first is the one that maps have, with south at the bottom."""
FRONTS = (View("from the south", SOUTH, UP), View("from the north", NORTH, UP))
SIDES = (View("from the west", WEST, UP), View("from the east", EAST, UP))
ISOMETRICS = (
    View("isometric, from the south-east", (1.0, -1.0, 1.0), UP),
    View("isometric, from the south-west", (-1.0, -1.0, 1.0), UP),
    View("isometric, from the north-east", (1.0, 1.0, 1.0), UP),
    View("isometric, from the north-west", (-1.0, 1.0, 1.0), UP),
)


ASIDE_DEG, ABOVE_DEG = (35.0, 55.0, 20.0, 70.0), (22.0, 35.0)
"""From where pictures are taken: so far to either side of where the fitter stands, and so far up. From a side of the
room none looks along an axis, or along the 45 degrees that sets are often made with."""

BETTER = 0.02
HIDDEN_WEIGHT = 4.0
COUNTED = (0.001, 0.25)
"""Gaps between points that make a difference, as parts of the paper."""
CORNERS_ALIKE = 0.15
"""Two corners are taken to lie alike where their cosines to where somebody stands differ by less."""
MOST_KEYS = 500
MANY = 40
"""With more solids than this the views are taken from the usual sides, without looking for clearer ones."""
BEFORE = 1.0 / 3.0
"""What stands before more than this share of the tubes is left out of a view, unless it is a pipe."""


@dataclass(frozen=True)
class Solid:
    """A body to draw. `thing` names what it is of the room, "" for a run's tube; `run` names that run.

    `facing` is given for a wall without end, drawn as a slab: the unit vector out of it. `round` is true of a pipe or
    another thing round an axis, which is narrow enough to look past.
    """

    body: Body
    thing: str = ""
    facing: Vec3 | None = None
    round: bool = False
    run: str = ""


@dataclass(frozen=True)
class Seen:
    """A view with its strokes, mm of the room; `body` of a stroke counts `solids`, `without` names what is left out.

    `cuts` are the outlines of where things are cut, each by its name.
    """

    view: View
    solids: tuple[Solid, ...]
    strokes: tuple[Stroke, ...]
    without: tuple[str, ...] = ()
    cuts: tuple[tuple[str, Strokes], ...] = ()

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


def take_views(solids: Sequence[Solid], keys: Sequence[Vec3], stands: Vec3 = SOUTH) -> Views:
    """Take the four views of some solids from where somebody stands; the side and the corner that show the tubes best.

    Args:
        solids: what is looked at.
        keys: the places of the tubes that must be told apart; at least one.
        stands: the side on which the fitter stands, a level unit vector.
    """

    def best(views: Sequence[View], take: Callable[[View, Sequence[Solid], Vec3], Seen]) -> Seen:
        if len(solids) > MANY:
            return take(views[0], solids, keys[0])
        seen = {view: take(view, solids, keys[0]) for view in views}
        left_out = {view: hidden_share(_of_room(solids, taken.without), places, view) for view, taken in seen.items()}
        hidden = {view: taken.hidden + left_out[view] for view, taken in seen.items()}
        return seen[best_view(views, keys, hidden=hidden)]

    places = _places(solids)
    front, sides, plan, corners = views_from(stands)
    before, above = (section(view, solids, keys[0]) for view in (front, plan))
    return Views(before, best(sides, section), above, best(corners, see))


def views_from(stands: Vec3) -> tuple[View, tuple[View, View], View, tuple[View, ...]]:
    """Return what is seen by one who stands on some side: front, from the left and the right, plan, and corners.

    The front is the side of the room that is nearest to `stands`, a level unit vector, so that what runs along an axis
    is seen in its true length; with two as near, the one that lies more to the south or the east. Of the corners beside
    it, only those are taken that lie on the same side.
    """
    front = max((FRONTS[0], SIDES[1], SIDES[0], FRONTS[1]), key=lambda view: round(dot(view.eye, stands), 6))
    left = max((*FRONTS, *SIDES), key=lambda view: -dot(view.eye, front.right))
    right = max((*FRONTS, *SIDES), key=lambda view: dot(view.eye, front.right))
    plan = max(PLANS, key=lambda view: -dot(view.up, front.eye))
    beside = [view for view in ISOMETRICS if dot(view.eye, front.eye) > 0.0]
    near = max(round(dot(view.eye, stands), 6) for view in beside)
    corners = [view for view in beside if dot(view.eye, stands) > near - CORNERS_ALIKE]
    return front, (left, right), plan, tuple(corners)


def turned_views(east: Vec3, stands: Vec3) -> tuple[View, View]:
    """Return elevation and plan of a room whose walls stand aslant, by one that stands on some side and faces a wall.

    Args:
        east: the way along or square to its walls that is nearest to east, a level unit vector.
        stands: the side on which the fitter stands, a level unit vector.
    """
    ways = (east, (-east[1], east[0], 0.0))
    eye = max((*ways, *(scale(way, -1.0) for way in ways)), key=lambda way: round(dot(way, stands), 6))
    near = max((*FRONTS, *SIDES), key=lambda view: dot(view.eye, eye))
    return View(f"{near.title}, square to the wall", eye, UP), View(
        "plan, from above, along the wall", UP, scale(eye, -1.0)
    )


def key_points(runs: Sequence[SolvedRun]) -> list[Vec3]:
    """Return the places that must be told apart in a view: ends of the runs and middles of their bends."""
    return [point for run in runs for point in keys_along(run.centreline)]


def keys_along(line: Centreline) -> list[Vec3]:
    """Return those places of one axis."""
    return [line.start, *(arc.point_at(arc.length / 2.0) for arc in line.arcs), line.finish]


def _of_room(solids: Sequence[Solid], names: Sequence[str]) -> list[Mesh]:
    return [solid.body for solid in solids if solid.thing in names and isinstance(solid.body, Mesh)]


def pictorial_view(
    keys: Sequence[Vec3], size: FlatPoint = (1.0, 1.0), stands: Vec3 = SOUTH, room: Sequence[Mesh] = ()
) -> View:
    """Return from where a picture is best taken by one who stands on some side, of tubes in a room; see `best_view`."""
    views = views_aside(stands, ASIDE_DEG)
    return best_view(views, keys, size, hidden={view: hidden_share(room, keys, view) for view in views})


def views_aside(stands: Vec3, aside_deg: Sequence[float]) -> list[View]:
    """Return views from so far to either side of where somebody stands, a level unit vector, and from above."""
    toward = degrees(atan2(stands[0], -stands[1]))
    ways = [(toward + sign * aside, above) for above in ABOVE_DEG for aside in aside_deg for sign in (-1, 1)]
    return [View.standing(*way) for way in ways]


def best_view(
    views: Sequence[View],
    keys: Sequence[Vec3],
    size: FlatPoint = (1.0, 1.0),
    hidden: Mapping[View, float] | None = None,
) -> View:
    """Return the view that shows tubes best: key points far apart on the paper, and little behind something.

    The measure is the mean, over the points, of the logarithm of how far each is from its nearest neighbour, less what
    is hidden. The first view is taken unless another is better by `BETTER`, so that a job is always seen from one side.

    Args:
        views: to choose from.
        keys: the points, mm; of very many, a part decides.
        size: width and height of the paper, in any unit, which the points are drawn to fill.
        hidden: of each view, the share of the tubes' outlines that is hidden; nothing if left out.
    """
    points = np.array(keys[:: len(keys) // MOST_KEYS + 1], dtype=float)
    scores = [_apart(view, points, size) - HIDDEN_WEIGHT * (hidden[view] if hidden else 0.0) for view in views]
    best = 0
    for i, score in enumerate(scores):
        if score > scores[best] + BETTER:
            best = i
    return views[best]


def _apart(view: View, points: Floats, size: FlatPoint) -> float:
    flat = points @ np.array([view.right, view.upright]).T
    fill = float((np.ptp(flat, axis=0) / size).max()) or 1.0
    gaps = np.linalg.norm(flat[:, None] - flat[None], axis=2) / fill / max(size)
    np.fill_diagonal(gaps, np.inf)
    return float(np.log(np.clip(gaps.min(axis=1), *COUNTED)).mean())


def see(view: View, solids: Sequence[Solid], origin: Vec3, whole: bool = False) -> Seen:
    """Take a view without the things that stand between the eye and the tubes.

    Args:
        view: from where.
        solids: what is looked at.
        origin: a point nearby, mm.
        whole: whether nothing is left out.
    """
    without = () if whole else standing_before(solids, view)
    kept = tuple(solid for solid in solids if not solid.thing or solid.thing not in without)
    strokes = projected([solid.body for solid in kept], view, origin)
    return Seen(view, kept, tuple(strokes), without)


def section(view: View, solids: Sequence[Solid], origin: Vec3) -> Seen:
    """Take a view with the room cut away before the tubes; see `cut`. The arguments are those of `see`."""
    plane = plane_before([solid.body for solid in solids if isinstance(solid.body, SeenTube)], view)
    places = _places(solids)
    kept: list[Solid] = []
    cuts: list[tuple[str, Strokes]] = []
    before: list[str] = []
    for solid in solids:
        if not solid.thing or not isinstance(solid.body, Mesh):
            kept.append(solid)
            continue
        left = cut_at(solid.body, view, plane)
        if left.body is None:
            # One looks past a pipe; a thing as wide as a third of the tubes is none.
            if solid.round and not _hides(solid.body, places, view):
                kept.append(solid)
            else:
                before.append(solid.thing)
            continue
        # What is left of a wall is no longer before the tubes, unless the whole of it hides them.
        kept.append(replace(solid, body=left.body, facing=None if left.outline else solid.facing))
        if left.outline:
            cuts.append((solid.thing, left.outline))
    seen = see(view, kept, origin)
    shown = tuple((name, outline) for name, outline in cuts if name not in seen.without)
    return replace(seen, without=tuple(dict.fromkeys([*before, *seen.without])), cuts=shown)


def standing_before(solids: Sequence[Solid], view: View) -> tuple[str, ...]:
    """Return the names of the things that stand between the eye and the tubes among some solids."""
    places = _places(solids)
    return tuple(solid.thing for solid in solids if solid.thing and places and _stands_before(solid, places, view))


def _places(solids: Sequence[Solid]) -> list[Vec3]:
    return [point for point, _ in places_along([s.body.line for s in solids if isinstance(s.body, SeenTube)])]


def _stands_before(solid: Solid, places: Sequence[Vec3], view: View) -> bool:
    """Tell whether a thing stands between the eye and some places: a wall seen from behind, or what hides them."""
    if solid.facing is not None:
        return dot(solid.facing, view.eye) < -0.1
    if solid.round or not isinstance(solid.body, Mesh):
        return False
    return _hides(solid.body, places, view)


def _hides(mesh: Mesh, places: Sequence[Vec3], view: View) -> bool:
    return float(np.isfinite(free_mm(mesh, places, view)).mean()) > BEFORE


def _length(stroke: Stroke) -> float:
    return sum(hypot(q[0] - p[0], q[1] - p[1]) for p, q in zip(stroke.points, stroke.points[1:], strict=False))
