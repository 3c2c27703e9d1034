"""Bodies as flat strokes, seen and hidden, as a drawing shows them from one side."""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np

from pipemodel.geometry.arrays import Floats
from pipemodel.geometry.vectors import Vec3
from pipemodel.geometry.view import FlatPoint, View
from pipemodel.solids.hidden_parts import Screen
from pipemodel.solids.outlines import Body, frame_of, outline_of

SAME_MM = 1e-4
"""Strokes whose ends are this near are joined into one."""
IDLE_MM = 1e-3
"""A point this near the straight between its neighbours is left out."""


@dataclass(frozen=True)
class Stroke:
    """A stroke on the view plane, mm of the room, x to the right and y up; `body` counts the bodies given."""

    points: tuple[FlatPoint, ...]
    body: int
    visible: bool


def projected(bodies: Sequence[Body], view: View, origin: Vec3 = (0.0, 0.0, 0.0)) -> list[Stroke]:
    """Project bodies onto the plane facing the eye.

    Args:
        bodies: what is looked at.
        view: from where.
        origin: a point near the bodies; it does not move the drawing, and only keeps figures small on the way.
    """
    frame = frame_of(view, origin)
    outlines = [outline_of(body, frame) for body in bodies]
    if not outlines:
        return []
    screen = Screen(np.concatenate([o.triangles for o in outlines]), np.concatenate([o.rim for o in outlines]))
    shift = frame.axes[:2] @ frame.origin
    strokes: list[Stroke] = []
    before = 0
    for number, outline in enumerate(outlines):
        seen: list[tuple[FlatPoint, FlatPoint]] = []
        unseen: list[tuple[FlatPoint, FlatPoint]] = []
        own = np.where(outline.own >= 0, outline.own + before, -1)
        before += len(outline.triangles)
        for (p, q), hidden in zip(outline.segments, screen.hidden(outline.segments, own), strict=True):
            a, d = p[:2] + shift, q[:2] - p[:2]
            at = 0.0
            for begin, end in (*hidden, (1.0, 1.0)):
                if begin > at:
                    seen.append((_point(a, d, at), _point(a, d, begin)))
                if end > begin:
                    unseen.append((_point(a, d, begin), _point(a, d, end)))
                at = end
        strokes += [Stroke(points, number, True) for points in joined(seen)]
        strokes += [Stroke(points, number, False) for points in joined(unseen)]
    return strokes


def _point(a: Floats, d: Floats, t: float) -> FlatPoint:
    return (float(a[0] + t * d[0]), float(a[1] + t * d[1]))


_Key: TypeAlias = tuple[int, int]


def joined(pieces: Sequence[tuple[FlatPoint, FlatPoint]]) -> list[tuple[FlatPoint, ...]]:
    """Join straight pieces end to end into strokes as long as they go; pieces drawn twice count once."""
    unique: dict[tuple[_Key, _Key], tuple[FlatPoint, FlatPoint]] = {}
    for a, b in pieces:
        ends = (_key(a), _key(b))
        if ends[0] != ends[1]:
            unique.setdefault(min(ends, ends[::-1]), (a, b))
    at: dict[_Key, list[tuple[_Key, _Key]]] = defaultdict(list)
    for ends in unique:
        at[ends[0]].append(ends)
        at[ends[1]].append(ends)
    left = dict(unique)
    strokes: list[tuple[FlatPoint, ...]] = []
    # From loose ends and forks first, so that no stroke is begun in its middle.
    for ends in sorted(unique, key=lambda e: (len(at[e[0]]) == 2 and len(at[e[1]]) == 2, e)):
        if ends not in left:
            continue
        a, b = left.pop(ends)
        points = [b, a] if len(at[_key(b)]) != 2 and len(at[_key(a)]) == 2 else [a, b]
        last = _key(points[-1])
        while len(at[last]) == 2:
            following = next((e for e in at[last] if e in left), None)
            if following is None:
                break
            p, q = left.pop(following)
            points.append(q if _key(p) == last else p)
            last = _key(points[-1])
        strokes.append(_without_idle(points))
    return strokes


def _key(p: FlatPoint) -> _Key:
    return (round(p[0] / SAME_MM), round(p[1] / SAME_MM))


def _without_idle(points: list[FlatPoint]) -> tuple[FlatPoint, ...]:
    """Leave out the points on the straight line between their neighbours."""
    kept = points[:1]
    for p, q in zip(points[1:], points[2:], strict=False):
        a = kept[-1]
        u, v = (q[0] - a[0], q[1] - a[1]), (p[0] - a[0], p[1] - a[1])
        whole = u[0] * u[0] + u[1] * u[1]
        along = (u[0] * v[0] + u[1] * v[1]) / whole if whole else -1.0
        aside = abs(u[0] * v[1] - u[1] * v[0]) / whole**0.5 if whole else IDLE_MM
        if not (0.0 <= along <= 1.0 and aside < IDLE_MM):
            kept.append(p)
    return (*kept, points[-1])
