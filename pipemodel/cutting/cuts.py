"""What to cut for a job: every run as one piece or, where it must be, jointed; and from which stock."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING
from weakref import WeakKeyDictionary

from pipemodel.bending.schedule import Schedule, SolvedRun
from pipemodel.cutting.joint_places import FreePart, JointRoom, parts_beside_bends
from pipemodel.cutting.split import MOST_PIECES, MOST_TRIES, Divisible, Split
from pipemodel.cutting.stock import StockError, StockPiece, StockPlan, plan_stock
from pipemodel.cutting.whole import must_split
from pipemodel.messages.values import NOTHING, Length, Message, Name, message
from pipemodel.pulls.plan import plan_pulls
from pipemodel.trade.fittings import FittingError, find_fitting
from pipemodel.trade.model import Tube

if TYPE_CHECKING:
    from pipemodel.cutting.joints_and_stock import Long, Together


@dataclass(frozen=True)
class TubeCuts:
    """The pieces of one size of tube, and the stock they are cut from; `stock` None where some piece fits none."""

    tube: Tube
    stock: StockPlan | None
    why_not: Message = NOTHING


@dataclass(frozen=True)
class Cutting:
    """Every run of a job as what is cut for it, in the job's order, and the cuts by tube size."""

    runs: tuple[Split, ...]
    cuts: tuple[TubeCuts, ...]


_KEPT: "WeakKeyDictionary[Schedule, Cutting]" = WeakKeyDictionary()


def plan_cutting(schedule: Schedule) -> Cutting:
    """Work out every piece of a job and the stock to cut it from, tube by tube; worked out once for a schedule."""
    if schedule not in _KEPT:
        _KEPT[schedule] = _planned(schedule)
    return _KEPT[schedule]


def with_couplings(schedule: Schedule) -> Schedule:
    """Return a schedule whose runs know where their couplings are: clips keep off them."""
    cutting = plan_cutting(schedule)
    runs = tuple(
        replace(solved, couplings=tuple(joint.mouths_mm for joint in split.joints))
        for solved, split in zip(schedule.runs, cutting.runs, strict=True)
    )
    joined = replace(schedule, runs=runs)
    _KEPT[joined] = cutting
    return joined


def _planned(schedule: Schedule) -> Cutting:
    splits: dict[int, Split] = {}
    cuts: list[TubeCuts] = []
    room: JointRoom | None = None
    for tube in dict.fromkeys(solved.tube for solved in schedule.runs):
        numbers = [i for i, solved in enumerate(schedule.runs) if solved.tube == tube]
        long = [i for i in numbers if must_split(schedule.runs[i], schedule.job.stock.length_mm)]
        if long and schedule.job.things and room is None:
            room = JointRoom(schedule.job.things)
        size = _Size(schedule, tube, [i for i in numbers if i not in set(long)])
        splits |= size.plan(long, room)
        if size.cuts is not None:
            cuts.append(size.cuts)
    return Cutting(tuple(splits[i] for i in range(len(schedule.runs))), tuple(cuts))


