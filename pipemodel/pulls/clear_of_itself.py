"""Whether the tube clears itself through a pull: what is bent on one side against what is bent on the other.

Pair by pair of stretches `pair_search` proves it, at every angle and not only at some. Only held against free, and
either against the bend being made, has to be looked at: the rest does not move against each other, and was looked at
in the pull that brought it there.

Most pairs need no look at all, for tube of a finished radius R comes back to itself only by going all the way round:

- Two places with less tube between them than a full circle of radius R less what spans a chord of one diameter are no
  nearer than that diameter (A. Schur's comparison: no curve bent less than a circle has a shorter chord). Places so
  near along the tube that it would be a chord beneath that arc are its own neighbourhood.
- Two places with a total turn of k < 180 degrees between them are at least cos(k / 2) of the tube between them apart
  (M. Gromov's bound on the distortion of a curve).
"""

from itertools import combinations
from math import acos, asin, degrees, pi, radians
from typing import NamedTuple, TypeAlias

from pipemodel.geometry.centreline import LinePiece
from pipemodel.geometry.vectors import Vec3
from pipemodel.pulls.bender_frame import Walk
from pipemodel.pulls.limits import START
from pipemodel.pulls.motion import MovingStretch, Phase, Sector, Swing, TubePart, bending_stretch, sector_of, stretch_of
from pipemodel.pulls.order import Touch
from pipemodel.pulls.pair_search import NEAR_MM, FoundTouch, Pair, TouchSearch
from pipemodel.pulls.piece import PieceToBend

_Key: TypeAlias = tuple[int, int, int, TubePart]
"""A side of a pull: the bend, how it is held, the bends made on that side, and which of the two sides."""


