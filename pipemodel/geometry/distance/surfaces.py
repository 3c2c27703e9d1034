"""Meshes and outlines as triangles."""

import numpy as np

from pipemodel.geometry.arrays import Floats
from pipemodel.geometry.shapes import Extrusion, Mesh


def mesh_corners(mesh: Mesh) -> Floats:
    """Return the corners of a mesh's triangles, (m, 3, 3)."""
    out: Floats = np.asarray(mesh.vertices, dtype=np.float64)[mesh.faces]
    return out


def extrusion_corners(shape: Extrusion) -> Floats:
    """Return triangles that bound an extruded outline exactly, (m, 3, 3), outward by the right hand."""
    import mapbox_earcut

    plan = np.array(shape.outline, dtype=np.float64)
    turned = np.roll(plan, -1, axis=0)
    if float(np.sum(plan[:, 0] * turned[:, 1] - plan[:, 1] * turned[:, 0])) < 0.0:
        plan = plan[::-1].copy()
    n = len(plan)
    cap = mapbox_earcut.triangulate_float64(plan, np.array([n], dtype=np.uint32)).astype(np.int64).reshape(-1, 3)
    a, b, c = plan[cap[:, 0]], plan[cap[:, 1]], plan[cap[:, 2]]
    area = (b[:, 0] - a[:, 0]) * (c[:, 1] - a[:, 1]) - (b[:, 1] - a[:, 1]) * (c[:, 0] - a[:, 0])
    cap = np.where((area < 0.0)[:, None], cap[:, ::-1], cap)
    low = np.column_stack([plan, np.full(n, shape.bottom)])
    high = np.column_stack([plan, np.full(n, shape.top)])
    low2, high2 = np.roll(low, -1, axis=0), np.roll(high, -1, axis=0)
    return np.concatenate(
        [
            high[cap],
            low[cap[:, ::-1]],
            np.stack([low, low2, high2], axis=1),
            np.stack([low, high2, high], axis=1),
        ]
    )
