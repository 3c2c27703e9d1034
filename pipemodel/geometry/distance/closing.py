"""Where to look next while closing in on a minimum: many searches at once, each by the slope's change of sign."""

import numpy as np

from pipemodel.geometry.arrays import Bools, Floats, Ints


class CurvePlace:
    """Places on curves, with value and slope there.

    Outside a shape, slope times distance `h` is (point - nearest point) . heading: along a straight it is made of
    straight lines for a box and smooth for the rest, so it is what to interpolate.
    """

    def __init__(self, s: Floats, value: Floats, slope: Floats) -> None:
        self.s, self.value, self.slope = s, value, slope
        self.h = slope * np.maximum(value, 0.1)

    def take(self, which: Ints) -> "CurvePlace":
        """Return some of the places."""
        return CurvePlace(self.s[which], self.value[which], self.slope[which])

    def across(self, same: Bools, other: "CurvePlace") -> "CurvePlace":
        """Return the other places where `same`, else these."""
        pairs = ((other.s, self.s), (other.value, self.value), (other.slope, self.slope))
        return CurvePlace(*(np.where(same, there, here) for there, here in pairs))


def next_place(a: CurvePlace, b: CurvePlace, c: CurvePlace, k: Floats) -> tuple[Floats, Floats]:
    """Return where to look next for the minimum between a, the newest place, and b, and a bound on it from below.

    By Chandrupatla's method: inverse quadratic interpolation where the place before, c, promises that it holds,
    halving where not (T. R. Chandrupatla, Advances in Engineering Software 28, 1997). Inside a shape the distance
    is made of straight lines with kinks between: there the meeting of the tangents takes the place of halving.
    """
    way = b.s - a.s
    width = np.maximum(np.abs(way), 1e-300)
    ahead = np.sign(way)
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        xi, phi = (a.s - b.s) / (c.s - b.s), (a.h - b.h) / (c.h - b.h)
        share = a.h / (b.h - a.h) * c.h / (b.h - c.h)
        share += (c.s - a.s) / way * a.h / (c.h - a.h) * b.h / (c.h - b.h)
        holds = (phi * phi < xi) & ((1.0 - phi) ** 2 < 1.0 - xi)
    # The tangents of value + k s^2 / 2, seen from a.
    meet, floor = tangents(a.value, b.value, a.slope * ahead, b.slope * ahead, width, k)
    meet /= width
    inside = (a.value < 0.0) & (b.value < 0.0) & (meet > 0.0) & (meet < 1.0)
    share = np.where(holds, share, np.where(inside, meet, 0.5))
    margin = np.minimum(0.5, 1e-10 / width)
    return a.s + np.minimum(np.maximum(share, margin), 1.0 - margin) * way, floor


def tangents(f0: Floats, f1: Floats, d0: Floats, d1: Floats, width: Floats, k: Floats) -> tuple[Floats, Floats]:
    """Return how far along stretches the tangents of f + k s^2 / 2 at both ends meet, and bounds on f from below.

    f is nowhere below the lesser of its end values and that meeting point less k s^2 / 2.
    """
    slope = d1 + k * width
    turn = slope - d0
    meet = np.divide(f0 - f1 + (slope - 0.5 * k * width) * width, turn, out=np.zeros_like(turn), where=turn > 1e-12)
    meet = np.minimum(np.maximum(meet, 0.0), width)
    return meet, np.minimum(np.minimum(f0, f1), f0 + d0 * meet - 0.5 * k * meet * meet)
