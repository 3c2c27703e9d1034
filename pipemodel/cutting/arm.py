"""Whether an arm gets from an opening to a place: straight, or bent once, clear of the things of the room.

The arm is a rod of one thickness from a point of the opening to the elbow and on to the place, no longer in all than
the reach. Points of the opening and elbows are tried on a grid, so that an arm that is found is there, and one that
needs a closer fit than the grid is missed; straights are followed by the exact distances of the things.
"""

from collections.abc import Callable, Collection, Sequence
from dataclasses import replace
from functools import cache
from itertools import groupby

import numpy as np

from pipemodel.cutting.joint_places import FreePart
from pipemodel.geometry.arrays import Bools, Floats, Ints
from pipemodel.geometry.bounds import point_gaps
from pipemodel.geometry.centreline import Centreline
from pipemodel.geometry.distance.obstacle import Field, obstacle_of
from pipemodel.geometry.shapes import Shape
from pipemodel.geometry.vectors import Vec3
from pipemodel.job.model import Job, Reach

HAND_MM = 150.0
"""So near to the place the arm is a hand, which goes round the tube; only its fingers keep clear there."""
FINGER_MM = 8.0
"""Half as thick as a finger. Both common practice, no source."""
ELBOW_MM = 70.0
"""How far apart the elbows are that are tried."""
ENTRIES = 8
"""Into so many parts each side of an opening is divided for the points that are tried."""
STEP_MM = 2.0
PLACES_MM = 100.0
"""How far apart the places along a run are that are tried; between two that are reached all counts as reached."""
MOST_LINES = 20_000
FIRST_LINES = 500
Lacking = Callable[[Floats], Floats]


class Standing:
    """Shapes that an arm keeps clear of, each with the block that holds it.

    Args:
        shapes: the shapes.
        names: what each is called, where some are left out by it.

    `field` measures points against one of them, by its number.
    """

    def __init__(self, shapes: Sequence[Shape], names: Sequence[str] = ()) -> None:
        self.names = names
        endless = ((-np.inf,) * 3, (np.inf,) * 3)
        blocks = np.array([shape.bounds() or endless for shape in shapes], dtype=float).reshape(-1, 2, 3)
        self.low, self.high = blocks[:, 0], blocks[:, 1]
        self.field: Callable[[int], Field] = cache(lambda number: obstacle_of(shapes[number]).field)

    def near(self, place: Floats, far: float, beside: Collection[str]) -> Ints:
        """Return the numbers of those whose block is no farther than that from a place."""
        found = np.flatnonzero(point_gaps(place, self.low, self.high) <= far)
        return np.array([i for i in found.tolist() if not beside or self.names[i] not in beside], dtype=np.int64)


def standing_in(job: Job) -> Standing:
    """Return what stands in the way of an arm in a job: its things, not its runs."""
    return Standing([thing.shape for thing in job.standing], [thing.name for thing in job.standing])


def in_reach(asked: Reach, room: Standing, places: Sequence[Vec3], beside: Collection[str] = ()) -> bool:
    """Return whether a hand gets to one of some places through an opening.

    Args:
        asked: what the job asks for with `reach`.
        room: what stands in the way.
        places: of which one is enough, (n, 3) mm.
        beside: names of things that a place may lie in.
    """
    return any(
        reached(place, one.corners, asked.arm_mm, asked.thick_mm, room, beside)
        for one in asked.openings
        for place in places
    )


def parts_in_reach(job: Job, line: Centreline, parts: Sequence[FreePart]) -> list[FreePart]:
    """Return what of some stretches of a run a hand gets to, in a job that asks for it; see `in_reach`."""
    asked, room = job.reach, standing_in(job)
    assert asked is not None, "asked of jobs with a reach only"
    found: list[FreePart] = []
    for part in parts:
        at = np.linspace(part.low, part.high, 2 + int((part.high - part.low) / PLACES_MM)).tolist()
        for there, places in groupby(at, key=lambda s: in_reach(asked, room, [line.point_at(s)])):
            if there:
                stretch = list(places)
                found.append(replace(part, low=stretch[0], high=stretch[-1]))
    return found


