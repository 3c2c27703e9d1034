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
from pipemodel.geometry.centreline import Centreline
from pipemodel.geometry.distance.broad import Asked, measure
from pipemodel.geometry.distance.meshes import Meshes
from pipemodel.geometry.distance.paths import PathEnds, Paths, paths_of
from pipemodel.geometry.distance.targets import Least, Nearest
from pipemodel.geometry.shapes.base import Signed
from pipemodel.geometry.shapes.polyhedron import Polyhedron

CLOSE_MM = 1e-3
"""How near along the tube a deepest place is closed in on."""
SPOKES = 48
"""How many places round a rim are looked at before closing in."""
LOOKS_PER_RADIUS = 4
"""How many places along the axis are looked at, at the finest, in a stretch as long as the tube's radius."""
MOST_LOOKS = 50_000
"""More places than this are not looked at: only a tube that lies in a surface for tens of metres takes so many."""
MOST_DIPS = 256
"""So many deepest places are closed in on."""

_Offer: TypeAlias = tuple[float, float, Floats, Floats]
"""A distance, where along the run, the tube's point and the surface's."""


def measure_depths(
    paths: Paths,
    ends: PathEnds,
    meshes: Meshes,
    solids: Mapping[int, Callable[[], Signed]],
    convex: Callable[[int], Polyhedron | None],
    least: Least,
    asked: Asked,
) -> None:
    """Say again how runs stand to closed surfaces, where they touch them or may lie wholly within them.

    Args:
        paths: the pieces of the runs.
        ends: the runs' flat ends, two for each in order.
        meshes: the surfaces.
        solids: makes the signed distance to each owner whose surface is closed.
        convex: returns one of them as a convex solid with flat sides, None where it is none.
        least: holds the distances to the surfaces as sheets, and takes the answers.
        asked: which runs against which owners.
    """
    asked = asked.take(np.flatnonzero(np.isin(asked.owner, list(solids))))
    if not len(asked.key):
        return
    low, high = meshes.bounds_of(asked.owner)
    touched = least.distance[asked.key] <= 0.0
    maybe = np.flatnonzero(touched | inside(ends.centre[2 * asked.run], low, high))
    made: dict[int, Signed] = {}
    for i in maybe.tolist():
        run, owner, key = int(asked.run[i]), int(asked.owner[i]), int(asked.key[i])
        signed = made[owner] = made[owner] if owner in made else solids[owner]()
        # Clear of the surface a run is all inside or all outside, so that one place on the axis tells.
        if touched[i] or signed(ends.centre[2 * run][None])[0][0] < 0.0:
            solid = convex(owner)
            if solid is not None:
                _measure_convex(paths, ends, run, solid, least, key)
            else:
                _measure(paths, ends, run, signed, least, key, not touched[i])


def measure_depth(line: Centreline, outside_mm: float, signed: Signed) -> Nearest | None:
    """Return how deep a tube lies in a solid, and where; None for one that does not reach into it.

    Args:
        line: the axis of the tube.
        outside_mm: its outside diameter.
        signed: measures points against the solid.
    """
    paths, ends = paths_of([line], [outside_mm])
    least, radius = Least(1), outside_mm / 2.0
    places = np.linspace(0.0, line.length, int(line.length / radius) + 2)
    within = signed(np.array([line.point_at(s) for s in places]))[0].max() < -radius
    _measure(paths, ends, 0, signed, least, 0, bool(within))
    return None if least.by[0] < 0 else least.answers()[0]


def _measure_convex(paths: Paths, ends: PathEnds, run: int, solid: Polyhedron, least: Least, key: int) -> None:
    """Measure one run in a convex solid, as it is measured in a box."""
    own = Least(1)
    measure(paths, ends, solid, own, Asked(np.array([run]), np.zeros(1, dtype=np.int64), np.zeros(1, dtype=np.int64)))
    for mine, its in zip(
        (least.distance, least.at, least.point, least.other, least.by),
        (own.distance, own.at, own.point, own.other, own.by),
        strict=True,
    ):
        mine[key] = its[0]


def _measure(paths: Paths, ends: PathEnds, run: int, signed: Signed, least: Least, key: int, within: bool) -> None:
    """Measure one run in one surface; `within` tells that it lies wholly within it."""
    rows = np.arange(*np.searchsorted(paths.owner, (run, run + 1)))
    radius = float(paths.tube[rows[0]])
    both = [2 * run, 2 * run + 1]
    # A rim is no deeper than its middle by more than its radius.
    middles = signed(ends.centre[both])[0] - radius
    deep = [end for end, most in zip(both, middles, strict=True) if most < 0.0]
    offers = [_round_rim(ends, end, radius, signed) for end in deep]
    beaten = min((offer[0] for offer in offers), default=0.0) + radius
    along = _along_axis(paths, rows, radius, signed, beaten, within)
    found = [offer for offer in (along, *offers) if offer is not None]
    if not found:
        return
    deepest = min(found, key=lambda offer: offer[0])
    if deepest[0] >= 0.0:
        return  # a spike through an end disc, which is known from the sheet
    least.distance[key], least.at[key], least.point[key], least.other[key] = deepest
    least.by[key] = run