class _Size:
    """The runs of one size of tube."""

    def __init__(self, schedule: Schedule, tube: Tube, whole: Sequence[int]) -> None:
        self.job = job = schedule.job
        self.runs, self.tube = schedule.runs, tube
        self.stock, self.offcuts, self.kerf = job.stock.length_mm, job.stock.offcuts_of(tube), job.kerf_mm
        self.splits: dict[int, Split] = {i: _whole(self.runs[i]) for i in whole}
        self.fixed = [StockPiece(self.runs[i].name, self.runs[i].cut_length_mm) for i in whole]
        self.cuts: TubeCuts | None = None

    def plan(self, long: Sequence[int], room: JointRoom | None) -> dict[int, Split]:
        """Joint the runs that are too long, or cannot be bent in one piece, and cut everything from stock."""
        try:
            fitting = find_fitting("capillary", self.tube)
        except FittingError:
            said = message("joints.no coupling", outside=Length(self.tube.outside_mm))
            self.splits |= dict.fromkeys(long, Split(why_not=said))
            long = []
        places = self._places(long, fitting.depth_mm, room) if long else {}
        near = {i: self._in_reach(self.runs[i], parts) for i, parts in places.items()}
        # Runs that cannot be jointed where a hand reaches are jointed where they can be.
        far = set(places)
        while far:
            self._joint({i: Divisible.of(self.runs[i], fitting, near[i]) for i in places})
            far = {i for i in places if near[i] is not places[i] and self.splits[i].why_not}
            near |= {i: places[i] for i in far}
        if not places and self.fixed:
            self._cut(self.fixed)
        return self.splits

    def _places(self, long: Sequence[int], depth_mm: float, room: JointRoom | None) -> dict[int, list[FreePart]]:
        """Return the places for couplings of that depth on runs; none on runs of too many lengths of stock."""
        most = MOST_PIECES * max(self.stock, *self.offcuts, 0.0)
        places: dict[int, list[FreePart]] = {i: [] for i in long}
        some = [i for i in long if self.runs[i].table.length_mm <= most]
        if room is None:
            return places | {i: parts_beside_bends(self.runs[i], depth_mm) for i in some}
        return places | dict(zip(some, room.free_parts([self.runs[i] for i in some], depth_mm), strict=True))

    def _in_reach(self, solved: SolvedRun, parts: list[FreePart]) -> list[FreePart]:
        """Return what of the places a hand reaches where the job asks for `reach`, else the places themselves."""
        if self.job.reach is None:
            return parts
        from pipemodel.cutting.arm import parts_in_reach  # numpy, which most jobs never load

        return parts_in_reach(self.job, solved.centreline, parts)

    def _joint(self, divisible: dict[int, Divisible]) -> None:
        from pipemodel.cutting.joints_and_stock import Long, plan_together, too_many

        for _ in range(MOST_TRIES):
            long: dict[int, Long] = {}
            for i, run in divisible.items():
                found = self._joints(run)
                if found is None:
                    self.splits[i] = Split(why_not=run.why_not(max(self.stock, *self.offcuts, 0.0)))
                else:
                    long[i] = Long(run, *found)
            some = list(long.values())
            if too_many(some, self.fixed, self.offcuts):
                # Too many to weigh all against all: each run by itself, and then the stock.
                alone = [self._alone(one) for one in some]
                joints = [one.joints[0] if one else None for one in alone]
                stock = None
            else:
                together = plan_together(some, self.fixed, self.stock, self.offcuts, self.kerf)
                while together is None and some:
                    # What needs an offcut and finds none left, the longest first, is what cannot be had.
                    out = max(
                        (i for i in long), key=lambda i: (long[i].run.fewest(self.stock) is None, long[i].run.length)
                    )
                    self.splits[out] = self._no_offcut(long.pop(out).run)
                    some = list(long.values())
                    together = plan_together(some, self.fixed, self.stock, self.offcuts, self.kerf)
                joints = list(together.joints) if together else []
                stock = together.stock if together and together.stock.bars else None
            divisible = {i: one.run for i, one in long.items()}
            again = False
            for i, found_joints in zip(long, joints, strict=True):
                if found_joints is None:
                    self.splits[i] = self._no_offcut(long[i].run)
                    continue
                split = long[i].run.divided([place for place, _ in found_joints], [at for _, at in found_joints])
                if isinstance(split, Split):
                    self.splits[i] = split
                else:
                    long[i].run.refused.add(split)
                    again = True
            if not again:
                break
        else:
            for i in long:
                self.splits[i] = Split(why_not=long[i].run.why_not(self.stock))
            stock = None
        pieces = [*self.fixed, *self._pieces(long)]
        if stock is not None:
            self.cuts = TubeCuts(self.tube, stock)
        elif pieces:
            self._cut(pieces)

    def _alone(self, one: "Long") -> "Together | None":
        from pipemodel.cutting.joints_and_stock import Long, plan_together

        new = plan_together([Long(one.run, one.most, one.most)], [], self.stock, (), self.kerf)
        return new or plan_together([one], [], self.stock, self.offcuts, self.kerf)

    def _joints(self, run: Divisible) -> tuple[int, int] | None:
        """Return the fewest joints with the longest offcut at hand, and with new stock only; None where none do."""
        longest = max(self.stock, *self.offcuts, 0.0)
        if run.length > MOST_PIECES * longest:
            return None
        least = run.fewest(longest)
        if least is None:
            return None
        most = run.fewest(self.stock) if longest > self.stock else least
        return least, least + 1 if most is None else most

    def _no_offcut(self, run: Divisible) -> Split:
        stock, why = Length(self.stock, ".0f"), run.why_not(self.stock)
        return Split(why_not=message("joints.no offcut", run=Name(run.solved.name), stock=stock, why=why))

    def _pieces(self, numbers: Iterable[int]) -> list[StockPiece]:
        return [StockPiece(piece.name, piece.cut_length_mm) for i in numbers for piece in self.splits[i].pieces]

    def _cut(self, pieces: Sequence[StockPiece]) -> None:
        try:
            self.cuts = TubeCuts(self.tube, plan_stock(pieces, self.stock, self.offcuts, self.kerf))
        except StockError as error:
            self.cuts = TubeCuts(self.tube, None, error.said)


def _whole(solved: SolvedRun) -> Split:
    return Split((solved,), (plan_pulls(solved),), ())
