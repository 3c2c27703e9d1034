"""Where legs are looked for: planes across each axis of the room."""

from collections.abc import Iterator, Sequence
from math import ceil, floor, sqrt
from typing import NamedTuple

import numpy as np

from pipemodel.finding.around import Around, Obstruction
from pipemodel.finding.figures import SQUARE_DEG, Figures
from pipemodel.geometry.arrays import Floats
from pipemodel.geometry.vectors import Vec3, along, scale

MOST_PLANES = 48
"""Across each axis; of more, those of things far off are left out."""
SAME_MM = 0.5
"""Planes nearer than this are one."""
GAPS = 6.0
"""Where nothing stands, planes are no farther apart than the region's size over this."""
_CUT = 1.0 - 1.0 / sqrt(2.0)
"""A bend of 90 degrees passes inside its corner by a share of its radius; this much farther off both faces clears."""


class WayEnds(NamedTuple):
    """Between what a way is looked for: the tube's own ends, mm, and unit vectors in the direction of travel."""

    start: Vec3
    heading: Vec3
    finish: Vec3
    arriving: Vec3


class Region(NamedTuple):
    """The block in which a way is looked for."""

    low: Floats
    high: Floats

    @classmethod
    def around(cls, ends: WayEnds, reach_mm: float) -> "Region":
        """Return the block that reaches so far beyond both ends."""
        points = np.array([ends.start, ends.finish])
        return cls(points.min(axis=0) - reach_mm, points.max(axis=0) + reach_mm)

    def meets(self, one: Obstruction) -> bool:
        """Return whether a thing can be in the way within it."""
        return bool(np.all(one.low - one.required <= self.high) and np.all(one.high + one.required >= self.low))


ALONG_MM = (0.0, 100.0, 300.0)
"""Where a tube that sets out or arrives along no axis turns: so far beyond the nearest place for a bend."""


def places_on(ends: WayEnds, figures: Figures, finish: bool) -> list[Vec3]:
    """Return where a first or a last leg that lies along no axis may turn; nothing for one along an axis."""
    point, way = (ends.finish, scale(ends.arriving, -1.0)) if finish else (ends.start, ends.heading)
    if max(map(abs, way)) > 1.0 - 1e-12:
        return []
    nearest = ceil(figures.setback(SQUARE_DEG) + figures.straight(SQUARE_DEG))
    return [along(point, way, nearest + more) for more in ALONG_MM]


def planes_in(
    region: Region, around: Around, figures: Figures, ends: WayEnds, wanted: Sequence[tuple[int, float]]
) -> tuple[Floats, Floats, Floats]:
    """Return the planes across each axis, in rising order.

    Args:
        region: where a way is looked for.
        around: what is kept clear of.
        figures: of the tube and its former.
        ends: between what.
        wanted: planes that are to be there, each an axis and where it lies: of clips, of holes.
    """
    found = []
    for axis in range(3):
        chosen: list[float] = []
        needed = [*_of_ends(ends, figures, axis), *(at for k, at in wanted if k == axis)]
        low, high = float(region.low[axis]), float(region.high[axis])
        for at in [*needed, *_of_things(axis, around, figures, ends)]:
            inside = low <= at <= high
            if inside and len(chosen) < MOST_PLANES and all(abs(at - one) >= SAME_MM for one in chosen):
                chosen.append(at)
        found.append(np.array(sorted([*chosen, *_between(chosen, low, high)])))
    return found[0], found[1], found[2]


def _of_ends(ends: WayEnds, figures: Figures, axis: int) -> Iterator[float]:
    yield ends.start[axis]
    yield ends.finish[axis]
    for place in (*places_on(ends, figures, False), *places_on(ends, figures, True)):
        yield place[axis]
    turn = ceil(figures.setback(SQUARE_DEG) + figures.straight(SQUARE_DEG))
    for point, way in ((ends.start, ends.heading[axis]), (ends.finish, -ends.arriving[axis])):
        if abs(way) > 1e-9:
            yield point[axis] + way * turn
    # Between two legs that lie side by side two bends have room.
    apart = ceil(2.0 * figures.setback(SQUARE_DEG) + figures.straight(SQUARE_DEG))
    for point in (ends.start, ends.finish):
        yield point[axis] + apart
        yield point[axis] - apart


def _of_things(axis: int, around: Around, figures: Figures, ends: WayEnds) -> Iterator[float]:
    """Yield the planes of faces, those of the nearest things first."""
    points = np.array([ends.start, ends.finish])
    low, high = points.min(axis=0), points.max(axis=0)

    def gap(one: Obstruction) -> float:
        return float(np.linalg.norm(np.maximum(np.maximum(one.low - high, low - one.high), 0.0)))

    nearest = [(out, face + out * one.required) for one in around.things for out, face in _faces(one, axis)]
    sides = {sign: np.array(sorted(at for out, at in nearest if out == sign)) for sign in (-1, 1)}
    ordered = sorted(around.things, key=gap)
    for one in ordered:
        farther = max(_CUT * (figures.radius - one.required), 0.0)
        for out, face in _faces(one, axis):
            near = face + out * one.required
            away = face + out * (one.required + farther)
            rounded = ceil if out > 0 else floor
            yield float(rounded(round(near, 6)))
            if farther:
                yield float(rounded(round(away, 6)))
    # To full millimetres, as a tape reads, but where less than one is left between two faces.
    for one in ordered:
        for out, face in _faces(one, axis):
            near = face + out * one.required
            if near != round(near) and _any_within(sides[-out], near, 1.0):
                yield near


def _any_within(places: Floats, at: float, mm: float) -> bool:
    first = int(np.searchsorted(places, at - mm))
    return first < len(places) and float(places[first]) <= at + mm


def _faces(one: Obstruction, axis: int) -> Iterator[tuple[int, float]]:
    """Yield the faces of a thing across an axis: which way each looks, and where it lies."""
    if one.level is not None:
        point, normal = one.level
        if abs(normal[axis]) > 1.0 - 1e-9:
            yield (1 if normal[axis] > 0.0 else -1), point[axis]
        return
    yield -1, float(one.low[axis])
    yield 1, float(one.high[axis])


def _between(chosen: Sequence[float], low: float, high: float) -> Iterator[float]:
    """Yield planes where others lie far apart."""
    most = max((high - low) / GAPS, 1.0)
    edges = sorted({low, *chosen, high})
    for one, other in zip(edges, edges[1:], strict=False):
        parts = ceil((other - one) / most)
        for i in range(1, parts):
            yield float(round(one + (other - one) * i / parts))
