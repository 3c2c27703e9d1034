"""Plan outlines carried straight up: boxings, chimney breasts, worktops with corners cut out."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from math import hypot, inf
from typing import ClassVar

from pipemodel.geometry.arrays import Floats, dots, np
from pipemodel.geometry.extent import Extent
from pipemodel.geometry.placing import Placing
from pipemodel.geometry.shapes.base import Colour, Shape, Signed, to_block
from pipemodel.geometry.shapes.face import Face, Vec2, edges, inside_outline, plane, rectangle
from pipemodel.geometry.shapes.mesh import Mesh
from pipemodel.geometry.shapes.solids_of_triangles import swept
from pipemodel.geometry.vectors import UP, Vec3, scale, unit

CELLS = 200_000
"""How many pairs of point and edge are worked out in one go; bounds the memory taken."""


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

    def bounds(self) -> tuple[Vec3, ...]:
        """Return opposite corners of the block that holds it."""
        xs, ys = zip(*self.outline, strict=True)
        return ((min(xs), min(ys), self.bottom), (max(xs), max(ys), self.top))

    def reach(self, direction: Vec3) -> tuple[float, float]:
        """Return the least and the greatest of point . direction over it."""
        plan = [x * direction[0] + y * direction[1] for x, y in self.outline]
        tall = self.bottom * direction[2], self.top * direction[2]
        return min(plan) + min(tall), max(plan) + max(tall)

    def distance(self, p: Vec3) -> float:
        """Return the distance from a point, below zero inside."""
        best = inf
        x, y = p[0], p[1]
        for (x0, y0), (x1, y1) in edges(self.outline):
            ex, ey = x1 - x0, y1 - y0
            t = min(max(((x - x0) * ex + (y - y0) * ey) / (ex * ex + ey * ey), 0.0), 1.0)
            best = min(best, hypot(x - x0 - t * ex, y - y0 - t * ey))
        plan = -best if inside_outline(self.outline, x, y) else best
        return to_block([plan, max(self.bottom - p[2], p[2] - self.top)])

    def flat_faces(self) -> Iterator[Face]:
        """Yield top and bottom, then its sides; a corner at which the outline goes straight on parts none."""
        (west, south, _), (east, north, _) = self.bounds()
        outline = _without_straight_corners(self.outline)
        for level, normal in ((self.top, UP), (self.bottom, scale(UP, -1.0))):
            face = plane((0.0, 0.0, level), normal)
            yield replace(face, across_from=west, across_to=east, up_from=south, up_to=north, outline=outline)
        turn = 1.0 if sum(x0 * y1 - x1 * y0 for (x0, y0), (x1, y1) in edges(outline)) > 0.0 else -1.0
        for (x0, y0), (x1, y1) in edges(outline):
            normal = unit((turn * (y1 - y0), -turn * (x1 - x0), 0.0))
            yield rectangle((x0, y0, self.bottom), normal, (x0, y0, self.bottom), (x1, y1, self.top))

    def mesh(self, chord_mm: float, extent: Extent) -> Mesh:
        """Return triangles that bound it exactly."""
        from mapbox_earcut import triangulate_float64

        outline = np.array(self.outline, dtype=np.float64)
        x, y = outline.T
        if np.dot(x, np.roll(y, -1)) < np.dot(np.roll(x, -1), y):
            outline = outline[::-1].copy()
        plan = triangulate_float64(outline, np.array([len(outline)], dtype=np.uint32)).reshape(-1, 3).astype(np.int64)
        a, b, c = outline[plan[:, 0]], outline[plan[:, 1]], outline[plan[:, 2]]
        area = (b[:, 0] - a[:, 0]) * (c[:, 1] - a[:, 1]) - (b[:, 1] - a[:, 1]) * (c[:, 0] - a[:, 0])
        plan = np.where(area[:, None] < 0.0, plan[:, ::-1], plan)
        level = np.ones((len(outline), 1))
        return swept(np.hstack([outline, level * self.bottom]), np.hstack([outline, level * self.top]), plan)

    def corners(self) -> Floats:
        """Return the triangles that bound it."""
        return self.mesh(0.0, Extent(*self.bounds())).corners()

    def signed(self, surface: Callable[[], Signed]) -> Signed:
        """Return what measures how deep points lie in it, from its outline."""
        return SignedOutline(self)


def _without_straight_corners(outline: Sequence[Vec2]) -> tuple[Vec2, ...]:
    """Leave out corners of an outline at which it goes straight on: there is no edge there."""
    kept = []
    for before, here, after in zip((outline[-1], *outline[:-1]), outline, (*outline[1:], outline[0]), strict=True):
        u, w = (here[0] - before[0], here[1] - before[1]), (after[0] - here[0], after[1] - here[1])
        if abs(u[0] * w[1] - u[1] * w[0]) > 1e-9 * hypot(*u) * hypot(*w):
            kept.append(here)
    return tuple(kept)


class SignedOutline:
    """An outline carried up: the distance to the outline in plan, and to bottom and top."""

    def __init__(self, shape: Extrusion) -> None:
        self.plan = np.array(shape.outline, dtype=np.float64)
        self.edge = np.roll(self.plan, -1, axis=0) - self.plan
        self.bottom, self.top = shape.bottom, shape.top
        self.low = np.append(self.plan.min(axis=0), shape.bottom)
        self.high = np.append(self.plan.max(axis=0), shape.top)

    def __call__(self, points: Floats) -> tuple[Floats, Floats]:
        """Return signed distances and nearest points."""
        step = max(CELLS // len(self.plan), 1)
        parts = [self._some(points[begin : begin + step]) for begin in range(0, len(points), step)]
        value, nearest = (np.concatenate(part) for part in zip(*parts, strict=True))
        return value, nearest

    def _some(self, points: Floats) -> tuple[Floats, Floats]:
        rel = points[:, None, :2] - self.plan
        size = dots(self.edge, self.edge)
        share = np.clip(dots(rel, self.edge) / np.where(size > 0.0, size, 1.0), 0.0, 1.0)
        offset = rel - share[..., None] * self.edge
        square = dots(offset, offset)
        nearest = np.argmin(square, axis=1)
        row = np.arange(len(points))
        on_wall = points[:, :2] - offset[row, nearest]
        # A line to the east crosses the outline an odd number of times from inside.
        y, ends = points[:, 1, None], np.roll(self.plan[:, 1], -1)
        spans = (self.plan[:, 1] > y) != (ends > y)
        slope = np.divide(rel[..., 1], self.edge[:, 1], out=np.zeros_like(square), where=spans)
        inside = (spans & (rel[..., 0] < slope * self.edge[:, 0])).sum(axis=1) % 2 == 1

        wall = np.where(inside, -1.0, 1.0) * np.sqrt(square[row, nearest])
        z = points[:, 2]
        cap = np.where(z - self.bottom < self.top - z, self.bottom, self.top)
        over = np.maximum(self.bottom - z, z - self.top)
        value = np.where(
            (wall > 0.0) | (over > 0.0), np.hypot(np.maximum(wall, 0.0), np.maximum(over, 0.0)), np.maximum(wall, over)
        )
        surface = points.copy()
        to_wall = (wall > 0.0) | ((over <= 0.0) & (wall >= over))
        to_cap = (over > 0.0) | ((wall <= 0.0) & (over > wall))
        surface[to_wall, :2] = on_wall[to_wall]
        surface[to_cap, 2] = cap[to_cap]
        return value, surface
