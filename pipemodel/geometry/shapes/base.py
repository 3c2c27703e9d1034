"""What every kind of thing in the room answers. Plain numbers in mm; arrays only where many points are asked for.

A kind is a subclass of `Shape` in a file of its own. One that leaves an answer out cannot be imported: it is refused
where its class is made.
"""

from abc import ABC, abstractmethod
from collections.abc import Callable, Iterator, Sequence
from functools import cached_property
from math import hypot, inf
from typing import TYPE_CHECKING, Any, ClassVar, NamedTuple, Protocol, TypeAlias

from pipemodel.geometry.arrays import Floats, Ints, np
from pipemodel.geometry.bounds import Blocks, blocks_of
from pipemodel.geometry.extent import Extent
from pipemodel.geometry.placing import Placing
from pipemodel.geometry.shapes.face import Face
from pipemodel.geometry.vectors import EAST, NORTH, UP, Vec3, along, dot

if TYPE_CHECKING:
    from pipemodel.geometry.shapes.half_space import FaceSlab
    from pipemodel.geometry.shapes.mesh import Mesh, MeshFile

Colour: TypeAlias = tuple[float, float, float]
"""Red, green and blue as a screen takes them (sRGB), 0 to 1."""

KINDS: dict[str, "type[Shape]"] = {}
"""Every kind there is, by the name it has in a job."""
_ANSWERS = ("kind", "colour", "convex", "placed", "reach", "distance", "flat_faces", "mesh")
_TINY = 1e-9
_BESIDE_MM = 1.0
"""A line that passes a block by no more is looked at all the same."""


class Axis(NamedTuple):
    """The axis of a round shape, between the middles of its ends, and its greatest diameter."""

    start: Vec3
    finish: Vec3
    diameter: float


class Targets(ABC):
    """Many shapes of one kind, a row each. `index` picks a row for each point; points are (n, 3), mm.

    `owner` says which thing (or run) each row belongs to, (m,).
    """

    owner: Ints

    @property
    @abstractmethod
    def rows(self) -> tuple[Floats, Floats]:
        """The low and the high corners of the blocks that hold them, (m, 3) each."""

    @cached_property
    def blocks(self) -> Blocks:
        """The blocks that hold each owner's rows."""
        return blocks_of(self.owner, *self.rows)

    @property
    def concavity(self) -> Floats:
        """How hollow each row is, 1/mm: 0 for convex shapes.

        The distance to it, followed along any straight line, has a second derivative of at least minus this.
        """
        return np.zeros(len(self.owner))

    @abstractmethod
    def field(self, index: Ints, points: Floats) -> tuple[Floats, Floats]:
        """Return the distances to the surfaces, below zero inside, and the unit directions away from them."""

    def sheets(self, index: Ints) -> Floats | None:
        """Return the unit normals of rows that are flat sheets, with no inside; None for solids."""
        return None

    def values(self, points: Floats) -> Floats:
        """Return the distance of every point to every row, (n, m); good to 1e-9 mm, and quick where many are asked."""
        count, rows = len(points), len(self.owner)
        index = np.tile(np.arange(rows), count)
        return self.field(index, np.repeat(points, rows, axis=0))[0].reshape(count, rows)

    @abstractmethod
    def extremes(self, index: Ints, direction: Floats) -> Floats:
        """Return points of the shapes, (n, k, 3), among them all that reach furthest in `direction` locally.

        Where a whole edge or face reaches equally far, its corners are among them; NaN fills what is not needed.
        """

    @abstractmethod
    def piercings(self, index: Ints, centre: Floats, normal: Floats) -> Floats:
        """Return points of the shapes in the planes through `centre` square to `normal`, (n, k, 3).

        Wherever a piece of the cut between shape and plane is bounded, one of the points lies in it. NaN where
        there is no such point.
        """


class Signed(Protocol):
    """A closed solid that any points can be measured against; it lies in the block from `low` to `high`."""

    low: Floats
    high: Floats

    def __call__(self, points: Floats) -> tuple[Floats, Floats]:
        """Return signed distances of points, (n, 3), below zero inside, and the nearest points of the surface."""


