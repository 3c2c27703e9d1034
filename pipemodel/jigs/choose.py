"""The fewest cradles that decide: every one that tells nothing the others do not tell is left out.

A choice of cradles is good when no piece that is out in one thing by more than is asked can be held in it. For a
choice that is not good yet a linear program finds such a piece, held so that it strays from as little as can be of what
was not chosen; one of those cradles must then be in the choice. The lightest choice that has one of each such group is
an integer program. The two are solved in turn until no piece is found: then no lighter choice is good (the method of
implicit hitting sets).
"""

from collections.abc import Sequence
from dataclasses import replace
from math import inf

import numpy as np
from numpy.typing import NDArray

from pipemodel.bending.bends import BendTable
from pipemodel.jigs.base import overlap, pad_of
from pipemodel.jigs.cores import tower_plastic
from pipemodel.jigs.cradles import LEAST_CLEARANCE_MM, Cradle
from pipemodel.jigs.fitting_slots import fitted
from pipemodel.jigs.layout import JigLayout, with_cradles
from pipemodel.jigs.linear import least
from pipemodel.jigs.lying import clearances_of
from pipemodel.jigs.posts import LEAST_MARGIN_MM, supports_of
from pipemodel.jigs.run_in_jig import Array
from pipemodel.jigs.towers import Tower
from pipemodel.jigs.verdict import Judge, asked_of
from pipemodel.jigs.way_up import steadiness
from pipemodel.job.jig import JigSettings

NARROWER = 0.7
"""Share of the clearances of a jig with all cradles that the fewest are chosen with: so much narrower they may be."""
SLACK = 1.02
"""What even all cradles pass may be passed by the choice too, and so much more."""
STRAYS_MM = 1e-6
GAP_MM = 2.0
"""Two cradles of their own stand at least so far apart."""


def fewest(layout: JigLayout, table: BendTable, settings: JigSettings) -> tuple[JigLayout, Array]:
    """Return a layout with the cradles of least plastic that refuse what all of them would refuse.

    Every cradle is then as wide as the tolerance, to be fitted (`pipemodel.jigs.fitting_slots.fitted`); the clearances
    returned are those that the choice was made with.
    """
    if settings.decision != "go":
        layout = fitted(layout, table, settings)
    chosen, clearances = _choice(layout, Judge(layout, table), settings)
    if settings.base != "timber":
        chosen = _steadied(layout, chosen)
    return _only(layout, chosen, settings), clearances


def _steadied(layout: JigLayout, chosen: list[int]) -> list[int]:
    """Return a choice with those cradles added that keep the piece well from toppling; timber has props instead."""

    def margin(which: Sequence[int]) -> float:
        few = replace(layout, towers=tuple(layout.towers[i] for i in which))
        return round(steadiness(layout.axis, supports_of(few)), 6)

    while margin(chosen) < LEAST_MARGIN_MM:
        more = [sorted([*chosen, i]) for i in range(len(layout.towers)) if i not in chosen]
        best = max(more, key=margin, default=chosen)
        if margin(best) <= margin(chosen):
            break
        chosen = best
    return chosen


def without_crowds(layout: JigLayout, settings: JigSettings) -> JigLayout:
    """Return a layout in which no two cradles on timber stand in each other's place: the one without a stop goes."""
    pads = [pad_of(i, t, settings).outline for i, t in enumerate(layout.towers)]
    order = sorted(range(len(pads)), key=lambda i: (layout.towers[i].cradle.stop is None, i))
    kept: list[int] = []
    for i in order:
        if not any(overlap(pads[i], pads[k], GAP_MM) for k in kept):
            kept.append(i)
    return _only(layout, sorted(kept), settings) if len(kept) < len(pads) else layout


