"""How a bender stands before whoever pulls, and which way things point for them.

The bender's own frame is the same either way (docs/bending.md): x along the straight tube towards the free end, y from
the former's centre to the tube, z out of the plane of the pull. Flat on a bench, z is up and the pull comes towards
whoever pulls. Upright in front of them, y is up, z comes towards them, and the pull goes down.
"""

from typing import Literal, TypeAlias

from pipemodel.geometry.vectors import Vec3
from pipemodel.trade.benders import Stance as Stance

Way: TypeAlias = Literal["up", "down", "you", "away from you", "left", "right"]


def seen(stance: Stance, v: Vec3) -> Vec3:
    """Return a direction of the bender's frame for whoever pulls: to the right, away from them, and up."""
    x, y, z = v
    return v if stance == "flat" else (x, -z, y)


def in_bender(stance: Stance, v: Vec3) -> Vec3:
    """Return a direction given as whoever pulls sees it, in the bender's frame; undoes `seen`."""
    x, y, z = v
    return v if stance == "flat" else (x, z, -y)


def way_of(v: Vec3) -> Way:
    """Return in a word which way something points that is given as whoever pulls sees it, by its largest part."""
    x, y, z = v
    if abs(z) > max(abs(x), abs(y)):
        return "up" if z > 0.0 else "down"
    return level_way(v)


def level_way(v: Vec3) -> Way:
    """Return the same of what points level, or of its shadow on the floor."""
    x, y, _ = v
    if abs(y) >= abs(x):
        return "you" if y < 0.0 else "away from you"
    return "right" if x > 0.0 else "left"
