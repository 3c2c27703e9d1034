"""A run that cannot be one piece: with how few joints it can be made, and where each of them may lie.

Joints go on straights only, with room for the coupling beside the bends. Where a joint is made, the two tubes meet
at the coupling's stop, so the pieces together are as long as the run. The places are stretches, found exactly: a
stretch is cut where the former's limits change their answer, so that within one any place is as good as another for
the bends; and with one joint more, all places are reached that lie a piece further on than those reached before.
"""

from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property

from pipemodel.bending.bends import Bend, BendTable, corners_of
from pipemodel.bending.schedule import SolvedRun, solve_run
from pipemodel.cutting.joint_places import BESIDE_BEND_MM, FreePart
from pipemodel.geometry.centreline import merged
from pipemodel.geometry.vectors import Vec3
from pipemodel.job.model import Route
from pipemodel.messages.values import Count, Length, Message, Name, message
from pipemodel.pulls.limits import SLACK_MM, FlatTube, Limits
from pipemodel.pulls.piece import PieceToBend
from pipemodel.pulls.plan import Plan, plan_pulls
from pipemodel.trade.fittings import Ending, Ends, Fitting

LEAST_PIECE_MM = 100.0
"""A piece beside a joint is at least so long: a hand's breadth of tube to hold. Common practice, no source."""
MOST_PIECES = 50
"""A run that takes more lengths of stock than this is not divided: it is a slip of the pen, or many runs."""
MOST_TRIES = 20
"""So often another way is looked for, where a bender does not take a piece that the former's limits allow."""


@dataclass(frozen=True)
class Joint:
    """A coupling on a straight: where along the run, where in the room, and in which leg (0 is the start tail)."""

    at_mm: float
    point: Vec3
    leg: int
    depth_mm: float = 0.0
    """How far each tube goes into the coupling."""
    side: Vec3 | None = None
    """The way from the tube to where it is made from; None where it is free all round."""
    away_from: str = ""
    """The name of the thing on the other side."""

    @property
    def mouths_mm(self) -> tuple[float, float]:
        """Where the coupling's two mouths are along the run."""
        return self.at_mm - self.depth_mm, self.at_mm + self.depth_mm


@dataclass(frozen=True)
class Split:
    """A run in pieces, start to finish, each solved and planned; without joints, the run itself.

    There are no pieces where no joints make it possible: `why_not` then says why, and what would help.
    """

    pieces: tuple[SolvedRun, ...] = ()
    plans: tuple[Plan, ...] = ()
    joints: tuple[Joint, ...] = ()
    why_not: Message | None = None


Reached = dict[int, list[tuple[float, float]]]
"""Numbers of places, and the stretches of each that can be got to."""


