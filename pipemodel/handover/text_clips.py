"""The clips of a run as a block of the text page."""

from collections.abc import Sequence

from pipemodel.bending.schedule import SolvedRun
from pipemodel.checks.supports import plan_clips
from pipemodel.handover.figures import mm, tidy
from pipemodel.handover.text_page import TextPage
from pipemodel.job.model import Thing

_HEAD = ("  Clip    Along   Leg  Where on the face", "  ----  -------  ----  " + "-" * 45)


def write_clips(page: TextPage, solved: SolvedRun, things: Sequence[Thing]) -> None:
    """Write where the clips of a run go, or nothing if the job asks for none."""
    plan = plan_clips(solved, things)
    if plan is None:
        return
    spacing = plan.rule.spacing
    page.raw("")
    page.text(
        f"Clips for {spacing.service}, at most {tidy(spacing.horizontal_mm)} apart on level tube and "
        f"{tidy(spacing.vertical_mm)} on upright, along the bent tube from its start end:",
        "  ",
    )
    page.raw("", *_HEAD)
    for clip in plan.clips:
        where = f"{clip.face}: {mm(clip.across.distance_mm)} {clip.across.reference}, "
        where += f"{mm(clip.up.distance_mm)} {clip.up.reference}"
        page.text(where, f"  {clip.number:>4}  {mm(clip.at_mm):>7}  {clip.leg:>4}  ")
    for gap in plan.unsupported:
        page.text(f"nothing holds it from {mm(gap.from_mm)} to {mm(gap.to_mm)}: {gap.reason}", "  ")
