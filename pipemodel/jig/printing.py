"""Whether a part prints (closed, flat underneath, within the bed, no thin walls, no overhangs), and what it takes."""

from dataclasses import dataclass
from math import asin, degrees

import numpy as np

from pipemodel.jig.build import Body, Solid
from pipemodel.jig.split import MARGIN_MM
from pipemodel.job.jig import Bed, Print

SKIN_MM = 0.05
"""Thin spots narrower than this across are the rounding of corners, not walls."""

SLIVER_MM2 = 0.01
"""Triangles smaller than this face anywhere, by rounding."""
CREST_MM = 2.0
"""A thin spot that is thick enough this far down is no wall."""


@dataclass(frozen=True)
class Printability:
    """What was found of one part in the way it is printed.

    `overhang_deg` is the steepest overhang from upright (90 is a ceiling), `thin_mm2` the largest patch, in any
    slice, of wall thinner than `wall_mm`; `flat_mm2` lies on the bed. `faults` says what is wrong, if anything.
    """

    closed: bool
    flat_mm2: float
    overhang_deg: float
    wall_mm: float
    thin_mm2: float
    faults: tuple[str, ...]


@dataclass(frozen=True)
class Plastic:
    """What a part takes: its solid volume, the plastic printed, its mass, and the time in hours."""

    volume_cm3: float
    plastic_cm3: float
    mass_g: float
    hours: float


def check_part(body: Body, bed: Bed, settings: Print) -> Printability:
    """Check a part as it stands on the bed, z up."""
    faults: list[str] = []
    if not body.closed:
        faults.append("its mesh does not close")
    size = body.size
    room = (bed.x_mm - 2.0 * MARGIN_MM, bed.y_mm - 2.0 * MARGIN_MM, bed.z_mm)
    for reach, limit, name in zip(size, room, "xyz", strict=True):
        if reach > limit + 1e-6:
            faults.append(f"it reaches {reach:.1f} mm along {name}, and the bed has {limit:.1f}")
    normals, areas = _faces(body)
    low = body.vertices[body.faces][:, :, 2].max(axis=1) < 1e-6
    down = low & (normals[:, 2] < -0.999)
    flat = float(areas[down].sum())
    if flat < 20.0:
        faults.append(f"only {flat:.0f} mm2 of it lies on the bed")
    hanging = ~down & (areas > SLIVER_MM2)
    overhang = degrees(asin(min(1.0, max(0.0, float((-normals[hanging, 2]).max(initial=0.0))))))
    if overhang > settings.overhang_deg + 0.5:
        faults.append(f"an overhang of {overhang:.0f} degrees from upright")
    wall = 2.0 * settings.nozzle_mm
    thin = thin_patch(body, wall)
    if thin > 0.0:
        faults.append(f"walls thinner than {wall:g} mm over {thin:.1f} mm2 of a slice")
    return Printability(body.closed, flat, overhang, wall, thin, tuple(faults))


def _faces(body: Body) -> tuple[np.ndarray, np.ndarray]:
    a, b, c = (body.vertices[body.faces[:, i]] for i in range(3))
    n = np.cross(b - a, c - a)
    size = np.linalg.norm(n, axis=1)
    return np.divide(n, size[:, None], out=np.zeros_like(n), where=size[:, None] > 0), size / 2.0


def solid_of(body: Body) -> Solid:
    """Return a closed mesh as a solid again."""
    from manifold3d import Manifold, Mesh64

    return Manifold(Mesh64(np.ascontiguousarray(body.vertices), body.faces.astype(np.uint64)))


def levels_of(body: Body) -> list[float]:
    """Return heights at which every kind of cross-section of the part is met: between its corners' heights."""
    heights = np.unique(np.round(body.vertices[:, 2], 2))
    middles = (heights[1:] + heights[:-1]) / 2.0
    wide = middles[np.diff(heights) > 0.25]
    return [float(z) for z in (wide if len(wide) <= 40 else wide[:: len(wide) // 40 + 1])]


def thin_patch(body: Body, wall: float) -> float:
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


def plastic_for(body: Body, settings: Print) -> Plastic:
    """Estimate what a part takes to print.

    The skin is printed solid, as many lines thick as the settings say, and the rest at the share of infill; the
    time is the plastic at the average rate plus two seconds a layer. Expect it within a third of what a slicer says.
    """
    skin = settings.walls * settings.nozzle_mm
    solid = body.volume
    shell = min(solid, body.area * skin)
    plastic = shell + settings.infill * (solid - shell)
    layers = float(body.size[2]) / settings.layer_mm
    hours = (plastic / settings.speed_mm3_s + 2.0 * layers) / 3600.0
    return Plastic(solid / 1e3, plastic / 1e3, plastic / 1e3 * settings.density_g_cm3, hours)
