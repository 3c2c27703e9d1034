"""The shortest straight move of a tube that brings it as far from a thing as is asked for.

The tube is taken as points: balls along its axis, rings round its flat ends. A distance changes no faster than the
tube moves, so that along one direction the way to the first clear place is found by steps that can never pass it.
Directions are tried all round, the best ones turned until none beside them is shorter, and the length of the move is
at last set by the exact distance.
"""

from collections.abc import Iterable

import numpy as np

from pipemodel.geometry.arrays import Floats, Ints, lengths, normals_to
from pipemodel.geometry.bounds import point_gaps
from pipemodel.geometry.centreline import Centreline, moved
from pipemodel.geometry.contact.places import axis_of
from pipemodel.geometry.distance.obstacle import MeasuredObstacle, Within
from pipemodel.geometry.vectors import Vec3

CLOSE_MM = 0.01
"""How near to what is asked for the search by points ends."""
EXACT_MM = 1e-6
"""A distance that lacks less than this is enough."""
NEAR_ENOUGH_MM = 1e-4
"""How much farther than asked for the exact distance may be in the end."""
AROUND = 120
"""How many directions are tried all round."""
AROUND_SLOW = 24
BALLS = 400
"""How many points along the axis are looked at, at most."""
BALLS_SLOW = 60
SPOKES = 24
STEPS = 60
"""Steps along one direction, at most."""
FAR_MM = 1e6
SMALL = 1e-6
"""A direction that has no more than this left, square to a leg, lies along it."""
_DIAGONALS = np.array([[x, y, z] for x in (-1, 0, 1) for y in (-1, 0, 1) for z in (-1, 0, 1) if (x, y, z) != (0, 0, 0)])


def least_move(
    part: Centreline,
    outside_mm: float,
    obstacle: MeasuredObstacle,
    required: float,
    away: Vec3,
    flat: tuple[bool, bool] = (True, True),
    thorough: bool = True,
    leg: Vec3 | None = None,
) -> Vec3 | None:
    """Return the shortest move found that brings a tube as far from a thing as is asked for; None if none is found.

    Args:
        part: the axis of the tube, or of the part of a run that is to be cleared.
        outside_mm: its outside diameter.
        obstacle: the thing.
        required: the distance asked for, mm, at least 0.
        away: where the thing is left by at the nearest place, a direction; zero where it is not known.
        flat: whether the part's start and finish are flat ends of the tube; where not, the run goes on there.
        thorough: try directions all round, too, and turn the best; else only the axes and those near at hand.
        leg: the direction of a leg that goes on past the thing on both sides: then only moves square to it count, since
            along itself it stays where it is. None where the tube may be moved any way.
    """
    search = _Search(part, outside_mm, obstacle, required, flat, leg)
    few = search.allowed(_likely(part, away, obstacle.slow))
    best = search.best_of(few, FAR_MM)
    if best is None:
        return None
    if thorough:
        search.refine(best[1])
        tries = np.vstack([few, search.allowed(_all_round(AROUND_SLOW if obstacle.slow else AROUND))])
        best = search.turned(tries, best)
    return _exact(part, outside_mm, obstacle, required, best[0], best[1])


