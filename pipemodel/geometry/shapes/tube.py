"""Tubes that are there already: round, along straights and arcs tangent to each other, with flat ends; filled.

Each piece is a solid of its own, a cylinder or a part of a torus, as for the runs themselves; where one goes on into
the next there is no surface.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from math import acos, atan2, ceil, hypot, pi, radians
from typing import ClassVar, TypeAlias

from pipemodel.geometry.arrays import Bools, Floats, Ints, np
from pipemodel.geometry.centreline import NO_LENGTH_MM, Arc, Centreline, LinePiece, Straight, carried
from pipemodel.geometry.extent import Extent
from pipemodel.geometry.placing import Placing
from pipemodel.geometry.shapes.base import Colour, Shape, Targets, rows
from pipemodel.geometry.shapes.bends import Bends
from pipemodel.geometry.shapes.cylinder import Cylinders
from pipemodel.geometry.shapes.face import Face, disc, plane
from pipemodel.geometry.shapes.mesh import Mesh
from pipemodel.geometry.shapes.solids_of_triangles import ring_round, sides_for
from pipemodel.geometry.vectors import Vec3, along, cross, dot, length, rotate, scale, sub, unit

_TOUCH_MM = 1e-7
_MOST_STEPS = 500
_Row: TypeAlias = tuple[LinePiece, float, int, bool, bool]
"""A piece, its radius, the number of its tube, and whether its first and last end are the tube's."""


@dataclass(frozen=True)
class Tube(Shape):
    """A tube along a centreline, `diameter` outside."""

    kind: ClassVar[str] = "tube"
    colour: ClassVar[Colour] = (0.62, 0.66, 0.70)
    convex: ClassVar[bool] = False

    line: Centreline
    diameter: float

    @cached_property
    def pieces(self) -> tuple[LinePiece, ...]:
        """Its pieces that have a length."""
        return tuple(piece for piece in self.line.pieces if piece.length > NO_LENGTH_MM)

    def placed(self, placing: Placing) -> Shape:
        """Return it turned and moved."""
        return Tube(Centreline(carried(self.line.pieces, placing.point, placing.direction)), self.diameter)

    def reach(self, direction: Vec3) -> tuple[float, float]:
        """Return the least and the greatest of point . direction over it."""
        found = []
        for piece in self.pieces:
            spots = [(piece.start, piece.direction)]
            if isinstance(piece, Arc):
                spots.append((piece.finish, piece.finish_direction))
                # Where the arc runs square to the direction it is furthest, if it gets there.
                u, v = piece.spoke, cross(piece.axis, piece.spoke)
                for turn in (0.0, pi):
                    at = (atan2(dot(direction, v), dot(direction, u)) + turn) % (2.0 * pi)
                    if at < radians(piece.angle_deg):
                        s = at * piece.radius
                        spots.append((piece.point_at(s), piece.direction_at(s)))
            else:
                spots.append((piece.finish, piece.direction))
            for point, way in spots:
                half = self.diameter / 2.0 * length(cross(way, direction))
                found += [dot(point, direction) - half, dot(point, direction) + half]
        return min(found), max(found)

    def distance(self, p: Vec3) -> float:
        """Return the distance from a point, below zero inside."""
        last = len(self.pieces) - 1
        radius = self.diameter / 2.0
        return min(
            _from_leg(piece, radius, p, k == 0, k == last)
            if isinstance(piece, Straight)
            else _from_bend(piece, radius, p, k == 0, k == last)
            for k, piece in enumerate(self.pieces)
        )

    def flat_faces(self) -> Iterator[Face]:
        """Yield its two round ends."""
        first, last = self.pieces[0], self.pieces[-1]
        yield disc(last.finish, last.direction_at(last.length), self.diameter / 2.0)
        yield disc(first.start, scale(first.direction_at(0.0), -1.0), self.diameter / 2.0)

    def met(self, origin: Vec3, ahead: Vec3) -> Face | None:
        """Return what a line meets first: the flat square to it that touches the near side, or an end."""
        at, furthest = 0.0, self.reach(ahead)[1] - dot(origin, ahead)
        if self.distance(origin) < -_TOUCH_MM:
            return None
        for _ in range(_MOST_STEPS):
            # Nothing is nearer than this, whichever way one goes.
            off = self.distance(along(origin, ahead, at))
            if off <= _TOUCH_MM:
                return self._flat_at(along(origin, ahead, at), ahead)
            at += off
            if at > furthest:
                return None
        return None

    def _flat_at(self, p: Vec3, ahead: Vec3) -> Face | None:
        for end in self.flat_faces():
            if dot(ahead, end.normal) < 0.0 and abs(end.height_of(p)) <= 10.0 * _TOUCH_MM and end.holds(p):
                return end
        axis, way = min((_nearest_on(piece, p) for piece in self.pieces), key=lambda spot: length(sub(p, spot[0])))
        across = sub(ahead, scale(way, dot(ahead, way)))
        if length(across) < _TOUCH_MM:
            return None
        normal = scale(unit(across), -1.0)
        return plane(along(axis, normal, self.diameter / 2.0), normal)

    def mesh(self, chord_mm: float, extent: Extent) -> Mesh:
        """Return it with as many flat sides as the chord asks for, its bends in as many steps."""
        radius = self.diameter / 2.0
        ring = ring_round(self.pieces[0].direction_at(0.0), radius, sides_for(radius, chord_mm))
        rings = [ring + self.pieces[0].start]
        for piece in self.pieces:
            if isinstance(piece, Straight):
                rings.append(ring + piece.finish)
                continue
            back = piece.radius + radius
            step = 2.0 * acos(max(1.0 - chord_mm / back, 0.0))
            count = max(2, ceil(radians(piece.angle_deg) / step))
            for k in range(1, count + 1):
                turn = piece.angle_deg * k / count
                turned = np.array([rotate(tuple(spoke), piece.axis, turn) for spoke in ring.tolist()])
                rings.append(turned + piece.point_at(piece.length * k / count))
            ring = turned
        n = len(ring)
        here = np.arange(n)
        after = np.roll(here, -1)
        sides = [
            np.stack([np.stack([here, after, after + n], -1), np.stack([here, after + n, here + n], -1)]) + k * n
            for k in range(len(rings) - 1)
        ]
        fan = np.array([(0, i, i + 1) for i in range(1, n - 1)])
        caps = [fan[:, ::-1], fan + n * (len(rings) - 1)]
        return Mesh(np.concatenate(rings), np.concatenate([np.concatenate(sides).reshape(-1, 3), *caps]))

    @classmethod
    def targets(cls, shapes: Sequence["Tube"], owner: Ints) -> Targets:
        """Lay out the pieces of tubes as rows, tube after tube."""
        return Tubes.of(shapes, owner)