def reached(
    place: Vec3,
    opening: Sequence[Vec3],
    reach_mm: float,
    thick_mm: float,
    room: Standing,
    beside: Collection[str] = (),
) -> bool:
    """Return whether an arm is found from an opening to a place.

    Args:
        place: where to.
        opening: its corners in order.
        reach_mm: how far the arm reaches from the plane of the opening.
        thick_mm: how thick it is.
        room: what it keeps clear of.
        beside: names of what it need not keep clear of.
    """
    at, reach = np.array(place), reach_mm
    entries = _grid_of(np.array(opening))
    entries = entries[np.linalg.norm(entries - at, axis=1) <= reach]
    if not len(entries):
        return False
    lacking = _lacking(at, thick_mm, room, room.near(at, reach + thick_mm, beside))
    entries = entries[lacking(entries) <= 0.0]
    if not len(entries) or float(lacking(at[None])[0]) > 0.0:
        return False
    if _clear(entries, np.broadcast_to(at, entries.shape), lacking).any():
        return True
    steps = np.arange(-reach, reach + ELBOW_MM, ELBOW_MM)
    elbows = at + np.stack(np.meshgrid(steps, steps, steps), axis=-1).reshape(-1, 3)
    to_place = np.linalg.norm(elbows - at, axis=1)
    total = to_place[:, None] + np.linalg.norm(elbows[:, None] - entries[None], axis=2)
    elbows = elbows[total.min(axis=1) <= reach]
    elbows = elbows[lacking(elbows) <= 0.0]
    elbows = elbows[_clear(elbows, np.broadcast_to(at, elbows.shape), lacking)]
    total = np.linalg.norm(elbows - at, axis=1)[:, None] + np.linalg.norm(elbows[:, None] - entries[None], axis=2)
    elbow, entry = np.nonzero(total <= reach)
    order = np.argsort(total[elbow, entry], kind="stable")[:MOST_LINES]
    # The shortest first: most often one of them is clear, and one is enough.
    some = (order[:FIRST_LINES], order[FIRST_LINES:])
    return any(bool(_clear(elbows[elbow[of]], entries[entry[of]], lacking).any()) for of in some)


def _lacking(place: Floats, thick: float, room: Standing, some: Ints) -> Lacking:
    """Return what tells by how much an arm about points is nearer to any of some shapes than it may be.

    What is farther off than a step along an arm is as good as nothing.
    """
    low, high = room.low[some], room.high[some]

    def lacking(points: Floats) -> Floats:
        near = np.linalg.norm(points - place, axis=1) <= HAND_MM
        half = np.where(near, FINGER_MM, thick / 2.0)
        worst = np.full(len(points), -np.inf)
        far = float(half.max(initial=0.0)) + ELBOW_MM
        # Sorted along x, the points beside a block follow each other.
        order = np.argsort(points[:, 0])
        x, y, z = points[order].T.copy()
        first, last = np.searchsorted(x, low[:, 0] - far), np.searchsorted(x, high[:, 0] + far, side="right")
        for k in np.flatnonzero(first < last).tolist():
            row = slice(first[k], last[k])
            (_, south, down), (_, north, up) = low[k] - far, high[k] + far
            within = (y[row] >= south) & (y[row] <= north) & (z[row] >= down) & (z[row] <= up)
            at = order[row][within]
            if len(at):
                worst[at] = np.maximum(worst[at], half[at] - room.field(int(some[k]))(points[at]))
        return worst

    return lacking


def _clear(start: Floats, finish: Floats, lacking: Lacking) -> Bools:
    """Return along which straights nothing is too near, (n,)."""
    long = np.linalg.norm(finish - start, axis=1)
    ahead = (finish - start) / np.maximum(long, 1e-9)[:, None]
    at, out = np.zeros(len(start)), np.ones(len(start), dtype=bool)
    left = np.arange(len(start))
    while len(left):
        short = lacking(start[left] + at[left, None] * ahead[left])
        out[left[short > 0.0]] = False
        # Where the hand begins less is asked for all at once; short steps there miss nothing, for the arm is thicker.
        at[left] += np.clip(-short, STEP_MM, ELBOW_MM)
        left = left[(short <= 0.0) & (at[left] <= long[left])]
    return out


def _grid_of(opening: Floats) -> Floats:
    """Return points of an opening: means of its corners, shared in even steps among any three of them."""
    shares = [(i, j, ENTRIES - i - j) for i in range(ENTRIES + 1) for j in range(ENTRIES + 1 - i)]
    weights = np.array(shares, dtype=float) / ENTRIES
    triangles = [(opening[0], opening[k], opening[k + 1]) for k in range(1, len(opening) - 1)]
    return np.concatenate([weights @ np.array(three) for three in triangles])
