"""Whether the tube clears itself through a pull: what is bent on one side against what is bent on the other.

Two stretches during a stretch of the pull are compared at its middle: the distance between the lines between their
ends, less what they may lie beside those lines, less what they may move until the pull has gone the half further
either way. Where that leaves more than the tube's diameter they are clear; where it does not, the greatest of the
three is halved. So what is called clear is proven clear, at every angle and not only at some; what is called a touch
comes within `NEAR_MM` of one. Only held against free, and either against the bend being made, has to be looked at:
the rest does not move against each other, and was looked at in the pull that brought it there.

Most pairs need no look at all, for tube of a finished radius R comes back to itself only by going all the way round:

- Two places with less tube between them than a full circle of radius R less what spans a chord of one diameter are no
  nearer than that diameter (A. Schur's comparison: no curve bent less than a circle has a shorter chord). Places so
  near along the tube that it would be a chord beneath that arc are its own neighbourhood.
- Two places with a total turn of k < 180 degrees between them are at least cos(k / 2) of the tube between them apart
  (M. Gromov's bound on the distortion of a curve).
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations
from math import acos, asin, degrees, pi, radians

from pipemodel.bending.bender_frame import Side, sides_of
from pipemodel.bending.plan_limits import START
from pipemodel.bending.plan_order import Touch
from pipemodel.bending.plan_piece import PieceToBend
from pipemodel.bending.pull_motion import Part, Phase, Stretch, bending_stretch, ring_of, stretches_of
from pipemodel.geometry.segments import segment_distance

NEAR_MM = 0.2
"""What stays nearer than this without touching is taken as a touch."""
DEPTH_MM = 1.0
"""How closely the depth of a touch is searched for."""


class Itself:
    """One piece against itself: answers for every bend, way of holding and set of bends made, and remembers them."""

    def __init__(self, piece: PieceToBend) -> None:
        self._piece = piece
        self._pulls = [radians(piece.former.springback.pull_deg(bend.angle_deg)) for bend in piece.bends]
        # A bend made turns the tube by its angle, and while it is pulled by more.
        self._turns = [max(pull, radians(b.angle_deg)) for pull, b in zip(self._pulls, piece.bends, strict=True)]
        self._known: dict[tuple[int, int, int], bool] = {}
        # The tightest arc there is at any time: a bend before it springs back.
        arcs = [(bend.radius_mm, bend.arc_mm / pull) for bend, pull in zip(piece.bends, self._pulls, strict=True)]
        self._tightest = min((min(pair) for pair in arcs), default=0.0)
        outside = piece.outside
        chord = 2.0 * self._tightest * asin(min(1.0, outside / (2.0 * self._tightest))) if arcs else 0.0
        self._round = 2.0 * pi * self._tightest - chord
        share = (outside + NEAR_MM) / self._round if arcs else 1.0
        self._turn = 2.0 * acos(share) if share < 1.0 else 0.0

    @property
    def always_clear(self) -> bool:
        """Whether the piece is too short, or turns too little in all, ever to meet itself."""
        return self._piece.tube.length <= self._round or sum(self._turns) <= self._turn

    def clear(self, bend: int, held: int, made: int) -> bool:
        """Tell whether bend (counted from 0) can be pulled with the bends `made` there without a touch."""
        key = (bend, held, made)
        if key not in self._known:
            self._known[key] = self._look(bend, held, made, deepest=False) is None
        return self._known[key]

    def touch(self, bend: int, held: int, made: int) -> Touch | None:
        """Return the deepest touch of a pull, None when it is clear."""
        return self._look(bend, held, made, deepest=True)

    def finished(self) -> Touch | None:
        """Return the deepest place where the finished piece runs into itself, None when it nowhere does."""
        if not self._piece.bends or self.always_clear:
            return None
        sides = _Sides.of(self._piece, 0, START, (1 << len(self._piece.bends)) - 2)
        angle = radians(self._piece.bends[0].angle_deg)
        search = self._search(sides, deepest=True)
        search.run(sides.phase(angle, angle, opening=True), [*sides.across(), *sides.within_free()])
        return self._touch(sides, search.found)

    def _look(self, bend: int, held: int, made: int, deepest: bool) -> Touch | None:
        turned = sum(turn for i, turn in enumerate(self._turns) if made >> i & 1)
        if turned + self._turns[bend] <= self._turn:
            return None
        pull, angle = self._pulls[bend], radians(self._piece.bends[bend].angle_deg)
        sides = _Sides.of(self._piece, bend, held, made)
        search, pairs = self._search(sides, deepest), sides.across()
        search.run(sides.phase(0.0, pull, opening=False), pairs)
        if search.found is None or deepest:
            search.run(sides.phase(min(angle, pull), max(angle, pull), opening=True), pairs)
        return self._touch(sides, search.found)

    def _search(self, sides: "_Sides", deepest: bool) -> "_Search":
        return _Search(self._piece.outside, self._round, self._turn, sides.groove, deepest)

    def _touch(self, sides: "_Sides", found: "_Found | None") -> Touch | None:
        if found is None:
            return None
        other, here = (sides.flat_mm(part, at) for part, at in found.places)
        depth = max(self._piece.outside - found.distance, 0.0)
        return Touch("free", here, degrees(found.angle), "", depth, other_flat_mm=other)


@dataclass(frozen=True)
class _Sides:
    """The two sides of a piece in a pull, as stretches; `groove` is the radius of the bend while it is pulled."""

    kept: Side
    free: Side
    held: list[Stretch]
    bending: Stretch
    beyond: list[Stretch]
    taken: float
    side_y: float
    groove: float
    room: float

    @classmethod
    def of(cls, piece: PieceToBend, index: int, held: int, made: int) -> "_Sides":
        bend = piece.bends[index]
        kept, free = sides_of(piece.bends, piece.tube, index, held, made)
        groove = bend.arc_mm / radians(piece.former.springback.pull_deg(bend.angle_deg))
        return cls(
            kept,
            free,
            stretches_of(kept.pieces, Part.HELD, 0.0),
            bending_stretch(bend.arc_mm, bend.radius_mm, groove),
            stretches_of(free.pieces, Part.FREE, bend.arc_mm),
            bend.arc_mm,
            bend.radius_mm,
            groove,
            piece.outside / 2.0,
        )

    def phase(self, low: float, high: float, opening: bool) -> Phase:
        return Phase(low, high, self.taken, self.side_y, opening)

    def across(self) -> list[tuple[Stretch, Stretch]]:
        """Return the pairs that move against each other and may meet."""
        swings = 2.0 * self.taken
        held = [ring_of(a, self.side_y, 0.0, self.room) for a in self.held]
        free = [ring_of(b, self.side_y, swings, self.room) for b in (self.bending, *self.beyond)]
        pairs = [
            (a, b)
            for a, ring_a in zip(self.held, held, strict=True)
            for b, ring_b in zip((self.bending, *self.beyond), free, strict=True)
            if ring_a.meets(ring_b)
        ]
        more = zip(self.beyond, free[1:], strict=True)
        return pairs + [(self.bending, b) for b, ring_b in more if free[0].meets(ring_b)]

    def within_free(self) -> list[tuple[Stretch, Stretch]]:
        """Return the pairs of the free side that may meet: what is bent there already, as it lies."""
        rings = [(b, ring_of(b, self.side_y, 0.0, self.room)) for b in self.beyond]
        return [(a, b) for (a, ring_a), (b, ring_b) in combinations(rings, 2) if ring_a.meets(ring_b)]

    def flat_mm(self, part: Part, at: float) -> float:
        side = self.kept if part is Part.HELD else self.free
        return side.flat_from + side.flat_step * at


@dataclass(frozen=True)
class _Found:
    """A touch: the distance of the axes, the angle pulled to, and where on which part, measured from the pull."""

    distance: float
    angle: float
    places: tuple[tuple[Part, float], tuple[Part, float]]


class _Search:
    """A search through pairs of stretches for a touch, or with `deepest` for the deepest one."""

    def __init__(self, outside: float, all_round: float, turn: float, groove: float, deepest: bool) -> None:
        self._outside, self._round, self._turn, self._groove = outside, all_round, turn, groove
        self._deepest = deepest
        self.found: _Found | None = None

    def run(self, phase: Phase, pairs: Sequence[tuple[Stretch, Stretch]]) -> None:
        """Search one phase of a pull; the first of each pair is held or bending, the second bending or free."""
        trail = [(a, b, phase.low, phase.high) for a, b in pairs]
        while trail:
            a, b, low, high = trail.pop()
            if a.part is Part.HELD:
                least, most, turned = a.begin + b.begin, a.end + b.end, a.turned + b.turned
            else:
                least, most, turned = b.begin - a.end, b.end - a.begin, b.turned
                if a.part is Part.BENDING and a.begin >= phase.drawn(high):
                    continue  # Not bent yet: both swing as one.
            if most <= self._round or turned + high <= self._turn:
                continue
            angle, half = (low + high) / 2.0, (high - low) / 2.0
            ends_a, ends_b = phase.ends(a, angle), phase.ends(b, angle)
            near = segment_distance(*ends_a, *ends_b)
            sag = a.sag + b.sag
            moved = phase.speed(a, b, angle, half) * half
            limit = self._outside if self.found is None else self.found.distance - DEPTH_MM
            if near.distance - sag - moved >= limit:
                continue
            # With places on them that are neighbours along the tube nothing is said before those are split off.
            length_a, length_b = a.end - a.begin, b.end - b.begin
            mixed = least < self._round and length_a + length_b > NEAR_MM
            tight = sag + moved < NEAR_MM
            if not mixed and (near.distance + sag < limit or (tight and self.found is None)):
                distance = min(near.distance + sag, self._outside)
                at = (a.begin + near.share * length_a, b.begin + near.other_share * length_b)
                self.found = _Found(distance, angle, ((a.part, at[0]), (b.part, at[1])))
                if not self._deepest:
                    return
                # It may go deeper elsewhere on them, or at another angle.
                if near.distance - sag - moved >= distance - DEPTH_MM:
                    continue
            elif tight and not mixed:
                continue
            want_a = a.sag + (length_a / 2.0 if mixed else 0.0)
            want_b = b.sag + half * length_b / 2.0 + (length_b / 2.0 if mixed else 0.0)
            if moved >= want_a and moved >= want_b:
                trail += [(a, b, low, angle), (a, b, angle, high)]
            elif want_a >= want_b:
                trail += [(part, b, low, high) for part in a.halves(self._groove)]
            else:
                trail += [(a, part, low, high) for part in b.halves(self._groove)]
