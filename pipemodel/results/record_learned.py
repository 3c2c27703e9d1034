"""What a history says, as JSON has it; mm and degrees, intervals of 95 % by their half widths or their ends."""

from typing import Any

from pipemodel.learning.drift import SpringbackChange
from pipemodel.learning.learned import LearnedFormer, LearnedHands
from pipemodel.learning.posterior import Interval, Scatter
from pipemodel.learning.summary import Summary

FORMAT = "pipemodel.learned/1"


def learned_record(found: Summary) -> dict[str, Any]:
    """Return all that a history says."""
    return {
        "format": FORMAT,
        "bends": found.bends,
        "pieces": found.pieces,
        "formers": [{**_former(one), "begun_from_job": one.key in found.from_job} for one in found.formers],
        "hands": [{"by": by, **_hands(one)} for by, one in found.hands.items()],
    }


def _former(found: LearnedFormer) -> dict[str, Any]:
    law = found.law
    return {
        **found.key._asdict(),
        "bends": found.bends,
        "pieces": found.pieces,
        "springback": None
        if law is None
        else {
            "fixed": law.fixed_deg,
            "per_degree": law.per_degree,
            "covariance": [list(row) for row in law.covariance],
            "at_90": _interval(law.at_90),
        },
        "radius_mm": _interval(found.radius),
        "mark_mm": _interval(found.mark),
        "starts": found.starts,
        "angle_scatter_deg": _scatter(found.angle_scatter),
        "changes": [_change(change) for change in found.changes],
        "order_unsure": found.order_unsure,
    }


def _change(change: SpringbackChange) -> dict[str, Any]:
    first = change.first
    return {
        "piece": change.piece,
        "date": first.date,
        "job": first.job,
        "run": first.run,
        "more_deg": _interval(change.more),
        "chance": change.chance,
        "batch": change.batch,
        "batch_before": change.batch_before,
    }


def _hands(found: LearnedHands) -> dict[str, Any]:
    return {
        "bends": found.bends,
        "pieces": found.pieces,
        "mark_mm": _scatter(found.mark),
        "angle_deg": _scatter(found.angle),
        "turn_deg": _scatter(found.turn),
    }


def _interval(found: Interval | None) -> dict[str, float] | None:
    return None if found is None else {"value": found.value, "within": found.half}


def _scatter(found: Scatter) -> dict[str, float | int]:
    return {"value": found.value, "low": found.low, "high": found.high, "readings": found.readings}
