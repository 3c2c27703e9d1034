"""The pieces of centrelines, and the rims of tube ends, as rows of arrays: what slides past a thing.

Row i is the curve origin + a(s) u + b(s) v for s from 0 to its length: a = s, b = 0 on a straight, and
a = R cos(s / R), b = R sin(s / R) on an arc.
"""

from collections.abc import Sequence
from dataclasses import dataclass, fields, replace

import numpy as np

from pipemodel.geometry.arrays import Bools, Floats, Ints, normals_to
from pipemodel.geometry.bounds import arc_bounds, straight_bounds
from pipemodel.geometry.centreline import NO_LENGTH_MM, Arc, Centreline
from pipemodel.geometry.vectors import Vec3, cross


@dataclass(frozen=True)
class Paths:
    """Curves with a tube round them. All arrays have a row per curve.

    `tube` is the outside radius of the tube (0 for a rim, which is a bare line); `owner` tells which run it
    belongs to and `number` which piece of that run it is (of those with length); `before` and `after` say how
    much tube lies between it and the run's flat ends, and `open_start` and `open_finish` mark the pieces that
    end there. Position s on the curve is `at0 + rate * s` along the run.
    """

    origin: Floats
    u: Floats
    v: Floats
    radius: Floats
    curvature: Floats
    length: Floats
    tube: Floats
    owner: Ints
    number: Ints
    before: Floats
    after: Floats
    open_start: Bools
    open_finish: Bools
    at0: Floats
    rate: float
    low: Floats
    high: Floats

    def __len__(self) -> int:
        return len(self.length)

    @property
    def bent(self) -> Bools:
        """Which rows are arcs."""
        out: Bools = self.radius > 0.0
        return out

    def take(self, which: Ints | Bools) -> "Paths":
        """Return some of the curves."""
        picked = {f.name: getattr(self, f.name) for f in fields(self)}
        return Paths(**{k: v if k == "rate" else v[which] for k, v in picked.items()})

    def part(self, index: Ints, lo: Floats, hi: Floats) -> "Paths":
        """Return stretches of the curves, each from `lo` to `hi` along one of them, as curves of their own."""
        whole = self.take(index)
        turn = lo * whole.curvature
        c, s, bent = np.cos(turn)[:, None], np.sin(turn)[:, None], whole.bent
        u, v = np.where(bent[:, None], c * whole.u + s * whole.v, whole.u), c * whole.v - s * whole.u
        v[~bent] = 0.0
        low, high = self.bounds_of(index, lo, hi)
        return replace(
            whole,
            origin=whole.origin + np.where(bent, 0.0, lo)[:, None] * whole.u,
            u=u,
            v=v,
            length=hi - lo,
            before=whole.before + lo,
            after=whole.after + whole.length - hi,
            open_start=whole.open_start & (lo <= 0.0),
            open_finish=whole.open_finish & (hi >= whole.length),
            at0=whole.at0 + whole.rate * lo,
            low=low,
            high=high,
        )

    def bounds_of(self, index: Ints, lo: Floats, hi: Floats) -> tuple[Floats, Floats]:
        """Return the low and high corners of the blocks that hold stretches of the curves, tube left out."""
        origin, u = self.origin[index], self.u[index]
        low, high = straight_bounds(origin + lo[:, None] * u, u, hi - lo)
        bent = np.flatnonzero(self.radius[index] > 0.0)
        if len(bent):
            row = index[bent]
            turn = lo[bent] * self.curvature[row]
            c, s = np.cos(turn)[:, None], np.sin(turn)[:, None]
            angle = (hi - lo)[bent] * self.curvature[row]
            ahead, across = c * u[bent] + s * self.v[row], c * self.v[row] - s * u[bent]
            low[bent], high[bent] = arc_bounds(origin[bent], ahead, across, self.radius[row], angle)
        return low, high

    def at(self, index: Ints, s: Floats) -> tuple[Floats, Floats]:
        """Return the points s mm along the curves, and the unit directions of travel there; both (n, 3)."""
        u, v = self.u[index], self.v[index]
        radius = self.radius[index]
        bent = radius > 0.0
        angle = s * self.curvature[index]
        c, n = np.cos(angle), np.sin(angle)
        point = self.origin[index] + np.where(bent, radius * c, s)[:, None] * u
        point += (radius * n)[:, None] * v
        heading = np.where(bent, -n, 1.0)[:, None] * u
        heading += (c * bent)[:, None] * v
        return point, heading

    def within_tube(self, index: Ints, s: Floats) -> Bools:
        """Return where a ball as wide as the tube, set on the axis, stays within the tube's flat ends."""
        end = np.minimum(self.before[index] + s, self.after[index] + self.length[index] - s)
        out: Bools = end >= 4.0 * self.tube[index]
        return out

    def at_end(self, index: Ints, s: Floats) -> Bools:
        """Return which positions are the very ends of runs."""
        out: Bools = (self.open_start[index] & (s <= 0.0)) | (self.open_finish[index] & (s >= self.length[index]))
        return out


