"""The units of `messages.units`, by the name most papers import them by."""

from pipemodel.messages.units import (
    INCHES,
    MM,
    MM_PER_INCH,
    UNIT_NAMES,
    Length,
    UnitName,
    Units,
    to_step,
    units_for,
)

__all__ = ["INCHES", "MM", "MM_PER_INCH", "UNIT_NAMES", "Length", "UnitName", "Units", "to_step", "units_for"]
