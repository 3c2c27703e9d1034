"""What `test_developers.py` adds to a copy of the program: one of each thing that DEVELOPERS.md tells how to add."""

JOB = """\
job: x
tube: 13
former: 13 mm test former
rules: [TEST 2026]
room:
  keg: {drum: {from: [0, 600, 0], to: [0, 600, 300], diameters: [200, 300]}}
  board: {shelf: {at: [300, -300, 200], size: [100, 200]}}
  joist: {box: {from: [100, -100, -100], to: [150, 100, 100]}, is: joist}
runs:
  a: {start: [0, 0, 0], heading: east, route: [{stride: {far: 200}}, {go: 200}, {north: 400}]}
"""
CHECK = '''\
"""Is a run long?

| code | severity | what |
|---|---|---|
| Z901 | warning | a run is longer than 100 mm |
"""

from pipemodel.bending.schedule import Schedule
from pipemodel.checks.findings import Finding
from pipemodel.messages.values import Name, message


def long_runs(schedule: Schedule) -> tuple[Finding, ...]:
    """Name every run longer than 100 mm."""
    long = [solved.name for solved in schedule.runs if solved.centreline_mm > 100.0]
    return tuple(Finding("Z901", "long", "warning", message("long.run", run=Name(name)), name) for name in long)
'''
DOCUMENT = '''\
"""The names of the runs."""

from typing import Any

from pipemodel.output.file_names import Folder


def write_names(answered: Any, folder: Folder) -> tuple[str, ...]:
    """Write names.txt."""
    (folder / "names.txt").write_text("".join(f"{run.name}\\n" for run in answered.schedule.runs))
    return ()
'''
COMMAND = '''\
"""`pipemodel hello`."""

import click


@click.command()
def command() -> None:
    """Say hello."""
    click.echo("hello")
'''
STANDARD = """

def _plain(row: Row) -> Tube:
    outside, wall = float(row["outside_mm"]), float(row["wall_mm"])
    return Tube(outside, wall, f"{outside:g} x {wall:g} brass", material="brass", source=row["source"])
"""


LIST = '''\
"""How long the runs are."""

from pipemodel.lists.blocks import Content
from pipemodel.lists.table import Column, Kind, Table
from pipemodel.results.results import Results


def lengths(results: Results) -> Content:
    """Return the length of every run."""
    rows = tuple((run.name, run.centreline_mm) for run in results.schedule.runs)
    return Content(Table((Column("run"), Column("long", Kind.ROUNDED)), rows))
'''
TERM = '''\
"""Shelves."""

from pipemodel.geometry.shapes import Box
from pipemodel.job.building.parts import Part
from pipemodel.job.building.rows import Size
from pipemodel.job.form import Form
from pipemodel.job.quantities import Point


class ShelfForm(Form):
    """A board, 20 thick."""

    at: Point
    size: Size

    def parts(self) -> list[Part]:
        """Return it."""
        (x, y, z), (wide, deep) = self.at, self.size
        return [Part("", Box((x, y, z), (x + wide, y + deep, z + 20.0)))]
'''
MOVE = '''\
"""Two legs of one length, straight on."""

from pipemodel.job.form import Form
from pipemodel.job.quantities import PositiveLength
from pipemodel.job.routing.legs import Measured
from pipemodel.job.routing.pen import RoutePen


class StrideForm(Form):
    """How far, twice."""

    far: PositiveLength


def stride(pen: RoutePen, form: StrideForm) -> None:
    """Go on."""
    pen.go(Measured(form.far))
    pen.go(Measured(form.far))
'''
