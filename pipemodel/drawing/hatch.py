"""Hatching: level or sloped lines across what strokes enclose, by counting how often each line crosses them."""

from collections.abc import Iterator, Sequence
from math import ceil, cos, floor, radians, sin

from pipemodel.drawing.primitives import FlatPoint

HATCH_DEG = 45.0
"""What is cut is hatched at this angle (ISO 128-3, from memory)."""
_HAIR = 1e-9


def hatched(
    strokes: Sequence[tuple[FlatPoint, FlatPoint]], apart: float, angle_deg: float = HATCH_DEG
) -> Iterator[tuple[FlatPoint, FlatPoint]]:
    """Yield the lines that hatch what closed strokes enclose; a hole in it stays free.

    Args:
        strokes: the outlines, in straight parts, in any order.
        apart: from line to line, in the unit of the strokes; above 0.
        angle_deg: of the lines, from level.
    """
    c, s = cos(radians(angle_deg)), sin(radians(angle_deg))
    # Turned so that the lines of the hatching lie level.
    turned = [((c * x + s * y, c * y - s * x), (c * u + s * v, c * v - s * u)) for (x, y), (u, v) in strokes]
    heights = [end[1] for stroke in turned for end in stroke]
    if not heights:
        return
    for step in range(ceil(min(heights) / apart), floor(max(heights) / apart) + 1):
        h = step * apart
        # A corner that lies on the line belongs to what is above it, so that it counts once.
        crossed = sorted(x + (h - y) / (v - y) * (u - x) for (x, y), (u, v) in turned if (y <= h < v) or (v <= h < y))
        for low, high in zip(crossed[::2], crossed[1::2], strict=False):
            if high - low > _HAIR:
                yield (c * low - s * h, s * low + c * h), (c * high - s * h, s * high + c * h)


def rectangle(left: float, low: float, right: float, high: float) -> list[tuple[FlatPoint, FlatPoint]]:
    """Return the four strokes of a rectangle."""
    corners = ((left, low), (right, low), (right, high), (left, high))
    return list(zip(corners, (*corners[1:], corners[0]), strict=True))
