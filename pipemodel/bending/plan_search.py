"""The best order of pulls: fewest turn-rounds, then fewest turn-overs, then least mass swinging.

The search runs backwards, from the finished piece to the straight tube, for the reason given in `plan_limits`:
with limits that only get tighter as bends are made, no step backwards is ever wrong, only dear. A **mode** is
what the fitter has set up: which side of the tube is held, and which side of it faces up. Within one mode every
bend that can come out is taken out at once, since that costs nothing and leaves more straight for the rest; so
the search is over sequences of modes, not of bends, and is exact for turn-rounds and turn-overs.
"""

import heapq
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TypeAlias

from pipemodel.bending.plan_limits import FINISH, START

Allowed: TypeAlias = Callable[[int, int, int], bool]
"""(bend, held side, bends already made) -> can it be pulled."""
Step: TypeAlias = tuple[int, int]
"""(bend, held side)."""
Mode: TypeAlias = tuple[int, int]
"""(held side, side up)."""
Cost: TypeAlias = tuple[int, int, float]
"""(turn-rounds, turn-overs, mass swinging)."""

EFFORT = 5_000
"""How many positions a search looks at before it settles for the best it has."""


@dataclass(frozen=True)
class Task:
    """What is to be ordered. `sides[bend]` and `masses[bend]` are pairs, for held by start and by finish.

    A side up is twice the number of the bend's plane, plus 1 for the other way up: equal numbers mean that the
    same side of the tube faces up. Masses are in kg.
    """

    sides: Sequence[tuple[int, int]]
    masses: Sequence[tuple[float, float]]
    allowed: Allowed

    @property
    def bends(self) -> int:
        """How many bends there are."""
        return len(self.sides)


@dataclass(frozen=True)
class Order:
    """Steps in the order of pulling, and what they cost.

    `proven` is false when the search stopped at its effort: the order works, but a better one may exist.
    """

    steps: tuple[Step, ...]
    cost: Cost
    proven: bool


def cost_of(task: Task, steps: Sequence[Step]) -> Cost:
    """Return (turn-rounds, turn-overs, mass swinging) of an order."""
    rounds = overs = 0
    mass = 0.0
    last: Step | None = None
    for bend, held in steps:
        if last is not None:
            rounds += held != last[1]
            overs += task.sides[bend][held] != task.sides[last[0]][last[1]]
        mass += task.masses[bend][held]
        last = (bend, held)
    return rounds, overs, round(mass, 6)  # To a milligram, so that equal masses are equal.


def works(task: Task, steps: Sequence[Step]) -> bool:
    """Tell whether every pull of an order is allowed when its turn comes."""
    made = 0
    for bend, held in steps:
        if not task.allowed(bend, held, made):
            return False
        made |= 1 << bend
    return True


def best_order(task: Task, effort: int = EFFORT) -> Order | None:
    """Return the best order for limits that only get tighter as bends are made; None when there is none."""
    if task.bends == 0:
        return Order((), (0, 0, 0.0), True)
    one_way = [o for held in (START, FINISH) if (o := _by_modes(task, (held,), effort)) is not None]
    if one_way:
        # Held by one side throughout, the mass swinging is the same whatever the order.
        return min(one_way, key=lambda o: o.cost)
    order = _by_modes(task, (START, FINISH), effort)
    if order is None or not order.proven:
        return order
    return _by_bends(task, order, effort) or Order(order.steps, order.cost, False)


class _Ahead:
    """What the bends still to be taken out cost at the very least, so that the search looks at little else."""

    def __init__(self, task: Task, helds: Sequence[int]) -> None:
        self.task, self.helds = task, helds
        self._rounds: dict[tuple[int, int], int] = {}

    def rounds(self, made: int, held: int) -> int:
        """Return the fewest turn-rounds from here: take out all that can come out from one side, then the other."""
        if (made, held) not in self._rounds:
            rounds, rest, side = 0, made, held
            while True:
                rest = _closure(self.task, rest, side)
                if not rest:
                    break
                side = 1 - side
                rounds += 1
            self._rounds[made, held] = rounds
        return self._rounds[made, held]

    def overs(self, made: int, held: int, side: int | None, fixed: bool) -> int:
        """Return a bound on the turn-overs: each side up still to come costs one, each plane if held may change."""
        sides = self.task.sides
        rest = (sides[b][held] for b in range(self.task.bends) if made >> b & 1)
        kinds = set(rest) if fixed else {s >> 1 for s in rest}
        if side is None:
            return max(len(kinds) - 1, 0)
        return len(kinds - {side if fixed else side >> 1})

    def mass(self, made: int, held: int, fixed: bool) -> float:
        """Return the least mass still to swing."""
        rest = (self.task.masses[b] for b in range(self.task.bends) if made >> b & 1)
        return sum(pair[held] if fixed else min(pair) for pair in rest)


