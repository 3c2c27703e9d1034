"""Plates: outlines of one thickness, lying any way in the room, with openings and round holes through them.

Walls with doors, floors with a trap, joists with holes for tube. A plate is measured in its own axes: x along
`across`, y along `up`, and z through its thickness.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from functools import cached_property
from math import acos, ceil, cos, hypot, inf, pi, sin
from typing import ClassVar

from pipemodel.geometry.arrays import Floats, np
from pipemodel.geometry.extent import Extent
from pipemodel.geometry.placing import Placing
from pipemodel.geometry.shapes.base import Colour, Shape, Signed, to_block
from pipemodel.geometry.shapes.face import Face, Vec2, edges, inside_outline, outlined
from pipemodel.geometry.shapes.mesh import Mesh, joined
from pipemodel.geometry.shapes.plan import outlines_with_holes, side_distance
from pipemodel.geometry.shapes.signed_plan import Round, SignedPlan
from pipemodel.geometry.shapes.solids_of_triangles import carried, sides_for, triangulated
from pipemodel.geometry.vectors import Vec3, add, along, cross, dot, scale, sub

SIDES = 16
"""Of the triangles that tubes are measured against, each round hole leaves out a piece with at least so many sides."""
FEWEST = 24
"""A hole is never drawn with fewer sides."""


@dataclass(frozen=True)
class Plate(Shape):
    """Outlines carried from `origin` through `thickness` mm along across x up, less round holes right through.

    `across` and `up` are unit vectors square to each other. `outlines` (n, 2) are simple, closed, and cross or touch
    nowhere; what lies within an odd number of them is solid. `rounds` lie within the solid, and touch neither each
    other nor an outline.
    """

    kind: ClassVar[str] = "plate"
    colour: ClassVar[Colour] = (0.80, 0.74, 0.62)
    convex: ClassVar[bool] = False

    origin: Vec3
    across: Vec3
    up: Vec3
    thickness: float
    outlines: tuple[tuple[Vec2, ...], ...]
    rounds: tuple[Round, ...] = ()

    @property
    def normal(self) -> Vec3:
        """Along its thickness."""
        return cross(self.across, self.up)

    def place(self, x: float, y: float, z: float) -> Vec3:
        """Return a point of the room from its own axes."""
        return along(along(along(self.origin, self.across, x), self.up, y), self.normal, z)

    def place_of(self, p: Vec3) -> Vec2:
        """Return where a point of the room lies across and up it."""
        to = sub(p, self.origin)
        return dot(to, self.across), dot(to, self.up)

    def placed(self, placing: Placing) -> "Plate":
        """Return it turned and moved."""
        across, up = placing.direction(self.across), placing.direction(self.up)
        return Plate(placing.point(self.origin), across, up, self.thickness, self.outlines, self.rounds)

    def reach(self, direction: Vec3) -> tuple[float, float]:
        """Return the least and the greatest of point . direction over it."""
        a, b, base = dot(self.across, direction), dot(self.up, direction), dot(self.origin, direction)
        plan = [x * a + y * b for outline in self.outlines for x, y in outline]
        deep = 0.0, self.thickness * dot(self.normal, direction)
        return base + min(plan) + min(deep), base + max(plan) + max(deep)

    def distance(self, p: Vec3) -> float:
        """Return the distance from a point, below zero inside."""
        (x, y), z = self.place_of(p), dot(sub(p, self.origin), self.normal)
        inside, best = False, inf
        for outline in self.outlines:
            inside ^= inside_outline(outline, x, y)
            best = min(best, *(side_distance(a, b, (x, y)) for a, b in edges(outline)))
        for hole in self.rounds:
            off = hypot(x - hole.x, y - hole.y) - hole.radius
            inside &= off >= 0.0
            best = min(best, abs(off))
        return to_block([-best if inside else best, max(-z, z - self.thickness)])

    def flat_faces(self) -> Iterator[Face]:
        """Yield its two broad faces, then its sides and those of its openings; none inside a round hole."""
        for outline, openings, rounds in self.pieces():
            for z, normal in ((self.thickness, self.normal), (0.0, scale(self.normal, -1.0))):
                face = outlined(normal, [self.place(x, y, z) for x, y in outline])
                yield replace(
                    face,
                    openings=tuple(tuple(face.place_of(self.place(x, y, z)) for x, y in hole) for hole in openings),
                    rounds=tuple((*face.place_of(self.place(h.x, h.y, z)), h.radius) for h in rounds),
                )
            for loop in (outline, *openings):
                for a, b in edges(loop):
                    yield self._side(a, b)

    def pieces(self) -> Iterator[tuple[tuple[Vec2, ...], tuple[tuple[Vec2, ...], ...], tuple[Round, ...]]]:
        """Yield each piece of the plan: its outline, its openings, its round holes; the solid to the left of sides."""
        for outline, openings in outlines_with_holes(self.outlines):
            yield (
                outline,
                openings,
                tuple(
                    h
                    for h in self.rounds
                    if inside_outline(outline, h.x, h.y) and not any(inside_outline(o, h.x, h.y) for o in openings)
                ),
            )

    def _side(self, a: Vec2, b: Vec2) -> Face:
        """Return the face from one corner of a loop to the next, the solid to its left."""
        size = hypot(b[0] - a[0], b[1] - a[1])
        out = add(scale(self.across, (b[1] - a[1]) / size), scale(self.up, (a[0] - b[0]) / size))
        corners = [self.place(*a, 0.0), self.place(*b, 0.0), self.place(*b, self.thickness)]
        return outlined(out, [*corners, self.place(*a, self.thickness)])

    def mesh(self, chord_mm: float, extent: Extent) -> Mesh:
        """Return its surface as triangles, with as many flat sides to a round hole as the chord asks for."""
        return self._carried(lambda hole: _ring(hole, max(sides_for(hole.radius, chord_mm), FEWEST), hole.radius))

    def corners(self) -> Floats:
        """Return triangles that bound it, but for its round holes and the face beside them, as far as `rings` say."""
        rings = dict(zip(self.rounds, self.rings, strict=True))
        return self._carried(lambda hole: _ring(hole, *rings[hole]), walls=False).corners()

    @cached_property
    def rings(self) -> tuple[tuple[int, float], ...]:
        """The piece that triangles leave out round each hole: how many sides, and how far its corners reach.

        It has to keep clear of the sides, and of the pieces round other holes.
        """
        found = []
        for hole in self.rounds:
            x, y, radius = hole
            sides = (side_distance(a, b, (x, y)) for outline in self.outlines for a, b in edges(outline))
            holes = (hypot(x - h.x, y - h.y) - h.radius for h in self.rounds if h is not hole)
            room = 0.45 * (min(*sides, *holes) - radius)
            count = max(SIDES, ceil(pi / acos(radius / (radius + room))))
            found.append((count, radius / cos(pi / count)))
        return tuple(found)

    def _carried(self, ring: Callable[[Round], list[Vec2]], walls: bool = True) -> Mesh:
        """Return the plan carried through the thickness, with a ring of points for each round hole."""
        parts = []
        for outline, openings, rounds in self.pieces():
            loops = [*map(list, (outline, *openings)), *map(ring, rounds)]
            cap, plan = triangulated(loops)
            flat = plan @ np.array([self.across, self.up]) + self.origin
            sides = [len(loop) for loop in loops[: None if walls else 1 + len(openings)]]
            parts.append(carried(flat, flat + self.thickness * np.array(self.normal), cap, sides))
        return joined(parts)

    def signed(self, surface: Callable[[], Signed]) -> Signed:
        """Return what measures how deep points lie in it, from its plan."""
        return SignedPlate(self)


class SignedPlate:
    """A plate, measured in its own axes."""

    def __init__(self, plate: Plate) -> None:
        self.plan = SignedPlan(plate.outlines, plate.rounds, 0.0, plate.thickness)
        self.origin, self.axes = np.array(plate.origin), np.array([plate.across, plate.up, plate.normal])
        self.low, self.high = (np.array(corner) for corner in plate.bounds())

    def __call__(self, points: Floats) -> tuple[Floats, Floats]:
        """Return signed distances and nearest points."""
        value, nearest = self.plan((points - self.origin) @ self.axes.T)
        return value, nearest @ self.axes + self.origin


def _ring(hole: Round, sides: int, radius: float) -> list[Vec2]:
    """Return points of a circle about a hole's middle, clockwise."""
    turns = (-2.0 * pi * k / sides for k in range(sides))
    return [(hole.x + radius * cos(t), hole.y + radius * sin(t)) for t in turns]
