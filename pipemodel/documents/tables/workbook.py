"""The lists of a job as a workbook, one sheet each, through XlsxWriter.

Numbers are numbers; texts are texts, never formulas or links. One that a spreadsheet would take for a formula
if it were typed in is marked as text for good. The same job gives the same bytes.
"""

import io
from datetime import datetime

from pipemodel.documents.tables.csv_table import starts_a_formula
from pipemodel.lists.all_lists import listings
from pipemodel.lists.table import Kind, Table, as_number
from pipemodel.messages.say import named, say
from pipemodel.messages.units import Units
from pipemodel.results.identity import identity
from pipemodel.results.results import Results
from pipemodel.wording.cautions import caution_lines
from pipemodel.wording.phrases import units_words, verdict_words
from pipemodel.wording.safe_text import shown

LONGEST = 2000
WIDEST, NARROWEST = 60, 8
CREATED = datetime(2000, 1, 1)
"""What the file says of its making: always the same, so that the same job gives the same bytes."""
_FORMATS = dict.fromkeys((Kind.ROUNDED, Kind.PLAY, Kind.ANGLE, Kind.TAPED), "0.0##")
_FORMATS |= {Kind.FULL: "0.000", Kind.SHARE: "0.000000"}


def workbook(results: Results) -> bytes:
    """Return the lists of a job as the bytes of an .xlsx file."""
    from xlsxwriter import Workbook

    out = io.BytesIO()
    book = Workbook(out, {"in_memory": True, "strings_to_formulas": False, "strings_to_urls": False})
    book.set_properties({"title": shown(results.schedule.job.name, 100), "author": "pipemodel", "created": CREATED})
    units = results.paper_options.reading
    writer = _Writer(book, units)
    writer.cover(results)
    for listing in listings(results):
        writer.sheet(listing.kind.named(units), listing.content.table.for_data)
    book.close()
    return out.getvalue()


class _Writer:
    """Puts tables on the sheets of a workbook."""

    def __init__(self, book: "Workbook", units: Units) -> None:  # type: ignore[name-defined]  # noqa: F821
        self.book, self.units = book, units
        self.head = book.add_format({"bold": True, "bottom": 1, "text_wrap": True, "valign": "top"})
        self.plain = book.add_format({"text_wrap": True, "valign": "top"})
        self.guarded = book.add_format({"text_wrap": True, "valign": "top", "quote_prefix": True})
        self.numbers = {
            kind: book.add_format({"num_format": number, "valign": "top"}) for kind, number in _FORMATS.items()
        }
        self.count = book.add_format({"num_format": "0", "valign": "top"})

    def cover(self, results: Results) -> None:
        """Write the first sheet: which job it is, and the cautions."""
        sheet = self.book.add_worksheet(named("job", self.units, "sheet"))
        sheet.set_column(0, 0, 100)
        lines = [
            results.schedule.job.name,
            identity(results.schedule),
            results.paper_options.state,
            verdict_words(results.report, self.units),
            units_words(self.units),
            *(say(note, self.units) for note in results.schedule.notes),
            *caution_lines(self.units),
        ]
        for row, line in enumerate(line for line in lines if line):
            self._text(sheet, row, 0, line, self.head if row == 0 else self.plain)

    def sheet(self, name: str, table: Table) -> None:
        """Write a table on a sheet of its own, its head kept in sight."""
        sheet = self.book.add_worksheet(name)
        heads = [column.titled(self.units) for column in table.columns]
        for column, head in enumerate(heads):
            sheet.write_string(0, column, head, self.head)
        widths = [max(len(word) for word in head.split()) + 2 for head in heads]
        for row, values in enumerate(table.rows, 1):
            for column, (value, kind) in enumerate(zip(values, (c.kind for c in table.columns), strict=True)):
                cell = as_number(value, kind, self.units)
                if isinstance(cell, str):
                    self._text(sheet, row, column, cell, self.plain)
                elif cell is not None:
                    sheet.write_number(row, column, cell, self.numbers.get(kind, self.count))
                widths[column] = max(widths[column], min(len(str(cell)) if cell is not None else 0, WIDEST))
        for column, width in enumerate(widths):
            sheet.set_column(column, column, min(max(width + 1, NARROWEST), WIDEST))
        sheet.freeze_panes(1, 1)
        if table.rows:
            sheet.autofilter(0, 0, len(table.rows), len(heads) - 1)

    def _text(self, sheet: "Worksheet", row: int, column: int, text: str, look: "Format") -> None:  # type: ignore[name-defined]  # noqa: F821
        safe = shown(text, LONGEST)
        sheet.write_string(row, column, safe, self.guarded if starts_a_formula(safe) else look)
