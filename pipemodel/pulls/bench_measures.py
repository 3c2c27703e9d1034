"""What is seen of a part-bent piece when both legs of one of its bends lie flat on a bench: heights, and the hand.

The two legs hold the piece at three places: their far ends and the bend between them. What it rocks by there makes a
height further out uncertain in proportion (a gap of 0.3 mm at each is seen; common practice, no source).
"""

from collections.abc import Iterator
from dataclasses import dataclass
from math import atan2, degrees, hypot, radians, sqrt
from typing import NamedTuple

from pipemodel.bending.part_bent import PartBent
from pipemodel.geometry.centreline import Arc
from pipemodel.geometry.vectors import Vec3, along, cross, distance, dot, length, scale, sub
from pipemodel.messages.values import NOTHING, Count, Message, Word, message
from pipemodel.pulls.measures import CARD_GAP_MM, PARALLEL, REACH_MM, TAPE_MM, Candidate, Measure, MeasureKind
from pipemodel.pulls.piece import within_half_turn
from pipemodel.pulls.places import ROUND_RING_MM, Place, ring_on_leg, rings_beyond

FLAT_MM = 0.5
"""Closer than this to the bench is lying on it."""
BENCH_MM = 2000.0
"""A longer piece does not lie on one bench."""
RING_MM = 500.0
"""Where an end is further than one person reaches, a ring is drawn on its leg so far from the bend."""
UNSTEADY_MM = 6.0
"""What is read no better than this is not read."""
SIGHT_MM = 300.0
"""So far along a leg, at the most, it is looked whether it stands up from the bench."""
STANDS_MM = 40.0
"""From here on it is said to stand up; half as far or less does not. Common practice, no source."""
PLANAR_DEG = 30.0
"""A bend that leaves the plane of the one before by less turns the same way round as that one, or the other way."""


@dataclass(frozen=True)
class Lay:
    """Both legs of bend `bend` (from 0) flat on the bench, looked at a place."""

    bend: int
    place: Place

    @property
    def key(self) -> tuple[int, str]:
        """How the piece is laid and where it is looked at, for what is read at once."""
        return self.bend, self.place.key

    def height(self, piece: PartBent) -> float:
        """Return how far the middle of the tube lies over the legs' own: above 0 where the bend turns to the left.

        Of who looks down on the bench from that side and goes from the start end.
        """
        arc = piece.arcs[self.bend]
        return dot(arc.axis, sub(self.place.at(piece), arc.start))

    def stand_off(self, piece: PartBent) -> float:
        """Return how far the lowest point of the tube's rim, or of a ring, stands off the bench, the end up."""
        axis = piece.arcs[self.bend].axis
        slope = dot(axis, self.place.leg(piece).direction)
        lower = piece.outside_mm / 2.0 * sqrt(max(0.0, 1.0 - slope * slope))
        return abs(self.height(piece)) + piece.outside_mm / 2.0 - lower

    def aside(self, piece: PartBent) -> float:
        """Return how far the middle of the tube there lies off the line of the leg next to it on the bench.

        Seen from above, square to that leg; above 0 on the side where the bend's other leg lies.
        """
        arc, leg = piece.arcs[self.bend], piece.legs[self.bend + (self.place.end == "finish")]
        return dot(cross(arc.axis, leg.direction), sub(self.place.at(piece), leg.start))

    def within(self, piece: PartBent) -> "Within | None":
        """Return how well it is read; None where no one can read it."""
        arc, before, after = piece.arcs[self.bend], piece.legs[self.bend], piece.legs[self.bend + 1]
        x, y = arc.direction, cross(arc.axis, arc.direction)
        far, middle, other = (
            along(before.finish, before.direction, -min(before.length, BENCH_MM)),
            arc.point_at(arc.length / 2.0),
            along(after.start, after.direction, min(after.length, BENCH_MM)),
        )
        near, place = far if self.place.end == "start" else other, self.place.at(piece)
        high = abs(self.height(piece))
        if high > REACH_MM or distance(near, place) > REACH_MM:
            return None
        (ax, ay), (bx, by), (cx, cy), (px, py) = (
            (dot(x, to), dot(y, to)) for to in (sub(p, arc.start) for p in (far, middle, other, place))
        )
        area = (bx - ax) * (cy - ay) - (cx - ax) * (by - ay)
        if abs(area) < 1.0:
            return None
        of_b = ((px - ax) * (cy - ay) - (cx - ax) * (py - ay)) / area
        of_c = ((bx - ax) * (py - ay) - (px - ax) * (by - ay)) / area
        rocks = hypot(1.0 - of_b - of_c, of_b, of_c)
        # The narrower the three places lie, the more a gap under one of them leans what stands up from them.
        wide = abs(area) / max(distance(far, other), 1.0)
        gap = CARD_GAP_MM * rocks
        return Within(hypot(TAPE_MM, gap), hypot(TAPE_MM, CARD_GAP_MM * high / wide), 2.0 * gap + TAPE_MM)


