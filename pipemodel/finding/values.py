"""What is known of a way that was found."""

from dataclasses import dataclass

from pipemodel.bending.schedule import SolvedRun
from pipemodel.geometry.vectors import Vec3
from pipemodel.job.find import NewCut
from pipemodel.pulls.plan import Plan


@dataclass(frozen=True, eq=False)
class NearThing:
    """What a way comes near to: how far off that is, and what is asked for, mm."""

    against: str
    distance_mm: float
    required_mm: float

    @property
    def spare_mm(self) -> float:
        """By how much it is farther off than asked for; below zero where it is nearer."""
        return self.distance_mm - self.required_mm


@dataclass(frozen=True, eq=False)
class Way:
    """A way from start to finish as it would be bent, judged as the checks judge a run.

    `near` holds what it comes near to, the least spare first, and `too_near` the names of what the check of clashes
    finds it too near to. `chance` is that of it to fit, None where the job says nothing of hands; `gets_in` whether it
    can be brought in, and `out_of_reach` how many joints, clips and cuts of it no hand reaches, both None where that is
    not asked. `clips` is None where the job asks for none.
    """

    solved: SolvedRun
    plan: Plan
    near: tuple[NearThing, ...]
    too_near: tuple[str, ...]
    rules_broken: int
    clips: int | None
    unsupported: int
    joints: int
    chance: float | None
    gets_in: bool | None
    along_faces_mm: float
    beside_mm: float | None = None
    """How much of it lies beside the run that is asked for, at that distance; None where none is."""
    out_of_reach: int | None = None

    @property
    def corners(self) -> tuple[Vec3, ...]:
        """Start, corners and finish, mm."""
        return self.solved.run.route.corners

    @property
    def bends(self) -> int:
        """How many bends it takes."""
        return len(self.solved.table.bends)

    @property
    def length_mm(self) -> float:
        """How much tube to cut for it."""
        return self.solved.cut_length_mm

    @property
    def cuts(self) -> tuple[NewCut, ...]:
        """The new holes and notches in joists that it needs."""
        find = self.solved.run.route.find
        return () if find is None else find.cuts

    @property
    def apart_mm(self) -> float:
        """How much of it does not lie beside the run that is asked for; 0 where none is."""
        return 0.0 if self.beside_mm is None else max(self.solved.centreline.length - self.beside_mm, 0.0)

    @property
    def least(self) -> NearThing | None:
        """What leaves the least to spare; None in an empty room."""
        return self.near[0] if self.near else None

    @property
    def possible(self) -> bool:
        """Whether it is clear of everything, breaks no rule of building that the job names, and can be pulled."""
        return not self.too_near and not self.rules_broken and self.plan.possible


@dataclass(frozen=True, eq=False)
class Ways:
    """The ways of one run, the best first; where there is none, the nearest miss, None where not even that is found."""

    run: str
    ways: tuple[Way, ...] = ()
    missed: Way | None = None
    stopped: bool = False
    """Whether it was stopped before all was looked at."""
