"""What is left out of a tower under its saddle: two pockets, so that two flanges and a rib between them are left.

The flanges stand along the leg, under the cheeks; the rib joins them midway. Each pocket is open towards an end of the
tower, and its roof climbs from the rib outwards at 45 degrees, so that it prints without supports.

Of a rectangle w across and l along, flanges and rib of thickness t keep 1 - (1 - 2 t / w)^3 (1 - t / l) of what it has
against bending across the leg, which is what a slot is judged by, and about 2 t / w of what it has along it (second
moments of area about the middle; first principles). With a tenth of w that is a half and a fifth; a tower with a
stop, which is leant on along the leg, keeps a third there.
"""

import numpy as np

from pipemodel.jigs.run_in_jig import Array
from pipemodel.jigs.towers import LINE_DEPTH_MM, REACH_MM, Tower
from pipemodel.job.jig import Print

RIB_MM, STOP_RIB_MM = 1.6, 2.4
"""How thick flanges and rib are: four lines of a common nozzle, six in a tower with a stop."""
ROOF_MM = 3.0
"""What is left under the lines in a channel's floor."""
LEAST_HIGH_MM = 6.0
"""A pocket lower than this at the rib is not worth leaving out."""


def rib_mm(tower: Tower) -> float:
    """Return how thick the flanges and the rib of a tower are."""
    return STOP_RIB_MM if tower.cradle.stop else RIB_MM


def cores(tower: Tower) -> list[Array]:
    """Return the points (8, 3) whose hulls are the pockets of a tower; none where it is too low, or on timber."""
    if tower.ear:
        return []
    rib, middle = rib_mm(tower), (tower.foot[0] + tower.foot[1]) / 2.0
    return [
        _core(tower, side, middle + side * rib / 2.0, top)
        for side in (-1, 1)
        if (top := core_top(tower, side)) - tower.seat - tower.plate >= LEAST_HIGH_MM
    ]


def core_top(tower: Tower, side: int) -> float:
    """Return how high a pocket's roof begins, at the rib."""
    under = -(tower.radius + tower.clearance) - (LINE_DEPTH_MM + ROOF_MM) / tower.place.stretch
    rib = (tower.foot[0] + tower.foot[1] + side * rib_mm(tower)) / 2.0
    edge = tower.foot[(side + 1) // 2]
    return min(tower.place.height(edge, under) - abs(edge - rib), tower.place.height(rib, under))


def tower_plastic(tower: Tower, making: Print) -> float:
    """Return about how much plastic a tower takes as printed, channel and all, mm3: skin, infill, flanges and rib."""
    high = tower.height - tower.seat
    if tower.ear:  # Small as it is, nearly all of it is skin.
        return (tower.top[1] - tower.top[0]) * 2.0 * tower.half * high
    stem = max(core_top(tower, side) for side in (-1, 1)) - tower.seat if cores(tower) else 0.0
    long = (tower.foot[1] - tower.foot[0] + tower.top[1] - tower.top[0]) / 2.0
    wide = (tower.foot[3] - tower.foot[2]) / 2.0 + tower.half
    rib = rib_mm(tower)
    head = high - stem
    solid = long * wide * head
    shell = min(solid, (2.0 * (long + wide) * head + long * wide) * making.walls * making.nozzle_mm)
    return shell + making.infill * (solid - shell) + stem * rib * (2.0 * long + wide - 2.0 * rib)


def _core(tower: Tower, side: int, rib: float, top: float) -> Array:
    low = tower.seat + tower.plate
    out = max(side * tower.foot[(side + 1) // 2], side * tower.top[(side + 1) // 2]) * side + side * REACH_MM
    corners = [(rib, low), (out, low), (rib, top), (out, top + abs(out - rib))]
    return np.array([tower.place.point(a, b, z) for a, z in corners for b in _between(tower, z)])


def _between(tower: Tower, z: float) -> tuple[float, float]:
    """Return from where to where across the leg a pocket reaches at a height: a flange's thickness within the block."""
    lid = min(tower.place.height(a, tower.radius + tower.clearance) for a in tower.top)
    share = min(1.0, max(0.0, (z - tower.seat) / (lid - tower.seat)))
    left, right = (
        edge + (sign * tower.half - edge) * share for edge, sign in ((tower.foot[2], -1), (tower.foot[3], 1))
    )
    return left + rib_mm(tower), right - rib_mm(tower)
