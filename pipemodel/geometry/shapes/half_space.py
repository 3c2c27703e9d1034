"""Half-spaces: walls, floors and ceilings given by a face without end."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from math import inf
from typing import ClassVar

from pipemodel.geometry.arrays import Floats, Ints, dots, np
from pipemodel.geometry.extent import Extent
from pipemodel.geometry.placing import Placing
from pipemodel.geometry.shapes.base import Colour, Shape, Targets, rows
from pipemodel.geometry.shapes.face import Face, plane
from pipemodel.geometry.shapes.mesh import Mesh
from pipemodel.geometry.shapes.solids_of_triangles import block
from pipemodel.geometry.vectors import Vec3, add, any_normal, cross, dot, scale, sub

SLAB_PART = 0.05
"""A slab is this part of the job's diagonal thick, and stands out beyond the job as far again."""
SLAB_LEAST_MM = 10.0
SLAB_MOST_MM = 200.0


@dataclass(frozen=True)
class FaceSlab:
    """The part of a half-space that is drawn: from `corner` along two edges of the face, and `depth_mm` back.

    `across` and `up` are unit vectors square to each other in the face, and across x up points out of the solid.
    """

    corner: Vec3
    across: Vec3
    up: Vec3
    width_mm: float
    height_mm: float
    depth_mm: float

    @property
    def normal(self) -> Vec3:
        """Out of the solid."""
        return cross(self.across, self.up)

    @property
    def corners(self) -> tuple[Vec3, Vec3, Vec3, Vec3]:
        """The four corners of its face, counter-clockwise as one looks at it."""
        across, up = scale(self.across, self.width_mm), scale(self.up, self.height_mm)
        beside = add(self.corner, across)
        return self.corner, beside, add(beside, up), add(self.corner, up)


@dataclass(frozen=True)
class HalfSpace(Shape):
    """Everything behind a face (a wall, floor or ceiling): `normal` is a unit vector out of the solid."""

    kind: ClassVar[str] = "face"
    colour: ClassVar[Colour] = (0.88, 0.87, 0.84)
    convex: ClassVar[bool] = True

    point: Vec3
    normal: Vec3

    @property
    def facing(self) -> Vec3:
        """The way its face looks."""
        return self.normal

    def placed(self, placing: Placing) -> Shape:
        """Return it turned and moved."""
        return HalfSpace(placing.point(self.point), placing.direction(self.normal))

    def bounds(self) -> tuple[Vec3, ...]:
        """Return nothing: it has no size."""
        return ()

    def reach(self, direction: Vec3) -> tuple[float, float]:
        """Return how far it reaches: only straight ahead of its face is there an end to it."""
        ends = direction == self.normal, direction == scale(self.normal, -1.0)
        level = dot(self.point, direction)
        return (level if ends[1] else -inf), (level if ends[0] else inf)

    def distance(self, p: Vec3) -> float:
        """Return the distance from a point, below zero behind the face."""
        return dot(sub(p, self.point), self.normal)

    def flat_faces(self) -> Iterator[Face]:
        """Yield its face."""
        yield plane(self.point, self.normal)

    def slab(self, extent: Extent) -> FaceSlab:
        """Return the slab that stands for it: its face behind all of the job, its thickness behind the face."""
        depth = min(max(SLAB_PART * extent.diagonal_mm, SLAB_LEAST_MM), SLAB_MOST_MM)
        across = any_normal(self.normal)
        up = cross(self.normal, across)
        reach = [(dot(d, across), dot(d, up)) for d in (sub(c, self.point) for c in extent.corners())]
        left, right = min(r[0] for r in reach) - depth, max(r[0] for r in reach) + depth
        below, above = min(r[1] for r in reach) - depth, max(r[1] for r in reach) + depth
        corner = add(self.point, add(scale(across, left), scale(up, below)))
        return FaceSlab(corner, across, up, right - left, above - below, depth)

    def mesh(self, chord_mm: float, extent: Extent) -> Mesh:
        """Return its slab as triangles."""
        slab = self.slab(extent)
        depth = scale(slab.normal, -slab.depth_mm)
        return block(slab.corner, scale(slab.up, slab.height_mm), scale(slab.across, slab.width_mm), depth)

    @classmethod
    def targets(cls, shapes: Sequence["HalfSpace"], owner: Ints) -> Targets:
        """Lay out half-spaces as rows."""
        return HalfSpaces(rows([s.point for s in shapes]), rows([s.normal for s in shapes]), owner)


@dataclass(frozen=True)
class HalfSpaces(Targets):
    """Half spaces, a row each, `normal` out of the solid; see `Targets`."""

    point: Floats
    normal: Floats
    owner: Ints

    @cached_property
    def _level(self) -> Floats:
        return dots(self.point, self.normal)

    @cached_property
    def rows(self) -> tuple[Floats, Floats]:
        """A half space has no end."""
        endless = np.full_like(self.point, np.inf)
        return -endless, endless

    def field(self, index: Ints, points: Floats) -> tuple[Floats, Floats]:
        """Return signed distances and the face's normals."""
        normal = self.normal[index]
        return dots(points - self.point[index], normal), normal

    def values(self, points: Floats) -> Floats:
        """Return the distance of every point to every face."""
        out: Floats = points @ self.normal.T - self._level
        return out

    def extremes(self, index: Ints, direction: Floats) -> Floats:
        """A face has no corner; the rim of the tube's end tells all."""
        return np.empty((len(index), 0, 3))

    def piercings(self, index: Ints, centre: Floats, normal: Floats) -> Floats:
        """A half space that meets an end disc always meets its rim."""
        return np.empty((len(index), 0, 3))
