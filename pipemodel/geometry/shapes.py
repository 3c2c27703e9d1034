"""The shapes a thing in the room may have. Plain numbers in mm; the distances live beside, a file per kind."""

from dataclasses import dataclass
from typing import TYPE_CHECKING, TypeAlias

from pipemodel.geometry.vectors import Vec3

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray


@dataclass(frozen=True)
class Box:
    """A block with its faces along the axes; `low` and `high` are opposite corners, low < high on each axis."""

    low: Vec3
    high: Vec3


@dataclass(frozen=True)
class Cylinder:
    """A solid cylinder with flat ends; `start` and `finish` are the centres of its ends."""

    start: Vec3
    finish: Vec3
    diameter: float


@dataclass(frozen=True)
class HalfSpace:
    """Everything behind a face (a wall, floor or ceiling): `normal` is a unit vector out of the solid."""

    point: Vec3
    normal: Vec3


@dataclass(frozen=True)
class Extrusion:
    """A plan outline carried straight up: a simple closed polygon (n, 2), not repeated at the end."""

    outline: tuple[tuple[float, float], ...]
    bottom: float
    top: float


@dataclass(frozen=True)
class MeshFile:
    """A mesh or STEP file placed in the room, not read yet: turned by `rotation`, then moved by `offset`.

    `rotation` holds the three rows of a rotation matrix; `scale` is mm per unit of the file. Reading it makes
    a `Mesh`; that is the solids' work, so that a schedule never pays for it.
    """

    path: str
    rotation: tuple[Vec3, Vec3, Vec3] = ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))
    offset: Vec3 = (0.0, 0.0, 0.0)
    scale: float = 1.0


@dataclass(frozen=True, eq=False)
class Mesh:
    """A triangle mesh in the room's place: `vertices` (n, 3) mm, `faces` (m, 3), outward by the right hand.

    `closed` tells whether it bounds a solid; an open mesh is a surface only, with no inside.
    `source` is the path of the file it came from, for messages; `file` is that file as placed in the room, so
    that a STEP file can be read again, exact. `flats_mm` says how far the triangles may stand off curved faces
    they were made from, 0 when the triangles are the shape itself.
    """

    vertices: "NDArray[np.float64]"
    faces: "NDArray[np.int64]"
    closed: bool
    source: str
    file: MeshFile | None = None
    flats_mm: float = 0.0


Shape: TypeAlias = Box | Cylinder | HalfSpace | Extrusion | Mesh | MeshFile
