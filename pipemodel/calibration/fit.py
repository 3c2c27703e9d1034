"""Weighted least squares for a former's figures from test pieces.

A test piece is one bend in a straight length. Measured to the back, where the outsides of its two legs would
meet, with D the outside diameter, m the mark and L the cut length:

    start end to back   A = m - k + (R + D/2) tan(a/2)
    finish end to back  B = L - m + k - R a + (R + D/2) tan(a/2)
    pull angle          p = a + fixed + per_degree a

R is the finished radius, k the mark offset, a the finished angle. The angle is itself a reading, so each piece's
true angle is fitted too, and every reading is weighed by how well it can be taken. First principles; the
springback law is the usual two-constant one.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from math import degrees, inf, radians, sqrt, tan
from typing import TYPE_CHECKING, TypeAlias

import numpy as np

from pipemodel.calibration.values import READINGS, Accuracy, ReadingName, TestPiece
from pipemodel.geometry.arrays import Floats

if TYPE_CHECKING:
    Array: TypeAlias = Floats

LEGS = ("start to back", "finish to back")
CONFIDENCE = 0.95
APART_DEG = 10.0
"""Angles nearer each other than this, or than four readings of the protractor, give no law of springback."""
WIDEST_DIAMETERS = 2.0
WIDEST_FIXED_DEG = 10.0
WIDEST_PER_DEGREE = 0.25
"""Figures less sure than this (radius and mark in outside diameters) are not settled."""
WIDENED_CHANCE = 0.05
"""Readings whose scatter is less likely than this by their stated accuracy widen every interval."""
WILD_TIMES, WILD_CHANCE = 2.0, 1e-3
"""Readings that would scatter so little likely even if taken so many times worse than stated are of no one former."""


def fit(pieces: Sequence[TestPiece], outside_mm: float, accuracy: Accuracy, per_degree: float = 0.0) -> "BestFit":
    """Fit the figures of a former, and every piece's true angle, to the readings.

    Args:
        pieces: the test pieces, at least one.
        outside_mm: outside diameter of the tube.
        accuracy: how well the readings were taken.
        per_degree: the springback for each degree that is taken for true where all pieces have one angle.
    """
    from scipy.optimize import least_squares

    model = _Model(pieces, outside_mm, accuracy, per_degree)
    n = len(model.names)
    start = np.array([0.0] * n + [radians(p.angle_deg) for p in pieces])
    if "radius" in model.names:
        start[0] = 4.0 * outside_mm  # only where the search begins; the model is linear in the radius
    # There are never fewer readings than figures and angles, which this method asks for.
    found = least_squares(
        model.residuals, start, model.jacobian, method="lm", x_scale="jac", xtol=1e-13, ftol=1e-13, gtol=1e-13
    )
    # `residuals` are as measured less as modelled, and their derivative is minus that of the model.
    return BestFit(
        tuple(pieces), outside_mm, model.names, tuple(model.rows), found.x, found.fun, -found.jac, per_degree
    )


FitRow: TypeAlias = tuple[int, ReadingName, float, float]
"""A piece's index, which reading, its value, and its standard deviation."""


class _Model:
    """What the readings of pieces would be, as a function of the former's figures and the true angles."""

    def __init__(self, pieces: Sequence[TestPiece], outside: float, accuracy: Accuracy, per_degree: float) -> None:
        self.pieces, self.outside, self.per_degree = pieces, outside, per_degree
        tape, protractor = accuracy.tape_mm, accuracy.protractor_deg
        sigma = {"start to back": tape, "finish to back": tape, "angle": protractor, "pull": protractor}
        self.rows: list[FitRow] = []
        for i, piece in enumerate(pieces):
            taken = (piece.start_to_back_mm, piece.finish_to_back_mm, piece.angle_deg, piece.pull_deg)
            for reading, value in zip(READINGS, taken, strict=True):
                if value is not None:
                    self.rows.append((i, reading, value, sigma[reading]))
        if sum(reading in LEGS for _, reading, _, _ in self.rows) < 2:
            # The length of one leg bears on radius and mark together and gives neither.
            self.rows = [row for row in self.rows if row[1] not in LEGS]
        self.names = self._names(protractor)
        self.weights = np.array([1.0 / sigma for *_, sigma in self.rows])
        self.measured = np.array([value for _, _, value, _ in self.rows])

    def _names(self, protractor: float) -> tuple[str, ...]:
        """Return the figures that the readings bear on."""
        legs = any(row[1] in LEGS for row in self.rows)
        angles = [self.pieces[row[0]].angle_deg for row in self.rows if row[1] == "pull"]
        apart = max(APART_DEG, 4.0 * protractor)
        free = {
            "radius": legs,
            "mark": legs,
            "fixed": bool(angles),
            "per_degree": bool(angles) and max(angles) - min(angles) >= apart,
        }
        return tuple(name for name, wanted in free.items() if wanted)

    def residuals(self, x: "Array") -> "Array":
        """Return as measured less as modelled, each over its standard deviation."""
        modelled, _ = self._of(x)
        weighted: Array = (self.measured - modelled) * self.weights
        return weighted

    def jacobian(self, x: "Array") -> "Array":
        """Return the derivatives of `residuals`."""
        _, slopes = self._of(x)
        weighted: Array = -slopes * self.weights[:, None]
        return weighted

    def _of(self, x: "Array") -> tuple["Array", "Array"]:
        figures = {"radius": 0.0, "mark": 0.0, "fixed": 0.0, "per_degree": self.per_degree}
        figures |= dict(zip(self.names, x.tolist(), strict=False))
        radius, mark, fixed, per_degree = figures.values()
        modelled, slopes = np.zeros(len(self.rows)), np.zeros((len(self.rows), len(x)))
        for row, (i, reading, _, _) in enumerate(self.rows):
            a = float(x[len(self.names) + i])
            piece, half = self.pieces[i], tan(a / 2.0)
            back, back_slope = (radius + self.outside / 2.0) * half, (radius + self.outside / 2.0) * (1 + half**2) / 2
            if reading == "start to back":
                value, by_angle = piece.mark_mm - mark + back, back_slope
                by = {"radius": half, "mark": -1.0}
            elif reading == "finish to back":
                value = piece.cut_mm - piece.mark_mm + mark - radius * a + back
                by, by_angle = {"radius": half - a, "mark": 1.0}, back_slope - radius
            elif reading == "angle":
                value, by, by_angle = degrees(a), {}, degrees(1.0)
            else:
                value = degrees(a) + fixed + per_degree * degrees(a)
                by, by_angle = {"fixed": 1.0, "per_degree": degrees(a)}, (1.0 + per_degree) * degrees(1.0)
            modelled[row] = value
            slopes[row, len(self.names) + i] = by_angle
            for column, name in enumerate(self.names):
                slopes[row, column] = by.get(name, 0.0)
        return modelled, slopes


