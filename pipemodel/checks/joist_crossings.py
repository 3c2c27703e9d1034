"""Where runs go through joists, and how much of the joist each takes: a hole, or a notch near an edge."""

from collections.abc import Container, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise, product
from math import inf

from pipemodel.bending.schedule import Schedule, SolvedRun
from pipemodel.checks.layers import ThingFrame, as_plate
from pipemodel.checks.penetrations import steps_of_piece
from pipemodel.geometry.centreline import Block, around, block_of, blocks_meet
from pipemodel.geometry.shapes import Box
from pipemodel.geometry.shapes.plate import Plate
from pipemodel.geometry.vectors import Vec3, along, distance, scale, sub
from pipemodel.job.find import CutKind
from pipemodel.job.model import Thing
from pipemodel.messages.values import Count, Message, Name, listed, message

ARC_DEG = 0.25
"""Bends are looked at in steps of so much: on a radius of 100 mm less than half a millimetre."""

MOST_NAMED = 6
"""How many joists are named one by one."""

HAIR_MM = 1e-6
UPRIGHT = 0.999
"""Cosine of how far a joist's depth may lean."""


@dataclass(frozen=True)
class Joist(ThingFrame):
    """A joist by its three directions: along its span, up its depth, and through its width; sizes in mm."""

    name: str
    kind: str
    long_mm: float
    deep_mm: float
    wide_mm: float

    @cached_property
    def block(self) -> Block:
        """A block along the axes that holds it."""
        sides = product((0.0, self.long_mm), (0.0, self.deep_mm), (0.0, self.wide_mm))
        return around([self.point(*corner) for corner in sides])


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
    """Return a thing as a joist: a block by its longest level side, a plate that stands upright; None for others."""
    shape = as_plate(thing.shape, stands=True)
    if isinstance(shape, Plate):
        return _of_plate(thing, shape)
    if not isinstance(shape, Box):
        return None
    low, high = shape.low, shape.high
    x, y, z = sub(high, low)
    east, north, up = (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)
    if x >= y:
        return Joist(low, east, up, north, thing.name, thing.kind, x, z, y)
    return Joist(low, north, up, east, thing.name, thing.kind, y, z, x)


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
    return Joist(corner, along_it, up_it, plate.normal, thing.name, thing.kind, long, deep, plate.thickness)


@dataclass(frozen=True)
class CutJoist:
    """A joist with all that is to be cut in it: the holes that are there, and what the runs need besides."""

    joist: Joist
    cuts: tuple[JoistCut, ...]
    runs: frozenset[str]
    """The names of the runs that go through it."""


def cut_joists(schedule: Schedule, kinds: Container[str]) -> Iterator[CutJoist]:
    """Yield each joist of some kinds that a run goes through, in the order of the job."""
    blocks = [(solved, block_of(solved.centreline.pieces)) for solved in schedule.runs]
    most = max((solved.tube.outside_mm / 2.0 + solved.run.insulation_mm for solved in schedule.runs), default=0.0)
    for thing in schedule.job.things:
        if thing.kind not in kinds or not (bounds := thing.shape.bounds()):
            continue
        clearance = schedule.job.clearance_to(thing)
        near = [solved for solved, block in blocks if blocks_meet(block, bounds, most + clearance)]
        joist = joist_of(thing) if near else None
        if joist is None:
            continue
        needed = [cut for s in near for cut in cuts(s, joist, clearance + s.run.insulation_mm)]
        if needed:
            holes = list(drilled(thing, joist))
            more = [cut for cut in needed if not any(goes_through(cut, hole) for hole in holes)]
            yield CutJoist(joist, (*holes, *more), frozenset(cut.of for cut in needed))


def goes_through(cut: JoistCut, hole: JoistCut) -> bool:
    """Return whether a run goes through a hole that is there: that hole is judged in place of the one it needs."""
    middle = (cut.bottom_mm + cut.top_mm) / 2.0
    return hole.low_mm < cut.middle_mm < hole.high_mm and hole.bottom_mm < middle < hole.top_mm