class Tubes(Targets):
    """Pieces of tubes, a row each: legs as `Cylinders`, bends as `Bends`; see `Targets`."""

    def __init__(self, legs: Cylinders, bends: Bends, bent: Bools, owner: Ints) -> None:
        self.legs, self.bends, self.bent, self.owner = legs, bends, bent, owner
        # The number of each row among its own kind.
        self.number = np.where(bent, np.cumsum(bent), np.cumsum(~bent)) - 1

    @classmethod
    def of(cls, shapes: Sequence[Tube], owner: Ints) -> "Tubes":
        """Return the rows of some tubes, `owner` (m,) the number of each."""
        straights: list[_Row] = []
        arcs: list[_Row] = []
        bent, owners = [], []
        for shape, number in zip(shapes, owner.tolist(), strict=True):
            last, radius = len(shape.pieces) - 1, shape.diameter / 2.0
            for k, piece in enumerate(shape.pieces):
                row = (piece, radius, number, k == 0, k == last)
                (arcs if isinstance(piece, Arc) else straights).append(row)
                bent.append(isinstance(piece, Arc))
                owners.append(number)
        legs = Cylinders(
            rows([row[0].start for row in straights]),
            rows([row[0].direction_at(0.0) for row in straights]),
            np.array([row[0].length for row in straights], dtype=np.float64),
            *_columns(straights),
        )
        pieces = [row[0] for row in arcs if isinstance(row[0], Arc)]
        bends = Bends(
            rows([piece.centre for piece in pieces]),
            rows([piece.spoke for piece in pieces]),
            rows([piece.direction for piece in pieces]),
            np.array([piece.radius for piece in pieces], dtype=np.float64),
            np.array([radians(piece.angle_deg) for piece in pieces], dtype=np.float64),
            *_columns(arcs),
        )
        return cls(legs, bends, np.array(bent, dtype=bool), np.array(owners, dtype=np.int64))

    @cached_property
    def rows(self) -> tuple[Floats, Floats]:
        """The low and the high corners of the blocks that hold them."""
        low, high = (self._merged(*both) for both in zip(self.legs.rows, self.bends.rows, strict=True))
        return low, high

    @property
    def concavity(self) -> Floats:
        """How hollow each row is, 1/mm."""
        return self._merged(self.legs.concavity, self.bends.concavity)

    def _merged(self, of_legs: Floats, of_bends: Floats) -> Floats:
        out = np.empty((len(self.bent), *of_legs.shape[1:]))
        out[~self.bent], out[self.bent] = of_legs, of_bends
        return out

    def field(self, index: Ints, points: Floats) -> tuple[Floats, Floats]:
        """Return signed distances and the directions away from the pieces."""
        distance, away = np.empty(len(index)), np.empty((len(index), 3))
        for bent, targets in ((False, self.legs), (True, self.bends)):
            some = np.flatnonzero(self.bent[index] == bent)
            if len(some):
                distance[some], away[some] = targets.field(self.number[index[some]], points[some])
        return distance, away

    def extremes(self, index: Ints, direction: Floats) -> Floats:
        """Return the furthest points of crests and rims."""
        return self._each("extremes", index, direction)

    def piercings(self, index: Ints, centre: Floats, normal: Floats) -> Floats:
        """Return points of the cuts with the planes."""
        return self._each("piercings", index, centre, normal)

    def _each(self, what: str, index: Ints, *rest: Floats) -> Floats:
        found = []
        for bent, targets in ((False, self.legs), (True, self.bends)):
            some = np.flatnonzero(self.bent[index] == bent)
            if len(some):
                found.append((some, getattr(targets, what)(self.number[index[some]], *(part[some] for part in rest))))
        out = np.full((len(index), max((part.shape[1] for _, part in found), default=0), 3), np.nan)
        for some, part in found:
            out[some, : part.shape[1]] = part
        return out


