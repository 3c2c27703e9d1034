"""Lengths of tube in the order they are drawn, those of one straight as one wherever nothing lies between them."""

from collections.abc import Sequence
from typing import NamedTuple

from pipemodel.drawing.primitives import FlatPoint
from pipemodel.geometry.segments import segment_distance
from pipemodel.geometry.vectors import Vec3, distance

SAME_MM = 1e-6


class DrawnStretch(NamedTuple):
    """Some lengths of a straight, or one of a bend: its axis on the sheet, and what it is made of.

    `begins` and `ends` are where its first length begins and where its last one ends, but for what reaches under the
    next.
    """

    axis: tuple[FlatPoint, ...]
    straight: int | None
    new: bool
    begins: Vec3
    ends: Vec3


def merged(stretches: Sequence[DrawnStretch], wide: float) -> list[DrawnStretch]:
    """Return lengths in the same order, those that go on straight drawn as one where that changes no picture.

    Two are one if one of them may be drawn as early, or as late, as the other: nothing that is drawn between them
    covers it or is covered by it.

    Args:
        stretches: from the back to the front.
        wide: how far apart two axes on the sheet are that do not cover one another.
    """
    order = list(stretches)
    k = 0
    while k < len(order):
        joined = _joined(order, k, wide)
        if joined is None:
            k += 1
        else:
            k = min(k, joined)
    return order


def _joined(order: list[DrawnStretch], k: int, wide: float) -> int | None:
    """Make one of the length at a place and one after it in the order; return where it then is, None if none fits."""
    one = order[k]
    if one.straight is None:
        return None
    for j in range(k + 1, len(order)):
        other = order[j]
        if other.straight != one.straight or other.new != one.new:
            continue
        for first, last in ((one, other), (other, one)):
            if distance(first.ends, last.begins) > SAME_MM:
                continue
            whole = DrawnStretch((first.axis[0], last.axis[-1]), one.straight, one.new, first.begins, last.ends)
            between = order[k + 1 : j]
            if not any(_covers(one, each, wide) for each in between):
                order[j] = whole
                del order[k]
                return j - 1
            if not any(_covers(other, each, wide) for each in between):
                order[k] = whole
                del order[j]
                return k
    return None


def _covers(one: DrawnStretch, other: DrawnStretch, wide: float) -> bool:
    """Return whether two lengths of tube may cover one another on the sheet."""
    for axis in (0, 1):
        mine, theirs = [p[axis] for p in one.axis], [p[axis] for p in other.axis]
        if min(mine) - max(theirs) > wide or min(theirs) - max(mine) > wide:
            return False
    return any(
        segment_distance((*a, 0.0), (*b, 0.0), (*c, 0.0), (*d, 0.0))[0] <= wide
        for a, b in zip(one.axis, one.axis[1:], strict=False)
        for c, d in zip(other.axis, other.axis[1:], strict=False)
    )
