"""The order of pulls that makes the finish land best: which side of the tube each bend is held by.

An error of a bend's angle moves the finish otherwise when its mark fixes where it ends than when it fixes where it
begins. Marks and turns count the same either way. All angles are made by the same hands, so what each way adds to the
mean square of how far the finish is off is known but for one factor, and adds up bend by bend.
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import product

from pipemodel.bending.bends import BendTable, centreline_of
from pipemodel.bending.finish_moves import finish_moves
from pipemodel.geometry.vectors import along, dot
from pipemodel.pulls.order import Order, Task, works
from pipemodel.pulls.order_search import order_by_limits, order_that_clears

MOST_BENDS = 10
"""Of longer runs only the ways that hold all bends by one side are looked at."""
MOST_TRIED = 64
"""So many ways of holding the bends are tried, the best first."""
SAME = 1e-6
"""Sums that differ by less than this part are equal, and then the plan that is less work is taken."""

Weights = tuple[tuple[float, float], ...]
"""For each bend what its angle's error adds, held by start and held by finish; mm2 per radian2."""


def angle_weights(table: BendTable, cut: bool = False) -> Weights:
    """Return what one radian of each angle's error adds, held by the start side and by the finish side.

    Args:
        table: the bends.
        cut: whether the finish is cut after bending: then it does not matter how far on along the last leg it lies.
    """
    last = centreline_of(table).straights[-1].direction
    weights = []
    for bend, moves in zip(table.bends, finish_moves(table), strict=True):
        pair = []
        for moved in (moves.angle, along(moves.angle, moves.start, -bend.radius_mm)):
            counts = along(moved, last, -dot(moved, last)) if cut else moved
            pair.append(dot(counts, counts))
        weights.append((pair[0], pair[1]))
    return tuple(weights)


def most_accurate(task: Task, weights: Weights, effort: int) -> Order | None:
    """Return the order that works with the least sum of weights; None where none of those tried works.

    Of equal ones the one that costs least by `cost_of` is taken. It counts as proven where every better way of holding
    the bends was tried, and shown not to work.
    """
    best: Order | None = None
    least, sure = float("inf"), True
    for tried, (weight, helds) in enumerate(_ways(weights)):
        if weight > least * (1.0 + SAME):
            break
        if tried >= MOST_TRIED:
            sure = False
            break
        order = _order(_held_so(task, helds), effort)
        if order is not None and (best is None or order.cost < best.cost):
            best, least = order, weight
    return None if best is None else replace(best, proven=best.proven and sure and len(weights) <= MOST_BENDS)


def _ways(weights: Weights) -> Iterator[tuple[float, tuple[int, ...]]]:
    """Yield which side each bend is held by, the least sum of weights first."""
    n = len(weights)
    ways = product((0, 1), repeat=n) if n <= MOST_BENDS else ((held,) * n for held in (0, 1))
    yield from sorted((sum(pair[held] for pair, held in zip(weights, way, strict=True)), way) for way in ways)


def _held_so(task: Task, helds: Sequence[int]) -> Task:
    return replace(task, allowed=lambda bend, held, made: held == helds[bend] and task.allowed(bend, held, made))


def _order(task: Task, effort: int) -> Order | None:
    by_limits = order_by_limits(replace(task, clear=None), effort)
    if by_limits is None or works(task, by_limits.steps):
        return by_limits
    return order_that_clears(task, effort)
