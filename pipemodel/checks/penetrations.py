"""Where runs go through walls, floors and joists: the middle of each hole, and how large it has to be.

Boxes and plates are looked at, each through its thickness: of a box that is its least measure.
"""

from bisect import bisect
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import accumulate, groupby
from math import hypot, sqrt

from pipemodel.bending.schedule import Schedule, SolvedRun
from pipemodel.geometry.centreline import Arc
from pipemodel.geometry.shapes import Box
from pipemodel.geometry.shapes.face import inside_outline
from pipemodel.geometry.shapes.plate import Plate
from pipemodel.geometry.vectors import EAST, NORTH, UP, Vec3, along, dot, scale, sub
from pipemodel.job.model import Thing

STEP_DEG = 1.0
"""Bends are looked at in steps of so much."""
STEEPEST = 0.2
"""A tube that goes through at less than this cosine to the square lies along the thing rather than through it."""
NEAR_MM = 1.0
"""A stretch of a run whose block along the axes lies farther from a thing's does not go through it."""
PASSAGE_MM = 300.0
"""An opening at least so large each way is a door or a hatch, which nobody drills; common practice, no source."""


@dataclass(frozen=True)
class PiercedThing:
    """A thing by its thickness: a corner, its directions along, up and through it, and its sizes, mm."""

    corner: Vec3
    along: Vec3
    up: Vec3
    through: Vec3
    long_mm: float
    high_mm: float
    thick_mm: float
    plate: Plate | None = None

    def place(self, p: Vec3) -> Vec3:
        """Return how far a point lies along, up and through it, from its corner, mm."""
        to = sub(p, self.corner)
        return dot(to, self.along), dot(to, self.up), dot(to, self.through)

    def point(self, x: float, y: float, z: float) -> Vec3:
        """Return the point of the room that lies so far along, up and through it."""
        return along(along(along(self.corner, self.along, x), self.up, y), self.through, z)


@dataclass(frozen=True)
class Penetration:
    """A hole that a run needs: through what, where, and how large.

    `along_mm` and `up_mm` say where its middle is, from the low end and the low edge of the thing (west, south, or
    below); `low_end` is the way to that end. `least_mm` is the diameter that leaves the room asked for all round the
    tube and its insulation, drilled square to the face; `drawn_mm` that of the hole the job has there, None for none.
    """

    run: str
    thing: str
    kind: str
    point: Vec3
    at_mm: float
    along_mm: float
    up_mm: float
    low_end: Vec3
    low_edge: Vec3
    least_mm: float
    drawn_mm: float | None


def slab_of(thing: Thing) -> PiercedThing | None:
    """Return a thing by its thickness; None for one that is no box and no plate."""
    if isinstance(thing.shape, Plate):
        return _of_plate(thing.shape)
    if not isinstance(thing.shape, Box):
        return None
    low, size = thing.shape.low, sub(thing.shape.high, thing.shape.low)
    axes = (EAST, NORTH, UP)
    thin = min(range(3), key=lambda k: size[k])
    first, second = (k for k in range(3) if k != thin)
    return PiercedThing(low, axes[first], axes[second], axes[thin], size[first], size[second], size[thin])


def _of_plate(plate: Plate) -> PiercedThing:
    """Return a plate with `along` the more level of its ways, and both pointing east, north or up."""
    ways = sorted((plate.across, plate.up), key=lambda way: abs(way[2]))
    one, two = (way if sum(way) >= 0.0 else scale(way, -1.0) for way in ways)
    points = [plate.place(x, y, 0.0) for outline in plate.outlines for x, y in outline]
    a, b = (min(dot(p, way) for p in points) for way in (one, two))
    c, d = (max(dot(p, way) for p in points) for way in (one, two))
    deep = dot(plate.origin, plate.normal)
    corner = along(along(scale(one, a), two, b), plate.normal, deep)
    return PiercedThing(corner, one, two, plate.normal, c - a, d - b, plate.thickness, plate)


@lru_cache(maxsize=1)
def penetrations(schedule: Schedule) -> tuple[Penetration, ...]:
    """Return the holes of every run in order along it; found once, for checks, lists and drawings ask for them."""
    return tuple(_penetrations(schedule))


def _penetrations(schedule: Schedule) -> Iterator[Penetration]:
    slabs = [(thing, slab) for thing in schedule.job.things if (slab := slab_of(thing)) is not None]
    for solved in schedule.runs:
        asked = schedule.job.asked_of(solved.run)
        bores = [one for one in schedule.job.things if one.sleeve is not None and solved.name in one.sleeve.runs]
        parts = []
        for part in _by_stretch(solved):
            points = [p for a, b, _ in part for p in (a, b)]
            parts.append(([(min(c), max(c)) for c in zip(*points, strict=True)], part))
        found: list[Penetration] = []
        for thing, slab in slabs:
            ends = thing.shape.bounds()
            for block, part in parts:
                if all(a <= ends[1][k] + NEAR_MM and b >= ends[0][k] - NEAR_MM for k, (a, b) in enumerate(block)):
                    found += _through(solved, part, thing, slab, asked[thing.name], bores)
        yield from sorted(found, key=lambda one: one.at_mm)


