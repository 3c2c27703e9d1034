"""A room turned against the axes: a way is looked for along its own, and lies in the job as anything else does."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import product
from math import atan2, degrees

from pipemodel.bending.schedule import SolvedRun
from pipemodel.checks.flat_faces import flat_faces_of
from pipemodel.finding.around import VOID
from pipemodel.finding.planes import WayEnds
from pipemodel.geometry.centreline import Centreline, carried
from pipemodel.geometry.placing import Placing
from pipemodel.geometry.shapes import Box, Extrusion, Shape
from pipemodel.geometry.shapes.half_space import HalfSpace
from pipemodel.geometry.vectors import Vec3, scale
from pipemodel.job.model import Job, Run, Thing

ALIKE_DEG = 1e-3
ALIKE_MM = 1e-6
_LEVEL = 1e-9


def axes_of(job: Job, ends: WayEnds) -> Placing:
    """Return how the axes lie along which a way is looked for: mostly as those of the room.

    They are turned where every end that is not upright is level and lies along them, and so do more of the upright flat
    faces of the things than along the room's.
    """
    level = [way for way in (ends.heading, ends.arriving) if abs(way[2]) < 1.0 - _LEVEL]
    turns = [degrees(atan2(way[1], way[0])) % 90.0 for way in level]
    if not turns or any(abs(way[2]) > _LEVEL for way in level) or any(_apart(turns[0], one) > _LEVEL for one in turns):
        return Placing()
    if _apart(turns[0], 0.0) <= ALIKE_DEG:
        return Placing()
    normals = [face.normal for thing in job.things for face in flat_faces_of(thing) if abs(face.normal[2]) < _LEVEL]
    faces = [degrees(atan2(y, x)) for x, y, _ in normals]
    along, own = (sum(_apart(turn, face) < ALIKE_DEG for face in faces) for turn in (turns[0], 0.0))
    return Placing(turned_deg=turns[0]) if along > own else Placing()


def _apart(one: float, other: float) -> float:
    """Return by how much two directions differ, a right angle more or less left out; degrees."""
    rest = abs(one - other) % 90.0
    return min(rest, 90.0 - rest)


def turned_back(job: Job, run: Run, others: Sequence[SolvedRun], axes: Placing) -> tuple[Job, Run, list[SolvedRun]]:
    """Return a job, the run to be found in it and the runs that are there already, as seen from turned axes.

    The void is among the things then.
    """
    back = Placing(turned_deg=-axes.turned_deg)
    asked = run.route.find
    assert asked is not None, "asked of runs to be found only"
    void = [] if asked.within is None else list(_sides(*asked.within))
    things = [replace(thing, shape=_block(thing.shape.placed(back))) for thing in (*job.things, *void)]
    find = asked._replace(
        start=back.point(asked.start),
        heading=back.direction(asked.heading),
        finish=back.point(asked.finish),
        arriving=back.direction(asked.arriving),
        within=None,
    )
    route = replace(run.route, corners=tuple(map(back.point, run.route.corners)), find=find)
    laid = [
        replace(one, centreline=Centreline(carried(one.centreline.pieces, back.point, back.direction)))
        for one in others
    ]
    return replace(job, things=tuple(things)), replace(run, route=route), laid


def _block(shape: Shape) -> Shape:
    """Return an outline carried up that is a block along the axes as a box; any other shape as it is."""
    if not isinstance(shape, Extrusion) or len(shape.outline) != 4:
        return shape
    (west, south, low), (east, north, high) = shape.bounds()
    off = [max(min(abs(x - west), abs(x - east)), min(abs(y - south), abs(y - north))) for x, y in shape.outline]
    return Box((west, south, low), (east, north, high)) if max(off) < ALIKE_MM else shape


def _sides(low: Vec3, high: Vec3) -> Iterator[Thing]:
    """Yield what lies beyond each side of a void."""
    for axis, (sign, corner) in product(range(3), ((1.0, low), (-1.0, high))):
        inwards = scale(tuple(float(k == axis) for k in range(3)), sign)  # type: ignore[arg-type]
        yield Thing(VOID, HalfSpace(corner, inwards), clearance_mm=0.0)
