"""How far a job reaches, so that a wall without end can be drawn as a slab of sensible size."""

from collections.abc import Iterable
from math import atan2, degrees, radians

from pipemodel.bending.schedule import Schedule, SolvedRun
from pipemodel.geometry.centreline import Arc, LinePiece, around
from pipemodel.geometry.extent import Extent
from pipemodel.geometry.vectors import Vec3, add, length, sub
from pipemodel.job.model import Thing


def job_extent(schedule: Schedule, things: Iterable[Thing]) -> Extent:
    """Return the block that holds every run of a job, and those of some things of its room that have an end.

    Half-spaces have none and mesh files not read yet have no size here; they leave the block as it is.
    """
    points: list[Vec3] = []
    for solved in schedule.runs:
        box = run_extent(solved)
        points += [box.low, box.high]
    for thing in things:
        points += thing.shape.bounds()
    return Extent(*around(points))


def run_extent(solved: SolvedRun) -> Extent:
    """Return the block along the axes that holds a run."""
    return _with_tube([point for piece in solved.centreline.pieces for point in _turning_points(piece)], solved)


def piece_extents(solved: SolvedRun) -> list[Extent]:
    """Return the blocks along the axes that hold the straights and bends of a run, each by itself."""
    return [_with_tube(_turning_points(piece), solved) for piece in solved.centreline.pieces]


def _with_tube(axis: list[Vec3], solved: SolvedRun) -> Extent:
    half, (low, high) = solved.tube.outside_mm / 2.0, around(axis)
    return Extent(sub(low, (half, half, half)), add(high, (half, half, half)))


def gap_mm(low: Vec3, high: Vec3, extent: Extent) -> float:
    """Return the least distance between two blocks along the axes, mm."""
    x, y, z = (max(extent.low[k] - high[k], low[k] - extent.high[k], 0.0) for k in range(3))
    return length((x, y, z))


def _turning_points(piece: LinePiece) -> list[Vec3]:
    """Return the ends of a piece, and where an arc lies furthest out along each axis."""
    points = [piece.start, piece.finish]
    if isinstance(piece, Arc):
        for spoke, ahead in zip(piece.spoke, piece.direction, strict=True):
            first = degrees(atan2(ahead, spoke)) % 180.0
            furthest = [angle for angle in (first, first + 180.0) if angle < piece.angle_deg]
            points += [piece.point_at(piece.radius * radians(angle)) for angle in furthest]
    return points
