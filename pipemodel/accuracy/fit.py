"""How well a run is likely to fit: the linear law of errors, and the pieces simulated, which have to agree."""

from dataclasses import replace

import numpy as np

from pipemodel.accuracy.errors import BentPart, Errors, errors_of
from pipemodel.accuracy.landing import finish_covariance, finish_moves, shares
from pipemodel.accuracy.readings import best_reading
from pipemodel.accuracy.simulate import BentPieces, seed_of, simulate
from pipemodel.accuracy.tails import fits, missed_by, tails_of
from pipemodel.accuracy.values import WORTH, Chance, EllipsoidAxis, Matrix, RunFit, Share
from pipemodel.bending.schedule import SolvedRun
from pipemodel.cutting.split import Split
from pipemodel.geometry.arrays import Floats
from pipemodel.geometry.vectors import Vec3
from pipemodel.job.model import Hands
from pipemodel.pulls.plan import Plan, plan_pulls

PIECES = 20_000
"""Simulated of each run; of many runs fewer."""
FEWEST_PIECES, ALL_PIECES = 2_000, 500_000
NINETEEN_IN_20 = 0.95
LINEAR_WITHIN = 0.1
"""The linear law holds where its covariance is within this part of the simulated one, and the middle of the pieces is
off by no more than this part of their scatter."""


