"""How a piece moves against itself while a bend is pulled and springs back: stretches of tube that bend or swing.

The bender's frame (docs/bending.md), in which the held side stands still. While the bend goes to `pull` the tube
rolls off the former, whose groove is the arc before it springs back: of the tube beyond the beginning of the bend,
what the groove has taken up lies on that arc and the rest goes straight on from its end. Then the arc opens, with no
more tube taken up, from the pull to the angle wanted.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum
from math import cos, hypot, radians, sin
from typing import NamedTuple

from pipemodel.geometry.centreline import Piece, Straight
from pipemodel.geometry.vectors import Vec3


class Part(Enum):
    """Which part of the piece a stretch belongs to."""

    HELD = "the held side, which stands still"
    BENDING = "the tube that the bend takes up"
    FREE = "the free side beyond it, which swings"


@dataclass(frozen=True, slots=True)
class Stretch:
    """A stretch of tube from `begin` to `end` mm from the beginning of the pull, along the held or the free side.

    `first` and `last` are its ends as the piece lies when the pull begins; no place on it is farther than `sag` from
    the line between them. `turned` is how far the bends made turn the tube from the pull to its far end, radians.
    """

    part: Part
    begin: float
    end: float
    first: Vec3
    last: Vec3
    sag: float
    turned: float
    piece: Piece | None
    offset: float = 0.0
    """Where on `piece` it begins."""

    def halves(self, groove: float) -> tuple["Stretch", "Stretch"]:
        """Return its two halves; `groove` is the radius of the bend being made."""
        middle, half = (self.begin + self.end) / 2.0, (self.end - self.begin) / 2.0
        piece = self.piece
        point = (middle, self.first[1], 0.0) if piece is None else piece.point_at(self.offset + half)
        sag = _sag(self.piece, half, groove)
        return (
            Stretch(self.part, self.begin, middle, self.first, point, sag, self.turned, self.piece, self.offset),
            Stretch(self.part, middle, self.end, point, self.last, sag, self.turned, self.piece, self.offset + half),
        )


def _sag(piece: Piece | None, length: float, groove: float) -> float:
    """Return how far tube of that length may lie from the line between its ends."""
    if isinstance(piece, Straight):
        return 0.0
    radius = groove if piece is None else piece.radius
    # The rise of an arc, R (1 - cos(L / 2R)), is never more than L^2 / 8R, nor than half its length.
    return min(length * length / (8.0 * radius), length / 2.0)


def stretches_of(pieces: Sequence[Piece], part: Part, taken: float) -> list[Stretch]:
    """Return one side of the piece as stretches; of the free side only what lies beyond the `taken` mm."""
    out: list[Stretch] = []
    at = turned = 0.0
    for piece in pieces:
        offset = max(0.0, taken - at) if part is Part.FREE else 0.0
        if not isinstance(piece, Straight):
            turned += radians(piece.angle_deg)
        length = piece.length
        if offset < length or (offset <= length and isinstance(piece, Straight)):
            sag = _sag(piece, length - offset, 1.0)
            first = piece.point_at(offset)
            out.append(Stretch(part, at + offset, at + length, first, piece.finish, sag, turned, piece, offset))
        at += length
    return out


def bending_stretch(taken: float, side_y: float, groove: float) -> Stretch:
    """Return the tube that the bend takes up, as it lies when the pull begins; `groove` is the former's radius."""
    first, last = (0.0, side_y, 0.0), (taken, side_y, 0.0)
    return Stretch(Part.BENDING, 0.0, taken, first, last, _sag(None, taken, groove), 0.0, None)


class Ring(NamedTuple):
    """Where a stretch stays all through a pull: between two heights, and two distances from where the bend begins."""

    low: float
    high: float
    near: float
    far: float

    def meets(self, other: "Ring") -> bool:
        """Tell whether two stretches may meet at all."""
        return self.low <= other.high and other.low <= self.high and self.near <= other.far and other.near <= self.far


