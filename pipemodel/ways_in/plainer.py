"""Motions made plainer: slides along one axis at a time, turns with an end, a bend or a leg held.

A slide and a turn about a point of the piece come to the same in either order. So what all slides of a way add up to
may be gone in other places of it, axis by axis, and a turn may be about another point, the slides making up for that.
Such changes are made at random; what is cheaper and keeps clear all along is kept.
"""

from dataclasses import dataclass, replace
from typing import TypeAlias

import numpy as np

from pipemodel.geometry.arrays import Floats
from pipemodel.ways_in.gate import Through
from pipemodel.ways_in.moves_in_words import ALONG
from pipemodel.ways_in.refit import SLIDE, Refit, RefitStep, Steps, cost_of
from pipemodel.ways_in.turning import held, matrix, turn_angle

TRIES, IDLE = 1000, 250
"""So many changes are thought of at the most, and so many after the last that was kept."""
ASKEW, ON_LEG = 2.5, 1.5
"""What a slide along several axes at once costs: more than two along axes, less than three; along a leg, than two."""
FEW = 6
"""A way of more motions than that gets one more at the most."""
NONE_MM, LITTLE_MM = 1e-6, 0.5
"""What goes no farther than that along an axis is none; than this, is along the others only."""
SAME_RAD = 1e-6
SKEW = 1e-6

Order: TypeAlias = tuple[int, ...]


@dataclass(frozen=True)
class _Turn:
    """A turn: what it turns the piece to, and the number of the point it is about; -1 goes by `shift` meanwhile."""

    to: Floats
    number: int
    shift: Floats


@dataclass(frozen=True)
class _Plan:
    """Turns, and before, between and after them slides along the axes: how far, and in which order, () for at once."""

    turns: tuple[_Turn, ...]
    slides: tuple[Floats, ...]
    orders: tuple[Order, ...]

    def slid(self, number: int, by: Floats) -> "_Plan":
        slides = list(self.slides)
        slides[number] = slides[number] + by
        return replace(self, slides=tuple(slides))


