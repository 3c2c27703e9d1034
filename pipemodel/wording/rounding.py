"""Figures as a fitter reads them: rounded so that they agree with each other.

Positions along the tube are rounded first, and lengths are differences of rounded positions. So the straights
and bends of a run add up to its cut length to the last figure shown, and nothing is further from the truth than
one step of the rounding.
"""

from dataclasses import dataclass

from pipemodel.bending.angle_words import roll_turn
from pipemodel.bending.bends import Bend
from pipemodel.bending.schedule import SolvedRun
from pipemodel.messages.units import MM, Units, WrittenLength, to_step
from pipemodel.messages.values import Message, Tape, message
from pipemodel.pulls.cards import former_put_in
from pipemodel.pulls.plan import Plan, Pull

STEP_MM = MM.step_mm


@dataclass(frozen=True)
class BendFigures:
    """One bend's figures, rounded."""

    bend: Bend
    mark: float
    straight_before: float
    arc: float


@dataclass(frozen=True)
class RunFigures:
    """One run's figures, rounded: straights, arcs and trim add up to `cut_length`."""

    bends: tuple[BendFigures, ...]
    straight_after: float
    trim: float
    cut_length: float


def run_figures(solved: SolvedRun, step: float = STEP_MM) -> RunFigures:
    """Round the figures of a run to a step in mm, so that they add up."""
    rows: list[BendFigures] = []
    reached = 0.0
    for bend in solved.table.bends:
        begins, ends = to_step(bend.start_mm, step), to_step(bend.finish_mm, step)
        rows.append(BendFigures(bend, to_step(solved.mark_mm(bend), step), begins - reached, ends - begins))
        reached = ends
    end, whole = to_step(solved.table.length_mm, step), to_step(solved.cut_length_mm, step)
    return RunFigures(tuple(rows), end - reached, whole - end, whole)


def marks_to_draw(solved: SolvedRun, plan: Plan) -> dict[int, float]:
    """Return the one mark to draw for each bend, by its number: where its pull wants it, mm from the start end.

    A second mark, for the other way of holding, would only mislead. Where no order of pulls works, the marks are
    those for a tube held by its start side.
    """
    planned = {pull.bend: pull.drawn_mark_mm for pull in plan.pulls}
    return {bend.number: planned.get(bend.number, solved.mark_mm(bend)) for bend in solved.table.bends}


@dataclass(frozen=True)
class BendText:
    """One bend's figures as people read them."""

    bend: Bend
    mark: WrittenLength
    straight_before: WrittenLength
    arc: WrittenLength


@dataclass(frozen=True)
class RunText:
    """One run's figures as people read them; straights, arcs and trim add up to `cut_length`."""

    bends: tuple[BendText, ...]
    straight_after: WrittenLength
    trim: WrittenLength | None
    cut_length: WrittenLength


def run_text(solved: SolvedRun, plan: Plan, units: Units = MM) -> RunText:
    """Write out the figures of a run, each mark where its pull wants it.

    Tape figures add up among themselves, and so do the decimals beside them.
    """
    coarse = run_figures(solved, units.step_mm)
    fine = run_figures(solved, units.fine_mm) if units.fine_mm else coarse
    marks = marks_to_draw(solved, plan)
    bends = []
    for row, near in zip(coarse.bends, fine.bends, strict=True):
        bend = row.bend
        bends.append(
            BendText(
                bend,
                units.written(marks[bend.number]),
                units.written(row.straight_before, near.straight_before),
                units.written(row.arc, near.arc),
            )
        )
    return RunText(
        tuple(bends),
        units.written(coarse.straight_after, fine.straight_after),
        units.written(coarse.trim, fine.trim) if solved.run.ends.trim_mm else None,
        units.written(coarse.cut_length, fine.cut_length),
    )


def turn_before(pull: Pull) -> Message:
    """Return what the hands do before a pull: the former put in, and how the tube is turned."""
    roll = roll_turn(pull.roll_deg, pull.turn_round, pull.number == 1)
    put_in = former_put_in(pull, Tape(pull.former.radius_mm, unit=False, exact=True))
    return message("schedule.former and turn", put_in=put_in, roll=roll) if put_in else roll


def tidy(value: float) -> str:
    """Return a measure of the job's own, such as a radius or a coordinate, with no more figures than it has."""
    return MM.tidy(value)
