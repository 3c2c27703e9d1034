"""A former's own figures from measured test pieces, by least squares.

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
from math import ceil, degrees, inf, isfinite, radians, tan
from typing import TYPE_CHECKING, Literal, TypeAlias

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

Reading: TypeAlias = Literal["start to back", "finish to back", "angle", "pull"]
READINGS: tuple[Reading, ...] = ("start to back", "finish to back", "angle", "pull")
CONFIDENCE = 0.95
APART_DEG = 10.0
"""Angles nearer each other than this, or than four readings of the protractor, tell no law of springback."""
WIDEST_DIAMETERS = 2.0
WIDEST_FIXED_DEG = 10.0
WIDEST_PER_DEGREE = 0.25
"""Figures less sure than this (radius and mark in outside diameters) are not settled."""
LARGEST_RADIUS_DIAMETERS = 20.0
TELLS_RADIUS_DEG = 60.0
"""Readings that ask for a radius beyond this are wrong: formers have four or five diameters. On a small bend the
radius hardly shows."""
BLATANT, FEW = 8.0, 3
"""A reading so many times its stated accuracy off is pointed out though no more than a few spare ones judge it."""


@dataclass(frozen=True)
class TestPiece:
    """One bend as made and measured; mm and degrees. A reading that was not taken is None."""

    __test__ = False  # not a test class, whatever its name looks like

    name: str
    cut_mm: float
    mark_mm: float
    angle_deg: float
    start_to_back_mm: float | None = None
    finish_to_back_mm: float | None = None
    pull_deg: float | None = None


@dataclass(frozen=True)
class Estimate:
    """A fitted figure: its value, and the half width of its 95 % interval (inf where nothing holds it)."""

    value: float
    uncertainty: float
    more_to_halve: int | None
    """How many more pieces like these would halve the uncertainty; None where it cannot be told."""

    @property
    def settled(self) -> bool:
        """Whether the pieces hold it well enough to be used."""
        return isfinite(self.uncertainty)


@dataclass(frozen=True)
class Doubt:
    """A reading that does not fit the others: by how much, and how unlikely that is by chance."""

    piece: str
    reading: Reading
    off_by: float
    chance: float


@dataclass(frozen=True)
class Calibration:
    """What the test pieces say of the former; None where no reading bears on it."""

    radius_mm: Estimate | None
    mark_mm: Estimate | None
    fixed_deg: Estimate | None
    per_degree: Estimate | None
    doubts: tuple[Doubt, ...]
    spread: float
    """Root mean square of the residuals over what the readings' stated accuracy allows; about 1 when honest."""
    notes: tuple[str, ...]


class ContradictionError(ValueError):
    """Readings no former could have made; the message names the piece and the reading."""


def calibrate(
    pieces: Sequence[TestPiece],
    outside_mm: float,
    tape_mm: float = 0.5,
    protractor_deg: float = 0.5,
    per_degree: float = 0.0,
) -> Calibration:
    """Fit radius, mark offset and springback to test pieces.

    Args:
        pieces: the test pieces, any number from one; two different angles are needed for the springback law.
        outside_mm: outside diameter of the tube.
        tape_mm: standard deviation of a length reading.
        protractor_deg: standard deviation of an angle reading, finished or pulled.
        per_degree: the springback for each degree that is taken for true where all pieces have one angle.

    Raises:
        ContradictionError: if a piece is impossible in itself (longer to the back than its tube allows, bent
            further than pulled, an angle outside 0 to 180), with the value and what would be possible.
    """
    for piece in pieces:
        _refuse_impossible(piece, outside_mm, tape_mm, protractor_deg)
    fit = _Fit(pieces, outside_mm, tape_mm, protractor_deg, per_degree)
    fit.solve()
    return fit.result()


