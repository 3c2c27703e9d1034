"""Holes and penetrations: which wall, floor or joist, where the middle of each hole is, and how large it has to be."""

from collections.abc import Iterator, Sequence
from itertools import combinations

from pipemodel.checks.datums import Datum, datums
from pipemodel.checks.penetrations import Penetration, penetrations
from pipemodel.checks.sleeves import passages_at
from pipemodel.geometry.vectors import Vec3, distance
from pipemodel.lists.blocks import Content, Group, Paragraph
from pipemodel.lists.setting_out import TAPED_WAYS, datums_said
from pipemodel.lists.table import CellValue, Column, For, Kind, Table
from pipemodel.messages.values import Length, Name, Tape, Word, listed, message, word
from pipemodel.results.results import Results

COLUMNS = (
    Column("through"),
    Column("run"),
    *TAPED_WAYS,
    Column("hole", Kind.ROUNDED, said=message("holes.head least"), strong=True),
    Column("drawn", Kind.ROUNDED, said=message("holes.head drawn")),
    Column("along it", Kind.TAPED, For.DATA),
    Column("along from", who=For.DATA),
    Column("across it", Kind.TAPED, For.DATA),
    Column("across from", who=For.DATA),
    Column("where on it", who=For.PEOPLE, letters=34),
    *(Column(axis, Kind.FULL) for axis in "xyz"),
)
LAYERED = (Column("parts", who=For.DATA),)
"""A further column of a job with walls in layers: the things that a hole is in."""
SHARED = (Column("with", said=message("holes.head with")),)
"""A further column of a job with holes that meet: the other runs in one hole with this one."""
SLEEVED = (
    Column("sleeve"),
    Column("left", Kind.ROUNDED, said=message("holes.head left")),
)
"""Further columns of a job with sleeves: which one a run is in there, and how much it leaves round it."""
_EDGES = ("west", "south", "lower")


def holes(results: Results) -> Content | None:
    """Return the holes that the runs of a job need, None where they need none."""
    planes = datums(results.schedule)
    found = penetrations(results.schedule)
    rows = tuple(_row(hole, planes) for hole in found)
    columns = COLUMNS
    if any(len(hole.parts) > 1 for hole in found):
        columns = (*columns, *LAYERED)
        rows = tuple((*row, "; ".join(hole.parts)) for row, hole in zip(rows, found, strict=True))
    shared = [", ".join(other.run for other in found if other is not hole and _meet(hole, other)) for hole in found]
    if any(shared):
        columns = (*columns, *SHARED)
        rows = tuple((*row, runs) for row, runs in zip(rows, shared, strict=True))
    if any(thing.sleeve is not None for thing in results.schedule.job.things):
        columns = (*columns, *SLEEVED)
        rows = tuple((*row, *_sleeve(hole, results)) for row, hole in zip(rows, found, strict=True))
    table = Table(columns, rows)
    if not rows:
        return None
    # All words before the table: behind it they may be left alone on a page, and the caution comes before the drill.
    caution, least = Paragraph(message("holes.caution"), "aside"), Paragraph(message("holes.least"))
    return Content(table, (Group((caution, Paragraph(datums_said(planes)), least, *_close(found), table)),))


def _close(found: Sequence[Penetration]) -> Iterator[Paragraph]:
    """Yield a line for every two runs with less left between holes to drill than one is wide, where least is left.

    Of holes that meet the table says so. Common practice, no source.
    """
    least: dict[tuple[str, ...], tuple[float, str]] = {}
    for one, two in combinations([hole for hole in found if hole.drawn_mm is hole.opening_mm is None], 2):
        left = distance(one.point, two.point) - (one.least_mm + two.least_mm) / 2.0
        if one.thing == two.thing and 0.0 <= left < max(one.least_mm, two.least_mm):
            runs = tuple(dict.fromkeys((one.run, two.run)))
            least[runs] = min(least.get(runs, (left, one.thing)), (left, one.thing))
    for runs, (left, thing) in least.items():
        of = listed([Name(run) for run in runs])
        yield Paragraph(message("holes.close", thing=Name(thing), runs=of, left=Length(left)), "aside")


def _row(hole: Penetration, planes: tuple[Datum, Datum, Datum]) -> tuple[CellValue, ...]:
    end = _edge_key(hole.low_end)
    edge = _edge_key(hole.low_edge, end)
    return (
        hole.thing,
        hole.run,
        *(datum.measure(hole.point) + 0.0 for datum in planes),
        hole.least_mm,
        hole.drawn_mm,
        hole.along_mm,
        word(end),
        hole.up_mm,
        word(edge),
        message(
            "holes.where",
            along=Tape(hole.along_mm, unit=False),
            end=Word(end),
            up=Tape(hole.up_mm, unit=False),
            edge=Word(edge),
        ),
        *hole.point,
    )


def _meet(one: Penetration, two: Penetration) -> bool:
    """Return whether two holes in a thing run into each other, or are the one that is drawn there."""
    apart = max((one.least_mm + two.least_mm) / 2.0, min(one.drawn_mm or 0.0, two.drawn_mm or 0.0))
    return one.thing == two.thing and distance(one.point, two.point) < apart


def _sleeve(hole: Penetration, results: Results) -> tuple[CellValue, CellValue]:
    """Return the sleeve that a run has where it goes through a thing, and what is left round it; None for none."""
    near = passages_at(results.schedule, hole.run, hole.point)
    return (near[0].bore.name, near[0].left_mm) if near else (None, None)


def _edge_key(way: Vec3, other: str = "") -> str:
    """Return the name of the edge that lies in a direction, the one it is nearest to and that no other has."""
    left = (k for k in range(3) if _EDGES[k] != other)
    return _EDGES[max(left, key=lambda k: (round(abs(way[k]), 6), k == 2, -k))]
