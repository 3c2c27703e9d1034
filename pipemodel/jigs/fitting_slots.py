"""Slots made just so wide that the jig refuses every piece that is out of tolerance in one thing alone."""

from dataclasses import replace

import numpy as np

from pipemodel.bending.bends import BendTable
from pipemodel.jigs.cradles import LEAST_CLEARANCE_MM, LEAST_STOP_MM
from pipemodel.jigs.layout import JigLayout, with_cradles
from pipemodel.jigs.lying import clearances_of
from pipemodel.jigs.run_in_jig import Array
from pipemodel.jigs.verdict import JigFault, Judge, asked_of
from pipemodel.job.jig import JigSettings

FINE_MM = 0.01
"""Clearances are settled to this, downwards, so that they do not hang on the last digits of a solver."""
NARROW_ENOUGH, WIDE_ENOUGH = 1.0001, 1.0003
"""What passes may be so many times its tolerance. Narrowing ends at the tolerance itself, to within rounding; widening
is held to a little more, so that no machine's rounding decides about it."""


def fitted(layout: JigLayout, table: BendTable, settings: JigSettings, begin: Array | None = None) -> JigLayout:
    """Return a layout whose slots and stops refuse every piece that is out of tolerance in one thing alone.

    The widest slots are narrowed, all by one share, until nothing passes that should not; then those that decide about
    nothing are widened again. No slot and no stop is made narrower than the printer is true. Where even that passes
    too much, the rest is not narrowed as far as can be, and the limits say so. `begin`, clearances that refuse all that
    is to be refused, or nearly, spares the first of this.
    """
    judge = Judge(layout, table)
    widest = clearances_of(layout)
    legs = len(layout.axis.legs)
    least = np.minimum(widest, np.array([LEAST_CLEARANCE_MM] * legs + [LEAST_STOP_MM] * 2))
    asked = {f: asked_of(table, f, settings.tolerance) for f in judge.faults}
    # What even the narrowest slots pass is held to no more than half as much again.
    asked = {f: most if judge.within(f, least, most) else 1.5 * judge.alone(f, least)[0] for f, most in asked.items()}
    if begin is None:
        # An end shares its leg's tolerance with the slots of the next leg.
        begin = widest * np.array([1.0] * legs + [0.5] * 2)
        beyond = [(f, most) for f, most in asked.items() if not judge.within(f, begin, most)]
        share = min([1.0, *(most / judge.alone(f, begin)[0] for f, most in beyond)])
        begin = begin * np.array([share] * legs + [1.0] * 2)
    clearances = np.maximum(least, np.minimum(widest, begin))
    for fault, most in asked.items():
        clearances = _narrowed(judge, fault, most, clearances, least)
    clearances = _widened(judge, asked, clearances, widest)
    settled = np.round(np.maximum(least, np.floor(clearances / FINE_MM + 1e-3) * FINE_MM), 4)
    cradles = [
        replace(
            t.cradle,
            clearance_mm=float(settled[t.cradle.leg]),
            stop_mm=float(settled[legs + (t.cradle.stop == "finish")]) if t.cradle.stop else 0.0,
        )
        for t in layout.towers
    ]
    return with_cradles(layout, cradles, settings)


def _narrowed(judge: Judge, fault: JigFault, most: float, clearances: Array, least: Array) -> Array:
    """Return clearances that no longer pass a fault beyond `most`: those that decide about it are narrowed."""
    for _ in range(12):
        if judge.within(fault, clearances, most * NARROW_ENOUGH):
            break
        passes, shares = judge.alone(fault, clearances)
        free = (shares > 1e-9) & (clearances > least + 1e-9)
        rest = float(shares[free] @ clearances[free])
        if rest <= 1e-9:
            break
        clearances = clearances.copy()
        clearances[free] = np.maximum(least[free], clearances[free] * max(0.0, most - passes + rest) / rest)
    return clearances


def _widened(judge: Judge, asked: dict[JigFault, float], clearances: Array, widest: Array) -> Array:
    """Return clearances with those made wider that decide about nothing that passes all but its tolerance."""
    for _ in range(3):
        tight = np.zeros(len(clearances), dtype=bool)
        for fault, most in asked.items():
            if not judge.within(fault, clearances, 0.93 * most):
                tight |= judge.alone(fault, clearances)[1] > 1e-6
        for grow in (1.6, 1.2):
            wider = np.where(tight, clearances, np.minimum(widest, clearances * grow))
            if np.any(wider > clearances + 1e-9) and all(
                judge.within(f, wider, m * WIDE_ENOUGH) for f, m in asked.items()
            ):
                clearances = wider
                break
        else:
            break
    return clearances
