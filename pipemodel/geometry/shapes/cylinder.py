"""Solid cylinders with flat ends: round things in the room, and the legs of other runs."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from math import sqrt
from typing import ClassVar

from pipemodel.geometry.arrays import Bools, Floats, Ints, dots, lengths, normals_to, np
from pipemodel.geometry.bounds import straight_bounds
from pipemodel.geometry.cuts import circle_crossings, rim_extreme
from pipemodel.geometry.extent import Extent
from pipemodel.geometry.placing import Placing
from pipemodel.geometry.shapes.base import Axis, Colour, Shape, Targets, rows, to_block
from pipemodel.geometry.shapes.face import Face, disc, plane
from pipemodel.geometry.shapes.mesh import Mesh
from pipemodel.geometry.shapes.solids_of_triangles import ring_round, sides_for, swept
from pipemodel.geometry.vectors import Vec3, add, along, cross, dot, length, scale, sub, unit

_TINY = 1e-9


@dataclass(frozen=True)
class Cylinder(Shape):
    """A solid cylinder with flat ends; `start` and `finish` are the centres of its ends."""

    kind: ClassVar[str] = "cylinder"
    colour: ClassVar[Colour] = (0.62, 0.66, 0.70)
    convex: ClassVar[bool] = True

    start: Vec3
    finish: Vec3
    diameter: float

    @property
    def axis(self) -> Axis:
        """Its axis."""
        return Axis(self.start, self.finish, self.diameter)

    @property
    def _way(self) -> Vec3:
        return unit(sub(self.finish, self.start))

    def placed(self, placing: Placing) -> Shape:
        """Return it turned and moved."""
        return Cylinder(placing.point(self.start), placing.point(self.finish), self.diameter)

    def bounds(self) -> tuple[Vec3, ...]:
        """Return opposite corners of the block that holds it."""
        x, y, z = (self.diameter / 2.0 * sqrt(max(0.0, 1.0 - a * a)) for a in self._way)
        (ax, ay, az), (bx, by, bz) = self.start, self.finish
        low, high = (min(ax, bx), min(ay, by), min(az, bz)), (max(ax, bx), max(ay, by), max(az, bz))
        return (sub(low, (x, y, z)), add(high, (x, y, z)))

    def reach(self, direction: Vec3) -> tuple[float, float]:
        """Return the least and the greatest of point . direction over it."""
        half = self.diameter / 2.0 * length(cross(self._way, direction))
        ends = dot(self.start, direction), dot(self.finish, direction)
        return min(ends) - half, max(ends) + half

    def distance(self, p: Vec3) -> float:
        """Return the distance from a point, below zero inside."""
        axis, tall, to = self._way, length(sub(self.finish, self.start)), sub(p, self.start)
        level = dot(to, axis)
        return to_block([length(cross(to, axis)) - self.diameter / 2.0, max(-level, level - tall)])

    def flat_faces(self) -> Iterator[Face]:
        """Yield its two round ends."""
        yield disc(self.finish, self._way, self.diameter / 2.0)
        yield disc(self.start, scale(self._way, -1.0), self.diameter / 2.0)

    def met(self, origin: Vec3, ahead: Vec3) -> Face | None:
        """Return what a line meets first: the flat square to it that touches the near side, or an end."""
        axis, radius = self._way, self.diameter / 2.0
        across = sub(ahead, scale(axis, dot(ahead, axis)))
        to = sub(origin, self.start)
        level = dot(to, axis)
        aside = sub(to, scale(axis, level))
        size = length(across)
        if size > _TINY:
            # Where the line meets the round side: |aside + t across| = radius.
            b, c = dot(aside, across), dot(aside, aside) - radius * radius
            root = b * b - size * size * c
            if c >= -1e-9 and root >= 0.0:
                at = (-b - sqrt(root)) / (size * size)
                tall = length(sub(self.finish, self.start))
                if at >= -1e-6 and -1e-9 <= level + at * dot(ahead, axis) <= tall + 1e-9:
                    normal = scale(across, -1.0 / size)
                    return plane(along(self.start, normal, radius), normal)
        return super().met(origin, ahead)

    def mesh(self, chord_mm: float, extent: Extent) -> Mesh:
        """Return it with as many flat sides as the chord asks for."""
        radius = self.diameter / 2.0
        ring = ring_round(self._way, radius, sides_for(radius, chord_mm))
        fan = np.array([(0, i, i + 1) for i in range(1, len(ring) - 1)])
        return swept(ring + self.start, ring + self.finish, fan)

    @classmethod
    def targets(cls, shapes: Sequence["Cylinder"], owner: Ints) -> Targets:
        """Lay out cylinders as rows, with an end at both ends."""
        start, finish = rows([s.start for s in shapes]), rows([s.finish for s in shapes])
        size = lengths(finish - start)
        radius = np.array([s.diameter / 2.0 for s in shapes])
        real = np.ones(len(shapes), dtype=bool)
        return Cylinders(start, (finish - start) / size[:, None], size, radius, owner, real, real)


class Turned(Targets):
    """Shapes turned about an axis, with flat ends: what tells of them is their axis and their two rims."""

    start: Floats
    axis: Floats
    length: Floats

    def rims(self, index: Ints) -> list[tuple[Floats, Floats]]:
        """Return the middles and the radii of both ends."""
        raise NotImplementedError

    def extremes(self, index: Ints, direction: Floats) -> Floats:
        """Return the furthest points of both rims."""
        axis = self.axis[index]
        return np.stack([rim_extreme(middle, axis, radius, direction) for middle, radius in self.rims(index)], axis=1)

    def piercings(self, index: Ints, centre: Floats, normal: Floats) -> Floats:
        """Return where the axis and both rims cross the plane: a cut that misses the axis reaches a rim."""
        axis, start = self.axis[index], self.start[index]
        rate = dots(axis, normal)
        z = np.divide(dots(centre - start, normal), rate, out=np.full_like(rate, np.nan), where=rate != 0.0)
        z[(z < 0.0) | (z > self.length[index])] = np.nan
        middle = (start + z[:, None] * axis)[:, None]
        rims = [circle_crossings(end, axis, radius, centre, normal) for end, radius in self.rims(index)]
        return np.concatenate([middle, *rims], axis=1)


@dataclass(frozen=True)
class Cylinders(Turned):
    """Cylinders, a row each; see `Targets`.

    `open_start` and `open_finish` mark ends that are surfaces. Where a leg goes on into a bend the cut between
    them is none: seen from outside it ends there, but no depth is measured from it.
    """

    start: Floats
    axis: Floats
    length: Floats
    radius: Floats
    owner: Ints
    open_start: Bools
    open_finish: Bools

    @cached_property
    def _middle(self) -> tuple[Floats, Floats]:
        half = self.length / 2.0
        return self.start + half[:, None] * self.axis, half

    @cached_property
    def rows(self) -> tuple[Floats, Floats]:
        """The low and the high corners of the blocks that hold them."""
        # A disc reaches radius * sin(angle between its axis and x) along x, and so on.
        reach = self.radius[:, None] * np.sqrt(np.maximum(1.0 - self.axis * self.axis, 0.0))
        low, high = straight_bounds(self.start, self.axis, self.length)
        return low - reach, high + reach

    def field(self, index: Ints, points: Floats) -> tuple[Floats, Floats]:
        """Return signed distances and the directions away from the cylinder."""
        axis, length, radius = self.axis[index], self.length[index], self.radius[index]
        rel = points - self.start[index]
        z = dots(rel, axis)
        out = rel - z[:, None] * axis
        rho = lengths(out)
        centred = np.flatnonzero(rho == 0.0)
        if len(centred):
            out[centred] = normals_to(axis[centred])
        out /= np.where(rho == 0.0, 1.0, rho)[:, None]
        over = np.maximum(z - length, np.minimum(z, 0.0))
        side = np.maximum(rho - radius, 0.0)
        distance = np.hypot(side, over)
        away = side[:, None] * out
        away += over[:, None] * axis
        within = np.flatnonzero(distance == 0.0)
        distance[within] = 1.0
        away /= distance[:, None]
        if len(within):
            rows = index[within]
            zi = z[within]
            faces = np.stack(
                [
                    radius[within] - rho[within],
                    np.where(self.open_start[rows], zi, np.inf),
                    np.where(self.open_finish[rows], length[within] - zi, np.inf),
                ]
            )
            nearest = np.argmin(faces, axis=0)
            distance[within] = -np.min(faces, axis=0)
            along = np.where(nearest == 1, -1.0, 1.0)[:, None] * axis[within]
            away[within] = np.where((nearest == 0)[:, None], out[within], along)
        return distance, away

    def values(self, points: Floats) -> Floats:
        """Return the distance of every point to every cylinder, both its ends taken for surfaces."""
        middle, half = self._middle
        rel = points[:, None, :] - middle
        z = np.einsum("nmk,mk->nm", rel, self.axis)
        rel -= z[..., None] * self.axis
        side = np.sqrt(np.einsum("nmk,nmk->nm", rel, rel)) - self.radius
        over = np.abs(z, out=z) - half
        inside = np.minimum(np.maximum(side, over), 0.0)
        out: Floats = np.hypot(np.maximum(side, 0.0, out=side), np.maximum(over, 0.0, out=over))
        out += inside
        return out

    def rims(self, index: Ints) -> list[tuple[Floats, Floats]]:
        """Return the middles and the radii of both ends."""
        start, radius = self.start[index], self.radius[index]
        return [(start, radius), (start + self.length[index][:, None] * self.axis[index], radius)]

    def square_to(self, index: Ints, points: Floats, away: Floats) -> Bools:
        """Return where the nearest point lies on the side or on a real end, not on a cut between pieces."""
        axis = self.axis[index]
        lean = dots(away, axis)
        return (
            (np.abs(lean) <= 1e-6) | (self.open_start[index] & (lean < 0.0)) | (self.open_finish[index] & (lean > 0.0))
        )
