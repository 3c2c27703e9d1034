"""Angles as a fitter reads them: rounded in one way, so that the same angle is the same on every paper."""

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
