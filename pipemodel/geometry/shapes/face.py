"""The flat faces of shapes: what a tape is held against, what a clip is fixed to."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from math import hypot, inf
from typing import TypeAlias

from pipemodel.geometry.vectors import EAST, NORTH, UP, Vec3, cross, dot, sub, unit

Vec2: TypeAlias = tuple[float, float]

SQUARE = 1e-3
"""Faces and tubes this far from square or parallel (as the cosine of the angle between) still count as such."""
MOST_OUTLINE_POINTS = 1000
"""How many corners an outline may have."""
_EDGE_MM = 1e-9
"""A point this far beyond an edge is still on the face."""


@dataclass(frozen=True)
class Face:
    """A rectangle of a shape's surface, an outline or a disc of it, or the whole plane of a face without end.

    `point` is a point of its plane and `normal` the unit normal out of the solid. `across` and `up` are unit vectors
    in the face: on a wall, to the right as one faces it, and upwards; on a floor or ceiling, east and north.
    `across_from`, `across_to`, `up_from` and `up_to` are its edges, measured from `point`; infinite without end.
    `outline` is the face's own outline within that rectangle, (n, 2) across and up, where it is not all of it;
    `openings` (outlines) and `rounds` (middle across and up, and radius) are what is cut out of it.
    `radius` is that of a round face, whose middle is `point`. `thing` is the name of what it belongs to.
    """

    point: Vec3
    normal: Vec3
    across: Vec3
    up: Vec3
    across_from: float = -inf
    across_to: float = inf
    up_from: float = -inf
    up_to: float = inf
    outline: tuple[Vec2, ...] = ()
    openings: tuple[tuple[Vec2, ...], ...] = ()
    rounds: tuple[tuple[float, float, float], ...] = ()
    radius: float | None = None
    thing: str = ""

    @property
    def level(self) -> bool:
        """Whether it is a floor or a ceiling."""
        return hypot(self.normal[0], self.normal[1]) <= SQUARE

    def height_of(self, p: Vec3) -> float:
        """Return how far a point stands off the plane of the face."""
        return dot(sub(p, self.point), self.normal)

    def place_of(self, p: Vec3) -> Vec2:
        """Return where a point lies on the face: across and up, from `point`."""
        to = sub(p, self.point)
        return dot(to, self.across), dot(to, self.up)

    def holds(self, p: Vec3) -> bool:
        """Return whether a point of its plane lies on the face itself."""
        across, up = self.place_of(p)
        if self.radius is not None:
            return hypot(across, up) <= self.radius + _EDGE_MM
        if any(inside_outline(opening, across, up) for opening in self.openings):
            return False
        if any(hypot(across - x, up - y) < r - _EDGE_MM for x, y, r in self.rounds):
            return False
        if self.outline:
            return inside_outline(self.outline, across, up)
        return (
            self.across_from - _EDGE_MM <= across <= self.across_to + _EDGE_MM
            and self.up_from - _EDGE_MM <= up <= self.up_to + _EDGE_MM
        )


def plane(point: Vec3, normal: Vec3) -> Face:
    """Return a face without end."""
    if hypot(normal[0], normal[1]) <= SQUARE:
        return Face(point, normal, EAST, NORTH)
    # To the right of someone who faces the wall: against its normal, with up on top.
    across = unit(cross(UP, normal))
    return Face(point, normal, across, cross(normal, across))


def rectangle(point: Vec3, normal: Vec3, one: Vec3, opposite: Vec3) -> Face:
    """Return a rectangle between two opposite corners, its edges across and up."""
    face = plane(point, normal)
    (a, b), (c, d) = face.place_of(one), face.place_of(opposite)
    return replace(face, across_from=min(a, c), across_to=max(a, c), up_from=min(b, d), up_to=max(b, d))


def disc(middle: Vec3, normal: Vec3, radius: float) -> Face:
    """Return a round face."""
    face = plane(middle, normal)
    return replace(face, across_from=-radius, across_to=radius, up_from=-radius, up_to=radius, radius=radius)


def outlined(normal: Vec3, corners: Sequence[Vec3]) -> Face:
    """Return the face between corners in order round it; one with four square corners has no outline of its own."""
    face = plane(corners[0], normal)
    outline = tuple(face.place_of(corner) for corner in corners)
    xs, ys = zip(*outline, strict=True)
    within = replace(face, across_from=min(xs), across_to=max(xs), up_from=min(ys), up_to=max(ys))
    square = len(outline) == 4 and all(min(abs(a[0] - b[0]), abs(a[1] - b[1])) <= _EDGE_MM for a, b in edges(outline))
    return within if square else replace(within, outline=outline)


def edges(outline: tuple[Vec2, ...]) -> Iterator[tuple[Vec2, Vec2]]:
    """Yield the two ends of each side of a closed outline."""
    return zip(outline, (*outline[1:], outline[0]), strict=True)


def inside_outline(outline: tuple[Vec2, ...], x: float, y: float) -> bool:
    """Return whether a point of the plan lies inside a closed outline (even-odd rule)."""
    odd = False
    for (x0, y0), (x1, y1) in edges(outline):
        if (y0 > y) != (y1 > y) and x < x0 + (y - y0) * (x1 - x0) / (y1 - y0):
            odd = not odd
    return odd
