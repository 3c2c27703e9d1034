"""What to cut for a job: every run as one piece or, where it must be, jointed; and from which stock."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from pipemodel.bending.plan import plan_pulls
from pipemodel.bending.schedule import Schedule, SolvedRun
from pipemodel.bending.split import Split, Unsplittable, split_run
from pipemodel.bending.stock import Piece, StockError, StockPlan, plan_stock
from pipemodel.geometry.centreline import Centreline, Straight
from pipemodel.geometry.vectors import along
from pipemodel.job.model import Job
from pipemodel.trade.fittings import FittingError, find_fitting
from pipemodel.trade.model import Tube

REACH_MM = 25.0
"""Clear space wanted all round a coupling to clean, push and make it. Common practice, no source."""
COUPLING_WALL_MM = 1.5
"""How much a coupling stands off the tube it goes on. Common practice, no source."""


@dataclass(frozen=True)
class TubeCuts:
    """The pieces of one size of tube, and the stock they are cut from; `stock` None where some piece fits none."""

    tube: Tube
    stock: StockPlan | None
    why_not: str = ""


@dataclass(frozen=True)
class Cutting:
    """Every run of a job as what is cut for it, in the job's order, and the cuts by tube size."""

    runs: tuple[Split | Unsplittable, ...]
    cuts: tuple[TubeCuts, ...]


def longest_stock(job: Job) -> float:
    """Return the longest piece the job's stock can give, mm."""
    return max(job.stock.length_mm, *job.stock.offcuts_mm, 0.0)


def must_split(solved: SolvedRun, job: Job) -> bool:
    """Tell whether a run cannot be one piece: longer than any stock, or no order of pulls works."""
    return solved.cut_length_mm > longest_stock(job) or not plan_pulls(solved).possible


def split_in_room(solved: SolvedRun, job: Job) -> Split | Unsplittable:
    """Divide a run where a coupling fits on its straights and can be reached among the job's things.

    The coupling is a capillary one; its depth comes from the table of fittings.
    """
    try:
        coupling = find_fitting("capillary", solved.tube)
    except FittingError as error:
        return Unsplittable(str(error))
    return split_run(solved, job.stock.length_mm, coupling, _reachable(solved, job, coupling.depth_mm))


def _reachable(solved: SolvedRun, job: Job, depth: float) -> Callable[[Sequence[float]], Sequence[bool]]:
    shapes = [thing.shape for thing in job.things]
    around = solved.tube.outside_mm + 2.0 * (COUPLING_WALL_MM + REACH_MM)

    def reachable(places: Sequence[float]) -> Sequence[bool]:
        from pipemodel.geometry.distance import distances_to_things

        table = distances_to_things([coupling_at(at) for at in places], [around] * len(places), shapes)
        return [all(nearest.distance >= 0.0 for nearest in row) for row in table]

    def coupling_at(at_mm: float) -> Centreline:
        direction = solved.centreline.direction_at(at_mm)
        start = along(solved.centreline.point_at(at_mm), direction, -depth)
        return Centreline((Straight(start, direction, 2.0 * depth),))

    return reachable if shapes else lambda places: [True] * len(places)


def plan_cutting(schedule: Schedule) -> Cutting:
    """Work out every piece of a job and the stock to cut it from, tube by tube."""
    job = schedule.job
    runs: list[Split | Unsplittable] = []
    pieces: dict[Tube, list[Piece]] = {}
    for solved in schedule.runs:
        split = split_in_room(solved, job) if must_split(solved, job) else Split((solved,), (plan_pulls(solved),), ())
        runs.append(split)
        for piece in split.pieces if isinstance(split, Split) else ():
            pieces.setdefault(piece.tube, []).append(Piece(piece.name, piece.cut_length_mm))
    cuts = []
    for tube, wanted in pieces.items():
        # Offcuts are listed without a size: they are of the job's first tube.
        offcuts = job.stock.offcuts_mm if tube == schedule.runs[0].tube else ()
        try:
            cuts.append(TubeCuts(tube, plan_stock(wanted, job.stock.length_mm, offcuts, job.kerf_mm)))
        except StockError as error:
            cuts.append(TubeCuts(tube, None, str(error)))
    return Cutting(tuple(runs), tuple(cuts))
