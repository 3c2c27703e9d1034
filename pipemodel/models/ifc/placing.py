"""Where things of an IFC model stand: placements as 4 x 4 matrices, in the units of the file."""

from typing import Any

import numpy as np

from pipemodel.geometry.arrays import Floats
from pipemodel.messages.values import SaidError, message

SQUARE = 1e-9
"""How far off square, or off each other's length, axes may be that count as square or as long as each other."""


class HardError(Exception):
    """What is not read here as an exact shape; the geometry kernel of the library is asked instead."""


class OddError(SaidError):
    """Something wrong with an element itself; the message says what, and ends a sentence."""


class Placements:
    """The placements of the products of a file, each worked out once."""

    def __init__(self) -> None:
        self._known: dict[int, Floats] = {}

    def of(self, placement: Any) -> Floats:
        """Return the matrix from a product's own axes to the model's, (4, 4).

        Raises:
            HardError: if one of the placements is on a grid or along a line.
            OddError: if placements stand in a circle.
        """
        chain: list[Any] = []
        while placement is not None and placement.id() not in self._known:
            if any(one.id() == placement.id() for one in chain):
                raise OddError(message("odd.itself"))
            if placement.is_a() != "IfcLocalPlacement":
                raise HardError(f"a placement that is {placement.is_a()}")
            chain.append(placement)
            placement = placement.PlacementRelTo
        matrix = np.eye(4) if placement is None else self._known[placement.id()]
        for one in reversed(chain):
            matrix = matrix @ axes3(one.RelativePlacement)
            self._known[one.id()] = matrix
        return matrix


def axes3(placement: Any) -> Floats:
    """Return the matrix of an IfcAxis2Placement3D, (4, 4); the identity for None."""
    if placement is None:
        return np.eye(4)
    z = _direction(placement.Axis, (0.0, 0.0, 1.0))
    x = _direction(placement.RefDirection, (1.0, 0.0, 0.0))
    return _matrix(coordinates(placement.Location), z, x)


def axes2(placement: Any) -> Floats:
    """Return the matrix of an IfcAxis2Placement2D, (3, 3); the identity for None."""
    out = np.eye(3)
    if placement is not None:
        x = (
            _unit(np.array((*placement.RefDirection.DirectionRatios, 0.0)[:2]))
            if placement.RefDirection
            else out[0, :2]
        )
        out[:2, 0], out[:2, 1] = x, (-x[1], x[0])
        out[:2, 2] = coordinates(placement.Location, 2)
    return out


def mapped(item: Any) -> Floats:
    """Return the matrix from the axes of a mapped representation to those of the item that maps it, (4, 4).

    Raises:
        HardError: if it is mapped in the plane only.
        OddError: if it is mapped at a scale of 0.
    """
    target = item.MappingTarget
    if not target.is_a("IfcCartesianTransformationOperator3D"):
        raise HardError("mapped in the plane")
    x = _direction(target.Axis1, (1.0, 0.0, 0.0))
    z = _direction(target.Axis3, (0.0, 0.0, 1.0))
    matrix = _matrix(coordinates(target.LocalOrigin), z, x)
    if target.Axis2 and float(matrix[:3, 1] @ np.array(target.Axis2.DirectionRatios)) < 0.0:
        matrix[:3, 1] *= -1.0
    uneven = target.is_a("IfcCartesianTransformationOperator3DnonUniform")
    scales = (target.Scale, target.Scale2 if uneven else None, target.Scale3 if uneven else None)
    if 0.0 in scales:
        raise OddError(message("odd.scale"))
    matrix[:3, :3] *= [given or scales[0] or 1.0 for given in scales]
    return matrix @ axes3(item.MappingSource.MappingOrigin)


def stretch(matrix: Floats) -> Floats:
    """Return by how much a matrix stretches each of its axes, (3,).

    Raises:
        HardError: if they are not square to each other.
        OddError: if one of them has no length.
    """
    axes = matrix[:3, :3]
    size: Floats = np.linalg.norm(axes, axis=0)
    if not np.all(size > 0.0) or not np.all(np.isfinite(matrix)):
        raise OddError(message("odd.squeezed"))
    unit = axes / size
    if np.abs(unit.T @ unit - np.eye(3)).max() > SQUARE:
        raise HardError("axes that are not square")
    return size


def _matrix(origin: Floats, z: Floats, x: Floats) -> Floats:
    out = np.eye(4)
    z = _unit(z)
    across = x - float(x @ z) * z
    if np.linalg.norm(across) < 1e-9:
        across = np.array((1.0, 0.0, 0.0)) if abs(z[0]) < 0.9 else np.array((0.0, 1.0, 0.0))
        across = across - float(across @ z) * z
    out[:3, 0] = _unit(across)
    out[:3, 1] = np.cross(z, out[:3, 0])
    out[:3, 2] = z
    out[:3, 3] = origin
    return out


def _direction(direction: Any, otherwise: tuple[float, float, float]) -> Floats:
    return np.array(direction.DirectionRatios if direction is not None else otherwise, dtype=np.float64)


def coordinates(point: Any, count: int = 3) -> Floats:
    """Return the coordinates of a point in so many dimensions, (count,).

    Raises:
        HardError: if it is a place along a line.
        OddError: if it has more or fewer.
    """
    if not hasattr(point, "Coordinates"):
        raise HardError("a place along a line")
    # A figure that is none, such as NaN, is passed over by the library, and those after it move up.
    if len(point.Coordinates) != count:
        raise OddError(message("odd.coordinate"))
    return np.array(point.Coordinates, dtype=np.float64)


def _unit(v: Floats) -> Floats:
    size = float(np.linalg.norm(v))
    if not size > 0.0:
        raise OddError(message("odd.direction"))
    out: Floats = v / size
    return out
