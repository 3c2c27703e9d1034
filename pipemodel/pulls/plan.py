"""The plan of pulls: which bend when, held from which end, which side of the tube up.

At each pull the held side offers at least the former's `hold` of straight tube before the bend, to the nearest
bend already made or to the tube's end, and the other side at least its `guide` after it. Through the whole pull and
as it springs back the piece clears itself, and in a bender that is described its body, lever, guide and room. Among
the orders that work the plan has the fewest **turn-rounds** (the other end goes into the stop) and changes of former,
which count alike, then the fewest **turn-overs** (another side of the tube has to face up than at the pull before),
then the least mass swinging, summed over the pulls. Of equals the one nearest number order is taken, then the one with
the fewest pulls held by the finish side; `plan_number` says for how many bends. A run that is to be bent for accuracy
has the order whose finish lands best in place of all that; see `for_accuracy`.
"""

from dataclasses import dataclass
from functools import lru_cache
from typing import Literal, TypeAlias

from pipemodel.bending.bends import Bend
from pipemodel.bending.corner_faults import TOUCH_MM
from pipemodel.bending.schedule import SolvedRun
from pipemodel.messages.values import Count, Message, Word, message
from pipemodel.pulls.bend_by_bend import any_order
from pipemodel.pulls.for_accuracy import Weights, angle_weights, most_accurate
from pipemodel.pulls.hindrance import Hindrance, hindrances_of
from pipemodel.pulls.limits import FINISH, START
from pipemodel.pulls.obstructions import Clearance
from pipemodel.pulls.order import Order, OrderStep, Task, cost_of, works
from pipemodel.pulls.order_search import effort_for, order_by_limits, order_that_clears
from pipemodel.pulls.piece import PieceToBend, side_up_deg, within_half_turn
from pipemodel.trade.benders import Bender
from pipemodel.trade.model import Former

Held: TypeAlias = Literal["start", "finish"]

LOOKS_AT_FIRST = 4
"""So often, times the bends, a search for any order at all asks what clears before a few bends are looked at alone."""


@dataclass(frozen=True)
class Pull:
    """One pull. Positions are on the flat tube, in mm from its start end.

    `side_up_deg` is the side of the tube that faces up: how far round from the side that faces up for bend 1
    held by its start side, clockwise seen from the start end. `roll_deg` is how far the tube is rolled in the bender
    since the pull before, clockwise seen from the start end, in (-180, 180]; 0 at the first pull. For another side to
    come up the tube rolls the other way round than that side lies.
    """

    number: int
    bend: int
    held: Held
    mark_mm: float
    angle_deg: float
    pull_deg: float
    hold_has_mm: float
    guide_has_mm: float
    hold_needed_mm: float
    guide_needed_mm: float
    """What the former needs there: the guide by `Former.guide_needed_mm`."""
    side_up_deg: float
    roll_deg: float
    turn_round: bool
    turn_over: bool
    former: Former
    change_former: bool
    """Whether another former was in at the pull before."""
    several_formers: bool
    """Whether the run is bent round more than one, so that each pull has to say which."""
    made: frozenset[int]
    """The numbers of the bends made before this pull."""
    mark_lost: Message | None = None
    """Where the mark would lie if the hands cannot use it there: off the tube, or on or beyond a bend made before."""

    @property
    def drawn_mark_mm(self) -> float:
        """Where the hands draw a mark for this pull: at `mark_mm`, or where the bend begins if the mark is lost."""
        if self.mark_lost is None:
            return self.mark_mm
        return self.mark_mm - self.former.mark_mm if self.held == "start" else self.mark_mm + self.former.mark_mm

    @property
    def past_rim_mm(self) -> float:
        """How far past the rim's start, towards the free end, the drawn mark stands; below zero short of it.

        The same from whichever end the tube is held: the former does not change sides.
        """
        return self.former.mark_mm if self.mark_lost is None else 0.0


@dataclass(frozen=True)
class Plan:
    """The pulls of one run in order; empty, with the hindrances, when no order works.

    `proven` is false when the search was cut short: the plan works, but one with fewer turn-rounds or
    turn-overs, or less swinging, may exist.
    """

    pulls: tuple[Pull, ...] = ()
    hindrances: tuple[Hindrance, ...] = ()
    proven: bool = True
    last: Pull | None = None
    """The pull made before the first of these, where some are made already."""

    @property
    def possible(self) -> bool:
        """Whether there is an order that works."""
        return not self.hindrances

    @property
    def why_not(self) -> tuple[Message, ...]:
        """Why no order works; empty when one does."""
        return tuple(h.said for h in self.hindrances)

    @property
    def in_number_order(self) -> bool:
        """Whether the bends are pulled 1 to n, held by their start side."""
        return all(p.bend == i and p.held == "start" for i, p in enumerate(self.pulls, 1))


NO_PLAN = Plan()
"""Nothing is pulled: for a paper that shows the piece alone."""


def plan_pulls(solved: SolvedRun, effort: int | None = None) -> Plan:
    """Plan the pulls of one run by the former's limits, clear of itself, and clear of its bender if it has one.

    Whether an order exists by the former's limits is answered exactly, for any number of bends. `effort` bounds
    the positions looked at for the best one, and for any one that clears piece and bender; see `Plan.proven`.
    """
    piece = PieceToBend.of(solved)
    effort = effort_for(len(piece.bends)) if effort is None else effort
    weights = angle_weights(solved.table, solved.run.ends.trim_mm > 0.0) if solved.run.for_accuracy else ()
    answer = _planned(piece, solved.run.bender, effort, weights)
    if not isinstance(answer, Order):
        return Plan(hindrances=answer)
    return Plan(_pulls(solved, piece, answer.steps), proven=answer.proven)


