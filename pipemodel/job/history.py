"""A history file: records of finished pieces, one a line, read with the place of whatever is wrong.

Files are put together by any means that keeps whole lines: a record has a name made of what it says, so one that comes
in twice counts once, and one that was changed or broken on the way is found.
"""

import json
from collections.abc import Iterable
from os import PathLike, fspath
from typing import Any, NamedTuple

from pydantic import ValidationError

from pipemodel.job.history_forms import RecordForm
from pipemodel.job.messages import faults_of_form
from pipemodel.job.model import Fault, JobError, Place
from pipemodel.job.quantities import shown
from pipemodel.job.text import read_text
from pipemodel.job.yaml_tree import YamlTree, read_tree
from pipemodel.learning.records import PLACES, BendRecord, without_repeats
from pipemodel.messages.values import Name, message

HEAD = "# One record for each bend of a finished piece, one a line; put files together by their lines.\n"
OTHER_NAMES = {
    "outside": "outside_mm",
    "wall": "wall_mm",
    "radius": "radius_mm",
    "angle": "angle_deg",
    "pulled": "pulled_deg",
    "got": "got_deg",
    "mark": "mark_mm",
    "start": "start_mm",
    "turn": "turn_deg",
    "turned": "turned_deg",
    "radius_got": "radius_got_mm",
    "radius_sd": "radius_got_sd",
}
"""Keys of the file that are called otherwise in a record, where names carry their unit."""
MARKS_OF_A_MERGE = ("<<<<<<<", "=======", ">>>>>>>", "|||||||")


class History(NamedTuple):
    """A history file as it stands: its text, and its records with each once."""

    text: str
    records: tuple[BendRecord, ...]


def read_history(path: str | PathLike[str]) -> History:
    """Read a history file.

    Raises:
        JobError: with everything that is wrong with it, each at its line and column.
    """
    return history_of(read_text(path), fspath(path))


def history_of(text: str, path: str) -> History:
    """Return the history in a text, as if it stood in the file at `path`; see `read_history`."""
    faults = _marks_of_a_merge(text)
    if not faults:
        records, faults = records_of(read_tree(text))
    if faults:
        raise JobError(path, faults)
    return History(text, without_repeats(records))


def records_of(tree: YamlTree) -> tuple[list[BendRecord], list[Fault]]:
    """Return the records of a file's tree as they stand, and what is wrong with it."""
    if tree.faults or tree.values is None:
        return [], [Fault(message("history.broken", said=fault.value), fault.place) for fault in tree.faults]
    if not isinstance(tree.values, list):
        return [], [Fault(message("history.no list"))]
    records: list[BendRecord] = []
    faults: list[Fault] = []
    for n, values in enumerate(tree.values):
        here = tree.spot.at((n,))
        try:
            form = RecordForm.model_validate(values)
        except ValidationError as error:
            faults += faults_of_form(error, RecordForm, message("fault.a record"), here)
            continue
        record = _record(form)
        if form.id and form.id != record.id:
            faults.append(Fault(message("history.changed", id=Name(shown(form.id))), here.at(("id",)).place))
        records.append(record)
    return records, faults


def with_records(history: History, records: Iterable[BendRecord]) -> str:
    """Return the text of a history with records added that are not in it; comments and layout stay.

    Raises:
        ValueError: if its layout has no room for lines at the end (one that is indented, or written in brackets).
    """
    there = {record.id for record in history.records}
    fresh = [record for record in without_repeats(records) if record.id not in there]
    if not fresh:
        return history.text
    newline = "\r\n" if "\r\n" in history.text else "\n"
    before = history.text or HEAD
    if not before.endswith("\n"):
        before += newline
    text = before + "".join(line_of(record) + newline for record in fresh)
    try:
        now = history_of(text, "")
    except JobError:
        now = None
    if now is None or [r.id for r in now.records] != [r.id for r in (*history.records, *fresh)]:
        raise ValueError(message("history.no room"))
    return text


def line_of(record: BendRecord) -> str:
    """Return a record as the line that holds it, without the end of the line."""
    values: dict[str, Any] = {"id": record.id}
    for key in RecordForm.model_fields:
        if key != "id":
            value = getattr(record, OTHER_NAMES.get(key, key))
            if value is not None and value != "" and not (key.endswith("_sd") and value == 0.0):
                values[key] = value
    return "- {" + ", ".join(f"{key}: {_written(value)}" for key, value in values.items()) + "}"


def _written(value: object) -> str:
    if isinstance(value, str):
        return json.dumps(value, ensure_ascii=False)
    if isinstance(value, float):
        value = round(value, PLACES)
        return str(int(value)) if value.is_integer() else f"{value:.{PLACES}f}".rstrip("0")
    return str(value)


def _record(form: RecordForm) -> BendRecord:
    given = form.model_dump(exclude={"id"})
    return BendRecord(**{OTHER_NAMES.get(key, key): value for key, value in given.items()})


def _marks_of_a_merge(text: str) -> list[Fault]:
    """Return what a version control left of two sides that it could not put together."""
    lines = enumerate(text.splitlines(), 1)
    return [Fault(message("history.mark left"), Place(n)) for n, line in lines if line.startswith(MARKS_OF_A_MERGE)]
