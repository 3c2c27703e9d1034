"""Where measured points are, roughly: each found from those that are known already, and mirrored places told apart."""

from itertools import product

from pipemodel.adjustment.adjust import MOST_STEPS
from pipemodel.adjustment.linear import UndeterminedError, solution
from pipemodel.adjustment.readings import Places, TapeReading, WantedPoint, computed
from pipemodel.geometry.vectors import Vec3, distance, dot, sub

APART_MM = 1.0
"""Two places nearer than this are one."""
SAME_FIT = 3.0
"""A mirrored place that fits so many times worse than the best is not meant; one that fits better may be."""

MOST_STARTS = 3
"""From so many of the points that a point is measured from, places are looked for."""


class NotTiedError(ValueError):
    """Points to which too few readings go."""

    def __init__(self, points: list[WantedPoint]) -> None:
        super().__init__("points without enough readings")
        self.points = points


class TwoSidesError(ValueError):
    """A point that lies in either of two places."""

    def __init__(self, point: WantedPoint, places: list[Vec3]) -> None:
        super().__init__("two places")
        self.point, self.places = point, places


class NoPlaceError(ValueError):
    """Readings to a point that meet nowhere; `misses_mm` is by how much the worst fails at the best place."""

    def __init__(self, point: WantedPoint, readings: list[TapeReading], misses_mm: float) -> None:
        super().__init__("readings that do not meet")
        self.point, self.readings, self.misses_mm = point, readings, misses_mm


def first_places(fixed: Places, wanted: list[WantedPoint], readings: list[TapeReading]) -> Places:
    """Return every point near where it is.

    Raises:
        NotTiedError, TwoSidesError, NoPlaceError: where that cannot be.
    """
    places = dict(fixed)
    waiting = list(wanted)
    while waiting:
        doubtful: TwoSidesError | None = None
        for point in waiting:
            try:
                found = _place(point, places, readings)
            except TwoSidesError as two:
                doubtful = doubtful or two
                continue
            if found is not None:
                places[point.name] = found
                waiting.remove(point)
                break
        else:
            raise doubtful or NotTiedError(waiting)
    return places


def _place(point: WantedPoint, places: Places, readings: list[TapeReading]) -> Vec3 | None:
    """Return where a point is by the readings to points that have a place; None if there are too few of those."""
    own = [r for r in readings if point.name in r.points and all(n == point.name or n in places for n in r.points)]
    if len(own) < len(point.free):
        return None
    fits = _fits(point, places, own)
    if not fits:
        return None
    best, at = fits[0]
    if len(own) == len(point.free) and best > max(3.0 * max(r.sd_mm for r in own), 1e-6):
        raise NoPlaceError(point, own, best)
    limit = max(SAME_FIT * best, 3.0 * max(r.sd_mm for r in own))
    same = [at, *(other for miss, other in fits[1:] if miss <= limit and distance(other, at) > APART_MM)]
    if len(same) == 1:
        return at
    if point.side is None:
        raise TwoSidesError(point, same)
    side = point.side
    same.sort(key=lambda p: -dot(p, side))
    if dot(sub(same[0], same[1]), side) < APART_MM / 2.0:
        raise TwoSidesError(point, same)
    return same[0]


def _fits(point: WantedPoint, places: Places, own: list[TapeReading]) -> list[tuple[float, Vec3]]:
    """Return the places at which a point fits its readings best, with the greatest miss there, best first."""
    others = [places[name] for r in own for name in r.points if name != point.name]
    reach = max(abs(r.mm) for r in own) or 1.0
    corners = list(dict.fromkeys(others))[:MOST_STARTS]
    found: list[tuple[float, Vec3]] = []
    # Off the axes by unlike amounts, so that no start lies in the plane that mirrors two places.
    for corner, signs in product(corners, product((1.0, -1.0), repeat=len(point.free))):
        start = [c if known is None else known for c, known in zip(corner, point.known, strict=True)]
        for axis, sign, share in zip(point.free, signs, (0.83, 0.71, 0.59), strict=False):
            start[axis] += sign * share * reach
        at = _drawn_to(point, (start[0], start[1], start[2]), places, own)
        if at is None:
            continue
        here = {**places, point.name: at}
        miss = max(abs(r.mm - computed(r, here)[0]) for r in own)
        if all(distance(at, other) > APART_MM / 10.0 for _, other in found):
            found.append((miss, at))
    return sorted(found)


def _drawn_to(point: WantedPoint, start: Vec3, places: Places, own: list[TapeReading]) -> Vec3 | None:
    """Return the place near a start to which the readings draw a point, by Levenberg's damped steps."""
    at, damping = start, 1e-3
    cost = _cost(at, point, places, own)
    for _ in range(2 * MOST_STEPS):
        try:
            step = _damped(at, point, places, own, damping)
        except UndeterminedError:
            return None
        moved = list(at)
        for axis, by in zip(point.free, step, strict=True):
            moved[axis] += by
        there = (moved[0], moved[1], moved[2])
        less = _cost(there, point, places, own)
        if less <= cost:
            still = distance(there, at) < 1e-3
            at, cost, damping = there, less, max(damping / 5.0, 1e-12)
            if still:
                break
        else:
            damping *= 4.0
            if damping > 1e5:
                break
    return at


def _cost(at: Vec3, point: WantedPoint, places: Places, own: list[TapeReading]) -> float:
    here = {**places, point.name: at}
    return sum(((r.mm - computed(r, here)[0]) / r.sd_mm) ** 2 for r in own)


def _damped(at: Vec3, point: WantedPoint, places: Places, own: list[TapeReading], damping: float) -> list[float]:
    here = {**places, point.name: at}
    n = len(point.free)
    normal = [[damping if i == j else 0.0 for j in range(n)] for i in range(n)]
    right = [0.0] * n
    for reading in own:
        value, gradient = computed(reading, here)
        row = [gradient[point.name][axis] / reading.sd_mm for axis in point.free]
        for i in range(n):
            right[i] += row[i] * (reading.mm - value) / reading.sd_mm
            for j in range(n):
                normal[i][j] += row[i] * row[j]
    return solution(normal, right)