class Within(NamedTuple):
    """How well a height is read, and how far aside it is, mm; and from what height on its side is seen."""

    height: float
    aside: float
    side: float


def on_the_bench(piece: PartBent, index: int) -> Iterator[Candidate]:
    """Yield what can be measured and seen of bend `index` of a piece with it, or another, flat on the bench."""
    out_of_reach, read = True, set()
    for bend in sorted(range(len(piece.bends)), key=lambda other: abs(other - index)):
        if bend == index and len(piece.bends) > 1 and _planar(piece, index):
            yield _flat(piece, index)
        for end, own in (("start", 0), ("finish", len(piece.bends))):
            if own not in (bend, bend + 1):
                found = tuple(_height(piece, _looked_at(piece, bend, end)))
                yield from found
                if any(one.measure.kind is not MeasureKind.HAND for one in found):
                    read.add((bend, end))
                # Seen on the other side of a neighbour, the bend just made does not show.
                shows = bend == index or (bend < index) == (end == "finish")
                out_of_reach &= not shows or all(one.measure.kind is not MeasureKind.HAND for one in found)
    for one, two in ((index - 1, index), (index, index + 1)):
        if one >= 0 and two < len(piece.bends):
            yield from _way_round(piece, one, two)
            for bench, other, end in ((one, two, "finish"), (two, one, "start")):
                if out_of_reach:
                    yield from _leg_stands(piece, bench, other)
                # An end out of reach: a ring on the leg beyond the neighbour of the bend on the bench.
                if (bench, end) not in read and (place := ring_on_leg(piece, other, end, SIGHT_MM)):
                    yield from _height(piece, Lay(bench, place))


def on_any_bench(piece: PartBent, index: int) -> Iterator[Candidate]:
    """Yield what rings on any leg show of bend `index` with any bend on its other side flat on the bench."""
    for end, benches in (("finish", range(index + 1)), ("start", range(index, len(piece.bends)))):
        for place in rings_beyond(piece, index, end):
            for bench in benches:
                if place.past != bench:
                    yield from _height(piece, Lay(bench, place))


