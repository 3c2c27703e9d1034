"""Units for what people read: mm, or inches to the sixteenth with the decimal beside.

The record, and every file for programs, stays in mm. A length for people is rounded to the step of its unit:
half a millimetre, or a sixteenth of an inch. Beside the sixteenth stands the decimal, to a hundredth of an inch.
"""

import re
from collections.abc import Iterable
from dataclasses import dataclass, replace
from math import floor
from typing import Literal, NamedTuple, TypeAlias, get_args

UnitName: TypeAlias = Literal["mm", "in"]
UNIT_NAMES: tuple[UnitName, ...] = get_args(UnitName)
MM_PER_INCH = 25.4
SIXTEENTHS = 16


def to_step(value: float, step: float) -> float:
    """Return value rounded to the nearest multiple of step, halves upwards; never a negative zero."""
    return floor(value / step + 0.5) * step + 0.0


class Length(NamedTuple):
    """A length as people read it: "412.5" or "16 1/4", and the decimal that stands beside a fraction, or ""."""

    short: str
    decimal: str = ""

    def __str__(self) -> str:
        return f"{self.short} ({self.decimal})" if self.decimal else self.short


@dataclass(frozen=True)
class Units:
    """What lengths are read in, and how finely.

    `step_mm` is what a tape shows, `fine_mm` the last place of the decimal beside it, 0 where there is none;
    `said` tells both in a sentence.
    """

    name: UnitName
    step_mm: float
    fine_mm: float
    said: str
    column: int
    """How many letters a length without its decimal takes in a column."""
    names: tuple[str, ...] = ()
    """Names of the job that hold a length, such as "15 mm hand bender": in a sentence they stay as they are."""

    @property
    def wide_column(self) -> int:
        """How many letters a length with its decimal takes in a column."""
        return self.column + len(" (118.94)") if self.fine_mm else self.column

    def length(self, mm: float, fine_mm: float | None = None) -> str:
        """Return a length to read off a tape: "412.5", or "16 1/4 (16.24)"; see `written`."""
        return str(self.written(mm, fine_mm))

    def named(self, mm: float) -> str:
        """Return a length to read off a tape, with its unit: "412.5 mm"."""
        return f"{self.length(mm)} {self.name}"

    def written(self, mm: float, fine_mm: float | None = None) -> "Length":
        """Return a length as a tape shows it, and the decimal to stand beside it.

        Args:
            mm: the length, in mm whatever the unit; rounded here.
            fine_mm: what the decimal is to say, in mm, where rounding for a sum made it another.
        """
        if not self.fine_mm:
            return Length(self.short(mm))
        fine = to_step(mm if fine_mm is None else fine_mm, self.fine_mm)
        return Length(self.short(mm), f"{fine / MM_PER_INCH:.2f}")

    def between(self, from_mm: float, to_mm: float) -> "Length":
        """Return the length between two places along the tube, each rounded, so that the lengths of a run add up."""
        fine = to_step(to_mm, self.fine_mm) - to_step(from_mm, self.fine_mm) if self.fine_mm else None
        return self.written(to_step(to_mm, self.step_mm) - to_step(from_mm, self.step_mm), fine)

    def short(self, mm: float) -> str:
        """Return a length without the decimal beside, where there is little room: "412.5", or "16 1/4"."""
        if self.name == "mm":
            return _decimal(to_step(mm, self.step_mm), 1)
        sixteenths = floor(mm / self.step_mm + 0.5)
        whole, rest = divmod(abs(sixteenths), SIXTEENTHS)
        sign = "-" if sixteenths < 0 else ""
        if rest == 0:
            return f"{sign}{whole}"
        below = SIXTEENTHS
        while rest % 2 == 0:
            rest, below = rest // 2, below // 2
        return f"{sign}{whole} {rest}/{below}" if whole else f"{sign}{rest}/{below}"

    def reading(self, mm: float) -> str:
        """Return a length that is worked out and not taped, such as a gap: to 0.1 mm, or 0.01 in."""
        return f"{round(mm, 1) + 0.0:.1f}" if self.name == "mm" else f"{round(mm / MM_PER_INCH, 2) + 0.0:.2f}"

    def tidy(self, mm: float) -> str:
        """Return a measure of the job's own, such as a radius or a coordinate, with no more figures than it has."""
        if self.name == "mm":
            return _decimal(mm, 2)
        return _decimal(mm / MM_PER_INCH, 3)


_IN_MM = re.compile(r"(?<![\w.])(-?\d+(?:\.\d+)?) mm\b")


def in_units(text: str, units: Units) -> str:
    """Return a sentence with every length that is given as "17.5 mm" in the units asked for, names excepted."""
    if units.name == "mm":
        return text
    for name in units.names:
        before, found, after = text.partition(name)
        if found:
            return in_units(before, units) + name + in_units(after, units)
    return _IN_MM.sub(lambda found: f"{units.reading(float(found[1]))} {units.name}", text)


def units_for(name: UnitName, names: Iterable[str] = ()) -> Units:
    """Return the units of a name, for a job in which such names may be told."""
    units = INCHES if name == "in" else MM
    # The longest first, so that a name within another does not break it.
    holding = {one for one in names if _IN_MM.search(one)}
    return replace(units, names=tuple(sorted(holding, key=lambda one: (-len(one), one)))) if holding else units


def _decimal(value: float, places: int) -> str:
    text = f"{value + 0.0:.{places}f}"
    text = text.rstrip("0").rstrip(".") if places else text
    return "0" if text == "-0" else text


MM = Units("mm", 0.5, 0.0, "All in mm and degrees.", 7)
INCHES = Units(
    "in",
    MM_PER_INCH / SIXTEENTHS,
    MM_PER_INCH / 100.0,
    "All lengths in inches, to the nearest 1/16, with the decimal to 1/100 beside in brackets; angles in degrees.",
    9,
)
