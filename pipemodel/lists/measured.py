"""The points that were measured with a tape, how surely each is known, and what became of the readings."""

from pipemodel.accuracy.values import Z_95
from pipemodel.adjustment.adjust import deviations
from pipemodel.adjustment.readings import AdjustedReading
from pipemodel.checks.measured import reading_words, wall_words
from pipemodel.job.measured import MeasuredRoom
from pipemodel.lists.blocks import Bullets, Content, Group, Paragraph
from pipemodel.lists.table import CellValue, Column, For, Kind, Table
from pipemodel.messages.values import Length, message
from pipemodel.results.results import Results

POINTS = (
    Column("point", said=message("measured.head point"), letters=8),
    *(Column(axis, Kind.ROUNDED) for axis in "xyz"),
    Column("within", Kind.ROUNDED, said=message("measured.head within")),
    *(Column(f"sd {axis}", Kind.FULL, For.DATA) for axis in "xyz"),
)
READINGS = (
    Column("reading", said=message("measured.head reading"), letters=16),
    Column("read", Kind.ROUNDED, said=message("measured.head read")),
    Column("fits", Kind.ROUNDED, said=message("measured.head fits")),
    Column("checked", said=message("measured.head checked"), letters=10),
)


def measured(results: Results) -> Content | None:
    """Return the measured points of a job and its readings; None where it has none."""
    taped = results.schedule.job.measured
    if taped is None:
        return None
    points = Table(POINTS, tuple(_point(taped, name) for name in taped.adjusted.places))
    readings = Table(READINGS, tuple(_reading(r) for r in taped.adjusted.readings))
    walls = tuple(wall_words(wall) for wall in taped.walls if wall.off_mm is not None)
    about = Paragraph(message("measured.about", sd=Length(taped.tape_mm)))
    parts = (points, readings, *((Bullets(walls),) if walls else ()), about)
    return Content(points, (Group(parts),))


def _point(taped: MeasuredRoom, name: str) -> tuple[CellValue, ...]:
    sd = deviations(taped.adjusted, name)
    return (name, *taped.adjusted.places[name], Z_95 * max(sd), *sd)


def _reading(one: AdjustedReading) -> tuple[CellValue, ...]:
    checked = message("measured.checked yes") if one.checked else message("measured.checked by none")
    state = message("measured.checked doubted") if one.misread else checked
    return (reading_words(one.reading), one.reading.mm, one.adjusted_mm, state)