def _columns(some: Sequence[_Row]) -> tuple[Floats, Ints, Bools, Bools]:
    """Return radius, owner, and which ends are surfaces, an array each."""
    return (
        np.array([row[1] for row in some], dtype=np.float64),
        np.array([row[2] for row in some], dtype=np.int64),
        np.array([row[3] for row in some], dtype=bool),
        np.array([row[4] for row in some], dtype=bool),
    )


def _from_leg(leg: Straight, radius: float, p: Vec3, first: bool, last: bool) -> float:
    to = sub(p, leg.start)
    z = dot(to, leg.direction)
    side, over = length(cross(to, leg.direction)) - radius, max(-z, z - leg.length)
    if over > 0.0:
        return hypot(max(side, 0.0), over)
    if side > 0.0:
        return side
    return max([side, *([-z] if first else []), *([z - leg.length] if last else [])])


def _from_bend(arc: Arc, radius: float, p: Vec3, first: bool, last: bool) -> float:
    to, v = sub(p, arc.centre), cross(arc.axis, arc.spoke)
    x, y, z = dot(to, arc.spoke), dot(to, v), dot(to, arc.axis)
    angle = radians(arc.angle_deg)
    turn = atan2(y, x) % (2.0 * pi)
    if turn > angle:
        return min(_from_disc(end, direction, radius, p) for end, direction in _ends(arc))
    off = hypot(hypot(x, y) - arc.radius, z) - radius
    if off >= 0.0:
        return off
    beyond = [dot(sub(p, end), way) for (end, way), real in zip(_ends(arc), (first, last), strict=True) if real]
    # Across the bend's centre a point may lie ahead of the plane of an end: then it is far from that end.
    return max([off, *(b for b in beyond if b <= 0.0)])


def _ends(arc: Arc) -> tuple[tuple[Vec3, Vec3], tuple[Vec3, Vec3]]:
    return (arc.start, scale(arc.direction, -1.0)), (arc.finish, arc.finish_direction)


def _from_disc(centre: Vec3, normal: Vec3, radius: float, p: Vec3) -> float:
    to = sub(p, centre)
    height = dot(to, normal)
    return hypot(max(length(cross(to, normal)) - radius, 0.0), height)


def _nearest_on(piece: LinePiece, p: Vec3) -> tuple[Vec3, Vec3]:
    """Return the nearest point of an axis, and which way it goes there."""
    if isinstance(piece, Straight):
        s = min(max(dot(sub(p, piece.start), piece.direction), 0.0), piece.length)
        return piece.point_at(s), piece.direction
    to, v, angle = sub(p, piece.centre), cross(piece.axis, piece.spoke), radians(piece.angle_deg)
    turn = atan2(dot(to, v), dot(to, piece.spoke)) % (2.0 * pi)
    if turn > angle:
        turn = angle if turn <= angle / 2.0 + pi else 0.0
    return piece.point_at(turn * piece.radius), piece.direction_at(turn * piece.radius)
