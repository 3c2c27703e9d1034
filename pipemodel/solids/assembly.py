"""The room and its runs as a CadQuery assembly, to go on with in a model of one's own."""

from typing import TYPE_CHECKING

from pipemodel.bending.schedule import Schedule
from pipemodel.solids.brep import tube_solid
from pipemodel.solids.colours import run_colour
from pipemodel.solids.extent import job_extent
from pipemodel.solids.room import thing_solid
from pipemodel.solids.step_text import identities

if TYPE_CHECKING:
    import cadquery


def cad_assembly(schedule: Schedule) -> "cadquery.Assembly":
    """Return a solved job as an assembly: a named, coloured part for each run and each thing in the room, mm.

    Of parts of one name, the second has " (2)" after it. Walls without end are slabs. STEP files of the room are
    read into this process, so they should have been read in a child process before (`story.furnish`).

    Raises:
        UnreadableError: if a STEP file of the room cannot be read.
    """
    import cadquery

    extent = job_extent(schedule)
    solids = [
        (run.name, tube_solid(run.centreline, run.tube.outside_mm, run.tube.wall_mm), run_colour(number))
        for number, run in enumerate(schedule.runs)
    ]
    solids += [
        (thing.name, thing_solid(thing.shape, extent).shape, thing.shape.colour) for thing in schedule.job.things
    ]
    whole = cadquery.Assembly(name=schedule.job.name)
    names = identities([schedule.job.name, *(name for name, _, _ in solids)])[1:]
    for name, (_, shape, colour) in zip(names, solids, strict=True):
        whole.add(cadquery.Shape.cast(shape), name=name, color=cadquery.Color(*colour))
    return whole
