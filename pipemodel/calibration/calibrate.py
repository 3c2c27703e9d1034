"""A former's own figures from measured test pieces, by least squares, with what looks wrong in the readings."""

from collections.abc import Sequence
from math import ceil, inf

import numpy as np

from pipemodel.calibration.fit import APART_DEG, BestFit, fit
from pipemodel.calibration.mistakes import (
    ALIKE,
    other_readings,
    probable_mistakes,
    refuse_impossible,
    suspicions,
)
from pipemodel.calibration.values import (
    Accuracy,
    Calibration,
    Doubt,
    FittedFigure,
    MeasuringMistake,
    PullEstimate,
    TestPiece,
)
from pipemodel.messages.values import Message, Number, listed, message

ANGLES_DEG = (45.0, 90.0, 120.0)
"""The finished angles for which the pull is said."""
DOUBTED_CHANCE = 0.01
"""A reading that is off by less likely than this, of all the readings, is pointed out."""
BLATANT, FEW = 8.0, 3
"""A reading so many times its stated accuracy off is pointed out though no more than a few spare ones judge it."""


def calibrate(
    pieces: Sequence[TestPiece],
    outside_mm: float,
    tape_mm: float = 0.5,
    protractor_deg: float = 0.5,
    per_degree: float = 0.0,
    least_mm: float | None = None,
) -> Calibration:
    """Fit radius, mark offset and springback to test pieces.

    Args:
        pieces: the test pieces, any number from one; two different angles are needed for the springback law.
        outside_mm: outside diameter of the tube.
        tape_mm: standard deviation of a length reading.
        protractor_deg: standard deviation of an angle reading, finished or pulled.
        per_degree: the springback for each degree that is taken for true where all pieces have one angle.
        least_mm: the smallest centreline radius published for the tube; None for the tightest of all tubes.

    Raises:
        ContradictionError: if a piece is impossible in itself (longer to the back than its tube allows, bent
            further than pulled, an angle outside 0 to 180), with the value and what would be possible.
    """
    accuracy = Accuracy(tape_mm, protractor_deg)
    for piece in pieces:
        refuse_impossible(piece, outside_mm, accuracy)

    def refit(others: Sequence[TestPiece]) -> BestFit:
        return fit(others, outside_mm, accuracy, per_degree)

    found = refit(pieces)
    odd = tuple(suspicions(found, least_mm))
    doubts = _doubts(found)
    mistakes: tuple[MeasuringMistake, ...] = ()
    notes = _notes(found)
    if odd or found.wild:
        # What is left of chi squared without the doubted reading is that of the others.
        left = found.chi2 - max((_score(found, row) ** 2 for row in _rows(found, doubts)), default=-inf)
        mistakes = probable_mistakes(found, refit, accuracy, least_mm, left)
        if mistakes:
            doubts = ()  # one cause is enough, and the readings themselves may be right
        elif found.wild and not doubts:
            odd = (*odd, message("suspicion.no former", times=Number(found.spread, ".0f")))
    elif not doubts and (others := other_readings(found, refit, accuracy, least_mm)):
        notes += _cannot_tell(others)
    law = "fixed" in found.names and "per_degree" in found.names
    covariance = found.springback_covariance.tolist() if law else None
    return Calibration(
        radius_mm=_estimate(found, "radius"),
        mark_mm=_estimate(found, "mark"),
        fixed_deg=_estimate(found, "fixed"),
        per_degree=_estimate(found, "per_degree"),
        pulls=_pulls(found),
        springback_covariance=None if covariance is None else (tuple(covariance[0]), tuple(covariance[1])),
        quantile=found.quantile,
        doubts=doubts,
        suspicions=odd,
        mistakes=mistakes,
        spread=found.spread,
        notes=notes,
    )


def _rows(found: BestFit, doubts: Sequence[Doubt]) -> list[int]:
    doubted = {(doubt.piece, doubt.reading) for doubt in doubts}
    return [n for n, (i, reading, _, _) in enumerate(found.rows) if (found.pieces[i].name, reading) in doubted]


