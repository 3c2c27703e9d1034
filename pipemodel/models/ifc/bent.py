"""Bent tubes of a model: what disks sweep along straights and arcs, and a circle turned about an axis."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, degrees, radians, tan
from typing import Any

import numpy as np

from pipemodel.geometry.arrays import Floats, vec3
from pipemodel.geometry.centreline import Arc, LinePiece
from pipemodel.geometry.rounding import rounded
from pipemodel.geometry.shapes.signed_plan import Round
from pipemodel.geometry.vectors import Vec3, along, angle_deg, distance, sub, unit
from pipemodel.messages.values import message
from pipemodel.models.ifc.placing import SQUARE, HardError, OddError, axes3, coordinates, stretch
from pipemodel.models.ifc.profiles import profile_of

MOST_AT_ONCE_DEG = 150.0
"""A bow of more is several bends, each with a corner of its own."""
KINK_DEG = 0.01
"""Pieces that meet at no more than this go on straight."""
OFF = 1e-5
"""How far, as a part of the tube's diameter, what is made may stand off what is in the model."""
MOST_CORNERS = 198
_LEAST_DEG, _MOST_DEG = 1e-3, 350.0


@dataclass(frozen=True)
class Bent:
    """A tube along corners that are bent, each to its own radius; `hollow` if it has a bore, which counts as filled."""

    points: Floats
    radii: Floats
    radius: float
    hollow: bool = False

    def placed(self, matrix: Floats) -> "Bent":
        """Return it in further axes.

        Raises:
            HardError: if it is stretched so that it is not round any more.
        """
        size = stretch(matrix)
        if np.ptp(size) > SQUARE * size[0]:
            raise HardError("a bar that is stretched")
        points = self.points @ matrix[:3, :3].T + matrix[:3, 3]
        return Bent(points, self.radii * size[0], float(self.radius * size[0]), self.hollow)

    def scaled(self, unit_mm: float) -> "Bent":
        """Return it in mm.

        Raises:
            OddError: if it has no thickness.
        """
        if not 0.0 < self.radius * unit_mm < np.inf:
            raise OddError(message("odd.thickness"))
        return Bent(self.points * unit_mm, self.radii * unit_mm, self.radius * unit_mm, self.hollow)


def bent_of(pieces: Sequence[LinePiece], radius: float, hollow: bool) -> Bent:
    """Return the tube along some pieces, of which at least one is an arc.

    Raises:
        HardError: if they do not go on from each other without a kink, or the tube is too thick for a bend.
    """
    for before, after in zip(pieces, pieces[1:], strict=False):
        gap = distance(before.finish, after.start)
        if gap > OFF * radius or angle_deg(unit(before.direction_at(before.length)), after.direction) > KINK_DEG:
            raise HardError("a bent bar with a kink")
    corners, radii, spots = [pieces[0].start], [], []
    for piece in pieces:
        if not isinstance(piece, Arc):
            continue
        if piece.radius <= radius * (1.0 + SQUARE) or not _LEAST_DEG < piece.angle_deg < _MOST_DEG:
            raise HardError("a bar bent too tight")
        parts = ceil(piece.angle_deg / MOST_AT_ONCE_DEG)
        each = piece.length / parts
        back = piece.radius * tan(radians(piece.angle_deg / parts) / 2.0)
        for k in range(parts):
            corners.append(along(piece.point_at(k * each), piece.direction_at(k * each), back))
            radii.append(piece.radius)
        spots += [piece.start, piece.finish]
    corners.append(pieces[-1].finish)
    if len(radii) > MOST_CORNERS:
        raise HardError("a bar of very many bends")
    _see_true(corners, radii, spots, radius)
    return Bent(np.array(corners), np.array(radii), radius, hollow)


def filleted(corners: Sequence[Vec3], fillet: float) -> list[LinePiece]:
    """Return the pieces along corners that are all rounded off by one radius: an IfcSweptDiskSolidPolygonal's line.

    Raises:
        HardError: if a corner turns right back, or two bends want more than the line between them.
    """
    kept = list(corners[:1])
    for here, after in zip(corners[1:], corners[2:], strict=False):
        if angle_deg(sub(here, kept[-1]), sub(after, here)) > KINK_DEG:
            kept.append(here)
    kept += corners[-1:]
    turns = [angle_deg(sub(b, a), sub(c, b)) for a, b, c in zip(kept, kept[1:], kept[2:], strict=False)]
    if any(turn > MOST_AT_ONCE_DEG for turn in turns):
        raise HardError("a corner that turns right back")
    backs = [0.0, *(fillet * tan(radians(turn) / 2.0) for turn in turns), 0.0]
    for start, finish, one, two in zip(kept, kept[1:], backs, backs[1:], strict=False):
        if one + two > distance(start, finish) * (1.0 + SQUARE):
            raise HardError("bends that run into each other")
    return rounded(kept, [fillet] * len(turns))


def _see_true(corners: Sequence[Vec3], radii: Sequence[float], spots: Sequence[Vec3], radius: float) -> None:
    """See that arcs rounded off the corners begin and end where those of the model do."""
    made = [piece for piece in rounded(corners, radii) if isinstance(piece, Arc)]
    # A bow in several parts has ends of its own between: only the model's are looked for.
    ends = np.array([end for piece in made for end in (piece.start, piece.finish)])
    for spot in spots:
        if np.min(np.linalg.norm(ends - np.array(spot), axis=1)) > 100.0 * OFF * radius:
            raise HardError("a bent bar with a kink")


def revolved(item: Any, radians_per_unit: float) -> Bent:
    """Return the bend that a circle sweeps about an axis in its plane: an IfcRevolvedAreaSolid.

    Raises:
        HardError: if it is no circle, or none beside the axis.
    """
    profile = profile_of(item.SweptArea)
    outer, *inner = (profile.outer, *profile.inner)
    alike = len(inner) <= 1 and all(isinstance(one, Round) and one[:2] == outer[:2] for one in inner)
    if not isinstance(outer, Round) or not alike:
        raise HardError("a turned body that is no bend")
    location = coordinates(item.Axis.Location)
    way = np.array(item.Axis.Axis.DirectionRatios if item.Axis.Axis else (0.0, 0.0, 1.0), dtype=np.float64)
    if not np.linalg.norm(way) > 0.0:
        raise OddError(message("odd.direction"))
    way /= np.linalg.norm(way)
    if abs(way[2]) > SQUARE or abs(location[2]) > SQUARE * outer.radius:
        raise HardError("a turned body whose axis leaves its plane")
    middle = np.array((outer.x, outer.y, 0.0))
    centre = location + float((middle - location) @ way) * way
    reach = middle - centre
    matrix = axes3(item.Position)
    size = float(np.linalg.norm(reach))
    if not size > 0.0:
        raise HardError("a bar bent too tight")
    arc = Arc(
        vec3(matrix[:3, :3] @ centre + matrix[:3, 3]),
        vec3(matrix[:3, :3] @ way),
        vec3(matrix[:3, :3] @ reach / size),
        size,
        degrees(float(item.Angle) * radians_per_unit),
    )
    return bent_of([arc], float(outer.radius), bool(inner))
