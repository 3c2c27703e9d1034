"""Angles and rolls as a fitter reads them: rounded in one way, so that the same angle is the same on every paper."""

from math import floor

STEP_DEG = 0.1
_NOISE_DEG = 1e-9
"""What sums of angles differ by on two ways to the same angle; it must not decide how a half is rounded."""


def rounded_deg(value: float) -> float:
    """Return an angle rounded to a tenth of a degree, halves away from 0; never a negative zero."""
    size = floor(abs(value) / STEP_DEG + 0.5 + _NOISE_DEG) * STEP_DEG
    return round(size if value > 0.0 else -size, 1) + 0.0


def deg(value: float) -> str:
    """Return an angle for reading, to a tenth of a degree: "90" or "22.5"; small ones to two figures."""
    if _NOISE_DEG < abs(value) < STEP_DEG / 2.0:
        return f"{value:.1g}"
    return f"{rounded_deg(value):.1f}".removesuffix(".0")


def way_round(degrees: float) -> str:
    """Return which way so many degrees go, as seen from the start end looking along the tube."""
    return "clockwise" if degrees > 0.0 else "anticlockwise"


def plane_words(turn: float, first: bool = False) -> str:
    """Return in words the turn of a bend's plane since the bend before, for whoever draws the run.

    It tells how the finished piece lies, and not what hands do: see `roll_words`.
    """
    if first:
        return "first bend"
    size = rounded_deg(abs(turn))
    if size == 0.0:
        return "0, the same way again"
    return "180, the other way" if size == 180.0 else f"{deg(size)} {way_round(turn)}"


def roll_words(roll: float, end_for_end: bool = False, first: bool = False) -> str:
    """Return in words what the hands turn between two pulls, as seen from the start end looking along the tube.

    Args:
        roll: how far the tube rolls clockwise, in degrees.
        end_for_end: whether the other end goes into the stop first, the same side staying up.
        first: whether it is the first pull, before which nothing is turned.
    """
    if first:
        return "first pull: any side up"
    size = rounded_deg(abs(roll))
    words = f"{deg(size)} {way_round(roll)}"
    words = {0.0: "0, the same side up", 180.0: "180, half a turn"}.get(size, words)
    return f"end for end, {words}" if end_for_end else words
