"""The flat faces of a room's things that a clip can be fixed to, and which part of a leg lies over one."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from math import hypot, inf, sqrt

from pipemodel.geometry.centreline import Straight
from pipemodel.geometry.shapes import Box, Extrusion, HalfSpace
from pipemodel.geometry.vectors import EAST, NORTH, UP, Vec3, along, cross, dot, length, scale, sub, unit
from pipemodel.job.model import Thing
from pipemodel.job.outline import Vec2
from pipemodel.job.routing.faces import inside_outline

SQUARE = 1e-3
"""Faces and tubes this far from square or parallel (as the cosine of the angle between) still count as such."""


@dataclass(frozen=True)
class FlatFace:
    """A rectangle of a thing's surface, an outline of it, or the whole plane of a face without end.

    `origin` is a point of it and `normal` its unit normal out of the thing. `across` and `up` are unit vectors in
    the face: on a wall, to the right as one faces it, and upwards; on a floor or ceiling, east and north.
    `across_from`, `across_to`, `up_from` and `up_to` are its edges, measured from `origin`; infinite without end.
    `outline` is the face's own outline within that rectangle, (n, 2) across and up, where it is not all of it.
    """

    thing: str
    origin: Vec3
    normal: Vec3
    across: Vec3
    up: Vec3
    across_from: float = -inf
    across_to: float = inf
    up_from: float = -inf
    up_to: float = inf
    outline: tuple[Vec2, ...] = ()

    @property
    def level(self) -> bool:
        """Whether it is a floor or a ceiling."""
        return hypot(self.normal[0], self.normal[1]) <= SQUARE

    def height_of(self, p: Vec3) -> float:
        """Return how far a point stands off the plane of the face."""
        return dot(sub(p, self.origin), self.normal)

    def place_of(self, p: Vec3) -> tuple[float, float]:
        """Return where a point lies on the face: across and up, from `origin`."""
        to = sub(p, self.origin)
        return dot(to, self.across), dot(to, self.up)


def flat_faces_of(thing: Thing) -> Iterator[FlatFace]:
    """Yield the faces of a thing that can take a clip: of a half-space, a box or an extrusion, top and bottom too.

    A cylinder and a mesh have none.
    """
    shape = thing.shape
    if isinstance(shape, HalfSpace):
        yield _face(thing.name, shape.point, shape.normal)
    elif isinstance(shape, Box):
        size = sub(shape.high, shape.low)
        middle = along(shape.low, size, 0.5)
        for axis in (EAST, NORTH, UP):
            half = dot(size, axis) / 2.0
            for normal in (axis, scale(axis, -1.0)):
                face = _face(thing.name, along(middle, normal, half), normal)
                yield _limited(face, abs(dot(size, face.across)) / 2.0, abs(dot(size, face.up)) / 2.0)
    elif isinstance(shape, Extrusion):
        outline = _without_straight_corners(shape.outline)
        twice_area = sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(outline, (*outline[1:], outline[0]), strict=True))
        turn = 1.0 if twice_area > 0.0 else -1.0
        height = shape.top - shape.bottom
        for (x0, y0), (x1, y1) in zip(outline, (*outline[1:], outline[0]), strict=True):
            side = (x1 - x0, y1 - y0, 0.0)
            middle = ((x0 + x1) / 2.0, (y0 + y1) / 2.0, shape.bottom + height / 2.0)
            face = _face(thing.name, middle, unit((turn * side[1], -turn * side[0], 0.0)))
            yield _limited(face, length(side) / 2.0, height / 2.0)
        (west, east), (south, north) = ((min(p[k] for p in outline), max(p[k] for p in outline)) for k in (0, 1))
        for level, normal in ((shape.top, UP), (shape.bottom, scale(UP, -1.0))):
            face = _face(thing.name, (0.0, 0.0, level), normal)
            yield replace(face, across_from=west, across_to=east, up_from=south, up_to=north, outline=outline)


def parts_over(face: FlatFace, straight: Straight, edge_mm: float) -> list[tuple[float, float]]:
    """Return the parts of a straight that lie over a face and off its edges, from and to along it; mm.

    Args:
        face: the face; the straight runs along it.
        straight: the axis of a leg.
        edge_mm: how far from the nearest edge of the face a part has to lie.
    """
    at, way = face.place_of(straight.start), (dot(straight.direction, face.across), dot(straight.direction, face.up))
    if face.outline:
        return list(_within_outline(face.outline, at, way, straight.length, edge_mm))
    low, high = 0.0, straight.length
    limits = ((face.across_from, face.across_to), (face.up_from, face.up_to))
    for here, rate, (least, most) in zip(at, way, limits, strict=True):
        least, most = least + edge_mm, most - edge_mm
        if abs(rate) <= SQUARE:
            if not least <= here <= most:
                return []
        else:
            a, b = sorted(((least - here) / rate, (most - here) / rate))
            low, high = max(low, a), min(high, b)
    return [(low, high)] if low <= high else []


def _within_outline(
    outline: tuple[Vec2, ...], at: Vec2, way: Vec2, length_mm: float, edge_mm: float
) -> Iterator[tuple[float, float]]:
    """Yield the parts of a line that lie within an outline and at least so far from all its sides."""
    shut: list[tuple[float, float]] = []
    breaks = [0.0, length_mm]
    for a, b in zip(outline, (*outline[1:], outline[0]), strict=True):
        beside = _beside(a, b, at, way, edge_mm)
        if beside is not None:
            shut.append(beside)
            breaks += (t for t in beside if 0.0 < t < length_mm)
    breaks.sort()
    open_: list[tuple[float, float]] = []
    for low, high in zip(breaks, breaks[1:], strict=False):
        middle = 0.5 * (low + high)
        if high <= low or any(a < middle < b for a, b in shut):
            continue
        if inside_outline(outline, at[0] + middle * way[0], at[1] + middle * way[1]):
            if open_ and open_[-1][1] == low:
                open_[-1] = (open_[-1][0], high)
            else:
                open_.append((low, high))
    yield from open_


def _beside(a: Vec2, b: Vec2, at: Vec2, way: Vec2, edge_mm: float) -> tuple[float, float] | None:
    """Return from where to where a line is nearer than so much to the side from a to b; None where it is not.

    What is nearer to a side than that has the shape of a slot, so that a line is in it once at most.
    """
    size = hypot(b[0] - a[0], b[1] - a[1])
    u = ((b[0] - a[0]) / size, (b[1] - a[1]) / size)
    along_, off = (_turned(at, a, u)), (_turned(way, (0.0, 0.0), u))
    found: list[float] = []
    # Between the ends: |y + t dy| < edge and 0 < x + t dx < size.
    low, high = -inf, inf
    for here, rate, least, most in ((along_[0], off[0], 0.0, size), (along_[1], off[1], -edge_mm, edge_mm)):
        if abs(rate) <= 1e-12:
            if not least <= here <= most:
                low, high = inf, -inf
        else:
            one, two = sorted(((least - here) / rate, (most - here) / rate))
            low, high = max(low, one), min(high, two)
    if low <= high:
        found += (low, high)
    square = off[0] ** 2 + off[1] ** 2
    for end in (0.0, size):
        x = along_[0] - end
        half = x * off[0] + along_[1] * off[1]
        root = half * half - square * (x * x + along_[1] ** 2 - edge_mm * edge_mm)
        if root >= 0.0 and square > 0.0:
            found += ((-half - sqrt(root)) / square, (-half + sqrt(root)) / square)
    return (min(found), max(found)) if found else None


def _turned(p: Vec2, origin: Vec2, u: Vec2) -> Vec2:
    x, y = p[0] - origin[0], p[1] - origin[1]
    return x * u[0] + y * u[1], y * u[0] - x * u[1]


def _without_straight_corners(outline: Sequence[Vec2]) -> tuple[Vec2, ...]:
    """Leave out corners of an outline at which it goes straight on: there is no edge there."""
    kept = []
    for before, here, after in zip((outline[-1], *outline[:-1]), outline, (*outline[1:], outline[0]), strict=True):
        u, w = (here[0] - before[0], here[1] - before[1]), (after[0] - here[0], after[1] - here[1])
        if abs(u[0] * w[1] - u[1] * w[0]) > 1e-9 * hypot(*u) * hypot(*w):
            kept.append(here)
    return tuple(kept)


def _face(name: str, origin: Vec3, normal: Vec3) -> FlatFace:
    if hypot(normal[0], normal[1]) <= SQUARE:
        return FlatFace(name, origin, normal, EAST, NORTH)
    # To the right of someone who faces the wall: against its normal, with up on top.
    across = unit(cross(UP, normal))
    return FlatFace(name, origin, normal, across, cross(normal, across))


def _limited(face: FlatFace, half_across: float, half_up: float) -> FlatFace:
    return FlatFace(
        face.thing, face.origin, face.normal, face.across, face.up, -half_across, half_across, -half_up, half_up
    )
