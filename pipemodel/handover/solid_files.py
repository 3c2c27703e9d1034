"""The solids' files: the job and each run as STEP, each run as STL."""

from pathlib import Path

from pipemodel.geometry.vectors import ORIGIN
from pipemodel.handover.answer import Answer
from pipemodel.handover.figures import tidy
from pipemodel.handover.formats import UnavailableError
from pipemodel.handover.names import JOB_STEM, run_stems


def write_step_files(answer: Answer, folder: Path) -> tuple[str, ...]:
    """Write job.step with everything in it, and a file for each run.

    Raises:
        UnavailableError: if the kernel cannot read a STEP file that stands in the room.
    """
    from pipemodel.solids.room import UnreadableError
    from pipemodel.solids.step import write_run_step, write_step

    stems = run_stems(answer.schedule)
    try:
        notes = write_step(folder / f"{JOB_STEM}.step", answer.schedule)
    except UnreadableError as error:
        raise UnavailableError(str(error)) from error
    for number, solved in enumerate(answer.schedule.runs):
        write_run_step(folder / f"{stems[solved.name]}.step", solved, number)
    return notes


def write_stl_files(answer: Answer, folder: Path) -> tuple[str, ...]:
    """Write a file for each run; says of any run so far out that it is written about a nearer origin."""
    from pipemodel.solids.mesh import tube_mesh
    from pipemodel.solids.stl import write_stl

    stems = run_stems(answer.schedule)
    notes: list[str] = []
    for solved in answer.schedule.runs:
        mesh = tube_mesh(solved.centreline, solved.tube.outside_mm, solved.tube.wall_mm, answer.chord_mm)
        origin = write_stl(folder / f"{stems[solved.name]}.stl", mesh, solved.name)
        if origin != ORIGIN:
            notes.append(
                f"{stems[solved.name]}.stl is measured from {', '.join(map(tidy, origin))}: STL has few digits"
            )
    return tuple(notes)
