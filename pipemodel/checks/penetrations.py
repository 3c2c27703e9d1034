"""Where runs go through walls, floors and joists: the middle of each hole, and how large it has to be.

Boxes, plates and outlines carried up are looked at, each through its thickness: of a box that is its least measure.
A hole through the layers of a wall with chases is one.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from math import ceil, hypot, inf, sqrt

from pipemodel.bending.schedule import Schedule, SolvedRun
from pipemodel.checks.layers import ThingFrame, as_plate
from pipemodel.geometry.centreline import Arc, LinePiece, block_of, blocks_meet
from pipemodel.geometry.shapes import Box
from pipemodel.geometry.shapes.face import inside_outline
from pipemodel.geometry.shapes.plate import Plate
from pipemodel.geometry.vectors import EAST, NORTH, UP, Vec3, along, dot, scale, sub
from pipemodel.job.build_sleeves import wall_of
from pipemodel.job.model import Sleeve, Thing

STEP_DEG = 1.0
"""Bends are looked at in steps of so much."""
STEEPEST = 0.2
"""A tube that goes through at less than this cosine to the square lies along the thing rather than through it."""
NEAR_MM = 1.0
"""A stretch of a run whose block along the axes lies farther from a thing's does not go through it."""
PASSAGE_MM = 300.0
"""An opening at least so large each way is a door or a hatch, which nobody drills; common practice, no source."""


@dataclass(frozen=True)
class PiercedThing(ThingFrame):
    """A thing by its thickness, and its sizes along, up and through it, mm."""

    long_mm: float
    high_mm: float
    thick_mm: float
    plate: Plate | None = None


@dataclass(frozen=True)
class Penetration:
    """A hole that a run needs: through what, where, and how large.

    `along_mm` and `up_mm` say where its middle is, from the low end and the low edge of the thing (west, south, or
    below); `low_end` is the way to that end. `least_mm` is the diameter that leaves the room asked for all round the
    tube and its insulation, drilled square to the face, `slant_mm` of it because the tube slants; `drawn_mm` that of
    the hole the job has there, None for none, and `opening_mm` how wide an opening there is the way it is narrowest.
    `parts` are the layers that it goes through, of a wall with chases; `thing` is that wall.
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
    slant_mm: float
    drawn_mm: float | None
    opening_mm: float | None
    thick_mm: float
    parts: tuple[str, ...]


def slab_of(thing: Thing) -> PiercedThing | None:
    """Return a thing by its thickness; None for one that has none."""
    shape = as_plate(thing.shape)
    if isinstance(shape, Plate):
        return _of_plate(shape)
    if not isinstance(shape, Box):
        return None
    low, size = shape.low, sub(shape.high, shape.low)
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
    solid = (thing for thing in schedule.job.things if thing.role == "solid")
    slabs = [(thing, thing.shape.bounds(), slab) for thing in solid if (slab := slab_of(thing)) is not None]
    walls = {thing.name: wall_of(thing) for thing, _, _ in slabs}
    for solved in schedule.runs:
        asked = schedule.job.asked_of(solved.run)
        bores = schedule.job.sleeves_of(solved.name)
        line = solved.centreline
        parts = [
            (block_of([piece]), list(steps_of_piece(piece, begins, STEP_DEG)))
            for piece, begins in zip(line.pieces, line.offsets, strict=False)
        ]
        found: list[Penetration] = []
        whole = block_of(line.pieces)
        for thing, around, slab in (one for one in slabs if blocks_meet(whole, one[1], NEAR_MM)):
            for block, part in parts:
                if blocks_meet(block, around, NEAR_MM):
                    found += _through(solved, part, thing, slab, asked[thing.name], bores)
        yield from _through_walls(sorted(found, key=lambda one: one.at_mm), walls)


def _through_walls(found: Sequence[Penetration], walls: Mapping[str, str]) -> Iterator[Penetration]:
    """Yield the holes in order, those through layers of a wall that follow each other as one.

    Args:
        found: the holes of a run in order along it.
        walls: by the names of the things, that of the wall each is a layer of.
    """
    layers: list[Penetration] = []
    for one in found:
        wall = walls[one.thing]
        if layers and (wall != walls[layers[-1].thing] or one.thing in [layer.thing for layer in layers]):
            yield _whole(layers, walls[layers[0].thing])
            layers = []
        layers.append(one)
    if layers:
        yield _whole(layers, walls[layers[0].thing])


def _whole(layers: Sequence[Penetration], wall: str) -> Penetration:
    """Return the hole through some layers of a wall; what is open there, as in a chase, is none of it."""
    cut = [layer for layer in layers if layer.opening_mm is None] or layers
    first, last = cut[0], cut[-1]
    thick, half = sum(layer.thick_mm for layer in cut), (first.thick_mm + last.thick_mm) / 2.0
    share = (thick - first.thick_mm) / 2.0 / (thick - half) if len(cut) > 1 else 0.0
    slant = sum(layer.slant_mm for layer in cut)
    return replace(
        first,
        thing=wall,
        point=along(first.point, sub(last.point, first.point), share),
        at_mm=first.at_mm + (last.at_mm - first.at_mm) * share,
        along_mm=first.along_mm + (last.along_mm - first.along_mm) * share,
        up_mm=first.up_mm + (last.up_mm - first.up_mm) * share,
        least_mm=max(layer.least_mm - layer.slant_mm for layer in cut) + slant,
        slant_mm=slant,
        drawn_mm=min((layer.drawn_mm for layer in cut if layer.drawn_mm is not None), default=None),
        opening_mm=min((layer.opening_mm for layer in cut if layer.opening_mm is not None), default=None),
        thick_mm=thick,
        parts=tuple(layer.thing for layer in cut),
    )


def _through(
    solved: SolvedRun,
    steps: Sequence[tuple[Vec3, Vec3, float]],
    thing: Thing,
    slab: PiercedThing,
    room_mm: float,
    bores: Sequence[tuple[Thing, Sleeve]],
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
        opening = None if slab.plate is None else _opening(slab.plate, middle)
        if square < STEEPEST or (opening is not None and opening >= PASSAGE_MM):
            continue
        wide = solved.tube.outside_mm + 2.0 * _room(solved, thing, middle, room_mm, bores)
        # Square to the face, a hole must take in both ends of a slanting tube.
        slant = slab.thick_mm * sqrt(1.0 - square * square) / square
        yield Penetration(
            solved.name, thing.name, thing.kind, middle, s + step * share, x, y,
            scale(slab.along, -1.0), scale(slab.up, -1.0), wide / square + slant, slant, _drawn(slab.plate, middle),
            opening, slab.thick_mm, (thing.name,),
        )  # fmt: skip


def _room(solved: SolvedRun, thing: Thing, p: Vec3, room_mm: float, bores: Sequence[tuple[Thing, Sleeve]]) -> float:
    """Return the room asked for round a run where it goes through a thing: its sleeve's there, if that has its own."""
    for bore, own in bores:
        if own.through in (thing.name, thing.of) and bore.shape.distance(p) <= 0.0:
            asked = room_mm - solved.run.insulation_mm if own.clearance_mm is None else own.clearance_mm
            return asked + (0.0 if own.bare else solved.run.insulation_mm)
    return room_mm


