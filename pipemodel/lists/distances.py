"""The least distance of every run from everything it was measured against, nearest first."""

from pipemodel.checks.findings import Distance
from pipemodel.lists.blocks import Content, Group
from pipemodel.lists.table import CellValue, Column, For, Kind, Table, TooNear
from pipemodel.messages.say import words
from pipemodel.messages.units import Units
from pipemodel.messages.values import Name, message
from pipemodel.results.results import Results

COLUMNS = (
    Column("run"),
    Column("to", letters=20),
    Column("distance", Kind.ROUNDED),
    Column("asked for", Kind.ROUNDED, For.DATA),
    Column("asked", Kind.ROUNDED, For.PEOPLE, said=message("check.head asked")),
    Column("along the run", Kind.ROUNDED),
    *(Column(axis, Kind.FULL) for axis in "xyz"),
)
NEAREST = 12
"""How many are shown of each run where there is little room; the record has them all."""
TINY_MM = 1e-6


def measured_from(units: Units) -> str:
    """Return what the distances are in and measured from."""
    return words(units, "check.measured from", unit=Name(units.said, quoted=False))


def distances(results: Results) -> Content:
    """Return the least distances, with the distance asked for."""
    job = results.schedule.job
    joined = {run.name: job.joined_to(run.solved.run) for run in results.runs}
    nearest = sorted(results.report.distances, key=lambda d: d.distance_mm)
    rows = tuple(_row(d, results.asked_mm[d.run][d.against], d.against in joined[d.run]) for d in nearest)
    by_run: dict[str, list[tuple[CellValue, ...]]] = {run.name: [] for run in results.runs}
    for d, row in zip(nearest, rows, strict=True):
        by_run[d.run].append(row[1:])
    groups = tuple(Group((Table(COLUMNS[1:], tuple(of), NEAREST),), run) for run, of in by_run.items() if of)
    return Content(Table(COLUMNS, rows), groups)


def _row(d: Distance, asked: float, joined: bool) -> tuple[CellValue, ...]:
    too_near = not joined and d.distance_mm < asked - TINY_MM
    distance: CellValue = TooNear(d.distance_mm) if too_near else d.distance_mm
    return (d.run, d.against, distance, asked, message("check.joined") if joined else asked, d.at_mm, *d.point)
