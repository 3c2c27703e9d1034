"""Triangle meshes, read from files or made here, and files of them that are not read yet."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import ClassVar, NoReturn

from pipemodel.geometry.arrays import Floats, Ints, np
from pipemodel.geometry.extent import Extent
from pipemodel.geometry.placing import Placing
from pipemodel.geometry.shapes.base import Colour, Shape
from pipemodel.geometry.shapes.face import Face
from pipemodel.geometry.shapes.triangles import closes, solid_angles, triangles_of
from pipemodel.geometry.vectors import EAST, NORTH, UP, Vec3


@dataclass(frozen=True)
class MeshFile(Shape):
    """A mesh or STEP file placed in the room, not read yet: turned by `rotation`, then moved by `offset`.

    `rotation` holds the three rows of a rotation matrix; `scale` is mm per unit of the file. Reading it makes
    a `Mesh`; that is the solids' work, so that a schedule never pays for it. Until then it has no size.
    """

    kind: ClassVar[str] = "mesh file"
    colour: ClassVar[Colour] = (0.70, 0.72, 0.66)
    convex: ClassVar[bool] = False
    measurable: ClassVar[bool] = False
    slow: ClassVar[bool] = True

    path: str
    rotation: tuple[Vec3, Vec3, Vec3] = ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))
    offset: Vec3 = (0.0, 0.0, 0.0)
    scale: float = 1.0
    part: str = ""
    """The name of the one part of the file that is meant; all of it if empty."""

    @property
    def file(self) -> "MeshFile":
        """Itself."""
        return self

    def placed(self, placing: Placing) -> "MeshFile":
        """Return it turned and moved."""
        columns = [placing.direction(column) for column in zip(*self.rotation, strict=True)]
        x, y, z = zip(*columns, strict=True)
        return replace(self, rotation=(x, y, z), offset=placing.point(self.offset))

    def bounds(self) -> tuple[Vec3, ...]:
        """Return nothing: it has no size yet."""
        return ()

    def reach(self, direction: Vec3) -> tuple[float, float]:
        """Refuse: it has not been read."""
        self._unread()

    def distance(self, p: Vec3) -> float:
        """Refuse: it has not been read."""
        self._unread()

    def flat_faces(self) -> Iterator[Face]:
        """Yield nothing: no flat face is known."""
        return iter(())

    def mesh(self, chord_mm: float, extent: Extent) -> "Mesh":
        """Refuse: it has not been read."""
        self._unread()

    def corners(self) -> Floats:
        """Refuse: it has not been read."""
        self._unread()

    def _unread(self) -> NoReturn:
        raise TypeError(f"{self.path!r} has not been read yet: there is no distance to a file")


@dataclass(frozen=True, eq=False)
class Mesh(Shape):
    """Triangles: `vertices` (n, 3) mm, `faces` (m, 3), outward by the right hand.

    `closed` tells whether they bound a solid; an open mesh is a surface only, with no inside. Of a mesh that was read,
    `source` is the path of its file, for messages, and `file` that file as placed in the room, so that a STEP file can
    be read again, exact; `flats_mm` says how far the triangles may stand off curved faces they were made from, 0
    when the triangles are the shape itself.
    """

    kind: ClassVar[str] = "mesh"
    colour: ClassVar[Colour] = (0.70, 0.72, 0.66)
    convex: ClassVar[bool] = False
    measurable: ClassVar[bool] = False
    slow: ClassVar[bool] = True

    vertices: Floats
    faces: Ints
    closed: bool = True
    source: str = ""
    file: MeshFile | None = None
    flats_mm: float = 0.0

    def placed(self, placing: Placing) -> Shape:
        """Return it turned and moved."""
        columns = [placing.direction(axis) for axis in (EAST, NORTH, UP)]
        points = self.vertices @ np.array(columns) + np.array(placing.at)
        file = None if self.file is None else self.file.placed(placing)
        return Mesh(points, self.faces, self.closed, self.source, file, self.flats_mm)

    def bounds(self) -> tuple[Vec3, ...]:
        """Return opposite corners of the block that holds its vertices."""
        low, high = self.vertices.min(axis=0).tolist(), self.vertices.max(axis=0).tolist()
        return ((low[0], low[1], low[2]), (high[0], high[1], high[2]))

    def reach(self, direction: Vec3) -> tuple[float, float]:
        """Return the least and the greatest of point . direction over it."""
        level = self.vertices @ np.array(direction)
        return float(level.min()), float(level.max())

    def distance(self, p: Vec3) -> float:
        """Return the distance from a point, below zero inside a closed one; every triangle is looked at."""
        corner, count = self.corners(), len(self.faces)
        point = np.broadcast_to(np.array(p), (count, 3))
        field, _ = triangles_of(corner, np.zeros(count, dtype=np.int64)).field(np.arange(count), point)
        nearest = float(field.min())
        inside = self.closed and abs(float(solid_angles(corner, point).sum())) > 2.0 * np.pi
        return -nearest if inside else nearest

    def flat_faces(self) -> Iterator[Face]:
        """Yield nothing: no tape is held against a triangle."""
        return iter(())

    def mesh(self, chord_mm: float, extent: Extent) -> "Mesh":
        """Return itself."""
        return self

    def corners(self) -> Floats:
        """Return the corners of its triangles, (m, 3, 3)."""
        out: Floats = np.take(np.asarray(self.vertices, dtype=np.float64), self.faces, axis=0)
        return out

    @cached_property
    def volume(self) -> float:
        """Volume in mm3 of a closed mesh."""
        a, b, c = (self.vertices[self.faces[:, i]] for i in range(3))
        return float(np.einsum("ij,ij->i", a, np.cross(b, c)).sum() / 6.0)

    @cached_property
    def area(self) -> float:
        """Area of its surface in mm2."""
        a, b, c = (self.vertices[self.faces[:, i]] for i in range(3))
        return float(np.linalg.norm(np.cross(b - a, c - a), axis=1).sum() / 2.0)

    @cached_property
    def closes(self) -> bool:
        """Whether every edge is shared by just two faces that run along it in opposite directions."""
        return closes(self.faces)

    @property
    def size(self) -> Floats:
        """How far it reaches along x, y and z, mm."""
        out: Floats = np.ptp(self.vertices, axis=0)
        return out

    def components(self) -> list[Ints]:
        """Return the faces (k, 3) of each connected piece of the skin, pieces in the order of their lowest corner."""
        label = np.arange(len(self.vertices))
        while True:
            # Every corner takes the lowest label of the faces it belongs to, until none changes.
            before = label.copy()
            np.minimum.at(label, self.faces.ravel(), np.repeat(label[self.faces].min(axis=1), 3))
            label = label[label]
            if np.array_equal(before, label):
                break
        of_face = label[self.faces[:, 0]]
        return [self.faces[of_face == k] for k in np.unique(of_face)]


def joined(meshes: Sequence[Mesh]) -> Mesh:
    """Return several meshes as one, their triangles one after the other."""
    firsts = np.cumsum([0, *(len(mesh.vertices) for mesh in meshes[:-1])])
    faces = [mesh.faces + first for mesh, first in zip(meshes, firsts, strict=True)]
    return Mesh(np.concatenate([mesh.vertices for mesh in meshes]), np.concatenate(faces))
