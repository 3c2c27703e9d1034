"""How a piece moves against itself while a bend is pulled and springs back: stretches of tube that bend or swing.

The bender's frame (docs/bending.md), in which the held side stands still. While the bend goes to `pull` the tube
rolls off the former, whose groove is the arc before it springs back: of the tube beyond the beginning of the bend,
what the groove has taken up lies on that arc and the rest goes straight on from its end. Then the arc opens, with no
more tube taken up, from the pull to the angle wanted.
"""

from enum import Enum
from math import atan2, cos, hypot, pi, remainder, sin, sqrt, tau
from typing import NamedTuple

from pipemodel.geometry.centreline import LinePiece, Straight
from pipemodel.geometry.vectors import Vec3


class TubePart(Enum):
    """Which part of the piece a stretch belongs to."""

    HELD = "the held side, which stands still"
    BENDING = "the tube that the bend takes up"
    FREE = "the free side beyond it, which swings"


class MovingStretch(NamedTuple):
    """A stretch of tube from `begin` to `end` mm from the beginning of the pull, along the held or the free side.

    `first` and `last` are its ends as the piece lies when the pull begins; no place on it is farther than `sag` from
    the line between them. `turned` is how far the bends made turn the tube from the pull to its far end, radians.
    """

    part: TubePart
    begin: float
    end: float
    first: Vec3
    last: Vec3
    sag: float
    turned: float
    piece: LinePiece | None
    offset: float = 0.0
    """Where on `piece` it begins."""

    def halves(self, groove: float) -> tuple["MovingStretch", "MovingStretch"]:
        """Return its two halves; `groove` is the radius of the bend being made."""
        part, begin, end, first, last, _, turned, piece, offset = self
        middle, half = (begin + end) / 2.0, (end - begin) / 2.0
        point = (middle, first[1], 0.0) if piece is None else piece.point_at(offset + half)
        sag = _sag(piece, half, groove)
        return (
            MovingStretch(part, begin, middle, first, point, sag, turned, piece, offset),
            MovingStretch(part, middle, end, point, last, sag, turned, piece, offset + half),
        )


def _sag(piece: LinePiece | None, length: float, groove: float) -> float:
    """Return how far tube of that length may lie from the line between its ends."""
    if isinstance(piece, Straight):
        return 0.0
    radius = groove if piece is None else piece.radius
    # The rise of an arc, R (1 - cos(L / 2R)), is never more than L^2 / 8R, nor than half its length.
    return min(length * length / (8.0 * radius), length / 2.0)


def stretch_of(
    piece: LinePiece, last: Vec3, part: TubePart, begin: float, turned: float, taken: float
) -> MovingStretch | None:
    """Return a piece of one side as a stretch; None where it all lies within the first `taken` mm of the side.

    Args:
        piece: a leg or a bend made.
        last: where it ends.
        part: the side it is of.
        begin: how far along that side it begins, mm.
        turned: how far the bends made turn the tube from the pull to its far end, radians.
        taken: how much of the side is not looked at, mm.
    """
    length, straight = piece.length, isinstance(piece, Straight)
    offset = max(0.0, taken - begin)
    if offset > length or (offset == length and not straight):
        return None
    sag = _sag(piece, length - offset, 1.0)
    first = piece.point_at(offset) if offset else piece.start
    return MovingStretch(part, begin + offset, begin + length, first, last, sag, turned, piece, offset)


def bending_stretch(taken: float, side_y: float, groove: float) -> MovingStretch:
    """Return the tube that the bend takes up, as it lies when the pull begins; `groove` is the former's radius."""
    first, last = (0.0, side_y, 0.0), (taken, side_y, 0.0)
    return MovingStretch(TubePart.BENDING, 0.0, taken, first, last, _sag(None, taken, groove), 0.0, None)


class Sector(NamedTuple):
    """Where a stretch stays all through a pull and the springing back, as seen from the free side while it turns.

    That is, in a frame that turns with the free side about the axis of the groove: there the held side turns the other
    way, and the free side only slides along x, by the tube taken up. Between two heights and two distances from that
    axis, `room` mm left on every side; and the lines between its ends at angles from `start` on, over `span`, radians,
    nowhere nearer to the axis than `bare`.
    """

    low: float
    high: float
    near: float
    far: float
    bare: float
    start: float
    span: float
    room: float

    def meets(self, other: "Sector") -> bool:
        """Tell whether two stretches may meet at all."""
        level = self.low <= other.high and other.low <= self.high
        return level and self.near <= other.far and other.near <= self.far and self.meets_in_angle(other)

    def meets_in_angle(self, other: "Sector") -> bool:
        """Tell whether two stretches may meet as far as their angles go."""
        _, _, _, _, bare, start, span, room = self
        # A place is as far from a ray through the axis as its distance from the axis times the sine between them.
        gap = (other.start - start - span) % tau
        gap = min(gap, tau - span - other.span - gap)
        return gap <= 0.0 or max(bare, other.bare) * sin(min(gap, pi / 2.0)) < room + other.room


class Swing(NamedTuple):
    """What a pull and its springing back do to a piece: all that its sectors follow from.

    `taken` mm of tube go into a groove of radius `groove` about a line at y = `axis`; the free side turns by up to
    `turned` radians; its end of the arc leaves the groove by no more than `leaves` mm; `room` mm are left beside all.
    """

    taken: float
    groove: float
    axis: float
    turned: float
    leaves: float
    room: float


