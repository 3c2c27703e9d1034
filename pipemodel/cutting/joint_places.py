"""Where along a run a coupling can be made: on its straights, clear of the bends, and within reach of the hands.

A coupling is cleaned, pushed on and made from one side: a hand, and a torch or a spanner, come to it from there. On
a run that is clipped to a wall that is the side away from the wall. What is looked at are the things of the room; the
other runs are not, for they can be put up after it.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from pipemodel.bending.schedule import SolvedRun
from pipemodel.geometry.centreline import Centreline, Straight
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

Interval = tuple[float, float]


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
        from pipemodel.geometry.distance import Surroundings  # numpy, which a job with no long run never loads

        self.names = [thing.name for thing in things]
        self.around = Surroundings([thing.shape for thing in things])

    def free_parts(self, solved: SolvedRun, depth_mm: float) -> list[FreePart]:
        """Return the stretches where a coupling fits beside the bends and can be got at.

        Args:
            solved: the run.
            depth_mm: how far the tube goes into the coupling from each end.
        """
        return [free for part in parts_beside_bends(solved, depth_mm) for free in self._free(solved, part, depth_mm)]

    def _free(self, solved: SolvedRun, part: FreePart, depth: float) -> Iterator[FreePart]:
        straight = solved.centreline.straights[part.leg]
        outer = solved.tube.outside_mm / 2.0 + COUPLING_WALL_MM
        body = _Body(straight, part.leg_low, depth, (0.0, 0.0, 0.0), 2.0 * (outer + REACH_MM))
        free, left = self._divided(body, [(part.low, part.high)])
        yield from (_of(part, stretch) for stretch in free)
        if not left:
            return
        # Where the coupling itself overlaps something, no side helps.
        left, _ = self._divided(_Body(straight, part.leg_low, depth, (0.0, 0.0, 0.0), 2.0 * outer), left)
        if not left:
            return
        away, name = self._away(straight, solved.tube.outside_mm)
        for turned in SIDES_DEG:
            side = rotate(away, straight.direction, turned)
            # From the back of the coupling to the reach in front of it, and as wide as that is deep.
            body = _Body(straight, part.leg_low, depth, scale(side, REACH_MM / 2.0), 2.0 * outer + REACH_MM)
            free, left = self._divided(body, left)
            yield from (_of(part, stretch, side, name) for stretch in free)
            if not left:
                return

    def _away(self, straight: Straight, outside: float) -> tuple[Vec3, str]:
        """Return the direction across a straight away from what is nearest to it, and the name of that."""
        i, there = self.around.nearest(Centreline((straight,)), outside)
        middle = along(straight.start, straight.direction, dot(sub(there, straight.start), straight.direction))
        off = sub(middle, there)
        off = sub(off, scale(straight.direction, dot(off, straight.direction)))
        return (unit(off) if length(off) > 1e-6 else any_normal(straight.direction)), self.names[i]

    def _divided(self, body: "_Body", stretches: list[Interval]) -> tuple[list[Interval], list[Interval]]:
        """Return which parts of stretches are free for a body, and which are not."""
        free: list[Interval] = []
        taken: list[Interval] = []
        todo = list(stretches)
        while todo:
            whole = self._clear(body, [(a - body.depth, b + body.depth) for a, b in todo])
            free += [stretch for stretch, clear in zip(todo, whole, strict=True) if clear]
            todo = [stretch for stretch, clear in zip(todo, whole, strict=True) if not clear]
            # All places of a short stretch want what lies between its ends' inner mouths.
            short = [(a, b) for a, b in todo if b - a < SHARED * body.depth]
            core = self._clear(body, [(b - body.depth, a + body.depth) for a, b in short])
            taken += [(a, b) for (a, b), clear in zip(short, core, strict=True) if not clear or b - a <= FINE_MM]
            done = set(taken)
            todo = [half for a, b in todo if (a, b) not in done for half in ((a, (a + b) / 2.0), ((a + b) / 2.0, b))]
        return _joined(free), _joined(taken)

    def _clear(self, body: "_Body", stretches: Sequence[Interval]) -> list[bool]:
        return self.around.clear([body.from_to(a, b) for a, b in stretches], [body.diameter] * len(stretches))


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


def _of(part: FreePart, stretch: Interval, side: Vec3 | None = None, name: str = "") -> FreePart:
    return FreePart(part.leg, *stretch, part.leg_low, part.leg_high, side, name)


def _joined(stretches: list[Interval]) -> list[Interval]:
    """Return stretches in order, those that meet as one."""
    out: list[Interval] = []
    for low, high in sorted(stretches):
        if out and low <= out[-1][1] + 1e-6:
            out[-1] = (out[-1][0], max(out[-1][1], high))
        else:
            out.append((low, high))
    return out


def side_of(side: Vec3) -> Message:
    """Return a direction in words: "above", "the north", "the south and below"."""
    names = (("the east", "the west"), ("the north", "the south"), ("above", "below"))
    said = [Word(name[x <= 0.0]) for x, name in zip(side, names, strict=True) if abs(x) > 0.38]
    return message("several", said=listed(said))