def _by_modes(task: Task, helds: Sequence[int], effort: int) -> Order | None:
    """Search sequences of modes, best first; exact for turn-rounds and turn-overs, the mass as it falls."""
    everything = (1 << task.bends) - 1
    if _stuck(task, everything, helds):
        return None
    modes = sorted({(held, pair[held]) for pair in task.sides for held in helds})
    ahead = _Ahead(task, helds)
    # In the heap: estimate (then fewest bends left), tie, bends still made, mode, cost so far, steps backwards.
    heap: list[tuple[tuple[int, int, int], int, int, Mode | None, tuple[int, int], tuple[Step, ...]]] = []
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
            rounds, overs = cost
            if mode is not None:
                rounds, overs = rounds + (following[0] != mode[0]), overs + (following[1] != mode[1])
            tie += 1
            more = ahead.rounds(left, following[0]) if len(helds) > 1 else 0
            least = overs + ahead.overs(left, *following, fixed=not more)
            estimate = (rounds + more, least, left.bit_count())
            heapq.heappush(heap, (estimate, tie, left, following, (rounds, overs), (*steps, *out)))
    return None


def _stuck(task: Task, made: int, helds: Sequence[int]) -> bool:
    """Tell whether some bends can't be taken out in any order."""
    before = -1
    while made and made != before:
        before = made
        for held in helds:
            made = _closure(task, made, held)
    return made != 0


def _closure(task: Task, made: int, held: int) -> int:
    """Take out all bends that can come out held by one side, whichever side is up; return what is left."""
    again = True
    while again and made:
        again = False
        rest = made
        while rest:
            bit = rest & -rest
            rest ^= bit
            if task.allowed(bit.bit_length() - 1, held, made ^ bit):
                made ^= bit
                again = True
    return made


def _take_out(task: Task, made: int, mode: Mode) -> tuple[int, list[Step]]:
    """Take out all bends that can come out in this mode; the one nearest the free end first."""
    held, side = mode
    numbers = range(task.bends - 1, -1, -1) if held == START else range(task.bends)
    out: list[Step] = []
    again = True
    while again:
        again = False
        for bend in numbers:
            if not made >> bend & 1 or task.sides[bend][held] != side:
                continue
            if task.allowed(bend, held, made ^ (1 << bend)):
                made ^= 1 << bend
                out.append((bend, held))
                again = True
                break
    return made, out


def _by_bends(task: Task, known: Order, effort: int) -> Order | None:
    """Search bend by bend for the least mass within the turn-rounds and turn-overs of a known order.

    Returns None when the effort runs out.
    """
    budget = known.cost[:2]
    ahead = _Ahead(task, (START, FINISH))
    heap: list[tuple[Cost, int, int, int, Step | None, Cost, tuple[Step, ...]]] = []
    heapq.heappush(heap, ((0, 0, 0.0), task.bends, 0, (1 << task.bends) - 1, None, (0, 0, 0.0), ()))
    seen: set[tuple[int, int, int]] = set()
    tie = looked = 0
    while heap:
        _, _, _, made, last, cost, steps = heapq.heappop(heap)
        if not made:
            forward = tuple(reversed(steps))
            return Order(forward, cost_of(task, forward), True)
        mode = (-1, -1) if last is None else (last[1], task.sides[last[0]][last[1]])
        if (made, *mode) in seen:
            continue
        seen.add((made, *mode))
        looked += 1
        if looked > effort:
            return None
        for step in _next_bends(task, made, last):
            bend, held = step
            rounds, overs, mass = cost
            side = task.sides[bend][held]
            if last is not None:
                rounds += held != last[1]
                overs += side != mode[1]
            mass += task.masses[bend][held]
            rest = made ^ (1 << bend)
            more = ahead.rounds(rest, held)
            fixed = rounds + more == budget[0] and not more
            least = overs + ahead.overs(rest, held, side, fixed)
            if (rounds + more, least) > budget:
                continue
            tie += 1
            estimate = (rounds + more, least, mass + ahead.mass(rest, held, fixed))
            left = rest.bit_count()
            heapq.heappush(heap, (estimate, left, tie, rest, step, (rounds, overs, mass), (*steps, step)))
    return known


def _next_bends(task: Task, made: int, last: Step | None) -> list[Step]:
    """Return what can come out next; only one where it costs nothing to take it now and no other way is lighter."""
    options: list[Step] = []
    for bend in range(task.bends - 1, -1, -1):
        if not made >> bend & 1:
            continue
        for held in (START, FINISH):
            if not task.allowed(bend, held, made ^ (1 << bend)):
                continue
            same = last is not None and held == last[1] and task.sides[bend][held] == task.sides[last[0]][last[1]]
            if same and task.masses[bend][held] <= task.masses[bend][1 - held]:
                return [(bend, held)]
            options.append((bend, held))
    return options
