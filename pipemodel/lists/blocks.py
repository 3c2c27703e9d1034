"""What a list says where people read: headings, paragraphs, tables and remarks, in order.

Text, pack and page each show every one of these in one way (`documents/text/parts.py` and so on), whatever list they
are of.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Literal, TypeAlias

from pipemodel.drawing.sheet import Sheet
from pipemodel.lists.table import Table, Words
from pipemodel.messages.say import capital, named
from pipemodel.messages.units import Units
from pipemodel.pulls.cards import Card
from pipemodel.results.results import Results

TextPageName: TypeAlias = Literal["schedule", "check", "cuts", "changes", "jig"]


@dataclass(frozen=True)
class Paragraph:
    """A paragraph; an `aside` is left out of plain text, and `wrong` says what does not go."""

    text: Words
    look: Literal["plain", "aside", "wrong"] = "plain"


@dataclass(frozen=True)
class Subheading:
    """A line over a table or list, and what is to be known of it."""

    text: Words
    more: Words = ""


@dataclass(frozen=True)
class Facts:
    """Labels, each with what is so."""

    rows: tuple[tuple[Words, Words], ...]


@dataclass(frozen=True)
class Bullets:
    """Short texts, one below the other; `notes` are of less weight."""

    items: tuple[Words, ...]
    notes: bool = False


@dataclass(frozen=True)
class Remark:
    """Something that was found: how grave, its code, what it is and where."""

    severity: Literal["error", "warning", "note"]
    code: str
    text: Words
    where: Words = ""


@dataclass(frozen=True)
class Cards:
    """The cards of a piece's pulls."""

    cards: tuple[Card, ...]


@dataclass(frozen=True)
class Picture:
    """A drawing among the words; left out of plain text."""

    sheet: Sheet
    caption: Words


Part: TypeAlias = Paragraph | Subheading | Facts | Bullets | Remark | Cards | Picture | Table


@dataclass(frozen=True)
class Group:
    """The parts of a list that are of one run, or of one size of tube; `name` is empty where they are of the job."""

    parts: tuple[Part, ...]
    name: Words = ""
    run: bool = True


@dataclass(frozen=True)
class Content:
    """What is in a list: its table, and how people read it, which is the table itself if left out."""

    table: Table
    groups: tuple[Group, ...] = ()

    @property
    def to_read(self) -> tuple[Group, ...]:
        """How people read it."""
        return self.groups or ((Group((self.table,)),) if self.table.rows else ())


SHEET = "sheet"
"""The table that names of lists are looked up in, in languages other than English."""


def titled(name: str) -> Words:
    """Return the title of a list that is its name."""
    return lambda units: capital(named(name, units, SHEET))


@dataclass(frozen=True)
class JobList:
    """A kind of list: its name, its title, what makes it, and where it stands.

    `text` is the page of text it stands on ("jig" is the sheet of each jig, which says more), `more` what is to be
    known of all of it. Not `apart` is a list that papers have a place of their own for, or that is for data alone.
    `make` returns None where a job has no such list.
    """

    name: str
    title: Words
    make: Callable[[Results], Content | None]
    text: TextPageName = "schedule"
    apart: bool = True
    more: Words = ""
    own_sheets: bool = False
    """Whether its groups have sheets of their own in the pack."""

    def named(self, units: Units) -> str:
        """Return its name in the reader's language."""
        return named(self.name, units, SHEET)


@dataclass(frozen=True)
class Listing:
    """One list of one job."""

    key: str
    kind: JobList
    content: Content

    @property
    def begins_with_picture(self) -> bool:
        """Whether its first group is one with a picture."""
        return any(isinstance(part, Picture) for part in self.content.to_read[0].parts)

    @property
    def by_sheet(self) -> "tuple[Listing, ...]":
        """What begins a sheet each, as lists by themselves: a group with a picture, or those between that have none."""
        sheets: list[tuple[bool, tuple[Group, ...]]] = []
        for group in self.content.to_read:
            shown = any(isinstance(part, Picture) for part in group.parts)
            if sheets and not shown and not sheets[-1][0]:
                sheets[-1] = (False, (*sheets[-1][1], group))
            else:
                sheets.append((shown, (group,)))
        return tuple(replace(self, content=replace(self.content, groups=groups)) for _, groups in sheets)
