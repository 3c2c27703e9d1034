"""Solids from the plan of a jig: blocks and base put together, channels, lines, holes and lettering cut out."""

from collections.abc import Sequence
from typing import Any, TypeAlias

import numpy as np
from numpy.typing import NDArray

from pipemodel.geometry.shapes.mesh import Mesh
from pipemodel.jigs.base import Base, Polygon
from pipemodel.jigs.run_in_jig import Array
from pipemodel.jigs.split import Cut, PartPlan, key_outline

ManifoldSolid: TypeAlias = Any
"""A manifold3d.Manifold; the library comes without types."""


def hull(points: Array) -> ManifoldSolid:
    """Return the convex solid over points (n, 3)."""
    from manifold3d import Manifold

    return Manifold.hull_points(np.ascontiguousarray(points, dtype=np.float64))


def prism(outline: Polygon, low: float, high: float) -> ManifoldSolid:
    """Return a convex outline (n, 2) carried straight up from one height to another."""
    return hull(np.vstack([np.column_stack([outline, np.full(len(outline), z)]) for z in (low, high)]))


def plate(pieces: Sequence[Polygon], thick: float) -> ManifoldSolid:
    """Return outlines (n, 2), put together in plan, as a plate standing on z = 0.

    Put together flat, pieces that share an edge become one for certain; solids that share a face may not.
    """
    from manifold3d import CrossSection, FillRule

    return CrossSection([anticlockwise(p) for p in pieces], FillRule.Positive).extrude(thick)


def anticlockwise(outline: Polygon) -> Polygon:
    """Return an outline (n, 2) in the order in which its inside lies to the left."""
    x, y = outline[:, 0], outline[:, 1]
    return outline if float((x * np.roll(y, -1) - y * np.roll(x, -1)).sum()) > 0.0 else outline[::-1]


def union(solids: Sequence[ManifoldSolid]) -> ManifoldSolid:
    """Return the solids as one."""
    from manifold3d import Manifold, OpType

    return Manifold.batch_boolean(list(solids), OpType.Add) if solids else Manifold()


def body_of(solid: ManifoldSolid) -> Mesh:
    """Return a solid as a closed mesh whose order depends on its shape alone.

    Raises:
        ArithmeticError: if the boolean that made it failed, or left a mesh that does not close.
    """
    from manifold3d import Error

    if solid.status() != Error.NoError:
        raise ArithmeticError(f"a solid of the jig could not be built ({solid.status()})")
    for tolerance in (1e-3, 3e-3, 1e-2):
        mesh = solid.simplify(tolerance).to_mesh64()
        vertices = np.asarray(mesh.vert_properties, dtype=np.float64)[:, :3]
        body = tidy(vertices, np.asarray(mesh.tri_verts, dtype=np.int64))
        if body.closes:
            return body
    raise ArithmeticError("a solid of the jig came out with a mesh that does not close")


def tidy(vertices: Array, faces: NDArray[np.int64]) -> Mesh:
    """Return a mesh with equal points merged, slivers without area dropped, and everything in a settled order."""
    # A tenth of a micron: far below any printer, and still told apart by the single precision of an STL.
    rounded = np.round(vertices, 4) + 0.0
    unique, back = np.unique(rounded, axis=0, return_inverse=True)
    f = back.reshape(-1)[faces]
    f = f[(f[:, 0] != f[:, 1]) & (f[:, 1] != f[:, 2]) & (f[:, 2] != f[:, 0])]
    first = np.argmin(f, axis=1)
    f = np.stack([f[np.arange(len(f)), (first + k) % 3] for k in range(3)], axis=1)
    return Mesh(unique, f[np.lexsort((f[:, 2], f[:, 1], f[:, 0]))])


def part_base(base: Base, cut: Cut, plan: PartPlan, gap: float) -> ManifoldSolid:
    """Return the base of one part, with its keys and slots; `gap` is what a joint leaves between two parts, mm."""
    t = base.thickness
    seat = base.pads[plan.towers[0]].seat if plan.towers else 0.0
    outlines = [base.pads[t].outline for t in plan.towers] + [base.bars[k].stretch(a, b) for k, a, b in plan.stretches]
    blocks = [prism(o, seat, seat + t) for o in outlines]
    blocks += [prism(key_outline(base, cut.joints[j]), 0.0, t) for j in plan.keys]
    solid = union(blocks)
    for j in plan.slots:
        joint = cut.joints[j]
        bar = base.bars[joint.bar]
        face = bar.stretch(joint.at - 1.0, joint.at + gap)
        wide = face + 0.5 * np.sign((face - bar.start) @ _left(bar.along))[:, None] * _left(bar.along)
        solid = solid - prism(wide, -1.0, t + 1.0) - prism(key_outline(base, joint, gap), -1.0, t + 1.0)
    return solid


def whole_base(base: Base) -> ManifoldSolid:
    """Return the whole base in one piece."""
    seats = [*(p.seat for p in base.pads), *(0.0 for _ in base.bars)]
    return union([prism(o, seat, seat + base.thickness) for o, seat in zip(base.outlines, seats, strict=True)])


def _left(along: Array) -> Array:
    return np.array([-along[1], along[0]])
