"""What an order of pulls is, what it costs, and what the rest of one must cost at the least.

The searches run backwards, from the finished piece to the straight tube, for the reason given in `plan_limits`:
with limits that only get tighter as bends are made, no step backwards is ever wrong, only dear. A **mode** is
what the fitter has set up: which side of the tube is held, which side of it faces up, and which former is in.
A change of former costs as much as a turn-round.
"""

from collections.abc import Callable, Sequence, Set
from dataclasses import dataclass
from typing import Literal, TypeAlias

Allowed: TypeAlias = Callable[[int, int, int], bool]
"""(bend, held side, bends already made) -> can it be pulled."""
OrderStep: TypeAlias = tuple[int, int]
"""(bend, held side)."""
Mode: TypeAlias = tuple[int, int, int]
"""(held side, side up, former)."""
Cost: TypeAlias = tuple[int, int, float]
"""(turn-rounds and changes of former, turn-overs, mass swinging)."""


@dataclass(frozen=True)
class Touch:
    """Where a pull goes wrong: which side of the piece, where on the flat tube, against what, how far into it.

    `part` names a part of the bender or its room; against the piece itself it is empty, and `other_flat_mm` says where.
    """

    side: Literal["held", "free"]
    flat_mm: float
    at_pull_deg: float
    part: str
    depth_mm: float
    other_flat_mm: float | None = None


@dataclass(frozen=True)
class Task:
    """What is to be ordered. `sides[bend]` and `masses[bend]` are pairs, for held by start and by finish.

    A side up is twice the number of the bend's plane, plus 1 for the other way up: equal numbers mean that the
    same side of the tube faces up. Masses are in kg.
    """

    sides: Sequence[tuple[int, int]]
    masses: Sequence[tuple[float, float]]
    allowed: Allowed
    clear: Allowed | None = None
    """What the piece itself, the bender and its room allow; a bend made may help or hinder, so nothing is monotone."""
    formers: Sequence[int] = ()
    """The number of each bend's former; empty where all are bent round one."""

    @property
    def bends(self) -> int:
        """How many bends there are."""
        return len(self.sides)

    def former(self, bend: int) -> int:
        """Return the number of a bend's former."""
        return self.formers[bend] if self.formers else 0

    def mode(self, bend: int, held: int) -> Mode:
        """Return what has to be set up to pull a bend held by one side."""
        return held, self.sides[bend][held], self.former(bend)

    @property
    def fewest_changes(self) -> int:
        """How often the former has to be changed at the very least."""
        return max(len(set(self.formers)) - 1, 0)


@dataclass(frozen=True)
class Order:
    """Steps in the order of pulling, and what they cost.

    `proven` is false when the search stopped at its effort: the order works, but a better one may exist.
    """

    steps: tuple[OrderStep, ...]
    cost: Cost
    proven: bool


def turned(so_far: tuple[int, int], before: Mode | None, after: Mode) -> tuple[int, int]:
    """Return (turn-rounds and changes of former, turn-overs) once one mode follows another; none before the first."""
    if before is None:
        return so_far
    rounds, overs = so_far
    return rounds + (after[0] != before[0]) + (after[2] != before[2]), overs + (after[1] != before[1])


def cost_of(task: Task, steps: Sequence[OrderStep]) -> Cost:
    """Return (turn-rounds and changes of former, turn-overs, mass swinging) of an order."""
    rounds = overs = 0
    mass, mode = 0.0, None
    for bend, held in steps:
        before, mode = mode, task.mode(bend, held)
        rounds, overs = turned((rounds, overs), before, mode)
        mass += task.masses[bend][held]
    return rounds, overs, round(mass, 6)  # To a milligram, so that equal masses are equal.


def works(task: Task, steps: Sequence[OrderStep]) -> bool:
    """Tell whether every pull of an order is allowed when its turn comes."""
    made = 0
    for bend, held in steps:
        if not task.allowed(bend, held, made) or (task.clear and not task.clear(bend, held, made)):
            return False
        made |= 1 << bend
    return True


class Ahead:
    """What the bends still to be taken out cost at the very least, so that the search looks at little else."""

    def __init__(self, task: Task, helds: Sequence[int]) -> None:
        self.task, self.helds = task, helds
        self._rounds: dict[tuple[int, int], int] = {}
        self._left: tuple[dict[int, int], dict[int, int]] = ({}, {})
        self._kinds: dict[tuple[int, int, bool], Set[int]] = {}
        self._mass: dict[tuple[int, int, bool], float] = {}

    def turns(self, so_far: tuple[int, int], made: int, mode: Mode) -> tuple[int, int, bool]:
        """Return the least turns (see `turned`) that it comes to, and whether the held side stays as it is from here.

        Without a turn-round to come it stays; with one more it would cost more anyway.
        """
        held, side, former = mode
        more = self.rounds(made, held) if len(self.helds) > 1 else 0
        least = so_far[1] + self.overs(made, held, side, fixed=not more)
        return so_far[0] + more + self.changes(made, former), least, not more

    def rounds(self, made: int, held: int) -> int:
        """Return the fewest turn-rounds from here: take out all that can come out from one side, then the other."""
        if (made, held) not in self._rounds:
            rounds, rest, side = 0, made, held
            while True:
                rest = self._closure(rest, side)
                if not rest:
                    break
                side = 1 - side
                rounds += 1
            self._rounds[made, held] = rounds
        return self._rounds[made, held]

    def _closure(self, made: int, held: int) -> int:
        """Take out all bends that can come out held by one side, whichever side is up; return what is left.

        Whatever comes out first, the same is left in the end, so that is kept.
        """
        known, trail = self._left[held], list[int]()
        while (left := known.get(made)) is None:
            trail.append(made)
            rest, out = made, 0
            while rest and not out:
                bit = rest & -rest
                rest ^= bit
                if self.task.allowed(bit.bit_length() - 1, held, made ^ bit):
                    out = bit
            if not out:
                left = made
                break
            made ^= out
        known.update(dict.fromkeys(trail, left))
        return left

    def changes(self, made: int, former: int) -> int:
        """Return the fewest changes of former from here: one for each that is not in and is still to come."""
        formers = self.task.formers
        return len({formers[b] for b in range(self.task.bends) if made >> b & 1} - {former}) if formers else 0

    def overs(self, made: int, held: int, side: int | None, fixed: bool) -> int:
        """Return a bound on the turn-overs: each side up still to come costs one, each plane if held may change."""
        key = (made, held, fixed)
        kinds = self._kinds.get(key)
        if kinds is None:
            rest = (self.task.sides[b][held] for b in range(self.task.bends) if made >> b & 1)
            kinds = self._kinds[key] = set(rest) if fixed else {s >> 1 for s in rest}
        if side is None:
            return max(len(kinds) - 1, 0)
        return len(kinds) - ((side if fixed else side >> 1) in kinds)

    def mass(self, made: int, held: int, fixed: bool) -> float:
        """Return the least mass still to swing."""
        key = (made, held, fixed)
        if key not in self._mass:
            rest = (self.task.masses[b] for b in range(self.task.bends) if made >> b & 1)
            self._mass[key] = sum(pair[held] if fixed else min(pair) for pair in rest)
        return self._mass[key]
