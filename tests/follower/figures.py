"""Lengths, angles, rolls and ends as people read them off a paper."""

import re
from fractions import Fraction
from typing import NamedTuple

MM_PER_INCH = 25.4
_INCHES = re.compile(r"(-?)(?:(\d+) )?(?:(\d+)/(\d+)|(\d+))(?: \((-?\d+(?:\.\d+)?)\))?$")


class Read(NamedTuple):
    """A length read off a paper: mm, and how far it may be from the truth by its rounding."""

    mm: float
    give: float


def length(text, unit="mm"):
    """Read a length: "412.5" in mm; "16 1/4 (16.24)", "3/8" or "0.46" in inches, the decimal where there is one."""
    text = text.strip()
    if unit == "mm":
        return Read(float(text), 0.25)
    if re.fullmatch(r"-?\d+\.\d+", text):
        return Read(float(text) * MM_PER_INCH, MM_PER_INCH / 200)
    found = _INCHES.match(text)
    if not found:
        raise ValueError(f"{text!r} is no length in inches")
    minus, whole, top, below, only, decimal = found.groups()
    size = Fraction(int(only or whole or 0)) + (Fraction(int(top), int(below)) if top else 0)
    taped = float(size) * MM_PER_INCH * (-1 if minus else 1)
    if decimal is None:
        return Read(taped, MM_PER_INCH / 32)
    fine = float(decimal) * MM_PER_INCH
    # One is to a sixteenth, the other to a hundredth: both round the same length.
    if abs(fine - taped) > MM_PER_INCH * (1 / 32 + 1 / 200) + 1e-6:
        raise ValueError(f"{text!r} says two lengths")
    return Read(fine, MM_PER_INCH / 200)


class Turned(NamedTuple):
    """What is done to the tube between two pulls: end for end or not, and a roll clockwise from the start end."""

    first: bool
    end_for_end: bool
    clockwise: float
    former: str = ""
    """The name of the former that is put in first; empty when the one that is in stays."""


PUT_IN = re.compile(r"put in the ([^;]+?)(?:, radius [^;]+)?; ")


def turned(text):
    """Read what a list of pulls says to do before a pull: "end for end, 90 clockwise", "180, half a turn"."""
    words = " ".join(text.split())
    if found := PUT_IN.match(words):
        return turned(words[found.end() :])._replace(former=found[1])
    if words.startswith("first pull"):
        return Turned(True, False, 0.0)
    rest = words.removeprefix("end for end").lstrip(",; ")
    over = words != rest
    if rest == "0, the same side up":
        return Turned(False, over, 0.0)
    if rest == "180, half a turn":
        return Turned(False, over, 180.0)
    found = re.fullmatch(r"(\d+(?:\.\d+)?) (clockwise|anticlockwise)", rest)
    if not found:
        raise ValueError(f"{text!r} is no roll")
    return Turned(False, over, float(found[1]) * (1 if found[2] == "clockwise" else -1))
