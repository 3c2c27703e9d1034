"""STEP files (ISO 10303-21, application protocol 214, lengths in mm): the room and its runs, or one run."""

from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from io import BytesIO
from pathlib import Path
from typing import NamedTuple

from pipemodel.bending.schedule import Schedule, SolvedRun
from pipemodel.geometry.shapes.base import Colour
from pipemodel.messages.values import Message, bare, message
from pipemodel.solids.brep import tube_solid
from pipemodel.solids.colours import run_colour
from pipemodel.solids.extent import job_extent
from pipemodel.solids.kernel import (
    TDF,
    IFSelect,
    Interface,
    STEPCAFControl,
    TCollection,
    TDataStd,
    TDocStd,
    TopLoc,
    TopoDS,
    XCAFDoc,
    quiet,
)
from pipemodel.solids.near import near_things
from pipemodel.solids.room import thing_solid
from pipemodel.solids.step_text import finished, token


class StepError(OSError):
    """The kernel could not make a STEP file."""


class StepPart(NamedTuple):
    """One named, coloured solid of a file."""

    name: str
    shape: TopoDS.TopoDS_Shape
    colour: Colour


def job_step(schedule: Schedule) -> tuple[bytes, tuple[Message, ...]]:
    """Return a job as STEP, in one assembly named after the job: a part for each run and each shown thing of the room.

    With it comes what there is to say about things that are not shown as they are, one line each.

    Raises:
        StepError: if the kernel cannot make it.
        UnreadableError: if a STEP file of the room cannot be read.
    """
    extent = job_extent(schedule, near_things(schedule))
    parts = [_run_part(solved, run_colour(i)) for i, solved in enumerate(schedule.runs)]
    notes: list[Message] = []
    for thing in near_things(schedule):
        shape, note = thing_solid(thing.shape, extent)
        parts.append(StepPart(thing.name, shape, thing.shape.colour))
        if note:
            notes.append(message("step.note", thing=bare(thing.name), note=note))
    return step_bytes(schedule.job.name, parts), tuple(notes)


def write_run_step(path: Path, solved: SolvedRun, number: int = 0) -> None:
    """Write one run as one part, where it stands in the room; `number` counts the runs of a job from 0.

    Raises:
        StepError: if the kernel cannot write the file; nothing is left at `path` then.
        OSError: if the disk refuses.
    """
    path.write_bytes(step_bytes(None, [_run_part(solved, run_colour(number))]))


def step_bytes(assembly: str | None, parts: Sequence[StepPart]) -> bytes:
    """Return a STEP file of some parts: an assembly of that name, or, with no name, the first part by itself.

    Raises:
        StepError: if the kernel cannot make it.
    """
    document = TDocStd.TDocStd_Document(_text("BinXCAF"))
    shapes = XCAFDoc.XCAFDoc_DocumentTool.ShapeTool_s(document.Main())
    names: list[str] = []
    colours: list[Colour | None] = []
    root = None
    if assembly is not None:
        root = shapes.NewShape()
        _name(root, token(0))
        names.append(assembly)
        colours.append(None)
    for part in parts:
        label = shapes.AddShape(part.shape, False)
        name = token(len(names))
        _name(label, name)
        if root is not None:
            _name(shapes.AddComponent(root, label, TopLoc.TopLoc_Location()), name)
        names.append(part.name)
        colours.append(part.colour)
    shapes.UpdateAssemblies()
    try:
        return finished(_written(document), names, colours).encode("ascii")
    except ValueError as error:
        raise StepError(f"the kernel wrote something else than STEP: {error}") from error


def _run_part(solved: SolvedRun, colour: Colour) -> StepPart:
    tube = solved.tube
    return StepPart(solved.name, tube_solid(solved.centreline, tube.outside_mm, tube.wall_mm), colour)


def _written(document: TDocStd.TDocStd_Document) -> str:
    """Return the document as the kernel writes it."""
    writer = STEPCAFControl.STEPCAFControl_Writer()
    writer.SetNameMode(True)
    writer.SetColorMode(False)
    out = BytesIO()
    with quiet(), _settings():
        if not writer.Transfer(document):
            raise StepError("the kernel cannot turn these solids into STEP")
        status = writer.WriteStream(out)
    if status != IFSelect.IFSelect_RetDone:
        raise StepError(f"the kernel cannot write STEP: {status}")
    return out.getvalue().decode("ascii")


@contextmanager
def _settings() -> Iterator[None]:
    """Set what the kernel keeps for the whole process, and put it back.

    Curves on surfaces are left out: on planes, cylinders and tori every reader works them out, and the file is
    half the size. What another writer may have left otherwise in this process is set too.
    """
    statics = Interface.Interface_Static
    texts = {"write.step.schema": "AP214IS", "write.step.unit": "MM", "xstep.cascade.unit": "MM"}
    numbers = {"write.surfacecurve.mode": 0, "write.stepcaf.subshapes.name": 0, "write.precision.mode": 0}
    texts_before = {key: statics.CVal_s(key) for key in texts}
    numbers_before = {key: statics.IVal_s(key) for key in numbers}
    try:
        _set(texts, numbers)
        yield
    finally:
        _set(texts_before, numbers_before)


def _set(texts: Mapping[str, str], numbers: Mapping[str, int]) -> None:
    for key, text in texts.items():
        Interface.Interface_Static.SetCVal_s(key, text)
    for key, number in numbers.items():
        Interface.Interface_Static.SetIVal_s(key, number)


def _name(label: TDF.TDF_Label, name: str) -> None:
    TDataStd.TDataStd_Name.Set_s(label, _text(name))


def _text(text: str) -> TCollection.TCollection_ExtendedString:
    return TCollection.TCollection_ExtendedString(text)
