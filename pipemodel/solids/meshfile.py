"""Mesh and STEP files of things in the room, read in a process of their own and put in their place.

A file that somebody else made may be damaged so that its reader crashes, grows without end or never returns. So it
is read in a child process with limits; what becomes of the child becomes of the file, and of nothing else. The child
is kept for the next file, and what it read for the next time the same file is asked for, by another command too.
"""

import os
import threading
from collections import OrderedDict
from collections.abc import Hashable
from contextlib import suppress
from functools import lru_cache
from importlib.util import find_spec
from pathlib import Path

from pipemodel.geometry.shapes import Mesh, MeshFile
from pipemodel.output.kept import digest_of, keep, kept
from pipemodel.processes.child import Child, ChildError, ChildFailedError, ChildLimits, ChildSlowError
from pipemodel.solids.child_words import why_unread
from pipemodel.solids.mesh_reading import MeshError as MeshError
from pipemodel.solids.mesh_reading import Most, mesh_of, plain_mesh, request_for
from pipemodel.solids.missing import LibraryMissingError

MOST_BYTES = 500_000_000
"""A file larger than this, or one that unpacks to more, is not read."""
MOST_TRIANGLES = 2_000_000
LIMITS = ChildLimits(seconds=60.0, memory_bytes=4_000_000_000)
"""What the reading of one file may take. The kernel and its libraries alone set aside 1.3 GB of addresses."""
MOST_KEPT_TRIANGLES = 4_000_000
FORMAT = "pipemodel.mesh/1"
"""Changes whenever the same file would give other triangles, so that one kept by an earlier command is read again."""
_READER = "pipemodel.solids.mesh_reading:answer"


def load_mesh(file: MeshFile) -> Mesh:
    """Read a mesh or STEP file and put it where it stands in the room.

    STL, OBJ, PLY, OFF, 3MF and GLB are read as they are; a STEP file as triangles fine enough to measure by
    (`Mesh.flats_mm`). A surface that closes is turned so that its faces look outward; one that does not is kept
    as an open surface. A file that was read before and has not changed since is not read again.

    Raises:
        MeshError: if there is nothing in it that can be measured against.
        LibraryMissingError: if a library that is needed to read it cannot be loaded on this machine.
    """
    name = Path(file.path).name
    most = Most(MOST_BYTES, MOST_TRIANGLES)
    with _lock:
        key = _key(file)
        if key is not None and key in _kept:
            _kept.move_to_end(key)
            return _kept[key]
        quick = plain_mesh(file, most)
        if quick is not None:
            if key is not None:
                _keep(key, quick)
            return quick
        try:
            mesh = _read(file, most, key)
        except ChildFailedError as error:
            if error.kind in ("ImportError", "LibraryMissingError"):
                raise LibraryMissingError("meshes", error.message) from None
            raise MeshError(why_unread(error, LIMITS, name)) from None
        except ChildError as error:
            raise MeshError(why_unread(error, LIMITS, name)) from None
        if key is not None and _key(file) == key:
            _keep(key, mesh)
        return mesh


def _read(file: MeshFile, most: Most, key: Hashable | None) -> Mesh:
    """Return the mesh of a file as an earlier command kept it, else have it read and keep it."""
    about = (file.rotation, file.offset, file.scale, file.part, Path(file.path).suffix, most, _libraries())
    digest = digest_of(Path(file.path), FORMAT, repr(about)) if os.path.isfile(file.path) else ""
    if data := kept(digest) if digest else None:
        with suppress(MeshError, ValueError, KeyError, EOFError):
            return mesh_of(data, file, most)
    data = _answer(request_for(file, most))
    mesh = mesh_of(data, file, most)
    if digest and key is not None and _key(file) == key:
        keep(digest, data)
    return mesh


@lru_cache(maxsize=1)
def _libraries() -> list[tuple[str, int]]:
    """Return where the libraries that read lie, and since when: a newer one may read a file otherwise."""
    specs = [find_spec(name) for name in ("trimesh", "OCP")]
    return [(s.origin, os.stat(s.origin).st_mtime_ns) for s in specs if s is not None and s.origin is not None]


def _answer(request: bytes) -> bytes:
    """Ask the child that is there, or a new one; a child that has ended is not asked again."""
    global _reader
    kept, _reader = _reader, None
    child = kept[1] if kept is not None and kept[0] == os.getpid() else Child(_READER, LIMITS)
    try:
        answer = child.ask(request)
    except ChildFailedError:
        _reader = (os.getpid(), child)
        raise
    except ChildSlowError:
        raise
    except ChildError:
        if not child.answered:
            raise
        # It may have gone for want of work, or of memory after many files: the file has a try by itself.
        return _answer(request)
    _reader = (os.getpid(), child)
    return answer


def _key(file: MeshFile) -> Hashable:
    """Return what tells one state of a file from another, None where it cannot be looked at."""
    try:
        about = os.stat(file.path)
    except (OSError, ValueError):
        return None
    return file, about.st_dev, about.st_ino, about.st_size, about.st_mtime_ns, MOST_BYTES, MOST_TRIANGLES


def _keep(key: Hashable, mesh: Mesh) -> None:
    global _triangles
    _kept[key] = mesh
    _triangles += len(mesh.faces)
    while len(_kept) > 1 and _triangles > MOST_KEPT_TRIANGLES:
        _triangles -= len(_kept.popitem(last=False)[1].faces)


_lock = threading.Lock()
_reader: tuple[int, Child] | None = None
_kept: OrderedDict[Hashable, Mesh] = OrderedDict()
_triangles = 0
"""How many triangles the kept meshes have."""
