"""The plan of pulls: which bend when, held from which end, which side of the tube up.

At each pull the held side offers at least the former's `hold` of straight tube before the bend, to the nearest
bend already made or to the tube's end, and the other side at least its `guide` after it. Among the orders that
work the plan has the fewest **turn-rounds** (the other end goes into the stop), then the fewest **turn-overs**
(another side of the tube has to face up than at the pull before), then the least mass swinging, summed over the
pulls. The plain order, 1 to n held by the start side, is taken when nothing but a mass too small to feel speaks
against it.
"""

from dataclasses import dataclass
from math import ceil, pi
from typing import Literal, TypeAlias

from pipemodel.bending.bends import Bend
from pipemodel.bending.plan_limits import FINISH, SLACK_MM, START, FlatTube, Lengthening, Limits, least_lengthening
from pipemodel.bending.plan_search import EFFORT, Cost, Order, Step, Task, best_order, cost_of, works
from pipemodel.bending.schedule import SolvedRun
from pipemodel.trade.model import Tube

Held: TypeAlias = Literal["start", "finish"]

SAME_SIDE_DEG = 0.5
"""Two sides up that differ by less than this are the same side to a fitter."""
UNFELT_KG = 0.25
"""A difference in swinging mass below this, on average over the pulls, is not felt by hand."""
COPPER_KG_PER_MM3 = 8.9e-6
"""Density of copper, 8900 kg/m3 (EN 1057 makers' tables); serves where the tube's mass is not known."""


@dataclass(frozen=True)
class Pull:
    """One pull. Positions are on the flat tube, in mm from its start end.

    `side_up_deg` is the side of the tube that faces up: how far round from the side that faces up for bend 1
    held by its start side, clockwise seen from the start end. `roll_deg` is what that changed since the pull
    before, in (-180, 180]; 0 at the first pull.
    """

    number: int
    bend: int
    held: Held
    mark_mm: float
    angle_deg: float
    pull_deg: float
    hold_has_mm: float
    guide_has_mm: float
    side_up_deg: float
    roll_deg: float
    turn_round: bool
    turn_over: bool
    swinging_kg: float
    made: frozenset[int]
    """The numbers of the bends made before this pull."""


@dataclass(frozen=True)
class Hindrance:
    """One thing that keeps every order from working: what there is, what is needed, and the least change.

    `kind` is "straight" for a leg too short to hold or guide, "angle" for a pull beyond the bender's greatest.
    `has` and `needs` are in mm, or in degrees for an angle. `leg` counts from 0, the start tail, to n, the
    finish tail. `at_mm` is where on the run, from its start.
    """

    kind: Literal["straight", "angle"]
    message: str
    has: float
    needs: float
    at_mm: float
    leg: int | None = None
    bend: int | None = None


@dataclass(frozen=True)
class Plan:
    """The pulls of one run in order; empty, with the hindrances, when no order works.

    `proven` is false when the search was cut short: the plan works, but one with fewer turn-rounds or
    turn-overs, or less swinging, may exist.
    """

    pulls: tuple[Pull, ...] = ()
    hindrances: tuple[Hindrance, ...] = ()
    proven: bool = True

    @property
    def possible(self) -> bool:
        """Whether there is an order that works."""
        return not self.hindrances

    @property
    def why_not(self) -> tuple[str, ...]:
        """Why no order works, in plain words; empty when one does."""
        return tuple(h.message for h in self.hindrances)

    @property
    def turn_rounds(self) -> int:
        """How often the other end goes into the stop."""
        return sum(p.turn_round for p in self.pulls)

    @property
    def turn_overs(self) -> int:
        """How often another side of the tube has to face up."""
        return sum(p.turn_over for p in self.pulls)

    @property
    def in_number_order(self) -> bool:
        """Whether the bends are pulled 1 to n, held by their start side."""
        return all(p.bend == i and p.held == "start" for i, p in enumerate(self.pulls, 1))


