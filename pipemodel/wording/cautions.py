"""What every paper for people says at its foot."""

from pipemodel.messages.say import say
from pipemodel.messages.units import MM, Units
from pipemodel.messages.values import message

CAUTIONS = (message("caution.offcut"), message("caution.measure"), message("caution.licensed"))
"""The trade's cautions: general, for every job and every document."""
SHORT_CAUTION = message("caution.short")
"""The same in a line, for drawings and pictures."""


def caution_lines(units: Units = MM) -> list[str]:
    """Return the cautions for a reader."""
    return [say(caution, units) for caution in CAUTIONS]


def short_caution(units: Units = MM) -> str:
    """Return the caution in a line for a reader."""
    return say(SHORT_CAUTION, units)
