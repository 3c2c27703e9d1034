"""Parts of plain binary glTF files, read without a further library: such as `pipemodel room` writes.

Plain is a file with one buffer of its own, and parts of one list of triangles each in single precision, moved but
neither turned nor stretched. Of any other nothing is read here. Every number in the file is held against the file's
size before it is used.
"""

import json
import struct
import threading
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import numpy as np

from pipemodel.geometry.arrays import Floats, Ints

_MAGIC, _VERSION = 0x46546C67, 2
_JSON, _BINARY = 0x4E4F534A, 0x004E4942
_FLOAT, _UINT = 5126, 5125
_PLACED = ("rotation", "scale", "matrix", "children", "skin")
MOST_BYTES = 200_000_000
"""A larger file is left to the reader of any file."""


def plain_part(path: Path, name: str) -> tuple[Floats, Ints] | None:
    """Return the corners (n, 3) and faces (m, 3) of the one part of a name; None where the file is not a plain one."""
    try:
        about = path.stat()
        if not path.is_file() or about.st_size > MOST_BYTES:
            return None
        key = str(path), about.st_size, about.st_mtime_ns, about.st_ino
        global _kept
        with _lock:
            if _kept is None or _kept[0] != key:
                _kept = (key, _parts(path.read_bytes()))
            found = _kept[1].get(name)
    except (OSError, ValueError, TypeError, KeyError, IndexError, struct.error, RecursionError):
        return None
    return found


def _parts(data: bytes) -> Mapping[str, tuple[Floats, Ints]]:
    magic, version, size = struct.unpack_from("<III", data)
    length, kind = struct.unpack_from("<II", data, 12)
    if (magic, version, size, kind) != (_MAGIC, _VERSION, len(data), _JSON) or 20 + length > len(data):
        raise ValueError("no plain file")
    head = json.loads(data[20 : 20 + length])
    size, kind = struct.unpack_from("<II", data, 20 + length)
    body = memoryview(data)[28 + length : 28 + length + size]
    if kind != _BINARY or len(body) != size or head.get("extensionsRequired"):
        raise ValueError("no plain file")
    found: dict[str, tuple[Floats, Ints]] = {}
    for node in head["nodes"]:
        if any(key in node for key in _PLACED) or node["name"] in found:
            raise ValueError("no plain part")
        (primitive,) = head["meshes"][_index(node["mesh"])]["primitives"]
        if primitive.get("mode", 4) != 4 or primitive.get("extensions"):
            raise ValueError("no plain triangles")
        corners = _array(head, body, primitive["attributes"]["POSITION"], _FLOAT, "VEC3", "<f4")
        order = _array(head, body, primitive["indices"], _UINT, "SCALAR", "<u4")
        move = np.array(node.get("translation", (0.0, 0.0, 0.0)), dtype=np.float64)
        if move.shape != (3,) or len(order) % 3:
            raise ValueError("no plain part")
        found[str(node["name"])] = (corners.reshape(-1, 3) + move, order.reshape(-1, 3))
    return found


def _array(head: Any, body: memoryview, number: Any, component: int, kind: str, dtype: str) -> Any:
    accessor = head["accessors"][_index(number)]
    view = head["bufferViews"][_index(accessor["bufferView"])]
    if accessor["componentType"] != component or accessor["type"] != kind or "sparse" in accessor:
        raise ValueError("no plain numbers")
    if view["buffer"] != 0 or "byteStride" in view or accessor.get("normalized"):
        raise ValueError("no plain numbers")
    count = _index(accessor["count"]) * (3 if kind == "VEC3" else 1)
    begin = _index(view.get("byteOffset", 0)) + _index(accessor.get("byteOffset", 0))
    if begin + 4 * count > len(body):
        raise ValueError("the file is cut short")
    values = np.frombuffer(body, dtype=dtype, count=count, offset=begin)
    return values.astype(np.float64 if component == _FLOAT else np.int64)


def _index(value: Any) -> int:
    if not isinstance(value, int) or isinstance(value, bool) or value < 0:
        raise ValueError("no number of a part")
    return value


_lock = threading.Lock()
_kept: tuple[tuple[str, int, int, int], Mapping[str, tuple[Floats, Ints]]] | None = None
"""The parts of the last file that was read: they are asked for one after the other."""
