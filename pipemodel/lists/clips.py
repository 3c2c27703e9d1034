"""Where the clips go: along the tube, and on the face that holds them."""

from pipemodel.checks.supports import Clip, ClipPlan, Unsupported
from pipemodel.lists.blocks import Content, Group, Paragraph
from pipemodel.lists.table import CellValue, Column, For, Kind, Table
from pipemodel.messages.values import Message, Name, Tape, Word, message
from pipemodel.results.results import Results

COLUMNS = (
    Column("run"),
    Column("clip", Kind.COUNT, tick=True),
    Column("along the bent tube", Kind.TAPED, said=message("clips.head along"), strong=True),
    Column("leg", Kind.COUNT),
    Column("on", who=For.DATA),
    Column("across", Kind.TAPED, For.DATA),
    Column("from", who=For.DATA),
    Column("up", Kind.TAPED, For.DATA),
    Column("measured from", who=For.DATA),
    Column("where on the face", who=For.PEOPLE, letters=45),
    *(Column(axis, Kind.FULL) for axis in "xyz"),
)


def clips(results: Results) -> Content:
    """Return the clips of every run that asks for them."""
    plans = [plan for plan in results.clips if plan is not None]
    table = Table(COLUMNS, tuple(_row(plan.run, clip) for plan in plans for clip in plan.clips))
    return Content(table, tuple(_group(plan, table) for plan in plans))


def _row(run: str, clip: Clip) -> tuple[CellValue, ...]:
    across, up = clip.across, clip.up
    measured = (across.distance_mm, across.reference, up.distance_mm, up.reference)
    return (run, clip.number, clip.at_mm, clip.leg, clip.face, *measured, _where(clip), *clip.point)


def _where(clip: Clip) -> Message:
    return message(
        "clips.where",
        face=Name(clip.face, quoted=False),
        across=Tape(clip.across.distance_mm, unit=False),
        across_from=clip.across.reference,
        up=Tape(clip.up.distance_mm, unit=False),
        up_from=clip.up.reference,
    )


def _group(plan: ClipPlan, table: Table) -> Group:
    spacing = plan.rule.spacing
    gaps = (Paragraph(_gap(gap), "wrong") for gap in plan.unsupported)
    return Group((Paragraph(_rule(plan)), Paragraph(spacing.source, "aside"), table.of(plan.run), *gaps), plan.run)


def _rule(plan: ClipPlan) -> Message:
    spacing = plan.rule.spacing
    return message(
        "clips.title",
        service=Word(spacing.service),
        level=Tape(spacing.horizontal_mm, unit=False, exact=True),
        upright=Tape(spacing.vertical_mm, unit=False, exact=True),
    )


def _gap(gap: Unsupported) -> Message:
    low, high = Tape(gap.from_mm, unit=False), Tape(gap.to_mm, unit=False)
    return message("clips.nothing holds", low=low, high=high, reason=gap.reason)
