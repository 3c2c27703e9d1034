"""Readings that no piece can have, and slips of unit: said before anything is reckoned with them."""

from collections.abc import Iterator

from pipemodel.bending.schedule import SolvedRun
from pipemodel.pulls.measures import Measure, MeasureKind

AWAY = 0.25
"""A reading off by more than this part of what the card has, and by more than AWAY_MM or AWAY_DEG, may be a slip."""
AWAY_MM, AWAY_DEG = 25.0, 12.0
NEAR, NEAR_MM, NEAR_DEG = 0.05, 8.0, 4.0
"""What it would be without the slip is this near to what the card has."""
LEAST_MM = 40.0
WIDEST_DEG = 200.0
_UNITS = ((10.0, "centimetres"), (25.4, "inches"), (1000.0, "metres"))


def unlikely(check: str, measure: Measure, value: float, solved: SolvedRun) -> str | None:
    """Return what is wrong with a reading that cannot be meant, and what would be right; None for one that can."""
    if measure.unit == "deg":
        return _angle(check, measure.value, value)
    said = f"check {check}: {value:g}"
    if (slip := next(_slips(measure.value, value), None)) is not None:
        return f"{said} is far from the {measure.value:.1f} on the card and looks like {slip}"
    signed = measure.kind is MeasureKind.ASIDE
    least = -2.0 * measure.within if signed or measure.kind is MeasureKind.FLAT else 0.0
    longest = solved.cut_length_mm + 2.0 * max(f.radius_mm for f in solved.formers) + 2.0 * solved.tube.outside_mm
    if not signed and value < least:
        return f"{said} is below 0, which no piece has; the card has {measure.value:.1f}"
    if abs(value) > longest:
        return f"{said} is more than this tube is long ({solved.cut_length_mm:.0f}); the card has {measure.value:.1f}"
    return None


def _angle(check: str, right: float, value: float) -> str | None:
    said = f"check {check}: {value:g} degrees"
    if not 0.0 < value <= WIDEST_DEG:
        return f"{said} is no angle of a bend; the card has {right:.1f}"
    if abs(value - right) <= max(AWAY_DEG, AWAY * right):
        return None
    if abs(180.0 - value - right) <= NEAR_DEG:
        return f"{said} is the angle between the legs; write {180.0 - value:g}, which is how far the bend goes"
    for factor in (10.0, 0.1):
        if abs(factor * value - right) <= NEAR_DEG:
            return f"{said} is far from the {right:.1f} on the card; is {factor * value:g} meant?"
    return None


def _slips(right: float, value: float) -> Iterator[str]:
    """Yield what slip of unit brings a reading near to what the card has."""
    # Beside what is nearly nothing every reading is so many times as much.
    if abs(right) < LEAST_MM or abs(value - right) <= max(AWAY_MM, AWAY * abs(right)):
        return
    near = max(NEAR_MM, NEAR * abs(right))
    for factor, name in _UNITS:
        if abs(factor * value - right) <= near:
            yield f"{name}; write {factor * value:g}, in mm, or the unit with it"
    if abs(value / 10.0 - right) <= near:
        yield f"ten times too much; is {value / 10.0:g} meant?"
