"""How figures are written for a reader: in mm or inches to the sixteenth with the decimal beside, and in a language.

The record, and every file for programs, stays in mm. A length for people is rounded to the step of its unit:
half a millimetre, or a sixteenth of an inch. Beside the sixteenth stands the decimal, to a hundredth of an inch.

Number formats come from here and not from a library of locales: those group thousands, know nothing of sixteenths, and
take longer to load than a schedule takes to be worked out. All that two languages need is the decimal sign.
"""

from dataclasses import dataclass, replace
from math import floor
from typing import Literal, NamedTuple, TypeAlias, get_args

from pipemodel.messages.angles import deg

UnitName: TypeAlias = Literal["mm", "in"]
UNIT_NAMES: tuple[UnitName, ...] = get_args(UnitName)
Language: TypeAlias = Literal["en", "de"]
LANGUAGES: tuple[Language, ...] = get_args(Language)
FOLDERS: dict[Language, str] = {"en": "english", "de": "german"}
"""Where the templates of each language lie, beside this file."""
_DECIMAL: dict[Language, str] = {"en": ".", "de": ","}
_INCH: dict[Language, str] = {"en": "in", "de": "Zoll"}
MM_PER_INCH = 25.4
SIXTEENTHS, SIXTY_FOURTHS = 16, 64
_NOISE = 1e-3
"""In sixteenths: what rounding up or down passes over as noise of the arithmetic."""
THIN_TUBE_MM = 14.0
"""On a tube thinner than this a tenth of a mm round it is a roll of more than 0.8 degrees."""


def to_step(value: float, step: float) -> float:
    """Return value rounded to the nearest multiple of step, halves upwards; never a negative zero."""
    return floor(value / step + 0.5) * step + 0.0


class WrittenLength(NamedTuple):
    """A length as people read it: "412.5" or "16 1/4", and the decimal that stands beside a fraction, or ""."""

    short: str
    decimal: str = ""

    def __str__(self) -> str:
        return f"{self.short} ({self.decimal})" if self.decimal else self.short


