"""What a history says, as JSON has it; mm and degrees, intervals of 95 % by their half widths or their ends."""

from pipemodel.learning.drift import SpringbackChange
from pipemodel.learning.learned import LearnedFormer, LearnedHands
from pipemodel.learning.posterior import Interval
from pipemodel.learning.summary import Summary
from pipemodel.results.plain import Record, fields_of, plain

FORMAT = "pipemodel.learned/1"


def learned_record(found: Summary) -> Record:
    """Return all that a history says."""
    return {
        "format": FORMAT,
        **fields_of(found, "bends pieces"),
        "formers": [{**_former(one), "begun_from_job": one.key in found.from_job} for one in found.formers],
        "hands": [{"by": by, **_hands(one)} for by, one in found.hands.items()],
    }


def _former(found: LearnedFormer) -> Record:
    law = found.law
    return {
        **found.key._asdict(),
        **fields_of(found, "bends pieces"),
        "springback": None
        if law is None
        else {"fixed": law.fixed_deg, **fields_of(law, "per_degree covariance"), "at_90": _interval(law.at_90)},
        "radius_mm": _interval(found.radius),
        "mark_mm": _interval(found.mark),
        "starts": found.starts,
        "angle_scatter_deg": plain(found.angle_scatter),
        "changes": [_change(change) for change in found.changes],
        "order_unsure": found.order_unsure,
    }


def _change(change: SpringbackChange) -> Record:
    return {
        "piece": change.piece,
        **fields_of(change.first, "date job run"),
        "more_deg": _interval(change.more),
        **fields_of(change, "chance batch batch_before"),
    }


def _hands(found: LearnedHands) -> Record:
    by_name = {"mark_mm": found.mark, "angle_deg": found.angle, "turn_deg": found.turn}
    return {**fields_of(found, "bends pieces"), **{name: plain(scatter) for name, scatter in by_name.items()}}


def _interval(found: Interval | None) -> dict[str, float] | None:
    return None if found is None else {"value": found.value, "within": found.half}
