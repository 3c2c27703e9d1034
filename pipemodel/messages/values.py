"""A sentence before it is worded: the name of a template, and the values that go into it.

Whoever finds something out makes a message; `messages.say` words it, in the unit and the language of the reader.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, fields
from functools import cached_property
from typing import Any, Literal, TypeAlias

from pipemodel.geometry.vectors import Vec3

Rounding: TypeAlias = Literal["nearest", "up", "down"]
Joiner: TypeAlias = Literal["and", "or", ",", ";", "+"]


@dataclass(frozen=True)
class Length:
    """A length in mm, worded with its unit: "17.5 mm", or "0.69 in".

    `form` is how it is written in mm, as for `format`. Rounded "up" or "down" it is so to the last place of `form`
    (of a tenth for "g"), for what must be enough, or not too much. `beside` is a length in the same sentence that the
    reader compares it with: the two are written as finely as it takes to tell them apart. In inches one that is `taped`
    has the sixteenth and the decimal beside it.
    """

    mm: float
    form: str = "g"
    rounded: Rounding = "nearest"
    beside: float | None = None
    taped: bool = False


@dataclass(frozen=True)
class Near:
    """A distance in mm as it is measured: to a tenth, and small ones to a hundredth; `beside` as for `Length`."""

    mm: float
    beside: float | None = None


@dataclass(frozen=True)
class Tape:
    """A length in mm as it is read off a tape, with its unit or without: "412.5 mm", or "16 1/4 (16.24) in".

    In mm one that is `exact` is written as the job has it, and not to the half: "radius 55.25".
    """

    mm: float
    unit: bool = True
    exact: bool = False


@dataclass(frozen=True)
class AroundTube:
    """A distance in mm measured round a tube, with its unit; as finely as the tube's outside diameter asks for."""

    mm: float
    outside_mm: float


@dataclass(frozen=True)
class Reading:
    """A length in mm that is worked out and not taped, such as a gap, without its unit: to 0.1 mm, or 0.01 in."""

    mm: float


@dataclass(frozen=True)
class Size:
    """A measure of the job's own in mm, such as a radius, without its unit and with no more figures than it has."""

    mm: float


@dataclass(frozen=True)
class Point:
    """A point in the room, mm: "x 860.2 mm, y 120 mm, z -95 mm"."""

    at: Vec3


@dataclass(frozen=True)
class Angle:
    """An angle in degrees, without its unit; `form` "" means as every paper writes angles, to a tenth.

    `beside` is an angle in the same sentence that the reader compares it with: the two are written as finely as it
    takes to tell them apart.
    """

    deg: float
    form: str = ""
    beside: float | None = None


@dataclass(frozen=True)
class Number:
    """A plain figure, such as a share or a factor."""

    value: float
    form: str = "g"


@dataclass(frozen=True)
class Count:
    """How many, or a number that something goes by. `{n|thing|things}` in a template chooses by it."""

    n: int


@dataclass(frozen=True)
class Name:
    """What somebody named: said as it is, in quotes or without."""

    text: str
    quoted: bool = True


@dataclass(frozen=True)
class Word:
    """A word out of a table of ours, such as "start" or "elbow".

    A template may choose by it, `{end|start=...|finish=...}`; otherwise it is said as the language's templates have it
    under "word.start", and as it is where they have not.
    """

    key: str


@dataclass(frozen=True)
class Listed:
    """Several values in a row: "1, 2 and 3"."""

    items: tuple["Value", ...]
    by: Joiner = "and"


@dataclass(frozen=True)
class Message:
    """A sentence, or part of one: a template's name and the values for its placeholders, by name.

    As text it is the English sentence in mm, which is what programs get.
    """

    template: str
    values: tuple[tuple[str, "Value"], ...] = ()

    @cached_property
    def english(self) -> str:
        """The sentence in English, in mm."""
        from pipemodel.messages.say import say

        return say(self)

    def __str__(self) -> str:
        return self.english

    def __contains__(self, part: str) -> bool:
        return part in self.english


Value: TypeAlias = (
    Length | Near | Tape | AroundTube | Reading | Size | Point | Angle | Number | Count | Name | Word | Listed | Message
)


class SaidError(Exception):
    """What cannot be done, and why, as a message: worded in the language of its reader."""

    def __init__(self, said: Message) -> None:
        super().__init__(said)
        self.said = said


def message(template: str, **values: Value) -> Message:
    """Return a message from the name of its template, and a value for each of the template's placeholders."""
    return Message(template, tuple(values.items()))


def word(key: str) -> Message:
    """Return a word out of a table of ours, as all there is to say."""
    return message("word", word=Word(key))


def bare(text: str) -> Name:
    """Return what somebody wrote, to be said without quotes."""
    return Name(text, quoted=False)


def listed(items: Sequence[Value], by: Joiner = "and") -> Listed:
    """Return values in a row."""
    return Listed(tuple(items), by)


def counts(numbers: Sequence[int], by: Joiner = "and") -> Listed:
    """Return numbers in a row."""
    return Listed(tuple(Count(n) for n in numbers), by)


NOTHING = message("nothing")
"""Says nothing, where a template leaves room for something that is not always there."""


_KINDS: dict[str, type[Any]] = {
    kind.__name__.lower(): kind
    for kind in (Length, Near, Tape, AroundTube, Reading, Size, Point, Angle, Number, Count, Name, Word, Listed)
}


def as_data(said: Message) -> dict[str, Any]:
    """Return a message as plain data: its template, and its values with their kinds; lengths in mm."""
    return {"template": said.template, "values": {name: _plain(value) for name, value in said.values}}


def _plain(value: Value) -> dict[str, Any]:
    if isinstance(value, Message):
        return as_data(value)
    out: dict[str, Any] = {"kind": type(value).__name__.lower()}
    for one in fields(value):
        given = getattr(value, one.name)
        if given == one.default:
            continue
        if isinstance(value, Listed) and one.name == "items":
            given = [_plain(item) for item in value.items]
        elif isinstance(given, tuple):
            given = list(given)
        elif isinstance(given, float):
            given = float(given) + 0.0
        out[one.name] = given
    return out


def from_data(data: Mapping[str, Any]) -> Message:
    """Return a message from the plain data that `as_data` made of it; other keys are passed over.

    Raises:
        KeyError, TypeError, ValueError: if it is no such data.
    """
    return Message(data["template"], tuple((name, _value(one)) for name, one in data["values"].items()))


def _value(data: Mapping[str, Any]) -> Value:
    if "template" in data:
        return from_data(data)
    given = {name: tuple(one) if isinstance(one, list) else one for name, one in data.items() if name != "kind"}
    if data["kind"] == "listed":
        given["items"] = tuple(_value(item) for item in data.get("items", ()))
    value: Value = _KINDS[data["kind"]](**given)
    return value
