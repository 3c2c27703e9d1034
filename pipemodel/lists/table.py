"""A table of values: columns that say what they hold, rows in mm and degrees.

A table says nothing of units, rounding or layout: whoever shows it does, by what each column holds. Columns may be
for data alone (a workbook, Markdown, CSV) or for people alone (text, pack, page).
"""

from collections.abc import Callable
from dataclasses import dataclass
from enum import Enum
from typing import NamedTuple, TypeAlias

from pipemodel.messages import say as messages
from pipemodel.messages.units import MM, MM_PER_INCH, Units, WrittenLength, units_for
from pipemodel.messages.values import Message

PLACES = 6


class Kind(Enum):
    """What a column holds, and so how it is shown."""

    TEXT = "text"
    COUNT = "count"
    BEND = "the number of a bend"
    TAPED = "a length read off a tape: mm, or a `Stretch`"
    ROUNDED = "a length worked out, such as a gap: mm, shown to 0.1 mm or 0.01 in"
    PLAY = "what play a slot leaves, and how wide it is: mm, shown to 0.01 mm or 0.001 in"
    FULL = "a length in full: mm; for calculating with, left out where people read"
    ANGLE = "degrees"
    SHARE = "a part of 1, in full, such as one of a direction's three; left out where people read"


class For(Enum):
    """Who a column is for."""

    ALL = "all"
    DATA = "workbook, Markdown and CSV"
    PEOPLE = "text, pack and page"


class Stretch(NamedTuple):
    """A length from one place along the tube to another, mm: rounded by its ends, so that a run adds up."""

    from_mm: float
    to_mm: float


class TooNear(NamedTuple):
    """A distance that is less than the one asked for, mm."""

    mm: float


@dataclass(frozen=True)
class Lines:
    """Several figures in one cell, each with a name, one below the other; to be ticked where there is paper."""

    items: "tuple[tuple[Words, str], ...]"


Words: TypeAlias = str | Message | Callable[[Units], str]
"""A name or a text as it is, a message, or what makes a text for a reader's units and language."""
CellValue: TypeAlias = Words | int | float | Stretch | TooNear | Lines | None
Cell: TypeAlias = str | int | float | None
COLUMN = "column"
"""The table that heads are looked up in, in languages other than English."""
_LENGTHS = (Kind.TAPED, Kind.ROUNDED, Kind.PLAY, Kind.FULL)


class Column(NamedTuple):
    """A column: its head, what it holds and who it is for.

    `head` is its key in CSV, and its English head in a workbook; `said` is the head where people read, with line ends
    where it may be broken. Without it they read `head`, which other languages have in a table of columns. `letters` is
    its least width on a page of text; `strong` marks figures to be read at arm's length, `tick` rows to be ticked on
    paper.
    """

    head: str
    kind: Kind = Kind.TEXT
    who: For = For.ALL
    said: Message | None = None
    letters: int = 0
    strong: bool = False
    tick: bool = False

    def titled(self, units: Units) -> str:
        """Return the head with the unit of its figures, as data has it: in English the key itself."""
        head = self.head if units.language == "en" else " ".join(self.to_read(units))
        if self.kind in _LENGTHS:
            return f"{head}, {units.unit}"
        return f"{head}, {messages.named('degrees', units, COLUMN)}" if self.kind is Kind.ANGLE else head

    def to_read(self, units: Units) -> list[str]:
        """Return the lines of the head where people read."""
        return (messages.say(self.said, units) if self.said else messages.named(self.head, units, COLUMN)).split("\n")

    @property
    def is_text(self) -> bool:
        """Whether it holds words, set to the left."""
        return self.kind is Kind.TEXT


@dataclass(frozen=True)
class Table:
    """Columns, and a row of values for each; `most` is how many rows are shown where there is little room."""

    columns: tuple[Column, ...]
    rows: tuple[tuple[CellValue, ...], ...]
    most: int | None = None

    def of(self, name: str) -> "Table":
        """Return the rows that have a name in the first column, without that column."""
        return Table(self.columns[1:], tuple(row[1:] for row in self.rows if row[0] == name), self.most)

    @property
    def for_data(self) -> "Table":
        """The table as a workbook has it."""
        return self._only(lambda column: column.who is not For.PEOPLE)

    @property
    def for_people(self) -> "Table":
        """The table as people read it: without figures in full."""
        full = (Kind.FULL, Kind.SHARE)
        return self._only(lambda column: column.who is not For.DATA and column.kind not in full)

    @property
    def in_words(self) -> "Table":
        """The table for data as far as it is to be read: without figures in full."""
        return self.for_data._only(lambda column: column.kind not in (Kind.FULL, Kind.SHARE))

    def _only(self, wanted: Callable[[Column], bool]) -> "Table":
        kept = [i for i, column in enumerate(self.columns) if wanted(column)]
        columns = tuple(self.columns[i] for i in kept)
        return Table(columns, tuple(tuple(row[i] for i in kept) for row in self.rows), self.most)


def say(words: Words, units: Units) -> str:
    """Return words for a reader of some units and a language."""
    if isinstance(words, Message):
        return messages.say(words, units)
    return words if isinstance(words, str) else words(units)


def taped(value: float | Stretch, units: Units) -> WrittenLength:
    """Return a length as a tape shows it."""
    return units.between(*value) if isinstance(value, Stretch) else units.written(value)


def as_text(value: CellValue, kind: Kind, units: Units) -> str:
    """Return a value as people read it."""
    if isinstance(value, Lines):
        return "\n".join(f"{say(figure, units)} ({name})" for figure, name in value.items)
    if isinstance(value, TooNear):
        return units.reading(value.mm)
    if isinstance(value, float | Stretch):
        if isinstance(value, Stretch) or kind is Kind.TAPED:
            return str(taped(value, units))
        written = {Kind.ANGLE: units.angle, Kind.PLAY: units.tidy}.get(kind, units.reading)
        return written(value)
    if value is None or isinstance(value, int):
        return "" if value is None else str(value)
    return say(value, units)


def as_number(value: CellValue, kind: Kind, units: Units) -> Cell:
    """Return a value as a spreadsheet takes it: a number wherever it is one."""
    if isinstance(value, TooNear):
        value = value.mm
    if isinstance(value, Stretch) or (isinstance(value, float) and kind is Kind.TAPED):
        return float(taped(value, MM).short) if units.name == "mm" else str(taped(value, units))
    if isinstance(value, float):
        if kind is Kind.ROUNDED:
            return float(units_for(units.name).reading(value))
        if kind is Kind.PLAY:
            return float(units_for(units.name).tidy(value))
        scale = MM_PER_INCH if kind is Kind.FULL and units.name == "in" else 1.0
        return round(value / scale, PLACES) + 0.0
    return value if value is None or isinstance(value, int) else as_text(value, kind, units)
