"""What disks are swept along: lines and bows of a model as straights and arcs, in the units of the file."""

from math import atan2, degrees
from typing import Any

import numpy as np

from pipemodel.geometry.arrays import Floats, vec3
from pipemodel.geometry.centreline import Arc, Centreline, LinePiece, Straight, backwards
from pipemodel.geometry.vectors import Vec3, cross, distance, scale, sub, unit
from pipemodel.models.ifc.placing import HardError, axes3
from pipemodel.models.ifc.profiles import line_points

_FULL_DEG = 360.0
_FLAT = 1e-9


def pieces_of(curve: Any, radians_per_unit: float) -> list[LinePiece]:
    """Return the pieces of a curve in space, in order; those without length are left out.

    Args:
        curve: an IfcPolyline, IfcIndexedPolyCurve, IfcTrimmedCurve or IfcCompositeCurve.
        radians_per_unit: what one unit of angle of the file is.

    Raises:
        HardError: if it is of another kind, or lies in a plane of its own.
    """
    if curve.is_a("IfcIndexedPolyCurve") and curve.Segments is not None:
        points = np.array(curve.Points.CoordList, dtype=np.float64)
        found: list[LinePiece] = []
        for segment in curve.Segments:
            own = _points(points[np.array(segment.wrappedValue) - 1])
            found += _through(*own) if segment.is_a("IfcArcIndex") else _lines(own)
        return found
    if curve.is_a("IfcCompositeCurve"):
        found = []
        for segment in curve.Segments:
            own_pieces = pieces_of(segment.ParentCurve, radians_per_unit)
            found += own_pieces if segment.SameSense else backwards(Centreline(tuple(own_pieces))).pieces
        return found
    if curve.is_a("IfcTrimmedCurve") and curve.BasisCurve.is_a("IfcCircle"):
        return [_trimmed(curve, radians_per_unit)]
    return _lines(_points(line_points(curve)))


def parameters_of(curve: Any) -> float | None:
    """Return how far the parameter of a curve goes, None where that is not known here (ISO 10303-42)."""
    if curve.is_a("IfcPolyline"):
        return float(len(curve.Points) - 1)
    if curve.is_a("IfcTrimmedCurve"):
        trims = [
            [one.wrappedValue for one in trim if hasattr(one, "wrappedValue")] for trim in (curve.Trim1, curve.Trim2)
        ]
        return abs(float(trims[1][0]) - float(trims[0][0])) if all(trims) else None
    if curve.is_a("IfcCompositeCurve"):
        own = [parameters_of(segment.ParentCurve) for segment in curve.Segments]
        return None if any(one is None for one in own) else float(sum(one for one in own if one is not None))
    return None


def _points(points: Floats) -> list[Vec3]:
    if points.ndim != 2 or points.shape[1] != 3:
        raise HardError("a swept disk in the plane")
    return [(x, y, z) for x, y, z in points.tolist()]


def _lines(points: list[Vec3]) -> list[LinePiece]:
    return [Straight(a, unit(sub(b, a)), distance(a, b)) for a, b in zip(points, points[1:], strict=False) if a != b]


def _through(a: Vec3, b: Vec3, c: Vec3) -> list[LinePiece]:
    """Return the arc from a through b to c; the line where they are in line."""
    p, q = np.subtract(b, a), np.subtract(c, a)
    normal = np.cross(p, q)
    size = float(normal @ normal)
    if size <= (_FLAT * float(q @ q)) ** 2:
        return _lines([a, c])
    # The centre of the circle through three points, from the first of them.
    to = np.cross(float(p @ p) * q - float(q @ q) * p, normal) / (2.0 * size)
    centre = np.add(a, to)
    axis = normal / np.sqrt(size)
    return [_arc(vec3(centre), vec3(axis), a, c)]


def _arc(centre: Vec3, axis: Vec3, start: Vec3, finish: Vec3) -> Arc:
    spoke = unit(sub(start, centre))
    across, last = cross(axis, spoke), sub(finish, centre)
    x, y = (sum(p * q for p, q in zip(last, way, strict=True)) for way in (spoke, across))
    return Arc(centre, axis, spoke, distance(start, centre), degrees(atan2(y, x)) % _FULL_DEG)


def _trimmed(curve: Any, radians_per_unit: float) -> Arc:
    circle = curve.BasisCurve
    if not circle.Position.is_a("IfcAxis2Placement3D"):
        raise HardError("a swept disk in the plane")
    matrix = axes3(circle.Position)
    ends = [_angle(trim, matrix, radians_per_unit) for trim in (curve.Trim1, curve.Trim2)]
    axis, centre = vec3(matrix[:3, 2]), vec3(matrix[:3, 3])
    spoke = vec3(np.cos(ends[0]) * matrix[:3, 0] + np.sin(ends[0]) * matrix[:3, 1])
    turn = degrees(ends[1] - ends[0])
    if not curve.SenseAgreement:
        axis, turn = scale(axis, -1.0), -turn
    return Arc(centre, axis, spoke, float(circle.Radius), turn % _FULL_DEG)


def _angle(trim: Any, matrix: Floats, radians_per_unit: float) -> float:
    """Return the angle at which a circle is trimmed, by its parameter, or by a point; radians."""
    for one in trim:
        if hasattr(one, "wrappedValue"):
            return float(one.wrappedValue) * radians_per_unit
    for one in trim:
        if hasattr(one, "Coordinates") and len(one.Coordinates) == 3:
            x, y = matrix[:3, :2].T @ (np.array(one.Coordinates) - matrix[:3, 3])
            return float(np.arctan2(y, x))
    raise HardError("a bow without ends")
