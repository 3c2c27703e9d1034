"""Whether an arm gets from an opening to a place: straight, or bent once, clear of the things of the room.

The arm is a rod of one thickness from a point of the opening to the elbow and on to the place, no longer in all than
the reach. Points of the opening and elbows are tried on a grid, so that an arm that is found is there, and one that
needs a closer fit than the grid is missed; straights are followed by the exact distances of the things.
"""

from collections.abc import Callable, Collection, Sequence
from dataclasses import replace
from itertools import groupby

import numpy as np

from pipemodel.cutting.joint_places import FreePart
from pipemodel.geometry.arrays import Bools, Floats
from pipemodel.geometry.centreline import Centreline
from pipemodel.geometry.distance.obstacle import Field, obstacle_of
from pipemodel.geometry.shapes import Shape
from pipemodel.geometry.vectors import Vec3
from pipemodel.job.model import Job

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
Lacking = Callable[[Floats], Floats]


def in_reach(job: Job, places: Sequence[Vec3], beside: Collection[str] = ()) -> bool:
    """Return whether a hand gets to one of some places through an opening, as the job asks for with `reach`.

    Args:
        job: what it asks for, and the room; runs do not stand in the way.
        places: of which one is enough, (n, 3) mm.
        beside: names of things that a place may lie in.
    """
    asked = job.reach
    assert asked is not None, "asked of jobs with a reach only"
    shapes = [thing.shape for thing in job.standing if thing.name not in beside]
    return any(reached(places, one.corners, asked.arm_mm, asked.thick_mm, shapes) for one in asked.openings)


def parts_in_reach(job: Job, line: Centreline, parts: Sequence[FreePart]) -> list[FreePart]:
    """Return what of some stretches of a run a hand gets to; see `in_reach`."""
    found: list[FreePart] = []
    for part in parts:
        at = np.linspace(part.low, part.high, 2 + int((part.high - part.low) / PLACES_MM)).tolist()
        for there, places in groupby(at, key=lambda s: in_reach(job, [line.point_at(s)])):
            if there:
                stretch = list(places)
                found.append(replace(part, low=stretch[0], high=stretch[-1]))
    return found


def reached(
    places: Sequence[Vec3], opening: Sequence[Vec3], reach_mm: float, thick_mm: float, shapes: Sequence[Shape]
) -> bool:
    """Return whether an arm is found from an opening to one of some places, which lie side by side.

    Args:
        places: of which one is enough, (n, 3) mm.
        opening: its corners in order.
        reach_mm: how far the arm reaches from the plane of the opening.
        thick_mm: how thick it is.
        shapes: what it keeps clear of.
    """
    return any(_one_reached(np.array(place), np.array(opening), reach_mm, thick_mm, shapes) for place in places)


def _one_reached(place: Floats, opening: Floats, reach: float, thick: float, shapes: Sequence[Shape]) -> bool:
    entries = _grid_of(opening)
    entries = entries[np.linalg.norm(entries - place, axis=1) <= reach]
    if not len(entries):
        return False
    lacking = _lacking(place, thick, [shape for shape in shapes if _near(shape, place, reach + thick)])
    entries = entries[lacking(entries) <= 0.0]
    if not len(entries) or float(lacking(place[None])[0]) > 0.0:
        return False
    if _clear(entries, np.broadcast_to(place, entries.shape), lacking).any():
        return True
    steps = np.arange(-reach, reach + ELBOW_MM, ELBOW_MM)
    elbows = place + np.stack(np.meshgrid(steps, steps, steps), axis=-1).reshape(-1, 3)
    to_place = np.linalg.norm(elbows - place, axis=1)
    total = to_place[:, None] + np.linalg.norm(elbows[:, None] - entries[None], axis=2)
    elbows = elbows[total.min(axis=1) <= reach]
    elbows = elbows[lacking(elbows) <= 0.0]
    elbows = elbows[_clear(elbows, np.broadcast_to(place, elbows.shape), lacking)]
    total = np.linalg.norm(elbows - place, axis=1)[:, None] + np.linalg.norm(elbows[:, None] - entries[None], axis=2)
    elbow, entry = np.nonzero(total <= reach)
    order = np.argsort(total[elbow, entry], kind="stable")[:MOST_LINES]
    return bool(_clear(elbows[elbow[order]], entries[entry[order]], lacking).any())


def _lacking(place: Floats, thick: float, shapes: Sequence[Shape]) -> Lacking:
    """Return what tells by how much an arm about points is nearer to anything than it may be.

    What is farther off than a step along an arm is as good as nothing.
    """
    fields: dict[int, Field] = {}
    blocks = [shape.bounds() or None for shape in shapes]

    def lacking(points: Floats) -> Floats:
        near = np.linalg.norm(points - place, axis=1) <= HAND_MM
        half = np.where(near, FINGER_MM, thick / 2.0)
        worst = np.full(len(points), -np.inf)
        columns, far = points.T.copy(), float(half.max(initial=0.0)) + ELBOW_MM
        for number, block in enumerate(blocks):
            some = np.arange(len(points)) if block is None else np.flatnonzero(_within(columns, block, far))
            if not len(some):
                continue
            if number not in fields:
                fields[number] = obstacle_of(shapes[number]).field
            worst[some] = np.maximum(worst[some], half[some] - fields[number](points[some]))
        return worst

    return lacking


def _within(columns: Floats, block: tuple[Vec3, ...], far: float) -> Bools:
    """Return which points, (3, n), lie in a block made larger by `far` on all sides."""
    out = np.ones(columns.shape[1], dtype=bool)
    for column, a, b in zip(columns, *block, strict=True):
        out &= (column >= a - far) & (column <= b + far)
    return out


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


def _near(shape: Shape, place: Floats, far: float) -> bool:
    bounds = shape.bounds()
    if not bounds:
        return True
    low, high = np.array(bounds[0]), np.array(bounds[1])
    return bool(np.linalg.norm(np.maximum(np.maximum(low - place, place - high), 0.0)) <= far)


def _grid_of(opening: Floats) -> Floats:
    """Return points of an opening: means of its corners, shared in even steps among any three of them."""
    shares = [(i, j, ENTRIES - i - j) for i in range(ENTRIES + 1) for j in range(ENTRIES + 1 - i)]
    weights = np.array(shares, dtype=float) / ENTRIES
    triangles = [(opening[0], opening[k], opening[k + 1]) for k in range(1, len(opening) - 1)]
    return np.concatenate([weights @ np.array(three) for three in triangles])
