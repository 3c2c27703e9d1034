"""The part of the record that tells how well a run is likely to fit; mm, chances from 0 to 1."""

from pipemodel.accuracy.values import BestReading, Chance, RunFit, Tail, TouchChance
from pipemodel.pulls.check_ids import check_id
from pipemodel.results.plain import Record, fields_of, plain


def fit_record(fit: RunFit) -> Record:
    """Return how well a run is likely to fit: what the linear law says, and what the pieces simulated do."""
    within = fit.within
    return {
        "run": fit.run,
        **_chance(fit.chance),
        "chance_by_linear_law": fit.linear_chance.value,
        "within": {**fields_of(within, "sideways_mm along_mm assumed"), "trim_mm": fit.trim_mm},
        "lands_19_in_20": fields_of(fit, "sideways_mm along_mm"),
        "finish_cov_mm2": plain(fit.linear),
        "finish_cov_by_number_mm2": plain(fit.by_number),
        "finish_cov_by_rolls_mm2": plain(fit.by_rolls),
        "finish_cov_simulated_mm2": plain(fit.simulated),
        "finish_mean_off_mm": plain(fit.mean_off),
        "linear_holds": fit.linear_holds,
        "ellipsoid": plain(fit.axes),
        "touch": [_touch(touch) for touch in fit.touches],
        "matters_most": plain(fit.shares[0].source) if fit.shares else None,
        "shares": [{**plain(share.source), "part": share.part} for share in fit.shares],
        **fields_of(fit, "joints room_part"),
        "tails": [_tail(tail) for tail in fit.tails],
        "leave_tail": None if fit.leave is None else _tail(fit.leave),
        "chance_by_plan_for_accuracy": None if fit.by_accurate_plan is None else fit.by_accurate_plan.value,
        "best_check": None if fit.best_reading is None else _best(fit.best_reading),
    }


def _chance(chance: Chance) -> Record:
    low, high = chance.low + 0.0, chance.high + 0.0
    return {"chance": chance.value, "chance_low": low, "chance_high": high, "pieces": chance.pieces}


def _touch(touch: TouchChance) -> Record:
    return {"against": touch.against, **_chance(touch.chance), "distance_mm": touch.distance_mm + 0.0}


def _tail(tail: Tail) -> Record:
    return {**fields_of(tail, "end long_mm"), **_chance(tail.chance)}


def _best(best: BestReading) -> Record:
    of_check = {"text": str(best.measure.said), "within": best.measure.within, "part_left": best.left}
    return {"id": check_id(best.pull, best.place), **fields_of(best, "piece pull"), **of_check}