def _refuse_impossible(piece: TestPiece, outside: float, tape: float, protractor: float) -> None:
    def no(text: str) -> None:
        raise ContradictionError(f"piece {piece.name}: {text}")

    if not 0.0 < piece.angle_deg < 180.0:
        no(f"a finished angle of {piece.angle_deg:g} cannot be measured to the back; use one between 0 and 180")
    if not 0.0 <= piece.mark_mm <= piece.cut_mm:
        no(f"the mark at {piece.mark_mm:g} is not on a tube {piece.cut_mm:g} long")
    if piece.pull_deg is not None and piece.pull_deg < piece.angle_deg - 4.0 * protractor:
        no(
            f"it was pulled to {piece.pull_deg:g} and measures {piece.angle_deg:g}: "
            "tube opens when let go, so the pull cannot be the smaller; were the two swapped?"
        )
    a, b = piece.start_to_back_mm, piece.finish_to_back_mm
    if a is not None and b is not None:
        # A + B - L = D tan(a/2) + R (2 tan(a/2) - a): with any R above half the tube it must exceed this.
        half = tan(radians(piece.angle_deg) / 2.0)
        least = outside * half + outside / 2.0 * (2.0 * half - radians(piece.angle_deg))
        # An angle read wrong shifts the sum as well, by what it is worth on this bend.
        play = 6.0 * tape + 6.0 * radians(protractor) * outside * (1.0 + half * half)
        most = least + (LARGEST_RADIUS_DIAMETERS - 0.5) * outside * (2.0 * half - radians(piece.angle_deg))
        added = f"its legs to the back add up to {a + b:g} for a tube cut at {piece.cut_mm:g}; a bend of "
        if a + b - piece.cut_mm < least - play:
            no(f"{added}{piece.angle_deg:g} must give at least {piece.cut_mm + least:.1f}")
        if piece.angle_deg >= TELLS_RADIUS_DEG and a + b - piece.cut_mm > most + play:
            no(f"{added}{piece.angle_deg:g} cannot give more than {piece.cut_mm + most:.1f}")


