"""Whether a part prints (closed, flat underneath, within the bed, no thin walls, no overhangs), and what it takes."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import asin, degrees

import numpy as np

from pipemodel.geometry.shapes.mesh import Mesh
from pipemodel.jigs.build import ManifoldSolid
from pipemodel.jigs.split import MARGIN_MM
from pipemodel.job.jig import FAST_CM3_H, SLOW_CM3_H, Bed, Print
from pipemodel.messages.values import Angle, Count, Length, Message, Name, Number, message

SLICE_MM = 0.1
"""Height of the lowest slice that is looked at: the middle of the first layer, or so."""
SKIN_MM = 0.05
"""Thin spots narrower than this across are the rounding of corners, not walls."""

SLIVER_MM2 = 0.01
"""Triangles smaller than this face anywhere, by rounding."""
CREST_MM = 2.0
"""A thin spot that is thick enough this far down is no wall."""


LEAST_CM3, LEAST_SIDE_MM = 0.5, 6.0
"""A part with less plastic, or narrower in plan, is a crumb: it can't be handled, keyed or screwed down."""
NECK_MM = 2.4
"""What holds a part of the jig together is no narrower than this anywhere: six lines of a common nozzle."""
SLIT_MM, SLIT_MM2 = 0.2, 0.25
"""A slit narrower than this across, over more than so much of a slice, is no gap that anyone drew."""


@dataclass(frozen=True)
class Printability:
    """What was found of one part in the way it is printed.

    `bodies` is how many pieces it falls into: as a solid, and once everything thinner than a neck is gone.

    `overhang_deg` is the steepest overhang from upright (90 is a ceiling), `thin_mm2` the largest patch, in any
    slice, of wall thinner than `wall_mm`; `flat_mm2` lies on the bed. `faults` says what is wrong, if anything.
    """

    closed: bool
    bodies: int
    flat_mm2: float
    overhang_deg: float
    wall_mm: float
    thin_mm2: float
    faults: tuple[Message, ...]


@dataclass(frozen=True)
class Plastic:
    """What a part takes: its solid volume, the plastic printed, its mass, and the time in hours."""

    volume_cm3: float
    plastic_cm3: float
    mass_g: float
    hours: float

    @property
    def quick_hours(self) -> float:
        """The time on a fast printer of the common kind."""
        return self.plastic_cm3 / FAST_CM3_H

    @property
    def slow_hours(self) -> float:
        """The time on a slow one."""
        return self.plastic_cm3 / SLOW_CM3_H


def check_part(body: Mesh, bed: Bed, settings: Print, neck_mm: float = NECK_MM) -> Printability:
    """Check a part as it stands on the bed, z up; `neck_mm` is the least that may hold it together."""
    faults: list[Message] = []
    if not body.closes:
        faults.append(message("print.open"))
    bodies, slit = whole(body, neck_mm)
    if bodies != 1:
        faults.append(message("print.bodies", n=Count(bodies), neck=Length(neck_mm)))
    if slit > SLIT_MM2:
        faults.append(message("print.slit", slit=Length(SLIT_MM), over=Number(slit, ".1f")))
    size = body.size
    room = (bed.x_mm - 2.0 * MARGIN_MM, bed.y_mm - 2.0 * MARGIN_MM, bed.z_mm)
    for reach, limit, name in zip(size, room, "xyz", strict=True):
        if reach > limit + 1e-6:
            reaches, has = Length(reach, ".1f", beside=limit), Length(limit, ".1f", beside=reach)
            faults.append(message("print.too long", reach=reaches, axis=Name(name, quoted=False), has=has))
    if body.volume < LEAST_CM3 * 1e3 or min(size[:2]) < LEAST_SIDE_MM:
        volume, wide = Number(body.volume / 1e3, ".2f"), Length(min(size[:2]), ".1f")
        faults.append(message("print.too small", volume=volume, wide=wide))
    normals, areas = _faces(body)
    low = body.vertices[body.faces][:, :, 2].max(axis=1) < 1e-6
    down = low & (normals[:, 2] < -0.999)
    flat = float(areas[down].sum())
    if flat < 20.0:
        faults.append(message("print.not flat", flat=Number(flat, ".0f")))
    hanging = ~down & (areas > SLIVER_MM2)
    overhang = degrees(asin(min(1.0, max(0.0, float((-normals[hanging, 2]).max(initial=0.0))))))
    if overhang > settings.overhang_deg + 0.5:
        faults.append(message("print.overhang", angle=Angle(overhang, ".0f")))
    wall = 2.0 * settings.nozzle_mm
    thin = thin_patch(body, wall)
    if thin > 0.0:
        faults.append(message("print.thin", wall=Length(wall), over=Number(thin, ".1f")))
    return Printability(body.closes, bodies, flat, overhang, wall, thin, tuple(faults))


