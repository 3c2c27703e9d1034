"""A run that cannot be one piece: where to joint it so that every piece fits the stock and can be bent.

Joints go on straights only, with room for the coupling beside the bends. Fewest joints first; then each joint as
far from bends and from other things as may be. Where a joint is made, the two tubes meet at the coupling's stop, so
the pieces together are as long as the run.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import cache

from pipemodel.bending.bends import Bend, BendTable, corners_of
from pipemodel.bending.plan import Plan, plan_pulls
from pipemodel.bending.schedule import SolvedRun, solve_run
from pipemodel.geometry.vectors import Vec3
from pipemodel.job.model import Route
from pipemodel.trade.fittings import Ending, Ends, Fitting

STEP_MM = 50.0
"""Joints are tried at least this often along a straight; a fitter moves one by as much without asking."""
BESIDE_BEND_MM = 10.0
"""Straight left between a coupling's mouth and a bend. Common practice, no source."""
MOST_PIECES = 50
"""A run that takes more lengths of stock than this is not divided: it is a slip of the pen, or many runs."""


@dataclass(frozen=True)
class Joint:
    """A coupling on a straight: where along the run, where in the room, and in which leg (0 is the start tail)."""

    at_mm: float
    point: Vec3
    leg: int
    room_mm: float
    """How far the coupling's mouth is from the nearest bend."""


@dataclass(frozen=True)
class Split:
    """A run in pieces, start to finish, each solved and planned; without joints, the run itself."""

    pieces: tuple[SolvedRun, ...]
    plans: tuple[Plan, ...]
    joints: tuple[Joint, ...]


@dataclass(frozen=True)
class Unsplittable:
    """No joints make it possible; in plain words why, and what would help."""

    why: str


def split_run(
    solved: SolvedRun,
    longest_mm: float,
    coupling: Fitting,
    reachable: Callable[[Sequence[float]], Sequence[bool]] = lambda at_mm: [True] * len(at_mm),
) -> Split | Unsplittable:
    """Divide a run into pieces no longer than the stock, each of which can be pulled.

    Args:
        solved: the run.
        longest_mm: the longest piece there is stock for.
        coupling: what joins two pieces; its depth is needed either side of a joint.
        reachable: tells of positions along the run, mm, whether a joint there can be got at and made.
    """
    run_plan = plan_pulls(solved)
    if run_plan.possible and solved.cut_length_mm <= longest_mm:
        return Split((solved,), (run_plan,), ())
    if solved.cut_length_mm > MOST_PIECES * longest_mm:
        return Unsplittable(f"that is more than {MOST_PIECES} pieces: write it as several runs")
    places = _places(solved, coupling)
    joints = [j for j, free in zip(places, reachable([j.at_mm for j in places]), strict=True) if free]
    stops = [0.0, *(j.at_mm for j in joints), solved.table.length_mm]
    last = len(stops) - 1

    @cache
    def piece(i: int, k: int) -> tuple[SolvedRun, Plan] | None:
        if stops[k] - stops[i] + (solved.run.ends.trim_mm if k == last else 0.0) > longest_mm:
            return None
        made = _piece(solved, stops[i], stops[k], coupling, i > 0, k < last)
        plan = plan_pulls(made)
        return (made, plan) if plan.possible else None

    # Fewest joints first: each round reaches every place one joint further on, by the roomiest way there.
    reached: dict[int, tuple[float, tuple[int, ...]]] = {0: (float("inf"), (0,))}
    seen = {0}
    stations: tuple[int, ...] = ()
    while reached and not stations:
        ways = sorted(reached.values(), key=lambda way: -way[0])
        stations = next(((*path, last) for _, path in ways if piece(path[-1], last) is not None), ())
        onward: dict[int, tuple[float, tuple[int, ...]]] = {}
        for room, path in ways if not stations else ():
            for k in range(path[-1] + 1, last):
                if k not in seen and piece(path[-1], k) is not None:
                    seen.add(k)
                    onward[k] = (min(room, joints[k - 1].room_mm), (*path, k))
        reached = onward
    if not stations:
        return Unsplittable(_why(solved, longest_mm, coupling, joints))
    made = [piece(a, b) for a, b in zip(stations, stations[1:], strict=False)]
    named = [replace(p[0], run=replace(p[0].run, name=f"{solved.name} piece {n}")) for n, p in enumerate(made, 1) if p]
    return Split(tuple(named), tuple(p[1] for p in made if p), tuple(joints[k - 1] for k in stations[1:-1]))


def _places(solved: SolvedRun, coupling: Fitting) -> list[Joint]:
    """Every place for a joint: on each straight with room, near both ends of the room and in steps between."""
    places: list[Joint] = []
    need = coupling.depth_mm + BESIDE_BEND_MM
    line = solved.centreline
    for leg, straight in enumerate(line.straights):
        begin = line.offsets[2 * leg]
        # At a run's own end the joint only needs tube enough to be in the coupling.
        low = need if leg > 0 else coupling.depth_mm
        high = straight.length - (need if leg < len(line.straights) - 1 else coupling.depth_mm)
        if high < low:
            continue
        steps = max(1, int((high - low) / STEP_MM))
        for k in range(steps + 1):
            s = low + (high - low) * k / steps
            room = min(s, straight.length - s) - coupling.depth_mm
            places.append(Joint(begin + s, straight.point_at(s), leg, room))
    return places


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


def _why(solved: SolvedRun, longest: float, coupling: Fitting, joints: list[Joint]) -> str:
    if not joints:
        return (
            f"run {solved.name!r} has no straight with room for a coupling: one needs "
            f"{2 * (coupling.depth_mm + BESIDE_BEND_MM):.0f} mm of straight between bends, and to be reached"
        )
    return (
        f"run {solved.name!r} cannot be divided, where a coupling can be got at, into pieces of at most "
        f"{longest:.0f} mm that can all be bent: make room for one, lengthen the legs the plan of pulls names, or "
        "take longer stock"
    )
