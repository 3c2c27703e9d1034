"""The mistakes of a hand at one pull, each with the piece that comes of it.

Which mistakes are looked at, and how large they are: common practice, no source. Bends made before are taken as right:
each had its own checks.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Literal, NamedTuple, TypeAlias

from pipemodel.bending.part_bent import PartBent
from pipemodel.geometry.vectors import Vec3, cross, distance, dot, sub
from pipemodel.messages.values import Message, message
from pipemodel.pulls.card_mark import has_rim
from pipemodel.pulls.piece import within_half_turn
from pipemodel.pulls.plan import Pull
from pipemodel.pulls.stance import Stance

Unit: TypeAlias = Literal["mm", "deg", ""]

ANGLE_DEG = 2.0
TWIST_DEG = 5.0
MARK_MM = 10.0
TOUCH_MM = 3.0
"""A bend that would overlap its neighbour by no more is made all the same, touching it."""
NO_ROLL_DEG = 0.5
"""A roll this near to none, or to half a turn, is the same both ways to a fitter."""


class Mistake(NamedTuple):
    """What may go wrong: its name, by how much in what, and the piece that comes of it.

    Without a piece it cannot be seen or cannot be made, and `why_not` says why.
    """

    name: str
    out: float
    unit: Unit
    piece: PartBent | None
    why_not: Message | None = None


@dataclass(frozen=True)
class _Hand:
    """One pull done some other way than the card says."""

    pull: Pull
    right: PartBent
    index: int

    def done(
        self,
        mark_mm: float | None = None,
        angle_deg: float | None = None,
        rolled_deg: float = 0.0,
        turned: bool = False,
    ) -> PartBent | None:
        """Return what comes of it; `turned` with the wrong end in the stop."""
        pull, bend = self.pull, self.right.bends[self.index]
        mark = pull.mark_mm if mark_mm is None else mark_mm
        angle = bend.angle_deg if angle_deg is None else angle_deg
        if (pull.held == "start") != turned:
            start = mark - pull.former.mark_mm
        else:
            start = mark + pull.former.mark_mm - bend.arc_mm / bend.angle_deg * angle
        start += self._pushed(start, bend.arc_mm / bend.angle_deg * angle)
        return self.right.with_bend(self.index, start, angle, rolled_deg)

    def _pushed(self, start: float, arc: float) -> float:
        """Return how far on a bend is made that would overlap what lies beside it a little."""
        bends, i = self.right.bends, self.index
        before = bends[i - 1].finish_mm if i else 0.0
        after = bends[i + 1].start_mm if i + 1 < len(bends) else self.right.centreline.length
        back, on = before - start, start + arc - after
        return back if 0.0 < back <= TOUCH_MM else -on if 0.0 < on <= TOUCH_MM else 0.0


def mistakes_at(pull: Pull, right: PartBent, marks: Sequence[float], stance: Stance = "flat") -> Iterator[Mistake]:
    """Yield each mistake that may be made at a pull and that makes another piece, or that cannot be seen.

    Args:
        pull: the pull.
        right: the piece after it as it should be.
        marks: those drawn for neighbouring bends not made yet, which may be taken for this one's; mm from the start.
        stance: how the bender stands.
    """
    index = next(i for i, bend in enumerate(right.bends) if bend.number == pull.bend)
    hand, angle = _Hand(pull, right, index), right.bends[index].angle_deg
    yield from _of_the_roll(hand)
    if has_rim(pull.former):
        yield Mistake("no guide", 0.0, "", None, message("unseen.flat"))
    for out in (ANGLE_DEG, -ANGLE_DEG):
        yield Mistake("angle", out, "deg", hand.done(angle_deg=angle + out) if angle + out > 0.0 else None)
    spring = pull.former.springback
    short = (angle - spring.fixed_deg) / (1.0 + spring.per_degree)
    if 0.0 < short < angle - 0.05:
        yield Mistake("no springback", short - angle, "deg", hand.done(angle_deg=short))
    for out in (MARK_MM, -MARK_MM):
        yield Mistake("mark", out, "mm", hand.done(mark_mm=pull.mark_mm + out))
    for other in marks:
        # Brought to where this pull's own drawn mark is brought.
        off = other - pull.drawn_mark_mm
        yield Mistake("other mark", off, "mm", hand.done(mark_mm=pull.mark_mm + off))
    # The inside line brought to face the fitter all the same; or the roll done as the words say.
    shift = 2.0 * pull.former.mark_mm - right.bends[index].arc_mm
    if abs(shift) > 0.05:
        shift = shift if pull.held == "start" else -shift
        yield Mistake("wrong end", shift, "mm", hand.done(turned=True))
        # Turned about an upright axis, what was the inside faces away on a bench; upright it goes on facing down.
        over = 180.0 if stance == "flat" else 0.0
        if len(right.bends) > 1 and abs(by_words := within_half_turn(2.0 * pull.roll_deg + over)) > NO_ROLL_DEG:
            yield Mistake("wrong end", by_words, "deg", hand.done(turned=True, rolled_deg=by_words))


def apart_mm(right: PartBent, wrong: PartBent, index: int) -> float:
    """Return how far two pieces are apart where they are the farthest, laid on each other on one side of bend `index`.

    On the side where that is less; places are the ends of the legs, between which it is less still, and the bends'
    middles.
    """
    sides = (-1, index), (1, index + 1)
    pairs = (zip(*(_seen_from(piece, index, *side) for piece in (right, wrong)), strict=True) for side in sides)
    return min(max(distance(one, other) for one, other in places) for places in pairs)


def _seen_from(piece: PartBent, index: int, side: int, leg: int) -> list[Vec3]:
    """Return the places of a piece as seen from a leg beside a bend, and from the plane of the bend beyond it."""
    own, beyond = piece.legs[leg], index + side
    arc = piece.arcs[beyond if 0 <= beyond < len(piece.arcs) else index]
    origin = own.start if side < 0 else own.finish
    axes = (own.direction, cross(arc.axis, own.direction), arc.axis)
    places = [p for one in piece.legs for p in (one.start, one.finish)]
    places += [one.point_at(one.length / 2.0) for one in piece.arcs]
    return [(dot(d, axes[0]), dot(d, axes[1]), dot(d, axes[2])) for d in (sub(p, origin) for p in places)]


def _of_the_roll(hand: _Hand) -> Iterator[Mistake]:
    """Yield what may go wrong round the tube."""
    if len(hand.right.bends) == 1:
        straight = message("unseen.straight")
        for name, out in (("twist", TWIST_DEG), ("twist", -TWIST_DEG), ("wrong way", 180.0)):
            yield Mistake(name, out, "deg", None, straight)
        return
    roll = hand.pull.roll_deg
    for out in (TWIST_DEG, -TWIST_DEG):
        yield Mistake("twist", out, "deg", hand.done(rolled_deg=out))
    yield Mistake("wrong way", 180.0, "deg", hand.done(rolled_deg=180.0))
    if abs(roll) > NO_ROLL_DEG:
        yield Mistake("not rolled", roll, "deg", hand.done(rolled_deg=roll))
    if NO_ROLL_DEG < abs(roll) < 180.0 - NO_ROLL_DEG:
        twice = within_half_turn(2.0 * roll)
        yield Mistake("wrong roll", twice, "deg", hand.done(rolled_deg=twice))
    else:
        yield Mistake("wrong roll", 0.0, "deg", None, message("unseen.both ways"))
