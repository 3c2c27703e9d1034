"""Reading mesh and STEP files, in a child process: whatever a file does to its reader, only the reader ends.

A request is JSON: the file, how it is placed, and what is too much. An answer is a line of JSON, then vertices and
faces as plain numpy arrays; or a line with what is wrong with the file.
"""

import json
import os
import stat
from dataclasses import asdict, dataclass, replace
from difflib import get_close_matches
from hashlib import sha256
from io import BytesIO
from pathlib import Path
from typing import Any
from zipfile import BadZipFile, ZipFile

import numpy as np

from pipemodel.geometry.arrays import Floats, Ints
from pipemodel.geometry.shapes import Mesh, MeshFile
from pipemodel.geometry.vectors import Vec3
from pipemodel.messages.values import Count, Name, Number, SaidError, as_data, bare, from_data, message
from pipemodel.output.refused import refused
from pipemodel.solids.glb_parts import plain_part

FARTHEST_MM = 1e9
"""Nothing in a room lies farther out than this; beyond it the last digits would be lost."""
STEP_ENDINGS = (".step", ".stp")


class MeshError(SaidError):
    """A file that gives no mesh, and why."""


@dataclass(frozen=True)
class Most:
    """What is too much of a file: its bytes, packed or unpacked, and its triangles."""

    bytes: int
    triangles: int


def is_step(path: str) -> bool:
    """Return whether a file is a STEP file, by its ending."""
    return Path(path).suffix.lower() in STEP_ENDINGS


def request_for(file: MeshFile, most: Most) -> bytes:
    """Return the request to read a file."""
    return json.dumps({"file": asdict(file), "most": asdict(most)}).encode()


def answer(request: bytes) -> bytes:
    """Read the file of a request; never raises for what is wrong with the file."""
    asked = json.loads(request)
    turned = asked["file"]["rotation"]
    rows: list[Vec3] = [(x, y, z) for x, y, z in turned]
    x, y, z = asked["file"]["offset"]
    file = MeshFile(
        asked["file"]["path"], (rows[0], rows[1], rows[2]), (x, y, z), asked["file"]["scale"], asked["file"]["part"]
    )
    out = BytesIO()
    try:
        mesh = _read(file, Most(**asked["most"]))
    except MeshError as error:
        return json.dumps({"fault": as_data(error.said)}).encode()
    out.write(json.dumps({"closed": mesh.closed, "flats_mm": mesh.flats_mm}).encode() + b"\n")
    np.save(out, mesh.vertices, allow_pickle=False)
    np.save(out, mesh.faces, allow_pickle=False)
    return out.getvalue()


def mesh_of(data: bytes, file: MeshFile, most: Most) -> Mesh:
    """Return the mesh of an answer, looked through again on this side.

    Raises:
        MeshError: if the answer is that the file gives none.
        ValueError: if it is no answer.
    """
    stream = BytesIO(data)
    said = json.loads(stream.readline())
    if "fault" in said:
        raise MeshError(from_data(said["fault"]))
    vertices, faces = (np.load(stream, allow_pickle=False) for _ in range(2))
    if vertices.dtype != np.float64 or faces.dtype != np.int64 or vertices.shape[1:] != (3,) or faces.shape[1:] != (3,):
        raise ValueError("no triangles")
    see(Path(file.path), vertices, faces, most)
    for array in (vertices, faces):
        array.setflags(write=False)
    return Mesh(vertices, faces, bool(said["closed"]), file.path, file, float(said["flats_mm"]))


def plain_mesh(file: MeshFile, most: Most) -> Mesh | None:
    """Return the mesh of a part that closes of a plain glTF file, None where the reader of any file is needed."""
    path = Path(file.path)
    found = plain_part(path, file.part) if file.part and path.suffix.lower() == ".glb" else None
    if found is None:
        return None
    vertices, faces = found
    try:
        see(path, vertices, faces, most)
        return _placed(file, path, vertices, faces, True, most) if Mesh(vertices, faces).closes else None
    except MeshError:
        return None


