"""A job with all its answers in one value: what every document is written from."""

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

from pipemodel.bending.cutting import Cutting, plan_cutting
from pipemodel.bending.plan import Plan
from pipemodel.bending.schedule import Schedule
from pipemodel.checks.findings import Report
from pipemodel.handover.paperwork import PLAIN, Paperwork
from pipemodel.handover.record import Record, check_record, schedule_record

if TYPE_CHECKING:
    from pipemodel.handover.drawings import Drawings

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
        return schedule_record(self.schedule, self.plans)

    @cached_property
    def check_record(self) -> Record:
        """What the checks found, as plain data."""
        return check_record(self.schedule, self.report)

    @cached_property
    def drawings(self) -> "Drawings":
        """The drawings of room and runs."""
        from pipemodel.handover.drawings import Drawings  # loads numpy

        return Drawings(self.schedule, self.paperwork.units, self.paperwork.state)
