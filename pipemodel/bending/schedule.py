"""The schedule: what is asked of the hands, run by run. Bends, marks, pulls and the length to cut."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from typing import NamedTuple

from pipemodel.bending.bends import Bend, BendTable, bend_corners
from pipemodel.bending.closure import NotClosedError, closed_centreline
from pipemodel.bending.corner_faults import TOUCH_MM, Idle, UnbendableError
from pipemodel.geometry.centreline import Centreline
from pipemodel.geometry.in_libraries import InLibraries
from pipemodel.geometry.vectors import Vec3
from pipemodel.job.model import Fault, Job, JobError, Route, Run
from pipemodel.messages.angles import rounded_deg
from pipemodel.messages.values import Angle, Count, Message, Name, Word, message
from pipemodel.trade.fittings import cut_length_mm
from pipemodel.trade.model import Former, Tube

SAME_WAY_DEG = 1e-6
"""Turned by less than this, one bend goes on where the other left off."""


class MarkedBend(NamedTuple):
    """One bend as the schedule has it: as made, with its mark and how far it is pulled."""

    number: int
    start_mm: float
    mark_mm: float
    straight_before_mm: float
    angle_deg: float
    pull_deg: float
    turn_deg: float
    radius_mm: float
    arc_mm: float
    gain_mm: float


@dataclass(frozen=True)
class SolvedRun(InLibraries):
    """A run with its bends worked out and its centreline laid in the room."""

    run: Run
    table: BendTable
    centreline: Centreline
    notes: tuple[Message, ...] = ()
    straightened: tuple[Idle, ...] = ()
    """Corners too slight to be pulled, that the tube passes by."""
    own_formers: tuple[Former, ...] = ()
    """The former of each bend, where they are not all bent round the run's."""
    couplings: tuple[tuple[float, float], ...] = ()
    """From where to where couplings are on it, mouth to mouth along the centreline, once it is known where; mm."""

    @property
    def name(self) -> str:
        """The run's name."""
        return self.run.name

    @property
    def tube(self) -> Tube:
        """The tube it is made of."""
        return self.run.tube

    @property
    def former(self) -> Former:
        """The former of the run: that of every bend without one of its own."""
        return self.run.former

    @property
    def formers(self) -> tuple[Former, ...]:
        """The former each bend is made round, in the order of the bends."""
        return self.own_formers or (self.run.former,) * len(self.table.bends)

    def former_of(self, bend: Bend) -> Former:
        """Return the former that a bend is made round."""
        return self.own_formers[bend.number - 1] if self.own_formers else self.run.former

    @property
    def formers_used(self) -> tuple[Former, ...]:
        """The formers its bends are made round, each once, in the order of the bends; the run's if it has no bend."""
        return tuple(dict.fromkeys(self.formers)) or (self.run.former,)

    def largest_radius_mm(self, angle_deg: float) -> float:
        """Return the largest radius of the bends of an angle, to a tenth of a degree; the run's if there is none."""
        radii = [b.radius_mm for b in self.table.bends if rounded_deg(b.angle_deg) == rounded_deg(angle_deg)]
        return max(radii, default=self.run.former.radius_mm)

    @property
    def cut_length_mm(self) -> float:
        """How much straight tube to cut: the centreline with what goes into the fittings, and the trim allowance."""
        return cut_length_mm(self.table.length_mm, self.run.ends)

    @property
    def centreline_mm(self) -> float:
        """Length of the centreline, end to end."""
        return self.table.length_mm

    @property
    def start(self) -> Vec3:
        """The centre of the tube's start end."""
        return self.centreline.start

    @property
    def finish(self) -> Vec3:
        """The centre of the tube's finish end."""
        return self.centreline.finish

    @property
    def straight_after_mm(self) -> float:
        """The straight after the last bend."""
        return self.table.straight_after_mm

    @property
    def bends(self) -> tuple[MarkedBend, ...]:
        """The bends in order, each with its mark (held by its start side) and its pull."""
        return tuple(
            MarkedBend(
                b.number,
                b.start_mm,
                self.mark_mm(b),
                b.straight_before_mm,
                b.angle_deg,
                self.pull_deg(b),
                b.turn_deg,
                b.radius_mm,
                b.arc_mm,
                b.gain_mm,
            )
            for b in self.table.bends
        )

    def mark_mm(self, bend: Bend) -> float:
        """Return where the bend's mark goes on the flat tube, held by its start side."""
        return bend.start_mm + self.former_of(bend).mark_mm

    def pull_deg(self, bend: Bend) -> float:
        """Return how far to pull the bend so that it springs back to its angle."""
        return self.former_of(bend).springback.pull_deg(bend.angle_deg)


