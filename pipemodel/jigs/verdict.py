"""What a jig passes and what it refuses: the greatest fault of each bend, turn and leg with which a piece lies in it.

A piece is rigid; it may be shifted and turned a little in its slots. At both ends of every cradle its axis must lie
within the clearance, sideways and up and down, and each end of the piece within its stop's along the tube. The
greatest fault for which some small movement does all that is a linear program. Its multipliers say which slots
decide, and so which have to be narrower.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import ceil, floor, inf, radians, sin
from typing import Literal

import numpy as np

from pipemodel.bending.bends import BendTable, centreline_of
from pipemodel.jigs.cradles import LEAST_CLEARANCE_MM, LEAST_STOP_MM
from pipemodel.jigs.layout import JigLayout, leg_begins, with_cradles
from pipemodel.jigs.linear import least
from pipemodel.jigs.rolls import free_roll, rolled_halfway
from pipemodel.jigs.run_in_jig import Array
from pipemodel.jigs.springy import Springs, springs_of
from pipemodel.job.jig import JigSettings, Tolerance
from pipemodel.trade.model import Tube

MOST = {"angle": 20.0, "turn": 40.0, "leg": 100.0}
"""Faults beyond these, degrees or mm, are not followed: what passes that far is not judged at all."""
STEP = 1e-3
"""Fault, degrees or mm, from which its effect for small faults is taken."""
ARM_MM = 100.0
"""Turns of the piece are counted in mm at this distance, so that all unknowns are of one size."""
TRUST = 0.02
"""Share of a limit left on both sides for what small movements leave out."""
FINE_MM = 0.01
"""Clearances are settled to this, downwards, so that they do not hang on the last digits of a solver."""
NARROW_ENOUGH, WIDE_ENOUGH = 1.0001, 1.0003
"""What passes may be so many times its tolerance. Narrowing ends at the tolerance itself, to within rounding; widening
is held to a little more, so that no machine's rounding decides about it."""


@dataclass(frozen=True)
class JigFault:
    """One thing that may be out: the `angle` or the `turn` of bend `number` (degrees), or the length of a leg (mm)."""

    kind: Literal["angle", "turn", "leg"]
    number: int


@dataclass(frozen=True)
class Limit:
    """What a jig makes of one fault, either way; degrees or mm.

    `asked` is the tolerance. With all else true a piece passes up to `passes_to` and is refused from `refused_from`
    on. `certain_from`: from there on it is refused whatever else is out. Infinite where the jig does not judge it.
    """

    fault: JigFault
    asked: float
    passes_to: float
    refused_from: float
    certain_from: float

    @property
    def wider(self) -> bool:
        """Whether a piece that is out in this alone may pass."""
        return self.refused_from > 1.05 * self.asked + 0.05


def faults_of(table: BendTable) -> tuple[JigFault, ...]:
    """Return everything of a run that may be out: angles, turns, legs."""
    numbers = [b.number for b in table.bends]
    return (
        *(JigFault("angle", n) for n in numbers),
        *(JigFault("turn", n) for n in numbers[1:]),
        *(JigFault("leg", n) for n in range(1, len(numbers) + 2)),
    )


def with_fault(table: BendTable, fault: JigFault, by: float) -> BendTable:
    """Return a bend table with one thing out by so much, degrees or mm."""
    i = fault.number - 1
    if fault.kind == "leg" and i == len(table.bends):
        return replace(table, straight_after_mm=table.straight_after_mm + by)
    bend = table.bends[i]
    if fault.kind == "angle":
        bend = bend._replace(angle_deg=bend.angle_deg + by)
    elif fault.kind == "turn":
        bend = bend._replace(turn_deg=bend.turn_deg + by)
    else:
        bend = bend._replace(straight_before_mm=bend.straight_before_mm + by)
    return replace(table, bends=(*table.bends[:i], bend, *table.bends[i + 1 :]))


