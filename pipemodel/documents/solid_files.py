"""The solids' files: the job and each run as STEP, each run as STL."""

import json
import pickle

from pipemodel.documents.unavailable import UnavailableError
from pipemodel.geometry.vectors import ORIGIN
from pipemodel.messages.say import say, words
from pipemodel.messages.units import MM
from pipemodel.messages.values import Message, as_data, bare, from_data, message
from pipemodel.output.file_names import JOB_STEM, Folder, run_stems
from pipemodel.processes.child import ChildError, ChildFailedError, ChildLimits, call
from pipemodel.results.results import Results
from pipemodel.solids.child_words import child_said
from pipemodel.solids.mesh_reading import is_step
from pipemodel.solids.near import far_words, near_things

STEP_LIMITS = ChildLimits(seconds=300.0, memory_bytes=8_000_000_000)
"""What the writing of job.step may take where a STEP file of somebody else's goes into it."""


def write_step_files(results: Results, folder: Folder) -> tuple[str, ...]:
    """Write job.step with everything in it, and a file for each run.

    STEP files that stand in the room go into it exact, so the kernel reads them once more. That happens in a child
    process: a file may crash the kernel.

    Raises:
        UnavailableError: if the kernel cannot read a STEP file that stands in the room, or cannot put it in.
    """
    from pipemodel.solids.step import job_step, write_run_step

    stems = run_stems(results.schedule)
    path = folder / f"{JOB_STEM}.step"
    files = [thing.shape.file for thing in near_things(results.schedule)]
    if any(file is not None and is_step(file.path) for file in files):
        try:
            data, notes = _opened(call(f"{__name__}:job_step_packed", results.schedule, STEP_LIMITS))
        except ChildError as error:
            raise UnavailableError(message("missing.step room", why=_why(error))) from error
    else:
        data, notes = job_step(results.schedule)
    path.write_bytes(data)
    for number, solved in enumerate(results.schedule.runs):
        write_run_step(folder / f"{stems[solved.name]}.step", solved, number)
    reading = results.paper_options.reading
    return (*(say(note, reading) for note in notes), *far_words(results.schedule, reading))


def job_step_packed(pickled: bytes) -> bytes:
    """Return job.step of a solved job that was handed over pickled by our own process, a line of notes before it."""
    from pipemodel.solids.step import job_step

    data, notes = job_step(pickle.loads(pickled))
    return json.dumps([as_data(note) for note in notes]).encode() + b"\n" + data


def _opened(packed: bytes) -> tuple[bytes, tuple[Message, ...]]:
    notes, _, data = packed.partition(b"\n")
    return data, tuple(map(from_data, json.loads(notes)))


def _why(error: ChildError) -> Message:
    if isinstance(error, ChildFailedError):
        return message("child.failed", reason=bare(error.message or error.kind))
    return message("missing.kernel", how=child_said(error))


def write_stl_files(results: Results, folder: Folder) -> tuple[str, ...]:
    """Write a file for each run; says of any run so far out that it is written about a nearer origin."""
    from pipemodel.solids.mesh import tube_mesh
    from pipemodel.solids.stl import write_stl

    stems = run_stems(results.schedule)
    notes: list[str] = []
    for solved in results.schedule.runs:
        mesh = tube_mesh(solved.centreline, solved.tube.outside_mm, solved.tube.wall_mm, results.chord_mm)
        origin = write_stl(folder / f"{stems[solved.name]}.stl", mesh, solved.name)
        if origin != ORIGIN:
            place = bare(", ".join(map(MM.tidy, origin)))
            file = bare(f"{stems[solved.name]}.stl")
            notes.append(words(results.paper_options.reading, "stl.from", file=file, place=place))
    return tuple(notes)
