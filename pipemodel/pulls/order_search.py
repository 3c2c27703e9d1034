"""The best order of pulls: fewest turn-rounds, then fewest turn-overs, then least mass swinging.

Within one mode every bend that can come out is taken out at once, since that costs nothing and leaves more
straight for the rest; so the search is over sequences of modes, not of bends, and is exact for turn-rounds and
turn-overs. Where a bender's body and lever have a say, a bend made may hinder another or help it out of the way,
so that search goes bend by bend (`plan_bends`), and only when the order found without them won't do.
"""

import heapq
from collections.abc import Sequence
from dataclasses import replace

from pipemodel.pulls.bend_by_bend import any_order, by_bends
from pipemodel.pulls.limits import FINISH, START, taken_out
from pipemodel.pulls.number_order import nearest_number_order
from pipemodel.pulls.order import Ahead, Mode, Order, OrderStep, Task, cost_of, turned, works

WORK = 600_000
"""How much a search does before it settles for the best it has: positions looked at, times bends squared."""


def effort_for(bends: int) -> int:
    """Return how many positions a search for that many bends looks at."""
    return max(200, WORK // max(bends, 1) ** 2)


def order_by_limits(task: Task, effort: int) -> Order | None:
    """Return the best order by the former's limits, where it clears what the task asks to clear; None otherwise.

    What has to be cleared only leaves fewer orders, so where the best of all clears, none is better. Without
    anything to clear there always is one, since the limits have been asked before.
    """
    if task.bends == 0:
        return Order((), (0, 0, 0.0), True)
    by_limits = replace(task, clear=None)
    order = _best_by_limits(by_limits, effort)
    if order is None:
        return None
    nearest = nearest_number_order(by_limits, order, effort)
    if works(task, nearest.steps):
        return nearest
    return nearest_number_order(task, order, effort) if works(task, order.steps) else None


def order_that_clears(task: Task, effort: int) -> Order | None:
    """Return the best order that clears; None when there is none, or none was found within the effort."""
    found = any_order(task, effort).steps
    if found is None:
        return None
    order = by_bends(task, effort)
    return Order(found, cost_of(task, found), False) if order is None else nearest_number_order(task, order, effort)


def _best_by_limits(task: Task, effort: int) -> Order | None:
    one_way = [o for held in (START, FINISH) if (o := _by_modes(task, (held,), effort)) is not None]
    if one_way and not task.fewest_changes:
        # Held by one side throughout, the mass swinging is the same whatever the order; of equals the start side is
        # held, which keeps the numbers running on.
        return min(one_way, key=lambda order: order.cost)
    order = _by_modes(task, (START, FINISH), effort)
    if order is None or not order.proven:
        return order
    return by_bends(task, effort, order) or Order(order.steps, order.cost, False)


def _by_modes(task: Task, helds: Sequence[int], effort: int) -> Order | None:
    """Search sequences of modes, best first; exact for turn-rounds and turn-overs, the mass as it falls."""
    everything = (1 << task.bends) - 1
    if taken_out(everything, lambda bend, rest: any(task.allowed(bend, held, rest) for held in helds)):
        return None  # some cannot come out in any order
    modes = sorted({task.mode(bend, held) for bend in range(task.bends) for held in helds})
    ahead = Ahead(task, helds)
    # In the heap: estimate (then fewest bends left), tie, bends still made, mode, cost so far, steps backwards.
    heap: list[tuple[tuple[int, int, int], int, int, Mode | None, tuple[int, int], tuple[OrderStep, ...]]] = []
    heapq.heappush(heap, ((0, 0, task.bends), 0, everything, None, (0, 0), ()))
    seen: set[tuple[int, Mode | None]] = set()
    tie = looked = 0
    spent = False
    while heap:
        _, _, made, mode, cost, steps = heapq.heappop(heap)
        if not made:
            forward = tuple(reversed(steps))
            return Order(forward, cost_of(task, forward), not spent)
        if looked >= effort:
            # From here on only the most promising way on: no step is a dead end, so it ends in some order.
            heap.clear()
            spent = True
        elif (made, mode) in seen:
            continue
        seen.add((made, mode))
        looked += 1
        for following in modes:
            if following == mode:
                continue
            left, out = _take_out(task, made, following)
            if not out:
                continue
            tie += 1
            turns = turned(cost, mode, following)
            rounds, overs, _ = ahead.turns(turns, left, following)
            heapq.heappush(heap, ((rounds, overs, left.bit_count()), tie, left, following, turns, (*steps, *out)))
    return None


def _take_out(task: Task, made: int, mode: Mode) -> tuple[int, list[OrderStep]]:
    """Take out all bends that can come out in this mode; the one nearest the free end first."""
    held = mode[0]
    numbers = range(task.bends - 1, -1, -1) if held == START else range(task.bends)
    out: list[OrderStep] = []
    again = True
    while again:
        again = False
        for bend in numbers:
            if not made >> bend & 1 or task.mode(bend, held) != mode:
                continue
            if task.allowed(bend, held, made ^ (1 << bend)):
                made ^= 1 << bend
                out.append((bend, held))
                again = True
                break
    return made, out
