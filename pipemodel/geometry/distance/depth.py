"""How deep a tube lies in a closed surface: a mesh with an inside, or an outline carried up.

Against the triangles themselves every distance is exact, but a sheet has no inside: where the axis goes through
the surface, or the whole tube lies within it, the depth is found here, by walking along the axis and round the
rims with the signed distance. It is the same measure as for the other shapes (the axis' own depth plus the
tube's radius; at a flat end that went in, the depth of the rim), closed in on to about `CLOSE_MM`.
"""

from collections.abc import Callable, Mapping
from typing import TypeAlias

import numpy as np

from pipemodel.geometry.arrays import Floats, Ints, lengths, normals_to, steps
from pipemodel.geometry.bounds import inside
from pipemodel.geometry.distance.paths import Ends, Paths
from pipemodel.geometry.distance.signed import Signed
from pipemodel.geometry.distance.targets import Least
from pipemodel.geometry.distance.to_triangle import Triangles

CLOSE_MM = 1e-3
"""How near along the tube a deepest place is closed in on."""
SPOKES = 48
"""How many places round a rim are looked at before closing in."""
LOOKS_PER_RADIUS = 4
"""How many places along the axis are looked at in a stretch as long as the tube's radius."""

_Offer: TypeAlias = tuple[float, float, Floats, Floats]
"""A distance, where along the run, the tube's point and the surface's."""


def measure_depths(
    paths: Paths, ends: Ends, triangles: Triangles, solids: Mapping[int, Callable[[], Signed]], least: Least, keys: Ints
) -> None:
    """Say again how runs stand to closed surfaces, where they touch them or may lie wholly within them.

    Args:
        paths: the pieces of the runs.
        ends: the runs' flat ends, two for each in order.
        triangles: the surfaces.
        solids: makes the signed distance to each owner whose surface is closed.
        least: holds the distances to the surfaces as sheets, and takes the answers.
        keys: the answer that run i against owner j counts for.
    """
    closed = np.array(list(solids), dtype=np.int64)
    low, high = triangles.bounds_of_owners()
    start = ends.centre[::2, None]
    touched = least.distance[keys[:, closed]] <= 0.0
    maybe = touched | inside(start, low[closed], high[closed])
    for k in np.flatnonzero(maybe.any(axis=0)).tolist():
        owner = int(closed[k])
        signed = solids[owner]()
        for run in np.flatnonzero(maybe[:, k]).tolist():
            # Clear of the surface a run is all inside or all outside, so that one place on the axis tells.
            if touched[run, k] or signed(start[run])[0][0] < 0.0:
                _measure(paths, ends, run, signed, least, int(keys[run, owner]), not touched[run, k])


def _measure(paths: Paths, ends: Ends, run: int, signed: Signed, least: Least, key: int, whole: bool) -> None:
    """Measure one run in one surface; `whole` tells that it lies wholly within it."""
    rows = np.flatnonzero(paths.owner == run)
    radius = float(paths.tube[rows[0]])
    offers = [
        _along_axis(paths, rows, radius, signed, whole),
        *(_round_rim(ends, end, radius, signed) for end in (2 * run, 2 * run + 1)),
    ]
    deepest = min((offer for offer in offers if offer is not None), key=lambda offer: offer[0])
    if deepest[0] >= 0.0:
        return  # a spike through an end disc, which the sheet has told of
    least.distance[key], least.at[key], least.point[key], least.other[key] = deepest
    least.by[key] = run


def _along_axis(paths: Paths, rows: Ints, radius: float, signed: Signed, whole: bool) -> _Offer | None:
    """Return the place along the axis where it is deepest in the surface, or nearest to it from outside.

    None where it has no such place but its ends, which count for a run wholly within; see `within`.
    """

    def points_at(at: Floats) -> Floats:
        k = rows[np.searchsorted(paths.at0[rows], at, "right") - 1]
        return paths.at(k, at - paths.at0[k])[0]

    count = np.ceil(paths.length[rows] * LOOKS_PER_RADIUS / radius).astype(np.int64) + 1
    piece, number = steps(count + 1)
    s = paths.length[rows][piece] * number / count[piece]
    at = paths.at0[rows][piece] + s
    points, _ = paths.at(rows[piece], s)
    once = np.append(True, np.diff(at) > 1e-9)  # joints are on two pieces
    at, points = at[once], points[once]
    # Where the axis is farther out than the tube is wide nothing is worth a look.
    near = inside(points, signed.low - 2.0 * radius, signed.high + 2.0 * radius)
    value = np.full(len(at), np.inf)
    if near.any():
        value[near] = signed(points[near])[0]
    # At a flat end that went in only a level place counts, and that one is found on the rim as well.
    beside = np.concatenate([[np.inf], value, [np.inf]])
    low = (value <= radius) & (value <= beside[:-2]) & (value <= beside[2:])
    if not whole:
        low[[0, -1]] = False
    dips = np.flatnonzero(low)
    if not len(dips):
        return None
    where, depth, point, nearest = _closed_in(
        signed, points_at, at[np.maximum(dips - 1, 0)], at[np.minimum(dips + 1, len(at) - 1)]
    )
    gap = float(lengths(point - nearest))
    away = (point - nearest) * ((1.0 if depth > 0.0 else -1.0) / gap if gap > 0.0 else 0.0)
    return depth - radius, where, point - radius * away, nearest


def _round_rim(ends: Ends, end: int, radius: float, signed: Signed) -> _Offer:
    """Return the deepest place on the rim of an end."""
    u = normals_to(ends.facing[end])
    v = np.cross(ends.facing[end], u)

    def points_at(turn: Floats) -> Floats:
        out: Floats = ends.centre[end] + radius * (np.cos(turn)[:, None] * u + np.sin(turn)[:, None] * v)
        return out

    turns = np.linspace(0.0, 2.0 * np.pi, SPOKES, endpoint=False)
    deepest = turns[np.argmin(signed(points_at(turns))[0])][None]
    _, depth, point, nearest = _closed_in(signed, points_at, deepest - turns[1], deepest + turns[1])
    return depth, float(ends.at[end]), point, nearest


def _closed_in(
    signed: Signed, points_at: Callable[[Floats], Floats], a: Floats, b: Floats
) -> tuple[float, float, Floats, Floats]:
    """Return where the signed distance is least in some stretches from a to b, how much, and between which points.

    By the golden section, in all stretches at once; `points_at` gives the points at some places.
    """
    golden = 0.5 * (5.0**0.5 - 1.0)
    x, y = b - golden * (b - a), a + golden * (b - a)
    fx, fy = signed(points_at(x))[0], signed(points_at(y))[0]
    while float(np.max(b - a)) > CLOSE_MM:
        left = fx <= fy
        a, b = np.where(left, a, x), np.where(left, y, b)
        new = np.where(left, b - golden * (b - a), a + golden * (b - a))
        f = signed(points_at(new))[0]
        x, y = np.where(left, new, y), np.where(left, x, new)
        fx, fy = np.where(left, f, fy), np.where(left, fx, f)
    k = int(np.argmin(np.minimum(fx, fy)))
    at = np.where(fx <= fy, x, y)[k : k + 1]
    point = points_at(at)
    value, nearest = signed(point)
    return float(at[0]), float(value[0]), point[0], nearest[0]
