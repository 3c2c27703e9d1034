"""Of the orders that are equal in all else, the one nearest number order: the fewest pairs of bends out of number.

Of equals in that again, the one with the fewest pulls held by the finish side. Up to `EXACT_BENDS` bends every order of
the same cost is looked at; beyond that, only whole modes are put one before the other.
"""

import heapq
from collections.abc import Sequence
from dataclasses import replace
from itertools import combinations, groupby, permutations

from pipemodel.pulls.bend_by_bend import looks_for
from pipemodel.pulls.limits import FINISH, START
from pipemodel.pulls.order import Ahead, Cost, Mode, Order, OrderStep, Task, cost_of, turned, works

EXACT_BENDS = 8
"""So many bends have so few orders that the nearest to number order of all the equal ones is found."""
MOST_GROUPS = 5
"""Of so many modes one after the other, all ways of putting them are tried for the one nearest number order."""
SAME_KG = 5e-7
"""Masses are compared to a milligram; see `cost_of`."""


def nearest_number_order(task: Task, order: Order, effort: int) -> Order:
    """Return an order of the same cost with its bends as near to number order as can be.

    What has to clear only leaves fewer orders: so the nearest of all is looked for first, and serves if it clears.
    """
    if out_of_number(order.steps) == (0, 0):
        return order
    if task.clear is not None:
        nearest = nearest_number_order(replace(task, clear=None), order, effort)
        if works(task, nearest.steps):
            return nearest
    if task.bends <= EXACT_BENDS and order.proven:
        return _of_all_equals(task, order, effort) or order
    return _by_groups(task, order)


def out_of_number(steps: Sequence[OrderStep]) -> tuple[int, int]:
    """Return how many pairs of bends are out of number order, and how many pulls are held by the finish side."""
    return sum(a[0] > b[0] for a, b in combinations(steps, 2)), sum(held == FINISH for _, held in steps)


def _of_all_equals(task: Task, order: Order, effort: int) -> Order | None:
    """Search backwards, best first; two ways to the same set of made bends are one only if they cost the same."""
    ahead = Ahead(task, (START, FINISH))
    heap: list[tuple[tuple[int, int], int, int, OrderStep | None, Cost, tuple[OrderStep, ...]]] = []
    heapq.heappush(heap, ((0, 0), 0, (1 << task.bends) - 1, None, (0, 0, 0.0), ()))
    seen: set[tuple[int, Mode | None, Cost]] = set()
    tie = looked = 0
    effort = effort if task.clear is None else min(effort, looks_for(task.bends))
    best: tuple[tuple[int, int], tuple[OrderStep, ...]] | None = None
    while heap and (best is None or heap[0][0] <= best[0]):
        (out, finish), _, made, last, cost, steps = heapq.heappop(heap)
        mode = None if last is None else task.mode(*last)
        key = (made, mode, (cost[0], cost[1], round(cost[2], 6)))
        if key in seen or (last is not None and task.clear is not None and not task.clear(*last, made)):
            continue
        if not made:
            found = (out, finish), tuple(reversed(steps))
            best = found if best is None else min(best, found)
            continue
        seen.add(key)
        looked += 1
        if looked > effort:
            break
        for bend in range(task.bends):
            rest = made ^ (1 << bend)
            if rest > made:
                continue
            for held in (START, FINISH):
                following = task.mode(bend, held)
                turns, mass = turned(cost[:2], mode, following), cost[2] + task.masses[bend][held]
                if turns[0] > order.cost[0] or not task.allowed(bend, held, rest):
                    continue
                rounds, overs, fixed = ahead.turns(turns, rest, following)
                if (rounds, overs) > order.cost[:2]:
                    continue
                same = (rounds, overs) == order.cost[:2]
                if same and mass + ahead.mass(rest, held, fixed) > order.cost[2] + SAME_KG:
                    continue
                tie += 1
                nearer = (out + (rest >> bend).bit_count(), finish + (held == FINISH))
                heapq.heappush(heap, (nearer, tie, rest, (bend, held), (*turns, mass), (*steps, (bend, held))))
    return None if best is None else Order(best[1], cost_of(task, best[1]), order.proven)


def _by_groups(task: Task, order: Order) -> Order:
    """Put the pulls of each mode together one before the other in every way, and keep the way nearest number order."""
    groups = [tuple(g) for _, g in groupby(order.steps, key=lambda s: task.mode(*s))]
    if not 1 < len(groups) <= MOST_GROUPS:
        return order
    ways = [tuple(step for group in way for step in group) for way in permutations(groups)]
    for _, steps in sorted((out_of_number(steps), steps) for steps in ways):
        if steps == order.steps:
            break
        if cost_of(task, steps) <= order.cost and works(task, steps):
            return Order(steps, order.cost, order.proven)
    return order
