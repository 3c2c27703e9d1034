"""How deep a tube lies in a closed surface: a mesh with an inside, or an outline carried up.

Against the triangles themselves every distance is exact, but a sheet has no inside: where the axis goes through
the surface, or the whole tube lies within it, the depth is found here, by walking along the axis and round the
rims with the signed distance. It is the same measure as for the other shapes (the axis' own depth plus the
tube's radius; at a flat end the depth of the rim), closed in on to about `CLOSE_MM`.
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
                _measure(paths, ends, run, signed, least, int(keys[run, owner]))


def _measure(paths: Paths, ends: Ends, run: int, signed: Signed, least: Least, key: int) -> None:
    rows = np.flatnonzero(paths.owner == run)
    radius = float(paths.tube[rows[0]])
    offers = _along_axis(paths, rows, radius, signed)
    offers += [_round_rim(ends, end, radius, signed) for end in (2 * run, 2 * run + 1)]
    deepest = min(offers, key=lambda offer: offer[0])
    if deepest[0] >= 0.0:
        return  # a spike through an end disc, which the sheet has told of
    least.distance[key], least.at[key], least.point[key], least.other[key] = deepest
    least.by[key] = run


def _along_axis(paths: Paths, rows: Ints, radius: float, signed: Signed) -> list[_Offer]:
    """Return the places along the axis where it is deepest in the surface, or nearest to it from outside."""

    def point_at(at: float) -> Floats:
        k = int(np.searchsorted(paths.at0[rows], at, "right")) - 1
        return paths.at(rows[k : k + 1], np.array([at - paths.at0[rows[k]]]))[0]

    count = np.ceil(paths.length[rows] * LOOKS_PER_RADIUS / radius).astype(np.int64) + 1
    piece, number = steps(count + 1)
    s = paths.length[rows][piece] * number / count[piece]
    at = paths.at0[rows][piece] + s
    points, _ = paths.at(rows[piece], s)
    once = np.append(True, np.diff(at) > 1e-9)  # joints are on two pieces
    at, points = at[once], points[once]
    # Where the axis is farther out than the tube is wide nothing is worth a look.
    near = ((points >= signed.low - 2.0 * radius) & (points <= signed.high + 2.0 * radius)).all(axis=1)
    value = np.full(len(at), np.inf)
    if near.any():
        value[near] = signed(points[near])[0]
    # At a flat end only a level place counts, and that one is found on the rim as well.
    inner = value[1:-1]
    dips = np.flatnonzero((inner <= radius) & (inner <= value[:-2]) & (inner <= value[2:])) + 1
    out: list[_Offer] = []
    for k in dips.tolist():
        where, depth, point, nearest = _closed_in(signed, point_at, at[k - 1], at[k + 1])
        gap = float(lengths((point - nearest)[None])[0])
        away = (point - nearest) * ((1.0 if depth > 0.0 else -1.0) / gap if gap > 0.0 else 0.0)
        out.append((depth - radius, where, point - radius * away, nearest))
    return out


def _round_rim(ends: Ends, end: int, radius: float, signed: Signed) -> _Offer:
    """Return the deepest place on the rim of an end."""
    u = normals_to(ends.facing[end : end + 1])
    v = np.cross(ends.facing[end : end + 1], u)

    def point_at(turn: float) -> Floats:
        out: Floats = ends.centre[end] + radius * (np.cos(turn) * u + np.sin(turn) * v)
        return out

    turns = np.linspace(0.0, 2.0 * np.pi, SPOKES, endpoint=False)
    deepest = turns[np.argmin(signed(np.concatenate([point_at(t) for t in turns.tolist()]))[0])]
    _, depth, point, nearest = _closed_in(signed, point_at, deepest - turns[1], deepest + turns[1])
    return depth, float(ends.at[end]), point, nearest


def _closed_in(
    signed: Signed, point_at: Callable[[float], Floats], a: float, b: float
) -> tuple[float, float, Floats, Floats]:
    """Return where between a and b the signed distance is least, how much, and between which points.

    By the golden section; `point_at` gives a point as one row, (1, 3).
    """
    golden = 0.5 * (5.0**0.5 - 1.0)

    def look(at: float) -> tuple[float, float, Floats, Floats]:
        point = point_at(at)
        value, nearest = signed(point)
        return at, float(value[0]), point[0], nearest[0]

    x, y = look(b - golden * (b - a)), look(a + golden * (b - a))
    while b - a > CLOSE_MM:
        if x[1] <= y[1]:
            b, y = y[0], x
            x = look(b - golden * (b - a))
        else:
            a, x = x[0], y
            y = look(a + golden * (b - a))
    return x if x[1] <= y[1] else y