class Shape(ABC):
    """A thing in the room. Each kind says what is abstract here, and either `targets` or `corners`.

    `kind` is its name in a job and `colour` that of its solid. `convex` says whether its distance has one low point
    only along any straight, `closed` whether it has an inside, `measurable` whether a route can measure to it, and
    `slow` that measuring a point costs much more than elsewhere. `flats_mm` is how far it may stand off the true thing,
    and `file` the file it came from.
    """

    kind: ClassVar[str]
    colour: ClassVar[Colour]
    convex: ClassVar[bool]
    measurable: ClassVar[bool] = True
    slow: ClassVar[bool] = False

    def __init_subclass__(cls, **kwargs: Any) -> None:
        super().__init_subclass__(**kwargs)
        missing = [name for name in _ANSWERS if getattr(cls, name, None) is getattr(Shape, name, None)]
        if cls.corners is Shape.corners and getattr(cls.targets, "__func__", None) is Shape.targets.__func__:  # type: ignore[attr-defined]
            missing.append("targets or corners")
        if missing:
            raise TypeError(f"the shape {cls.__name__} does not say: {', '.join(missing)}")
        KINDS[cls.kind] = cls

    @property
    def closed(self) -> bool:
        """Whether it bounds a solid, so that what lies within it overlaps it."""
        return True

    @property
    def flats_mm(self) -> float:
        """How far what is measured may stand off the true surface; 0 for an exact shape."""
        return 0.0

    @property
    def file(self) -> "MeshFile | None":
        """The file it was read from, None if it was given in numbers."""
        return None

    @property
    def facing(self) -> Vec3 | None:
        """The unit normal of a face that goes on without end, out of the solid; None for a thing with a size."""
        return None

    @property
    def axis(self) -> Axis | None:
        """The axis of a round thing, None for any other."""
        return None

    @abstractmethod
    def placed(self, placing: Placing) -> "Shape":
        """Return it turned and moved; exact, so it may become another kind."""

    def bounds(self) -> tuple[Vec3, ...]:
        """Return opposite corners of the block along the axes that holds it; empty where it has no size."""
        (a, x), (b, y), (c, z) = (self.reach(axis) for axis in (EAST, NORTH, UP))
        return ((a, b, c), (x, y, z))

    @abstractmethod
    def reach(self, direction: Vec3) -> tuple[float, float]:
        """Return the least and the greatest of point . direction over it; `direction` is a unit vector."""

    @abstractmethod
    def distance(self, p: Vec3) -> float:
        """Return the distance from a point to its surface, below zero inside; mm."""

    @abstractmethod
    def flat_faces(self) -> Iterator[Face]:
        """Yield its flat faces."""

    @abstractmethod
    def mesh(self, chord_mm: float, extent: Extent) -> "Mesh":
        """Return its surface as triangles, outward by the right hand; closed where the shape is.

        Args:
            chord_mm: how far a triangle may stand off a round surface, mm.
            extent: how far the job reaches; a face without end comes out as a slab of that size.
        """

    def met(self, origin: Vec3, ahead: Vec3) -> Face | None:
        """Return the face that a straight line from `origin` along `ahead` meets first, None if it meets none.

        On the side of a round thing it is the flat that touches its near side, as if a board were laid against it.
        """
        best, found = inf, None
        # Most things lie beside the line; their faces need not be made.
        for face in self.flat_faces() if _may_meet(self.bounds(), origin, ahead) else ():
            closing = -dot(ahead, face.normal)
            if closing <= _TINY:
                continue
            at = face.height_of(origin) / closing
            if -1e-6 <= at < best and face.holds(along(origin, ahead, at)):
                best, found = at, face
        return found

    def slab(self, extent: Extent) -> "FaceSlab | None":
        """Return the part of a face without end that is drawn; None for a thing with a size."""
        return None

    @classmethod
    def targets(cls, shapes: Sequence[Any], owner: Ints) -> Targets:
        """Lay out shapes of this kind as rows that tubes are measured against.

        Args:
            shapes: all of this kind.
            owner: the number of each, (m,).
        """
        raise NotImplementedError

    def corners(self) -> Floats | None:
        """Return the triangles that bound it exactly, (m, 3, 3), outward; None for a kind that has `targets`."""
        return None

    def signed(self, surface: Callable[[], Signed]) -> Signed:
        """Return what measures how deep points lie in it, for a closed shape made of triangles.

        Args:
            surface: makes what asks the triangles themselves.
        """
        return surface()


def to_block(outside: Sequence[float]) -> float:
    """Combine how far a point lies outside each of several slabs square to each other."""
    most = max(outside)
    if most <= 0.0:
        return most
    return hypot(*(max(d, 0.0) for d in outside))


def rows(vectors: Sequence[Vec3]) -> Floats:
    """Return vectors as an array, (n, 3)."""
    return np.array(vectors, dtype=np.float64).reshape(-1, 3)


def _may_meet(bounds: tuple[Vec3, ...], origin: Vec3, ahead: Vec3) -> bool:
    """Whether a line from `origin` along `ahead` may meet what lies between opposite corners, or has no size."""
    near, far = -_BESIDE_MM, inf
    for low, high, at, way in zip(*bounds, origin, ahead, strict=True) if bounds else ():
        if abs(way) < _TINY:
            if not low - _BESIDE_MM <= at <= high + _BESIDE_MM:
                return False
            continue
        ends = (low - _BESIDE_MM - at) / way, (high + _BESIDE_MM - at) / way
        near, far = max(near, min(ends)), min(far, max(ends))
    return near <= far
