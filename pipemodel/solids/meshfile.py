"""Mesh and STEP files of things in the room, read and put in their place."""

from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING, Any
from zipfile import BadZipFile, ZipFile

import numpy as np

from pipemodel.geometry.shapes import Mesh, MeshFile

if TYPE_CHECKING:
    from numpy.typing import NDArray

MOST_BYTES = 500_000_000
"""A file larger than this, or one that unpacks to more, is not read."""
MOST_TRIANGLES = 2_000_000
FARTHEST_MM = 1e9
"""Nothing in a room lies farther out than this; beyond it the last digits would be lost."""


class MeshError(ValueError):
    """A file that gives no mesh, and why, in plain words."""


def load_mesh(file: MeshFile) -> Mesh:
    """Read a mesh or STEP file and put it where it stands in the room.

    STL, OBJ, PLY, OFF, 3MF and GLB are read as they are; a STEP file as triangles fine enough to measure by
    (`Mesh.flats_mm`). A surface that closes is turned so that its faces look outward; one that does not is kept
    as an open surface.

    Raises:
        MeshError: if there is nothing in it that can be measured against.
    """
    path = Path(file.path)
    try:
        size = path.stat().st_size
    except OSError as error:
        raise MeshError(f"the file {path.name!r} cannot be read: {error.strerror or error}") from None
    if size == 0:
        raise MeshError(f"the file {path.name!r} is empty")
    if size > MOST_BYTES:
        raise MeshError(
            f"the file {path.name!r} is too large to read: {size / 1e6:.0f} MB, at most {MOST_BYTES / 1e6:.0f}"
        )
    if path.suffix.lower() in (".step", ".stp"):
        return _from_step(file, path)
    vertices, faces, closed = _from_mesh(file, path)
    return _placed(file, path, vertices, faces, closed)


def _from_step(file: MeshFile, path: Path) -> Mesh:
    from pipemodel.solids.room import UnreadableError
    from pipemodel.solids.step_facets import step_facets

    try:
        vertices, faces, closed, flats = step_facets(file)
    except UnreadableError:
        raise MeshError(f"the file {path.name!r} is not a STEP file that can be read") from None
    _see(path, vertices, faces)
    return Mesh(vertices, _outward(vertices, faces) if closed else faces, closed, file.path, file, flats)


def _from_mesh(file: MeshFile, path: Path) -> "tuple[NDArray[np.float64], NDArray[np.int64], bool]":
    import trimesh

    ending = path.suffix.lower().lstrip(".")
    if ending == "3mf":
        _see_zip(path)
    try:
        # From memory, so that a file cannot have further files fetched.
        loaded = trimesh.load(
            BytesIO(path.read_bytes()), file_type=ending, force="mesh", process=False, skip_materials=True
        )
    except OSError as error:
        raise MeshError(f"the file {path.name!r} cannot be read: {error.strerror or error}") from None
    except Exception:  # a broken file comes out of the readers as any kind of error
        raise MeshError(f"the file {path.name!r} is not a file that can be read as {ending.upper()}") from None
    if not isinstance(loaded, trimesh.Trimesh):
        raise MeshError(f"the file {path.name!r} holds no surface")
    _see(path, loaded.vertices, loaded.faces)
    loaded.merge_vertices(merge_tex=True, merge_norm=True)
    a, b, c = loaded.faces.T
    loaded.update_faces((a != b) & (b != c) & (c != a))
    if not loaded.is_watertight:
        # What some exporters leave behind: triangles without an area, and the same triangle twice.
        cleaned = loaded.copy()
        cleaned.update_faces(cleaned.nondegenerate_faces() & cleaned.unique_faces())
        loaded = cleaned if len(cleaned.faces) and cleaned.is_watertight else loaded
    if loaded.is_watertight and not loaded.is_winding_consistent:
        trimesh.repair.fix_winding(loaded)  # type: ignore[no-untyped-call]
    closed = bool(len(loaded.faces) and loaded.is_watertight and loaded.is_winding_consistent)
    vertices = np.array(loaded.vertices, dtype=np.float64) * (_declared_unit(loaded) if file.scale == 1.0 else 1.0)
    return vertices, np.array(loaded.faces, dtype=np.int64), closed


def _declared_unit(loaded: Any) -> float:
    """Return the mm in a unit where the file itself says so, as 3MF does; the job's own word goes before it."""
    mm = {"micron": 0.001, "centimeter": 10.0, "inch": 25.4, "foot": 304.8, "meter": 1000.0}
    return mm.get(str(loaded.units), 1.0)


def _placed(
    file: MeshFile, path: Path, vertices: "NDArray[np.float64]", faces: "NDArray[np.int64]", closed: bool
) -> Mesh:
    placed = file.scale * vertices @ np.array(file.rotation, dtype=np.float64).T + np.array(file.offset)
    _see(path, placed, faces)
    return Mesh(placed, _outward(placed, faces) if closed else faces, closed, file.path, file)


def _outward(vertices: "NDArray[np.float64]", faces: "NDArray[np.int64]") -> "NDArray[np.int64]":
    """Return the faces of a closed surface so turned that its volume is above zero."""
    a, b, c = (vertices[faces[:, k]] - vertices[faces[0, 0]] for k in range(3))
    volume = float(np.einsum("ij,ij->", a, np.cross(b, c)))
    return faces[:, ::-1].copy() if volume < 0.0 else faces


def _see(path: Path, vertices: "NDArray[np.float64]", faces: "NDArray[np.int64]") -> None:
    """Refuse what cannot be measured against."""
    if not len(faces):
        raise MeshError(f"the file {path.name!r} holds no triangles")
    if len(faces) > MOST_TRIANGLES:
        raise MeshError(f"the file {path.name!r} has {len(faces)} triangles; at most {MOST_TRIANGLES} can be taken")
    if faces.min() < 0 or faces.max() >= len(vertices):
        raise MeshError(f"the file {path.name!r} is broken: its triangles name corners that are not there")
    used = vertices[faces.ravel()]
    if not np.isfinite(used).all():
        raise MeshError(f"the file {path.name!r} is broken: some of its coordinates are not numbers")
    if np.abs(used).max() > FARTHEST_MM:
        raise MeshError(f"the file {path.name!r} reaches {np.abs(used).max():.3g} mm out; is its unit right?")


def _see_zip(path: Path) -> None:
    """Refuse an archive that would unpack to something huge."""
    try:
        with ZipFile(path) as archive:
            size = sum(item.file_size for item in archive.infolist())
    except (BadZipFile, OSError):
        raise MeshError(f"the file {path.name!r} is not a 3MF file that can be read") from None
    if size > MOST_BYTES:
        raise MeshError(f"the file {path.name!r} unpacks to {size / 1e6:.0f} MB, at most {MOST_BYTES / 1e6:.0f}")
