"""Triangles as a binary STL file, the same bytes for the same mesh.

STL has no units and single-precision numbers. The numbers are mm. Far from the room's zero, single precision
would round the tube out of shape (to 0.06 mm at a kilometre), so a mesh that reaches further than `FAR_MM` is
written about an origin of its own, in whole metres near it; the header says which, and so does the writer.
A point shared by several triangles rounds the same way in each, so rounding opens no crack.
"""

from math import inf
from pathlib import Path

import numpy as np

from pipemodel.geometry.arrays import Floats
from pipemodel.geometry.shapes.mesh import Mesh
from pipemodel.geometry.vectors import ORIGIN, Vec3

FAR_MM = 32768.0
"""Up to here single precision is good to 0.001 mm."""
_HEADER_BYTES = 80
_RECORD = np.dtype([("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("attribute", "<u2")])


def write_stl(path: Path, mesh: Mesh, name: str) -> Vec3:
    """Write a mesh as binary STL and return the origin it is written about, in mm: (0, 0, 0) unless far out.

    Args:
        path: the file to write; replaced if it is there.
        mesh: the triangles.
        name: goes into the header, in plain ASCII and as much of it as there is room for.

    Raises:
        OSError: if the file cannot be written.
    """
    origin = origin_for(mesh.vertices)
    vertices = (mesh.vertices - origin).astype("<f4")
    records = np.zeros(len(mesh.faces), dtype=_RECORD)
    records["corners"] = vertices[mesh.faces]
    records["normal"] = _normals(records["corners"].astype(np.float64))
    count = np.array([len(records)], dtype="<u4")
    path.write_bytes(_header(name, origin) + count.tobytes() + records.tobytes())
    return origin


def origin_for(vertices: Floats) -> Vec3:
    """Return what to measure far points (n, 3) from, in whole metres; (0, 0, 0) for points that are not far."""
    if len(vertices) == 0 or np.abs(vertices).max() <= FAR_MM:
        return ORIGIN
    x, y, z = (float(v) for v in np.floor(vertices.min(axis=0) / 1000.0) * 1000.0)
    return (x, y, z)


def _normals(corners: Floats) -> Floats:
    """Return the outward unit normal of each triangle (m, 3, 3); zero where rounding left it no area."""
    normals = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    sizes = np.linalg.norm(normals, axis=1, keepdims=True)
    unit: Floats = normals / np.where(sizes > 0.0, sizes, inf)
    return unit


def _header(name: str, origin: Vec3) -> bytes:
    """Return 80 bytes: units and origin first, since a long name is cut. `solid` in front would mean a text file."""
    about = "" if origin == ORIGIN else " about {:.0f} {:.0f} {:.0f}".format(*origin)
    text = f"binary STL, mm{about}: {name}"
    return text.encode("ascii", "replace")[:_HEADER_BYTES].ljust(_HEADER_BYTES)