class Itself:
    """One piece against itself: answers for every bend, way of holding and set of bends made, and remembers them."""

    def __init__(self, piece: PieceToBend) -> None:
        self._piece = piece
        self._pulls = [radians(piece.pull_deg(index)) for index in range(len(piece.bends))]
        # A bend made turns the tube by its angle, and while it is pulled by more.
        self._turns = [max(pull, radians(b.angle_deg)) for pull, b in zip(self._pulls, piece.bends, strict=True)]
        # The sides of a pull come up again and again, and so do pairs on them: what is laid once is kept.
        self._reached: dict[_Key, _Reached] = {}
        self._laid: dict[_Key, _Laid] = {}
        self._motions: dict[int, _Motion] = {}
        self._meet: dict[tuple[int, int], bool] = {}
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
            motion = self._motion(bend)
            self._known[key] = not any(self._meets(motion, pair) for pair in self._pairs(bend, held, made))
        return self._known[key]

    def touch(self, bend: int, held: int, made: int) -> Touch | None:
        """Return the deepest touch of a pull, None when it is clear."""
        pairs, motion = self._pairs(bend, held, made), self._motion(bend)
        search = self._search(motion, deepest=True)
        search.run(motion.pull, pairs)
        search.run(motion.opening, pairs)
        return self._touch(bend, held, search.found)

    def finished(self) -> Touch | None:
        """Return the deepest place where the finished piece runs into itself, None when it nowhere does."""
        if not self._piece.bends or self.always_clear:
            return None
        made = (1 << len(self._piece.bends)) - 2
        free = self._side(0, START, made, TubePart.FREE)
        motion = self._motion(0)
        search = self._search(motion, deepest=True)
        angle = radians(self._piece.bends[0].angle_deg)
        within = [
            (a, b)
            for (a, sector), (b, other) in combinations(zip(free.stretches[1:], free.sectors[1:], strict=True), 2)
            if sector.meets(other)
        ]
        phase = Phase(angle, angle, motion.pull.taken, motion.pull.side_y, opening=True)
        search.run(phase, [*self._pairs(0, START, made), *within])
        return self._touch(0, START, search.found)

    def _meets(self, motion: "_Motion", pair: Pair) -> bool:
        # Both are kept in `_laid` or `_reached`, so that no other ever has the same identity.
        key = (id(pair[0]), id(pair[1]))
        if key not in self._meet:
            search = self._search(motion, deepest=False)
            search.run(motion.pull, [pair])
            if search.found is None:
                search.run(motion.opening, [pair])
            self._meet[key] = search.found is not None
        return self._meet[key]

    def _search(self, motion: "_Motion", deepest: bool) -> TouchSearch:
        return TouchSearch(self._piece.outside, self._round, self._turn, motion.swing.groove, deepest)

    def _motion(self, index: int) -> "_Motion":
        """Return how a bend (counted from 0) moves the tube; the same whichever bends are made."""
        if index not in self._motions:
            bend, pull = self._piece.bends[index], self._pulls[index]
            angle, taken, side_y = radians(bend.angle_deg), bend.arc_mm, bend.radius_mm
            groove, least, most = taken / pull, min(angle, pull), max(angle, pull)
            leaves, room = (taken / 2.0 + groove) * (most - least), self._piece.outside / 2.0 + NEAR_MM
            self._motions[index] = _Motion(
                Phase(0.0, pull, taken, side_y, opening=False),
                Phase(least, most, taken, side_y, opening=True),
                Swing(taken, groove, side_y - groove, most, leaves, room),
            )
        return self._motions[index]

    def _side(self, index: int, held: int, made: int, part: TubePart) -> "_Laid":
        """Return the held side of a pull, or the free side with the tube that the bend takes up before it."""
        towards_start = (part is TubePart.HELD) == (held == START)
        made = made & ((1 << index) - 1) if towards_start else made >> (index + 1) << (index + 1)
        key = (index, held, made, part)
        if key not in self._laid:
            laid, walk, begin, turned = self._reach(key)
            self._laid[key] = self._with(
                laid, key, (rest := walk.to_the_end(self._piece.tube)), rest.finish, begin, turned
            )
        return self._laid[key]

    def _reach(self, key: "_Key") -> "_Reached":
        """Return a side as far as the outermost bend made on it."""
        if key in self._reached:
            return self._reached[key]
        index, held, made, part = key
        piece, bend = self._piece, self._piece.bends[index]
        if not made:
            walk = Walk.begun(piece.bends, piece.tube, index, held, part is TubePart.FREE)
            bending = bending_stretch(bend.arc_mm, bend.radius_mm, self._motion(index).swing.groove)
            begun = (
                _Laid((), ())
                if part is TubePart.HELD
                else _Laid((bending,), (sector_of(bending, self._motion(index).swing),))
            )
            reached = _Reached(begun, walk, 0.0, 0.0)
        else:
            outermost = made.bit_length() - 1 if made >> index else (made & -made).bit_length() - 1
            laid, walk, begin, turned = self._reach((index, held, made ^ (1 << outermost), part))
            leg, arc, walk = walk.round(piece.bends, piece.tube, outermost)
            laid = self._with(laid, key, leg, leg.finish, begin, turned)
            begin, turned = begin + leg.length, turned + radians(arc.angle_deg)
            laid = self._with(laid, key, arc, walk.here, begin, turned)
            reached = _Reached(laid, walk, begin + arc.length, turned)
        self._reached[key] = reached
        return reached

    def _with(self, laid: "_Laid", key: "_Key", piece: LinePiece, last: Vec3, begin: float, turned: float) -> "_Laid":
        """Return a side with one more piece, which begins so far along it and ends at `last`."""
        index, _, _, part = key
        taken = self._piece.bends[index].arc_mm if part is TubePart.FREE else 0.0
        stretch = stretch_of(piece, last, part, begin, turned, taken)
        if stretch is None:
            return laid
        return _Laid((*laid.stretches, stretch), (*laid.sectors, sector_of(stretch, self._motion(key[0]).swing)))

    def _pairs(self, bend: int, held_by: int, made: int) -> list[Pair]:
        """Return the pairs that move against each other in a pull and may meet."""
        pulled = self._turns[bend]
        if sum(turn for i, turn in enumerate(self._turns) if made >> i & 1) + pulled <= self._turn:
            return []
        held, free = self._side(bend, held_by, made, TubePart.HELD), self._side(bend, held_by, made, TubePart.FREE)
        pairs: list[Pair] = []
        # Outwards both the tube and its turns only grow: held tube that is too near or turns too little is skipped.
        for b, sector in zip(free.stretches, free.sectors, strict=True):
            least_turn, least = self._turn - pulled - b.turned, self._round - b.end
            low, high, near, far, *_ = sector
            pairs += [
                (a, b)
                for a, other in zip(held.stretches, held.sectors, strict=True)
                # First what costs least; this is asked for every pair.
                if other[2] <= far
                and near <= other[3]
                and other[0] <= high
                and low <= other[1]
                and a.end > least
                and a.turned > least_turn
                and other.meets_in_angle(sector)
            ]
        bending, around = free.stretches[0], free.sectors[0]
        pairs += [
            (bending, b)
            for b, sector in zip(free.stretches[1:], free.sectors[1:], strict=True)
            if b.turned > self._turn - pulled and b.end > self._round and around.meets(sector)
        ]
        return pairs

    def _touch(self, bend: int, held: int, found: FoundTouch | None) -> Touch | None:
        if found is None:
            return None
        tube = self._piece.tube
        begins, step = (tube.starts[bend], 1) if held == START else (tube.finishes[bend], -1)
        other, here = (begins + (-step if part is TubePart.HELD else step) * at for part, at in found.places)
        depth = max(self._piece.outside - found.distance, 0.0)
        return Touch("free", here, degrees(found.angle), "", depth, other_flat_mm=other)


class _Motion(NamedTuple):
    """A pull, its springing back, and both in one."""

    pull: Phase
    opening: Phase
    swing: Swing


class _Laid(NamedTuple):
    """One side of the piece when a pull begins, as stretches, and the sector in which each stays."""

    stretches: tuple[MovingStretch, ...]
    sectors: tuple[Sector, ...]


class _Reached(NamedTuple):
    """A side as far as a bend made on it: how far along that is, mm, and how far the tube has turned, radians."""

    laid: _Laid
    walk: Walk
    begin: float
    turned: float
