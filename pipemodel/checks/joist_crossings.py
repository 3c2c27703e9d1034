"""Where runs go through joists, and how much of the joist each takes: a hole, or a notch near an edge."""

from collections.abc import Iterator
from dataclasses import dataclass
from math import ceil, inf
from typing import Literal, TypeAlias

from pipemodel.bending.schedule import SolvedRun
from pipemodel.geometry.centreline import Arc, Centreline
from pipemodel.geometry.shapes import Box
from pipemodel.geometry.shapes.plate import Plate
from pipemodel.geometry.vectors import Vec3, along, distance, dot, scale, sub
from pipemodel.job.model import Thing

ARC_DEG = 0.25
"""Bends are looked at in steps of so much: on a radius of 100 mm less than half a millimetre."""

UPRIGHT = 0.999
"""Cosine of how far a joist's depth may lean."""

CutKind: TypeAlias = Literal["hole", "notch"]


@dataclass(frozen=True)
class Joist:
    """A joist by its three directions: along its span, up its depth, and through its width; sizes in mm."""

    name: str
    kind: str
    corner: Vec3
    along: Vec3
    up: Vec3
    through: Vec3
    long_mm: float
    deep_mm: float
    wide_mm: float

    def place(self, p: Vec3) -> Vec3:
        """Return where a point is along, up and through it, from its corner."""
        to = sub(p, self.corner)
        return (dot(to, self.along), dot(to, self.up), dot(to, self.through))


@dataclass(frozen=True)
class JoistCut:
    """A hole or notch: of which run, from where to where along the joist and up it, mm; `at` is its middle."""

    of: str
    kind: CutKind
    low_mm: float
    high_mm: float
    bottom_mm: float
    top_mm: float
    at: Vec3
    at_mm: float

    @property
    def middle_mm(self) -> float:
        """Where along the joist its middle is."""
        return (self.low_mm + self.high_mm) / 2.0

    @property
    def wide_mm(self) -> float:
        """How wide a hole must be drilled for it."""
        return max(self.high_mm - self.low_mm, self.top_mm - self.bottom_mm)


def joist_of(thing: Thing) -> Joist | None:
    """Return a thing as a joist: a box by its longest level side, a plate that stands upright; None for others."""
    if isinstance(thing.shape, Plate):
        return _of_plate(thing, thing.shape)
    if not isinstance(thing.shape, Box):
        return None
    low, high = thing.shape.low, thing.shape.high
    x, y, z = sub(high, low)
    east, north, up = (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)
    if x >= y:
        return Joist(thing.name, thing.kind, low, east, up, north, x, z, y)
    return Joist(thing.name, thing.kind, low, north, up, east, y, z, x)


def _of_plate(thing: Thing, plate: Plate) -> Joist | None:
    """Return a plate as a joist, as it was before holes and notches were cut; None if it does not stand upright."""
    xs, ys = zip(*(corner for outline in plate.outlines for corner in outline), strict=True)
    (left, right), (low, high) = (min(xs), max(xs)), (min(ys), max(ys))
    if abs(plate.up[2]) > UPRIGHT:
        along_it, up_it, long, deep = plate.across, plate.up, right - left, high - low
    elif abs(plate.across[2]) > UPRIGHT:
        along_it, up_it, long, deep = plate.up, plate.across, high - low, right - left
    else:
        return None
    corner = plate.place(left, low, 0.0)
    if up_it[2] < 0.0:
        corner, up_it = along(corner, up_it, deep), scale(up_it, -1.0)
    return Joist(thing.name, thing.kind, corner, along_it, up_it, plate.normal, long, deep, plate.thickness)


def drilled(thing: Thing, joist: Joist) -> Iterator[JoistCut]:
    """Yield the round holes that are in a joist already; they are of nobody."""
    if isinstance(thing.shape, Plate):
        for hole in thing.shape.rounds:
            at = thing.shape.place(hole.x, hole.y, thing.shape.thickness / 2.0)
            s, h, _ = joist.place(at)
            r = hole.radius
            yield JoistCut("", "hole", s - r, s + r, h - r, h + r, at, 0.0)


def cuts(solved: SolvedRun, joist: Joist, room_mm: float) -> Iterator[JoistCut]:
    """Yield what a run takes out of a joist, in order along the run.

    Args:
        solved: the run.
        joist: the joist.
        room_mm: what has to stay free all round the tube, its insulation within it.
    """
    radius = solved.tube.outside_mm / 2.0 + room_mm
    touched: list[tuple[float, Vec3, Vec3]] = []
    for begin, end, s in _steps(solved.centreline):
        part = _clipped(joist.place(begin), joist.place(end), joist, radius)
        if part is None:
            if touched:
                yield _cut(solved.name, touched, joist, radius)
            touched = []
        else:
            low, high = (along(begin, sub(end, begin), t) for t in part)
            touched.append((s + distance(begin, low), low, high))
            if part[1] < 1.0:
                yield _cut(solved.name, touched, joist, radius)
                touched = []
    if touched:
        yield _cut(solved.name, touched, joist, radius)


def _steps(line: Centreline) -> Iterator[tuple[Vec3, Vec3, float]]:
    """Yield straight pieces of a centreline: from where to where, and how far along it they begin."""
    for piece, s in zip(line.pieces, line.offsets, strict=False):
        if piece.length <= 0.0:
            continue
        n = ceil(piece.angle_deg / ARC_DEG) if isinstance(piece, Arc) else 1
        step = piece.length / n
        for i in range(n):
            yield piece.point_at(step * i), piece.point_at(step * (i + 1)), s + step * i


def _clipped(a: Vec3, b: Vec3, joist: Joist, radius: float) -> tuple[float, float] | None:
    """Return which part of a straight, 0 to 1, has its tube in a joist: in its width, and near enough along and up."""
    limits = ((-radius, joist.long_mm + radius), (-radius, joist.deep_mm + radius), (0.0, joist.wide_mm))
    first, last = 0.0, 1.0
    for p, q, (low, high) in zip(a, b, limits, strict=True):
        way = q - p
        if abs(way) < 1e-12:
            if not low < p < high:
                return None
            continue
        t, u = sorted(((low - p) / way, (high - p) / way))
        first, last = max(first, t), min(last, u)
    return (first, last) if first < last else None


def _cut(name: str, touched: list[tuple[float, Vec3, Vec3]], joist: Joist, radius: float) -> JoistCut:
    places = [joist.place(p) for _, a, b in touched for p in (a, b)]
    low, high = min(p[0] for p in places) - radius, max(p[0] for p in places) + radius
    bottom, top = min(p[1] for p in places) - radius, max(p[1] for p in places) + radius
    s, a, b = touched[len(touched) // 2]
    # With less wood left than the hole is wide, nobody drills it: a notch is cut. Common practice, no source.
    wood = min(bottom, joist.deep_mm - top)
    kind: CutKind = "notch" if wood < max(high - low, top - bottom) else "hole"
    middle = along(a, sub(b, a), 0.5)
    return JoistCut(name, kind, low, high, bottom, top, middle, s + distance(a, middle))


def nearest_support(joist: Joist, at_mm: float) -> float:
    """Return how far a place along a joist is from its nearer end, as a share of its length."""
    return min(at_mm, joist.long_mm - at_mm) / joist.long_mm if joist.long_mm > 0.0 else inf
