"""A piece of bent tube in space, and how far one piece is from another.

A piece is n + 1 straights with n bends between them. Each bend has an angle, a radius and a twist: the turn of its
plane about the tube since the bend before, right-handed about the way from start to finish; the first has none.
Nothing here is shared with the program under test.
"""

from dataclasses import dataclass
from math import radians, tan

import numpy as np

STATION_MM = 10.0


def rotation(axis, degrees):
    """Return the matrix that turns by so many degrees, right-handed, about an axis (Rodrigues)."""
    k = np.asarray(axis, float) / np.linalg.norm(axis)
    cross = np.array([[0, -k[2], k[1]], [k[2], 0, -k[0]], [-k[1], k[0], 0]])
    a = radians(degrees)
    return np.eye(3) + np.sin(a) * cross + (1 - np.cos(a)) * cross @ cross


def half_turn(degrees):
    """Return an angle brought into (-180, 180]."""
    return -((-degrees + 180.0) % 360.0 - 180.0)


@dataclass(frozen=True)
class Piece:
    """A bent piece: n + 1 straights in mm, n angles and n twists in degrees, one radius in mm for each bend."""

    straights: tuple[float, ...]
    angles: tuple[float, ...]
    twists: tuple[float, ...]
    radii: tuple[float, ...]

    @property
    def length(self):
        """Length along the axis."""
        return sum(self.straights) + sum(r * radians(a) for r, a in zip(self.radii, self.angles, strict=True))

    @property
    def corners(self):
        """Start, the corners where straight axes meet, and finish: an array (n + 2, 3); no bend may reach 180."""
        at, frame, points, cut = np.zeros(3), np.eye(3), [np.zeros(3)], 0.0
        for leg, angle, twist, radius in zip(self.straights, self.angles, self.twists, self.radii, strict=False):
            setback = radius * tan(radians(angle) / 2)
            at = at + frame[:, 0] * (cut + leg + setback)
            points.append(at)
            frame = frame @ rotation([1, 0, 0], twist) @ rotation([0, 0, 1], angle)
            cut = setback
        return np.array([*points, at + frame[:, 0] * (cut + self.straights[-1])])

    def axis(self, step=STATION_MM):
        """Return points along the axis (m, 3) and their distances from the start (m,), ends of all parts included."""
        at, frame, s = np.zeros(3), np.eye(3), 0.0
        points, along = [at], [0.0]
        for leg, angle, twist, radius in zip(self.straights, self.angles, self.twists, self.radii, strict=False):
            for t in _stations(leg, step):
                points.append(at + frame[:, 0] * t)
                along.append(s + t)
            at, s = at + frame[:, 0] * leg, s + leg
            frame = frame @ rotation([1, 0, 0], twist)
            centre = at + frame[:, 1] * radius
            for t in _stations(radius * radians(angle), step):
                part = frame @ rotation([0, 0, 1], np.degrees(t / radius))
                points.append(centre - part[:, 1] * radius)
                along.append(s + t)
            frame = frame @ rotation([0, 0, 1], angle)
            at, s = centre - frame[:, 1] * radius, s + radius * radians(angle)
        for t in _stations(self.straights[-1], step):
            points.append(at + frame[:, 0] * t)
            along.append(s + t)
        return np.array(points), np.array(along)

    @property
    def mirrored(self):
        """The piece as a mirror shows it."""
        return Piece(self.straights, self.angles, tuple(half_turn(-t) for t in self.twists), self.radii)


def _stations(length, step):
    n = max(2, round(length / step)) if length > 0 else 0
    return np.linspace(0, length, n + 1)[1:] if n else ()


def piece_from_corners(points, radius):
    """Return the piece that goes through corner points (n + 2, 3), bent to one radius, or one for each bend."""
    p = np.asarray(points, float)
    legs = np.diff(p, axis=0)
    size = np.linalg.norm(legs, axis=1)
    ways = legs / size[:, None]
    angles, twists, before = [], [], None
    for u, v in zip(ways, ways[1:], strict=False):
        normal = np.cross(u, v)
        angles.append(np.degrees(np.arctan2(np.linalg.norm(normal), u @ v)))
        normal /= np.linalg.norm(normal)
        if before is None:
            twists.append(0.0)
        else:
            twists.append(half_turn(np.degrees(np.arctan2(u @ np.cross(before, normal), before @ normal))))
        before = normal
    radii = tuple(np.broadcast_to(radius, len(angles)).tolist())
    back = [r * tan(radians(a) / 2) for r, a in zip(radii, angles, strict=True)]
    straights = [leg - a - b for leg, a, b in zip(size, [0.0, *back], [*back, 0.0], strict=True)]
    return Piece(tuple(straights), tuple(angles), tuple(twists), radii)


def axis_through(points, radius):
    """Return the axis of the tube through corner points: places (m, 3), ways (m, 3), and distances along it (m,)."""
    p = np.asarray(points, float)
    flat, along = piece_from_corners(p, radius).axis()
    x = (p[1] - p[0]) / np.linalg.norm(p[1] - p[0])
    aside = p[2] - p[1] - ((p[2] - p[1]) @ x) * x if len(p) > 2 else np.cross(x, [0.31, -0.52, 0.79])
    y = aside / np.linalg.norm(aside)
    places = p[0] + flat @ np.array([x, y, np.cross(x, y)])
    ways = np.gradient(places, axis=0)
    return places, ways / np.linalg.norm(ways, axis=1)[:, None], along


@dataclass(frozen=True)
class Difference:
    """How far one piece is from another: the worst of each kind, and the axes laid on each other as well as can be."""

    straight_mm: float
    angle_deg: float
    twist_deg: float
    apart_mm: float
    mirrored: bool

    def within(self, mm, degrees, twist=None):
        """Tell whether every straight is right within so many mm, every angle and twist within so many degrees."""
        twist = degrees if twist is None else twist
        return self.straight_mm <= mm and self.angle_deg <= degrees and self.twist_deg <= twist


def compare(made, wanted):
    """Compare a made piece with the wanted one; `mirrored` when its mirror image fits, and it does not.

    Raises:
        ValueError: when they have not as many bends.
    """
    if len(made.angles) != len(wanted.angles):
        raise ValueError(f"{len(made.angles)} bends were made, {len(wanted.angles)} are wanted")
    twist = _worst(half_turn(a - b) for a, b in zip(made.twists, wanted.twists, strict=True))
    other = _worst(half_turn(-a - b) for a, b in zip(made.twists, wanted.twists, strict=True))
    return Difference(
        _worst(np.subtract(made.straights, wanted.straights)),
        _worst(np.subtract(made.angles, wanted.angles)),
        twist,
        _apart(made, wanted),
        twist > 1.0 and other < 0.5 * twist,
    )


def _worst(values):
    return float(max((abs(v) for v in values), default=0.0))


def _apart(made, wanted):
    """Lay one axis on the other by a rotation and a shift, no mirroring (Kabsch), and measure the worst place."""
    a, sa = made.axis()
    b, sb = wanted.axis()
    t = np.linspace(0, 1, 200)
    a, b = (np.array([np.interp(t * s[-1], s, p[:, i]) for i in range(3)]).T for p, s in ((a, sa), (b, sb)))
    a, b = a - a.mean(axis=0), b - b.mean(axis=0)
    u, _, vt = np.linalg.svd(a.T @ b)
    turn = np.diag([1.0, 1.0, np.sign(np.linalg.det(u @ vt))])
    return float(np.linalg.norm(a @ u @ turn @ vt - b, axis=1).max())