@dataclass(frozen=True)
class Units:
    """What lengths are read in and how finely, and in which language.

    `step_mm` is what a tape shows, `fine_mm` the last place of the decimal beside it, 0 where there is none.
    """

    name: UnitName
    step_mm: float
    fine_mm: float
    column: int
    """How many letters a length without its decimal takes in a column."""
    language: Language = "en"

    @property
    def metric(self) -> "Units":
        """Millimetres, in the same language."""
        return units_for("mm", self.language)

    @property
    def unit(self) -> str:
        """The unit as it stands after a length: "mm", "in", "Zoll"."""
        return "mm" if self.name == "mm" else _INCH[self.language]

    @property
    def said(self) -> str:
        """The unit as it stands after "in": "mm", "inches", "Zoll"."""
        return "inches" if self.unit == "in" else self.unit

    def figure(self, text: str) -> str:
        """Return a figure, written with a decimal point, with the decimal sign of the language."""
        return text if self.language == "en" else text.replace(".", _DECIMAL[self.language])

    def angle(self, degrees: float) -> str:
        """Return an angle for reading, without its sign: "22.5"; see `angles.deg`."""
        return self.figure(deg(degrees))

    @property
    def wide_column(self) -> int:
        """How many letters a length with its decimal takes in a column."""
        return self.column + len(" (118.94)") if self.fine_mm else self.column

    def length(self, mm: float) -> str:
        """Return a length to read off a tape: "412.5", or "16 1/4 (16.24)"; see `written`."""
        return str(self.written(mm))

    def named(self, mm: float) -> str:
        """Return a length to read off a tape, with its unit: "412.5 mm"."""
        return f"{self.length(mm)} {self.unit}"

    def written(self, mm: float, fine_mm: float | None = None) -> "WrittenLength":
        """Return a length as a tape shows it, and the decimal to stand beside it.

        Args:
            mm: the length, in mm whatever the unit; rounded here.
            fine_mm: what the decimal is to say, in mm, where rounding for a sum made it another.
        """
        if not self.fine_mm:
            return WrittenLength(self.short(mm))
        fine = to_step(mm if fine_mm is None else fine_mm, self.fine_mm)
        if not fine and self.short(mm) == "0":
            return WrittenLength("0")
        return WrittenLength(self.short(mm), self.figure(f"{fine / MM_PER_INCH:.2f}"))

    def between(self, from_mm: float, to_mm: float) -> "WrittenLength":
        """Return the length between two places along the tube, each rounded, so that the lengths of a run add up."""
        fine = to_step(to_mm, self.fine_mm) - to_step(from_mm, self.fine_mm) if self.fine_mm else None
        return self.written(to_step(to_mm, self.step_mm) - to_step(from_mm, self.step_mm), fine)

    def short(self, mm: float) -> str:
        """Return a length without the decimal beside, where there is little room: "412.5", or "16 1/4".

        >>> MM.short(412.4), INCHES.short(412.4)
        ('412.5', '16 1/4')
        """
        if self.name == "mm":
            return self.figure(_decimal(to_step(mm, self.step_mm), 1))
        return _fraction(mm, SIXTEENTHS)

    def sixteenths(self, mm: float, rounded: Literal["nearest", "up", "down"]) -> str:
        """Return a length in inches to a sixteenth, rounded that way.

        >>> INCHES.sixteenths(2.0, "up"), INCHES.sixteenths(3.17500001, "up"), INCHES.sixteenths(47.0, "down")
        ('1/8', '1/8', '1 13/16')
        """
        half = {"nearest": 0.0, "up": 0.5 - _NOISE, "down": _NOISE - 0.5}[rounded]
        return _fraction(mm + half * MM_PER_INCH / SIXTEENTHS, SIXTEENTHS)

    def reading(self, mm: float) -> str:
        """Return a length that is worked out and not taped, such as a gap: to 0.1 mm, or 0.01 in."""
        value, places = (mm, 1) if self.name == "mm" else (mm / MM_PER_INCH, 2)
        return self.figure(f"{round(value, places) + 0.0:.{places}f}")

    def around(self, mm: float, outside_mm: float) -> str:
        """Return a distance round a tube, with its unit: "11.8 mm", "6.25 mm" on a thin tube, or "0.464 in (~15/32)".

        Half a step of the decimals is a roll of less than half a degree on any tube of 6 mm or more: what is coarser
        than that, a checking jig would refuse; so the 1/64 that a steel rule has only says where about it is.
        """
        if self.name == "in":
            decimal = self.figure(f"{mm / MM_PER_INCH:.3f}")
            return f"{decimal} {self.unit} (~{_fraction(mm, SIXTY_FOURTHS)})"
        if outside_mm >= THIN_TUBE_MM:
            return f"{self.figure(f'{to_step(mm, 0.1):.1f}')} {self.unit}"
        return f"{self.figure(f'{to_step(mm, 0.05):.2f}')} {self.unit}"

    def tidy(self, mm: float) -> str:
        """Return a measure of the job's own, such as a radius or a coordinate, with no more figures than it has."""
        return self.figure(_decimal(mm, 2) if self.name == "mm" else _decimal(mm / MM_PER_INCH, 3))

    def own(self, mm: float) -> str:
        """Return a measure of the job's own that hands tape, in mm as it is.

        >>> MM.own(55.25), INCHES.own(55.0), INCHES.own(38.1)
        ('55.25', '2 3/16 (2.17)', '1 1/2')
        """
        if self.name == "mm":
            return self.tidy(mm)
        return self.short(mm) if abs(to_step(mm, self.step_mm) - mm) < 1e-6 else self.length(mm)


def units_for(name: UnitName, language: Language = "en") -> Units:
    """Return the units of a name, for a reader of a language."""
    units = INCHES if name == "in" else MM
    return units if language == "en" else replace(units, language=language)


def _fraction(mm: float, of: int) -> str:
    """Return a length in inches to the nearest part of one, in lowest terms: "16 1/4"."""
    parts = floor(mm / MM_PER_INCH * of + 0.5)
    whole, rest = divmod(abs(parts), of)
    sign = "-" if parts < 0 else ""
    if rest == 0:
        return f"{sign}{whole}"
    while rest % 2 == 0:
        rest, of = rest // 2, of // 2
    return f"{sign}{whole} {rest}/{of}" if whole else f"{sign}{rest}/{of}"


def _decimal(value: float, places: int) -> str:
    text = f"{value + 0.0:.{places}f}"
    text = text.rstrip("0").rstrip(".") if places else text
    return "0" if text == "-0" else text


MM = Units("mm", 0.5, 0.0, 7)
INCHES = Units("in", MM_PER_INCH / SIXTEENTHS, MM_PER_INCH / 100.0, 9)