class Plainer:
    """Makes the motions of one way plainer.

    Args:
        refit: what found them.
        home: the pose they begin from.
    """

    def __init__(self, refit: Refit, home: Floats) -> None:
        self.refit, self.home, self.rng = refit, home, refit.rng
        self.judge, self.gate, self.pivots = refit.judge, refit.gate, refit.moves.pivots
        self.axes, self.out = np.eye(3), -1
        if isinstance(self.gate, Through):
            normal = self.gate.normal
            self.out = int(np.argmax(np.abs(normal)))
            if 1.0 - abs(normal[self.out]) > SKEW:
                self.axes, self.out = np.array([normal, self.gate.across, self.gate.up]), 0

    def of(self, steps: Steps) -> Steps:
        """Return motions to the outside no costlier than those given; stopped by the keyboard, as far as it came."""
        plan = self._plan(steps)
        best, most, idle = self.refit.priced(self.home, self._steps(plan)), max(FEW, len(steps) + 1), 0
        try:
            for _ in range(TRIES):
                if idle == IDLE:
                    break
                idle += 1
                other = plan
                for _ in range(int(self.rng.integers(1, 5))):
                    other = self._changed(other)
                found = self._judged(other, cost_of(best), most)
                if found is not None:
                    plan, best, idle = other, found, 0
        except KeyboardInterrupt:
            self.judge.stopped = True
        return best

    def _judged(self, plan: _Plan, below: float, most: int) -> Steps | None:
        """Return the motions of a plan, no more than `most`, if they cost less than so much and keep clear."""
        steps = self._steps(plan)
        if not 0 < len(steps) <= most or cost_of(steps) >= below - 1e-9:
            return None
        if self.gate.outness(steps[-1].pose) < 0.0:
            return None
        poses = [self.home, *(step.pose for step in steps)]
        if not self.judge.clear(np.array(poses)).all():
            return None
        if not all(self.refit.keeps(a, step, self.judge) for a, step in zip(poses, steps, strict=False)):
            return None
        priced = self.refit.priced(self.home, steps)
        if cost_of(priced) >= below - 1e-9 or not self.gate.passed(self.refit.states(self.home, steps)):
            return None
        return priced

    def _plan(self, steps: Steps) -> _Plan:
        turns: list[_Turn] = []
        slides, before = [np.zeros(3)], self.home
        for step in steps:
            gone = step.pose[:3] - before[:3]
            if turn_angle(before[3:], step.pose[3:]) <= SAME_RAD:
                slides[-1] = slides[-1] + self.axes @ gone
            else:
                pivot = step.pivot
                number = -1
                if pivot is not None:
                    number = next(k for k, point in enumerate(self.pivots) if np.array_equal(point, pivot))
                turns.append(_Turn(step.pose[3:], number, gone))
                slides.append(np.zeros(3))
            before = step.pose
        return _Plan(tuple(turns), tuple(slides), ((),) * len(slides))

    def _gone(self, turn: _Turn, before: Floats) -> Floats:
        """How far the middle goes in a turn, from the turn before it."""
        if turn.number < 0:
            return turn.shift
        pivot = self.pivots[turn.number]
        gone: Floats = (matrix(held(pivot, before)) - matrix(held(pivot, turn.to))) @ pivot
        return gone

    def _steps(self, plan: _Plan) -> Steps:
        pose, out = self.home, []
        for number, (slide, order) in enumerate(zip(plan.slides, plan.orders, strict=True)):
            far = [k for k in range(3) if abs(slide[k]) > NONE_MM]
            parts = [[k] for k in order if k in far] if order else [far] if far else []
            for part in parts:
                by = np.where(np.isin(np.arange(3), part), slide, 0.0)
                after = held(pose[:3] + by @ self.axes, pose[3:])
                out.append(RefitStep(self._slide_cost(by, pose), after))
                pose = after
            if number < len(plan.turns):
                turn = plan.turns[number]
                after = held(pose[:3] + self._gone(turn, pose[3:]), turn.to)
                if turn.number < 0:
                    out.append(RefitStep(self.refit.both(pose, after), after))
                else:
                    cost = self.refit.turn_cost(pose, after, turn.number)
                    out.append(RefitStep(cost, after, self.pivots[turn.number]))
                pose = after
        return tuple(out)

    def _slide_cost(self, by: Floats, pose: Floats) -> float:
        """What a slide costs, by how far it goes along each axis: little along one, or along a leg."""
        several = int((np.abs(by) > LITTLE_MM).sum())
        if several <= 1:
            return SLIDE
        legs = self.refit.moves.legs @ matrix(pose).T @ (by @ self.axes) / np.linalg.norm(by)
        return ON_LEG if (np.abs(legs) > ALONG).any() else ASKEW

    def _changed(self, plan: _Plan) -> _Plan:
        kind, many = int(self.rng.integers(5)), len(plan.slides)
        if kind == 0:
            # What is slid along an axis is slid somewhere else.
            i, j, k = int(self.rng.integers(many)), int(self.rng.integers(many)), int(self.rng.integers(3))
            by = np.where(np.arange(3) == k, plan.slides[i], 0.0)
            return plan.slid(i, -by).slid(j, by)
        if kind == 1:
            orders = list(plan.orders)
            orders[int(self.rng.integers(many))] = tuple(self.rng.permutation(3).tolist())
            return replace(plan, orders=tuple(orders))
        if kind == 2 and self.out >= 0:
            # Outside it may stand anywhere: it is slid straight out.
            aside = (np.arange(3) != self.out) & (self.rng.random(3) < 0.7)
            return plan.slid(many - 1, -np.where(aside, plan.slides[-1], 0.0))
        if kind == 3 and plan.turns:
            return self._turned(plan, int(self.rng.integers(many - 1)), 0)
        if kind == 4 and len(plan.turns) > 1:
            return self._turned(plan, int(self.rng.integers(many - 2)), 1)
        return plan

    def _turned(self, plan: _Plan, first: int, more: int) -> _Plan:
        """Return a plan with a turn about another point, or with two turns and the slides between them in one turn."""
        before = self.home[3:] if first == 0 else plan.turns[first - 1].to
        old = plan.turns[first : first + more + 1]
        new = replace(old[-1], number=int(self.rng.integers(self.refit.moves.held)))
        gone, at = np.zeros(3), before
        for turn in old:
            gone, at = gone + self._gone(turn, at), turn.to
        left = self.axes @ (gone - self._gone(new, before))
        slides, orders = list(plan.slides), list(plan.orders)
        left = left + sum(slides[first + 1 : first + 1 + more], np.zeros(3))
        del slides[first + 1 : first + 1 + more], orders[first + 1 : first + 1 + more]
        turns = (*plan.turns[:first], new, *plan.turns[first + more + 1 :])
        out = _Plan(turns, tuple(slides), tuple(orders))
        return out.slid(first + int(self.rng.integers(2)), left)
