"""What is read of a piece, what was probably bent, and what to do: the values that the steps hand on."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal, NamedTuple, TypeAlias

from pipemodel.bending.schedule import SolvedRun
from pipemodel.geometry.vectors import Vec3
from pipemodel.job.model import Place
from pipemodel.messages.values import Message
from pipemodel.pulls.cards import Card
from pipemodel.pulls.plan import Plan

Verdict: TypeAlias = Literal["go on", "pull on", "change", "trim", "recut", "contradiction", "which side"]


class CheckReading(NamedTuple):
    """What was read at one check: mm or degrees, once or several times; of a look +1 or -1, as its measure has it."""

    check: str
    pull: int
    place: int
    """Of the check on its card, from 0."""
    values: tuple[float, ...]
    written: Place = Place()
    side: int | None = None
    """To which side the bend on the bench goes off with what stands off up: 1 left, -1 right, 0 no one can tell."""


class ReadingBlock(NamedTuple):
    """What was read once `after` pulls were made.

    `corrected` tells that the pulls since the block before were made as that one's answer says, and not as planned.
    """

    after: int
    readings: tuple[CheckReading, ...]
    corrected: bool = False


class LikelyFigure(NamedTuple):
    """A figure, and between what it lies 19 times in 20."""

    value: float
    low: float
    high: float

    def is_off(self, aim: float) -> bool:
        """Tell whether it leaves no doubt that this is another figure."""
        return not self.low <= aim <= self.high


class Unsure(NamedTuple):
    """Within what a finish lies, 19 times in 20, of where it lands: square to its last leg, along it, in direction."""

    sideways_mm: float
    along_mm: float
    direction_deg: float


class LikelyErrors(NamedTuple):
    """Errors that explain the readings, less those of the bends as they probably are, and their covariance."""

    by: tuple[float, ...]
    covariance: Sequence[Sequence[float]]


@dataclass(frozen=True)
class BentBend:
    """One bend as it was probably made.

    Its start is from the start end, mm; its turn, degrees, from the bend before it in number, where that is not made
    yet from where its plane is to be. The first bend made has its turn as drawn: others are seen from its plane.
    """

    number: int
    start_mm: LikelyFigure
    angle_deg: LikelyFigure
    turn_deg: LikelyFigure
    aim_start_mm: float
    aim_angle_deg: float
    aim_turn_deg: float


@dataclass(frozen=True)
class Estimate:
    """What was probably bent.

    `mistakes` are the gross ones that explain the readings: the bend, and what went wrong as `Mistake.name` says, or
    "mark", "angle" or "turn" where one of these is far out. `again` are the checks that do not go with the others.
    """

    bends: tuple[BentBend, ...]
    mistakes: tuple[tuple[int, str], ...] = ()
    again: tuple[str, ...] = ()
    alone: tuple[str, ...] = ()
    """Checks measured once, each of which is all that speaks for the mistakes: without it there are none."""
    open_sides: tuple[str, ...] = ()
    """Checks that leave open to which side a bend is twisted."""
    either: tuple[tuple[BentBend, ...], ...] = ()
    """Where they do, the bends as they are by each side."""
    likely: tuple[LikelyErrors, ...] = ()
    """What is not ruled out, in the order of `MadePiece.unknowns`."""


@dataclass(frozen=True)
class Correction:
    """What to do after readings.

    `solved` is the run as it comes out when this is followed, `plan` the pulls still to do, `cards` theirs. The finish
    is then `off` of where it is drawn, and `off_unchanged` if the rest were bent as planned; mm, the room's axes.
    """

    run: str
    after: int
    verdict: Verdict
    said: tuple[Message, ...]
    estimate: Estimate
    solved: SolvedRun
    plan: Plan
    cards: tuple[Card, ...]
    off: Vec3
    off_unchanged: Vec3
    direction_off_deg: float
    off_within: Unsure
    """By the readings alone: the bends to come count as made to the figure."""
    is_shown: bool
    """Whether the finish is then within what it may be off, wherever in `off_within` it lies."""
    pull_on_deg: float | None = None
    """What the angle just bent is to be pulled on to, let go."""
    trim_mm: float | None = None
    """How much to cut off at the finish, all that is left on there included."""

    @property
    def again(self) -> tuple[str, ...]:
        """The checks to take once more before anything is done, or to say the side of."""
        found = self.estimate
        return found.again or (found.open_sides if self.verdict == "which side" else found.alone)
