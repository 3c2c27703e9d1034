"""What is said of each jig in short: a picture, how to lay the piece in, what it accepts, and how to read a miss."""

from collections.abc import Iterator, Sequence

from pipemodel.jig.design import Jig
from pipemodel.jig.plan import JigRefusedError
from pipemodel.jig.reading import readings
from pipemodel.lists.blocks import Bullets, Content, Group, Paragraph, Part, Picture, Subheading
from pipemodel.lists.jig_limits import HEAD as LIMITS_HEAD
from pipemodel.lists.jig_limits import MEANING, TITLE, limit_rows, weight_said, wider_words
from pipemodel.lists.jig_picture import picture_sheet
from pipemodel.lists.jig_steps import reading_said, steps_for
from pipemodel.lists.table import Column, For, Kind, Table, Value, Words, say
from pipemodel.messages.units import Units

COLUMNS = (
    Column("run"),
    Column("cradle", Kind.COUNT),
    Column("leg", Kind.COUNT),
    Column("from", Kind.ROUNDED),
    Column("to", Kind.ROUNDED),
    Column("slot", Kind.ROUNDED),
    Column("accepts \u00b1", Kind.ROUNDED),
    Column("stop \u00b1"),
    Column("no jig", who=For.DATA),
)
"""What each slot accepts; lengths along the tube from its start."""
LIMITS = tuple(Column(head, Kind.ROUNDED if place else Kind.TEXT) for place, head in enumerate(LIMITS_HEAD))


def jig_content(jigs: Sequence[Jig | JigRefusedError]) -> Content:
    """Return what is to be known of some jigs; of a run without one, why."""
    rows = [_row(jig, i) for jig in jigs if isinstance(jig, Jig) for i in range(len(jig.layout.towers))]
    refused = [(jig.run, *[None] * 7, _why_not(jig)) for jig in jigs if not isinstance(jig, Jig)]
    table = Table(COLUMNS, (*rows, *refused))
    return Content(table, tuple(Group(tuple(_parts(jig, table)), _run(jig)) for jig in jigs))


def _run(jig: Jig | JigRefusedError) -> str:
    return jig.solved.name if isinstance(jig, Jig) else jig.run


def _parts(jig: Jig | JigRefusedError, table: Table) -> Iterator[Part]:
    if not isinstance(jig, Jig):
        yield Paragraph("It gets no jig:", "wrong")
        yield Bullets(jig.reasons)
        return
    yield Picture(picture_sheet(jig), "The piece in its jig; cradles numbered.")
    yield Paragraph(_printing(jig))
    yield Bullets(tuple(steps_for(jig)))
    yield Subheading(lambda units: f"What each slot accepts ({units.name}, along the tube from its start)")
    yield table.of(jig.solved.name)
    yield Subheading(TITLE)
    yield Table(LIMITS, tuple(tuple(_limit(jig, i, k) for k in range(len(LIMITS))) for i in range(len(jig.limits))))
    limits: tuple[Words, ...] = (MEANING, *wider_words(jig), *weight_said(jig))
    for said in limits:
        yield Paragraph(said, "aside")
    misses = tuple(reading_said(r) for r in readings(jig.solved.table, jig.layout))
    if misses:
        yield Subheading("Reading a miss: a degree too much shows as")
        yield Bullets(misses)


def _printing(jig: Jig) -> str:
    mass, hours = sum(p.plastic.mass_g for p in jig.parts), sum(p.plastic.hours for p in jig.parts)
    parts = f"{len(jig.parts)} part{'s' if len(jig.parts) > 1 else ''}"
    return f"{parts}, about {mass:.0f} g of plastic and {hours:.0f} hours; revision {jig.settings.revision}."


def _row(jig: Jig, i: int) -> tuple[Value, ...]:
    tower = jig.layout.towers[i]
    cradle = tower.cradle
    begins = jig.solved.centreline.offsets[2 * cradle.leg]
    low, high = (begins + a * tower.place.stretch for a in (cradle.low_mm, cradle.high_mm))
    slot = 2.0 * (tower.radius + cradle.clearance_mm)
    return (
        jig.solved.name, cradle.number, cradle.leg + 1, low, high, slot, cradle.clearance_mm,
        _stop(cradle.stop, cradle.stop_mm), None,
    )  # fmt: skip


def _stop(end: str | None, play_mm: float) -> Words:
    return lambda units: f"{units.tidy(play_mm)}, {end}" if end else ""


def _limit(jig: Jig, row: int, column: int) -> Words:
    return lambda units: limit_rows(jig, units)[row][column]


def _why_not(jig: JigRefusedError) -> Words:
    def words(units: Units) -> str:
        return "; ".join(say(why, units) for why in jig.reasons)

    return words
