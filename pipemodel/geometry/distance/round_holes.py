"""Round holes through plates: how near a tube comes to their rims, their walls, and the face right beside them.

A tube in a hole is nearest to it at a rim, unless it is bent: then the outside of a bend may come nearest to the wall
within the plate, and so may the rim of a flat end. Past the face beside the hole, it is the crown of a bend, or again
the rim of an end. All of these are found outright; everything else of a plate is triangles.
"""

from collections.abc import Iterator, Sequence
from typing import NamedTuple

import numpy as np

from pipemodel.geometry.arrays import Floats, Ints, dots, lengths
from pipemodel.geometry.bounds import gaps
from pipemodel.geometry.distance.broad import Asked, measure_sides, portions
from pipemodel.geometry.distance.paths import PathEnds, Paths, rims_of
from pipemodel.geometry.distance.runs import positions, solids_of
from pipemodel.geometry.distance.targets import Least
from pipemodel.geometry.shapes.plate import Plate

_TINY = 1e-12


class _Curve(NamedTuple):
    """A straight, a bend's axis, or the rim of an end (with no tube round it), from 0 to `most`.

    Of a straight the points are start + t u, of the others start + cos t u + sin t v.
    """

    start: Floats
    u: Floats
    v: Floats
    most: float
    bent: bool

    def at(self, t: float) -> Floats:
        """Return the point at a place."""
        along = np.cos(t) * self.u + np.sin(t) * self.v if self.bent else t * self.u
        out: Floats = self.start + along
        return out


class RoundHoles:
    """The round holes of plates, a row each, plate by plate: from `start` along `axis` for `tall` mm."""

    def __init__(self, plates: Sequence[tuple[int, Plate]]) -> None:
        rows = [(number, plate, hole) for number, plate in plates for hole in plate.rounds]
        self.owner: Ints = np.array([number for number, _, _ in rows], dtype=np.int64)
        self.start: Floats = np.array([plate.place(hole.x, hole.y, 0.0) for _, plate, hole in rows]).reshape(-1, 3)
        self.axis: Floats = np.array([plate.normal for _, plate, _ in rows]).reshape(-1, 3)
        self.tall: Floats = np.array([plate.thickness for _, plate, _ in rows])
        self.radius: Floats = np.array([hole.radius for _, _, hole in rows])
        self.reach: Floats = np.array([reach for _, plate in plates for _, reach in plate.rings])
        """How far from its middle the triangles leave out the face round each."""
        self.plates = dict(plates)
        finish = self.start + self.tall[:, None] * self.axis
        reach = self.radius[:, None] * np.sqrt(np.maximum(1.0 - self.axis * self.axis, 0.0))
        self.low: Floats = np.minimum(self.start, finish) - reach
        self.high: Floats = np.maximum(self.start, finish) + reach
        none = np.zeros(2 * len(rows), dtype=np.int64)
        ends = PathEnds(
            np.stack([self.start, finish], axis=1).reshape(-1, 3),
            np.repeat(self.axis, 2, axis=0),
            np.repeat(self.radius, 2),
            np.repeat(self.owner, 2),
            none,
            none.astype(np.float64),
        )
        self.rims = rims_of(ends)

    def measure(self, paths: Paths, ends: PathEnds, least: Least, asked: Asked) -> None:
        """Measure the sides and the flat ends of runs against the holes of owners."""
        asked = asked.take(np.flatnonzero(np.isin(asked.owner, self.owner)))
        if not len(asked.key):
            return
        self._measure_rims(paths, least, asked)
        rims = rims_of(ends)
        for curves in (paths, rims):
            for row, path in portions(curves.owner, asked.run):
                for k in np.unique(row).tolist():
                    self._measure_near(curves, path[row == k], least, int(asked.owner[k]), int(asked.key[k]))

    def _measure_rims(self, paths: Paths, least: Least, asked: Asked) -> None:
        """Slide along the rims past the pieces of the runs."""
        found = Least(len(least.distance))
        found.distance[:] = least.distance
        for solids in solids_of(paths):
            measure_sides(self.rims, solids, found, asked.turned())
        key = np.flatnonzero(found.by >= 0)
        if len(key):
            run = np.zeros(len(least.distance), dtype=np.int64)
            run[asked.key] = asked.run
            tube, rim = found.other[key], found.point[key]
            least.offer(key, found.distance[key], run[key], positions(paths, run[key], tube), tube, rim)

    def _measure_near(self, curves: Paths, rows: Ints, least: Least, owner: int, key: int) -> None:
        """Measure curves against the walls of an owner's holes, and bent ones against the faces beside these."""
        holes = np.flatnonzero(self.owner == owner)
        low, high = curves.low[rows][:, None], curves.high[rows][:, None]
        for i, k in np.argwhere(gaps(low, high, self.low[holes], self.high[holes]) <= 0.0).tolist():
            for at, distance, point, other in self._to_wall(curves, int(rows[i]), int(holes[k])):
                self._offer(curves, int(rows[i]), least, key, at, distance, point, other)
        rows = rows[curves.bent[rows]]
        for top, facing in ((self.tall[holes[0]], self.axis[holes[0]]), (0.0, -self.axis[holes[0]])):
            # The place of each that reaches furthest towards the face, with the tube round it.
            u, v, bend, tube = curves.u[rows], curves.v[rows], curves.radius[rows], curves.tube[rows]
            turn = np.arctan2(-(v @ facing), -(u @ facing)) % (2.0 * np.pi)
            tip = curves.origin[rows] + bend[:, None] * (np.cos(turn)[:, None] * u + np.sin(turn)[:, None] * v)
            tip -= tube[:, None] * facing
            height = (tip - self.start[holes[0]] - top * self.axis[holes[0]]) @ facing
            off = tip[:, None] - self.start[holes]
            rho = lengths(off - dots(off, facing)[..., None] * facing)
            beside = ((rho >= self.radius[holes]) & (rho <= self.reach[holes])).any(axis=1)
            for i in np.flatnonzero(beside & (height >= 0.0) & (turn * bend <= curves.length[rows])).tolist():
                on_face = tip[i] - height[i] * facing
                self._offer(curves, int(rows[i]), least, key, turn[i] * bend[i], float(height[i]), tip[i], on_face)

    def _offer(
        self, curves: Paths, row: int, least: Least, key: int, at: float, distance: float, point: Floats, other: Floats
    ) -> None:
        by, place = curves.owner[row : row + 1], np.array([curves.at0[row] + curves.rate * at])
        least.offer(np.array([key]), np.array([distance]), by, place, point[None], other[None])

    def _to_wall(self, curves: Paths, row: int, hole: int) -> Iterator[tuple[float, float, Floats, Floats]]:
        """Yield where a curve may come nearest to the wall of a hole: how far on, how near, and both points."""
        bend, tube = float(curves.radius[row]), float(curves.tube[row])
        size = bend if bend > 0.0 else 1.0
        start, axis, tall, radius = self.start[hole], self.axis[hole], float(self.tall[hole]), float(self.radius[hole])
        curve = _Curve(
            curves.origin[row] - start,
            size * curves.u[row],
            size * curves.v[row],
            float(curves.length[row]) / size,
            bend > 0.0,
        )
        for t in _places(curve, axis, radius):
            rel = curve.at(t)
            z = float(rel @ axis)
            out = rel - z * axis
            rho = float(lengths(out))
            if not 0.0 <= z <= tall or rho <= _TINY:
                continue
            away, place = out / rho, rel + start
            if rho <= radius + 1e-9:
                yield t * size, radius - rho - tube, place + tube * away, place + (radius - rho) * away
            elif (depth := self.plates[int(self.owner[hole])].distance(tuple(place.tolist()))) < 0.0:
                yield t * size, depth - tube, place, place