def _along_axis(paths: Paths, rows: Ints, radius: float, signed: Signed, beaten: float, within: bool) -> _Offer | None:
    """Return the place along the axis where it is deepest in the surface, or nearest to it from outside.

    None where it has no such place but its ends, or none with an axis deeper than `beaten`. The ends count for a run
    wholly `within`; see the module `within`. The distance changes no faster than one goes along the axis: so a
    stretch is divided only while it can hold something deeper.
    """
    whole = float(paths.at0[rows[-1]] + paths.length[rows[-1]])

    def points_at(at: Floats) -> Floats:
        k = rows[np.maximum(np.searchsorted(paths.at0[rows], at, "right") - 1, 0)]
        return paths.at(k, at - paths.at0[k])[0]

    def values_at(at: Floats) -> Floats:
        # Where the axis is farther out than the tube is wide nothing is worth a look.
        points = points_at(at)
        near = inside(points, signed.low - 2.0 * radius, signed.high + 2.0 * radius)
        value = np.full(len(at), np.inf)
        if near.any():
            value[near] = signed(points[near])[0]
        return value

    fine = radius / LOOKS_PER_RADIUS
    lo, hi = _near_parts(paths, rows, signed.low - 2.0 * radius, signed.high + 2.0 * radius)
    lo, hi = _shortened(lo, hi, max(8.0 * radius, float((hi - lo).sum()) / (MOST_LOOKS / 4.0)) if len(lo) else 1.0)
    best = min(beaten, radius)
    spread, looks = hi - lo, len(lo)
    flo, fhi = values_at(lo), values_at(hi)
    while len(lo) and float(spread.max()) > fine and looks < MOST_LOOKS:
        middle = 0.5 * (lo + hi)
        value = values_at(middle)
        looks += len(middle)
        dip = np.isfinite(value) & (value <= flo) & (value <= fhi)
        best = min(best, float(value[dip].min())) if dip.any() else best
        lo, hi = np.concatenate([lo, middle]), np.concatenate([middle, hi])
        flo, fhi = np.concatenate([flo, value]), np.concatenate([value, fhi])
        spread = hi - lo
        # Beyond the block round the surface the value is not worked out: such an end says nothing.
        floor = 0.5 * (np.where(np.isfinite(flo), flo, fhi) + np.where(np.isfinite(fhi), fhi, flo) - spread)
        floor = np.where(np.isfinite(flo) & np.isfinite(fhi), floor, np.minimum(flo, fhi) - spread)
        keep = np.flatnonzero(floor <= best)
        lo, hi, flo, fhi, spread = lo[keep], hi[keep], flo[keep], fhi[keep], spread[keep]
    at, first = np.unique(np.concatenate([lo, hi]), return_index=True)
    value = np.concatenate([flo, fhi])[first]
    # At a flat end that went in only a level place counts, and that one is found on the rim as well.
    step = float(spread.max()) if len(spread) else fine
    some = np.flatnonzero((value <= best + step) & (within | ((at > 0.0) & (at < whole))))
    some = np.sort(some[np.argsort(value[some], kind="stable")[:MOST_DIPS]])
    at, value = at[some], value[some]
    before, after = np.maximum(at - step, 0.0), np.minimum(at + step, whole)
    dips = np.flatnonzero((value <= values_at(before)) & (value <= values_at(after)))
    if not len(dips):
        return None
    where, depth, point, nearest = _closed_in(signed, points_at, before[dips], after[dips])
    gap = float(lengths(point - nearest))
    away = (point - nearest) * ((1.0 if depth > 0.0 else -1.0) / gap if gap > 0.0 else 0.0)
    return depth - radius, where, point - radius * away, nearest


def _near_parts(paths: Paths, rows: Ints, low: Floats, high: Floats) -> tuple[Floats, Floats]:
    """Return from where to where pieces of a run pass through a block, as positions along the run."""
    origin, u, length = paths.origin[rows], paths.u[rows], paths.length[rows]
    straight = ~paths.bent[rows][:, None]
    with np.errstate(divide="ignore", invalid="ignore"):
        one, other = (low - origin) / u, (high - origin) / u
    level = straight & (u == 0.0)
    missed = (level & ((origin < low) | (origin > high))).any(axis=1)
    free = ~straight | level
    enter = np.where(free, -np.inf, np.fmin(one, other)).max(axis=1)
    leave = np.where(free, np.inf, np.fmax(one, other)).min(axis=1)
    enter, leave = np.clip(enter, 0.0, length), np.clip(leave, 0.0, length)
    apart = ((paths.low[rows] > high) | (paths.high[rows] < low)).any(axis=1)
    some = np.flatnonzero((leave > enter) & ~missed & ~apart)
    return paths.at0[rows][some] + enter[some], paths.at0[rows][some] + leave[some]


def _shortened(lo: Floats, hi: Floats, longest: float) -> tuple[Floats, Floats]:
    """Cut stretches into equal ones no longer than `longest`."""
    count = np.maximum(np.ceil((hi - lo) / longest), 1.0).astype(np.int64)
    row, number = steps(count)
    width = (hi - lo)[row] / count[row]
    return lo[row] + number * width, lo[row] + (number + 1) * width


def _round_rim(ends: PathEnds, end: int, radius: float, signed: Signed) -> _Offer:
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
