"""Hatching: level or sloped lines across what strokes enclose, by counting how often each line crosses them."""

from collections.abc import Iterable, Sequence
from math import ceil, cos, floor, radians, sin

import numpy as np

from pipemodel.drawing.primitives import FlatPoint

HATCH_DEG = 45.0
"""What is cut is hatched at this angle (ISO 128-3, from memory)."""
_HAIR = 1e-9


def hatched(
    strokes: Sequence[tuple[FlatPoint, FlatPoint]], apart: float, angle_deg: float = HATCH_DEG
) -> list[tuple[FlatPoint, FlatPoint]]:
    """Return the lines that hatch what closed strokes enclose; a hole in it stays free.

    The lines of one angle and distance are counted from one place, so that neighbours' lines run on.

    Args:
        strokes: the outlines, in straight parts, in any order.
        apart: from line to line, in the unit of the strokes; above 0.
        angle_deg: of the lines, from level.
    """
    if not strokes:
        return []
    c, s = cos(radians(angle_deg)), sin(radians(angle_deg))
    turn = np.array([[c, s], [-s, c]])
    edges = np.array(strokes, dtype=float) @ turn.T
    (x0, y0), (x1, y1) = edges[:, 0].T, edges[:, 1].T
    lines: list[tuple[FlatPoint, FlatPoint]] = []
    for step in range(ceil(min(y0.min(), y1.min()) / apart), floor(max(y0.max(), y1.max()) / apart) + 1):
        y = step * apart
        # A corner that lies on the line belongs to what is above it, so that it counts once.
        meets = (y0 <= y) != (y1 <= y)
        xs = np.sort(x0[meets] + (x1[meets] - x0[meets]) * (y - y0[meets]) / (y1[meets] - y0[meets])).tolist()
        lines += [
            ((c * low - s * y, s * low + c * y), (c * high - s * y, s * high + c * y))
            for low, high in zip(xs[::2], xs[1::2], strict=False)
            if high - low > _HAIR
        ]
    return lines


def strokes_of(rings: Iterable[Sequence[FlatPoint]]) -> list[tuple[FlatPoint, FlatPoint]]:
    """Return the straight parts of closed outlines."""
    return [pair for ring in rings for pair in zip(ring, (*ring[1:], ring[0]), strict=True)]


def rectangle(left: float, low: float, right: float, high: float) -> list[tuple[FlatPoint, FlatPoint]]:
    """Return the four strokes of a rectangle."""
    return strokes_of([((left, low), (right, low), (right, high), (left, high))])