def _opening(plate: Plate, p: Vec3) -> float | None:
    """Return how wide the opening is that a point lies in, the way it is narrowest; without end beside the plate."""
    x, y = plate.place_of(p)
    holding = [outline for outline in plate.outlines if inside_outline(outline, x, y)]
    if not holding:
        return inf
    if len(holding) % 2:
        return None
    # The innermost is the opening.
    sizes: list[float] = []
    for outline in holding:
        xs, ys = zip(*outline, strict=True)
        sizes.append(min(max(xs) - min(xs), max(ys) - min(ys)))
    return min(sizes)


def _drawn(plate: Plate | None, p: Vec3) -> float | None:
    """Return the diameter of the round hole that a point lies in, None for none."""
    if plate is None:
        return None
    x, y = plate.place_of(p)
    return next((2.0 * h.radius for h in plate.rounds if hypot(x - h.x, y - h.y) <= h.radius), None)


def steps_of(solved: SolvedRun) -> Iterator[tuple[Vec3, Vec3, float]]:
    """Yield short straight parts of a run's axis, each with where along the run it begins."""
    for piece, begins in zip(solved.centreline.pieces, solved.centreline.offsets, strict=False):
        yield from steps_of_piece(piece, begins, STEP_DEG)


def steps_of_piece(piece: LinePiece, begins_mm: float, step_deg: float) -> Iterator[tuple[Vec3, Vec3, float]]:
    """Yield straight parts of a piece of an axis: from where to where, and how far along the axis they begin."""
    n = max(ceil(piece.angle_deg / step_deg), 1) if isinstance(piece, Arc) else 1
    step = piece.length / n
    for k in range(n if step > 0.0 else 0):
        yield piece.point_at(step * k), piece.point_at(step * (k + 1)), begins_mm + step * k
