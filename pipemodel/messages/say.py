"""Wording a message: its template in the language of the reader, its values in the reader's unit.

The one place where a finding, a note or a step becomes a sentence. Templates are plain data, one table per language
(`units.FOLDERS`); a placeholder is `{name}`, chooses by number in `{name|bend|bends}`, and by word in
`{name|start=left|finish=right}`. That is all the grammar needed, so no catalogue library is loaded for it: a check
words every finding, and is to stay quick.
"""

import re
from collections.abc import Callable, Mapping
from functools import cache
from importlib import import_module
from math import ceil, floor
from pkgutil import iter_modules
from typing import Any, NamedTuple

from pipemodel.messages.units import FOLDERS, MM, MM_PER_INCH, Language, Units
from pipemodel.messages.values import (
    Angle,
    AroundTube,
    Count,
    Length,
    Listed,
    Message,
    Name,
    Near,
    Number,
    Point,
    Reading,
    Rounding,
    Size,
    Tape,
    Value,
    Word,
    message,
)

MOST_PLACES = 6
_PLACE = re.compile(r"\{\{|\}\}|\{([^{}]+)\}")
_NOISE = 1e-4
"""In steps of the last place: what rounding up or down passes over as noise of the arithmetic."""


class Placeholder(NamedTuple):
    """One placeholder of a template: the value's name, and what is chosen from."""

    name: str
    choices: tuple[str, ...]

    @property
    def by_word(self) -> dict[str, str]:
        """What each word is said as; empty where words are not chosen by."""
        return dict(choice.split("=", 1) for choice in self.choices if "=" in choice)


@cache
def templates(language: Language) -> Mapping[str, str]:
    """Return the templates of a language, by name, out of every file of its folder."""
    folder = import_module(f"{__package__}.{FOLDERS[language]}")
    files = (import_module(f"{folder.__name__}.{file.name}") for file in iter_modules(folder.__path__))
    return {name: template for file in files for name, template in file.TEMPLATES.items()}


def say(said: Message, units: Units = MM) -> str:
    """Return a message as a sentence, in the unit and the language of the reader."""
    values = dict(said.values)
    return "".join(
        [
            part if isinstance(part, str) else _placed(part, values[part.name], units)
            for part in _parts(units.language, said.template)
        ]
    )


def words(units: Units, template: str, **values: Value) -> str:
    """Return the words of a template, for what is said in one place only, such as a heading."""
    return say(message(template, **values), units)


@cache
def _parts(language: Language, name: str) -> tuple[str | Placeholder, ...]:
    # A sentence that a language lacks is said in English rather than not at all.
    return parts_of({**templates("en"), **templates(language)}[name])


def parts_of(template: str) -> tuple[str | Placeholder, ...]:
    """Return a template as its fixed words and its placeholders, in order."""
    parts: list[str | Placeholder] = []
    end = 0
    for found in _PLACE.finditer(template):
        parts.append(template[end : found.start()])
        end = found.end()
        if found[0] in ("{{", "}}"):
            parts.append(found[0][0])
        else:
            name, *choices = found[1].split("|")
            parts.append(Placeholder(name, tuple(choices)))
    parts.append(template[end:])
    return tuple(part for part in parts if part != "")


def _placed(place: Placeholder, value: Value, units: Units) -> str:
    if place.choices:
        if isinstance(value, Count):
            return place.choices[value.n != 1]
        if isinstance(value, Listed):
            return place.choices[len(value.items) != 1]
        if isinstance(value, Word):
            return place.by_word[value.key]
    return _said(value, units)


def _said(value: Value, units: Units) -> str:
    return _WAYS[type(value)](value, units)


def capital(text: str) -> str:
    """Return text with its first letter as a capital, the others as they are."""
    return text[:1].upper() + text[1:]


def sentence(text: str) -> str:
    """Return text with a capital first and a full stop last, where it does not end a sentence already."""
    return capital(text) + ("" if text.endswith((".", "?")) else ".")


def named(key: str, units: Units, table: str = "word") -> str:
    """Return a word of a table of ours in the reader's language; in English it is its key."""
    return templates(units.language).get(f"{table}.{key}", key)


def _point(point: Point, units: Units) -> str:
    x, y, z = (Length(round(value, 1) + 0.0) for value in point.at)
    return words(units, "point", x=x, y=y, z=z)


def _angle(angle: Angle, units: Units) -> str:
    if angle.form:
        return units.figure(format(angle.deg, angle.form))
    if angle.beside is None or abs(angle.deg - angle.beside) <= 10.0**-MOST_PLACES:
        return units.angle(angle.deg)
    places = 1
    while places < MOST_PLACES and round(angle.deg, places) == round(angle.beside, places):
        places += 1
    return units.angle(angle.deg) if places == 1 else units.figure(f"{round(angle.deg, places):.10g}")