@dataclass(frozen=True, eq=False)
class BestFit:
    """The best fit: figures and angles (radians) `x`, weighted residuals (rows), weighted slopes (rows, figures)."""

    pieces: tuple[TestPiece, ...]
    outside_mm: float
    names: tuple[str, ...]
    rows: tuple[FitRow, ...]
    x: "Array"
    residual: "Array"
    slopes: "Array"
    held_per_degree: float

    @cached_property
    def normal(self) -> "Array":
        """The covariance of `x` if the readings are as good as stated, (len(x), len(x))."""
        inverse: Array = np.linalg.pinv(self.slopes.T @ self.slopes).astype(np.float64)
        return inverse

    @cached_property
    def freedom(self) -> int:
        """How many readings are spare."""
        return len(self.rows) - int(np.linalg.matrix_rank(self.slopes))

    @cached_property
    def chi2(self) -> float:
        """Sum of squares of the weighted residuals."""
        return float(np.sum(self.residual**2))

    @cached_property
    def spread(self) -> float:
        """Root mean square of the weighted residuals over the spare readings; 1 if none is spare."""
        return sqrt(self.chi2 / self.freedom) if self.freedom > 0 else 1.0

    @cached_property
    def widened(self) -> bool:
        """Whether the readings plainly scatter more than was stated."""
        from scipy.special import chdtrc

        return self.freedom > 0 and self.spread > 1.0 and bool(chdtrc(self.freedom, self.chi2) < WIDENED_CHANCE)

    @cached_property
    def wild(self) -> bool:
        """Whether the readings scatter so much that no one former can have made them."""
        from scipy.special import chdtrc

        return self.freedom > 0 and bool(chdtrc(self.freedom, self.chi2 / WILD_TIMES**2) < WILD_CHANCE)

    @cached_property
    def quantile(self) -> float:
        """How many standard deviations make the interval: Student's where the scatter itself was estimated."""
        from scipy.special import ndtri, stdtrit

        up_to = 0.5 + CONFIDENCE / 2.0
        return float(stdtrit(self.freedom, up_to) if self.widened else ndtri(up_to))

    @cached_property
    def factor(self) -> float:
        """What the stated accuracy is multiplied with; it is a floor."""
        return self.spread if self.widened else 1.0

    def value(self, name: str) -> float | None:
        """Return a figure, None if no reading bears on it."""
        return float(self.x[self.names.index(name)]) if name in self.names else None

    def half_width(self, name: str) -> float:
        """Return the half width of a figure's interval; inf where the pieces do not settle it."""
        k = self.names.index(name)
        widest = {
            "radius": WIDEST_DIAMETERS * self.outside_mm,
            "mark": WIDEST_DIAMETERS * self.outside_mm,
            "fixed": WIDEST_FIXED_DEG,
            "per_degree": WIDEST_PER_DEGREE,
        }
        if abs((self.normal @ (self.slopes.T @ self.slopes))[k, k] - 1.0) >= 1e-6:
            return inf  # only together with others
        half = self.quantile * self.factor * sqrt(self.normal[k, k])
        return half if half <= widest[name] else inf

    @cached_property
    def springback_covariance(self) -> "Array":
        """The covariance of (fixed, per_degree), (2, 2), scatter included; no variance in what was held."""
        covariance = np.zeros((2, 2))
        law = ("fixed", "per_degree")
        for i, first in enumerate(law):
            for j, second in enumerate(law):
                if first in self.names and second in self.names:
                    covariance[i, j] = self.normal[self.names.index(first), self.names.index(second)]
        return covariance * self.factor**2

    def pull(self, angle_deg: float) -> tuple[float, float]:
        """Return how far to pull for a finished angle, and the half width of its interval, degrees."""
        fixed, per_degree = self.value("fixed"), self.value("per_degree")
        assert fixed is not None, "asked only where a pull was read"
        by = np.array([1.0, angle_deg])
        half = self.quantile * sqrt(max(0.0, float(by @ self.springback_covariance @ by)))
        rate = self.held_per_degree if per_degree is None else per_degree
        return angle_deg + fixed + rate * angle_deg, half
