"""The surfaces of a model in one file beside the room file: binary glTF 2.0, a mesh and a node of its name for each.

glTF has metres with y up; single precision about a place of its own for each part keeps a thing of ten metres to
0.001 mm. Same surfaces, same bytes.
"""

import json
import struct
from collections.abc import Sequence

import numpy as np

from pipemodel.geometry.arrays import Floats, Ints

_MAGIC, _VERSION = 0x46546C67, 2
_JSON, _BINARY = 0x4E4F534A, 0x004E4942
_FLOAT, _UINT = 5126, 5125
_CORNERS, _FACES = 34962, 34963


def surfaces_file(parts: Sequence[tuple[str, Floats, Ints]]) -> bytes:
    """Return surfaces as a binary glTF file.

    Args:
        parts: the name of each, its corners (n, 3) in mm, z up, and its faces (m, 3).
    """
    nodes, meshes, accessors, views, data = [], [], [], [], bytearray()
    for number, (name, vertices, faces) in enumerate(parts):
        # x east, y north, z up in mm to x east, y up, z south in metres.
        upright = np.column_stack([vertices[:, 0], vertices[:, 2], -vertices[:, 1]]) / 1000.0
        middle = np.round((upright.min(axis=0) + upright.max(axis=0)) / 2.0, 3)
        local = (upright - middle).astype("<f4")
        index = faces.astype("<u4")
        for array, target in ((local, _CORNERS), (index, _FACES)):
            views.append({"buffer": 0, "byteOffset": len(data), "byteLength": array.nbytes, "target": target})
            data += array.tobytes()
        extent = {"min": local.min(axis=0).astype(float).tolist(), "max": local.max(axis=0).astype(float).tolist()}
        accessors += [
            {"bufferView": 2 * number, "componentType": _FLOAT, "count": len(local), "type": "VEC3", **extent},
            {"bufferView": 2 * number + 1, "componentType": _UINT, "count": index.size, "type": "SCALAR"},
        ]
        primitive = {"attributes": {"POSITION": 2 * number}, "indices": 2 * number + 1, "mode": 4}
        meshes.append({"name": name, "primitives": [primitive]})
        nodes.append({"name": name, "mesh": number, "translation": (middle + 0.0).tolist()})
    head = {
        "asset": {"version": "2.0", "generator": "pipemodel"},
        "scene": 0,
        "scenes": [{"nodes": list(range(len(nodes)))}],
        "nodes": nodes,
        "meshes": meshes,
        "accessors": accessors,
        "bufferViews": views,
        "buffers": [{"byteLength": len(data)}],
    }
    text = json.dumps(head, ensure_ascii=False, separators=(",", ":")).encode()
    text += b" " * (-len(text) % 4)
    data += b"\0" * (-len(data) % 4)
    whole = 12 + 8 + len(text) + 8 + len(data)
    return b"".join(
        [
            struct.pack("<III", _MAGIC, _VERSION, whole),
            struct.pack("<II", len(text), _JSON),
            text,
            struct.pack("<II", len(data), _BINARY),
            bytes(data),
        ]
    )