class _Fit:
    """Weighted nonlinear least squares by Gauss-Newton: four figures of the former and one angle a piece."""

    def __init__(
        self, pieces: Sequence[TestPiece], outside: float, tape: float, protractor: float, per_degree: float
    ) -> None:
        self.pieces = pieces
        self.outside = outside
        self.per_degree = per_degree
        sigma = {"start to back": tape, "finish to back": tape, "angle": protractor, "pull": protractor}
        self.rows: list[tuple[int, Reading, float, float]] = []
        for i, piece in enumerate(pieces):
            taken = (piece.start_to_back_mm, piece.finish_to_back_mm, piece.angle_deg, piece.pull_deg)
            for reading, value in zip(READINGS, taken, strict=True):
                if value is not None:
                    self.rows.append((i, reading, value, sigma[reading]))
        lengths = [r for r in self.rows if r[1] in ("start to back", "finish to back")]
        angles = [self.pieces[r[0]].angle_deg for r in self.rows if r[1] == "pull"]
        both = {r[0] for r in lengths if r[1] == "start to back"} & {r[0] for r in lengths if r[1] != "start to back"}
        self.free = {
            "radius": bool(both) or len(lengths) >= 2,
            "mark": bool(lengths),
            "fixed": bool(angles),
            "per_degree": bool(angles) and max(angles) - min(angles) >= max(APART_DEG, 4.0 * protractor),
        }
        self.names = [n for n, wanted in self.free.items() if wanted]
        self.x = np.array([0.0] * len(self.names) + [radians(p.angle_deg) for p in pieces])
        if self.free["radius"]:
            self.x[0] = 4.0 * outside  # only where the iteration begins; the model is linear in the radius
        self.weights = np.array([1.0 / s for *_, s in self.rows])

    def model(self, x: "NDArray[np.float64]") -> "NDArray[np.float64]":
        """What the readings would be for a former and angles x."""
        figures = {**dict.fromkeys(self.free, 0.0), "per_degree": self.per_degree}
        figures |= dict(zip(self.names, x.tolist(), strict=False))
        radius, mark = figures["radius"], figures["mark"]
        out = []
        for i, reading, _, _ in self.rows:
            a = float(x[len(self.names) + i])
            piece, back = self.pieces[i], (radius + self.outside / 2.0) * tan(a / 2.0)
            if reading == "start to back":
                out.append(piece.mark_mm - mark + back)
            elif reading == "finish to back":
                out.append(piece.cut_mm - piece.mark_mm + mark - radius * a + back)
            elif reading == "angle":
                out.append(degrees(a))
            else:
                out.append(degrees(a) + figures["fixed"] + figures["per_degree"] * degrees(a))
        return np.array(out)

    def jacobian(self, x: "NDArray[np.float64]") -> "NDArray[np.float64]":
        """Central differences; the model is smooth and almost linear."""
        columns = []
        for k in range(len(x)):
            step = np.zeros_like(x)
            step[k] = 1e-6 * max(1.0, abs(x[k]))
            columns.append((self.model(x + step) - self.model(x - step)) / (2.0 * step[k]))
        jacobian: NDArray[np.float64] = np.array(columns).T * self.weights[:, None]
        return jacobian

    def solve(self) -> None:
        """Iterate to the best fit; it converges in a few steps from any sane start."""
        measured = np.array([value for _, _, value, _ in self.rows])
        for _ in range(50):
            self.jac = self.jacobian(self.x)
            self.residual = (measured - self.model(self.x)) * self.weights
            step = np.linalg.lstsq(self.jac, self.residual, rcond=1e-12)[0]
            self.x = self.x + step
            if np.max(np.abs(step)) < 1e-10 * max(1.0, float(np.max(np.abs(self.x)))):
                break
        self.residual = (measured - self.model(self.x)) * self.weights
        self.normal = np.linalg.pinv(self.jac.T @ self.jac)

    def result(self) -> Calibration:
        """Turn the fit into estimates, doubts and notes."""
        from scipy import stats

        freedom = len(self.rows) - int(np.linalg.matrix_rank(self.jac))
        spread = float(np.sqrt(np.sum(self.residual**2) / freedom)) if freedom > 0 else 1.0
        # The stated accuracy is a floor: readings that scatter more widen the interval, by Student's t.
        widened = spread > 1.0 and freedom > 0 and stats.chi2.sf(spread**2 * freedom, freedom) < 0.05
        factor = spread if widened else 1.0
        quantile = stats.t.ppf(0.5 + CONFIDENCE / 2, freedom) if widened else stats.norm.ppf(0.5 + CONFIDENCE / 2)
        notes = []
        if freedom == 0:
            notes.append("no reading is spare: the uncertainty rests on the stated accuracy alone")
        if widened:
            notes.append(f"the readings scatter {spread:.1f} times what tape and protractor should give")
        if self.free["fixed"] and not self.free["per_degree"]:
            angle = float(np.mean([p.angle_deg for p in self.pieces if p.pull_deg is not None]))
            notes.append(
                f"the springback holds near {angle:.0f} degrees: for its law bend a piece to another angle, "
                f"at least {APART_DEG:g} degrees away"
            )
        widest = {
            "radius": WIDEST_DIAMETERS * self.outside,
            "mark": WIDEST_DIAMETERS * self.outside,
            "fixed": WIDEST_FIXED_DEG,
            "per_degree": WIDEST_PER_DEGREE,
        }
        estimates = {}
        for k, name in enumerate(self.names):
            sigma = float(np.sqrt(self.normal[k, k]))
            determined = abs((self.normal @ (self.jac.T @ self.jac))[k, k] - 1.0) < 1e-6
            half = float(quantile * factor * sigma) if determined else inf
            settled = half <= widest[name]
            more = ceil(3 * len(self.pieces)) if settled else None
            estimates[name] = Estimate(float(self.x[k]), half if settled else inf, more)
        return Calibration(
            estimates.get("radius"),
            estimates.get("mark"),
            estimates.get("fixed"),
            estimates.get("per_degree"),
            self._doubts(freedom),
            spread,
            tuple(notes),
        )

    def _doubts(self, freedom: int) -> tuple[Doubt, ...]:
        """Readings whose residual, left out of the fit, is too large for chance (Bonferroni at 1 %).

        Too large for its stated accuracy, and also for how much the other readings scatter: where all scatter more
        than was stated, none of them is the wrong one.
        """
        from scipy import stats

        if freedom < 1:
            return ()
        hat = np.einsum("ij,jk,ik->i", self.jac, self.normal, self.jac)
        total = float(np.sum(self.residual**2))
        doubts = []
        for row, (i, reading, _, sigma) in enumerate(self.rows):
            spare = 1.0 - hat[row]
            if spare < 1e-6:
                continue  # nothing else checks this reading
            score = abs(float(self.residual[row] / np.sqrt(spare)))
            chance = float(2.0 * stats.norm.sf(score))
            among = 1.0
            if freedom > 1:
                others = max(1.0, float(np.sqrt(max(total - score**2, 0.0) / (freedom - 1))))
                among = float(2.0 * stats.t.sf(score / others, freedom - 1))
            blatant = freedom <= FEW and score > BLATANT
            if chance * len(self.rows) < 0.01 and (among * len(self.rows) < 0.01 or blatant):
                doubts.append(Doubt(self.pieces[i].name, reading, float(self.residual[row] / spare * sigma), chance))
        return tuple(sorted(doubts, key=lambda d: d.chance)[:1])
