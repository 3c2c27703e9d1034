"""What is known of how well a run will fit."""

from dataclasses import dataclass
from math import sqrt
from typing import Literal, NamedTuple, TypeAlias

from pipemodel.geometry.vectors import Vec3
from pipemodel.pulls.measures import Measure
from pipemodel.trade.fittings import Within

What: TypeAlias = Literal["mark", "angle", "turn"]
WHATS: tuple[What, ...] = ("mark", "angle", "turn")
Matrix: TypeAlias = tuple[Vec3, Vec3, Vec3]
WORTH, WORTH_TWO = 0.02, 0.05
"""What a tail has to gain to be worth leaving, and a second one; common practice, no source."""
Z_95 = 1.959963984540054
"""So many standard deviations to both sides hold 95 % of a normal figure."""


class ErrorSource(NamedTuple):
    """One thing the hands do: at which bend, and what."""

    bend: int
    what: What


class Chance(NamedTuple):
    """In how many pieces out of how many something happened.

    `low` and `high` bound the chance behind it, 95 %: Wilson's interval for a proportion.
    """

    hits: int
    pieces: int

    @property
    def value(self) -> float:
        """The chance, from 0 to 1."""
        return self.hits / self.pieces

    @property
    def low(self) -> float:
        """The least it is likely to be."""
        return max(self._middle - self._half, 0.0) if self.hits else 0.0

    @property
    def high(self) -> float:
        """The most it is likely to be."""
        return min(self._middle + self._half, 1.0) if self.hits < self.pieces else 1.0

    @property
    def _middle(self) -> float:
        return (self.hits + Z_95**2 / 2.0) / (self.pieces + Z_95**2)

    @property
    def _half(self) -> float:
        n, p = self.pieces, self.value
        return Z_95 * sqrt(p * (1.0 - p) * n + Z_95**2 / 4.0) / (n + Z_95**2)


class EllipsoidAxis(NamedTuple):
    """One axis of the ellipsoid in which the finish lands: its unit direction, and the standard deviation along it."""

    direction: Vec3
    sd_mm: float


class TouchChance(NamedTuple):
    """The chance that a run touches something, and how far off it is as drawn, mm."""

    against: str
    chance: Chance
    distance_mm: float


class Share(NamedTuple):
    """One error of the hands, and its part of the mean square of how far the finish is off, of 1."""

    source: ErrorSource
    part: float


End: TypeAlias = Literal["start", "finish", "both"]


class Tail(NamedTuple):
    """So much left on at an end, or at each end, to be cut once the bent piece is held in its place; the chance then.

    At the start it also moves every mark so much farther from it.
    """

    end: End
    long_mm: float
    chance: Chance


@dataclass(frozen=True)
class BestReading:
    """The check that says most about where the finish will land.

    It is taken after pull `pull`, and is the one at `place` on its card. `left` is the part of the mean square that is
    left when what it says is put right in the bends still to do, or at the end.
    """

    pull: int
    place: int
    measure: Measure
    left: float
    piece: int | None = None
    """Which piece of a jointed run, counted from its start; None where the run is one piece."""


@dataclass(frozen=True)
class RunFit:
    """How well a run is likely to fit, its start end, first leg and the plane of its first bend as drawn.

    Lengths in mm, the room's axes. `linear` is by the linear law of errors and knows which side each bend is held by;
    `by_number` is the same for bends all held by their start side, `by_rolls` with each plane set out from the one
    pulled before; `simulated` is that of the simulated pieces, and
    `mean_off` how far the middle of those is off. `sideways_mm` and `along_mm` hold 19 of 20 simulated finishes.
    """

    run: str
    within: Within
    trim_mm: float
    chance: Chance
    linear_chance: Chance
    """The same by the linear law, of the same errors."""
    linear: Matrix
    by_number: Matrix
    by_rolls: Matrix
    simulated: Matrix
    mean_off: Vec3
    linear_holds: bool
    axes: tuple[EllipsoidAxis, ...]
    sideways_mm: float
    along_mm: float
    shares: tuple[Share, ...]
    """The largest first; empty where no bend moves the finish."""
    room_part: float = 0.0
    """What measuring the room adds to the mean square, of 1."""
    touches: tuple[TouchChance, ...] = ()
    best_reading: BestReading | None = None
    joints: int = 0
    """At how many joints what follows is rolled to where the finish lands best."""
    tails: tuple[Tail, ...] = ()
    """What a tail at the finish, at the start and at both gains; empty where nothing is bent by hands that err."""
    by_accurate_plan: Chance | None = None
    """The chance with the plan of pulls that is for accuracy; None where it is that, or none is better."""

    @property
    def leave(self) -> Tail | None:
        """The tail that is worth leaving, at both ends only where that gains much more; None where none gains much."""
        best: Tail | None = None
        for tail in sorted(self.tails, key=lambda tail: (tail.end == "both", -tail.chance.value)):
            had = self.chance if best is None else best.chance
            if tail.chance.value >= had.value + (WORTH if best is None else WORTH_TWO):
                best = tail
        return best
