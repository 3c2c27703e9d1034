"""Planes that bodies are cut off by."""

from dataclasses import dataclass
from typing import Any

import numpy as np

from pipemodel.geometry.arrays import Floats
from pipemodel.models.ifc.placing import HardError, axes3
from pipemodel.models.ifc.profiles import line_points


@dataclass(frozen=True)
class Plane:
    """A plane that a body is cut off by: a point of it, and the way to what stays."""

    point: Floats
    kept: Floats

    def placed(self, matrix: Floats) -> "Plane":
        """Return it in further axes."""
        kept = np.linalg.inv(matrix[:3, :3]).T @ self.kept
        return Plane(matrix[:3, :3] @ self.point + matrix[:3, 3], kept / np.linalg.norm(kept))


def plane_of(half: Any, corners: Floats) -> Plane | None:
    """Return the plane of an IfcHalfSpaceSolid that is taken off a body, None where it misses the body.

    Args:
        half: the half space.
        corners: those of the body, (n, 3), in the same axes.

    Raises:
        HardError: if its face is not flat, or only a part of it cuts.
    """
    kind = half.is_a()
    if kind not in ("IfcHalfSpaceSolid", "IfcPolygonalBoundedHalfSpace") or half.BaseSurface.is_a() != "IfcPlane":
        raise HardError(f"cut off by {kind}")
    axes = axes3(half.BaseSurface.Position)
    # Where the flag is set, the normal looks out of what is taken off.
    plane = Plane(axes[:3, 3], axes[:3, 2] if half.AgreementFlag else -axes[:3, 2])
    if kind == "IfcPolygonalBoundedHalfSpace":
        bound = line_points(half.PolygonalBoundary)[:, :2]
        inverse = np.linalg.inv(axes3(half.Position))
        within = _within(bound, corners @ inverse[:2, :3].T + inverse[:2, 3])
        if within is None:
            raise HardError("cut off by a part of a plane")
        if not within:
            return None
    return plane


def _within(bound: Floats, points: Floats) -> bool | None:
    """Return whether all points lie within a convex outline, False if all lie beside one side of it; else None."""
    bound = bound[:-1] if np.array_equal(bound[0], bound[-1]) else bound
    edge = np.roll(bound, -1, axis=0) - bound
    if float((bound[:, 0] * np.roll(bound[:, 1], -1) - np.roll(bound[:, 0], -1) * bound[:, 1]).sum()) < 0.0:
        edge, bound = -edge[::-1], np.roll(bound[::-1], 1, axis=0)
        edge = np.roll(bound, -1, axis=0) - bound
    after = np.roll(edge, -1, axis=0)
    if np.any(edge[:, 0] * after[:, 1] - edge[:, 1] * after[:, 0] < 0.0):
        return None
    rel = points[:, None, :] - bound
    left = edge[:, 0] * rel[..., 1] - edge[:, 1] * rel[..., 0]
    if np.all(left >= 0.0):
        return True
    return False if bool(np.any(np.all(left <= 0.0, axis=0))) else None
