"""Figures as a fitter reads them: rounded so that they agree with each other, and turns in words.

Positions along the tube are rounded first, and lengths are differences of rounded positions. So the straights
and bends of a run add up to its cut length to the last figure shown, and nothing is further from the truth than
one step of the rounding.
"""

from dataclasses import dataclass

from pipemodel.bending.bends import Bend
from pipemodel.bending.plan import Plan
from pipemodel.bending.schedule import SolvedRun
from pipemodel.handover.units import MM, Length, Units, to_step

STEP_MM = MM.step_mm
STEP_DEG = 0.1


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
    planned = {pull.bend: pull.mark_mm for pull in plan.pulls}
    return {bend.number: planned.get(bend.number, solved.mark_mm(bend)) for bend in solved.table.bends}


@dataclass(frozen=True)
class BendText:
    """One bend's figures as people read them. `order` is the number of its pull, "-" where nothing can be pulled."""

    bend: Bend
    mark: Length
    straight_before: Length
    arc: Length
    angle: str
    pull: str
    turn: str
    order: str
    held: str


@dataclass(frozen=True)
class RunText:
    """One run's figures as people read them; straights, arcs and trim add up to `cut_length`."""

    bends: tuple[BendText, ...]
    straight_after: Length
    trim: Length | None
    cut_length: Length
    in_fittings: Length | None


def run_text(solved: SolvedRun, plan: Plan, units: Units = MM) -> RunText:
    """Write out the figures of a run, each mark where its pull wants it.

    Tape figures add up among themselves, and so do the decimals beside them.
    """
    coarse = run_figures(solved, units.step_mm)
    fine = run_figures(solved, units.fine_mm) if units.fine_mm else coarse
    marks = marks_to_draw(solved, plan)
    pulls = {pull.bend: pull for pull in plan.pulls}
    bends = []
    for row, near in zip(coarse.bends, fine.bends, strict=True):
        bend, pull = row.bend, pulls.get(row.bend.number)
        bends.append(
            BendText(
                bend,
                units.written(marks[bend.number]),
                units.written(row.straight_before, near.straight_before),
                units.written(row.arc, near.arc),
                deg(bend.angle_deg),
                deg(solved.pull_deg(bend)),
                turn_words(bend.turn_deg, bend.number == 1),
                str(pull.number) if pull else "-",
                pull.held if pull else "-",
            )
        )
    in_fittings = solved.run.ends.in_fittings_mm
    return RunText(
        tuple(bends),
        units.written(coarse.straight_after, fine.straight_after),
        units.written(coarse.trim, fine.trim) if solved.run.ends.trim_mm else None,
        units.written(coarse.cut_length, fine.cut_length),
        units.written(in_fittings) if in_fittings else None,
    )


def mm(value: float) -> str:
    """Return a length for reading, to half a millimetre: "412" or "412.5"."""
    return MM.short(value)


def deg(value: float) -> str:
    """Return an angle for reading, to a tenth of a degree: "90" or "22.5"; small ones to two figures."""
    if 0.0 < abs(value) < STEP_DEG / 2.0:
        return f"{value:.1g}"
    return f"{to_step(value, STEP_DEG):.1f}".removesuffix(".0")


def tidy(value: float) -> str:
    """Return a measure of the job's own, such as a radius or a coordinate, with no more figures than it has."""
    return MM.tidy(value)


def turn_words(turn: float, first: bool = False) -> str:
    """Return in words how far and which way the tube is turned, as seen from the start end along the tube."""
    if first:
        return "first bend"
    shown = to_step(turn, STEP_DEG)
    if shown == 0.0:
        return "0, the same way again"
    if abs(shown) == 180.0:
        return "180, the other way"
    return f"{deg(abs(shown))} {'clockwise' if shown > 0.0 else 'anticlockwise'}"