def _through(
    solved: SolvedRun,
    steps: Sequence[tuple[Vec3, Vec3, float]],
    thing: Thing,
    slab: PiercedThing,
    room_mm: float,
    bores: Sequence[Thing],
) -> Iterator[Penetration]:
    """Yield where a run's axis goes from one broad face of a thing to the other."""
    half = slab.thick_mm / 2.0
    for a, b, s in steps:
        (x0, y0, z0), (x1, y1, z1) = slab.place(a), slab.place(b)
        if (z0 < half) == (z1 < half):
            continue
        share = (half - z0) / (z1 - z0)
        x, y = x0 + (x1 - x0) * share, y0 + (y1 - y0) * share
        if not (0.0 <= x <= slab.long_mm and 0.0 <= y <= slab.high_mm):
            continue
        step = sqrt((x1 - x0) ** 2 + (y1 - y0) ** 2 + (z1 - z0) ** 2)
        square = abs(z1 - z0) / step
        middle = slab.point(x, y, half)
        if square < STEEPEST or (slab.plate is not None and _passes(slab.plate, middle)):
            continue
        wide = solved.tube.outside_mm + 2.0 * _room(solved, thing, middle, room_mm, bores)
        # Square to the face, a hole must take in both ends of a slanting tube.
        least = wide / square + slab.thick_mm * sqrt(1.0 - square * square) / square
        yield Penetration(
            solved.name, thing.name, thing.kind, middle, s + step * share, x, y,
            scale(slab.along, -1.0), scale(slab.up, -1.0), least, _drawn(slab.plate, middle),
        )  # fmt: skip


def _room(solved: SolvedRun, thing: Thing, p: Vec3, room_mm: float, bores: Sequence[Thing]) -> float:
    """Return the room asked for round a run where it goes through a thing: its sleeve's there, if that has its own."""
    for bore in bores:
        own = bore.sleeve
        if own is not None and own.through in (thing.name, thing.of) and bore.shape.distance(p) <= 0.0:
            asked = room_mm - solved.run.insulation_mm if own.clearance_mm is None else own.clearance_mm
            return asked + (0.0 if own.bare else solved.run.insulation_mm)
    return room_mm


def _on_plate(plate: Plate, p: Vec3) -> tuple[float, float]:
    to = sub(p, plate.origin)
    return dot(to, plate.across), dot(to, plate.up)


def _passes(plate: Plate, p: Vec3) -> bool:
    """Tell whether a point lies beside the plate, or in an opening as large as a door."""
    x, y = _on_plate(plate, p)
    holding = [outline for outline in plate.outlines if inside_outline(outline, x, y)]
    if not holding:
        return True
    if len(holding) % 2:
        return False
    # The innermost is the opening.
    sizes: list[float] = []
    for outline in holding:
        xs, ys = zip(*outline, strict=True)
        sizes.append(min(max(xs) - min(xs), max(ys) - min(ys)))
    return min(sizes) >= PASSAGE_MM


def _drawn(plate: Plate | None, p: Vec3) -> float | None:
    """Return the diameter of the round hole that a point lies in, None for none."""
    if plate is None:
        return None
    x, y = _on_plate(plate, p)
    return next((2.0 * h.radius for h in plate.rounds if hypot(x - h.x, y - h.y) <= h.radius), None)


def _by_stretch(solved: SolvedRun) -> Iterator[list[tuple[Vec3, Vec3, float]]]:
    """Yield the short parts of a run's axis, those of each straight or bend together."""
    ends = list(accumulate(piece.length for piece in solved.centreline.pieces))
    for _, part in groupby(steps_of(solved), key=lambda step: bisect(ends, step[2] + 1e-9)):
        yield list(part)


def steps_of(solved: SolvedRun) -> Iterator[tuple[Vec3, Vec3, float]]:
    """Yield short straight parts of a run's axis, each with where along the run it begins."""
    begin = 0.0
    for piece in solved.centreline.pieces:
        steps = max(1, round(piece.angle_deg / STEP_DEG)) if isinstance(piece, Arc) else 1
        for k in range(steps):
            at, to = piece.length * k / steps, piece.length * (k + 1) / steps
            if to > at:
                yield piece.point_at(at), piece.point_at(to), begin + at
        begin += piece.length
