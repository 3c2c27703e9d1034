"""Runs and room as the solids that a drawing shows."""

from collections.abc import Sequence

from pipemodel.bending.schedule import Schedule, SolvedRun
from pipemodel.drawing.projection import Solid
from pipemodel.geometry.shapes import Cylinder, HalfSpace, MeshFile, Shape
from pipemodel.geometry.vectors import Vec3
from pipemodel.solids.extent import Extent, job_extent, shape_bounds
from pipemodel.solids.mesh import TriangleMesh
from pipemodel.solids.outlines import Rod
from pipemodel.solids.room_mesh import block_mesh, room_mesh

CHORD_MM = 0.2
"""How far a flat of a round thing in the room may stand off it."""
ROUND_SHARE = 0.005
"""And no more than this share of its diameter, so that its flats run smoothly into each other."""
MOST_TRIANGLES = 5_000
"""A thing with more triangles than this is drawn as the block that bounds it."""


def run_solids(runs: Sequence[SolvedRun]) -> list[Solid]:
    """Return the tubes of some runs."""
    return [Solid(Rod(run.centreline, run.tube.outside_mm)) for run in runs]


def room_solids(schedule: Schedule) -> list[Solid]:
    """Return the things of a job's room; walls without end as slabs. Mesh files that were not read are left out."""
    extent = job_extent(schedule)
    return [
        Solid(_mesh(thing.shape, extent), thing.name, _facing(thing.shape))
        for thing in schedule.job.things
        if not isinstance(thing.shape, MeshFile)
    ]


def room_bounds(schedule: Schedule) -> list[Vec3]:
    """Return the corners of the blocks that hold the things of the room that have an end."""
    return [
        corner
        for thing in schedule.job.things
        if (bounds := shape_bounds(thing.shape))
        for corner in Extent(*bounds).corners()
    ]


def _mesh(shape: Shape, extent: Extent) -> TriangleMesh:
    chord = min(CHORD_MM, ROUND_SHARE * shape.diameter) if isinstance(shape, Cylinder) else CHORD_MM
    mesh = room_mesh(shape, chord, extent)
    return mesh if len(mesh.faces) <= MOST_TRIANGLES else block_mesh(*shape_bounds(shape))


def _facing(shape: Shape) -> Vec3 | None:
    return shape.normal if isinstance(shape, HalfSpace) else None
