"""How far a job reaches, so that a wall without end can be drawn as a slab of sensible size."""

from collections.abc import Iterable
from dataclasses import dataclass
from math import atan2, degrees, radians, sqrt

from pipemodel.bending.schedule import Schedule, SolvedRun
from pipemodel.geometry.centreline import Arc, Piece
from pipemodel.geometry.shapes import Box, Cylinder, Extrusion, HalfSpace, Mesh, Shape
from pipemodel.geometry.vectors import Vec3, add, any_normal, cross, dot, length, scale, sub, unit

SLAB_PART = 0.05
"""A slab is this part of the job's diagonal thick, and stands out beyond the job as far again."""
SLAB_LEAST_MM = 10.0
SLAB_MOST_MM = 200.0


@dataclass(frozen=True)
class Extent:
    """The block along the axes that holds a job; opposite corners, mm."""

    low: Vec3
    high: Vec3

    @property
    def diagonal_mm(self) -> float:
        """From corner to corner."""
        return length(sub(self.high, self.low))

    def corners(self) -> tuple[Vec3, ...]:
        """The block's eight corners."""
        xs, ys, zs = zip(self.low, self.high, strict=True)
        return tuple((x, y, z) for x in xs for y in ys for z in zs)


@dataclass(frozen=True)
class Slab:
    """The part of a half-space that is drawn: from `corner` along two edges of the face, and `depth_mm` back.

    `across` and `up` are unit vectors square to each other in the face, and across x up points out of the solid.
    """

    corner: Vec3
    across: Vec3
    up: Vec3
    width_mm: float
    height_mm: float
    depth_mm: float

    @property
    def normal(self) -> Vec3:
        """Out of the solid."""
        return cross(self.across, self.up)


def job_extent(schedule: Schedule) -> Extent:
    """Return the block that holds every run and every thing in the room that has an end.

    Half-spaces have none and mesh files not read yet have no size here; they leave the block as it is.
    """
    points: list[Vec3] = []
    for solved in schedule.runs:
        box = run_extent(solved)
        points += [box.low, box.high]
    for thing in schedule.job.things:
        points += shape_bounds(thing.shape)
    return Extent(_low(points), _high(points))


def run_extent(solved: SolvedRun) -> Extent:
    """Return the block along the axes that holds a run."""
    axis = [point for piece in solved.centreline.pieces for point in _turning_points(piece)]
    half = solved.tube.outside_mm / 2.0
    return Extent(sub(_low(axis), (half, half, half)), add(_high(axis), (half, half, half)))


def gap_mm(low: Vec3, high: Vec3, extent: Extent) -> float:
    """Return the least distance between two blocks along the axes, mm."""
    x, y, z = (max(extent.low[k] - high[k], low[k] - extent.high[k], 0.0) for k in range(3))
    return length((x, y, z))


def shape_bounds(shape: Shape) -> tuple[Vec3, ...]:
    """Return the opposite corners of the block along the axes that holds a shape; empty for one without a size."""
    if isinstance(shape, Box):
        return (shape.low, shape.high)
    if isinstance(shape, Cylinder):
        axis = unit(sub(shape.finish, shape.start))
        x, y, z = (shape.diameter / 2.0 * sqrt(max(0.0, 1.0 - a * a)) for a in axis)
        ends = (shape.start, shape.finish)
        return (sub(_low(ends), (x, y, z)), add(_high(ends), (x, y, z)))
    if isinstance(shape, Extrusion):
        xs, ys = zip(*shape.outline, strict=True)
        return ((min(xs), min(ys), shape.bottom), (max(xs), max(ys), shape.top))
    if isinstance(shape, Mesh):
        low, high = shape.vertices.min(axis=0).tolist(), shape.vertices.max(axis=0).tolist()
        return ((low[0], low[1], low[2]), (high[0], high[1], high[2]))
    return ()


def slab_of(wall: HalfSpace, extent: Extent) -> Slab:
    """Return the slab that stands for a half-space: its face behind all of the job, its thickness behind the face."""
    depth = min(max(SLAB_PART * extent.diagonal_mm, SLAB_LEAST_MM), SLAB_MOST_MM)
    across = any_normal(wall.normal)
    up = cross(wall.normal, across)
    reach = [(dot(d, across), dot(d, up)) for d in (sub(c, wall.point) for c in extent.corners())]
    left, right = min(r[0] for r in reach) - depth, max(r[0] for r in reach) + depth
    below, above = min(r[1] for r in reach) - depth, max(r[1] for r in reach) + depth
    corner = add(wall.point, add(scale(across, left), scale(up, below)))
    return Slab(corner, across, up, right - left, above - below, depth)


def _turning_points(piece: Piece) -> list[Vec3]:
    """Return the ends of a piece, and where an arc lies furthest out along each axis."""
    points = [piece.start, piece.finish]
    if isinstance(piece, Arc):
        for spoke, ahead in zip(piece.spoke, piece.direction, strict=True):
            first = degrees(atan2(ahead, spoke)) % 180.0
            furthest = [angle for angle in (first, first + 180.0) if angle < piece.angle_deg]
            points += [piece.point_at(piece.radius * radians(angle)) for angle in furthest]
    return points


def _low(points: Iterable[Vec3]) -> Vec3:
    x, y, z = zip(*points, strict=True)
    return (min(x), min(y), min(z))


def _high(points: Iterable[Vec3]) -> Vec3:
    x, y, z = zip(*points, strict=True)
    return (max(x), max(y), max(z))