@dataclass
class Divisible:
    """A run with the places for its joints, cut so that the limits of the former say the same all along each."""

    solved: SolvedRun
    coupling: Fitting
    places: tuple[FreePart, ...]
    refused: set[tuple[int, int]] = field(default_factory=set)
    """Pairs of places (or ends) between which a piece is not possible after all."""
    _asked: dict[tuple[int, int], bool] = field(default_factory=dict)

    @classmethod
    def of(cls, solved: SolvedRun, coupling: Fitting, parts: Sequence[FreePart]) -> "Divisible":
        """Return a run with its free stretches, as `joint_places` finds them."""
        cuts = _cuts(solved)
        places: list[FreePart] = []
        for part in sorted(parts, key=lambda part: part.low):
            inner = cuts[bisect_right(cuts, part.low) : bisect_left(cuts, part.high)]
            stops = [part.low, *inner, part.high]
            places += (replace(part, low=a, high=b) for a, b in zip(stops, stops[1:], strict=False))
        return cls(solved, coupling, tuple(places))

    @property
    def length(self) -> float:
        """The length to be divided."""
        return self.solved.table.length_mm

    @property
    def start(self) -> int:
        """Stands for the run's start among the numbers of places."""
        return -1

    @property
    def finish(self) -> int:
        """Stands for the run's finish among the numbers of places."""
        return len(self.places)

    def stretch(self, place: int) -> tuple[float, float]:
        """Return from where to where a place goes; nothing but a point for the run's ends."""
        if place == self.start:
            return 0.0, 0.0
        return (self.length, self.length) if place == self.finish else (self.places[place].low, self.places[place].high)

    def trim(self, place: int) -> float:
        """Return what a piece that ends there is longer by."""
        return self.solved.run.ends.trim_mm if place == self.finish else 0.0

    def possible(self, one: int, other: int) -> bool:
        """Tell whether a piece between two places can be pulled, by the former's limits and what was found since."""
        if (one, other) not in self._asked:
            a, b = (sum(self.stretch(place)) / 2.0 for place in (one, other))
            self._asked[one, other] = self._can_be_pulled(a, b + self.trim(other))
        return self._asked[one, other] and (one, other) not in self.refused

    @cached_property
    def _limits(self) -> Limits:
        return PieceToBend.of(self.solved).limits

    @cached_property
    def _too_far(self) -> list[bool]:
        """Whether each bend is beyond what its former can be pulled to."""
        solved = self.solved
        return [not 0.0 < solved.pull_deg(b) <= solved.former_of(b).max_angle_deg for b in solved.table.bends]

    def _can_be_pulled(self, begin: float, end: float) -> bool:
        """Tell whether the part from `begin` to `end` (on the flat tube, trim and all) can be pulled by limits."""
        limits = self._limits
        tube = limits.tube
        i, k = bisect_left(tube.starts, begin), bisect_right(tube.finishes, end)
        if i >= k:
            return True
        if any(self._too_far[i:k]):
            return False
        part = FlatTube(
            tuple(x - begin for x in tube.starts[i:k]), tuple(x - begin for x in tube.finishes[i:k]), end - begin
        )
        return not Limits(part, limits.holds[i:k], limits.guides[i:k]).core((1 << (k - i)) - 1)

    def fewest(self, longest_mm: float) -> int | None:
        """Return the fewest joints that leave no piece longer than `longest_mm`; None where no number will do."""
        reached: Reached = {self.start: [(0.0, 0.0)]}
        seen: Reached = {}
        joints = 0
        while reached:
            if self._onward(reached, self.finish, longest_mm):
                return joints
            onward: Reached = {}
            for place in range(self.finish):
                new = self._onward(reached, place, longest_mm)
                # With more joints the same place is reached later: only what is new needs a look.
                if new and not _covers(seen.get(place, []), new):
                    onward[place] = new
                    seen[place] = merged([*seen.get(place, []), *new], SLACK_MM)
            reached, joints = onward, joints + 1
        return None

    def _onward(self, reached: Reached, place: int, longest: float) -> list[tuple[float, float]]:
        low, high = self.stretch(place)
        trim = self.trim(place)
        found: list[tuple[float, float]] = []
        for before, stretches in reached.items():
            if before > place:
                continue
            least = LEAST_PIECE_MM if (before, place) != (self.start, self.finish) else 0.0
            for a, b in stretches:
                lo, hi = max(low, a + least - trim), min(high, b + longest - trim)
                if lo <= hi + SLACK_MM and self.possible(before, place):
                    found.append((lo, max(lo, min(hi, high))))
        return merged(found, SLACK_MM)

    def joint(self, place: int, at_mm: float) -> Joint:
        """Return the joint at a position within a place."""
        part = self.places[place]
        point = self.solved.centreline.point_at(at_mm)
        return Joint(at_mm, point, part.leg, self.coupling.depth_mm, part.side, part.away_from)

    def divided(self, places: Sequence[int], at_mm: Sequence[float]) -> Split | tuple[int, int]:
        """Return the pieces with joints at positions, or between which places a piece cannot be pulled after all."""
        if not places:
            whole = plan_pulls(self.solved)
            return Split((self.solved,), (whole,), ()) if whole.possible else (self.start, self.finish)
        stops = [0.0, *at_mm, self.length]
        ends = [self.start, *places, self.finish]
        pieces, plans = [], []
        for k in range(len(stops) - 1):
            name = f"{self.solved.name} piece {k + 1}"
            made = _piece(self.solved, stops[k], stops[k + 1], self.coupling, k > 0, k < len(places))
            made = replace(made, run=replace(made.run, name=name))
            plan = plan_pulls(made)
            if not plan.possible:
                return ends[k], ends[k + 1]
            pieces.append(made)
            plans.append(plan)
        return Split(tuple(pieces), tuple(plans), tuple(self.joint(p, at) for p, at in zip(places, at_mm, strict=True)))

    def why_not(self, longest: float) -> Message:
        """Say why no joints make it possible."""
        name = Name(self.solved.name)
        if self.length > MOST_PIECES * longest:
            return message("joints.too many pieces", most=Count(MOST_PIECES))
        if not self.places:
            need = 2.0 * (self.coupling.depth_mm + BESIDE_BEND_MM)
            return message("joints.no room", run=name, need=Length(need, ".0f"))
        most, least = Length(longest, ".0f"), Length(LEAST_PIECE_MM, ".0f")
        return message("joints.no division", run=name, most=most, least=least)


