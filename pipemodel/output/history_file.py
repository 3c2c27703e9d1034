"""A history file that grows by the records of a piece, or is put together from others; whole or not at all."""

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import NamedTuple

from pipemodel.job.history import History, read_history, with_records
from pipemodel.job.model import Fault, said_of
from pipemodel.learning.records import PLACES, BendRecord, without_repeats
from pipemodel.messages.values import Count, SaidError, bare, message
from pipemodel.output.refused import refused
from pipemodel.output.whole_file import ChangedError, write_whole_file
from pipemodel.wording.safe_text import shown


class HistoryError(SaidError):
    """A history file that is left as it is, and why."""


class Added(NamedTuple):
    """What became of a history file: whether it was made, how many bends came in, of which piece."""

    made: bool
    bends: int
    number: int


def add_to_history(path: Path, records: Sequence[BendRecord]) -> Added:
    """Add the records of a piece to a history file, which is made if it is not there.

    What is in it already is not added again, whatever the job says of it by now.

    Raises:
        JobError: with everything that is wrong with the file.
        HistoryError: if the same piece is in it with other readings, or it cannot be written.
    """
    made = not path.exists()
    before = History("", ()) if made else read_history(path)
    same_piece = {record.same_bend[:-1]: record.number for record in before.records}
    number = max((record.number for record in before.records), default=0) + 1
    number = next(
        (same_piece[record.same_bend[:-1]] for record in records if record.same_bend[:-1] in same_piece), number
    )
    there = {record.same_bend: record for record in before.records}
    fresh: list[BendRecord] = []
    for record in records:
        earlier = there.get(record.same_bend)
        if earlier is None:
            fresh.append(replace(record, number=number))
        elif _measured(earlier) != _measured(record):
            raise HistoryError(message("history.other", file=bare(shown(str(path))), bend=Count(record.bend)))
    if not fresh:
        return Added(False, 0, number)
    _write(path, before, fresh)
    return Added(made, len(fresh), number)


def merge_histories(paths: Sequence[Path], out: Path) -> tuple[BendRecord, ...]:
    """Put history files together into one, each record once; the text of the first stays, with its comments.

    Raises:
        JobError: with everything that is wrong with one of the files.
        HistoryError: if the file to write is there and is none of them, or it cannot be written.
    """
    histories = [read_history(path) for path in paths]
    ours = any(out.exists() and out.samefile(path) for path in paths)
    if out.exists() and not ours:
        raise HistoryError(message("history.there", file=bare(shown(str(out)))))
    records = without_repeats(record for history in histories for record in history.records)
    _write(out, histories[0], records, None if not ours else out.read_bytes().decode("utf-8-sig"))
    return records


def _write(path: Path, before: History, records: Sequence[BendRecord], there: str | None = "same") -> None:
    file = bare(shown(str(path)))
    try:
        text = with_records(before, records)
        write_whole_file(path, text, before.text if there == "same" else there)
    except ValueError as error:
        raise HistoryError(message("history.left", file=file, why=Fault(said_of(error)).value)) from None
    except ChangedError:
        raise HistoryError(message("history.changed now", file=file)) from None
    except OSError as error:
        raise HistoryError(message("file.unwritten", file=file, why=refused(error))) from error


def _measured(record: BendRecord) -> tuple[float | None, ...]:
    read = (record.got_deg, record.start_mm, record.turned_deg, record.radius_got_mm)
    return tuple(None if one is None else round(one, PLACES) for one in read)
