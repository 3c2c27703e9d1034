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

from pipemodel.bending.bends import BendTable
from pipemodel.jigs.layout import JigLayout, leg_begins
from pipemodel.jigs.linear import least
from pipemodel.jigs.lying import ARM_MM, AS_DRAWN, STILL, Pose, SlotRules, clearances_of, off_by, slot_rules
from pipemodel.jigs.rolls import free_roll, rolled_halfway
from pipemodel.jigs.run_in_jig import Array
from pipemodel.jigs.springy import Springs, springs_of
from pipemodel.job.jig import Tolerance
from pipemodel.trade.model import Tube

MOST = {"angle": 20.0, "turn": 40.0, "leg": 100.0}
"""Faults beyond these, degrees or mm, are not followed: what passes that far is not judged at all."""
STEP = 1e-3
"""Fault, degrees or mm, from which its effect for small faults is taken."""
PASSES, NEAR_ENOUGH = 16, 0.005
"""A limit is worked out so often at the most: until it changes by less than this share, and what is left out of the
movement is less than this share of the narrowest slot."""
LEAN = 0.02
"""How much of a fault a mm of movement is worth, where the way a piece is held is looked for that turns it furthest."""
TRUST = 0.02
"""Share of a limit left on both sides for what small movements leave out."""


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


