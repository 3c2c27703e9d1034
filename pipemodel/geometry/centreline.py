"""The centreline of a run: straights and arcs, tangent to each other.

A centreline of n bends has 2n + 1 pieces: straight, arc, straight, ..., straight. A straight may have no
length (two bends that touch, or a run that starts with a bend), but it keeps its direction.
"""

from bisect import bisect_right
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from math import degrees, radians
from typing import NamedTuple, TypeAlias

from pipemodel.geometry.vectors import Vec3, add, along, cos_deg, cross, dot, rotate, scale, sin_deg, sub

NO_LENGTH_MM = 1e-9
"""A straight this short is left out: two bends that touch."""


class Straight(NamedTuple):
    """A straight piece of centreline; `direction` is a unit vector, `length` in mm (0 allowed)."""

    start: Vec3
    direction: Vec3
    length: float

    @property
    def finish(self) -> Vec3:
        """Where the straight ends."""
        return along(self.start, self.direction, self.length)

    def point_at(self, s: float) -> Vec3:
        """Return the point s mm from the start."""
        return along(self.start, self.direction, s)

    def direction_at(self, s: float) -> Vec3:
        """Return the direction of travel at s mm from the start."""
        return self.direction

    def off(self, point: Vec3) -> Vec3:
        """Return the way from its axis, square to it, to a point."""
        to = sub(point, self.start)
        return sub(to, scale(self.direction, dot(to, self.direction)))


class Arc(NamedTuple):
    """An arc of centreline, swept from `centre + radius * spoke` right-handed about `axis`.

    `spoke` and `axis` are unit vectors square to each other; `angle_deg` lies in (0, 180] for a bend and may
    be up to 360 for a full circle. The direction of travel at the start is axis x spoke.
    """

    centre: Vec3
    axis: Vec3
    spoke: Vec3
    radius: float
    angle_deg: float

    @property
    def length(self) -> float:
        """Arc length in mm."""
        return self.radius * radians(self.angle_deg)

    @property
    def start(self) -> Vec3:
        """Where the arc starts."""
        return along(self.centre, self.spoke, self.radius)

    @property
    def direction(self) -> Vec3:
        """The direction of travel at the start."""
        return cross(self.axis, self.spoke)

    @property
    def finish(self) -> Vec3:
        """Where the arc ends."""
        return self._at(self.angle_deg)

    @property
    def finish_direction(self) -> Vec3:
        """The direction of travel at the finish."""
        return self._heading(self.angle_deg)

    def point_at(self, s: float) -> Vec3:
        """Return the point s mm along the arc."""
        return self._at(degrees(s / self.radius))

    def direction_at(self, s: float) -> Vec3:
        """Return the direction of travel s mm along the arc."""
        return self._heading(degrees(s / self.radius))

    def _at(self, angle: float) -> Vec3:
        c, s = self.radius * cos_deg(angle), self.radius * sin_deg(angle)
        t = cross(self.axis, self.spoke)
        return add(self.centre, add(scale(self.spoke, c), scale(t, s)))

    def _heading(self, angle: float) -> Vec3:
        t = cross(self.axis, self.spoke)
        return sub(scale(t, cos_deg(angle)), scale(self.spoke, sin_deg(angle)))


LinePiece: TypeAlias = Straight | Arc
Block: TypeAlias = tuple[Vec3, Vec3]
"""The low and the high corner of a block along the axes."""


