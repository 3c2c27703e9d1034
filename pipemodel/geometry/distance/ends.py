"""The flat ends of a tube against its surroundings: the rim, and the disc within it.

Sliding along the axis sees a tube with round ends. Near a flat end the nearest point is on the side (found by
sliding), on the rim (a circle, slid along as well), or on the disc, and then straight ahead of it lies a point
of the target that reaches furthest towards the end.
"""

import numpy as np

from pipemodel.geometry.arrays import Floats, dots, lengths
from pipemodel.geometry.distance.paths import PathEnds, rims_of
from pipemodel.geometry.distance.sweep import Accept, Sweep
from pipemodel.geometry.distance.targets import Least, Pairs
from pipemodel.geometry.shapes.base import Targets


def measure_ends(ends: PathEnds, targets: Targets, least: Least, pairs: Pairs, accept: Accept | None = None) -> None:
    """Measure flat ends against targets, where they could be nearer than what `least` has.

    Args:
        ends: the flat ends.
        targets: what they are measured against.
        least: takes the answers.
        pairs: rows of `ends` (as `path`) and of `targets`.
        accept: what may count, as for `Sweep`.
    """
    if not len(pairs):
        return
    centre, radius = ends.centre[pairs.path], ends.tube[pairs.path]
    at_centre, away = targets.field(pairs.target, centre)
    near = np.flatnonzero(at_centre - radius < least.distance[pairs.key] - 1e-9)
    if not len(near):
        return
    pairs, at_centre, away = pairs.take(near), at_centre[near], away[near]
    Sweep(rims_of(ends), targets, least, accept).run(pairs)
    tips = targets.extremes(pairs.target, -ends.facing[pairs.path])
    if tips.shape[1]:
        _ahead(ends, targets, least, pairs, tips, accept)
        if accept is None:
            touched = np.flatnonzero(at_centre < ends.tube[pairs.path])
            _pierced(ends, targets, least, pairs.take(touched), tips[touched], at_centre[touched], away[touched])


def _ahead(ends: PathEnds, targets: Targets, least: Least, pairs: Pairs, tips: Floats, accept: Accept | None) -> None:
    """Offer the points of the targets that lie straight ahead of the discs."""
    end = pairs.path
    centre, facing = ends.centre[end], ends.facing[end]
    height = dots(tips - centre[:, None], facing[:, None])
    foot = tips - height[..., None] * facing[:, None]
    over = (lengths(foot - centre[:, None]) <= ends.tube[end, None]) & (height >= 0.0)
    for k in range(tips.shape[1]):
        rows = np.flatnonzero(over[:, k])
        if accept is not None and len(rows):
            value, away = targets.field(pairs.target[rows], foot[rows, k])
            nearest = np.abs(value - height[rows, k]) <= 1e-9
            rows = rows[nearest & accept(pairs.target[rows], foot[rows, k], away)]
        _offer(ends, least, pairs.take(rows), height[rows, k], foot[rows, k], tips[rows, k])


def _pierced(
    ends: PathEnds, targets: Targets, least: Least, pairs: Pairs, tips: Floats, at_centre: Floats, away: Floats
) -> None:
    """Offer what goes through the discs: it may do so without touching the rim, and no rim is ever within a sheet.

    To part the two, the tube is drawn back until it clears the tip, moved away from what is nearest to its middle, or
    square off a sheet, whichever is least.
    """
    if not len(pairs):
        return
    centre, facing, radius = ends.centre[pairs.path], ends.facing[pairs.path], ends.tube[pairs.path]
    holes = targets.piercings(pairs.target, centre, facing)
    within = lengths(holes - centre[:, None]) <= radius[:, None]
    hole = np.take_along_axis(holes, np.argmax(within, axis=1)[:, None, None], axis=1)[:, 0]
    back = np.fmin.reduce(dots(tips - centre[:, None], facing[:, None]), axis=1)
    # Of a hollow target, clear of what is nearest is not yet clear of all.
    hollow = targets.concavity[pairs.target] > 0.0
    sideways = at_centre - np.where(hollow, radius, _reach(radius, dots(away, facing)))
    normal = targets.sheets(pairs.target)
    if normal is not None:
        height = dots(centre - tips[:, 0], normal)
        lean = dots(normal, facing) * np.where(height < 0.0, -1.0, 1.0)
        sideways = np.maximum(sideways, np.abs(height) - _reach(radius, lean))
    depth = np.maximum(sideways, np.minimum(back, 0.0))
    rows = np.flatnonzero(within.any(axis=1))
    _offer(ends, least, pairs.take(rows), depth[rows], hole[rows], hole[rows])


def _reach(radius: Floats, lean: Floats) -> Floats:
    """Return how far tubes reach from the middle of an end against a direction, which leans so much out of the end."""
    out: Floats = radius * np.where(lean < 0.0, np.sqrt(np.maximum(1.0 - lean * lean, 0.0)), 1.0)
    return out


def _offer(ends: PathEnds, least: Least, pairs: Pairs, distance: Floats, point: Floats, other: Floats) -> None:
    if len(pairs):
        least.offer(pairs.key, distance, ends.owner[pairs.path], ends.at[pairs.path], point, other)
