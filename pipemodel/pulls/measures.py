"""What one person can measure on a part-bent piece with a tape, a straight-edge, an angle card and a flat bench.

Each measure is given with how to take it, what it reads on the piece as it should be, how well it is read, and a
function that reads it on any other piece. How well: common practice, no source. Heights over the bench and looks stand
in `bench_measures`, what is read off a straight-edge in `straight_edge`.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from enum import StrEnum
from math import degrees
from typing import Literal, NamedTuple, TypeAlias

from pipemodel.bending.angle_card import card_leg_mm
from pipemodel.bending.part_bent import PartBent
from pipemodel.geometry.vectors import Vec3, cross, distance, dot, length
from pipemodel.messages.values import NOTHING, Angle, Count, Length, Message, Tape, Word, message
from pipemodel.trade.out_of_round import out_of_round_mm

PARALLEL = 0.005
"""Sine of the angle, about 0.3 degrees, within which two legs, or two planes, are parallel to a fitter."""
SQUARE_DEG = 0.5
"""A bend within this of 90 has a back to lay a square on."""
IN_LINE_MM = 1.0
"""Legs this near to one line are in line to a fitter."""
TAPE_MM = 1.5
"""How well one person reads a tape or a height over the bench."""
CARD_DEG = 0.7
"""How well an angle is judged with the card of the pack."""
CARD_GAP_MM = 0.3
"""A gap under a card's edge is seen from this on."""
REACH_MM = 1000.0
"""One person reads nothing that is further across, and lays no straight-edge further out."""
LONGEST_PIECE_MM = 1000.0
"""No tape goes from end to end of a longer piece."""


class MeasureKind(StrEnum):
    """What is measured, or looked at."""

    END_TO_BACK = "end to back"
    BACK_TO_BACK = "back to back"
    HEIGHT = "height, outside to outside"
    SPAN = "open span, inside to inside"
    OFFSET = "square off a straight-edge"
    ANGLE = "angle card"
    STAND_OFF = "stand-off from a flat bench"
    ASIDE = "aside, plumbed to a flat bench"
    FLAT = "flat on the bench"
    ACROSS = "end to end, straight across"
    CORNER = "across a bend, ring to ring"
    ROUND = "out of round, by caliper"
    HAND = "hand"
    WAY = "way round"

    @property
    def over_legs(self) -> bool:
        """Whether it lies over two legs: where they are no longer parallel, a tape reads as it is held."""
        return self in (MeasureKind.HEIGHT, MeasureKind.SPAN)


MeasureUnit: TypeAlias = Literal["mm", "deg", "look"]


_WORDED = ("measure.on the line", "measure.off now")


@dataclass(frozen=True)
class Measure:
    """One check: what it is, what it reads, how well it is read, and how to take it.

    A look has +1 or -1 for a value: to the left or to the right, the same way or the other. `lay` is how the piece is
    laid for it, the same for two that are read at once. `finds` names the mistakes that it shows, however they go.
    """

    kind: MeasureKind
    value: float
    how: Message
    within: float = TAPE_MM
    unit: MeasureUnit = "mm"
    lay: tuple[int, str] | None = None
    finds: tuple[str, ...] = ()

    @property
    def worded(self) -> bool:
        """Whether its sentence says all, without a figure before it."""
        return self.kind in (MeasureKind.FLAT, MeasureKind.ROUND) or self.how.template in _WORDED

    @property
    def said(self) -> Message:
        """The measure as a line to tick: what it reads, and how to take it."""
        if self.unit != "mm" or self.worded:
            return self.how
        return message("measure", far=Tape(self.value), how=self.how)

    @property
    def looks(self) -> str:
        """What a look shows, in a word; empty for what is measured."""
        ways = {MeasureKind.HAND: ("left", "right"), MeasureKind.WAY: ("same", "opposite")}
        return ways[self.kind][self.value < 0.0] if self.kind in ways else ""

    @property
    def shows_from(self) -> float:
        """How far a reading must be off to show: by more than two readings may differ, and what printing rounds."""
        if self.unit == "look":
            return 1.0
        if self.kind is MeasureKind.FLAT:
            # A gap where there is to be none.
            return self.within
        if self.kind is MeasureKind.ROUND:
            return 2.0 * self.within
        return 2.0 * self.within + (0.5 if self.unit == "mm" else 0.05)


def out_of_round(bend: int, outside_mm: float) -> Measure:
    """Return the check of how far a bend is out of round: by no more than is printed, twice `within`."""
    most = out_of_round_mm(outside_mm)
    how = message("measure.round", bend=Count(bend), most=Length(most, ".2f", rounded="down"))
    return Measure(MeasureKind.ROUND, 0.0, how, most / 2.0)


class Candidate(NamedTuple):
    """A measure that could be taken, and what reads it on a piece with the same bends, right or wrong."""

    measure: Measure
    read: Callable[[PartBent], float]


def with_tape_and_card(piece: PartBent, index: int) -> Iterator[Candidate]:
    """Yield what can be measured of bend `index` of a piece with a tape or an angle card."""
    yield from _between_parallel_legs(piece, index)
    yield from _passover(piece, index)
    yield from _angle(piece, index)
    yield from _end_to_back(piece, index)
    yield from _back_to_back(piece, index)
    line = piece.centreline
    if line.length <= LONGEST_PIECE_MM and distance(line.start, line.finish) <= REACH_MM:
        yield taken(piece, MeasureKind.ACROSS, message("measure.across"), _across)