class Judge:
    """The linear programs of one run in one jig."""

    def __init__(
        self, layout: JigLayout, table: BendTable, tube: Tube | None = None, props: Sequence[float] = ()
    ) -> None:
        """Judge a rigid piece; with its `tube` one that gives under its weight, on `props` so far along it as well."""
        self.layout, self.table = layout, table
        self.rules = slot_rules(layout)
        self.given = _given(layout, self.rules, tube, props) if tube else None
        self.which = self.rules.clearance
        self.faults = faults_of(table)
        self.bounds: dict[JigFault, list[Array]] = {}
        self.solved: dict[tuple[JigFault, bytes], tuple[float, Array]] = {}
        self.moves = off_by(layout, self.rules, table)[1]
        self.reach = float(np.linalg.norm(self.rules.place - layout.axis.points.mean(axis=0), axis=1).max())
        self.loosest = LEAN * np.linalg.svd(self.moves)[2][-1]
        self.free = free_roll(self.moves)
        astray = {f: self._slope(f, 0.0) for f in self.faults}
        self.rolls = {f: rolled_halfway(off, self.free) for f, off in astray.items()} if self.free else {}
        self.slopes = {f: self._along(off) for f, off in astray.items()}
        # Of a piece that may be rolled, rolled as each fault shows least.
        self.rolled = {of: {f: self._along(off, roll) for f, off in astray.items()} for of, roll in self.rolls.items()}

    def _slope(self, fault: JigFault, at: float, pose: Pose = AS_DRAWN) -> Array:
        """Return what a little more of a fault does to every rule's point, per degree or mm, (n, 3)."""
        tables = [with_fault(self.table, fault, at + d) for d in (-STEP, STEP)]
        low, high = (off_by(self.layout, self.rules, table, pose)[0] for table in tables)
        out: Array = (high - low) / (2.0 * STEP)
        return out

    def _along(self, off: Array, roll: Array | None = None) -> Array:
        """Return how far each rule's point lies off along its direction, (n,), of a piece rolled so."""
        out: Array = ((off if roll is None else off @ roll.T) * self.rules.direction).sum(axis=1)
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
        lies, weights = _most(self.moves, slopes[:, None], limits, limits, most, self.given)
        found = float(lies[6])
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

        What a fault does is not quite in proportion to it, nor what a movement does: both are worked out from a piece
        that is out by about as much as passes, and again from where that piece would then lie.
        """
        first, _ = self.alone(fault, clearances)
        if first >= MOST[fault.kind] * 0.999:
            return inf, inf
        leans = [STILL, self.loosest, -self.loosest] if self.loose(clearances) else [STILL]
        found = [max(self._one_way(fault, clearances, sign * first, lean) for lean in leans) for sign in (-1.0, 1.0)]
        return min(found), max(found)

    def loose(self, clearances: Array) -> bool:
        """Tell whether a rigid piece has so much play that how it turns in it is no small movement."""
        if self.free or self.given:
            return False
        limits = clearances[self.which]
        play = float((limits / np.maximum(np.abs(self.moves @ self.loosest), 1e-9)).min())
        return self._left_out(play * self.loosest) > TRUST * float(limits.min())

    def _left_out(self, movement: Array) -> float:
        """Return how many mm of its turning (6,) are not in proportion to it."""
        return float(movement[3:] @ movement[3:]) / ARM_MM**2 / 2.0 * self.reach

    def _one_way(self, fault: JigFault, clearances: Array, at: float, lean: Array) -> float:
        """Return the greatest fault that passes alone one way, from about how much does (below 0 too little).

        Of movements that let as much pass, or nearly, the one that goes furthest by `lean` (6,) is followed.
        """
        limits, most, roll = clearances[self.which], (2.0 * MOST[fault.kind],), self.rolls.get(fault)
        sign, pose = np.sign(at), AS_DRAWN
        for _ in range(PASSES):
            off, moves = off_by(self.layout, self.rules, with_fault(self.table, fault, at), pose)
            # To roll is no small movement: it is counted in full, and not as what the moves of points off the line add.
            moves = self.moves if self.free else moves
            slope = self._slope(fault, at, pose)
            base, more = self._along(off - slope * at, roll), sign * self._along(slope, roll)
            found, _ = _most(moves, more[:, None], limits - base, limits + base, most, self.given, lean)
            if found[6] <= 0.0:
                break
            before, at = at, sign * float(found[6])
            near = self._left_out(found[:6]) < NEAR_ENOUGH * limits.min()
            if self.free or (near and abs(at - before) < NEAR_ENOUGH * abs(at)):
                break
            pose, lean = pose.further(found[:6]), STILL
        return abs(at)

    def with_others(self, fault: JigFault, clearances: Array) -> float:
        """Return the greatest fault that passes when everything else may be out as well; infinite if it is too much."""
        order = [fault, *(f for f in self.faults if f != fault)]
        limits = clearances[self.which]
        most = tuple(MOST[f.kind] for f in order)
        rolled = self.rolled.values() if self.free else [self.slopes]
        every = [np.column_stack([slopes[f] for f in order]) for slopes in rolled]
        found = max(float(_most(self.moves, a, limits, limits, most, self.given)[0][6]) for a in every)
        return found if found < 0.999 * MOST[fault.kind] else inf


def _given(layout: JigLayout, rules: SlotRules, tube: Tube, props: Sequence[float]) -> Springs:
    """Return what weight, and 1 N up at each support, do to each rule's point along its direction."""
    springs = springs_of(layout, tube, props, np.array(leg_begins(layout))[rules.leg] + rules.s)
    ways = rules.direction
    hanging, lifted = (springs.hanging * ways).sum(axis=1), np.einsum("ijk,ij->ik", springs.lifted, ways)
    return replace(springs, hanging=hanging, lifted=lifted)


def _most(
    moves: Array,
    slopes: Array,
    above: Array,
    below: Array,
    most: tuple[float, ...],
    given: Springs | None = None,
    lean: Array = STILL,
) -> tuple[Array, Array]:
    """Return the movement (6,) and the faults (k,) that keep every rule with most of the first fault, and multipliers.

    One of these for each rule; all are 0 where nothing keeps every rule.

    Args:
        moves: (n, 6), what movements add to each rule's point.
        slopes: (n, k), what each fault adds; the first is made as great as can be, the others lie either way.
        above: (n,), how far each point may lie off one way.
        below: (n,), and the other.
        most: (k,), beyond which no fault is followed.
        given: what the piece gives at each point, (n,) and (n, m); None for a rigid one.
        lean: (6,), what a movement is worth beside the fault.
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
    cost[6], cost[:6] = -1.0, -lean
    sides, limits = np.vstack([a, -a]), np.concatenate([above, below])
    found = least(cost, sides, limits, bounds, balance)
    if found is None:
        return np.zeros(6 + k), np.zeros(len(moves))
    weights = -found[1]
    return found[0][: 6 + k], weights[: len(moves)] + weights[len(moves) :]


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
