"""The ways that were found for each run, side by side, the best first."""

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from pipemodel.job.find import Criterion
from pipemodel.lists.blocks import Content, Group, Paragraph, Picture
from pipemodel.lists.table import CellValue, Column, Kind, Table
from pipemodel.messages.values import NOTHING, Angle, Count, Length, Message, Name, Near, Word, listed, message
from pipemodel.results.results import Results

if TYPE_CHECKING:
    from pipemodel.finding.values import Way, Ways

COLUMNS = (
    Column("run"),
    Column("way", Kind.COUNT),
    Column("bends", Kind.COUNT),
    Column("angles", said=message("ways.head angles"), letters=10),
    Column("cut length", Kind.TAPED),
    Column("least spare", Kind.ROUNDED, said=message("ways.head spare")),
    Column("nearest to", said=message("ways.head nearest"), letters=10),
    Column("can be pulled", said=message("ways.head pulled")),
    Column("gets in", said=message("ways.head gets in")),
    Column("out of reach", Kind.COUNT, said=message("ways.head reach")),
    Column("fits", said=message("ways.head fits")),
    Column("clips", Kind.COUNT),
    Column("without clip", Kind.COUNT, said=message("ways.head unsupported")),
    Column("joints", Kind.COUNT, said=message("ways.head joints")),
    Column("beside", Kind.ROUNDED, said=message("ways.head beside")),
    Column("new cuts", Kind.COUNT, said=message("ways.head cuts")),
)


CALLED: dict[Criterion, str] = {
    "clear": "what it is too near to",
    "rules": "rules broken",
    "pulls": "whether it can be pulled",
    "gets in": "whether it gets in",
    "reach": "what no hand reaches",
    "clips": "stretches that no clip holds",
    "joints": "number of joints",
    "cuts": "new cuts in joists",
    "beside": "length beside the other run",
    "bends": "number of bends",
    "fit": "the chance that it fits",
    "length": "length of tube",
    "faces": "length along the faces for clips",
    "room": "what is left to spare",
}
"""What each criterion is called where people read."""


def ways(results: Results) -> Content | None:
    """Return the ways of every run that was found; None in a job that has none such."""
    if not results.ways:
        return None
    content = ways_content(results.ways, results.schedule.job.choose)
    groups = [replace(group, parts=(*group.parts, _picture(results, str(group.name)))) for group in content.groups]
    return replace(content, groups=tuple(groups))


def _picture(results: Results, run: str) -> Picture:
    """Return the ways of a run in one view."""
    from pipemodel.drawing.ways_picture import ways_picture

    [one] = [one for one in results.ways if one.run == run]
    units = results.paper_options.reading
    sheet = ways_picture(results.schedule, [way.solved for way in one.ways], units)
    return Picture(sheet, message("ways.caption"))


def ways_content(found: "Sequence[Ways]", choose: Sequence[Criterion]) -> Content:
    """Return ways side by side.

    Args:
        found: the ways of each run.
        choose: what they are compared by, the first first.
    """
    table = Table(COLUMNS, tuple(_row(one.run, i, way) for one in found for i, way in enumerate(one.ways, 1)))
    about = Paragraph(message("ways.about", by=listed([Word(CALLED[one]) for one in choose], ",")))
    groups: list[Group] = []
    for one in found:
        if one.ways:
            # What they are compared by is said once.
            said = (*(() if groups else (about,)), *_before_the_first(one, choose))
            groups.append(Group((_that_say(table.of(one.run)), *said), one.run))
    return Content(table, tuple(groups))


def _before_the_first(found: "Ways", choose: Sequence[Criterion]) -> Sequence[Paragraph]:
    """Say which of the ways that were looked for later compares better than the first, which the job takes."""
    from pipemodel.finding.choice import ranked

    number = found.ways.index(ranked(found.ways, choose)[0]) + 1
    return [Paragraph(message("ways.before the first", n=Count(number)))] if number > 1 else []


def _that_say(table: Table) -> Table:
    """Return a table without the columns that say nothing of any way."""
    kept = [i for i in range(len(table.columns)) if any(row[i] not in (None, NOTHING) for row in table.rows)]
    columns = tuple(table.columns[i] for i in kept)
    return Table(columns, tuple(tuple(row[i] for i in kept) for row in table.rows))


def _row(run: str, number: int, way: "Way") -> tuple[CellValue, ...]:
    least = way.least
    return (
        run,
        number,
        way.bends,
        message("ways.angles", angles=listed([Angle(b.angle_deg) for b in way.solved.table.bends], ","))
        if way.bends
        else None,
        way.length_mm,
        None if least is None else least.spare_mm,
        None if least is None else least.against,
        _yes(way.plan.possible),
        NOTHING if way.gets_in is None else _yes(way.gets_in),
        way.out_of_reach,
        None if way.chance is None else message("ways.chance", n=Count(round(100.0 * way.chance))),
        way.clips,
        None if way.clips is None else way.unsupported,
        way.joints or None,
        way.beside_mm,
        len(way.cuts) or None,
    )


def _yes(good: bool) -> Message:
    return message("ways.yes" if good else "ways.no")


def way_line(number: int, way: "Way") -> Message:
    """Return a line about a way."""
    least = way.least
    return message(
        "ways.line",
        number=Count(number),
        n=Count(way.bends),
        length=Length(way.length_mm, ".1f"),
        near=NOTHING
        if least is None
        else message("ways.near", spare=Near(least.distance_mm), against=Name(least.against)),
    )
