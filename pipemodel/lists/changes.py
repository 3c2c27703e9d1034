"""What changed against an earlier pack."""

from pipemodel.lists.blocks import Bullets, Content, Group, Paragraph, Part
from pipemodel.lists.table import Column, Kind, Table
from pipemodel.results.changes_values import Changes
from pipemodel.results.results import Results

COLUMNS = (Column("run"), Column("what"), Column("bend", Kind.COUNT), Column("in words"))


def changes(results: Results) -> Content | None:
    """Return the changes, None where there is no earlier pack to compare with."""
    return None if results.changes is None else changes_in(results.changes)


def changes_in(changed: Changes) -> Content:
    """Return changes as a list."""
    rows = tuple((one.run, one.what, one.bend, one.said) for one in changed.changes)
    said: tuple[Part, ...] = (Bullets(tuple(one.said for one in changed.changes)),) if rows else ()
    return Content(Table(COLUMNS, rows), (Group((Paragraph(changed.since), *said)),))
