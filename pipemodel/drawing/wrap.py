"""The paper that wraps round the tube and puts every mark, and the inside line of every bend, in its place.

Printed side out, start to the left. A line across is a mark; a line along the tube is the side that becomes the
inside of that bend. Seen from the start end along the tube a clockwise turn runs down the paper.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import ceil, floor, pi

from pipemodel.bending.schedule import SolvedRun
from pipemodel.drawing.clipping import ClipWindow
from pipemodel.drawing.labels import ANYWHERE_MM, LEADER_FROM_MM, Label, LabelSpot, placed
from pipemodel.drawing.lettering import width_of
from pipemodel.drawing.placing import Placer
from pipemodel.drawing.primitives import FlatPoint, Role, Text
from pipemodel.drawing.sheet import Sheet
from pipemodel.messages.say import words
from pipemodel.messages.units import MM, MM_PER_INCH, Units
from pipemodel.messages.values import Name, Tape, counts, message
from pipemodel.wording.safe_text import shown

SIDE_MM = 20.0
"""How far an inside line runs either way of its mark."""
CLEAR_MM = 3.0
"""How far beyond its first and last line a strip goes at least."""
SEAMS = 48
"""Places round the tube that are tried for the paper's edge."""
TAB_MM, TAB_EDGE_MM = 6.0, 0.9
MARGIN_MM = 2.0
LONGEST_NAME = 20
HEAD_MM = 8.2
UP_RIGHT = (0.6, 0.8)
"""Where a mark's name goes first, from where its lines cross."""


@dataclass(frozen=True)
class WrapMark:
    """A mark on the wrap: mm along the tube from its start end, and how far round, 0 to 1, from the paper's edge."""

    bend: int
    at_mm: float
    around: float


def wrap_marks(solved: SolvedRun, marks: Mapping[int, float]) -> list[WrapMark]:
    """Return where the marks and inside lines of a run lie on the wrap, in order along the tube.

    The paper's edge is put where it is as far as can be from every inside line.

    Args:
        solved: the run.
        marks: where each bend's mark goes, by its number, mm from the start end.
    """
    turned = 0.0
    ways: list[float] = []
    for bend in solved.table.bends:
        turned += bend.turn_deg
        ways.append(-turned / 360.0)
    first = max((k / SEAMS for k in range(SEAMS)), key=lambda seam: (_clear(seam, ways), -abs(seam - 0.5)))
    out = [
        WrapMark(bend.number, marks[bend.number], (first + way) % 1.0)
        for bend, way in zip(solved.table.bends, ways, strict=True)
    ]
    return sorted(out, key=lambda mark: mark.at_mm)


def _clear(first: float, ways: Sequence[float]) -> float:
    """How far the paper's edge lies from the nearest inside line, to a thousandth of the way round."""
    return round(min((min((first + way) % 1.0, -(first + way) % 1.0) for way in ways), default=0.5), 3)


def wrap_strips(
    solved: SolvedRun, marks: Mapping[int, float], length: float = 180.0, units: Units = MM
) -> Iterator[Sheet]:
    """Draw the wrap of a run in strips, each with as many marks as go on it.

    Args:
        solved: the run.
        marks: where each bend's mark goes, by its number, mm from the start end.
        length: the longest a strip may be, mm.
        units: what lengths are read in.
    """
    every = wrap_marks(solved, marks)
    for group in _groups(every, length):
        grid = 10.0 if units.name == "mm" else MM_PER_INCH / 2.0
        begin = max(floor((group[0].at_mm - SIDE_MM - CLEAR_MM) / grid) * grid, 0.0)
        end = min(group[-1].at_mm + SIDE_MM + CLEAR_MM, begin + length, solved.cut_length_mm)
        yield _strip(solved, [m for m in every if begin < m.at_mm < end], begin, end, units)