def taken(
    piece: PartBent,
    kind: MeasureKind,
    how: Message,
    read: Callable[..., float],
    *where: int,
) -> Candidate:
    """Return a measure that `read` reads on a piece, given where."""
    return Candidate(Measure(kind, read(piece, *where), how), lambda other: read(other, *where))


def _across(piece: PartBent) -> float:
    return distance(piece.centreline.start, piece.centreline.finish)


def _angle(piece: PartBent, index: int) -> Iterator[Candidate]:
    bend = piece.bends[index]
    card = card_leg_mm(bend.angle_deg, bend.radius_mm, piece.outside_mm)
    edge = min(card, *(leg.length for leg in piece.legs[index : index + 2]))
    if edge > 0.0:
        within = max(CARD_DEG, degrees(CARD_GAP_MM / edge))
        how = message("measure.by card", bend=Count(bend.number), angle=Angle(bend.angle_deg))
        yield Candidate(
            Measure(MeasureKind.ANGLE, bend.angle_deg, how, within, "deg"), lambda other: other.bends[index].angle_deg
        )


def _end_to_back(piece: PartBent, index: int) -> Iterator[Candidate]:
    bend = piece.bends[index]
    ends = [("start", 0)] if index == 0 else []
    ends += [("finish", len(piece.bends))] if index == len(piece.bends) - 1 else []
    for end, leg in ends:
        at = NOTHING if square(piece, index) else message("measure.where its backs meet")
        how = message("measure.end to back", end=Word(end), bend=Count(bend.number), at=at)
        yield taken(piece, MeasureKind.END_TO_BACK, how, _leg_and_backs, leg, index)


def square(piece: PartBent, index: int) -> bool:
    """Tell whether a bend has a back to lay a square on, or an outermost point."""
    return piece.bends[index].angle_deg >= 90.0 - SQUARE_DEG


def _back_to_back(piece: PartBent, index: int) -> Iterator[Candidate]:
    for one, two in ((index - 1, index), (index, index + 1)):
        if one < 0 or two >= len(piece.bends):
            continue
        slanting = [i for i in (one, two) if not square(piece, i)]
        at = NOTHING
        if len(slanting) == 1:
            at = message("measure.at that bend", bend=Count(piece.bends[slanting[0]].number))
        elif slanting:
            at = message("measure.where their backs meet")
        first, second = Count(piece.bends[one].number), Count(piece.bends[two].number)
        how = message("measure.back to back", one=first, other=second, at=at)
        yield taken(piece, MeasureKind.BACK_TO_BACK, how, _leg_and_backs, two, one, two)


def _leg_and_backs(piece: PartBent, leg: int, *bends: int) -> float:
    return piece.legs[leg].length + sum(piece.back_mm(i) for i in bends)


def _between_parallel_legs(piece: PartBent, index: int) -> Iterator[Candidate]:
    """Compare the legs on both sides of this bend and its neighbour: a set, a U."""
    for one, two in ((index - 1, index + 1), (index, index + 2)):
        if one < 0 or two >= len(piece.legs):
            continue
        a, b = piece.legs[one], piece.legs[two]
        if not _parallel(a.direction, b.direction) or min(a.length, b.length) < 2.0 * piece.outside_mm:
            continue
        first, second = Count(piece.bends[one].number), Count(piece.bends[two - 1].number)
        if dot(a.direction, b.direction) > 0.0:
            over = message("measure.over legs", before=first, after=second)
            yield taken(piece, MeasureKind.HEIGHT, over, _apart, one, two, 1)
        else:
            between = message("measure.between legs", before=first, after=second)
            yield taken(piece, MeasureKind.SPAN, between, _apart, one, two, -1)


def _apart(piece: PartBent, one: int, two: int, diameters: int) -> float:
    """Return how far the second leg begins off the first, square to it, and so many diameters more."""
    return length(piece.legs[one].off(piece.legs[two].start)) + diameters * piece.outside_mm


def _passover(piece: PartBent, index: int) -> Iterator[Candidate]:
    """Measure three bends that lift the tube over something and bring it back into line: up to the one on top."""
    for one in (index - 2, index - 1, index):
        if one < 0 or one + 3 >= len(piece.legs):
            continue
        a, b = piece.legs[one], piece.legs[one + 3]
        if not _parallel(a.direction, b.direction) or dot(a.direction, b.direction) < 0.0:
            continue
        top = piece.arcs[one + 1]
        off = a.off(top.point_at(top.length / 2.0))
        if length(a.off(b.start)) > IN_LINE_MM or length(off) < piece.outside_mm:
            continue
        before, on_top, after = (Count(bend.number) for bend in piece.bends[one : one + 3])
        how = message("measure.passover", before=before, after=after, top=on_top)
        yield taken(piece, MeasureKind.HEIGHT, how, _crown, one)
        return


def _crown(piece: PartBent, one: int) -> float:
    """Return how far the back of the bend on top lies over the outside of a leg."""
    a, top = piece.legs[one], piece.arcs[one + 1]
    steps = 16
    return max(length(a.off(top.point_at(top.length * k / steps))) for k in range(steps + 1)) + piece.outside_mm


def _parallel(a: Vec3, b: Vec3) -> bool:
    """Tell whether two unit vectors run along one line to a fitter, the same way or against each other."""
    return length(cross(a, b)) <= PARALLEL
