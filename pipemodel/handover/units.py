"""Units for what people read: mm, or inches to the sixteenth with the decimal beside.

The record, and every file for programs, stays in mm. A length for people is rounded to the step of its unit:
half a millimetre, or a sixteenth of an inch. Beside the sixteenth stands the decimal, to a hundredth of an inch.
"""

from dataclasses import dataclass
from math import floor
from typing import Literal, TypeAlias, get_args

UnitName: TypeAlias = Literal["mm", "in"]
UNIT_NAMES: tuple[UnitName, ...] = get_args(UnitName)
MM_PER_INCH = 25.4
SIXTEENTHS = 16


def to_step(value: float, step: float) -> float:
    """Return value rounded to the nearest multiple of step, halves upwards; never a negative zero."""
    return floor(value / step + 0.5) * step + 0.0


@dataclass(frozen=True)
class Units:
    """What lengths are read in, and how finely: `step_mm` is what a tape shows, `fine_mm` the decimal beside, or 0."""

    name: UnitName
    step_mm: float
    fine_mm: float
    said: str

    def length(self, mm: float, fine_mm: float | None = None) -> str:
        """Return a length to read off a tape: "412.5", or "16 1/4 (16.24)".

        Args:
            mm: the length, in mm whatever the unit; rounded here.
            fine_mm: what the decimal beside is to say, where rounding for a sum made it another; in mm.
        """
        if self.name == "mm":
            return _decimal(to_step(mm, self.step_mm), 1)
        fine = mm if fine_mm is None else fine_mm
        return f"{self.short(mm)} ({to_step(fine, self.fine_mm) / MM_PER_INCH:.2f})"

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

    def tidy(self, mm: float) -> str:
        """Return a measure of the job's own, such as a radius or a coordinate, with no more figures than it has."""
        if self.name == "mm":
            return _decimal(mm, 2)
        return _decimal(mm / MM_PER_INCH, 3)

    def with_unit(self, text: str) -> str:
        """Return a length with its unit behind it, for a sentence."""
        return f"{text} {self.name}"


def _decimal(value: float, places: int) -> str:
    text = f"{value + 0.0:.{places}f}"
    text = text.rstrip("0").rstrip(".") if places else text
    return "0" if text == "-0" else text


MM = Units("mm", 0.5, 0.0, "All lengths in mm, to half a millimetre")
INCHES = Units(
    "in",
    MM_PER_INCH / SIXTEENTHS,
    MM_PER_INCH / 100.0,
    "All lengths in inches, to the nearest 1/16; in brackets the decimal, to 1/100",
)


def units_named(name: UnitName) -> Units:
    """Return the units of a name."""
    return INCHES if name == "in" else MM