def pieces_for(runs: int) -> int:
    """Return how many pieces are simulated of each of so many runs."""
    return max(FEWEST_PIECES, min(PIECES, ALL_PIECES // max(runs, 1)))


def run_errors(solved: SolvedRun, hands: Hands, split: Split | None = None, by_rolls: bool = False) -> Errors:
    """Return the errors of a run's bends, by its plan of pulls where there is one.

    Args:
        solved: the run.
        hands: how well it is bent.
        split: the pieces it is jointed from, each bent by itself; None for one piece.
        by_rolls: see `errors_of`.
    """
    bends = solved.table.bends
    parts, first = [], 0
    for piece, plan in parts_of(solved, split):
        after = first + len(piece.table.bends)
        parts.append(BentPart(first, after, plan.pulls))
        first = after
    joints = () if split is None else tuple(sorted({joint.leg for joint in split.joints if joint.leg < len(bends)}))
    return errors_of(bends, parts, hands, by_rolls, joints)


def parts_of(solved: SolvedRun, split: Split | None) -> list[tuple[SolvedRun, Plan]]:
    """Return the pieces that a run is made of, start to finish, each with its plan of pulls."""
    if split is None:
        return [(solved, plan_pulls(solved))]
    return list(zip(split.pieces, split.plans, strict=True))


def fit_of(
    solved: SolvedRun,
    hands: Hands,
    errors: Errors,
    pieces: BentPieces,
    target_cov_mm2: Floats | None = None,
    split: Split | None = None,
) -> RunFit:
    """Return how well a run is likely to fit, but for what it may touch.

    Args:
        solved: the run.
        hands: how well it is bent.
        errors: its errors; see `run_errors`.
        pieces: pieces of it, simulated with them.
        target_cov_mm2: the covariance of where the finish has to be, seen from where the start is, (3, 3): a measured
            room adds it; None where that is known exactly.
        split: the pieces it is jointed from; None for one piece.
    """
    table = solved.table
    within, trim = solved.run.ends.finish.within, solved.run.ends.trim_mm
    target = np.zeros((3, 3)) if target_cov_mm2 is None else target_cov_mm2
    missed = _target_off(seed_of(table, errors), target, pieces.count)
    off = pieces.finish - np.array(solved.finish)[:, None] + missed
    by_leg = missed_by(solved, off)
    by_law = finish_moves(table) @ pieces.deviations(table) + missed
    linear, simulated = finish_covariance(table, errors) + target, np.cov(off)
    plain = replace(errors, spread=errors_of(table.bends, (), hands).spread)
    by_number = finish_covariance(table, plain) + target
    rolled = run_errors(solved, hands, split, by_rolls=True)
    mean = off.mean(axis=1)
    parts = shares(table, errors)
    of_room = float(np.trace(target))
    whole = float(parts.sum()) + of_room
    order = np.argsort(-parts, kind="stable") if whole > 0.0 else ()
    chance = Chance(int(np.count_nonzero(fits(solved, off))), pieces.count)
    return RunFit(
        run=solved.name,
        within=within,
        trim_mm=trim,
        chance=chance,
        linear_chance=Chance(int(np.count_nonzero(fits(solved, by_law))), pieces.count),
        linear=as_matrix(linear),
        by_number=as_matrix(by_number),
        by_rolls=as_matrix(finish_covariance(table, rolled) + target),
        simulated=as_matrix(simulated),
        mean_off=_vector(mean),
        linear_holds=_agree(linear, simulated, mean, pieces.count),
        axes=_axes(linear),
        sideways_mm=float(np.quantile(np.linalg.norm(by_leg.sideways, axis=0), NINETEEN_IN_20)),
        along_mm=float(np.quantile(np.abs(by_leg.along), NINETEEN_IN_20)),
        shares=tuple(Share(errors.sources[i], float(parts[i]) / whole) for i in order if parts[i] > 0.0),
        room_part=of_room / whole if whole > 0.0 else 0.0,
        best_reading=best_reading(solved, parts_of(solved, split), errors, of_room),
        joints=len(errors.rolled),
        tails=tails_of(solved, off) if whole > 0.0 else (),
        by_accurate_plan=None if split is not None else _by_accurate_plan(solved, hands, chance, missed),
    )


def _by_accurate_plan(solved: SolvedRun, hands: Hands, chance: Chance, missed: Floats) -> Chance | None:
    """Return the chance with the plan of pulls for accuracy, where that is another and clearly better one.

    The same errors are made by both plans, so that nothing but the plan tells the two apart.
    """
    if solved.run.for_accuracy or chance.value > 1.0 - WORTH or not plan_pulls(solved).pulls:
        return None
    accurate = replace(solved, run=replace(solved.run, for_accuracy=True))
    errors = run_errors(accurate, hands)
    if np.array_equal(errors.spread, run_errors(solved, hands).spread):
        return None
    pieces = simulate(accurate.table, errors, chance.pieces)
    off = pieces.finish - np.array(solved.finish)[:, None] + missed
    better = Chance(int(np.count_nonzero(fits(solved, off))), chance.pieces)
    return better if better.value >= chance.value + WORTH else None


def _target_off(seed: int, covariance: Floats, count: int) -> Floats:
    """Return how far off the place is that the finish has to meet, by a sample of its own; (3, N)."""
    if not covariance.any():
        return np.zeros((3, 1))
    values, directions = np.linalg.eigh(covariance)
    drawn = np.random.default_rng([seed, 1]).standard_normal((3, count))
    out: Floats = directions @ (drawn * np.sqrt(np.maximum(values, 0.0))[:, None])
    return out


def _agree(linear: Floats, simulated: Floats, mean: Floats, count: int) -> bool:
    """Tell whether the linear law describes the pieces simulated, beyond what their number leaves open."""
    size = float(np.linalg.norm(linear))
    if size < 1e-12:
        return float(np.linalg.norm(simulated)) < 1e-9
    # A sample's covariance scatters by about sqrt(2 / N) of itself, its mean by 1 / sqrt(N).
    open_part = 3.0 * np.sqrt(2.0 / count)
    off = float(np.linalg.norm(simulated - linear)) / size
    shift = float(np.linalg.norm(mean)) / np.sqrt(float(np.trace(linear)))
    return bool(off <= LINEAR_WITHIN + open_part and shift <= LINEAR_WITHIN + open_part)


def _axes(covariance: Floats) -> tuple[EllipsoidAxis, ...]:
    """Return the axes of the ellipsoid, the longest first, each pointing to where its largest part is above 0."""
    values, directions = np.linalg.eigh(covariance)
    out = []
    for i in (2, 1, 0):
        way = directions[:, i]
        way = way * np.sign(way[np.argmax(np.abs(way))])
        out.append(EllipsoidAxis(_vector(way), float(np.sqrt(max(values[i], 0.0)))))
    return tuple(out)


def as_matrix(values: Floats) -> Matrix:
    """Return a (3, 3) array as plain numbers."""
    one, two, three = (_vector(row) for row in values)
    return one, two, three


def _vector(values: Floats) -> Vec3:
    x, y, z = (float(v) + 0.0 for v in values)
    return x, y, z
