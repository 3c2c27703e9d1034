"""A job with all its answers in one value: what every document is written from."""

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

from pipemodel.bending.schedule import Schedule
from pipemodel.checks.findings import Report
from pipemodel.cutting.cuts import Cutting, plan_cutting
from pipemodel.pulls.plan import Plan
from pipemodel.results.paper_options import PLAIN, Paperwork
from pipemodel.results.record import Record, check_record, schedule_record

if TYPE_CHECKING:
    from pipemodel.drawing.job_drawings import Drawings
    from pipemodel.jig.design import Jig
    from pipemodel.jig.plan import JigRefusedError

CHORD_MM = 0.05
"""How far a flat of an STL may stand off the true surface."""


@dataclass(frozen=True)
class Answer:
    """A solved job, its plans of pulls (one per run), and what the checks found; with two records made of them.

    `chord_mm` is how far a flat of an STL may stand off the true surface; `paperwork` how papers are written.
    """

    schedule: Schedule
    plans: tuple[Plan, ...]
    report: Report
    chord_mm: float = CHORD_MM
    paperwork: Paperwork = PLAIN

    @cached_property
    def cutting(self) -> Cutting:
        """Every run as the pieces to cut, and the stock they are cut from."""
        return plan_cutting(self.schedule)

    @cached_property
    def schedule_record(self) -> Record:
        """The schedule as plain data."""
        return schedule_record(self.schedule, self.plans, self.paperwork.revision)

    @cached_property
    def check_record(self) -> Record:
        """What the checks found, as plain data."""
        return check_record(self.schedule, self.report)

    @cached_property
    def jigs(self) -> "tuple[Jig | JigRefusedError, ...]":
        """The jig of each run, or why it gets none; empty when the job asks for no jigs."""
        settings = self.schedule.job.jig
        if settings is None:
            return ()
        from pipemodel.jig.design import design_or_refuse  # loads numpy

        return tuple(design_or_refuse(solved, settings) for solved in self.schedule.runs)

    @cached_property
    def changes_record(self) -> Record | None:
        """What changed against an earlier pack, as plain data; None when there is none to compare with."""
        if self.paperwork.earlier is None:
            return None
        from pipemodel.results.changes import changes_record

        return changes_record(self.paperwork.earlier, self.schedule_record, self.paperwork.units, self.check_record)

    @cached_property
    def drawings(self) -> "Drawings":
        """The drawings of room and runs."""
        from pipemodel.drawing.job_drawings import Drawings  # loads numpy

        return Drawings(self.schedule, self.paperwork.units, self.paperwork.state)