def _estimate(found: BestFit, name: str) -> FittedFigure | None:
    value = found.value(name)
    if value is None:
        return None
    half = found.half_width(name)
    return FittedFigure(value, half, ceil(3 * len(found.pieces)) if half < inf else None)


def _pulls(found: BestFit) -> tuple[PullEstimate, ...]:
    if "fixed" not in found.names:
        return ()
    if "per_degree" in found.names:
        return tuple(PullEstimate(angle, *found.pull(angle)) for angle in ANGLES_DEG)
    angle = float(round(_mean_pulled(found)))
    return (PullEstimate(angle, *found.pull(angle)),)


def _mean_pulled(found: BestFit) -> float:
    return float(np.mean([piece.angle_deg for piece in found.pieces if piece.pull_deg is not None]))


def _notes(found: BestFit) -> tuple[Message, ...]:
    notes = []
    if sum(mm is not None for p in found.pieces for mm in (p.start_to_back_mm, p.finish_to_back_mm)) == 1:
        notes.append(message("calibration.one leg"))
    if found.freedom == 0:
        notes.append(message("calibration.none spare"))
    if found.widened:
        notes.append(message("calibration.scatter", times=Number(found.spread, ".1f")))
    if "fixed" in found.names and "per_degree" not in found.names:
        near = Number(_mean_pulled(found), ".0f")
        notes.append(message("calibration.one angle", near=near, apart=Number(APART_DEG)))
    return tuple(notes)


def _cannot_tell(others: Sequence[MeasuringMistake]) -> tuple[Message, ...]:
    mistakes = [
        message(
            "calibration.then would be",
            what=other.what,
            radius=Number(other.radius_mm, ".1f"),
            mark=Number(other.mark_mm, ".1f"),
        )
        for other in others
        if other.radius_mm is not None and other.mark_mm is not None
    ]
    return (message("calibration.cannot tell", mistakes=listed(mistakes, ";")),) if mistakes else ()


def _doubts(found: BestFit) -> tuple[Doubt, ...]:
    """Readings whose residual, left out of the fit, is too large for chance (Bonferroni at 1 %).

    The worst one, and whatever explains the readings as well, as few spare readings cannot say which of them it is.
    Too large for its stated accuracy, and also for how much the other readings scatter: where all scatter more
    than was stated, none of them is the wrong one.
    """
    from scipy.special import ndtr, stdtr

    if found.freedom < 1:
        return ()
    doubts: list[tuple[float, Doubt]] = []
    for row, (i, reading, _, sigma) in enumerate(found.rows):
        spare = _spare(found, row)
        if spare < 1e-6:
            continue  # nothing else checks this reading
        score = _score(found, row)
        chance = float(2.0 * ndtr(-score))
        among = 1.0
        if found.freedom > 1:
            others = max(1.0, float(np.sqrt(max(found.chi2 - score**2, 0.0) / (found.freedom - 1))))
            among = float(2.0 * stdtr(found.freedom - 1, -score / others))
        blatant = found.freedom <= FEW and score > BLATANT
        each = DOUBTED_CHANCE / len(found.rows)
        if chance < each and (among < each or blatant):
            off_by = float(found.residual[row] / spare * sigma)
            doubts.append((score**2, Doubt(found.pieces[i].name, reading, off_by, chance)))
    doubts.sort(key=lambda pair: -pair[0])
    return tuple(doubt for score2, doubt in doubts if score2 > doubts[0][0] - ALIKE)


def _spare(found: BestFit, row: int) -> float:
    """Return how much of a reading the others check: 1 less its leverage."""
    slopes = found.slopes[row]
    return float(1.0 - slopes @ found.normal @ slopes)


def _score(found: BestFit, row: int) -> float:
    """Return by how many standard deviations a reading is off what the others say."""
    return abs(float(found.residual[row])) / float(np.sqrt(max(_spare(found, row), 1e-12)))
