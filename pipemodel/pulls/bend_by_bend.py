"""The search bend by bend: for the least mass within a budget, and for benders that stand in the way."""

import heapq
from collections.abc import Iterator, Set
from dataclasses import dataclass

from pipemodel.pulls.limits import FINISH, START
from pipemodel.pulls.order import Ahead, Cost, Mode, Order, OrderStep, Task, cost_of, turned

LOOKS, LOOKS_OF_BENDS = 4000, 8
"""So often a search asks what clears: enough to try every order of that many bends, and less often for more of them,
since each look then takes longer."""


def looks_for(bends: int) -> int:
    """Return how often a search for that many bends asks what clears."""
    share = (LOOKS_OF_BENDS / max(bends, LOOKS_OF_BENDS)) ** 2
    return max(int(LOOKS * share), 4 * bends)


@dataclass(frozen=True)
class AnyOrder:
    """Some order, or where the search for one ended.

    Without one, `stuck` is the smallest set of made bends met from which none can come out, and `complete` tells
    whether every way was tried.
    """

    steps: tuple[OrderStep, ...] | None
    stuck: int = 0
    complete: bool = True


def any_order(task: Task, effort: int, looks: int | None = None) -> AnyOrder:
    """Search for any order at all, backwards and depth first; each set of made bends is looked at once.

    With `looks` it asks no more often than that what clears.
    """
    everything = (1 << task.bends) - 1
    seen = {everything}
    left = [looks_for(task.bends) if looks is None else looks]
    trail = [(everything, _that_come_out(task, everything, seen, left))]
    stuck, steps = everything, list[OrderStep]()
    while trail:
        made, ways = trail[-1]
        if not made:
            return AnyOrder(tuple(reversed(steps)))
        if made.bit_count() < stuck.bit_count():
            stuck = made
        step = next(ways, None) if len(seen) <= effort and left[0] > 0 else None
        if step is None:
            trail.pop()
            if trail:
                steps.pop()
            continue
        rest = made ^ (1 << step[0])
        seen.add(rest)
        steps.append(step)
        trail.append((rest, _that_come_out(task, rest, seen, left)))
    # Of all that were looked at, no way out leads on from the smallest.
    return AnyOrder(None, stuck, complete=len(seen) <= effort and left[0] > 0)


def _that_come_out(task: Task, made: int, seen: Set[int], left: list[int]) -> Iterator[OrderStep]:
    """Yield the bends that can come out of those made, each held one way, and leave no set already seen.

    Each look at what clears is taken off `left`.
    """
    for bend in range(task.bends):
        rest = made ^ (1 << bend)
        if rest > made or rest in seen:
            continue
        for held in (START, FINISH):
            if not task.allowed(bend, held, rest):
                continue
            left[0] -= 1
            if task.clear is None or task.clear(bend, held, rest):
                yield bend, held
                break


def by_bends(task: Task, effort: int, known: Order | None = None) -> Order | None:
    """Search bend by bend, best first; exact. Returns None when the effort runs out, or when there is no order.

    With a `known` order nothing is looked at that has more turn-rounds or turn-overs; `known` is returned when
    nothing beats it.
    """
    ahead = Ahead(task, (START, FINISH))
    effort = effort if task.clear is None else min(effort, looks_for(task.bends))
    heap: list[tuple[Cost, int, int, int, OrderStep | None, Cost, tuple[OrderStep, ...]]] = []
    heapq.heappush(heap, ((0, 0, 0.0), task.bends, 0, (1 << task.bends) - 1, None, (0, 0, 0.0), ()))
    seen: set[tuple[int, Mode | None]] = set()
    tie = looked = 0
    fewest = task.bends
    # Every bend still made takes a look of its own, so the end may be out of reach long before the last look.
    while heap and (known is not None or looked + fewest <= effort):
        _, _, _, made, last, cost, steps = heapq.heappop(heap)
        mode = None if last is None else task.mode(*last)
        if (made, mode) in seen:
            continue
        looked += 1
        if looked > effort:
            return None
        if last is not None and task.clear is not None and not task.clear(*last, made):
            continue
        if not made:
            forward = tuple(reversed(steps))
            return Order(forward, cost_of(task, forward), True)
        seen.add((made, mode))
        for step in _next_bends(task, made, last):
            bend, held = step
            following, rest = task.mode(bend, held), made ^ (1 << bend)
            turns, mass = turned(cost[:2], mode, following), cost[2] + task.masses[bend][held]
            rounds, overs, fixed = ahead.turns(turns, rest, following)
            if known is not None and (rounds, overs) > known.cost[:2]:
                continue
            tie += 1
            estimate = (rounds, overs, mass + ahead.mass(rest, held, fixed))
            left = rest.bit_count()
            fewest = min(fewest, left)
            heapq.heappush(heap, (estimate, left, tie, rest, step, (*turns, mass), (*steps, step)))
    return known


def _next_bends(task: Task, made: int, last: OrderStep | None) -> list[OrderStep]:
    """Return what can come out next; only one where it costs nothing to take it now and no other way is lighter."""
    options: list[OrderStep] = []
    for bend in range(task.bends - 1, -1, -1):
        if not made >> bend & 1:
            continue
        for held in (START, FINISH):
            if not task.allowed(bend, held, made ^ (1 << bend)):
                continue
            same = last is not None and task.mode(bend, held) == task.mode(*last)
            if task.clear is None and same and task.masses[bend][held] <= task.masses[bend][1 - held]:
                return [(bend, held)]
            options.append((bend, held))
    return options
