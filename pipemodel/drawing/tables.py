"""Tables on a drawing: ruled, figures to the right, as high as there is room for."""

from collections.abc import Sequence
from typing import NamedTuple

from pipemodel.drawing.lettering import width_of
from pipemodel.drawing.primitives import FlatPoint, Role
from pipemodel.drawing.sheet import Sheet
from pipemodel.messages.say import words
from pipemodel.messages.units import MM, Units
from pipemodel.messages.values import Count

ROW_MM = 4.4
LETTER_MM = 2.2
PAD_MM = 1.5


class DrawnTable(NamedTuple):
    """A head and rows of text; columns whose numbers are in `words` are set to the left."""

    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    words: frozenset[int] = frozenset({0})

    @property
    def widths(self) -> list[float]:
        """Of the columns, mm."""
        lines = (self.head, *self.rows)
        return [
            max(width_of(line[i], LETTER_MM, bold=line is self.head) for line in lines) + 2.0 * PAD_MM
            for i in range(len(self.head))
        ]

    @property
    def size(self) -> FlatPoint:
        """Width and height, mm."""
        return sum(self.widths), ROW_MM * (len(self.rows) + 1)

    def abreast(self, columns: int) -> list["DrawnTable"]:
        """Return the table parted into so many of about one height; a first column that is blank is filled again."""
        high = -(-len(self.rows) // columns)
        parts = []
        for k in range(0, len(self.rows), high or 1):
            named = next((row[0] for row in self.rows[k::-1] if row[0]), "")
            first = (named, *self.rows[k][1:])
            parts.append(self._replace(rows=(first, *self.rows[k + 1 : k + high])))
        return parts or [self]

    def no_higher_than(self, height: float, units: Units = MM) -> "DrawnTable":
        """Return the table cut to a height, its last row telling how many more there are."""
        room = max(int(height / ROW_MM) - 1, 1)
        if len(self.rows) <= room:
            return self
        more = len(self.rows) - (room - 1)
        last = (words(units, "drawing.more rows", n=Count(more)), *[""] * (len(self.head) - 1))
        return self._replace(rows=(*self.rows[: room - 1], last))


def draw_table(sheet: Sheet, table: DrawnTable, left: float, low: float) -> None:
    """Draw a table with its lower left corner at a place."""
    wide, high = table.size
    lines: Sequence[tuple[str, ...]] = (table.head, *table.rows)
    for i, line in enumerate(lines):
        y = low + high - (i + 1) * ROW_MM
        sheet.line([(left, y), (left + wide, y)], Role.DIMENSION if i == 0 else Role.PAPER)
        x = left
        for column, (text, width) in enumerate(zip(line, table.widths, strict=True)):
            at_left = column in table.words
            at = (x + PAD_MM if at_left else x + width - PAD_MM, y + 1.1)
            sheet.words(text, at, LETTER_MM, "left" if at_left else "right", bold=i == 0)
            x += width
