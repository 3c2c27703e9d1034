"""Plan outlines carried straight up: boxings, chimney breasts, worktops with corners cut out."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from math import hypot
from typing import ClassVar

from pipemodel.geometry.arrays import Floats, np
from pipemodel.geometry.extent import Extent
from pipemodel.geometry.placing import Placing
from pipemodel.geometry.shapes.base import Colour, Shape, Signed, to_block
from pipemodel.geometry.shapes.face import Face, Vec2, edges, inside_outline, plane, rectangle
from pipemodel.geometry.shapes.mesh import Mesh
from pipemodel.geometry.shapes.plan import side_distance, twice_area
from pipemodel.geometry.shapes.signed_plan import SignedPlan
from pipemodel.geometry.shapes.solids_of_triangles import swept, triangulated
from pipemodel.geometry.vectors import UP, Vec3, scale, unit


@dataclass(frozen=True)
class Extrusion(Shape):
    """A plan outline carried straight up: a simple closed polygon (n, 2), not repeated at the end."""

    kind: ClassVar[str] = "extrusion"
    colour: ClassVar[Colour] = (0.74, 0.70, 0.64)
    convex: ClassVar[bool] = False

    outline: tuple[Vec2, ...]
    bottom: float
    top: float

    def placed(self, placing: Placing) -> Shape:
        """Return it turned and moved."""
        outline = tuple(placing.point((x, y, 0.0))[:2] for x, y in self.outline)
        return Extrusion(outline, self.bottom + placing.at[2], self.top + placing.at[2])

    def reach(self, direction: Vec3) -> tuple[float, float]:
        """Return the least and the greatest of point . direction over it."""
        plan = [x * direction[0] + y * direction[1] for x, y in self.outline]
        tall = self.bottom * direction[2], self.top * direction[2]
        return min(plan) + min(tall), max(plan) + max(tall)

    def distance(self, p: Vec3) -> float:
        """Return the distance from a point, below zero inside."""
        best = min(side_distance(a, b, (p[0], p[1])) for a, b in edges(self.outline))
        plan = -best if inside_outline(self.outline, p[0], p[1]) else best
        return to_block([plan, max(self.bottom - p[2], p[2] - self.top)])

    def flat_faces(self) -> Iterator[Face]:
        """Yield top and bottom, then its sides; a corner at which the outline goes straight on parts none."""
        (west, south, _), (east, north, _) = self.bounds()
        outline = _without_straight_corners(self.outline)
        for level, normal in ((self.top, UP), (self.bottom, scale(UP, -1.0))):
            face = plane((0.0, 0.0, level), normal)
            yield replace(face, across_from=west, across_to=east, up_from=south, up_to=north, outline=outline)
        turn = 1.0 if twice_area(outline) > 0.0 else -1.0
        for (x0, y0), (x1, y1) in edges(outline):
            normal = unit((turn * (y1 - y0), -turn * (x1 - x0), 0.0))
            yield rectangle((x0, y0, self.bottom), normal, (x0, y0, self.bottom), (x1, y1, self.top))

    def mesh(self, chord_mm: float, extent: Extent) -> Mesh:
        """Return triangles that bound it exactly."""
        cap, outline = triangulated([self.outline if twice_area(self.outline) > 0.0 else self.outline[::-1]])
        level = np.ones((len(outline), 1))
        return swept(np.hstack([outline, level * self.bottom]), np.hstack([outline, level * self.top]), cap)

    def corners(self) -> Floats:
        """Return the triangles that bound it."""
        return self.mesh(0.0, Extent(*self.bounds())).corners()

    def signed(self, surface: Callable[[], Signed]) -> Signed:
        """Return what measures how deep points lie in it, from its outline."""
        return SignedPlan([self.outline], [], self.bottom, self.top)


def _without_straight_corners(outline: Sequence[Vec2]) -> tuple[Vec2, ...]:
    """Leave out corners of an outline at which it goes straight on: there is no edge there."""
    kept = []
    for before, here, after in zip((outline[-1], *outline[:-1]), outline, (*outline[1:], outline[0]), strict=True):
        u, w = (here[0] - before[0], here[1] - before[1]), (after[0] - here[0], after[1] - here[1])
        if abs(u[0] * w[1] - u[1] * w[0]) > 1e-9 * hypot(*u) * hypot(*w):
            kept.append(here)
    return tuple(kept)
