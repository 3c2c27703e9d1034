"""What a tape reads between points, as functions of where the points are, with their gradients."""

from dataclasses import dataclass, field
from math import hypot
from typing import Literal, NamedTuple, TypeAlias

from pipemodel.geometry.vectors import Vec3

Kind: TypeAlias = Literal["distance", "square off", "level"]
Places: TypeAlias = dict[str, Vec3]
Gradient: TypeAlias = dict[str, Vec3]
"""How a reading changes with each point: mm for each mm along x, y and z."""


@dataclass(frozen=True)
class TapeReading:
    """One reading, mm.

    A `distance` goes straight from the first point to the second; `square off` goes level from the upright wall through
    the first two points to the third, square to the wall; `level` is how much higher the second point is than the
    first. `sd_mm` is the standard deviation of the reading.
    """

    kind: Kind
    points: tuple[str, ...]
    mm: float
    sd_mm: float


@dataclass(frozen=True)
class WantedPoint:
    """A point to be found: what is known of its x, y and z (None what is not), and which of two places is meant.

    `side` is the direction in which the meant place lies from its mirror image; None where nobody says.
    """

    name: str
    known: tuple[float | None, float | None, float | None]
    side: Vec3 | None = None

    @property
    def free(self) -> tuple[int, ...]:
        """Which of x, y and z are to be found."""
        return tuple(axis for axis in range(3) if self.known[axis] is None)


class AdjustedReading(NamedTuple):
    """What became of a reading.

    `residual_mm` is reading less adjusted, `redundancy` how much of a slip in it the others show (0 none, 1 all of it),
    `test` the residual in its own standard deviations, 0 where no other reading checks it.
    """

    reading: TapeReading
    adjusted_mm: float
    residual_mm: float
    redundancy: float
    test: float
    misread: bool = False

    @property
    def checked(self) -> bool:
        """Whether a slip in this reading shows in the others."""
        return self.redundancy >= LEAST_REDUNDANCY

    @property
    def likely_mm(self) -> float:
        """What the tape read in truth, if this reading alone is wrong."""
        return self.reading.mm - self.residual_mm / self.redundancy if self.checked else self.reading.mm


LEAST_REDUNDANCY = 0.01
"""A reading of less is checked by no other: a slip of 100 mm moves its residual by less than 1. Common practice, no
source."""


class Covariance(NamedTuple):
    """The covariance of the coordinates of all points to be found, mm², rows in the order of `unknowns`."""

    unknowns: tuple[tuple[str, int], ...] = ()
    rows: tuple[tuple[float, ...], ...] = ()

    def of(self, name: str) -> tuple[Vec3, Vec3, Vec3]:
        """Return the covariance of one point, (3, 3) mm²; what is known has 0."""
        at = {axis: i for i, (point, axis) in enumerate(self.unknowns) if point == name}
        x, y, z = (tuple(self.rows[at[i]][at[j]] if i in at and j in at else 0.0 for j in range(3)) for i in range(3))
        return (x, y, z)  # type: ignore[return-value]


@dataclass(frozen=True)
class Adjusted:
    """The points found, with the covariance of their coordinates, and what became of each reading."""

    places: Places
    readings: tuple[AdjustedReading, ...] = ()
    covariance: Covariance = field(default_factory=Covariance)


def computed(reading: TapeReading, places: Places) -> tuple[float, Gradient]:
    """Return what a reading would be with the points where they are, and its gradient."""
    ends = [places[name] for name in reading.points]
    if reading.kind == "level":
        return ends[1][2] - ends[0][2], {reading.points[0]: (0.0, 0.0, -1.0), reading.points[1]: (0.0, 0.0, 1.0)}
    if reading.kind == "distance":
        way = tuple(b - a for a, b in zip(ends[0], ends[1], strict=True))
        far = hypot(*way)
        x, y, z = (part / far if far else 0.0 for part in way)
        return far, {reading.points[0]: (-x, -y, -z), reading.points[1]: (x, y, z)}
    return _square_off(reading.points, ends)


def _square_off(names: tuple[str, ...], ends: list[Vec3]) -> tuple[float, Gradient]:
    (ax, ay, _), (bx, by, _), (px, py, _) = ends
    dx, dy = bx - ax, by - ay
    long = hypot(dx, dy) or 1.0
    ux, uy = dx / long, dy / long
    off = ux * (py - ay) - uy * (px - ax)
    along = (ux * (px - ax) + uy * (py - ay)) / long
    sign = -1.0 if off < 0.0 else 1.0
    # The wall's normal; the foot of the square lies `along` of the way from the first point to the second.
    nx, ny = -uy * sign, ux * sign
    gradient = {
        names[0]: (-nx * (1.0 - along), -ny * (1.0 - along), 0.0),
        names[1]: (-nx * along, -ny * along, 0.0),
        names[2]: (nx, ny, 0.0),
    }
    return abs(off), gradient
