"""What is said of each jig in short: a picture, how to lay the piece in, what it accepts, and how to read a miss."""

from collections.abc import Iterator, Sequence

from pipemodel.jigs.design import Jig
from pipemodel.jigs.of_job import JigAnswer, NotWorth
from pipemodel.jigs.plan import JigRefusedError
from pipemodel.jigs.reading import readings
from pipemodel.lists.blocks import Bullets, Content, Group, Paragraph, Part, Picture, Subheading
from pipemodel.lists.jig_limits import HEAD as LIMITS_HEAD
from pipemodel.lists.jig_limits import MEANING, TITLE, limit_rows, weight_said, wider_said
from pipemodel.lists.jig_picture import picture_sheet
from pipemodel.lists.jig_steps import STEPS, own_steps, reading_said
from pipemodel.lists.jig_totals import timber_said, totals_of, totals_said
from pipemodel.lists.jig_worth import checks_said, worth_said
from pipemodel.lists.table import CellValue, Column, For, Kind, Table, Words, say
from pipemodel.messages.say import named, words
from pipemodel.messages.units import MM, Units
from pipemodel.messages.values import Count, Message, Name, Number, message

COLUMNS = (
    Column("run"),
    Column("cradle", Kind.COUNT, said=message("jig brief.head cradle")),
    Column("leg", Kind.COUNT, said=message("jig brief.head leg")),
    Column("from", Kind.ROUNDED, said=message("jig brief.head from")),
    Column("to", Kind.ROUNDED, said=message("jig brief.head to")),
    Column("slot", Kind.PLAY, said=message("jig brief.head slot")),
    Column("accepts \u00b1", Kind.PLAY, said=message("jig brief.head accepts")),
    Column("stop \u00b1", said=message("jig brief.head stop")),
    Column("no jig", who=For.DATA),
)
"""What each slot accepts; lengths along the tube from its start."""
PICTURE_MM = 50.0
"""How high the picture of a jig is at the most, for what is said of it to have room on the same sheet."""
LIMITS = tuple(Column(str(head), Kind.ROUNDED if i else Kind.TEXT, said=head) for i, head in enumerate(LIMITS_HEAD))


def jig_content(jigs: Sequence[JigAnswer], units: Units = MM) -> Content:
    """Return what is to be known of some jigs, of a run without one, why; `units` are for the words in pictures."""
    made = [jig for jig in jigs if isinstance(jig, Jig)]
    rows = [_row(jig, i) for jig in made for i in range(len(jig.layout.towers))]
    refused = [(_run(jig), *[None] * 7, _why_not(jig)) for jig in jigs if not isinstance(jig, Jig)]
    table = Table(COLUMNS, (*rows, *refused))
    together = list(_of_all(made, jigs)) if len(jigs) > 1 and made else []
    # What is short goes on one sheet; those with a picture have one each.
    ordered = sorted(jigs, key=lambda jig: isinstance(jig, Jig))
    groups = [Group(tuple(_parts(jig, table, units, alone=len(made) < 2)), _run(jig)) for jig in ordered]
    return Content(table, (*together, *groups))


def _of_all(made: Sequence[Jig], jigs: Sequence[JigAnswer]) -> Iterator[Group]:
    """Yield what all jigs of a job take, and what is to be known of each of several, once."""
    yield Group(tuple(Paragraph(said) for said in totals_said(totals_of(jigs))), run=False)
    if len(made) > 1:
        steps = (Bullets(STEPS, notes=True), Paragraph(MEANING, "aside"))
        yield Group((Subheading(message("jig brief.every")), *steps), run=False)


def _run(jig: JigAnswer) -> str:
    return jig.run if isinstance(jig, JigRefusedError) else jig.solved.name


def _parts(jig: JigAnswer, table: Table, units: Units, alone: bool) -> Iterator[Part]:
    """Yield what is said of a run; of a jig that is `alone` in its job, what is so of every jig as well."""
    if isinstance(jig, NotWorth):
        yield Paragraph(worth_said(jig.worth, len(jig.solved.table.bends)))
        yield Bullets(tuple(checks_said(jig.worth)), notes=True)
        return
    if isinstance(jig, JigRefusedError):
        yield Paragraph(message("jig brief.none"), "wrong")
        yield Bullets(jig.reasons)
        return
    yield Picture(picture_sheet(jig, units, brief_mm=PICTURE_MM), message("page.in its jig"))
    yield Paragraph(_printing(jig))
    yield Paragraph(worth_said(jig.worth, len(jig.solved.table.bends)), "aside")
    if steps := (*(STEPS if alone else ()), *own_steps(jig)):
        yield Bullets(steps, notes=True)
    yield Subheading(_slots)
    yield table.of(jig.solved.name)
    yield Subheading(TITLE)
    yield Table(LIMITS, tuple(tuple(_limit(jig, i, k) for k in range(len(LIMITS))) for i in range(len(jig.limits))))
    for said in (*((MEANING,) if alone else ()), wider_said(jig), *weight_said(jig)):
        yield Paragraph(said, "aside")
    misses = tuple(reading_said(r) for r in readings(jig.solved.table, jig.layout))
    if misses:
        yield Subheading(message("jig brief.miss"))
        yield Bullets(misses, notes=True)


def _slots(units: Units) -> str:
    return words(units, "jig brief.slots", unit=Name(units.said, quoted=False))


def _printing(jig: Jig) -> Message:
    mass, hours = sum(p.plastic.mass_g for p in jig.parts), sum(p.plastic.hours for p in jig.parts)
    return message(
        "jig brief.printing",
        parts=Count(len(jig.parts)),
        mass=Number(mass, ".0f"),
        hours=Count(max(round(hours), 1)),
        revision=Name(jig.settings.revision, quoted=False),
        timber=timber_said([jig]),
    )


def _row(jig: Jig, i: int) -> tuple[CellValue, ...]:
    tower = jig.layout.towers[i]
    cradle = tower.cradle
    slot = 2.0 * (tower.radius + cradle.clearance_mm)
    return (
        jig.solved.name, cradle.number, cradle.leg + 1, *jig.held_mm(tower), slot, cradle.clearance_mm,
        _stop(cradle.stop, cradle.stop_mm), None,
    )  # fmt: skip


def _stop(end: str | None, play_mm: float) -> Words:
    return lambda units: f"{units.tidy(play_mm)}, {named(end, units)}" if end else ""


def _limit(jig: Jig, row: int, column: int) -> Words:
    return lambda units: limit_rows(jig, units)[row][column]


def _why_not(jig: NotWorth | JigRefusedError) -> Words:
    if isinstance(jig, NotWorth):
        return worth_said(jig.worth, len(jig.solved.table.bends))
    return lambda units: "; ".join(say(why, units) for why in jig.reasons)