class _Search:
    """A tube as points, and how far they must go in some direction to be clear."""

    def __init__(
        self,
        part: Centreline,
        outside_mm: float,
        obstacle: MeasuredObstacle,
        required: float,
        flat: tuple[bool, bool],
        leg: Vec3 | None,
    ) -> None:
        self.leg = None if leg is None else np.array(leg)
        self.part, self.radius, self.obstacle, self.required = part, outside_mm / 2.0, obstacle, required
        self.rings = np.vstack([np.empty((0, 3)), *_rings(part, self.radius, flat)])
        self.low = self.radius if flat[0] else 0.0
        self.high = part.length - (self.radius if flat[1] else 0.0)
        self.axis = axis_of(part)
        self.most = BALLS_SLOW if obstacle.slow else BALLS
        self._cloud(FAR_MM, max(self.radius / 2.0, (self.high - self.low) / self.most))

    def refine(self, reach: float) -> None:
        """Take points more closely, and only those that matter within a move as long as `reach`."""
        near = np.flatnonzero(self.values < self.required + 1.1 * reach + self.step)
        if len(near):
            size = max(len(near), 1) * self.step
            self._cloud(1.1 * reach, max(self.radius / 6.0, size / self.most))

    def _cloud(self, reach: float, step: float) -> None:
        balls = np.empty((0, 3))
        if self.high >= self.low:
            balls = self.axis(np.linspace(self.low, self.high, int((self.high - self.low) / step) + 2))
        points = np.vstack([balls, self.rings])
        radii = np.append(np.full(len(balls), self.radius), np.zeros(len(self.rings)))
        values = self.obstacle.field(points) - radii
        keep = values < self.required + reach + step
        keep[np.argmin(values)] = True
        self.points, self.radii, self.values, self.step = points[keep], radii[keep], values[keep], step
        self.clear_at: tuple[Floats, Floats] | None = None

    def allowed(self, directions: Floats) -> Floats:
        """Return unit directions, square to the leg where there is one; those along it are left out."""
        if self.leg is not None:
            directions = directions - (directions @ self.leg)[:, None] * self.leg
        size = lengths(directions)
        out: Floats = directions[size > SMALL] / size[size > SMALL, None]
        return out

    def best_of(self, directions: Floats, bound: float) -> tuple[Floats, float] | None:
        """Return the direction of the shortest move among some, and its length; None if all go beyond the bound."""
        far = self.lengths(directions, bound)
        k = int(np.argmin(far))
        return (directions[k], float(far[k])) if far[k] < np.inf else None

    def lengths(self, directions: Floats, bound: float) -> Floats:
        """Return how far the tube has to go in each direction until it is clear; infinite beyond the bound."""
        done = np.full(len(directions), np.inf)
        at = np.full(len(directions), max(self.required - float(self.values.min()), 0.0))
        live = np.arange(len(directions))
        # No point can be nearer than it was, less what it has gone: only those that may be the nearest are measured.
        floor = self.values[None] - at[:, None]
        for step in range(STEPS):
            keep = at[live] <= bound
            live, floor = live[keep], floor[keep]
            if not len(live):
                break
            offset = at[live, None] * directions[live]
            self._raise_by_block(floor, offset)
            if self.clear_at is not None:
                gone = lengths(offset - self.clear_at[0])
                np.maximum(floor, self.clear_at[1] - gone[:, None], out=floor)
            least = np.full(len(live), np.inf)
            self._measure(floor, offset, (np.arange(len(live)), np.argmin(floor, axis=1)), least)
            # Only what is nearer than that is of interest now: for what is known to lie outside, no more is asked.
            rest = floor < least[:, None]
            far = rest & (floor + self.radii > 0.0) if self.obstacle.slow else np.zeros_like(rest)
            self._measure(floor, offset, np.nonzero(rest & ~far), least)
            self._measure(floor, offset, np.nonzero(far), least, self.obstacle.outside_within)
            short = self.required - least
            clear = short <= CLOSE_MM
            # Where a step went farther than it had to, so much less is clear as well.
            done[live[clear]] = at[live[clear]] + np.minimum(short[clear], 0.0)
            if clear.any():
                shortest = int(np.argmin(np.where(clear, at[live], np.inf)))
                # What points have there bounds what they have near by.
                self.clear_at = offset[shortest], floor[shortest]
                bound = min(bound, float(at[live[shortest]]) * 1.001 + CLOSE_MM)
            live, short, floor = live[~clear], short[~clear], floor[~clear]
            # Along a slant the steps get ever shorter: then they are stretched, and may pass the place by a hair.
            ahead = short * (1.0 if step < 5 else 2.0 if step < 15 else 4.0)
            at[live] += ahead
            floor -= ahead[:, None]
        return done

    def _raise_by_block(self, floor: Floats, offset: Floats) -> None:
        """Raise the least that points can have to how far they are from the block that holds a slow thing."""
        if self.obstacle.block is None:
            return
        low, high = self.obstacle.block
        gap = point_gaps(self.points + offset[:, None], low, high)
        np.maximum(floor, gap - self.radii, out=floor, where=gap > 0.0)

    def _measure(
        self, floor: Floats, offset: Floats, which: tuple[Ints, ...], least: Floats, within: Within | None = None
    ) -> None:
        """Measure some points moved by the offsets of their rows; note what they have in `floor` and in `least`.

        Args:
            floor: the least that each can have, a row per offset and a column per point.
            offset: the offsets.
            which: the rows and the columns of what is measured.
            least: the least of each row.
            within: measures only what is nearer than the least of its row.
        """
        row, point = which
        if not len(row):
            return
        moved_by, radii = self.points[point] + offset[row], self.radii[point]
        if within is None:
            value = self.obstacle.field(moved_by) - radii
        else:
            most = least[row] + radii
            value = np.minimum(within(moved_by, most), most) - radii
        floor[row, point] = value
        np.minimum.at(least, row, value)

    def turned(self, directions: Floats, best: tuple[Floats, float]) -> tuple[Floats, float]:
        """Return the best of some directions, turned until no other beside it is shorter."""
        found = self.best_of(directions, best[1])
        if found is not None and found[1] < best[1]:
            best = found
        cone = 0.35
        while cone > 2e-3:
            u = normals_to(best[0][None])[0]
            v = np.cross(best[0], u)
            turns = np.linspace(0.0, 2.0 * np.pi, 6 if self.obstacle.slow else 12, endpoint=False)
            beside = best[0] + cone * (np.cos(turns)[:, None] * u + np.sin(turns)[:, None] * v)
            found = self.best_of(self.allowed(beside), best[1])
            if found is not None and found[1] < best[1] - 1e-4:
                best = found
            else:
                cone *= 0.5
        return best


