"""Runs and room as the solids that a drawing shows."""

from collections.abc import Sequence
from functools import lru_cache

from pipemodel.bending.schedule import Schedule, SolvedRun
from pipemodel.drawing.projection import Solid
from pipemodel.geometry.extent import Extent
from pipemodel.geometry.shapes import Mesh, MeshFile, Shape
from pipemodel.geometry.shapes.box import block_between
from pipemodel.geometry.vectors import Vec3
from pipemodel.solids.extent import gap_mm, job_extent, run_extent
from pipemodel.solids.near import near_things
from pipemodel.solids.outlines import SeenTube

CHORD_MM = 0.2
"""How far a flat of a round thing in the room may stand off it."""
ROUND_SHARE = 0.005
"""And no more than this share of its diameter, so that its flats run smoothly into each other."""
REACH_MM = 1000.0
"""What is farther than this from a run is not drawn in its place with it."""
MOST_TRIANGLES = 5_000
"""A thing with more triangles than this is drawn as the block that bounds it."""


def run_solids(runs: Sequence[SolvedRun]) -> list[Solid]:
    """Return the tubes of some runs."""
    return [Solid(SeenTube(run.centreline, run.tube.outside_mm), run=run.name) for run in runs]


@lru_cache(maxsize=8)
def room_solids(schedule: Schedule) -> tuple[Solid, ...]:
    """Return the shown things of a job's room; walls without end as slabs. Mesh files not read are left out."""
    extent = job_extent(schedule, near_things(schedule))
    return tuple(
        Solid(_mesh(thing.shape, extent), thing.name, thing.shape.facing, thing.shape.axis is not None)
        for thing in near_things(schedule)
        if not isinstance(thing.shape, MeshFile)
    )


def near_solids(schedule: Schedule, run: SolvedRun) -> list[Solid]:
    """Return those of them that are near a run, to be drawn in its place with it."""
    extent = run_extent(run)
    bounds = {thing.name: thing.shape.bounds() for thing in near_things(schedule)}
    near = {name for name, ends in bounds.items() if not ends or gap_mm(ends[0], ends[1], extent) <= REACH_MM}
    return [solid for solid in room_solids(schedule) if solid.thing in near]


def room_bounds(schedule: Schedule) -> list[Vec3]:
    """Return the corners of the blocks that hold the things of the room that are shown and have an end."""
    return [
        corner
        for thing in near_things(schedule)
        if (bounds := thing.shape.bounds())
        for corner in Extent(*bounds).corners()
    ]


def _mesh(shape: Shape, extent: Extent) -> Mesh:
    chord = min(CHORD_MM, ROUND_SHARE * shape.axis.diameter) if shape.axis is not None else CHORD_MM
    mesh = shape.mesh(chord, extent)
    return mesh if len(mesh.faces) <= MOST_TRIANGLES else block_between(*shape.bounds())