@lru_cache(maxsize=256)
def _planned(piece: PieceToBend, bender: Bender | None, effort: int, weights: Weights) -> Order | tuple[Hindrance, ...]:
    """Return the order for a piece, or why there is none; remembered, since papers and checks both ask."""
    hindrances = hindrances_of(piece)
    if hindrances:
        return hindrances
    clearance = Clearance(piece, bender)
    task = Task(piece.sides_up(), piece.swinging_kg(), piece.limits.allow, clearance.allowed, piece.former_numbers)
    if weights and (order := most_accurate(task, weights, effort)) is not None:
        return order
    order = _plain_if_best(task) or order_by_limits(task, effort)
    if order is None:
        return _order_in_room(piece, bender, task, clearance, effort)
    return _plain_if_as_good(task, order)


def _order_in_room(
    piece: PieceToBend, bender: Bender | None, task: Task, clearance: Clearance, effort: int
) -> Order | tuple[Hindrance, ...]:
    """Return an order where the best one by the limits alone does not clear, or why there is none."""
    from pipemodel.pulls.crossing import crossing_hindrance
    from pipemodel.pulls.way_out import blocked_hindrances
    from pipemodel.pulls.window import Window, blocked_window

    if (touch := clearance.finished()) is not None:
        return (crossing_hindrance(piece, touch),)
    # Where some order is found soon, no few bends of it stand in each other's way.
    soon = any_order(task, effort, LOOKS_AT_FIRST * task.bends).steps
    blocked = blocked_window(piece, bender, effort) if soon is None else None
    order = None if blocked is not None else order_that_clears(task, effort)
    if order is not None:
        return _plain_if_as_good(task, order)
    return blocked_hindrances(blocked or Window(piece, 0, len(piece.bends)), bender, effort)


def _plain_order(n: int) -> tuple[OrderStep, ...]:
    return tuple((bend, START) for bend in range(n))


def _plain_if_best(task: Task) -> Order | None:
    """Return the plain order where one look shows that nothing beats it, which spares most runs the search."""
    steps = _plain_order(task.bends)
    cost = cost_of(task, steps)
    fewest_overs = max(len({side for side, _ in task.sides}) - 1, 0)
    finish_mass = sum(masses[FINISH] for masses in task.masses)
    if cost[0] > task.fewest_changes or cost[1] > fewest_overs or cost[2] > finish_mass or not works(task, steps):
        return None
    return Order(steps, cost, True)


def _plain_if_as_good(task: Task, order: Order) -> Order:
    steps = _plain_order(task.bends)
    cost = cost_of(task, steps)
    if cost > order.cost or not works(task, steps):
        return order
    return Order(steps, cost, order.proven)


def pulls_in_order(solved: SolvedRun, steps: tuple[OrderStep, ...]) -> tuple[Pull, ...]:
    """Return the pulls of a run in an order of steps, whether or not that order works."""
    return _pulls(solved, PieceToBend.of(solved), steps)


def _pulls(solved: SolvedRun, piece: PieceToBend, steps: tuple[OrderStep, ...]) -> tuple[Pull, ...]:
    bends, sides = piece.bends, piece.sides_up()
    pulls: list[Pull] = []
    made = 0
    last: OrderStep | None = None
    for number, (index, held) in enumerate(steps, 1):
        bend = bends[index]
        has_hold, has_guide = piece.limits.straights(index, held, made)
        before = frozenset(p.bend for p in pulls)
        mark = mark_mm(solved, bend, held)
        up = side_up_deg(bends, bend.number, held)
        over = last is not None and sides[index][held] != sides[last[0]][last[1]]
        turn_round = last is not None and held != last[1]
        # Turned end for end, the inside line that faced whoever pulls then faces away; upright, it goes on facing down.
        half = 180.0 if turn_round and solved.run.stance == "upright" else 0.0
        pulls.append(
            Pull(
                number=number,
                bend=bend.number,
                held="start" if held == START else "finish",
                mark_mm=mark,
                angle_deg=bend.angle_deg,
                pull_deg=solved.pull_deg(bend),
                hold_has_mm=has_hold,
                guide_has_mm=has_guide,
                hold_needed_mm=piece.limits.holds[index],
                guide_needed_mm=piece.limits.guides[index],
                side_up_deg=up,
                roll_deg=within_half_turn(pulls[-1].side_up_deg - up + half) if pulls else 0.0,
                turn_round=turn_round,
                turn_over=over,
                former=piece.formers[index],
                several_formers=len(set(piece.formers)) > 1,
                change_former=last is not None and piece.formers[index] != piece.formers[last[0]],
                made=before,
                mark_lost=_mark_lost(solved, bend, mark, before),
            )
        )
        made |= 1 << index
        last = (index, held)
    return tuple(pulls)


def _mark_lost(solved: SolvedRun, bend: Bend, mark: float, made: frozenset[int]) -> Message | None:
    """Return where a mark lies that cannot be drawn, or not be brought to the former on straight tube; else None."""
    if mark < -TOUCH_MM or mark > solved.cut_length_mm + TOUCH_MM:
        return message("mark.off the tube", end=Word("start" if mark < 0.0 else "finish"))
    for one in solved.table.bends:
        over = mark - one.start_mm if one.number > bend.number else one.finish_mm - mark
        if one.number in made and over > TOUCH_MM:
            return message("mark.on a bend", bend=Count(one.number))
    return None


def mark_mm(solved: SolvedRun, bend: Bend, held: int) -> float:
    """Return where the mark goes, from the start end of the flat tube, for either way of holding it.

    Held by the finish side the bend begins at its far end, and the mark lies the former's offset towards the
    start from there.
    """
    if held == START:
        return solved.mark_mm(bend)
    return bend.finish_mm + (bend.start_mm - solved.mark_mm(bend))
