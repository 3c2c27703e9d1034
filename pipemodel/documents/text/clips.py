"""The clips of a run as a block of the text page."""

from pipemodel.checks.supports import ClipPlan
from pipemodel.wording.text_page import TextPage
from pipemodel.wording.units import MM, Units, in_units


def write_clips(page: TextPage, plan: ClipPlan | None, units: Units = MM) -> None:
    """Write where the clips of a run go, or nothing if the job asks for none."""
    if plan is None:
        return
    spacing = plan.rule.spacing
    page.raw("")
    page.text(
        f"Clips for {spacing.service}, at most {units.tidy(spacing.horizontal_mm)} apart on level tube and "
        f"{units.tidy(spacing.vertical_mm)} on upright, along the bent tube from its start end:",
        "  ",
    )
    wide = units.wide_column
    page.raw(
        "",
        f"  Clip  {'Along':>{wide - 1}}    Leg  Where on the face",
        f"  ----  {'-' * wide}  ----  {'-' * (52 - wide)}",
    )
    for clip in plan.clips:
        where = f"{clip.face}: {units.length(clip.across.distance_mm)} {clip.across.reference}, "
        where += f"{units.length(clip.up.distance_mm)} {clip.up.reference}"
        page.text(where, f"  {clip.number:>4}  {units.length(clip.at_mm):>{wide}}  {clip.leg:>4}  ")
    for gap in plan.unsupported:
        stretch = f"from {units.length(gap.from_mm)} to {units.length(gap.to_mm)}"
        page.text(f"nothing holds it {stretch}: {in_units(gap.reason, units)}", "  ")
