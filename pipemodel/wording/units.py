"""The units of `messages.units`, by the name most papers import them by."""

from pipemodel.messages.units import (
    INCHES,
    LANGUAGES,
    MM,
    MM_PER_INCH,
    UNIT_NAMES,
    Language,
    Length,
    UnitName,
    Units,
    to_step,
    units_for,
)

__all__ = [
    "INCHES",
    "LANGUAGES",
    "MM",
    "MM_PER_INCH",
    "UNIT_NAMES",
    "Language",
    "Length",
    "UnitName",
    "Units",
    "to_step",
    "units_for",
]