def asked_of(table: BendTable, fault: JigFault, tolerance: Tolerance) -> float:
    """Return the tolerance of one thing: of an angle, of a leg's length, or of a turn.

    A turn matters by where the legs then point: out by t, it leaves the legs on its two sides t sin(angle) out, with
    the angle of the flatter of the two bends it lies between; that is held to the angle.
    """
    if fault.kind == "angle":
        return tolerance.angle_deg
    if fault.kind == "turn":
        flat = min(abs(sin(radians(b.angle_deg))) for b in table.bends[fault.number - 2 : fault.number])
        return tolerance.angle_deg / flat if flat > 0.02 else inf
    ends = [tolerance.at_start_mm] if fault.number == 1 else []
    ends += [tolerance.at_finish_mm] if fault.number == len(table.bends) + 1 else []
    return min(ends, default=tolerance.position_mm)


@dataclass(frozen=True)
class _Rule:
    """Where one point of leg `leg` belongs (3,), along which direction (3,) it is judged, and by which clearance.

    `s` is mm along the leg from its start, None for the run's very end on that leg. Clearance number i is leg i's;
    the two after those of the legs are the stops'.
    """

    leg: int
    s: float | None
    place: Array
    direction: Array
    clearance: int
    tower: int


def _rules(layout: JigLayout) -> list[_Rule]:
    out: list[_Rule] = []
    legs = layout.axis.legs
    for number, tower in enumerate(layout.towers):
        cradle = tower.cradle
        leg = legs[cradle.leg]
        across = np.array([*tower.place.across, 0.0])
        for a in (cradle.low_mm, cradle.high_mm):
            s = a * tower.place.stretch
            for direction in (across, np.cross(leg.direction, across)):
                out.append(_Rule(leg.index, s, leg.at(s), direction, leg.index, number))
        if cradle.stop:
            at = 0.0 if cradle.stop == "start" else leg.length
            clearance = len(legs) + (cradle.stop == "finish")
            out.append(_Rule(leg.index, None, leg.at(at), leg.direction, clearance, number))
    return out


def clearances_of(layout: JigLayout) -> Array:
    """Return the clearance of every leg's slots, then those of the two stops; 0 where there are none."""
    legs = len(layout.axis.legs)
    out = np.zeros(legs + 2)
    for tower in layout.towers:
        cradle = tower.cradle
        out[cradle.leg] = cradle.clearance_mm
        if cradle.stop:
            out[legs + (cradle.stop == "finish")] = cradle.stop_mm
    return out


def _off(layout: JigLayout, rules: Sequence[_Rule], table: BendTable) -> tuple[Array, Array]:
    """Return how far and which way each rule's point lies off (n, 3), and what small movements add to that (n, 6)."""
    legs = centreline_of(table).straights
    middle = layout.axis.points.mean(axis=0)
    starts = [layout.rotation @ np.array(leg.start) + layout.offset for leg in legs]
    aheads = [layout.rotation @ np.array(leg.direction) for leg in legs]
    off, arms = np.empty((len(rules), 3)), np.empty((len(rules), 3))
    for i, rule in enumerate(rules):
        start, ahead = starts[rule.leg], aheads[rule.leg]
        if rule.s is not None:
            # Where the tube as made passes through the cradle's own cross-section.
            way = layout.axis.legs[rule.leg].direction
            point: Array = start + ahead * (((rule.place - start) @ way) / (ahead @ way))
        else:
            point = start if rule.clearance == len(legs) else start + ahead * legs[rule.leg].length
        off[i] = point - rule.place
        arms[i] = point - middle
    directions = np.array([rule.direction for rule in rules])
    return off, np.hstack([directions, np.cross(arms, directions) / ARM_MM])


