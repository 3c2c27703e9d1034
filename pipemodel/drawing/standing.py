"""Where the fitter stands: the one side from which all drawings, the page and the picture of a job are seen.

A job may say it. Otherwise it is the open side of the wall: the side to which the faces look that the clips are on, to
which the tube has a wall close at its back, to which there is most room to stand, and from which little of the tube is
seen end-on.
"""

from collections.abc import Sequence
from functools import lru_cache
from typing import TYPE_CHECKING, TypeAlias

import numpy as np

from pipemodel.bending.schedule import Schedule, SolvedRun
from pipemodel.drawing.projection import MANY, key_points, pictorial_view, standing_before
from pipemodel.drawing.sight import free_mm, places_along
from pipemodel.drawing.solids import room_solids, run_solids
from pipemodel.geometry.arrays import Floats
from pipemodel.geometry.bounds import gaps
from pipemodel.geometry.shapes.mesh import Mesh
from pipemodel.geometry.vectors import EAST, NORTH, Vec3, dot, length, scale, sub, unit
from pipemodel.geometry.view import FlatPoint, View

if TYPE_CHECKING:
    Places: TypeAlias = Floats

SIDES = (scale(NORTH, -1.0), EAST, scale(EAST, -1.0), NORTH)
"""South first, where east lies to the right as on a map; it is taken where no side is better."""
ROOM_MM = 1500.0
"""More room to stand in than this makes no difference."""
CLOSE_MM = 100.0
"""A wall no farther than this at its back is one that a tube runs along; common practice, no source."""
CLIPPED, ALONG, ACROSS = 1.0, 0.5, 1.5
"""What a face with clips, a wall close at the back, and tube that is seen from the side count beside all the room one
could want."""
BETTER = 0.15
"""By how much a side must be better than the ones before it."""
MOST_FACES = 20_000
"""With more triangles than this near the runs, what they would hide is not looked for."""
UPRIGHT = 0.5
"""A face looks no more up or down than this, the sine of 30 degrees, if somebody is to stand before it."""
_KEPT = 8


@lru_cache(maxsize=_KEPT)
def where_stands(schedule: Schedule) -> Vec3:
    """Return the side on which the fitter stands, a level unit vector from the runs."""
    if schedule.job.seen_from is not None:
        return schedule.job.seen_from
    if not schedule.job.shown:
        return SIDES[0]
    places = places_along([run.centreline for run in schedule.runs])
    points = [point for point, _ in places]
    meshes = room_meshes(schedule)
    free = {side: _free(meshes, points, side) for side in SIDES}
    faces = _faces_of_clips(schedule)
    best, score = SIDES[0], -np.inf
    for side in SIDES:
        room = float((np.minimum(free[side], ROOM_MM) / ROOM_MM).mean())
        close = float((free[scale(side, -1.0)] <= CLOSE_MM).mean())
        clipped = max((dot(face, side) for face in faces), default=0.0)
        across = 1.0 - sum(abs(dot(way, side)) for _, way in places) / len(places)
        total = room + ALONG * close + CLIPPED * clipped + ACROSS * across
        if total > score + BETTER:
            best, score = side, total
    return best


def room_meshes(schedule: Schedule) -> tuple[Mesh, ...]:
    """Return the things of a job's room as the meshes that may hide its runs."""
    return tuple(solid.body for solid in room_solids(schedule) if isinstance(solid.body, Mesh))


def not_looked_through(schedule: Schedule, view: View) -> frozenset[str]:
    """Return the names of the things of a job's room that stand between the eye of a view and its runs."""
    return frozenset(standing_before([*run_solids(schedule.runs), *room_solids(schedule)], view))


def pictured_from(schedule: Schedule, runs: Sequence[SolvedRun], size: FlatPoint) -> View:
    """Return from where runs of a job are shown in their place, on a picture of some width and height."""
    keys = key_points(runs)
    near = _near(schedule, keys)
    few = len(near) <= MANY and sum(len(mesh.faces) for mesh in near) <= MOST_FACES
    return pictorial_view(keys, size, where_stands(schedule), near if few else ())


def _near(schedule: Schedule, keys: Sequence[Vec3]) -> list[Mesh]:
    """Return the things that stand no farther than `ROOM_MM` from the block that holds some points."""
    low, high = np.min(keys, axis=0), np.max(keys, axis=0)
    meshes = room_meshes(schedule)
    lows, highs = _blocks(schedule)
    return [mesh for mesh, off in zip(meshes, gaps(low, high, lows, highs), strict=True) if off <= ROOM_MM]


@lru_cache(maxsize=_KEPT)
def _blocks(schedule: Schedule) -> "tuple[Places, Places]":
    """Return the lower and the upper corners of the blocks that hold the things of a room, (n, 3) each."""
    blocks = [mesh.bounds() for mesh in room_meshes(schedule)]
    corners = np.array(blocks, dtype=np.float64).reshape(-1, 2, 3)
    return corners[:, 0], corners[:, 1]


def _free(meshes: Sequence[Mesh], points: list[Vec3], side: Vec3) -> "Places":
    free = np.full(len(points), np.inf)
    for mesh in meshes:
        np.minimum(free, free_mm(mesh, points, View("", side)), out=free)
    return free


def _faces_of_clips(schedule: Schedule) -> list[Vec3]:
    """Return which ways the upright faces look that clips are to go on, as seen from the runs on them; unit vectors."""
    shapes = {thing.name: thing.shape for thing in schedule.job.things}
    ways: list[Vec3] = []
    for run in schedule.runs:
        for name in run.run.clips.faces if run.run.clips is not None else ():
            shape = shapes[name]
            if shape.facing is not None:
                ways.append(shape.facing)
            elif bounds := shape.bounds():
                middle = run.centreline.point_at(run.centreline.length / 2.0)
                out = sub(middle, _within(middle, *bounds))
                ways += [unit(out)] if length(out) > 0.0 else []
    return [way for way in ways if abs(way[2]) < UPRIGHT]


def _within(p: Vec3, low: Vec3, high: Vec3) -> Vec3:
    """Return the point of a block along the axes that is nearest to a point."""
    x, y, z = (min(max(c, a), b) for c, a, b in zip(p, low, high, strict=True))
    return (x, y, z)
