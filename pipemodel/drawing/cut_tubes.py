"""Tubes that a plane cuts, as the ellipses they are cut in, and how far it is from one to what stands beside it."""

from collections.abc import Iterator, Sequence
from math import cos, pi, sin
from typing import NamedTuple

from pipemodel.bending.schedule import SolvedRun
from pipemodel.checks.penetrations import steps_of
from pipemodel.drawing.primitives import FlatPoint
from pipemodel.geometry.vectors import Vec3, along, distance, dot, length, sub
from pipemodel.geometry.view import View

STEPS = 48
"""An ellipse is drawn with so many strokes."""
SLANT = 0.2
"""Tube that lies in the plane, within this cosine, has no section worth drawing."""


class CutTube(NamedTuple):
    """A tube cut by a plane: whose, where along it, the middle in the view, how long the ellipse is and which way."""

    run: SolvedRun
    at_mm: float
    middle: FlatPoint
    stretch: float
    way: FlatPoint

    def outline(self, radius: float) -> list[FlatPoint]:
        """Return the cut of a cylinder of some radius about the tube's axis."""
        (x, y), (u, v) = self.middle, self.way
        turns = (2.0 * pi * n / STEPS for n in range(STEPS + 1))
        far = [(radius * self.stretch * cos(t), radius * sin(t)) for t in turns]
        return [(x + a * u - b * v, y + a * v + b * u) for a, b in far]


def cut_tubes(runs: Sequence[SolvedRun], view: View, at: Vec3) -> Iterator[CutTube]:
    """Yield the tubes that the plane of a view through a point cuts, each place once."""
    level = dot(at, view.eye)
    for run in runs:
        for a, b, begin in steps_of(run):
            da, db = dot(a, view.eye) - level, dot(b, view.eye) - level
            if (da > 0.0) == (db > 0.0):
                continue
            way, share = sub(b, a), da / (da - db)
            lean = abs(dot(way, view.eye)) / length(way)
            if lean >= SLANT:
                flat = view.flat(way)
                size = distance((*flat, 0.0), (0.0, 0.0, 0.0))
                turned = (flat[0] / size, flat[1] / size) if size > 1e-9 else (1.0, 0.0)
                yield CutTube(run, begin + share * length(way), view.flat(along(a, way, share)), 1.0 / lean, turned)


def first_hit(at: FlatPoint, way: FlatPoint, strokes: Sequence[tuple[FlatPoint, FlatPoint]]) -> float | None:
    """Return how far it is from a point, along a unit vector, to the first of some strokes; None if none is met."""
    best: float | None = None
    for (x, y), (u, v) in strokes:
        dx, dy = u - x, v - y
        det = way[0] * dy - way[1] * dx
        if abs(det) < 1e-12:
            continue
        far = ((x - at[0]) * dy - (y - at[1]) * dx) / det
        share = ((x - at[0]) * way[1] - (y - at[1]) * way[0]) / det
        if far > 0.0 and -1e-9 <= share <= 1.0 + 1e-9 and (best is None or far < best):
            best = far
    return best
