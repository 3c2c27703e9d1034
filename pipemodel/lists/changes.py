"""What changed against an earlier pack."""

from pipemodel.lists.blocks import Bullets, Content, Group, Paragraph, Part
from pipemodel.lists.table import Column, Kind, Table
from pipemodel.results.changes import since_words
from pipemodel.results.record import Record
from pipemodel.results.results import Results

COLUMNS = (Column("run"), Column("what"), Column("bend", Kind.COUNT), Column("in words"))


def changes(results: Results) -> Content | None:
    """Return the changes, None where there is no earlier pack to compare with."""
    record = results.changes_record
    return None if record is None else changes_in(record)


def changes_in(record: Record) -> Content:
    """Return the changes of a record."""
    changed = record["changes"]
    rows = tuple((change["run"], change["what"], change["bend"], change["text"]) for change in changed)
    listed: tuple[Part, ...] = (Bullets(tuple(change["text"] for change in changed)),) if changed else ()
    return Content(Table(COLUMNS, rows), (Group((Paragraph(since_words(record)), *listed)),))
