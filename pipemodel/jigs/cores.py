"""What is left out of a tower under its saddle: two pockets, so that two flanges and a rib between them are left.

The flanges stand along the leg, under the cheeks; the rib joins them midway. Each pocket is open towards an end of the
tower, and its roof climbs from the rib outwards at 50 degrees, so that it prints without supports.

A push F across the leg at the top, H up, moves a tower by the integral of F (H - z)^2 / (E I(z)): I(z), of a
section w across and l along with flanges and rib t thick, is (w^3 l - (w - 2 t)^3 (l - t)) / 12 (second moments of area
about the middle, cantilever by moment area; first principles). docs/jig.md says what that comes to.
"""

from math import radians, tan

import numpy as np

from pipemodel.jigs.run_in_jig import Array
from pipemodel.jigs.towers import LINE_DEPTH_MM, REACH_MM, Tower
from pipemodel.job.jig import Print

RIB_MM, STOP_RIB_MM = 1.2, 1.6
"""How thick flanges and rib are: three lines of a common nozzle, four in a tower with a stop."""
CLIMB = tan(radians(50.0))
"""How steeply roofs climb: a little steeper than the 45 degrees that print without supports."""
ROOF_MM = 2.4
"""What is left under the lines in a channel's floor."""
LEAST_HIGH_MM = 3.0
"""A pocket lower than this at the rib is not worth leaving out."""


def rib_mm(tower: Tower) -> float:
    """Return how thick the flanges and the rib of a tower are."""
    return STOP_RIB_MM if tower.cradle.stop else RIB_MM


def cores(tower: Tower) -> list[Array]:
    """Return the points (8, 3) whose hulls are the pockets of a tower; none where it is too low, or on timber."""
    if tower.ear:
        return []
    return [
        _core(tower, side, top)
        for side in (-1, 1)
        if (top := core_top(tower, side)) - tower.seat - tower.plate >= LEAST_HIGH_MM
    ]


def core_top(tower: Tower, side: int) -> float:
    """Return how high a pocket's roof begins, at the rib."""
    under = -(tower.radius + tower.clearance) - (LINE_DEPTH_MM + ROOF_MM) / tower.place.stretch
    rib = _rib(tower, side)
    top = tower.seat
    for _ in range(4):
        # The block is narrower the higher up: each round starts from where the last found it, so never too far in.
        edge = _edges(tower, top)[(side + 1) // 2]
        top = min(tower.place.height(edge, under) - CLIMB * abs(edge - rib), tower.place.height(rib, under))
    return top


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


def _rib(tower: Tower, side: int) -> float:
    """Return where along the leg a face of the rib stands."""
    return (tower.foot[0] + tower.foot[1] + side * rib_mm(tower)) / 2.0


def _core(tower: Tower, side: int, top: float) -> Array:
    low, rib = tower.seat + tower.plate, _rib(tower, side)
    out = max(side * tower.foot[(side + 1) // 2], side * tower.top[(side + 1) // 2]) * side + side * REACH_MM
    corners = [(rib, low), (out, low), (rib, top), (out, top + CLIMB * abs(out - rib))]
    return np.array([tower.place.point(a, b, z) for a, z in corners for b in _between(tower, z)])


def _between(tower: Tower, z: float) -> tuple[float, float]:
    """Return from where to where across the leg a pocket reaches at a height: a flange's thickness within the block."""
    left, right = _edges(tower, z)[2:]
    return left + rib_mm(tower), right - rib_mm(tower)


def _edges(tower: Tower, z: float) -> tuple[float, float, float, float]:
    """Return where the sides of the block stand at a height, or safely outside: along the leg, then across it."""
    lid = min(tower.place.height(a, tower.radius + tower.clearance) for a in tower.top)
    share = min(1.0, max(0.0, (z - tower.seat) / (lid - tower.seat)))
    ends = (*tower.top, -tower.half, tower.half)
    low, high, left, right = (f + (t - f) * share for f, t in zip(tower.foot, ends, strict=True))
    return low, high, left, right
