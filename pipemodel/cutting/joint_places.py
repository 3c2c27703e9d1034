"""Where along a run a coupling can be made: on its straights, clear of the bends, and within reach of the hands.

A coupling is cleaned, pushed on and made from one side: a hand, and a torch or a spanner, come to it from there. On
a run that is clipped to a wall that is the side away from the wall. What is looked at are the things of the room; the
other runs are not, for they can be put up after it.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from pipemodel.bending.schedule import SolvedRun
from pipemodel.geometry.centreline import Centreline, Straight, merged
from pipemodel.geometry.vectors import Vec3, along, any_normal, dot, length, rotate, scale, sub, unit
from pipemodel.job.model import Thing
from pipemodel.messages.values import Message, Word, listed, message

BESIDE_BEND_MM = 10.0
"""Straight left between a coupling's mouth and a bend. Common practice, no source."""
REACH_MM = 25.0
"""Clear space wanted at a coupling, on the side it is made from, for a hand and a torch or a spanner. Common
practice, no source."""
COUPLING_WALL_MM = 1.5
"""How much a coupling stands off the tube it goes on. Common practice, no source."""
FINE_MM = 0.5
"""How closely the ends of a free stretch are found; what is in doubt counts as in the way."""
SHARED = 1.8
"""Stretches shorter than this, in depths of the coupling, are looked at for what all their places share."""
SIDES_DEG = (0.0, 45.0, -45.0, 90.0, -90.0, 135.0, -135.0, 180.0)
"""The sides that are tried, from the one away from the nearest thing on."""

Held = tuple[int, float, float]
"""The number of a part, and a stretch of it, from and to along the run."""


@dataclass(frozen=True)
class FreePart:
    """A stretch of a straight where the middle of a coupling may lie; mm along the run.

    `leg` counts from 0, the start tail; the straight itself goes from `leg_low` to `leg_high`. `side` is a unit
    vector from the tube to where it is made from, None where it is free all round; `away_from` names the thing on
    the other side.
    """

    leg: int
    low: float
    high: float
    leg_low: float
    leg_high: float
    side: Vec3 | None = None
    away_from: str = ""


def parts_beside_bends(solved: SolvedRun, depth_mm: float) -> list[FreePart]:
    """Return the stretches with room for a coupling beside the bends, whatever stands in the room."""
    parts: list[FreePart] = []
    need = depth_mm + BESIDE_BEND_MM
    line = solved.centreline
    last = len(line.straights) - 1
    for leg, straight in enumerate(line.straights):
        begin = line.offsets[2 * leg]
        # At a run's own end the joint only needs tube enough to be in the coupling.
        low = begin + (need if leg > 0 else depth_mm)
        high = begin + straight.length - (need if leg < last else depth_mm)
        if low <= high:
            parts.append(FreePart(leg, low, high, begin, begin + straight.length))
    return parts