def _name(name: Name, units: Units) -> str:
    text = name.text
    if not name.quoted:
        return text
    return repr(text) if units.language == "en" else "\u201e" + text + "\u201c"


def _row(row: Listed, units: Units) -> str:
    items, by = [_said(item, units) for item in row.items], row.by
    if by in ("and", "or") and len(items) > 1:
        last = templates(units.language)[f"list.{by}"]
        return ", ".join(items[:-1]) + f" {last} {items[-1]}"
    return (" + " if by == "+" else f"{by} ").join(items)


def _number(number: Number, units: Units) -> str:
    text = format(number.value, number.form)
    # Thousands are kept apart in whole numbers alone.
    return text.replace(",", ".") if "," in text and units.language == "de" else units.figure(text)


def _length(length: Length, units: Units) -> str:
    """Write a length with its unit: in mm by its form, in inches to a hundredth; finer where it takes that.

    Inches of a length that is said to whole mm, or to move by, are those of a tape: sixteenths, where they tell enough.
    """
    mm, form, rounded, beside = length.mm, length.form, length.rounded, length.beside
    if units.name == "in" and length.taped and (beside is None or units.length(mm) != units.length(beside)):
        return units.named(mm)
    if units.name == "in" and (form == ".0f" or (form == "g" and rounded == "up")):
        text = units.sixteenths(mm, rounded)
        alike = beside is not None and (
            abs(mm - beside) < units.step_mm or text in {units.sixteenths(beside, way) for way in ("nearest", rounded)}
        )
        if not alike and (text != "0" or not mm):
            return f"{text} {units.unit}"
    places = int(form[1]) if form.endswith("f") else 1 if rounded != "nearest" else None
    if units.name == "in":
        # A hundredth of a mm is for what is thin: there a hundredth of an inch would say nothing.
        places = 3 if form == ".2f" else 2
        mm, form = mm / MM_PER_INCH, f".{places}f"
        beside = None if beside is None else beside / MM_PER_INCH
    text = _rounded(mm, form, rounded, places)
    while beside is not None and _hidden(mm, beside, text, form, rounded, places):
        places = (places or 0) + 1
        form = f".{places}f"
        text = _rounded(mm, form, rounded, places)
        if places >= MOST_PLACES:
            break
    return f"{units.figure(text)} {units.unit}"


def _hidden(value: float, beside: float, text: str, form: str, rounded: Rounding, places: int | None) -> bool:
    """Tell whether two lengths that differ are written alike."""
    if abs(value - beside) <= 10.0**-MOST_PLACES:
        return False
    return float(text) in {float(_rounded(beside, form, way, places)) for way in ("nearest", rounded)}


def _rounded(value: float, form: str, rounded: Rounding, places: int | None) -> str:
    if rounded != "nearest":
        steps = value * 10 ** (places or 0)
        steps = ceil(steps - _NOISE * 10) if rounded == "up" else floor(steps + _NOISE * 1e-5)
        value = steps / 10 ** (places or 0)
    return format(value + 0.0, form)


def _near(mm: float, beside: float | None, units: Units) -> str:
    """Write a measured distance: to a tenth, smaller ones to a hundredth, and finer beside what looks the same."""
    value, least = (mm, 1) if units.name == "mm" else (mm / MM_PER_INCH, 2)
    other = None if beside is None else beside if units.name == "mm" else beside / MM_PER_INCH
    if 0.0 < value < 0.005 and (other is None or other >= 0.015):
        return words(units, "less than", length=Name(f"{units.figure('0.01')} {units.unit}", quoted=False))
    places = least if units.name == "in" or value >= 0.95 else 2
    if beside is not None and other is not None:
        while places < MOST_PLACES and round(value, places) == round(other, places) and abs(mm - beside) > 1e-6:
            places += 1
    text = f"{round(value, places):.10g}" if units.name == "mm" else f"{round(value, places) + 0.0:.{places}f}"
    return f"{units.figure(text)} {units.unit}"


def _tape(tape: Tape, units: Units) -> str:
    text = units.own(tape.mm) if tape.exact else units.length(tape.mm)
    return f"{text} {units.unit}" if tape.unit else text


_WAYS: dict[type, Callable[[Any, Units], str]] = {
    Message: say,
    Length: _length,
    Near: lambda value, units: _near(value.mm, value.beside, units),
    AroundTube: lambda value, units: units.around(value.mm, value.outside_mm),
    Tape: _tape,
    Reading: lambda value, units: units.reading(value.mm),
    Size: lambda value, units: units.tidy(value.mm),
    Point: _point,
    Angle: _angle,
    Number: _number,
    Count: lambda value, units: str(value.n),
    Name: _name,
    Word: lambda value, units: named(value.key, units),
    Listed: _row,
}
"""How each kind of value is said."""