def _read(file: MeshFile, most: Most) -> Mesh:
    path = Path(file.path)
    data = _bytes_of(path, most)
    if is_step(file.path):
        if file.part:
            raise MeshError(message("mesh.step part", file=Name(path.name)))
        return _from_step(file, path, data, most)
    vertices, faces, closed = _from_mesh(file, path, data, most)
    return _placed(file, path, vertices, faces, closed, most)


def _bytes_of(path: Path, most: Most) -> bytes:
    """Return what is in a plain file; a pipe or a device might have no end, and might not even begin."""
    try:
        # Opening a pipe that nobody writes to would wait for ever.
        handle = os.open(path, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0))
        with open(handle, "rb") as opened:
            about = os.fstat(handle)
            if not stat.S_ISREG(about.st_mode):
                raise MeshError(message("mesh.no plain file", file=Name(path.name)))
            if about.st_size == 0:
                raise MeshError(message("mesh.empty", file=Name(path.name)))
            data = opened.read(most.bytes + 1) if about.st_size <= most.bytes else b""
    except OSError as error:
        raise MeshError(message("mesh.unread", file=Name(path.name), why=refused(error))) from None
    size = max(about.st_size, len(data))
    if size > most.bytes:
        mb, at_most = Number(size / 1e6, ".0f"), Number(most.bytes / 1e6, ".0f")
        raise MeshError(message("mesh.large", file=Name(path.name), mb=mb, most=at_most))
    return data


def _from_step(file: MeshFile, path: Path, data: bytes, most: Most) -> Mesh:
    from pipemodel.solids.kernel import UnreadableError
    from pipemodel.solids.step_facets import step_facets

    try:
        mesh = step_facets(file, data)
    except UnreadableError:
        raise MeshError(message("mesh.not", file=Name(path.name), kind=bare("STEP"))) from None
    see(path, mesh.vertices, mesh.faces, most)
    return replace(mesh, faces=_outward(mesh.vertices, mesh.faces)) if mesh.closed else mesh


def _from_mesh(file: MeshFile, path: Path, data: bytes, most: Most) -> tuple[Floats, Ints, bool]:
    import trimesh

    if path.suffix.lower() == ".3mf":
        see_zip(path, data, most.bytes)
    loaded = _part(file.part, path, data) if file.part else loaded_mesh(path, data, force="mesh")
    if not isinstance(loaded, trimesh.Trimesh):
        raise MeshError(message("mesh.no surface", file=Name(path.name)))
    see(path, loaded.vertices, loaded.faces, most)
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
    vertices = np.array(loaded.vertices, dtype=np.float64) * (declared_unit(path, loaded) if file.scale == 1.0 else 1.0)
    return vertices, np.array(loaded.faces, dtype=np.int64), closed


def loaded_mesh(path: Path, data: bytes, **how: Any) -> Any:
    """Return what is in a file of triangles, read by trimesh.

    Raises:
        MeshError: if it cannot be read.
    """
    import trimesh

    ending = path.suffix.lower().lstrip(".")
    try:
        # From memory, so that a file cannot have further files fetched.
        return trimesh.load(BytesIO(data), file_type=ending, process=False, skip_materials=True, **how)
    except (MemoryError, ImportError):
        raise
    except Exception:  # a broken file comes out of the readers as any kind of error
        raise MeshError(message("mesh.not", file=Name(path.name), kind=bare(ending.upper()))) from None


def _part(name: str, path: Path, data: bytes) -> Any:
    """Return the one part of a file that has a name, where it stands in the file."""
    import trimesh

    global _scene
    digest = sha256(data).digest()
    if _scene is None or _scene[0] != digest:
        _scene = (digest, loaded_mesh(path, data))
    scene = _scene[1]
    if not isinstance(scene, trimesh.Scene):
        raise MeshError(message("mesh.no parts", file=Name(path.name)))
    known: dict[str, list[Any]] = {}
    for node in scene.graph.nodes_geometry:
        matrix, geometry = scene.graph[node]
        for called in dict.fromkeys((str(node), str(geometry))):
            known.setdefault(called, []).append((matrix, geometry))
    if name not in known:
        near = get_close_matches(name, known, n=1)
        hint = message("mesh.meant", near=Name(near[0])) if near else message("mesh.others", n=Count(len(known)))
        raise MeshError(message("mesh.no part", file=Name(path.name), part=Name(name), hint=hint))
    pieces = []
    for matrix, geometry in known[name]:
        piece = scene.geometry[geometry].copy()
        if isinstance(piece, trimesh.Trimesh):
            pieces.append(piece.apply_transform(matrix))
    return trimesh.util.concatenate(pieces) if pieces else None


