"""The tape line: the straight tube drawn to scale, with every mark where the tape finds it and every roll shown.

Under each mark stands its pull in the order of pulls, and how far the tube is rolled in the bender before it.
"""

from math import cos, radians, sin

from pipemodel.bending.schedule import SolvedRun
from pipemodel.drawing.lettering import width_of
from pipemodel.drawing.primitives import Point
from pipemodel.drawing.sheet import Role, Sheet
from pipemodel.messages.angles import rounded_deg
from pipemodel.pulls.plan import Plan, Pull
from pipemodel.wording.rounding import marks_to_draw, turn_before
from pipemodel.wording.units import MM, Units

START = "start"
MARGIN_MM = 8.0
TUBE_MM = 6.0
"""How thick the tube is drawn; along it everything is to scale."""
NUMBER_MM, FIGURE_MM, TURN_MM = 3.2, 2.5, 1.8
APART_MM = 1.2
"""Between what stands side by side."""
ROW_MM, CLOCK_ROW_MM = 9.0, 12.0
CLOCK_MM = 3.0
"""Radius of the clock that shows a roll."""


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
    cut = f"cut {units.short(length)}"
    above, below = _Rows(), _Rows()
    above.take(left, left + width_of(START, FIGURE_MM))
    above.take(right - width_of(cut, FIGURE_MM), right)
    placed = []
    for at, number in marks:
        x, figure, pull = left + at * scale, units.short(at), pulls.get(number)
        wide = max(width_of(figure, FIGURE_MM), width_of(str(number), NUMBER_MM, bold=True))
        row = above.lowest(x, wide)
        words = _roll_words(pull) if pull else ""
        half = max(width_of(words, TURN_MM) / 2.0, CLOCK_MM)
        # Words stay on the paper; the clock stays under its mark.
        middle = min(max(x, half), max(width - half, half))
        clock = below.lowest(middle, 2.0 * half) if pull else 0
        placed.append((x, number, figure, pull, words, middle, row, clock))
    foot = 3.0 + CLOCK_ROW_MM * max(below.count, 1)
    sheet = Sheet(
        width, foot + TUBE_MM + 3.0 + ROW_MM * above.count, f"Tape line of {solved.name}: marks along the straight tube"
    )
    low, high = foot, foot + TUBE_MM
    for bend in solved.table.bends:
        _hatch(sheet, left + bend.start_mm * scale, left + bend.finish_mm * scale, low, high)
    sheet.line([(left, low), (right, low), (right, high), (left, high)], Role.OUTLINE, closed=True)
    sheet.line([(left - 4.0, (low + high) / 2), (right + 4.0, (low + high) / 2)], Role.CENTRE)
    for x, number, figure, pull, words, middle, row, clock in placed:
        top = high + 1.5 + ROW_MM * row
        sheet.line([(x, low - 1.5), (x, max(top, high + 1.5))], Role.MARK)
        sheet.words(str(number), (x, top + 4.4), NUMBER_MM, "centre", role=Role.MARK, bold=True)
        sheet.words(figure, (x, top + 0.9), FIGURE_MM, "centre", role=Role.MARK)
        if pull:
            y = low - 2.0 - CLOCK_MM - CLOCK_ROW_MM * clock
            sheet.line([(x, low - 1.5), (x, y + CLOCK_MM)], Role.PAPER)
            sheet.words(words, (middle, y - CLOCK_MM - 2.6), TURN_MM, "centre")
            _roll_arrow(sheet, (x, y), pull.roll_deg)
    sheet.words(START, (left, high + 1.5), FIGURE_MM)
    sheet.words(cut, (right, high + 1.5), FIGURE_MM, "right")
    return sheet


def _hatch(sheet: Sheet, a: float, b: float, low: float, high: float) -> None:
    """Show where a bend lies on the tube."""
    sheet.line([(a, low), (b, low), (b, high), (a, high)], Role.PAPER, closed=True)
    steps = max(int((b - a) / 1.5), 1)
    for k in range(steps):
        x = a + (b - a) * k / steps
        sheet.line([(x, low), (min(x + (high - low), b), min(high, low + b - x))], Role.PAPER)


def _roll_words(pull: Pull) -> str:
    """Return which pull it is, and what the hands turn before it."""
    return f"pull {pull.number}" if pull.number == 1 else f"pull {pull.number}: {turn_before(pull)}"


def _roll_arrow(sheet: Sheet, at: Point, roll: float) -> None:
    """A small clock hand seen from the start end: how far, and which way, the tube is rolled before this pull."""
    x, y = at
    sheet.circle(at, CLOCK_MM, Role.PAPER)
    sheet.line([at, (x, y + CLOCK_MM)], Role.PAPER)
    if rounded_deg(roll) == 0.0:
        return
    # Clockwise on the clock face is clockwise seen from the start end.
    hand = radians(90.0 - roll)
    sheet.line([at, (x + CLOCK_MM * cos(hand), y + CLOCK_MM * sin(hand))], Role.MARK)
    start, finish = sorted((90.0, 90.0 - roll))
    sheet.circle(at, CLOCK_MM * 0.6, Role.MARK, start, finish)


class _Rows:
    """Gives each label the lowest row where it does not run into its neighbours."""

    def __init__(self) -> None:
        self._rows: list[list[tuple[float, float]]] = []

    @property
    def count(self) -> int:
        """How many rows are in use."""
        return len(self._rows)

    def take(self, left: float, right: float) -> None:
        """Keep a part of the lowest row free."""
        if not self._rows:
            self._rows.append([])
        self._rows[0].append((left, right))

    def lowest(self, x: float, wide: float) -> int:
        """Find the row for a label about x, and keep its place."""
        left, right = x - wide / 2.0, x + wide / 2.0
        for number, row in enumerate(self._rows):
            if all(right + APART_MM <= a or b + APART_MM <= left for a, b in row):
                row.append((left, right))
                return number
        self._rows.append([(left, right)])
        return len(self._rows) - 1
