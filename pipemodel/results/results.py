"""Everything that is known of a solved job, each thing worked out once and when it is first asked for.

Every record, list and document is made from this one value; none of them works anything out again.
"""

from dataclasses import dataclass, replace
from functools import cached_property
from typing import TYPE_CHECKING

from pipemodel.bending.schedule import Schedule
from pipemodel.checks.supports import ClipPlan, clip_plans
from pipemodel.geometry.vectors import Vec3
from pipemodel.messages.say import named
from pipemodel.pulls.plan import Plan, plan_pulls
from pipemodel.results.paper_options import PLAIN, PaperOptions
from pipemodel.results.pieces import Piece, pieces_of
from pipemodel.results.record import Record, check_record, schedule_record

if TYPE_CHECKING:
    from pipemodel.checks.findings import Report
    from pipemodel.cutting.cuts import Cutting
    from pipemodel.drawing.job_drawings import Drawings
    from pipemodel.finding.values import Ways
    from pipemodel.jigs.of_job import JigAnswer
    from pipemodel.pulls.other_ways import WayOut
    from pipemodel.results.changes_values import Changes
    from pipemodel.results.ways_shown import WayShown

CHORD_MM = 0.05
"""How far a flat of an STL may stand off the true surface."""


@dataclass(frozen=True, eq=False)
class Results:
    """A solved job and what follows from it.

    `chord_mm` is how far a flat of an STL may stand off the true surface; `paper_options` how papers are written.
    """

    schedule: Schedule
    chord_mm: float = CHORD_MM
    paper_options: PaperOptions = PLAIN

    @cached_property
    def plans(self) -> tuple[Plan, ...]:
        """The order of pulls of each run."""
        return tuple(plan_pulls(solved) for solved in self.schedule.runs)

    @cached_property
    def runs(self) -> tuple[Piece, ...]:
        """Each run as if it were bent in one piece, with its plan, its cards and its figures."""
        units = self.paper_options.reading
        runs = zip(self.schedule.runs, self.plans, strict=True)
        return tuple(
            Piece(number, solved, plan, units, self._ways_out(number, plan))
            for number, (solved, plan) in enumerate(runs)
        )

    def _ways_out(self, number: int, plan: Plan) -> "tuple[WayOut, ...]":
        if plan.possible:
            return ()
        from pipemodel.checks.clear_ways import clear_ways  # loads numpy

        return clear_ways(self.schedule, number)

    @cached_property
    def pieces(self) -> tuple[Piece, ...]:
        """What is bent, run by run: the run itself, or its pieces where it has to be jointed."""
        return pieces_of(self.runs, self.cutting)

    @cached_property
    def report(self) -> "Report":
        """What the checks found."""
        from pipemodel.checks.table import run_checks  # loads numpy

        return run_checks(self.schedule)

    @cached_property
    def cutting(self) -> "Cutting":
        """Every run as the pieces to cut, and the stock they are cut from."""
        from pipemodel.cutting.cuts import plan_cutting  # loads numpy

        return plan_cutting(self.schedule)

    @property
    def clips(self) -> tuple[ClipPlan | None, ...]:
        """The clips of each run, None where the job asks for none."""
        return clip_plans(self.schedule)

    @cached_property
    def asked_mm(self) -> dict[str, dict[str, float]]:
        """The distance asked for between each run and what it is measured against, by name; see `Job.asked_of`."""
        job = self.schedule.job
        # Of runs with equal insulation the same is asked.
        like = {solved.run.insulation_mm: solved.run for solved in self.schedule.runs}
        by_insulation = {thick: job.asked_of(run) for thick, run in like.items()}
        return {solved.name: by_insulation[solved.run.insulation_mm] for solved in self.schedule.runs}

    @cached_property
    def schedule_record(self) -> Record:
        """The schedule as plain data."""
        return schedule_record(self)

    @cached_property
    def check_record(self) -> Record:
        """What the checks found, as plain data."""
        return check_record(self)

    @cached_property
    def jigs(self) -> "tuple[JigAnswer, ...]":
        """The jig of each run, or why it gets or needs none; empty when the job asks for no jigs."""
        settings = self.schedule.job.jig
        if settings is None:
            return ()
        from pipemodel.jigs.of_job import jigs_of  # loads numpy

        return jigs_of(self.schedule.runs, settings)

    @cached_property
    def ways(self) -> "tuple[Ways, ...]":
        """The ways that were found for runs that say no more than from where to where; empty without any such."""
        job = self.schedule.job
        if all(run.route.find is None for run in job.runs):
            return ()
        from pipemodel.finding.answer import answer_to  # loads numpy

        return answer_to(job).to_list

    @cached_property
    def changes(self) -> "Changes | None":
        """What changed against an earlier pack; None when there is none to compare with."""
        if self.paper_options.earlier is None:
            return None
        from pipemodel.results.changes import changes_between

        return changes_between(
            self.paper_options.earlier, self.schedule_record, self.paper_options.units, self.check_record
        )

    @cached_property
    def wrong_places(self) -> tuple[tuple[str, Vec3], ...]:
        """The places of what is wrong, each by the name of what it is with."""
        units = self.paper_options.reading
        wrong = [f for f in self.report.findings if f.severity == "error"]
        return tuple((f.against or named(f.check, units), f.point) for f in wrong if f.point is not None)

    @cached_property
    def ways_shown(self) -> "tuple[WayShown, ...]":
        """How each run is brought to its place, where the job asks for that."""
        if not self.report.ways_in:
            return ()
        from pipemodel.results.ways_shown import ways_shown

        return ways_shown(self.schedule, self.report.ways_in)

    @cached_property
    def drawings(self) -> "Drawings":
        """The drawings of room and runs."""
        from pipemodel.drawing.job_drawings import Drawings  # loads numpy
        from pipemodel.drawing.layout import INCH_SHEETS, SHEETS

        papers, given = self.paper_options, self.schedule.job.drawing
        given = replace(given, revision=papers.revision, date=papers.date or given.date)
        return Drawings(self.schedule, papers.reading, given, INCH_SHEETS if papers.paper == "Letter" else SHEETS)