def _faces(body: Mesh) -> tuple[np.ndarray, np.ndarray]:
    a, b, c = (body.vertices[body.faces[:, i]] for i in range(3))
    n = np.cross(b - a, c - a)
    size = np.linalg.norm(n, axis=1)
    return np.divide(n, size[:, None], out=np.zeros_like(n), where=size[:, None] > 0), size / 2.0


def solid_of(body: Mesh) -> ManifoldSolid:
    """Return a closed mesh as a solid again."""
    from manifold3d import Manifold, Mesh64

    return Manifold(Mesh64(np.ascontiguousarray(body.vertices), body.faces.astype(np.uint64)))


def whole(body: Mesh, neck_mm: float) -> tuple[int, float]:
    """Return how many bodies a part is, and the largest patch (mm2) of slit in its lowest slice.

    Whatever stands in a part stands on its lowest slice, so what is one there is one altogether; and it is one there
    only if it still is with a rim as wide as half a neck taken off all round.
    """
    from manifold3d import JoinType

    if not body.closes:
        return len(body.components()), 0.0
    solid = solid_of(body)
    foot = solid.slice(SLICE_MM)
    eroded = foot.offset(-neck_mm / 2.0, JoinType.Miter, 4.0)
    cores = sum(piece.area() > neck_mm**2 for piece in eroded.decompose())
    half = SLIT_MM / 2.0
    filled = foot.offset(half, JoinType.Miter, 2.0).offset(-half, JoinType.Miter, 2.0) - foot
    slit = max((float(p.area()) for p in filled.decompose()), default=0.0)
    return max(len(body.components()), cores), slit


def levels_of(body: Mesh) -> list[float]:
    """Return heights at which every kind of cross-section of the part is met: between its corners' heights."""
    heights = np.unique(np.round(body.vertices[:, 2], 2))
    middles = (heights[1:] + heights[:-1]) / 2.0
    wide = middles[np.diff(heights) > 0.25]
    return [float(z) for z in (wide if len(wide) <= 40 else wide[:: len(wide) // 40 + 1])]


def thin_patch(body: Mesh, wall: float) -> float:
    """Return the area of the largest patch of a slice that a disc as wide as a wall must be does not reach, mm2.

    What is thicker a little way down is the crest of a slope or the land between engraved lines, and no wall.
    """
    from manifold3d import JoinType

    solid = solid_of(body)
    worst = 0.0
    for z in levels_of(body):
        section = solid.slice(z)
        lost = section - section.offset(-wall / 2.0 + 0.01, JoinType.Miter, 4.0).offset(
            wall / 2.0 + 0.02, JoinType.Miter, 4.0
        )
        lost = lost.offset(-SKIN_MM / 2.0, JoinType.Miter, 4.0)
        if lost.area() < 0.1 or z < CREST_MM:
            continue
        below = solid.slice(z - CREST_MM)
        carried = below.offset(-wall / 2.0 + 0.01, JoinType.Miter, 4.0).offset(wall / 2.0 + 0.02, JoinType.Miter, 4.0)
        for patch in (lost - carried).offset(-2.0 * SKIN_MM, JoinType.Miter, 4.0).decompose():
            worst = max(worst, float(patch.area()))
    return worst if worst >= 0.1 else 0.0


def total_of(parts: Sequence[Plastic]) -> Plastic:
    """Return what several parts take together."""
    volume, plastic = sum(p.volume_cm3 for p in parts), sum(p.plastic_cm3 for p in parts)
    return Plastic(volume, plastic, sum(p.mass_g for p in parts), sum(p.hours for p in parts))


def plastic_for(body: Mesh, settings: Print) -> Plastic:
    """Estimate what a part takes to print.

    The skin is printed solid, as many lines thick as the settings say, and the rest at the share of infill; the
    time is the plastic at the average rate, which has the moves in it.
    """
    skin = settings.walls * settings.nozzle_mm
    solid = body.volume
    shell = min(solid, body.area * skin)
    plastic = shell + settings.infill * (solid - shell)
    hours = plastic / 1e3 / settings.rate_cm3_h
    return Plastic(solid / 1e3, plastic / 1e3, plastic / 1e3 * settings.density_g_cm3, hours)