def _covers(some: list[tuple[float, float]], others: list[tuple[float, float]]) -> bool:
    return all(any(a - SLACK_MM <= c and d <= b + SLACK_MM for a, b in some) for c, d in others)


def _cuts(solved: SolvedRun) -> list[float]:
    """Return where along a run the former's limits can change their answer for a piece that ends there."""
    limits = PieceToBend.of(solved).limits
    needs = {*limits.holds, *limits.guides}
    tube = limits.tube
    most = max(needs, default=0.0)
    # The straight beside a bend counts on past the bends that are not made yet; beyond `most` it is always enough.
    cuts = {start - need for start in tube.starts for need in needs}
    cuts |= {finish + need for finish in tube.finishes for need in needs}
    return sorted(x for x in cuts if most > 0.0 and 0.0 < x < solved.table.length_mm)


def _piece(
    solved: SolvedRun, begin: float, end: float, coupling: Fitting, joint_before: bool, joint_after: bool
) -> SolvedRun:
    """Solve the part of a run from `begin` to `end`, mm along it."""
    table, line = solved.table, solved.centreline
    bends = tuple(b for b in table.bends if begin <= b.start_mm and b.finish_mm <= end)
    if bends:
        first = bends[0].number - 1
        arc = line.arcs[first]
        head = _renumbered(bends, begin)
        part = BendTable(line.point_at(begin), line.direction_at(begin), arc.axis, head, end - bends[-1].finish_mm)
        corners, joined = corners_of(part)
        round_own = [former for b in bends for former in [solved.former_of(b)] * (2 if b.angle_deg >= 180.0 else 1)]
        formers = (None, *round_own, None) if solved.own_formers else ()
    else:
        corners, joined, formers = (line.point_at(begin), line.point_at(end)), frozenset(), ()
    ends = solved.run.ends
    joint = Ending(coupling)
    own = Ends(
        joint if joint_before else ends.start,
        joint if joint_after else ends.finish,
        0.0 if joint_after else ends.trim_mm,
    )
    places = (solved.run.place,) * len(corners)
    return solve_run(replace(solved.run, route=Route(corners, joined, places, formers=formers), ends=own))


def _renumbered(bends: tuple[Bend, ...], begin: float) -> tuple[Bend, ...]:
    """Renumber bends so that the first is number 1, turns from nothing, and starts from `begin`."""
    out = []
    for n, bend in enumerate(bends, 1):
        before = bend.start_mm - begin if n == 1 else bend.straight_before_mm
        turn = 0.0 if n == 1 else bend.turn_deg
        out.append(bend._replace(number=n, start_mm=bend.start_mm - begin, straight_before_mm=before, turn_deg=turn))
    return tuple(out)
