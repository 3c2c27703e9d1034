"""Readings that no piece can have, and slips of unit: said before anything is reckoned with them.

`documents/page/correct_likely.js` is its twin on the page.
"""

from collections.abc import Iterator

from pipemodel.bending.schedule import SolvedRun
from pipemodel.messages.values import Angle, Length, Message, Name, Number, Tape, Word, message
from pipemodel.pulls.measures import Measure, MeasureKind

AWAY = 0.25
"""A reading off by more than this part of what the card has, and by more than AWAY_MM or AWAY_DEG, may be a slip."""
AWAY_MM, AWAY_DEG = 25.0, 12.0
NEAR, NEAR_MM, NEAR_DEG = 0.05, 8.0, 4.0
"""What it would be without the slip is this near to what the card has."""
LEAST_MM = 40.0
WIDEST_DEG = 180.0
SLIPS = (
    (10.0, "centimetres"),
    (25.4, "inches"),
    (100.0, "decimetres"),
    (1000.0, "metres"),
    (0.1, "ten"),
    (1.0 / 25.4, "millimetres"),
)
"""What a reading in mm is to be taken times where it was read so; the last where mm were written as inches."""


def unlikely(check: str, measure: Measure, value: float, solved: SolvedRun) -> Message | None:
    """Return what is wrong with a reading that cannot be meant, and what would be right; None for one that can."""
    name = Name(check, quoted=False)
    if measure.unit == "deg":
        return _angle(name, measure.value, value)
    read, right = Length(value), Tape(measure.value)
    if measure.kind is MeasureKind.ROUND and value < 0.0:
        return message("unlikely.round below", check=name, value=read)
    if measure.kind is MeasureKind.ROUND and value > solved.tube.outside_mm / 2.0:
        return message("unlikely.round", check=name, value=read)
    if (slip := next(_slips(measure.value, value), None)) is not None:
        meant, like = slip
        return message("unlikely.slip", check=name, value=read, right=right, slip=Word(like), meant=Length(meant))
    signed = measure.kind is MeasureKind.ASIDE
    least = -2.0 * measure.within if signed or measure.kind is MeasureKind.FLAT else 0.0
    longest = solved.cut_length_mm + 2.0 * max(f.radius_mm for f in solved.formers) + 2.0 * solved.tube.outside_mm
    if not signed and value < least:
        return message("unlikely.below", check=name, value=read, right=right)
    if abs(value) > longest:
        return message("unlikely.long", check=name, value=read, right=right, long=Tape(solved.cut_length_mm))
    return None


def _angle(check: Name, right: float, value: float) -> Message | None:
    said, card = Number(value), Angle(right)
    # A return bend may be pulled too far.
    if not 0.0 < value <= max(WIDEST_DEG, right + AWAY_DEG):
        return message("unlikely.angle", check=check, value=said, right=card)
    if abs(value - right) <= max(AWAY_DEG, AWAY * right):
        return None
    if abs(180.0 - value - right) <= NEAR_DEG:
        return message("unlikely.legs", check=check, value=said, meant=Number(180.0 - value))
    for factor in (10.0, 0.1):
        if abs(factor * value - right) <= NEAR_DEG:
            return message("unlikely.times", check=check, value=said, right=card, meant=Number(factor * value))
    return None


def _slips(right: float, value: float) -> Iterator[tuple[float, str]]:
    """Yield what slip of unit brings a reading near to what the card has: what is then meant, and the slip's name."""
    # Beside what is nearly nothing every reading is so many times as much.
    if abs(right) < LEAST_MM or abs(value - right) <= max(AWAY_MM, AWAY * abs(right)):
        return
    near = max(NEAR_MM, NEAR * abs(right))
    for factor, name in SLIPS:
        if abs(factor * value - right) <= near:
            yield factor * value, name