def sector_of(stretch: MovingStretch, swing: Swing) -> Sector:
    """Return the sector of a stretch through a pull and its springing back."""
    taken, groove, axis, turned, leaves, room = swing
    part, _, _, (ax, ay, az), (bx, by, bz), sag, _, _, _ = stretch
    if part is TubePart.BENDING:
        room += leaves
        return Sector(-room, room, groove - room, hypot(groove, taken) + room, groove, 0.0, tau, room)
    room += sag
    low, high = (az - room, bz + room) if az < bz else (bz - room, az + room)
    if part is TubePart.FREE:
        # It slides by half of what is taken up either way from its middle.
        room, turned = room + leaves + taken / 2.0, 0.0
        ax, bx = ax - taken / 2.0, bx - taken / 2.0
    ay, by = ay - axis, by - axis
    dx, dy = bx - ax, by - ay
    square = dx * dx + dy * dy
    t = -(ax * dx + ay * dy) / square if square > 0.0 else 0.0
    t = 0.0 if t < 0.0 else 1.0 if t > 1.0 else t
    bare, far = hypot(ax + t * dx, ay + t * dy), max(hypot(ax, ay), hypot(bx, by))
    # Seen from outside, a line takes up no more than half a turn.
    start = atan2(ay, ax)
    span = remainder(atan2(by, bx) - start, tau)
    if span < 0.0:
        start, span = start + span, -span
    return Sector(low, high, bare - room, far + room, bare, start, span + turned, room)


class PlacedStretch(NamedTuple):
    """A stretch at an angle: its two ends, and a bound on how fast it moves for half an interval around, mm / rad."""

    first: Vec3
    last: Vec3
    speed: float


class Phase:
    """One part of a pull: the angle goes from `low` to `high`, radians, with `taken` mm of tube bent in all.

    `opening` is the springing back: all of the tube is taken up, and the arc's radius changes instead.
    """

    def __init__(self, low: float, high: float, taken: float, side_y: float, opening: bool) -> None:
        self.low, self.high, self.taken, self.side_y, self.opening = low, high, taken, side_y, opening
        # Intervals are halved again and again, so the same angles come up for every stretch: cos, sin, the tube
        # taken up, the radius of its arc, and where the free side begins.
        self._at: dict[float, tuple[float, float, float, float, float, float]] = {}

    def speed_seen(self, stretch: MovingStretch, angle: float, half: float) -> float:
        """Return a bound on how fast a held stretch moves as seen from what turns with the free side, mm / rad.

        Two places come no faster nearer each other than either moves as seen from the other, and what turns about one
        point sees the other turn about that point, which itself goes along the groove, or with the opening arc.
        """
        _, _, _, _, ex, ey = self._at.get(angle) or self._state(angle)
        drift = self.taken / 2.0 * (1.0 + half) if self.opening else self.taken / self.high * half
        _, _, _, (ax, ay, az), (bx, by, bz), sag, _, _, _ = stretch
        ax, ay, bx, by = ax - ex, ay - ey, bx - ex, by - ey
        return sqrt(max(ax * ax + ay * ay + az * az, bx * bx + by * by + bz * bz)) + sag + drift

    def drawn(self, angle: float) -> float:
        """Return how much tube the bend has taken up at an angle."""
        return self.taken if self.opening else min(self.taken, self.taken * angle / self.high)

    @property
    def still_speed(self) -> float:
        """A bound on how fast the tube taken up moves, mm per radian: none while pulling, see `placed`."""
        return self.taken / 2.0 if self.opening else 0.0

    def placed(self, stretch: MovingStretch, angle: float, half: float) -> PlacedStretch:
        """Return where a bending or free stretch lies at an angle, and how fast it moves within `half` of it.

        The speed is against the held side and against the tube taken up. The free side turns about the point where it
        leaves the groove. Tube not taken up yet swings with it, tube taken up lies still, so neither moves faster
        against it. While the arc opens, all of it moves, by no more than half the tube taken up.
        """
        c, s, drawn, radius, ex, ey = self._at.get(angle) or self._state(angle)
        drift = self.taken / 2.0 if self.opening else self.taken / self.high * half
        part, begin, end, (ax, ay, az), (bx, by, bz), sag, _, _, _ = stretch
        if part is TubePart.BENDING:
            speed = drift if self.opening else max(0.0, end - drawn + drift)
            return PlacedStretch(self._bent(begin, angle, drawn, radius), self._bent(end, angle, drawn, radius), speed)
        y = self.side_y
        ax, ay, bx, by = ax - drawn, ay - y, bx - drawn, by - y
        far = sqrt(max(ax * ax + ay * ay + az * az, bx * bx + by * by + bz * bz))
        return PlacedStretch(
            (ex + c * ax + s * ay, ey - s * ax + c * ay, az),
            (ex + c * bx + s * by, ey - s * bx + c * by, bz),
            far + sag + drift,
        )

    def _state(self, angle: float) -> tuple[float, float, float, float, float, float]:
        drawn = self.drawn(angle)
        radius = drawn / angle if angle > 0.0 else 0.0
        ex, ey, _ = self._bent(drawn, angle, drawn, radius)
        state = (cos(angle), sin(angle), drawn, radius, ex, ey)
        self._at[angle] = state
        return state

    def _bent(self, at: float, angle: float, drawn: float, radius: float) -> Vec3:
        """Return where the tube `at` mm beyond the beginning of the bend lies: on the arc, or straight on from it."""
        turn = min(at / drawn, 1.0) * angle if drawn > 0.0 else 0.0
        c, s = cos(turn), sin(turn)
        beyond = max(0.0, at - drawn)
        return (radius * s + beyond * c, self.side_y - radius * (1.0 - c) - beyond * s, 0.0)