class JointRoom:
    """The things of a room, laid out once for every joint that is looked for among them."""

    def __init__(self, things: Sequence[Thing]) -> None:
        from pipemodel.geometry.distance import surroundings_of  # numpy, which a job with no long run never loads

        self.names = [thing.name for thing in things]
        self.around = surroundings_of(tuple(thing.shape for thing in things))

    def free_parts(self, runs: Sequence[SolvedRun], depth_mm: float) -> list[list[FreePart]]:
        """Return for each run the stretches where a coupling fits beside the bends and can be got at.

        Args:
            runs: runs of one size of tube, looked at all at once.
            depth_mm: how far the tube goes into the coupling from each end.
        """
        own = [parts_beside_bends(solved, depth_mm) for solved in runs]
        parts = [part for some in own for part in some]
        straights = [solved.centreline.straights[p.leg] for solved, some in zip(runs, own, strict=True) for p in some]
        outside = max((solved.tube.outside_mm for solved in runs), default=0.0)
        outer = outside / 2.0 + COUPLING_WALL_MM
        found: list[list[FreePart]] = [[] for _ in parts]

        def divided(aside: Sequence[Vec3], width: float, left: list[Held]) -> tuple[list[Held], list[Held]]:
            bodies = [
                _Body(straight, part.leg_low, depth_mm, off, width)
                for straight, part, off in zip(straights, parts, aside, strict=True)
            ]
            return self._divided(bodies, left)

        middle = [(0.0, 0.0, 0.0)] * len(parts)
        free, left = divided(middle, 2.0 * (outer + REACH_MM), [(k, p.low, p.high) for k, p in enumerate(parts)])
        for k, low, high in free:
            found[k].append(_of(parts[k], low, high))
        # Where the coupling itself overlaps something, no side helps.
        left, _ = divided(middle, 2.0 * outer, left)
        legs = {k: straights[k] for k, _, _ in left}
        away = {k: self._away(leg, outside) for k, leg in legs.items()}
        for turned in SIDES_DEG if left else ():
            sides = {k: rotate(away[k][0], leg.direction, turned) for k, leg in legs.items()}
            # From the back of the coupling to the reach in front of it, and as wide as that is deep.
            aside = [scale(sides[k], REACH_MM / 2.0) if k in sides else middle[k] for k in range(len(parts))]
            free, left = divided(aside, 2.0 * outer + REACH_MM, left)
            for k, low, high in free:
                found[k].append(_of(parts[k], low, high, sides[k], away[k][1]))
        each = iter(found)
        return [[part for _ in some for part in next(each)] for some in own]

    def _away(self, straight: Straight, outside: float) -> tuple[Vec3, str]:
        """Return the direction across a straight away from what is nearest to it, and the name of that."""
        i, there = self.around.nearest(Centreline((straight,)), outside)
        middle = along(straight.start, straight.direction, dot(sub(there, straight.start), straight.direction))
        off = sub(middle, there)
        off = sub(off, scale(straight.direction, dot(off, straight.direction)))
        return (unit(off) if length(off) > 1e-6 else any_normal(straight.direction)), self.names[i]

    def _divided(self, bodies: "Sequence[_Body]", stretches: list[Held]) -> tuple[list[Held], list[Held]]:
        """Return which parts of stretches are free for the bodies they are numbered by, and which are not."""
        free: list[Held] = []
        taken: list[Held] = []
        todo = list(stretches)
        while todo:
            whole = [(k, a - bodies[k].depth, b + bodies[k].depth) for k, a, b in todo]
            # All places of a short stretch want what lies between its ends' inner mouths.
            short = [(k, a, b) for k, a, b in todo if b - a < SHARED * bodies[k].depth]
            core = [(k, b - bodies[k].depth, a + bodies[k].depth) for k, a, b in short]
            clear = self._clear(bodies, [*whole, *core])
            clear, clear_core = clear[: len(whole)], clear[len(whole) :]
            free += [stretch for stretch, is_clear in zip(todo, clear, strict=True) if is_clear]
            done = {stretch for stretch, is_clear in zip(todo, clear, strict=True) if is_clear}
            taken += [
                stretch
                for stretch, is_clear in zip(short, clear_core, strict=True)
                if stretch not in done and (not is_clear or stretch[2] - stretch[1] <= FINE_MM)
            ]
            done |= set(taken)
            left = [(k, a, (a + b) / 2.0, b) for k, a, b in todo if (k, a, b) not in done]
            todo = [half for k, a, middle, b in left for half in ((k, a, middle), (k, middle, b))]
        return _joined(free), _joined(taken)

    def _clear(self, bodies: "Sequence[_Body]", stretches: Sequence[Held]) -> list[bool]:
        lines = [bodies[k].from_to(low, high) for k, low, high in stretches]
        return self.around.clear(lines, [bodies[k].diameter for k, _, _ in stretches])


@dataclass(frozen=True)
class _Body:
    """The space wanted at a coupling: a cylinder along a straight, moved aside by `aside`."""

    straight: Straight
    begin: float
    depth: float
    aside: Vec3
    diameter: float

    def from_to(self, low: float, high: float) -> Centreline:
        """Return the axis of what is wanted between two positions along the run."""
        start = along(self.straight.point_at(low - self.begin), self.aside, 1.0)
        return Centreline((Straight(start, self.straight.direction, high - low),))


def _of(part: FreePart, low: float, high: float, side: Vec3 | None = None, name: str = "") -> FreePart:
    return FreePart(part.leg, low, high, part.leg_low, part.leg_high, side, name)


def _joined(stretches: list[Held]) -> list[Held]:
    """Return stretches in order, those of one part that meet as one."""
    parts = sorted({k for k, _, _ in stretches})
    return [(k, *part) for k in parts for part in merged([(a, b) for of, a, b in stretches if of == k], 1e-6)]


def side_of(side: Vec3) -> Message:
    """Return a direction in words: "above", "the north", "the south and below"."""
    names = (("the east", "the west"), ("the north", "the south"), ("above", "below"))
    said = [Word(name[x <= 0.0]) for x, name in zip(side, names, strict=True) if abs(x) > 0.38]
    return message("several", said=listed(said))
