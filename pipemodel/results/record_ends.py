"""The part of the record that tells what a run ends in, and where its clips go."""

from typing import Any, TypeAlias

from pipemodel.bending.schedule import SolvedRun
from pipemodel.checks.supports import ClipPlan
from pipemodel.checks.tape import TapeMeasure
from pipemodel.trade.fittings import Ending

Record: TypeAlias = dict[str, Any]


def ends_record(solved: SolvedRun) -> Record:
    """Return both ends of a run: the fitting, what its dimension is given to, and the depths; mm."""
    ends = solved.run.ends
    return {
        "start": _ending(ends.start),
        "finish": _ending(ends.finish),
        "in_fittings_mm": ends.in_fittings_mm,
        "trim_mm": ends.trim_mm,
    }


def clips_record(plan: ClipPlan | None) -> Record | None:
    """Return the clips of a run with their rule, None if the job asks for none; mm."""
    if plan is None:
        return None
    spacing = plan.rule.spacing
    return {
        "service": spacing.service,
        "level_mm": spacing.horizontal_mm,
        "upright_mm": spacing.vertical_mm,
        "near_fitting_mm": spacing.near_fitting_mm,
        "edge_mm": plan.rule.edge_mm,
        "source": spacing.source,
        "clips": [
            {
                "number": clip.number,
                "at_mm": clip.at_mm,
                "leg": clip.leg,
                "along_leg_mm": clip.along_leg_mm,
                "point": [x + 0.0 for x in clip.point],
                "face": clip.face,
                "standoff_mm": clip.standoff_mm,
                "across": _measure(clip.across),
                "up": _measure(clip.up),
            }
            for clip in plan.clips
        ],
        "unsupported": [
            {"from_mm": gap.from_mm, "to_mm": gap.to_mm, "allowed_mm": gap.allowed_mm, "reason": str(gap.reason)}
            for gap in plan.unsupported
        ],
    }


def _ending(ending: Ending) -> Record:
    fitting = ending.fitting
    return {
        "fitting": fitting.kind if fitting else "plain",
        "to": ending.to,
        "joins": ending.joins or None,
        "bare_mm": ending.bare_mm,
        "depth_mm": ending.depth_mm,
        "centre_to_stop_mm": fitting.centre_to_stop_mm if fitting else None,
        "source": fitting.source if fitting else "",
    }


def _measure(measure: TapeMeasure) -> Record:
    return {"distance_mm": measure.distance_mm, "reference": str(measure.reference)}