class Judge:
    """The linear programs of one run in one jig."""

    def __init__(
        self, layout: JigLayout, table: BendTable, tube: Tube | None = None, props: Sequence[float] = ()
    ) -> None:
        """Judge a rigid piece; with its `tube` one that gives under its weight, on `props` so far along it as well."""
        self.layout, self.table = layout, table
        self.rules = _rules(layout)
        self.given = _given(layout, self.rules, tube, props) if tube else None
        self.which = np.array([r.clearance for r in self.rules])
        self.faults = faults_of(table)
        self.bounds: dict[JigFault, list[Array]] = {}
        self.solved: dict[tuple[JigFault, bytes], tuple[float, Array]] = {}
        self.moves = _off(layout, self.rules, table)[1]
        self.directions = np.array([rule.direction for rule in self.rules])
        self.free = free_roll(self.moves)
        astray = {f: self._slope(f, 0.0) for f in self.faults}
        self.rolls = {f: rolled_halfway(off, self.free) for f, off in astray.items()} if self.free else {}
        self.slopes = {f: self._along(off) for f, off in astray.items()}
        # Of a piece that may be rolled, rolled as each fault shows least.
        self.rolled = {of: {f: self._along(off, roll) for f, off in astray.items()} for of, roll in self.rolls.items()}

    def _slope(self, fault: JigFault, at: float) -> Array:
        """Return what a little more of a fault does to every rule's point, per degree or mm, (n, 3)."""
        low, high = (_off(self.layout, self.rules, with_fault(self.table, fault, at + d))[0] for d in (-STEP, STEP))
        out: Array = (high - low) / (2.0 * STEP)
        return out

    def _along(self, off: Array, roll: Array | None = None) -> Array:
        """Return how far each rule's point lies off along its direction, (n,), of a piece rolled so."""
        out: Array = ((off if roll is None else off @ roll.T) * self.directions).sum(axis=1)
        return out

    def alone(self, fault: JigFault, clearances: Array) -> tuple[float, Array]:
        """Return the greatest fault that passes with all else true, and how it grows with each clearance."""
        key = fault, clearances.tobytes()
        if key in self.solved:
            return self.solved[key]
        limits = clearances[self.which]
        # So that of several ways to be held the same one is always taken.
        limits = limits * (1.0 + 1e-7 * np.arange(len(limits)))
        most = (MOST[fault.kind],)
        slopes = self.rolled.get(fault, self.slopes)[fault]
        found, weights = _most(self.moves, slopes[:, None], limits, limits, most, self.given)
        shares = np.zeros(len(clearances))
        np.add.at(shares, self.which, weights)
        if found < 0.999 * MOST[fault.kind] and self.given is None:
            self.bounds.setdefault(fault, []).append(shares)
        self.solved[key] = found, shares
        return found, shares

    def within(self, fault: JigFault, clearances: Array, most: float) -> bool:
        """Tell whether no more than `most` of a fault passes with all else true.

        The multipliers of every program solved before bound what passes with other clearances too (weak duality), which
        mostly spares solving one.
        """
        known = any(float(shares @ clearances) <= most for shares in self.bounds.get(fault, ()))
        return known or self.alone(fault, clearances)[0] <= most

    def both_ways(self, fault: JigFault, clearances: Array) -> tuple[float, float]:
        """Return the lesser and the greater of the faults that pass alone, too little and too much.

        What a fault does is not quite in proportion to it, so that both are worked out from a piece that is out by
        about as much as passes.
        """
        first, _ = self.alone(fault, clearances)
        if first >= MOST[fault.kind] * 0.999:
            return inf, inf
        found: list[float] = []
        for sign in (-1.0, 1.0):
            at = sign * first
            off, moves = _off(self.layout, self.rules, with_fault(self.table, fault, at))
            # To roll is no small movement: it is counted in full, and not as what the moves of points off the line add.
            moves = self.moves if self.free else moves
            slope, roll = self._slope(fault, at), self.rolls.get(fault)
            base, more = self._along(off - slope * at, roll), sign * self._along(slope, roll)
            limits = clearances[self.which]
            most = (2.0 * MOST[fault.kind],)
            found.append(_most(moves, more[:, None], limits - base, limits + base, most, self.given)[0])
        return min(found), max(found)

    def with_others(self, fault: JigFault, clearances: Array) -> float:
        """Return the greatest fault that passes when everything else may be out as well; infinite if it is too much."""
        order = [fault, *(f for f in self.faults if f != fault)]
        limits = clearances[self.which]
        most = tuple(MOST[f.kind] for f in order)
        found = max(
            _most(self.moves, np.column_stack([slopes[f] for f in order]), limits, limits, most, self.given)[0]
            for slopes in (self.rolled.values() if self.free else [self.slopes])
        )
        return found if found < 0.999 * MOST[fault.kind] else inf