def _looked_at(piece: PartBent, bend: int, end: str) -> Lay:
    """Return the end of a piece with a bend flat on the bench, or a ring on its leg where that end is out of reach."""
    lay, far = Lay(bend, Place(end)), piece.legs[0 if end == "start" else -1].length
    if far <= RING_MM or (far <= REACH_MM and lay.within(piece) is not None):
        return lay
    return Lay(bend, Place(end, (far - RING_MM) // ROUND_RING_MM * ROUND_RING_MM))


def _height(piece: PartBent, lay: Lay) -> Iterator[Candidate]:
    read, height = lay.within(piece), lay.height(piece)
    if read is None:
        return
    bend = Count(piece.bends[lay.bend].number)
    up = 1.0 if height > 0.0 else -1.0
    arc = piece.arcs[lay.bend]
    past = message("measure.past the edge") if _lowest(piece, arc.start, scale(arc.axis, up)) < -FLAT_MM else NOTHING
    key, at, end = lay.key, lay.place.said(piece), lay.place.end
    if read.aside <= UNSTEADY_MM and abs(height) > piece.outside_mm:
        yield _aside(piece, lay, at, read.aside)
    if abs(height) <= FLAT_MM:
        if read.height <= UNSTEADY_MM and _level(piece, lay):
            how: Message = message("measure.on the bench", at=at, bend=bend, past=past)
            flat = Measure(MeasureKind.FLAT, 0.0, how, read.height, lay=key)
            yield Candidate(flat, lambda other: abs(lay.height(other)))
        return
    if read.height <= UNSTEADY_MM:
        how = message("measure.off the bench", at=at, bend=bend, past=past)
        off = Measure(MeasureKind.STAND_OFF, lay.stand_off(piece), how, read.height, lay=key)
        yield Candidate(off, lay.stand_off)
    true_end = Lay(lay.bend, Place(end))
    if lay.place.past is None and abs(height) >= read.side and true_end.height(piece) * height > 0.0:

        def side(other: PartBent) -> float:
            # Who puts the end up sees the ring below the bench where the two lie on other sides of it.
            high, far = lay.height(other), true_end.height(other)
            return 0.0 if abs(high) < read.side or high * far < 0.0 else 1.0 if high > 0.0 else -1.0

        how = message("look.hand", bend=bend, end=Word(end), hand=Word("left" if up > 0.0 else "right"))
        yield Candidate(Measure(MeasureKind.HAND, up, how, 0.0, "look", key), side)


def _leg_stands(piece: PartBent, bench: int, other: int) -> Iterator[Candidate]:
    """Look at which way a bend on the bench goes off with the leg beyond its neighbour up, where no end is in reach."""
    legs = piece.legs[bench : bench + 2]
    rise = leg_rises(piece, bench, other)
    if abs(rise) < STANDS_MM or min(leg.length for leg in legs) < 2.0 * piece.outside_mm:
        return
    up = 1.0 if rise > 0.0 else -1.0
    bend, beyond = (Count(piece.bends[i].number) for i in (bench, other))
    side, hand = Word("after" if other > bench else "before"), Word("left" if up > 0.0 else "right")
    how = message("look.hand of leg", bend=bend, side=side, other=beyond, hand=hand)

    def seen(made: PartBent) -> float:
        return up if up * leg_rises(made, bench, other) >= STANDS_MM / 2.0 else -up

    yield Candidate(Measure(MeasureKind.HAND, up, how, 0.0, "look"), seen)


def leg_rises(piece: PartBent, bench: int, other: int) -> float:
    """Return how far the leg beyond a neighbouring bend goes up from the bench: as `Lay.height`, above 0 or below."""
    arc, leg = piece.arcs[bench], piece.legs[other + (other > bench)]
    far = min(leg.length, SIGHT_MM)
    return dot(arc.axis, sub(leg.point_at(far if other > bench else leg.length - far), arc.start))


def _level(piece: PartBent, lay: Lay) -> bool:
    """Tell whether the tube from the bend on the bench to that place lies in one plane to a fitter."""
    past = lay.place.past
    if lay.place.end == "start":
        arcs = piece.arcs[past or 0 : lay.bend + 1]
    else:
        arcs = piece.arcs[lay.bend : None if past is None else past + 1]
    return all(length(cross(piece.arcs[lay.bend].axis, arc.axis)) <= PARALLEL for arc in arcs)


def _aside(piece: PartBent, lay: Lay, at: Message, within: float) -> Candidate:
    bend = Count(piece.bends[lay.bend].number)
    leg, value = Word("before" if lay.place.end == "start" else "after"), lay.aside(piece)
    key = lay.key
    if abs(value) <= FLAT_MM:
        how = message("measure.on the line", at=at, bend=bend, side=leg)
        return Candidate(Measure(MeasureKind.ASIDE, 0.0, how, within, lay=key), lay.aside)
    way = 1.0 if value > 0.0 else -1.0
    towards = Word("same" if value > 0.0 else "other")
    how = message("measure.off the line", at=at, bend=bend, side=leg, towards=towards)
    return Candidate(
        Measure(MeasureKind.ASIDE, way * value, how, within, lay=key), lambda other: way * lay.aside(other)
    )


def _flat(piece: PartBent, index: int) -> Candidate:
    how = message("measure.flat", bend=Count(piece.bends[index].number))
    return Candidate(Measure(MeasureKind.FLAT, 0.0, how, lay=(index, "all")), lambda other: _off_plane(other, index))


def _planar(piece: PartBent, index: int) -> bool:
    """Tell whether a piece that goes on a bench lies flat on it."""
    level = all(length(cross(piece.arcs[index].axis, other.axis)) <= PARALLEL for other in piece.arcs)
    return piece.centreline.length <= BENCH_MM and _off_plane(piece, index) <= FLAT_MM and level


def _off_plane(piece: PartBent, index: int) -> float:
    """Return how far off the plane of a bend the piece's legs reach."""
    arc = piece.arcs[index]
    return max(abs(dot(arc.axis, sub(p, arc.start))) for leg in piece.legs for p in (leg.start, leg.finish))


def _way_round(piece: PartBent, one: int, two: int) -> Iterator[Candidate]:
    def same(other: PartBent) -> float:
        turn = abs(within_half_turn(other.bends[two].turn_deg))
        return 1.0 if turn <= PLANAR_DEG else -1.0 if turn >= 180.0 - PLANAR_DEG else 0.0

    if value := same(piece):
        numbers = (Count(piece.bends[i].number) for i in (two, one))
        bend, other = numbers
        how = message("look.way round", bend=bend, other=other, way=Word("same" if value > 0.0 else "opposite"))
        yield Candidate(Measure(MeasureKind.WAY, value, how, 0.0, "look"), same)


def _lowest(piece: PartBent, level: Vec3, up: Vec3) -> float:
    points = [p for leg in piece.legs for p in (leg.start, leg.finish)]
    return min(dot(up, sub(p, level)) for p in [*points, *(_bottom(arc, up) for arc in piece.arcs)])


def _bottom(arc: Arc, up: Vec3) -> Vec3:
    """Return the lowest point of an arc between its ends; its start where there is none."""
    bottom = degrees(atan2(-dot(up, arc.direction), -dot(up, arc.spoke)))
    return arc.point_at(radians(bottom) * arc.radius) if 0.0 < bottom < arc.angle_deg else arc.start