def _places(curve: _Curve, axis: Floats, radius: float) -> Iterator[float]:
    """Yield where a curve is a radius from a line through the origin, and where a bent one is farthest from it.

    The square of its distance is a polynomial along a straight, and along a bent curve a sum of sines and cosines of
    t and of 2 t: with exp(i t) for its unknown, a polynomial too.
    """
    c, p, q = (w - (w @ axis) * axis for w in (curve.start, curve.u, curve.v))
    if not curve.bent:
        roots = np.roots([p @ p, 2.0 * (c @ p), c @ c - radius * radius])
        yield from (float(t.real) for t in roots if abs(t.imag) <= _TINY and 0.0 <= t.real <= curve.most)
        return
    a, b, d, e = float(p @ c), float(q @ c), float(q @ q - p @ p), float(p @ q)
    level = float(c @ c + 0.5 * (p @ p + q @ q)) - radius * radius
    crossing = [complex(-d / 4.0, -e / 2.0), complex(a, -b), level, complex(a, b), complex(-d / 4.0, e / 2.0)]
    farthest = [complex(e, -d / 2.0), complex(b, a), 0.0, complex(b, -a), complex(e, d / 2.0)]
    for terms in (crossing, farthest):
        some = np.array(terms)
        some[np.abs(some) <= _TINY * max(float(dots(curve.u, curve.u)), 1.0)] = 0.0
        # Of a circle about the line every place is as far from it as any.
        roots = np.roots(some) if some.any() else np.ones(1)
        turns = np.angle(roots if terms is farthest else roots[np.abs(np.abs(roots) - 1.0) <= 1e-6]) % (2.0 * np.pi)
        yield from (t for t in turns.tolist() if t <= curve.most)
