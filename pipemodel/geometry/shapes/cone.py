"""Solid cones with flat ends of different diameters, or tapering to a point: reducers, hoppers, gullies.

In the half-plane through the axis, where z runs along it from the start and rho away from it, a cone is a trapezium.
All points nearest to one side of it lie square off that side, and the rest are nearest to a rim: so a handful of
comparisons says which, and the distance is exact.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from math import hypot, sqrt
from typing import ClassVar

from pipemodel.geometry.arrays import Floats, Ints, dots, lengths, normals_to, np
from pipemodel.geometry.extent import Extent
from pipemodel.geometry.placing import Placing
from pipemodel.geometry.shapes.base import Axis, Colour, Shape, Targets, rows
from pipemodel.geometry.shapes.cylinder import Turned
from pipemodel.geometry.shapes.face import Face, disc, plane
from pipemodel.geometry.shapes.mesh import Mesh
from pipemodel.geometry.shapes.solids_of_triangles import ring_round, sides_for
from pipemodel.geometry.vectors import Vec3, add, along, cross, dot, length, scale, sub, unit

_TINY = 1e-9


@dataclass(frozen=True)
class Cone(Shape):
    """A solid cone with flat ends; `start` and `finish` are their centres, `diameters` different, one may be 0."""

    kind: ClassVar[str] = "cone"
    colour: ClassVar[Colour] = (0.66, 0.66, 0.72)
    convex: ClassVar[bool] = True

    start: Vec3
    finish: Vec3
    diameters: tuple[float, float]

    @property
    def axis(self) -> Axis:
        """Its axis, with the greater diameter."""
        return Axis(self.start, self.finish, max(self.diameters))

    @property
    def _way(self) -> Vec3:
        return unit(sub(self.finish, self.start))

    @property
    def _length(self) -> float:
        return length(sub(self.finish, self.start))

    @property
    def _radii(self) -> tuple[float, float]:
        return self.diameters[0] / 2.0, self.diameters[1] / 2.0

    def placed(self, placing: Placing) -> Shape:
        """Return it turned and moved."""
        return Cone(placing.point(self.start), placing.point(self.finish), self.diameters)

    def reach(self, direction: Vec3) -> tuple[float, float]:
        """Return the least and the greatest of point . direction over it."""
        lean = length(cross(self._way, direction))
        first, last = (r * lean for r in self._radii)
        at, to = dot(self.start, direction), dot(self.finish, direction)
        return min(at - first, to - last), max(at + first, to + last)

    def distance(self, p: Vec3) -> float:
        """Return the distance from a point, below zero inside."""
        axis, tall, (first, last), to = self._way, self._length, self._radii, sub(p, self.start)
        z, rho = dot(to, axis), length(cross(to, axis))
        side = hypot(tall, last - first)
        off = ((rho - first) * tall - z * (last - first)) / side
        if z < 0.0 and rho <= first:
            return -z
        if z > tall and rho <= last:
            return z - tall
        if off <= 0.0 and 0.0 <= z <= tall:
            return max(off, -z, z - tall)
        share = ((rho - first) * (last - first) + z * tall) / (side * side)
        if 0.0 < share < 1.0:
            return off
        return hypot(rho - first, z) if share <= 0.0 else hypot(rho - last, z - tall)

    def flat_faces(self) -> Iterator[Face]:
        """Yield its round ends; a point is none."""
        first, last = self._radii
        if last > 0.0:
            yield disc(self.finish, self._way, last)
        if first > 0.0:
            yield disc(self.start, scale(self._way, -1.0), first)

    def met(self, origin: Vec3, ahead: Vec3) -> Face | None:
        """Return what a line meets first: the flat laid along its near side, or an end.

        Laid along the side that faces the heading; where a line along the axis meets the side, along that very place.
        """
        axis, tall, (first, last), to = self._way, self._length, self._radii, sub(origin, self.start)
        z, rise, taper = dot(to, axis), dot(ahead, axis), (last - first) / self._length
        aside, across = sub(to, scale(axis, z)), sub(ahead, scale(axis, rise))
        # Where |aside + t across| is the radius at z + t rise: a t^2 + 2 b t + c = 0.
        radius = first + taper * z
        a = dot(across, across) - (taper * rise) ** 2
        b = dot(aside, across) - taper * rise * radius
        c = dot(aside, aside) - radius * radius
        size, slope = length(across), 1.0 / hypot(1.0, taper)
        for at in _roots(a, b, c):
            level = z + at * rise
            spoke = add(aside, scale(across, at))
            # Into the solid, and not out of it.
            entering = dot(spoke, across) - (first + taper * level) * taper * rise < 0.0
            if at >= -1e-6 and entering and -1e-9 <= level <= tall + 1e-9:
                out = scale(across, -1.0 / size) if size > _TINY else unit(spoke)
                normal = scale(sub(out, scale(axis, taper)), slope)
                return plane(along(self.start, out, first), normal)
        return super().met(origin, ahead)

    def mesh(self, chord_mm: float, extent: Extent) -> Mesh:
        """Return it with as many flat sides as the chord asks for."""
        sides = sides_for(max(self._radii), chord_mm)
        here = np.arange(sides)
        after = np.roll(here, -1)
        fan = np.array([(0, i, i + 1) for i in range(1, sides - 1)])
        points: list[Floats] = []
        places: list[Ints] = []
        for middle, radius in zip((self.start, self.finish), self._radii, strict=True):
            # A point is one vertex, however many sides come together in it.
            first = sum(map(len, points))
            points.append(ring_round(self._way, radius, sides if radius > 0.0 else 1) + middle)
            places.append(here + first if radius > 0.0 else np.full(sides, first))
        low, high = places
        faces = []
        if self.diameters[0] > 0.0:
            faces += [np.stack([low, low[after], high[after]], axis=-1), low[fan[:, ::-1]]]
        if self.diameters[1] > 0.0:
            faces += [np.stack([low, high[after], high], axis=-1), high[fan]]
        return Mesh(np.concatenate(points), np.concatenate(faces))

    @classmethod
    def targets(cls, shapes: Sequence["Cone"], owner: Ints) -> Targets:
        """Lay out cones as rows."""
        start, finish = rows([s.start for s in shapes]), rows([s.finish for s in shapes])
        size = lengths(finish - start)
        first, last = np.array([s.diameters for s in shapes], dtype=np.float64).T / 2.0
        return Cones(start, (finish - start) / size[:, None], size, first, last, owner)


def _roots(a: float, b: float, c: float) -> tuple[float, ...]:
    """Return the roots of a t^2 + 2 b t + c, the lesser first."""
    root = b * b - a * c
    if root < 0.0 or (abs(a) <= 1e-12 and b == 0.0):
        return ()
    if abs(a) <= 1e-12:
        return (-c / (2.0 * b),)
    # The one that loses no digits, and the other from their product.
    q = -b - sqrt(root) if b > 0.0 else -b + sqrt(root)
    return tuple(sorted((q / a, c / q))) if q != 0.0 else (0.0,)


@dataclass(frozen=True)
class Cones(Turned):
    """Cones, a row each; `first` and `last` are the radii of their ends. See `Targets`."""

    start: Floats
    axis: Floats
    length: Floats
    first: Floats
    last: Floats
    owner: Ints

    def rims(self, index: Ints) -> list[tuple[Floats, Floats]]:
        """Return the middles and the radii of both ends."""
        start = self.start[index]
        finish = start + self.length[index][:, None] * self.axis[index]
        return [(start, self.first[index]), (finish, self.last[index])]

    @cached_property
    def rows(self) -> tuple[Floats, Floats]:
        """The low and the high corners of the blocks that hold them."""
        lean = np.sqrt(np.maximum(1.0 - self.axis * self.axis, 0.0))
        ends = [(middle, radius[:, None] * lean) for middle, radius in self.rims(np.arange(len(self.owner)))]
        low = np.minimum(*(middle - reach for middle, reach in ends))
        return low, np.maximum(*(middle + reach for middle, reach in ends))

    def field(self, index: Ints, points: Floats) -> tuple[Floats, Floats]:
        """Return signed distances and the directions away from the cone."""
        axis, tall, first, last = self.axis[index], self.length[index], self.first[index], self.last[index]
        rel = points - self.start[index]
        z = dots(rel, axis)
        out = rel - z[:, None] * axis
        rho = lengths(out)
        centred = np.flatnonzero(rho == 0.0)
        if len(centred):
            out[centred] = normals_to(axis[centred])
        out /= np.where(rho == 0.0, 1.0, rho)[:, None]
        # Along the side from its first corner, and off it, as shares of its length and in mm.
        wider, side = last - first, np.hypot(tall, last - first)
        off = ((rho - first) * tall - z * wider) / side
        share = ((rho - first) * wider + z * tall) / (side * side)
        # From the nearer rim, unless one of the cases below holds.
        begins = share <= 0.0
        r, h = rho - np.where(begins, first, last), z - np.where(begins, 0.0, tall)
        distance = np.hypot(r, h)
        safe = np.where(distance == 0.0, 1.0, distance)
        r, h = r / safe, h / safe
        inside = (off <= 0.0) & (z >= 0.0) & (z <= tall)
        below, above = (z < 0.0) & (rho <= first), (z > tall) & (rho <= last)
        below |= inside & (z <= np.minimum(-off, tall - z))
        above |= inside & (tall - z <= -off) & ~below
        level = inside | ((share > 0.0) & (share < 1.0))
        for rows_, value, outward, upward in (
            (level & ~below & ~above, off, tall / side, -wider / side),
            (below, -z, 0.0, -1.0),
            (above, z - tall, 0.0, 1.0),
        ):
            distance = np.where(rows_, value, distance)
            r, h = np.where(rows_, outward, r), np.where(rows_, upward, h)
        return distance, r[:, None] * out + h[:, None] * axis
