"""The part of the record that tells what a run ends in, and where its clips go."""

from pipemodel.bending.schedule import SolvedRun
from pipemodel.checks.supports import ClipPlan
from pipemodel.results.plain import Record, fields_of, plain
from pipemodel.trade.fittings import Ending


def ends_record(solved: SolvedRun) -> Record:
    """Return both ends of a run: the fitting, what its dimension is given to, and the depths; mm."""
    ends = solved.run.ends
    sides = {"start": _ending(ends.start), "finish": _ending(ends.finish)}
    return {**sides, **fields_of(ends, "in_fittings_mm trim_mm")}


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
            fields_of(clip, "number at_mm leg along_leg_mm point face standoff_mm across up") for clip in plan.clips
        ],
        "unsupported": plain(plan.unsupported),
    }


def _ending(ending: Ending) -> Record:
    fitting = ending.fitting
    return {
        "fitting": fitting.kind if fitting else "plain",
        "to": ending.to,
        "joins": ending.joins or None,
        **fields_of(ending, "bare_mm depth_mm"),
        "centre_to_stop_mm": fitting.centre_to_stop_mm if fitting else None,
        "source": fitting.source if fitting else "",
    }
