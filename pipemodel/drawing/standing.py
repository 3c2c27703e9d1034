"""Where the fitter stands: the one side from which all drawings, the page and the picture of a job are seen.

A job may say it. Otherwise it is the open side of the wall: the side to which the faces look that the clips are on, to
which the tube has a wall close at its back, and to which there is most room to stand.
"""

from functools import lru_cache

import numpy as np

from pipemodel.bending.schedule import Schedule
from pipemodel.drawing.sight import free_mm
from pipemodel.drawing.solids import room_solids
from pipemodel.geometry.shapes.mesh import Mesh
from pipemodel.geometry.vectors import EAST, NORTH, Vec3, dot, length, scale, sub, unit
from pipemodel.geometry.view import View

SIDES = (scale(NORTH, -1.0), EAST, scale(EAST, -1.0), NORTH)
"""South first, where east lies to the right as on a map; it is taken where no side is better."""
ROOM_MM = 1500.0
"""More room to stand in than this makes no difference."""
CLOSE_MM = 150.0
"""A wall no farther than this at its back is one that a tube runs along; common practice, no source."""
CLIPPED, ALONG = 1.0, 0.5
"""What a face with clips, and a wall close at the back, count beside all the room one could want."""
BETTER = 0.05
"""By how much a side must be better than the ones before it."""
MOST_POINTS = 60
"""So many places along all runs are looked out from."""
UPRIGHT = 0.5
"""A face looks no more up or down than this, the sine of 30 degrees, if somebody is to stand before it."""
_KEPT = 8


@lru_cache(maxsize=_KEPT)
def where_stands(schedule: Schedule) -> Vec3:
    """Return the side on which the fitter stands, a level unit vector from the runs."""
    if schedule.job.seen_from is not None:
        return schedule.job.seen_from
    if not schedule.job.things:
        return SIDES[0]
    points = _places(schedule)
    meshes = [solid.body for solid in room_solids(schedule) if isinstance(solid.body, Mesh)]
    free = {side: _free(meshes, points, side) for side in SIDES}
    faces = _faces_of_clips(schedule)
    best, score = SIDES[0], -np.inf
    for side in SIDES:
        room = float((np.minimum(free[side], ROOM_MM) / ROOM_MM).mean())
        close = float((free[scale(side, -1.0)] <= CLOSE_MM).mean())
        clipped = max((dot(face, side) for face in faces), default=0.0)
        total = room + ALONG * close + CLIPPED * clipped
        if total > score + BETTER:
            best, score = side, total
    return best


def _free(meshes: list[Mesh], points: list[Vec3], side: Vec3) -> "np.ndarray[tuple[int], np.dtype[np.float64]]":
    free = np.full(len(points), np.inf)
    for mesh in meshes:
        np.minimum(free, free_mm(mesh, points, View("", side)), out=free)
    return free


def _places(schedule: Schedule) -> list[Vec3]:
    """Return places spread evenly along all runs."""
    lines = [run.centreline for run in schedule.runs]
    whole = sum(line.length for line in lines)
    return [
        line.point_at(line.length * (k + 0.5) / n)
        for line in lines
        for n in [max(1, round(MOST_POINTS * line.length / whole))]
        for k in range(n)
    ]


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
