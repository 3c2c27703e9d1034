"""What a way keeps clear of, and how far a straight goes before it comes too near to any of it.

Things are measured by their own exact distances. Along a straight they are followed in steps no longer than the
distance that is left, and never shorter than `STEP_MM`; whole ways are judged exactly in the end (`judge`).
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import NamedTuple

import numpy as np

from pipemodel.geometry.arrays import Bools, Floats, Ints, lengths
from pipemodel.geometry.distance.obstacle import Field
from pipemodel.geometry.shapes.box import Boxes
from pipemodel.geometry.vectors import Vec3

STEP_MM = 4.0
HAIR_MM = 1e-3
"""What is nearer than asked for by no more than this is clear: the numbers of a job are no finer."""
VOID = "void"
"""What the sides of the void that a way stays in are called."""
PAIRS = 2_000_000
"""How many pairs of a straight and a thing are looked at in one go; bounds the memory taken."""


class Spared(NamedTuple):
    """A ball in which nearness does not count: where an end joins the thing."""

    centre: Vec3
    radius: float


@dataclass(frozen=True)
class Obstruction:
    """One thing or run to keep clear of.

    `required` is how far the axis stays from its surface, mm; `low` and `high` are the corners of the block that holds
    it, infinite where it has no end. `block` tells that it is that block, `level` that it is a face without end: a
    point of it and its normal. `spared` are places where it is joined.
    """

    name: str
    field: Field
    low: Floats
    high: Floats
    required: float
    block: bool = False
    level: tuple[Vec3, Vec3] | None = None
    spared: tuple[Spared, ...] = ()

    def lacking(self, points: Floats) -> Floats:
        """Return by how much points are nearer than asked for: above zero where they are too near."""
        short = self.required - self.field(points)
        for centre, radius in self.spared:
            short = np.where(lengths(points - np.array(centre)) < radius, -np.inf, short)
        return short


@dataclass(frozen=True)
class Around:
    """All that a way keeps clear of."""

    things: tuple[Obstruction, ...]
    _kept: dict[str, Boxes] = field(default_factory=dict, repr=False)

    def less(self, by_mm: float) -> "Around":
        """Return the same with so much less asked for everywhere."""
        return Around(tuple(replace(one, required=one.required - by_mm) for one in self.things))

    def also(self, more: Iterable[Obstruction]) -> "Around":
        """Return the same with more to keep clear of."""
        return Around((*self.things, *more))

    @cached_property
    def low(self) -> Floats:
        """Low corners of the blocks that hold what must not be entered by the axis, (n, 3)."""
        return np.array([one.low - one.required for one in self.things]).reshape(-1, 3)

    @cached_property
    def high(self) -> Floats:
        """High corners of the same."""
        return np.array([one.high + one.required for one in self.things]).reshape(-1, 3)

    @cached_property
    def _blocks(self) -> Bools:
        return np.array([one.block and not one.spared for one in self.things], dtype=bool)

    @cached_property
    def _boxes(self) -> Boxes:
        low = np.array([one.low for one in self.things]).reshape(-1, 3)
        high = np.array([one.high for one in self.things]).reshape(-1, 3)
        return Boxes(low, high, np.arange(len(self.things)))

    @cached_property
    def _required(self) -> Floats:
        return np.array([one.required for one in self.things], dtype=float)

    def free(self, start: Floats, ahead: Floats, most: Floats) -> Floats:
        """Return how far from each start one may go straight ahead and stay clear, at most `most`; -1 where not at all.

        Args:
            start: points, (n, 3), mm.
            ahead: unit vectors, (n, 3).
            most: how far is asked for, (n,).
        """
        reach = most.astype(float).copy()
        count = max(len(self.things), 1)
        for begin in range(0, len(start), max(PAIRS // count, 1)):
            rows = slice(begin, begin + max(PAIRS // count, 1))
            self._free(start[rows], ahead[rows], reach[rows])
        return reach

    def _free(self, start: Floats, ahead: Floats, reach: Floats) -> None:
        """Shorten `reach` to where the straights stay clear."""
        if not len(self.things) or not len(start):
            return
        enters, leaves = _through(start, ahead, self.low, self.high)
        ray, thing = np.nonzero((enters < leaves) & (leaves >= 0.0) & (enters <= reach[:, None]))
        first, last = np.maximum(enters[ray, thing], 0.0), leaves[ray, thing]
        # Those met first shorten what is left of the others.
        order = np.argsort(first, kind="stable")
        ray, thing, first, last = ray[order], thing[order], first[order], last[order]
        whole = self._blocks[thing]
        if whole.any():
            self._march_blocks(start, ahead, reach, ray[whole], thing[whole], first[whole], last[whole])
        for number in np.unique(thing[~whole]).tolist():
            own = ~whole & (thing == number)
            self._march(self.things[number], start, ahead, reach, ray[own], first[own], last[own])

    def _march_blocks(
        self, start: Floats, ahead: Floats, reach: Floats, ray: Ints, thing: Ints, at: Floats, last: Floats
    ) -> None:
        required, boxes = self._required[thing], self._boxes
        deeper = required < 0.0
        at = at.copy()
        while len(ray):
            points = start[ray] + at[:, None] * ahead[ray]
            apart = boxes.field(thing, points)[0] - required
            hit = apart < -HAIR_MM
            np.minimum.at(reach, ray[hit], np.where(at[hit] <= 0.0, -1.0, at[hit] - STEP_MM))
            at = at + np.where(deeper, STEP_MM, np.maximum(apart, STEP_MM))
            left = ~hit & (at <= np.minimum(last, reach[ray]))
            ray, thing, at, last = ray[left], thing[left], at[left], last[left]
            required, deeper = required[left], deeper[left]

    def _march(
        self, one: Obstruction, start: Floats, ahead: Floats, reach: Floats, ray: Ints, at: Floats, last: Floats
    ) -> None:
        if one.level is not None and not one.spared:
            point, normal = (np.array(part) for part in one.level)
            height = (start[ray] - point) @ normal - one.required
            closing = -(ahead[ray] @ normal)
            until = np.where(closing > 1e-9, (height + HAIR_MM) / np.maximum(closing, 1e-9), np.inf)
            np.minimum.at(reach, ray, np.where(height < -HAIR_MM, -1.0, until))
            return
        last = np.minimum(last, reach[ray])
        at = at.copy()
        while len(ray):
            short = one.lacking(start[ray] + at[:, None] * ahead[ray])
            hit = short > HAIR_MM
            np.minimum.at(reach, ray[hit], np.where(at[hit] <= 0.0, -1.0, at[hit] - STEP_MM))
            at = at + np.clip(-short, STEP_MM, 1e6)
            left = ~hit & (at <= np.minimum(last, reach[ray]))
            ray, at, last = ray[left], at[left], last[left]

    def clear(self, points: Floats) -> Bools:
        """Return which points are no nearer to anything than asked for, (n,)."""
        out = np.ones(len(points), dtype=bool)
        for one, low, high in zip(self.things, self.low, self.high, strict=True):
            near = np.flatnonzero(out & np.all((points > low) & (points < high), axis=1))
            if len(near):
                out[near] = one.lacking(points[near]) <= HAIR_MM
        return out


def _through(start: Floats, ahead: Floats, low: Floats, high: Floats) -> tuple[Floats, Floats]:
    """Return from where to where straights are within blocks, (rays, blocks); where they are not, it begins last."""
    enters = np.full((len(start), len(low)), -np.inf)
    leaves = np.full((len(start), len(low)), np.inf)
    for axis in range(3):
        way, from_ = ahead[:, axis, None], start[:, axis, None]
        along = np.abs(way) > 1e-12
        safe = np.where(along, way, 1.0)
        one, other = (low[:, axis] - from_) / safe, (high[:, axis] - from_) / safe
        within = (from_ > low[:, axis]) & (from_ < high[:, axis])
        enters = np.maximum(enters, np.where(along, np.minimum(one, other), np.where(within, -np.inf, np.inf)))
        leaves = np.minimum(leaves, np.where(along, np.maximum(one, other), np.where(within, np.inf, -np.inf)))
    return enters, leaves


def block_of(low: Sequence[float], high: Sequence[float], name: str, required: float) -> Obstruction:
    """Return a block along the axes to keep clear of."""
    boxes = Boxes(np.array([low], dtype=float), np.array([high], dtype=float), np.zeros(1, dtype=np.int64))

    def away(points: Floats) -> Floats:
        return boxes.field(np.zeros(len(points), dtype=np.int64), points)[0]

    return Obstruction(name, away, np.array(low, dtype=float), np.array(high, dtype=float), required, block=True)


def face_of(point: Vec3, normal: Vec3, name: str, required: float) -> Obstruction:
    """Return a face without end to keep clear of; `normal` is a unit vector out of the solid."""
    at, out = np.array(point), np.array(normal)

    def away(points: Floats) -> Floats:
        heights: Floats = (points - at) @ out
        return heights

    endless = np.full(3, np.inf)
    return Obstruction(name, away, -endless, endless, required, level=(point, normal))