def plan_pulls(solved: SolvedRun, effort: int = EFFORT) -> Plan:
    """Plan the pulls of one run by the former's hold, guide and greatest angle.

    Whether an order exists is answered exactly, for any number of bends. `effort` bounds the positions looked at
    for the best one; see `Plan.proven`.
    """
    former = solved.former
    limits = Limits(FlatTube.of(solved), former.hold_mm, former.guide_mm)
    hindrances = (*_angles_too_great(solved), *_straights_too_short(limits))
    if hindrances:
        return Plan(hindrances=hindrances)
    task = task_of(solved, limits)
    plain = _plain_if_best(task)
    order = plain or best_order(task, effort)
    assert order is not None, "limits without a core always have an order"
    if plain is None:
        order = _plain_if_as_good(task, order)
    return Plan(_pulls(solved, limits, task, order.steps), proven=order.proven)


def task_of(solved: SolvedRun, limits: Limits) -> Task:
    """Return what the search needs to know of a run."""
    sides = _sides(solved.table.bends)
    tube = limits.tube
    per_mm = kg_per_mm(solved.tube)
    masses = [
        (per_mm * (tube.length - finish), per_mm * start)
        for start, finish in zip(tube.starts, tube.finishes, strict=True)
    ]
    return Task(sides, masses, limits.allow)


def kg_per_mm(tube: Tube) -> float:
    """Return the mass of a mm of tube, by its table row or else as copper."""
    if tube.mass_kg_per_m is not None:
        return tube.mass_kg_per_m / 1000.0
    return pi * (tube.outside_mm - tube.wall_mm) * tube.wall_mm * COPPER_KG_PER_MM3


def side_up_deg(bends: tuple[Bend, ...], bend: int, held: int) -> float:
    """Return which side of the tube faces up when bend number `bend` is pulled, in (-180, 180] degrees.

    Held by the finish side the tube lies the other way round, and the same bend needs the opposite side up.
    """
    return _within_half_turn(sum(b.turn_deg for b in bends[:bend]) + (180.0 if held == FINISH else 0.0))


def _within_half_turn(angle: float) -> float:
    angle = angle % 360.0
    return angle - 360.0 if angle > 180.0 else angle


def _sides(bends: tuple[Bend, ...]) -> list[tuple[int, int]]:
    """Number the planes of the bends, and say which way up each lies when held by start and by finish."""
    planes: list[float] = []
    sides: list[tuple[int, int]] = []
    round_so_far = 0.0
    for bend in bends:
        round_so_far += bend.turn_deg
        aways = [_within_half_turn(round_so_far - plane) for plane in planes]
        near = [i for i, away in enumerate(aways) if min(abs(away), 180.0 - abs(away)) <= SAME_SIDE_DEG]
        if not near:
            near, aways = [len(planes)], [*aways, 0.0]
            planes.append(round_so_far)
        over = int(abs(aways[near[0]]) > 90.0)
        sides.append((2 * near[0] + over, 2 * near[0] + 1 - over))
    return sides


def _plain_order(n: int) -> tuple[Step, ...]:
    return tuple((bend, START) for bend in range(n))


def _plain_if_best(task: Task) -> Order | None:
    """Return the plain order where one look shows that nothing beats it, which spares most runs the search."""
    steps = _plain_order(task.bends)
    cost = cost_of(task, steps)
    fewest_overs = max(len({side for side, _ in task.sides}) - 1, 0)
    finish_mass = sum(masses[FINISH] for masses in task.masses)
    if cost[1] > fewest_overs or _felt(task, cost, (0, 0, finish_mass)) or not works(task, steps):
        return None
    return Order(steps, cost, True)


def _plain_if_as_good(task: Task, order: Order) -> Order:
    steps = _plain_order(task.bends)
    cost = cost_of(task, steps)
    if cost[:2] > order.cost[:2] or _felt(task, cost, order.cost) or not works(task, steps):
        return order
    return Order(steps, cost, order.proven)


