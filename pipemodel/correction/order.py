"""The pulls still to come once some bends are made: as planned where that works, else in another order."""

from collections.abc import Sequence

from pipemodel.bending.schedule import SolvedRun
from pipemodel.pulls.limits import FINISH, START
from pipemodel.pulls.obstructions import Clearance
from pipemodel.pulls.order import OrderStep
from pipemodel.pulls.piece import PieceToBend
from pipemodel.pulls.plan import Plan, Pull, pulls_in_order

MOST_LOOKS = 4000
"""Sets of bends looked at for another order."""


def plan_from_here(solved: SolvedRun, done: Sequence[Pull], planned: Sequence[Pull]) -> Plan | None:
    """Return the pulls to come of a run whose bends `done` are made; None where no order is found that works.

    Args:
        solved: the run, the bends made as they are and the others as they are to be.
        done: the pulls made, in order.
        planned: those to come, as planned before.
    """
    piece = PieceToBend.of(solved)
    clearance = Clearance(piece, solved.run.bender)
    before, steps = _steps(done), _steps(planned)
    made = sum(1 << bend for bend, _ in before)

    def allowed(bend: int, held: int, there: int) -> bool:
        return piece.limits.allow(bend, held, there) and clearance.clear(bend, held, there)

    looked: set[int] = set()

    def rest(there: int, last: int) -> list[OrderStep] | None:
        left = [step for step in steps if not there >> step[0] & 1]
        if not left:
            return []
        if there in looked or len(looked) > MOST_LOOKS:
            return None
        looked.add(there)
        # As planned first, and the same end held before the other.
        ways = [*left, *((bend, 1 - held) for bend, held in left)]
        ways = [left[0], *sorted(ways, key=lambda step: step[1] != last)]
        for bend, held in ways:
            if allowed(bend, held, there) and (more := rest(there | 1 << bend, held)) is not None:
                return [(bend, held), *more]
        return None

    found = rest(made, before[-1][1] if before else START)
    if found is None:
        return None
    pulls = pulls_in_order(solved, (*before, *found))
    return Plan(pulls[len(before) :], proven=False, last=pulls[len(before) - 1] if before else None)


def _steps(pulls: Sequence[Pull]) -> list[OrderStep]:
    return [(pull.bend - 1, START if pull.held == "start" else FINISH) for pull in pulls]
