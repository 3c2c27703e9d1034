"""The part of the record that tells how well a run is likely to fit; mm, chances from 0 to 1."""

from pipemodel.accuracy.values import BestReading, Chance, Matrix, RunFit, Tail, TouchChance
from pipemodel.geometry.vectors import Vec3
from pipemodel.pulls.check_ids import check_id
from pipemodel.results.record_ends import Record


def fit_record(fit: RunFit) -> Record:
    """Return how well a run is likely to fit: what the linear law says, and what the pieces simulated do."""
    return {
        "run": fit.run,
        **_chance(fit.chance),
        "chance_by_linear_law": fit.linear_chance.value,
        "within": {
            "sideways_mm": fit.within.sideways_mm,
            "along_mm": fit.within.along_mm,
            "assumed": fit.within.assumed,
            "trim_mm": fit.trim_mm,
        },
        "lands_19_in_20": {"sideways_mm": fit.sideways_mm, "along_mm": fit.along_mm},
        "finish_cov_mm2": _matrix(fit.linear),
        "finish_cov_by_number_mm2": _matrix(fit.by_number),
        "finish_cov_by_rolls_mm2": _matrix(fit.by_rolls),
        "finish_cov_simulated_mm2": _matrix(fit.simulated),
        "finish_mean_off_mm": _point(fit.mean_off),
        "linear_holds": fit.linear_holds,
        "ellipsoid": [{"direction": _point(axis.direction), "sd_mm": axis.sd_mm} for axis in fit.axes],
        "touch": [_touch(touch) for touch in fit.touches],
        "matters_most": {"bend": fit.shares[0].source.bend, "what": fit.shares[0].source.what} if fit.shares else None,
        "shares": [{"bend": share.source.bend, "what": share.source.what, "part": share.part} for share in fit.shares],
        "joints": fit.joints,
        "room_part": fit.room_part,
        "tails": [_tail(tail) for tail in fit.tails],
        "leave_tail": None if fit.leave is None else _tail(fit.leave),
        "chance_by_plan_for_accuracy": None if fit.by_accurate_plan is None else fit.by_accurate_plan.value,
        "best_check": None if fit.best_reading is None else _best(fit.best_reading),
    }


def _chance(chance: Chance) -> Record:
    return {
        "chance": chance.value,
        "chance_low": chance.low + 0.0,
        "chance_high": chance.high + 0.0,
        "pieces": chance.pieces,
    }


def _touch(touch: TouchChance) -> Record:
    return {"against": touch.against, **_chance(touch.chance), "distance_mm": touch.distance_mm + 0.0}


def _tail(tail: Tail) -> Record:
    return {"end": tail.end, "long_mm": tail.long_mm, **_chance(tail.chance)}


def _best(best: BestReading) -> Record:
    return {
        "id": check_id(best.pull, best.place),
        "piece": best.piece,
        "pull": best.pull,
        "text": str(best.measure.said),
        "within": best.measure.within,
        "part_left": best.left,
    }


def _matrix(matrix: Matrix) -> list[list[float]]:
    return [_point(row) for row in matrix]


def _point(point: Vec3) -> list[float]:
    return [x + 0.0 for x in point]