@dataclass(frozen=True)
class Centreline:
    """The pieces of a run in order of travel; positions along it are in mm from the start."""

    pieces: tuple[LinePiece, ...]
    offsets: tuple[float, ...] = field(init=False, repr=False, compare=False)
    """Where each piece begins, measured along the centreline; one more than there are pieces."""

    def __post_init__(self) -> None:
        offsets = [0.0]
        for piece in self.pieces:
            offsets.append(offsets[-1] + piece.length)
        object.__setattr__(self, "offsets", tuple(offsets))

    @property
    def length(self) -> float:
        """The developed length in mm."""
        return self.offsets[-1]

    @property
    def start(self) -> Vec3:
        """The centre of the tube's start end."""
        return self.pieces[0].start

    @property
    def finish(self) -> Vec3:
        """The centre of the tube's finish end."""
        return self.pieces[-1].finish

    @property
    def ends(self) -> tuple[tuple[str, Vec3, Vec3], tuple[str, Vec3, Vec3]]:
        """Start and finish: the name of each, where it is, and which way it faces."""
        first, last = self.pieces[0], self.pieces[-1]
        start = ("start", self.start, scale(first.direction, -1.0))
        return start, ("finish", self.finish, last.direction_at(last.length))

    @property
    def arcs(self) -> tuple[Arc, ...]:
        """The bends' arcs in order."""
        return tuple(p for p in self.pieces if isinstance(p, Arc))

    @property
    def straights(self) -> tuple[Straight, ...]:
        """The legs in order, those without length included."""
        return tuple(p for p in self.pieces if isinstance(p, Straight))

    def locate(self, s: float) -> tuple[int, float]:
        """Return the index of the piece that holds position s, and the position within that piece."""
        i = min(max(bisect_right(self.offsets, s) - 1, 0), len(self.pieces) - 1)
        return i, s - self.offsets[i]

    def point_at(self, s: float) -> Vec3:
        """Return the point of the axis s mm from the start."""
        i, rest = self.locate(s)
        return self.pieces[i].point_at(rest)

    def direction_at(self, s: float) -> Vec3:
        """Return the unit direction of travel s mm from the start."""
        i, rest = self.locate(s)
        return self.pieces[i].direction_at(rest)


def backwards(line: Centreline) -> Centreline:
    """Return an axis gone through from its finish to its start."""
    return Centreline(
        tuple(
            Straight(piece.finish, scale(piece.direction, -1.0), piece.length)
            if isinstance(piece, Straight)
            else piece._replace(axis=scale(piece.axis, -1.0), spoke=rotate(piece.spoke, piece.axis, piece.angle_deg))
            for piece in reversed(line.pieces)
        )
    )


def block_of(pieces: Iterable[LinePiece]) -> Block:
    """Return a block along the axes that holds some pieces of an axis, and perhaps more."""
    ends: list[Vec3] = []
    for piece in pieces:
        if isinstance(piece, Arc):
            reach = (piece.radius, piece.radius, piece.radius)
            ends += sub(piece.centre, reach), add(piece.centre, reach)
        else:
            ends += piece.start, piece.finish
    return around(ends)


def around(points: Sequence[Vec3]) -> Block:
    """Return the block along the axes that holds some points."""
    xs, ys, zs = zip(*points, strict=True)
    return (min(xs), min(ys), min(zs)), (max(xs), max(ys), max(zs))


def blocks_meet(one: Block, two: Sequence[Vec3], within: float) -> bool:
    """Return whether two blocks are no farther apart than so much, along each axis; one of no size is everywhere."""
    return not two or all(one[0][k] - within <= two[1][k] and two[0][k] - within <= one[1][k] for k in range(3))


def merged(stretches: Sequence[tuple[float, float]], within_mm: float) -> list[tuple[float, float]]:
    """Return stretches, from where to where, in order; those no farther apart than so much are one."""
    out: list[tuple[float, float]] = []
    for low, high in sorted(stretches):
        if out and low <= out[-1][1] + within_mm:
            out[-1] = (out[-1][0], max(out[-1][1], high))
        else:
            out.append((low, high))
    return out


def cut_out(line: Centreline, low: float, high: float) -> Centreline:
    """Return the part of a centreline between two positions along it, mm; low < high, cut to the line's own ends."""
    pieces: list[LinePiece] = []
    for piece, begin in zip(line.pieces, line.offsets, strict=False):
        a, b = max(low - begin, 0.0), min(high - begin, piece.length)
        if b <= a:
            continue
        if isinstance(piece, Straight):
            pieces.append(Straight(piece.point_at(a), piece.direction, b - a))
        else:
            spoke = scale(sub(piece.point_at(a), piece.centre), 1.0 / piece.radius)
            pieces.append(Arc(piece.centre, piece.axis, spoke, piece.radius, degrees((b - a) / piece.radius)))
    return Centreline(tuple(pieces))


def carried(
    pieces: Iterable[LinePiece], point: Callable[[Vec3], Vec3], way: Callable[[Vec3], Vec3]
) -> tuple[LinePiece, ...]:
    """Return pieces turned and moved, by where a point and a direction then are."""
    return tuple(
        Straight(point(piece.start), way(piece.direction), piece.length)
        if isinstance(piece, Straight)
        else piece._replace(centre=point(piece.centre), axis=way(piece.axis), spoke=way(piece.spoke))
        for piece in pieces
    )


def moved(line: Centreline, by: Vec3) -> Centreline:
    """Return a centreline moved without turning."""
    return Centreline(carried(line.pieces, lambda p: add(p, by), lambda v: v))