def drilled(thing: Thing, joist: Joist) -> Iterator[JoistCut]:
    """Yield the holes and the notches that are in a joist already; they are of nobody."""
    if isinstance(thing.shape, Plate):
        for hole in thing.shape.rounds:
            at = thing.shape.place(hole.x, hole.y, thing.shape.thickness / 2.0)
            s, h, _ = joist.place(at)
            r = hole.radius
            yield JoistCut("", "hole", s - r, s + r, h - r, h + r, at, 0.0)
        yield from _notched(thing.shape, joist)


def _notched(plate: Plate, joist: Joist) -> Iterator[JoistCut]:
    """Yield what the outlines of a plate leave out of the joist that it was, where their sides lie along and up it."""
    middle = plate.thickness / 2.0
    outlines = [[joist.place(plate.place(x, y, middle))[:2] for x, y in outline] for outline in plate.outlines]
    sides = [side for outline in outlines for side in zip(outline, (*outline[1:], outline[0]), strict=True)]
    if any(min(abs(a - b) for a, b in zip(*side, strict=True)) > HAIR_MM for side in sides):
        return
    places = sorted({round(s, 6) for outline in outlines for s, _ in outline})
    before: dict[tuple[float, float], float] = {}
    for begin, end in pairwise((*places, inf)):
        s = (begin + end) / 2.0
        wood = sorted(a[1] for a, b in sides if min(a[0], b[0]) < s < max(a[0], b[0]))
        edges = (0.0, *wood, joist.deep_mm)
        gaps = {(low, high): 0.0 for low, high in zip(edges[::2], edges[1::2], strict=True) if wood}
        gaps = {gap: before.get(gap, begin) for gap in gaps if gap[1] - gap[0] > HAIR_MM}
        for (low, high), since in before.items():
            if (low, high) not in gaps:
                kind: CutKind = "notch" if low <= HAIR_MM or high >= joist.deep_mm - HAIR_MM else "hole"
                at = joist.point((since + begin) / 2.0, (low + high) / 2.0, joist.wide_mm / 2.0)
                yield JoistCut("", kind, since, begin, low, high, at, 0.0)
        before = gaps


def cuts(solved: SolvedRun, joist: Joist, room_mm: float) -> Iterator[JoistCut]:
    """Yield what a run takes out of a joist, in order along the run.

    Args:
        solved: the run.
        joist: the joist.
        room_mm: what has to stay free all round the tube, its insulation within it.
    """
    radius = solved.tube.outside_mm / 2.0 + room_mm
    block = joist.block
    touched: list[tuple[float, Vec3, Vec3]] = []
    for piece, offset in zip(solved.centreline.pieces, solved.centreline.offsets, strict=False):
        if not blocks_meet(block_of([piece]), block, radius):
            if touched:
                yield _cut(solved.name, touched, joist, radius)
            touched = []
            continue
        for begin, end, s in steps_of_piece(piece, offset, ARC_DEG):
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


def named_joists(names: Sequence[str], quoted: bool = True) -> Name | Message:
    """Return the names of some joists as few words: "joists 1 to 6", where they are numbered in a row."""
    if len(names) == 1:
        return Name(names[0], quoted=quoted)
    parted = [name.rpartition(" ") for name in names]
    numbers = [int(last) if last.isdecimal() else -1 for _, _, last in parted]
    row = parted[0][0]
    if (
        row
        and all(base == row for base, _, _ in parted)
        and numbers == list(range(numbers[0], numbers[0] + len(names)))
    ):
        return message("rules.row", row=Name(row, quoted=quoted), first=Count(numbers[0]), last=Count(numbers[-1]))
    said = listed([Name(name, quoted=quoted) for name in names[:MOST_NAMED]], ",")
    more = len(names) - MOST_NAMED
    if more > 0:
        return message("rules.joists, more", joists=said, n=Count(more))
    return message("rules.joists", joists=listed([Name(name, quoted=quoted) for name in names]))