def _groups(marks: Sequence[WrapMark], length: float) -> Iterator[list[WrapMark]]:
    group: list[WrapMark] = []
    for mark in marks:
        # A strip begins up to half an inch before what it has to hold.
        if group and mark.at_mm - group[0].at_mm > length - 2.0 * (SIDE_MM + CLEAR_MM) - MM_PER_INCH / 2.0:
            yield group
            group = []
        group.append(mark)
    if group:
        yield group


def _strip(solved: SolvedRun, marks: Sequence[WrapMark], begin: float, end: float, units: Units) -> Sheet:
    round_mm = pi * solved.tube.outside_mm
    bends = message("bends", bends=counts([mark.bend for mark in marks], ","))
    run = Name(shown(solved.name, LONGEST_NAME), quoted=False)
    head = words(units, "wrap.head", run=run, bends=bends)
    edge = words(units, "wrap.edge", edge=Tape(begin, unit=False))
    on_tab = words(units, "wrap.tab")
    lines = ((head, 2.5, 4.6, True), (edge, 2.0, 1.4, False))
    wide = max(end - begin, *(width_of(text, high, bold) for text, high, _, bold in lines))
    title = words(units, "wrap.title", run=Name(solved.name, quoted=False), bends=bends)
    sheet = Sheet(wide + 2.0 * MARGIN_MM, round_mm + TAB_MM + HEAD_MM, title)
    x0, y0 = MARGIN_MM, TAB_MM + 1.0
    x1, top = x0 + end - begin, y0 + round_mm
    sheet.line([(x0, y0), (x1, y0), (x1, top), (x0, top)], Role.OUTLINE, closed=True)
    sheet.line([(x0, y0), (x0, y0 - TAB_MM), (x1, y0 - TAB_MM), (x1, y0)], Role.PAPER)
    # Head and tab have lines of their own, outside the strip: nothing else comes there.
    sheet.words(on_tab, (x0 + TAB_EDGE_MM, y0 - 4.2), 1.7)
    for text, high, up, bold in lines:
        sheet.words(text, (x0, top + up), high, bold=bold)
    placer = Placer(ClipWindow(x0, y0, x1, top))
    for mark in marks:
        x, y = x0 + mark.at_mm - begin, y0 + mark.around * round_mm
        low, high = max(begin, mark.at_mm - SIDE_MM), min(end, mark.at_mm + SIDE_MM)
        for stroke in (((x, y0), (x, top)), ((x0 + low - begin, y), (x0 + high - begin, y))):
            sheet.line(stroke, Role.MARK)
            placer.add_stroke(stroke)
    figures = _ruler(sheet, placer, begin, end, (x0, y0), units)
    for mark in marks:
        spot = LabelSpot((x0 + mark.at_mm - begin, y0 + mark.around * round_mm), UP_RIGHT)
        label = Label(f"{mark.bend}: {units.short(mark.at_mm)}", 2.6, Role.MARK, bold=True)
        # A mark without its name would be worse than a name across a line.
        sheet.items += placed(placer, label, [spot], ANYWHERE_MM, LEADER_FROM_MM) or label.drawn(*spot[:2])
    for figure in figures:
        # The ticks can be counted: a figure that has no room to the right of its own is left out.
        sheet.items += placer.place([(0.0, (figure,))]) or ()
    return sheet


def _ruler(sheet: Sheet, placer: Placer, begin: float, end: float, corner: FlatPoint, units: Units) -> list[Text]:
    """Draw ticks along the edge, every 10 mm or half inch; return a figure for every 50 mm or inch."""
    step, every = (10.0, 5) if units.name == "mm" else (MM_PER_INCH / 2.0, 2)
    x0, y0 = corner
    figures: list[Text] = []
    for k in range(ceil(begin / step - 1e-9), floor(end / step + 1e-9) + 1):
        x = x0 + k * step - begin
        long = k % every == 0
        tick = ((x, y0), (x, y0 + (3.5 if long else 2.0)))
        sheet.line(tick, Role.PAPER)
        placer.add_stroke(tick)
        if long:
            figures.append(Text(units.short(k * step), (x + 0.6, y0 + 1.8), 1.8))
    return figures