@dataclass(frozen=True)
class PathEnds:
    """The flat ends of runs, a row each.

    `facing` is the unit direction out of the tube, `number` the piece that ends there, `at` 0 or the length.
    """

    centre: Floats
    facing: Floats
    tube: Floats
    owner: Ints
    number: Ints
    at: Floats


def paths_of(lines: Sequence[Centreline], outside_mm: Sequence[float]) -> tuple[Paths, PathEnds]:
    """Lay out centrelines as rows, run after run in order of travel.

    Args:
        lines: the centrelines.
        outside_mm: the outside diameter of each one's tube.
    """
    rows: list[tuple[Vec3, Vec3, Vec3, float, float]] = []
    numbers: list[tuple[int, int, float, float, float]] = []
    flags: list[tuple[bool, bool]] = []
    ends: list[tuple[Vec3, Vec3, float, int, int, float]] = []
    for run, (line, outside) in enumerate(zip(lines, outside_mm, strict=True)):
        kept = [i for i, piece in enumerate(line.pieces) if piece.length > NO_LENGTH_MM]
        tube = outside / 2.0
        for number, i in enumerate(kept):
            piece = line.pieces[i]
            if isinstance(piece, Arc):
                rows.append((piece.centre, piece.spoke, cross(piece.axis, piece.spoke), piece.radius, piece.length))
            else:
                rows.append((piece.start, piece.direction, (0.0, 0.0, 0.0), 0.0, piece.length))
            numbers.append((run, number, tube, line.offsets[i], line.length - line.offsets[i + 1]))
            flags.append((i == kept[0], i == kept[-1]))
        first, last = line.pieces[0], line.pieces[-1]
        back = first.direction_at(0.0)
        ends.append((line.start, (-back[0], -back[1], -back[2]), tube, run, 0, 0.0))
        ends.append((line.finish, last.direction_at(last.length), tube, run, len(kept) - 1, line.length))
    return _paths(rows, numbers, flags), PathEnds(
        np.array([e[0] for e in ends]).reshape(-1, 3),
        np.array([e[1] for e in ends]).reshape(-1, 3),
        np.array([e[2] for e in ends], dtype=float),
        np.array([e[3] for e in ends], dtype=np.int64),
        np.array([e[4] for e in ends], dtype=np.int64),
        np.array([e[5] for e in ends], dtype=float),
    )


def _paths(
    rows: list[tuple[Vec3, Vec3, Vec3, float, float]],
    numbers: list[tuple[int, int, float, float, float]],
    flags: list[tuple[bool, bool]],
) -> Paths:
    origin, u, v = (np.array([r[k] for r in rows], dtype=float).reshape(-1, 3) for k in range(3))
    radius, length = (np.array([r[k] for r in rows], dtype=float) for k in (3, 4))
    bent = radius > 0.0
    curvature = np.divide(1.0, radius, out=np.zeros_like(radius), where=bent)
    low, high = straight_bounds(origin, u, length)
    if bent.any():
        low[bent], high[bent] = arc_bounds(origin[bent], u[bent], v[bent], radius[bent], length[bent] * curvature[bent])
    before = np.array([n[3] for n in numbers], dtype=float)
    return Paths(
        origin=origin,
        u=u,
        v=v,
        radius=radius,
        curvature=curvature,
        length=length,
        tube=np.array([n[2] for n in numbers], dtype=float),
        owner=np.array([n[0] for n in numbers], dtype=np.int64),
        number=np.array([n[1] for n in numbers], dtype=np.int64),
        before=before,
        after=np.array([n[4] for n in numbers], dtype=float),
        open_start=np.array([f[0] for f in flags], dtype=bool),
        open_finish=np.array([f[1] for f in flags], dtype=bool),
        at0=before,
        rate=1.0,
        low=low,
        high=high,
    )


def spots_of(centre: Floats, tube: Floats) -> Paths:
    """Return points as curves of no length, each in the middle of a ball of the radius `tube`."""
    n = len(centre)
    zero, none, shut = np.zeros(n), np.zeros(n, dtype=np.int64), np.zeros(n, dtype=bool)
    return Paths(
        origin=centre,
        u=np.zeros((n, 3)),
        v=np.zeros((n, 3)),
        radius=zero,
        curvature=zero,
        length=zero,
        tube=tube,
        owner=none,
        number=none,
        before=zero,
        after=zero,
        open_start=shut,
        open_finish=shut,
        at0=zero,
        rate=0.0,
        low=centre,
        high=centre,
    )


def rims_of(ends: PathEnds) -> Paths:
    """Return the circles round tube ends as bare lines, a row for each end."""
    n = len(ends.at)
    u = normals_to(ends.facing)
    v = np.cross(ends.facing, u)
    full = np.full(n, 2.0 * np.pi)
    low, high = arc_bounds(ends.centre, u, v, ends.tube, full)
    return replace(
        spots_of(ends.centre, np.zeros(n)),
        u=u,
        v=v,
        radius=ends.tube,
        curvature=1.0 / ends.tube,
        length=full * ends.tube,
        owner=ends.owner,
        number=ends.number,
        at0=ends.at,
        low=low,
        high=high,
    )
