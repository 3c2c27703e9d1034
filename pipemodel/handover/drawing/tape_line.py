"""The tape line: the straight tube drawn to scale, with every mark where the tape finds it and every turn shown."""

from collections.abc import Mapping

from pipemodel.bending.schedule import SolvedRun
from pipemodel.handover.drawing.sheet import Role, Sheet
from pipemodel.handover.units import MM, Units

LABEL_MM = 13.0
"""Room a mark's figures need along the tube before they have to go a row higher."""
TURN_MM = 26.0
"""The same for the words under a turn."""


def tape_line(
    solved: SolvedRun, width: float = 180.0, planned: Mapping[int, float] | None = None, units: Units = MM
) -> Sheet:
    """Draw the flat tube of a run on paper, start end to the left.

    Args:
        solved: the run.
        width: of the drawing, mm.
        planned: the mark to draw for each bend, by its number; as held by the start side if left out.
        units: what the figures are read in.
    """
    length = solved.cut_length_mm
    margin = 8.0
    scale = (width - 2.0 * margin) / length
    planned = planned or {}
    marks = [(planned.get(bend.number, solved.mark_mm(bend)), bend) for bend in solved.table.bends]
    rows = _rows([margin + at * scale for at, _ in marks])
    turns = _rows([margin + at * scale for at, bend in marks if bend.number > 1], TURN_MM)
    foot = 13.0 + 4.0 * max(turns, default=0)
    deep = 9.0 * (max(rows, default=0) + 1)
    sheet = Sheet(width, foot + 17.0 + deep, f"Tape line of {solved.name}: marks along the straight tube")
    low, high = foot + 3.0, foot + 9.0
    left, right = margin, margin + length * scale

    for bend in solved.table.bends:
        a, b = left + bend.start_mm * scale, left + bend.finish_mm * scale
        sheet.line([(a, low), (b, low), (b, high), (a, high)], Role.PAPER, closed=True)
        steps = max(int((b - a) / 1.5), 1)
        for k in range(steps):
            x = a + (b - a) * k / steps
            sheet.line([(x, low), (min(x + (high - low), b), min(high, low + b - x))], Role.PAPER)
    sheet.line([(left, low), (right, low), (right, high), (left, high)], Role.OUTLINE, closed=True)
    sheet.line([(left - 4.0, (low + high) / 2), (right + 4.0, (low + high) / 2)], Role.CENTRE)

    for (at, bend), row in zip(marks, rows, strict=True):
        x, top = left + at * scale, high + 3.0 + 9.0 * row
        sheet.line([(x, low - 2.0), (x, top)], Role.MARK)
        sheet.words(f"{bend.number}", (x, top + 4.6), 3.2, "centre", role=Role.MARK, bold=True)
        sheet.words(units.short(at), (x, top + 1.0), 2.5, "centre", role=Role.MARK)
        if bend.number > 1:
            _turn_arrow(sheet, x, low - 7.0, bend.turn_deg, turns[bend.number - 2])
    sheet.words("start", (left, high + 1.5), 2.5)
    sheet.words(f"cut {units.short(length)}", (right, high + 1.5), 2.5, "right")
    return sheet


def _turn_arrow(sheet: Sheet, x: float, y: float, turn: float, row: int) -> None:
    """A small clock hand seen from the start end: how far, and which way, the tube is turned for this bend."""
    radius = 3.0
    under = y - radius - 2.6 - 4.0 * row
    sheet.circle((x, y), radius, Role.PAPER)
    sheet.line([(x, y), (x, y + radius)], Role.PAPER)
    if abs(turn) < 0.5:
        sheet.words("same side", (x, under), 1.8, "centre")
        return
    # Clockwise on the clock face is clockwise seen from the start end.
    from math import cos, radians, sin

    hand = radians(90.0 - turn)
    tip = (x + radius * cos(hand), y + radius * sin(hand))
    sheet.line([(x, y), tip], Role.MARK)
    start, finish = sorted((90.0, 90.0 - turn))
    sheet.circle((x, y), radius * 0.6, Role.MARK, start, finish)
    way = "over" if abs(turn) > 179.5 else ("clockwise" if turn > 0 else "anticlockwise")
    sheet.words(f"{abs(turn):.0f} {way}", (x, under), 1.8, "centre")


def _rows(places: list[float], wide: float = LABEL_MM) -> list[int]:
    """Give each label the lowest row where it does not run into its neighbour."""
    ends: list[float] = []
    rows: list[int] = []
    for x in places:
        row = next((i for i, end in enumerate(ends) if x - wide / 2 >= end), len(ends))
        if row == len(ends):
            ends.append(0.0)
        ends[row] = x + wide / 2
        rows.append(row)
    return rows
