"""The clips of a run as a block of the text page."""

from collections.abc import Sequence

from pipemodel.bending.schedule import SolvedRun
from pipemodel.checks.supports import plan_clips
from pipemodel.job.model import Thing
from pipemodel.messages.say import words
from pipemodel.messages.values import Name, Size, Tape, Word
from pipemodel.wording.text_page import TextPage
from pipemodel.wording.units import MM, Units


def write_clips(page: TextPage, solved: SolvedRun, things: Sequence[Thing], units: Units = MM) -> None:
    """Write where the clips of a run go, or nothing if the job asks for none."""
    plan = plan_clips(solved, things)
    if plan is None:
        return
    spacing = plan.rule.spacing
    page.raw("")
    page.text(
        words(
            units,
            "clips.title",
            service=Word(spacing.service),
            level=Size(spacing.horizontal_mm),
            upright=Size(spacing.vertical_mm),
        ),
        "  ",
    )
    wide = units.wide_column
    number, along = words(units, "clips.head clip"), words(units, "clips.head along")
    leg, where = words(units, "clips.head leg"), words(units, "clips.head where")
    page.raw(
        "",
        f"  {number:<4}  {along:>{wide - 1}}   {leg:>4}  {where}",
        f"  ----  {'-' * wide}  ----  {'-' * (52 - wide)}",
    )
    for clip in plan.clips:
        where = words(
            units,
            "clips.where",
            face=Name(clip.face, quoted=False),
            across=Tape(clip.across.distance_mm, unit=False),
            across_from=clip.across.reference,
            up=Tape(clip.up.distance_mm, unit=False),
            up_from=clip.up.reference,
        )
        page.text(where, f"  {clip.number:>4}  {units.length(clip.at_mm):>{wide}}  {clip.leg:>4}  ")
    for gap in plan.unsupported:
        low, high = Tape(gap.from_mm, unit=False), Tape(gap.to_mm, unit=False)
        page.text(words(units, "clips.nothing holds", low=low, high=high, reason=gap.reason), "  ")