@dataclass(frozen=True, eq=False)
class Schedule(InLibraries):
    """The solved runs of a job, in the order of the file."""

    job: Job
    runs: tuple[SolvedRun, ...]
    notes: tuple[Message, ...] = field(default=())


def solve_run(run: Run) -> SolvedRun:
    """Work out one run.

    Raises:
        UnbendableError: with every place where its corners cannot be bent.
        NotClosedError: if the bends worked out do not give the centreline asked for; a fault of this program.
    """
    route = run.route
    formers = tuple(own or run.former for own in route.formers)
    radius = tuple(former.radius_mm for former in formers) if formers else run.former.radius_mm
    bent = bend_corners(route.corners, radius, route.joined)
    own = tuple(formers[corner] for corner in bent.made_at) if formers else ()
    unused = _formers_not_used(route, bent.made_at)
    notes = (*route.notes, *(i.said for i in bent.idle), *unused, *_one_bend(bent.table))
    slight = tuple(i for i in bent.idle if i.slight)
    return SolvedRun(run, bent.table, closed_centreline(bent), notes, slight, own)


def _formers_not_used(route: Route, made_at: Sequence[int]) -> Iterator[Message]:
    """Yield a note for each point with a former of its own that makes no bend."""
    made = {*made_at, *(corner + 1 for corner in made_at if corner in route.joined)}
    for corner, former in enumerate(route.formers):
        if former is not None and corner not in made:
            yield message("corner.former not used", point=Count(corner + 1), former=former.called)


def _one_bend(table: BendTable) -> Iterator[Message]:
    """Yield a note for each two bends that are one: a U of two corners two radii apart, above all."""
    for one, other in pairwise(table.bends):
        together = one.angle_deg + other.angle_deg
        same_way = abs(other.turn_deg) < SAME_WAY_DEG and other.straight_before_mm <= TOUCH_MM
        if same_way and one.radius_mm == other.radius_mm and together <= 180.0 + SAME_WAY_DEG:
            template = "bends.one return" if together > 179.9 else "bends.one corner"
            yield message(template, one=Count(one.number), other=Count(other.number), together=Angle(together))


def _no_such_bends(job: Job, counts: Sequence[int]) -> Iterator[Fault]:
    """Yield what is wrong with the bends that a jig for a part of a piece is to judge: no run has so many."""
    bends, most = job.jig.bends if job.jig else None, max(counts, default=0)
    if job.jig and bends and bends[1] > most:
        which = Word("only" if len(counts) == 1 else "most")
        said = message("fault.no bend", bend=Count(bends[1]), which=which, most=Count(most))
        yield Fault(said if most else message("fault.no bends", bend=Count(bends[1]), which=which), job.jig.bends_place)


def solve(job: Job) -> Schedule:
    """Work out every run of a job.

    Raises:
        JobError: with every corner, in all runs, that cannot be bent, each with its place in the file.
    """
    solved: list[SolvedRun] = []
    faults: list[Fault] = []
    for run in job.runs:
        try:
            solved.append(solve_run(run))
        except NotClosedError as error:
            faults.append(Fault(message("fault.of run", run=Name(run.name), why=error.said), run.place))
        except UnbendableError as error:
            faults += [
                Fault(message("fault.of run", run=Name(run.name), why=f.said), run.route.place_of(f.corner))
                for f in error.faults
            ]
    if not faults:
        faults += _no_such_bends(job, [len(run.table.bends) for run in solved])
    if faults:
        raise JobError(str(job.path), faults)
    bent = any(run.table.bends for run in solved)
    # Where nothing is bent, no former is needed, and what was taken for one says nothing.
    notes = tuple(note for note in job.notes if bent or not note.template.startswith("former."))
    return Schedule(job, tuple(solved), notes)
