"""The values of a calibration: test pieces as measured, and what they say of the former; mm and degrees."""

from dataclasses import dataclass
from math import isfinite
from typing import Literal, TypeAlias

from pipemodel.messages.values import Message

ReadingName: TypeAlias = Literal["start to back", "finish to back", "angle", "pull"]
READINGS: tuple[ReadingName, ...] = ("start to back", "finish to back", "angle", "pull")


@dataclass(frozen=True)
class TestPiece:
    """One bend as made and measured. A reading that was not taken is None."""

    __test__ = False  # not a test class, whatever its name looks like

    name: str
    cut_mm: float
    mark_mm: float
    angle_deg: float
    start_to_back_mm: float | None = None
    finish_to_back_mm: float | None = None
    pull_deg: float | None = None


@dataclass(frozen=True)
class Accuracy:
    """How well the readings are taken: standard deviation of a length in mm and of an angle in degrees."""

    tape_mm: float = 0.5
    protractor_deg: float = 0.5


@dataclass(frozen=True)
class FittedFigure:
    """A fitted figure: its value, and the half width of its 95 % interval (inf where nothing holds it)."""

    value: float
    uncertainty: float
    more_to_halve: int | None
    """How many more pieces like these would halve the uncertainty; None where that cannot be said."""

    @property
    def settled(self) -> bool:
        """Whether the pieces hold it well enough to be used."""
        return isfinite(self.uncertainty)


@dataclass(frozen=True)
class PullEstimate:
    """How far to pull for a finished angle, with the half width of its 95 % interval.

    The interval takes the constants of springback together: they are far less sure apart than their sum is.
    """

    angle_deg: float
    pull_deg: float
    uncertainty: float


@dataclass(frozen=True)
class Doubt:
    """A reading that does not fit the others: by how much, and how unlikely that is by chance."""

    piece: str
    reading: ReadingName
    off_by: float
    chance: float


@dataclass(frozen=True)
class MeasuringMistake:
    """What probably happened when the pieces were measured; `pieces` is empty where it holds for all of them."""

    what: Message
    pieces: tuple[str, ...]
    radius_mm: float | None
    mark_mm: float | None
    """What the readings say of the former if that is what happened."""


@dataclass(frozen=True)
class Calibration:
    """What the test pieces say of the former; None where no reading bears on it."""

    radius_mm: FittedFigure | None
    mark_mm: FittedFigure | None
    fixed_deg: FittedFigure | None
    per_degree: FittedFigure | None
    pulls: tuple[PullEstimate, ...]
    springback_covariance: tuple[tuple[float, float], tuple[float, float]] | None
    """Of (fixed_deg, per_degree), so that `quantile` x sqrt(v C v), v = (1, angle), is a pull's uncertainty."""
    quantile: float
    doubts: tuple[Doubt, ...]
    suspicions: tuple[Message, ...]
    """Why the figures as a whole cannot be a former's."""
    mistakes: tuple[MeasuringMistake, ...]
    spread: float
    """Root mean square of the residuals over what the readings' stated accuracy allows; about 1 when honest."""
    notes: tuple[Message, ...]

    @property
    def usable(self) -> bool:
        """Whether nothing looks wrong."""
        return not (self.doubts or self.suspicions or self.mistakes)


class ContradictionError(ValueError):
    """Readings no former could have made; the message names the piece and the reading."""