_scene: tuple[bytes, Any] | None = None
"""What the last file with parts holds, and a digest of that file: parts are asked for one after the other."""


def declared_unit(path: Path, loaded: Any) -> float:
    """Return the mm in a unit where the file itself says so, as 3MF does; the job's own word goes before it.

    Raises:
        MeshError: if a 3MF file names a unit that is none.
    """
    mm = {"micron": 0.001, "millimeter": 1.0, "centimeter": 10.0, "inch": 25.4, "foot": 304.8, "meter": 1000.0}
    unit = str(loaded.units or "millimeter")
    if path.suffix.lower() == ".3mf" and unit not in mm:
        known = ", ".join(mm)
        raise MeshError(message("mesh.unit", file=Name(path.name), unit=Name(unit), known=bare(known)))
    return mm.get(unit, 1.0)


def _placed(file: MeshFile, path: Path, vertices: Floats, faces: Ints, closed: bool, most: Most) -> Mesh:
    placed = file.scale * vertices @ np.array(file.rotation, dtype=np.float64).T + np.array(file.offset)
    see(path, placed, faces, most)
    return Mesh(placed, _outward(placed, faces) if closed else faces, closed, file.path, file)


def _outward(vertices: Floats, faces: Ints) -> Ints:
    """Return the faces of a closed surface so turned that its volume is above zero."""
    a, b, c = (vertices[faces[:, k]] - vertices[faces[0, 0]] for k in range(3))
    volume = float(np.einsum("ij,ij->", a, np.cross(b, c)))
    return faces[:, ::-1].copy() if volume < 0.0 else faces


def see(path: Path, vertices: Floats, faces: Ints, most: Most) -> None:
    """Refuse what cannot be measured against.

    Raises:
        MeshError: saying what is wrong with it.
    """
    if not len(faces):
        raise MeshError(message("mesh.no triangles", file=Name(path.name)))
    if len(faces) > most.triangles:
        n, at_most = Count(len(faces)), Count(most.triangles)
        raise MeshError(message("mesh.triangles", file=Name(path.name), n=n, most=at_most))
    if faces.min() < 0 or faces.max() >= len(vertices):
        raise MeshError(message("mesh.corners", file=Name(path.name)))
    # A corner that no triangle has counts for nothing, but there hardly ever is a bad one.
    good = bool(np.isfinite(vertices).all() and np.abs(vertices).max() <= FARTHEST_MM)
    used = vertices if good else vertices[faces.ravel()]
    if not np.isfinite(used).all():
        raise MeshError(message("mesh.numbers", file=Name(path.name)))
    if np.abs(used).max() > FARTHEST_MM:
        raise MeshError(message("mesh.far", file=Name(path.name), mm=Number(float(np.abs(used).max()), ".3g")))


def see_zip(path: Path, data: bytes, most_bytes: int) -> None:
    """Refuse an archive that would unpack to something huge, by a `MeshError`."""
    try:
        with ZipFile(BytesIO(data)) as archive:
            size = sum(item.file_size for item in archive.infolist())
    except (BadZipFile, OSError):
        raise MeshError(message("mesh.not", file=Name(path.name), kind=bare("3MF"))) from None
    if size > most_bytes:
        mb, at_most = Number(size / 1e6, ".0f"), Number(most_bytes / 1e6, ".0f")
        raise MeshError(message("mesh.unpacks", file=Name(path.name), mb=mb, most=at_most))
