"""Figures as a fitter reads them: rounded so that they agree with each other.

Positions along the tube are rounded first, and lengths are differences of rounded positions. So the straights
and bends of a run add up to its cut length to the last figure shown, and nothing is further from the truth than
one step of the rounding.
"""

from dataclasses import dataclass

from pipemodel.bending.angle_words import roll_turn
from pipemodel.bending.bends import Bend
from pipemodel.bending.schedule import SolvedRun
from pipemodel.messages.units import MM, Units, WrittenLength
from pipemodel.messages.values import Message, Tape, message
from pipemodel.pulls.cards import former_put_in
from pipemodel.pulls.plan import Plan, Pull


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
    marks, reached = marks_to_draw(solved, plan), 0.0
    bends: list[BendText] = []
    for bend in solved.table.bends:
        before, arc = units.between(reached, bend.start_mm), units.between(bend.start_mm, bend.finish_mm)
        bends.append(BendText(bend, units.written(marks[bend.number]), before, arc))
        reached = bend.finish_mm
    end, whole = solved.table.length_mm, solved.cut_length_mm
    trim = units.between(end, whole) if solved.run.ends.trim_mm else None
    return RunText(tuple(bends), units.between(reached, end), trim, units.between(0.0, whole))


def turn_before(pull: Pull) -> Message:
    """Return what the hands do before a pull: the former put in, and how the tube is turned."""
    roll = roll_turn(pull.roll_deg, pull.turn_round, pull.number == 1)
    put_in = former_put_in(pull, Tape(pull.former.radius_mm, unit=False, exact=True))
    return message("schedule.former and turn", put_in=put_in, roll=roll) if put_in else roll