def _only(layout: JigLayout, chosen: Sequence[int], settings: JigSettings) -> JigLayout:
    """Return a layout with some of its cradles, numbered again from the start."""
    kept = [layout.towers[i].cradle for i in chosen]
    stretch = {t.cradle.leg: t.place.stretch for t in layout.towers}
    cradles: list[Cradle] = []
    for number, c in enumerate(kept, 1):
        mine = [k for k in kept if k.leg == c.leg]
        low, high = min(k.low_mm for k in mine) * stretch[c.leg], max(k.high_mm for k in mine) * stretch[c.leg]
        beyond = max(low, layout.axis.legs[c.leg].length - high)
        cradles.append(
            replace(c, number=number, clearance_mm=settings.tolerance.position_mm, span_mm=high - low, beyond_mm=beyond)
        )
    return with_cradles(layout, cradles, settings)


def _choice(layout: JigLayout, judge: Judge, settings: JigSettings) -> tuple[list[int], Array]:
    """Return the indices of the towers to keep, in order, and the clearances they are chosen with."""
    of = judge.rules.tower
    weights = np.array([_plastic(t, settings) for t in layout.towers])
    asked = {f: asked_of(judge.table, f, settings.tolerance) for f in judge.faults}
    asked = {f: most for f, most in asked.items() if np.isfinite(most)}
    clearances = clearances_of(layout)
    if settings.decision != "go":
        clearances = np.maximum(np.minimum(clearances, LEAST_CLEARANCE_MM), NARROWER * clearances)
    passes = {f: judge.alone(f, clearances)[0] for f in asked}
    limits = clearances[judge.which]
    # What no cradle could refuse is not asked of the choice either.
    levels = {f: max(most, SLACK * passes[f]) for f, most in asked.items()}
    groups: set[tuple[int, ...]] = set()
    chosen: list[int] = []
    while True:
        found = {g for f, most in levels.items() if (g := _held(judge, judge.slopes[f] * most, limits, of, chosen))}
        if not found - groups:
            return chosen, clearances
        groups |= found
        chosen = lightest(groups, weights)


def _held(judge: Judge, fault: Array, limits: Array, of: NDArray[np.int_], chosen: Sequence[int]) -> tuple[int, ...]:
    """Return the towers that a piece with this fault, held in the chosen ones, strays from; as little as can be."""
    n, towers = len(limits), int(of.max()) + 1
    others = [t for t in range(towers) if t not in chosen]
    slack = np.zeros((n, len(others)))
    for column, t in enumerate(others):
        slack[of == t, column] = -1.0
    moves = judge.moves
    a = np.vstack([np.hstack([moves, slack]), np.hstack([-moves, slack])])
    b = np.concatenate([limits - fault, limits + fault])
    cost = np.concatenate([np.zeros(6), np.ones(len(others))])
    found = least(cost, a, b, [(-inf, inf)] * 6 + [(0.0, inf)] * len(others))
    if found is None:
        return ()
    return tuple(t for t, x in zip(others, found[0][6:], strict=True) if x > STRAYS_MM)


def lightest(groups: set[tuple[int, ...]], weights: Array) -> list[int]:
    """Return the towers of least weight that have one of each group."""
    from scipy.optimize import Bounds, LinearConstraint, milp

    rows = np.array([[1.0 if t in g else 0.0 for t in range(len(weights))] for g in sorted(groups)])
    found = milp(
        weights,
        constraints=LinearConstraint(rows, lb=np.ones(len(rows))),
        integrality=np.ones(len(weights)),
        bounds=Bounds(0.0, 1.0),
    )
    return [t for t, x in enumerate(found.x) if x > 0.5]


def _plastic(tower: Tower, settings: JigSettings) -> float:
    """Return roughly what a cradle takes, mm3, a little less for one of equal size that comes earlier."""
    plastic = tower_plastic(tower, settings.print)
    if tower.ear:
        long, low = tower.top[1] - tower.top[0] + tower.ear, min(tower.place.height(a, 0.0) for a in tower.top)
        plastic = long * 2.0 * tower.half * max(low - tower.seat, 1.0)
    return float(plastic * (1.0 + 1e-4 * tower.cradle.number))
