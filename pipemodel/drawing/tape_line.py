"""The tape line: the straight tube drawn to scale, with every mark where the tape finds it and every roll shown.

Under each mark stands its pull in the order of pulls, and how far the tube is rolled in the bender before it.
"""

from collections.abc import Iterator
from math import cos, inf, radians, sin

from pipemodel.bending.schedule import SolvedRun
from pipemodel.drawing.clipping import ClipWindow
from pipemodel.drawing.lettering import width_of
from pipemodel.drawing.placing import AROUND_MM, Choice, Placer
from pipemodel.drawing.primitives import Circle, Line, Primitive, Role, Text, moved
from pipemodel.drawing.sheet import Sheet
from pipemodel.messages.angles import rounded_deg
from pipemodel.messages.say import words
from pipemodel.messages.units import MM, Units
from pipemodel.messages.values import Count, Name, Word
from pipemodel.pulls.plan import Plan, Pull
from pipemodel.wording.rounding import marks_to_draw, turn_before

MARGIN_MM = 8.0
TUBE_MM = 6.0
"""How thick the tube is drawn; along it everything is to scale."""
NUMBER_MM, FIGURE_MM, TURN_MM = 3.2, 2.5, 1.8
ROW_MM, CLOCK_ROW_MM = 9.0, 12.0
CLOCK_MM = 3.0
"""Radius of the clock that shows a roll."""
UNDER_MM = 1.5
"""How far a mark goes on below the tube."""
CLOCK_TOP_MM = UNDER_MM + AROUND_MM + 0.6
"""How far below the tube the first clocks begin: clear of the mark's own stroke, to hang straight under it."""
_SHIFTS = tuple(sign * 2.5 * step for step in range(17) for sign in (1.0, -1.0))
_PLACES = sorted((2.0 * row + 0.25 * abs(shift), row, shift) for row in range(24) for shift in _SHIFTS)
"""Where what belongs to a mark may go: how bad that is, in which row, and how far aside, mm."""


def tape_line(solved: SolvedRun, plan: Plan, width: float = 180.0, units: Units = MM) -> Sheet:
    """Draw the flat tube of a run on paper, start end to the left.

    Args:
        solved: the run.
        plan: its plan of pulls.
        width: of the drawing, mm.
        units: what the figures are read in.
    """
    length = solved.cut_length_mm
    scale = (width - 2.0 * MARGIN_MM) / length
    left, right = MARGIN_MM, width - MARGIN_MM
    pulls = {pull.bend: pull for pull in plan.pulls}
    marks = sorted((at, number) for number, at in marks_to_draw(solved, plan).items())
    cut = words(units, "tape line.cut", length=Name(units.short(length), quoted=False))
    start = words(units, "word", word=Word("start"))
    placer = Placer(ClipWindow(0.0, -inf, width, inf))
    written: list[Primitive] = []
    for at, number in marks:
        x = left + at * scale
        written += placer.place(_of_mark(x, number, units.short(at))) or ()
        if number in pulls:
            drawn = placer.place(_of_clock(x, pulls[number], width, units)) or ()
            written += drawn
            written += [item for clock in drawn if isinstance(clock, Circle) for item in _hands(clock, pulls[number])]
    for item in (Text(start, (left, 0.0)), Text(cut, (right, 0.0), align="right")):
        written += placer.place((y, (moved(item, (0.0, TUBE_MM + 1.5 + y)),)) for y in range(0, 300, 3)) or ()
    heights = [item.at[1] for item in written if isinstance(item, Text)]
    low = max(4.4 - min(heights), 3.0 + CLOCK_ROW_MM)
    high = low + TUBE_MM
    over = max(max(heights) - TUBE_MM + 6.1, 3.0 + ROW_MM)
    sheet = Sheet(width, high + over, words(units, "tape line.title", run=Name(solved.name, quoted=False)))
    for bend in solved.table.bends:
        _hatch(sheet, left + bend.start_mm * scale, left + bend.finish_mm * scale, low, high)
    sheet.line([(left, low), (right, low), (right, high), (left, high)], Role.OUTLINE, closed=True)
    sheet.line([(left - 4.0, (low + high) / 2), (right + 4.0, (low + high) / 2)], Role.CENTRE)
    sheet.items += [moved(item, (0.0, low)) for item in written]
    return sheet


def _of_mark(x: float, number: int, figure: str) -> Iterator[tuple[float, Choice]]:
    """Places for the mark at x, with its bend's number and its figure: straight over it, aside, or in a higher row."""
    for bad, row, shift in _PLACES:
        at, top = x + shift, TUBE_MM + 1.5 + ROW_MM * row
        foot = ((x, -UNDER_MM), (x, TUBE_MM + 1.5))
        yield (
            bad,
            (
                Line((*foot, (at, top)) if row or shift else foot, Role.MARK),
                Text(str(number), (at, top + 4.4), NUMBER_MM, "centre", role=Role.MARK, bold=True),
                Text(figure, (at, top + 0.9), FIGURE_MM, "centre", role=Role.MARK),
            ),
        )


def _of_clock(x: float, pull: Pull, width: float, units: Units) -> Iterator[tuple[float, Choice]]:
    """Places under the mark at x for the clock of its pull, and what the hands turn before it."""
    text = roll_words(pull, units)
    half = width_of(text, TURN_MM) / 2.0 + AROUND_MM
    for bad, row, shift in _PLACES:
        at, y = x + shift, -CLOCK_TOP_MM - CLOCK_MM - CLOCK_ROW_MM * row
        # Words stay on the paper; the clock stays under its mark where it can.
        middle = min(max(at, half), max(width - half, half))
        yield (
            bad,
            (
                Line(((x, -UNDER_MM), (at, y + CLOCK_MM)), Role.PAPER),
                Circle((at, y), CLOCK_MM, Role.PAPER),
                Text(text, (middle, y - CLOCK_MM - 2.6), TURN_MM, "centre"),
            ),
        )


def _hatch(sheet: Sheet, a: float, b: float, low: float, high: float) -> None:
    """Show where a bend lies on the tube."""
    sheet.line([(a, low), (b, low), (b, high), (a, high)], Role.PAPER, closed=True)
    steps = max(int((b - a) / 1.5), 1)
    for k in range(steps):
        x = a + (b - a) * k / steps
        sheet.line([(x, low), (min(x + (high - low), b), min(high, low + b - x))], Role.PAPER)


def roll_words(pull: Pull, units: Units) -> str:
    """Return which pull it is, and what the hands turn before it."""
    if pull.number == 1:
        return words(units, "tape line.first pull", pull=Count(1))
    return words(units, "tape line.pull", pull=Count(pull.number), before=turn_before(pull))


def _hands(clock: Circle, pull: Pull) -> Iterator[Primitive]:
    """A small clock hand seen from the start end: how far, and which way, the tube is rolled before this pull."""
    x, y = clock.centre
    yield Line(((x, y), (x, y + CLOCK_MM)), Role.PAPER)
    if rounded_deg(pull.roll_deg) == 0.0:
        return
    # Clockwise on the clock face is clockwise seen from the start end.
    hand = radians(90.0 - pull.roll_deg)
    yield Line(((x, y), (x + CLOCK_MM * cos(hand), y + CLOCK_MM * sin(hand))), Role.MARK)
    start, finish = sorted((90.0, 90.0 - pull.roll_deg))
    yield Circle((x, y), CLOCK_MM * 0.6, Role.MARK, start, finish)
