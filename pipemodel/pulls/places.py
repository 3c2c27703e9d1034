"""Where a part-bent piece is looked at: an end of it, or a pencil ring on one of its legs; and from ring to ring."""

from collections.abc import Iterator
from dataclasses import dataclass

from pipemodel.bending.part_bent import PartBent
from pipemodel.geometry.centreline import Straight
from pipemodel.geometry.vectors import Vec3, distance
from pipemodel.messages.values import NOTHING, Count, Message, Tape, Word, message
from pipemodel.pulls.measures import REACH_MM, Candidate, Measure, MeasureKind, square

ROUND_RING_MM = 50.0
"""A ring is drawn so many mm from its end or back, or a multiple of it."""
SHORT_MM = 100.0
"""On less straight tube beyond a bend no ring is drawn."""
RINGS_MM = (300.0, 450.0, 600.0, 900.0)
"""So far along a leg there may be a ring where nothing nearer shows a mistake."""


@dataclass(frozen=True)
class Place:
    """A place `ring` mm from an end of the piece.

    Or, where `past` names a bend (from 0), from the back of that one, on its leg towards that end.
    """

    end: str
    ring: float = 0.0
    past: int | None = None

    @property
    def key(self) -> str:
        """The place in a word, for what is read at once."""
        return f"{self.end} {self.ring:g}" + ("" if self.past is None else f" {self.past}")

    def leg(self, piece: PartBent) -> Straight:
        """Return the leg that is looked at."""
        past = self.past
        if self.end == "start":
            return piece.legs[past or 0]
        return piece.legs[-1 if past is None else past + 1]

    def at(self, piece: PartBent) -> Vec3:
        """Return the middle of the tube there."""
        leg = self.leg(piece)
        if self.past is None:
            return leg.point_at(self.ring if self.end == "start" else leg.length - self.ring)
        far = self.ring - piece.back_mm(self.past)
        return leg.point_at(leg.length - far if self.end == "start" else far)

    def said(self, piece: PartBent) -> Message:
        """Return the place in words."""
        end = Word(self.end)
        if self.past is None:
            far = Tape(self.ring)
            return message("measure.at ring", far=far, end=end) if self.ring else message("measure.at end", end=end)
        bend = Count(piece.bends[self.past].number)
        side = Word("before" if self.end == "start" else "after")
        meet = NOTHING if square(piece, self.past) else message("measure.where its backs meet")
        return message("measure.at ring on leg", far=Tape(self.ring), side=side, bend=bend, at=meet)


def ring_on_leg(piece: PartBent, past: int, end: str, far: float) -> Place | None:
    """Return a ring on the leg beyond a bend, `far` mm along it at the most; None where the leg is too short."""
    leg, back = piece.legs[past + (end == "finish")], piece.back_mm(past)
    ring = (back + min(leg.length, far)) // ROUND_RING_MM * ROUND_RING_MM
    return Place(end, ring, past) if ring - back >= SHORT_MM else None


def rings_on_leg(piece: PartBent, past: int, end: str) -> list[Place]:
    """Return rings on the leg beyond a bend, some further along it."""
    found = (ring_on_leg(piece, past, end, far) for far in RINGS_MM)
    return list(dict.fromkeys(place for place in found if place is not None))


def rings_beyond(piece: PartBent, index: int, end: str) -> list[Place]:
    """Return rings on every leg on one side of bend `index`, each leg with some further along it."""
    pasts = range(index, len(piece.bends)) if end == "finish" else range(index, -1, -1)
    return [place for past in pasts for place in rings_on_leg(piece, past, end)]


def across_corner(piece: PartBent, index: int) -> Iterator[Candidate]:
    """Yield the distance across a bend, ring to ring, as far from its back on one leg as on the other."""
    rings = {end: {p.ring: p for p in rings_on_leg(piece, index, end)} for end in ("start", "finish")}
    for ring in sorted(rings["start"].keys() & rings["finish"].keys()):
        ends = rings["start"][ring], rings["finish"][ring]

        def read(other: PartBent, ends: tuple[Place, Place] = ends) -> float:
            return distance(ends[0].at(other), ends[1].at(other))

        if (far := read(piece)) <= REACH_MM:
            meet = NOTHING if square(piece, index) else message("measure.where its backs meet")
            how = message("measure.corner", bend=Count(piece.bends[index].number), far=Tape(ring), at=meet)
            yield Candidate(Measure(MeasureKind.CORNER, far, how, lay=(index, f"rings {ring:g}")), read)
