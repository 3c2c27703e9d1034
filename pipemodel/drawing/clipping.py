"""Strokes cut off at the edges of a rectangle."""

from collections.abc import Sequence
from typing import NamedTuple

from pipemodel.drawing.primitives import FlatPoint


class ClipWindow(NamedTuple):
    """A rectangle along the axes of the sheet, mm."""

    left: float
    low: float
    right: float
    high: float

    @classmethod
    def around(cls, points: Sequence[FlatPoint], pad: float = 0.0) -> "ClipWindow":
        """The smallest that holds some points, and so much about them."""
        xs, ys = zip(*points, strict=True)
        return cls(min(xs) - pad, min(ys) - pad, max(xs) + pad, max(ys) + pad)

    @property
    def width(self) -> float:
        """From left to right."""
        return self.right - self.left

    @property
    def height(self) -> float:
        """From low to high."""
        return self.high - self.low

    def holds(self, p: FlatPoint) -> bool:
        """Whether a point lies in it, edges included."""
        return self.left <= p[0] <= self.right and self.low <= p[1] <= self.high


def clipped(points: Sequence[FlatPoint], window: ClipWindow) -> list[list[FlatPoint]]:
    """Return the parts of a stroke that lie in a window."""
    parts: list[list[FlatPoint]] = []
    for a, b in zip(points, points[1:], strict=False):
        cut = clip(a, b, window)
        if cut is None:
            continue
        if parts and parts[-1][-1] == cut[0]:
            parts[-1].append(cut[1])
        else:
            parts.append([cut[0], cut[1]])
    return parts


def clip(a: FlatPoint, b: FlatPoint, window: ClipWindow) -> tuple[FlatPoint, FlatPoint] | None:
    """Return what of a straight stroke lies in a window (Liang and Barsky's way), None if nothing does."""
    t0, t1, dx, dy = 0.0, 1.0, b[0] - a[0], b[1] - a[1]
    for p, q in (
        (-dx, a[0] - window.left),
        (dx, window.right - a[0]),
        (-dy, a[1] - window.low),
        (dy, window.high - a[1]),
    ):
        if p == 0.0:
            if q < 0.0:
                return None
        elif p < 0.0:
            t0 = max(t0, q / p)
        else:
            t1 = min(t1, q / p)
    if t0 > t1:
        return None
    start = a if t0 == 0.0 else (a[0] + t0 * dx, a[1] + t0 * dy)
    end = b if t1 == 1.0 else (a[0] + t1 * dx, a[1] + t1 * dy)
    return start, end