def ring_of(stretch: Stretch, side_y: float, moves: float, room: float) -> Ring:
    """Return the ring of a stretch whose distance changes by up to `moves`, with `room` mm left on every side.

    A pull moves nothing up or down. The free side turns about the place where the bend ends, and both that place and
    the tube there move by no more than the tube taken up: so its distance changes by no more than twice that.
    """
    (ax, ay, az), (bx, by, bz) = stretch.first, stretch.last
    middle = hypot((ax + bx) / 2.0, (ay + by) / 2.0 - side_y, (az + bz) / 2.0)
    half = hypot(bx - ax, by - ay, bz - az) / 2.0 + stretch.sag + moves + room
    beside = room if stretch.part is Part.BENDING else stretch.sag + room
    return Ring(min(az, bz) - beside, max(az, bz) + beside, middle - half, middle + half)


@dataclass(frozen=True)
class Phase:
    """One part of a pull: the angle goes from `low` to `high`, radians, with `taken` mm of tube bent in all.

    `opening` is the springing back: all of the tube is taken up, and the arc's radius changes instead.
    """

    low: float
    high: float
    taken: float
    side_y: float
    opening: bool

    def drawn(self, angle: float) -> float:
        """Return how much tube the bend has taken up at an angle."""
        return self.taken if self.opening else min(self.taken, self.taken * angle / self.high)

    def ends(self, stretch: Stretch, angle: float) -> tuple[Vec3, Vec3]:
        """Return where the two ends of a stretch lie at an angle."""
        if stretch.part is Part.HELD:
            return stretch.first, stretch.last
        if stretch.part is Part.BENDING:
            return self._bent(stretch.begin, angle), self._bent(stretch.end, angle)
        c, s = cos(angle), sin(angle)
        drawn = self.drawn(angle)
        ex, ey, _ = self._bent(drawn, angle)
        (ax, ay, az), (bx, by, bz) = stretch.first, stretch.last
        ax, ay, bx, by = ax - drawn, ay - self.side_y, bx - drawn, by - self.side_y
        return (
            (ex + c * ax + s * ay, ey - s * ax + c * ay, az),
            (ex + c * bx + s * by, ey - s * bx + c * by, bz),
        )

    def _bent(self, at: float, angle: float) -> Vec3:
        """Return where the tube `at` mm beyond the beginning of the bend lies: on the arc, or straight on from it."""
        drawn = self.drawn(angle)
        turn = min(at / drawn, 1.0) * angle if drawn > 0.0 else 0.0
        radius = drawn / angle if angle > 0.0 else 0.0
        x, y = radius * sin(turn), self.side_y - radius * (1.0 - cos(turn))
        beyond = max(0.0, at - drawn)
        return (x + beyond * cos(turn), y - beyond * sin(turn), 0.0)

    def speed(self, one: Stretch, other: Stretch, angle: float, half: float) -> float:
        """Return a bound on how fast two stretches move against each other, mm per radian, from angle +- half.

        The free side turns about the point where it leaves the groove. Tube not taken up yet swings with it, tube
        taken up lies still, so neither moves faster against it. While the arc opens, all of it moves, by no more
        than half the tube taken up.
        """
        if self.opening:
            still = self.taken / 2.0 * (one.part is Part.BENDING)
            return still + self._speed(other, angle, self.taken / 2.0)
        return self._speed(other, angle, self.taken / self.high * half)

    def _speed(self, stretch: Stretch, angle: float, drift: float) -> float:
        drawn, y = self.drawn(angle), self.side_y
        if stretch.part is Part.BENDING:
            return drift if self.opening else max(0.0, stretch.end - drawn + drift)
        (ax, ay, az), (bx, by, bz) = stretch.first, stretch.last
        far = max(hypot(ax - drawn, ay - y, az), hypot(bx - drawn, by - y, bz))
        return far + stretch.sag + drift