def _felt(task: Task, cost: Cost, other: Cost) -> bool:
    """Tell whether the first order swings so much more than the other that a fitter would feel it."""
    return cost[2] - other[2] > UNFELT_KG * task.bends


def _pulls(solved: SolvedRun, limits: Limits, task: Task, steps: tuple[Step, ...]) -> tuple[Pull, ...]:
    bends = solved.table.bends
    pulls: list[Pull] = []
    made = 0
    last: Step | None = None
    for number, (index, held) in enumerate(steps, 1):
        bend = bends[index]
        has_hold, has_guide = limits.straights(index, held, made)
        up = side_up_deg(bends, bend.number, held)
        over = last is not None and task.sides[index][held] != task.sides[last[0]][last[1]]
        pulls.append(
            Pull(
                number=number,
                bend=bend.number,
                held="start" if held == START else "finish",
                mark_mm=mark_mm(solved, bend, held),
                angle_deg=bend.angle_deg,
                pull_deg=solved.pull_deg(bend),
                hold_has_mm=has_hold,
                guide_has_mm=has_guide,
                side_up_deg=up,
                roll_deg=_within_half_turn(up - pulls[-1].side_up_deg) if pulls else 0.0,
                turn_round=last is not None and held != last[1],
                turn_over=over,
                swinging_kg=task.masses[index][held],
                made=frozenset(p.bend for p in pulls),
            )
        )
        made |= 1 << index
        last = (index, held)
    return tuple(pulls)


def mark_mm(solved: SolvedRun, bend: Bend, held: int) -> float:
    """Return where the mark goes, from the start end of the flat tube, for either way of holding it.

    Held by the finish side the bend begins at its far end, and the mark lies the former's offset towards the
    start from there.
    """
    if held == START:
        return solved.mark_mm(bend)
    return bend.finish_mm + (bend.start_mm - solved.mark_mm(bend))


def _angles_too_great(solved: SolvedRun) -> list[Hindrance]:
    greatest = solved.former.max_angle_deg
    return [
        Hindrance(
            "angle",
            f"bend {bend.number} of {bend.angle_deg:.4g} degrees has to be pulled to {pull:.4g}; "
            f"the former goes no further than {greatest:.4g}",
            has=greatest,
            needs=pull,
            at_mm=(bend.start_mm + bend.finish_mm) / 2.0,
            bend=bend.number,
        )
        for bend in solved.table.bends
        if (pull := solved.pull_deg(bend)) > greatest + SLACK_MM
    ]


def _straights_too_short(limits: Limits) -> list[Hindrance]:
    return [_too_short(limits, change) for change in least_lengthening(limits)]


def _too_short(limits: Limits, change: Lengthening) -> Hindrance:
    tube, n = limits.tube, limits.tube.bends
    if change.leg == 0:
        where = "start tail, before bend 1,"
    elif change.leg == n:
        where = f"finish tail, after bend {n},"
    else:
        where = f"leg between bends {change.leg} and {change.leg + 1}"
    way_out = f"{_up(change.more)} longer"
    if change.leg in (0, n):
        way_out += " (it can be cut off after bending)"
    begins = tube.finishes[change.leg - 1] if change.leg else 0.0
    return Hindrance(
        "straight",
        f"{where} is {change.has:.1f}; {_up(change.needs)} is needed {_what_for(limits, change)}: {way_out}",
        has=change.has,
        needs=change.needs,
        at_mm=begins + change.has / 2.0,
        leg=change.leg,
    )


def _what_for(limits: Limits, change: Lengthening) -> str:
    if abs(change.needs - limits.hold) <= SLACK_MM:
        return "to hold the pull beside it"
    if abs(change.needs - limits.guide) <= SLACK_MM:
        return "to guide the pull beside it"
    return f"for the former to hold {limits.hold:.4g} and guide {limits.guide:.4g}, tube not bent yet included"


def _up(mm: float) -> str:
    """Write a length that must not be undercut: to a tenth, rounded up."""
    return f"{ceil(mm * 10.0 - 1e-4) / 10.0:.1f}"
