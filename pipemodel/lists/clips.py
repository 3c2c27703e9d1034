"""Where the clips go: along the tube, and on the face that holds them."""

from pipemodel.checks.supports import Clip, ClipPlan, Unsupported
from pipemodel.lists.blocks import Content, Group, Paragraph
from pipemodel.lists.table import Column, For, Kind, Table, Value, Words
from pipemodel.results.results import Results
from pipemodel.wording.units import Units, in_units

COLUMNS = (
    Column("run"),
    Column("clip", Kind.COUNT, tick=True),
    Column("along the bent tube", Kind.TAPED, said="along\nthe tube", strong=True),
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


def _row(run: str, clip: Clip) -> tuple[Value, ...]:
    across, up = clip.across, clip.up
    measured = (across.distance_mm, across.reference, up.distance_mm, up.reference)
    return (run, clip.number, clip.at_mm, clip.leg, clip.face, *measured, _where(clip), *clip.point)


def _where(clip: Clip) -> Words:
    def words(units: Units) -> str:
        measured = (f"{units.length(m.distance_mm)} {m.reference}" for m in (clip.across, clip.up))
        return f"{clip.face}: {', '.join(measured)}"

    return words


def _group(plan: ClipPlan, table: Table) -> Group:
    spacing = plan.rule.spacing
    gaps = (Paragraph(_gap(gap), "wrong") for gap in plan.unsupported)
    return Group((Paragraph(_rule(plan)), Paragraph(spacing.source, "aside"), table.of(plan.run), *gaps), plan.run)


def _rule(plan: ClipPlan) -> Words:
    spacing = plan.rule.spacing
    return lambda units: (
        f"Clips for {spacing.service}, at most {units.tidy(spacing.horizontal_mm)} apart on level tube and "
        f"{units.tidy(spacing.vertical_mm)} on upright, along the bent tube from its start end:"
    )


def _gap(gap: Unsupported) -> Words:
    return lambda units: (
        f"nothing holds it from {units.length(gap.from_mm)} to {units.length(gap.to_mm)}: {in_units(gap.reason, units)}"
    )
