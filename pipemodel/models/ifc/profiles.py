"""Profiles of extrusions: an outline with openings, of straight sides or round."""

from typing import Any, NamedTuple, TypeAlias

import numpy as np

from pipemodel.geometry.arrays import Floats
from pipemodel.geometry.shapes.signed_plan import Round
from pipemodel.models.ifc.placing import HardError, axes2

Loop: TypeAlias = Floats | Round
"""A closed outline: corners (n, 2), not repeated at the end; or a circle."""


class Profile(NamedTuple):
    """An outline and the openings in it."""

    outer: Loop
    inner: tuple[Loop, ...] = ()


def profile_of(area: Any) -> Profile:
    """Return the outline of an IfcProfileDef, in the units of the file.

    Raises:
        HardError: if it has bows, or is of a kind that is not read here.
    """
    kind = area.is_a()
    if kind == "IfcArbitraryClosedProfileDef":
        return Profile(_loop(area.OuterCurve))
    if kind == "IfcArbitraryProfileDefWithVoids":
        return Profile(_loop(area.OuterCurve), tuple(_loop(curve) for curve in area.InnerCurves))
    if kind == "IfcRectangleProfileDef":
        return _placed(area, Profile(_rectangle(area.XDim, area.YDim)))
    if kind == "IfcRectangleHollowProfileDef" and not (area.InnerFilletRadius or area.OuterFilletRadius):
        wall = 2.0 * area.WallThickness
        inner = _rectangle(area.XDim - wall, area.YDim - wall)
        return _placed(area, Profile(_rectangle(area.XDim, area.YDim), (inner,)))
    if kind == "IfcCircleProfileDef":
        return _placed(area, Profile(Round(0.0, 0.0, area.Radius)))
    if kind == "IfcCircleHollowProfileDef":
        inside = Round(0.0, 0.0, area.Radius - area.WallThickness)
        return _placed(area, Profile(Round(0.0, 0.0, area.Radius), (inside,)))
    raise HardError(f"a profile that is {kind}")


def _rectangle(x: float, y: float) -> Floats:
    return np.array([(-x, -y), (x, -y), (x, y), (-x, y)]) / 2.0


def _placed(area: Any, profile: Profile) -> Profile:
    matrix = axes2(area.Position)

    def put(loop: Loop) -> Loop:
        if isinstance(loop, Round):
            x, y = matrix[:2, :2] @ (loop.x, loop.y) + matrix[:2, 2]
            return Round(float(x), float(y), loop.radius)
        return np.asarray(loop @ matrix[:2, :2].T + matrix[:2, 2])

    return Profile(put(profile.outer), tuple(put(one) for one in profile.inner))


def _loop(curve: Any) -> Loop:
    if curve.is_a("IfcCircle"):
        if not curve.Position.is_a("IfcAxis2Placement2D"):
            raise HardError("a circle in space")
        x, y = axes2(curve.Position)[:2, 2]
        return Round(float(x), float(y), curve.Radius)
    points = line_points(curve)
    if len(points) > 1 and np.array_equal(points[0], points[-1]):
        points = points[:-1]
    again = np.all(points == np.roll(points, 1, axis=0), axis=1)
    return np.asarray(points[~again][:, :2])


def line_points(curve: Any) -> Floats:
    """Return the corners of a curve of straight lines, (n, 2) or (n, 3).

    Raises:
        HardError: if it has bows.
    """
    if curve.is_a("IfcPolyline"):
        return np.array([point.Coordinates for point in curve.Points], dtype=np.float64)
    if curve.is_a("IfcIndexedPolyCurve"):
        points = np.array(curve.Points.CoordList, dtype=np.float64)
        if curve.Segments is None:
            return points
        if any(segment.is_a() != "IfcLineIndex" for segment in curve.Segments):
            raise HardError("an outline with bows")
        return np.asarray(points[np.array([i for segment in curve.Segments for i in segment.wrappedValue]) - 1])
    if curve.is_a("IfcCompositeCurve"):
        parts = []
        for segment in curve.Segments:
            points = line_points(segment.ParentCurve)
            parts.append(points if segment.SameSense else points[::-1])
        return np.concatenate(parts)
    if curve.is_a("IfcTrimmedCurve") and curve.BasisCurve.is_a("IfcLine"):
        ends = [[one for one in trim if hasattr(one, "Coordinates")] for trim in (curve.Trim1, curve.Trim2)]
        if all(ends):
            points = np.array([end[0].Coordinates for end in ends], dtype=np.float64)
            return points if curve.SenseAgreement else points[::-1]
    raise HardError(f"an outline that is {curve.is_a()}")