def _given(layout: JigLayout, rules: Sequence[_Rule], tube: Tube, props: Sequence[float]) -> Springs:
    """Return what weight, and 1 N up at each support, do to each rule's point along its direction."""
    begins, legs = leg_begins(layout), layout.axis.legs
    ends = [0.0 if r.clearance == len(legs) else legs[r.leg].length for r in rules]
    at = np.array([begins[r.leg] + (end if r.s is None else r.s) for r, end in zip(rules, ends, strict=True)])
    springs = springs_of(layout, tube, props, at)
    ways = np.array([rule.direction for rule in rules])
    hanging, lifted = (springs.hanging * ways).sum(axis=1), np.einsum("ijk,ij->ik", springs.lifted, ways)
    return replace(springs, hanging=hanging, lifted=lifted)


def _most(
    moves: Array, slopes: Array, above: Array, below: Array, most: tuple[float, ...], given: Springs | None = None
) -> tuple[float, Array]:
    """Return the greatest first fault for which some movement keeps every rule, and each rule's multiplier.

    Args:
        moves: (n, 6), what movements add to each rule's point.
        slopes: (n, k), what each fault adds; the first is made as great as can be, the others lie either way.
        above: (n,), how far each point may lie off one way.
        below: (n,), and the other.
        most: (k,), beyond which no fault is followed.
        given: what the piece gives at each point, (n,) and (n, m); None for a rigid one.
    """
    a = np.hstack([moves, slopes])
    k = slopes.shape[1]
    bounds = [*[(-inf, inf)] * 6, (0.0, most[0]), *((-m, m) for m in most[1:])]
    balance = None
    if given:
        a = np.hstack([a, given.lifted])
        above, below = above - given.hanging, below + given.hanging
        bounds += [(0.0, inf)] * given.lifted.shape[1]
        balance = np.hstack([np.zeros((3, 6 + k)), given.balance]), given.weight
    cost = np.zeros(a.shape[1])
    cost[6] = -1.0
    sides, limits = np.vstack([a, -a]), np.concatenate([above, below])
    found = least(cost, sides, limits, bounds, balance)
    if found is None:
        return 0.0, np.zeros(len(moves))
    weights = -found[1]
    return float(found[0][6]), weights[: len(moves)] + weights[len(moves) :]


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


def limits_of(
    layout: JigLayout, table: BendTable, tolerance: Tolerance, tube: Tube, props: Sequence[float] = ()
) -> tuple[Limit, ...]:
    """Return what a jig passes and refuses, for the angle and the turn of every bend and the length of every leg.

    A piece passes that does so rigid and giving under its weight; it is refused that neither way can be held.
    """
    judges = Judge(layout, table), Judge(layout, table, tube, props)
    clearances = clearances_of(layout)
    out: list[Limit] = []
    for fault in judges[0].faults:
        low, high = judges[0].both_ways(fault, clearances)
        less, more = judges[1].both_ways(fault, clearances)
        low, high = min(low, less), max(high, more)
        certain = max(judge.with_others(fault, clearances) for judge in judges)
        out.append(
            Limit(
                fault,
                asked_of(table, fault, tolerance),
                floor((1.0 - TRUST) * low * 10.0) / 10.0 if low < inf else inf,
                ceil((1.0 + TRUST) * high * 10.0) / 10.0 if high < inf else inf,
                ceil((1.0 + TRUST) * max(certain, high) * 10.0) / 10.0 if certain < inf else inf,
            )
        )
    return tuple(out)