def _exact(
    part: Centreline, outside_mm: float, obstacle: MeasuredObstacle, required: float, direction: Floats, reach: float
) -> Vec3 | None:
    """Return the move in a direction, its length set by exact distances, starting from the length found."""

    def short(at: float) -> float:
        x, y, z = (float(v) for v in direction * at)
        return required - obstacle.measure(moved(part, (x, y, z)), outside_mm).distance

    at, clear = reach + 5.0 * CLOSE_MM, None
    for _ in range(STEPS):
        lacks = short(at)
        if lacks > EXACT_MM:
            if clear is not None:
                break
            at += 2.0 * lacks + CLOSE_MM
            continue
        clear = at
        if lacks >= -NEAR_ENOUGH_MM:
            break
        # As far back as it is too far off: never back into what is too near.
        at += lacks
    if clear is None:
        return None
    x, y, z = (float(v) + 0.0 for v in direction * clear)
    return x, y, z


def _likely(part: Centreline, away: Vec3, slow: bool) -> Floats:
    """Return ways most likely to be best, of any length: out of the thing, along the axes, and square to the legs."""
    found: list[Floats] = [np.array([away]), np.array([away]) * -1.0]
    found.append((_DIAGONALS[np.abs(_DIAGONALS).sum(axis=1) == 1] if slow else _DIAGONALS).astype(float))
    for straight in part.straights[:8]:
        way = np.array([straight.direction])
        square = normals_to(way)
        found += [way, -way, square, -square, np.cross(way, square), np.cross(square, way)]
        aside = np.array([away]) - float(way[0] @ np.array(away)) * way
        found += [aside, -aside]
    return np.vstack(found)


def _all_round(count: int) -> Floats:
    """Return directions spread evenly over all sides, along a spiral from pole to pole."""
    k = np.arange(count) + 0.5
    z, turn = 1.0 - 2.0 * k / count, np.pi * (1.0 + 5.0**0.5) * k
    flat = np.sqrt(1.0 - z * z)
    return np.stack([flat * np.cos(turn), flat * np.sin(turn), z], axis=1)


def _rings(part: Centreline, radius: float, flat: tuple[bool, bool]) -> Iterable[Floats]:
    """Yield points on the flat ends and round the tube beside them, where no ball fits."""
    length = part.length
    turns = np.linspace(0.0, 2.0 * np.pi, SPOKES, endpoint=False)
    for at_end, inward, asked in ((0.0, 1.0, flat[0]), (length, -1.0, flat[1])):
        if not asked:
            continue
        for share in (0.0, 0.25, 0.5, 0.75):
            at = min(max(at_end + inward * share * radius, 0.0), length)
            way = np.array([part.direction_at(at)])
            u = normals_to(way)
            v = np.cross(way, u)
            circle = np.cos(turns)[:, None] * u + np.sin(turns)[:, None] * v
            centre = np.array(part.point_at(at))
            yield centre + radius * circle
            if share == 0.0:
                yield centre + 0.5 * radius * circle
                yield centre[None]
