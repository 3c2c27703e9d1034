"""The drawing to set out by: elevation and plan, dimensioned from faces that a tape can be put to, and a table.

Dimensions go to the axis of the tube at starts, corners and finishes, in three directions; each view says from what.
"""

from collections.abc import Sequence
from typing import NamedTuple

from pipemodel.bending.schedule import Schedule
from pipemodel.checks.datums import Datum, SetOutPlace, datums, places_to_set_out
from pipemodel.drawing.annotate import name_ends, number_bends
from pipemodel.drawing.clipping import ClipWindow
from pipemodel.drawing.general import NOTE_HEIGHT, SHEETS, TITLE_HEIGHT, shown_room, shown_window, view_words
from pipemodel.drawing.layout import SCALES, TITLE_MM
from pipemodel.drawing.panel import Panel, draw_seen
from pipemodel.drawing.primitives import FlatPoint
from pipemodel.drawing.projection import Seen
from pipemodel.drawing.running import Mark, running
from pipemodel.drawing.sheet import Sheet
from pipemodel.drawing.tables import DrawnTable, draw_table
from pipemodel.drawing.title_block import Titles, draw_frame, drawing_area
from pipemodel.geometry.vectors import Vec3, dot, scale
from pipemodel.messages.say import say, words
from pipemodel.messages.units import MM, Units
from pipemodel.messages.values import Word, message
from pipemodel.wording.safe_text import shown

LEFT_MM, UNDER_MM, BESIDE_MM = 27.0, 25.0, 12.0
"""Room beside a view for heights and depths, under the elevation for what goes across, and on the other sides."""
LINE_MM = 5.0
"""From a view to its dimension line."""
GAP_MM = 4.0
LARGER = 1.15


class _Fit(NamedTuple):
    """How the views share a sheet."""

    size: FlatPoint
    scale: int
    front: ClipWindow
    plan: ClipWindow
    table: DrawnTable
    filled: float


def setting_out_drawing(
    schedule: Schedule,
    front: Seen,
    plan: Seen,
    bounds: Sequence[Vec3],
    titles: Titles,
    size: FlatPoint | None = None,
    units: Units = MM,
) -> Sheet:
    """Draw where everything of a job is, measured from the room.

    Args:
        schedule: the solved job.
        front: what is seen from where the fitter stands.
        plan: what is seen from above.
        bounds: corners of the room's things with an end.
        titles: what the title block says.
        size: width and height of the sheet, mm; left out, the smallest on which the views come out largest.
        units: what lengths are read in.
    """
    places, planes = list(places_to_set_out(schedule)), datums(schedule)
    box = shown_room(schedule.runs, bounds)
    windows = [shown_window(seen.view, box, schedule.runs) for seen in (front, plan)]
    table = _table(places, planes, units)
    fit = _best([_fitted(one, windows, table, units) for one in ([size] if size else SHEETS)])
    sheet = Sheet(*fit.size, titles.title, factor=float(fit.scale))
    panels = []
    across, deep = (_datum_along(planes, front.view.right), _datum_along(planes, front.view.eye))
    notes = (
        message("setting out.two", across=across.said, up=planes[2].said),
        message("setting out.one", deep=deep.said),
    )
    for seen, cell, window, note in zip((front, plan), (fit.front, fit.plan), windows, notes, strict=True):
        sheet.words(view_words(seen, units), (cell.left, cell.high - TITLE_HEIGHT - 1.0), TITLE_HEIGHT, bold=True)
        sheet.words(say(note, units), (cell.left, cell.high - TITLE_HEIGHT - 4.5), NOTE_HEIGHT)
        under = UNDER_MM if seen is front else 2.0
        area = ClipWindow(cell.left + LEFT_MM, cell.low + under, cell.right, cell.high - TITLE_MM)
        panel = Panel(sheet, seen.view, area, window, 1.0 / fit.scale)
        draw_seen(panel, seen, schedule.runs)
        panels.append(panel)
    for run in schedule.runs:
        with sheet.of(run.name):
            number_bends(panels[:1], run, units, angles=False, named=len(schedule.runs) > 1)
            name_ends(panels, run, units, named=len(schedule.runs) > 1)
    elevation, above = panels
    _dimension(sheet, elevation, places, across, False, units)
    _dimension(sheet, elevation, places, planes[2], True, units)
    _dimension(sheet, above, places, deep, True, units)
    draw_table(sheet, fit.table, drawing_area(fit.size).right - fit.table.size[0], fit.front.high - fit.table.size[1])
    draw_frame(sheet, titles, f"1:{fit.scale}", units, first_angle=True)
    return sheet


def _fitted(size: FlatPoint, windows: Sequence[ClipWindow], table: DrawnTable, units: Units) -> _Fit:
    """Share a sheet among elevation, plan under it and table at the right, as large as a standard scale allows."""
    area = drawing_area(size)
    table = table.no_higher_than(area.height, units)
    left = ClipWindow(area.left, area.low, area.right - table.size[0] - GAP_MM, area.high)
    front, plan = windows
    for n in SCALES:
        wide = max(front.width, plan.width) / n + LEFT_MM + BESIDE_MM
        upper = front.height / n + UNDER_MM + TITLE_MM + BESIDE_MM
        lower = plan.height / n + TITLE_MM + BESIDE_MM
        if wide <= left.width and upper + lower <= left.height:
            break
    middle = left.high - upper
    filled = (front.width * front.height + plan.width * plan.height) / n**2 / (area.width * area.height)
    cells = (
        ClipWindow(left.left, middle, left.left + wide, left.high),
        ClipWindow(left.left, middle - lower, left.left + wide, middle),
    )
    return _Fit(size, n, *cells, table, filled)


def _best(fits: Sequence[_Fit]) -> _Fit:
    best = fits[0]
    for fit in fits[1:]:
        if fit.filled > LARGER * best.filled or len(fit.table.rows) > len(best.table.rows):
            best = fit
    return best


def _datum_along(planes: tuple[Datum, Datum, Datum], way: Vec3) -> Datum:
    """Return the datum whose axis lies along a level way of a view, which is that of an axis."""
    return max(planes[:2], key=lambda datum: abs(dot(datum.axis, way)))


def _dimension(
    sheet: Sheet, panel: Panel, places: Sequence[SetOutPlace], datum: Datum, upright: bool, units: Units
) -> None:
    """Draw running dimensions of some places from a datum: to the left of a view, or under it."""
    window, k = panel.window, 1 if upright else 0
    low, high = (window.low, window.high) if upright else (window.left, window.right)
    origin = panel.at(scale(datum.out, datum.at))[k]
    within = min(max(origin, low), high)
    marks = [Mark(panel.at(place.point), _figure(datum, place, units)) for place in places]
    line_at = (window.left if upright else window.low) - LINE_MM
    running(sheet, marks, line_at, within, within if abs(within - origin) > 1e-6 else within + 1.0, upright)


def _figure(datum: Datum, place: SetOutPlace, units: Units) -> str:
    far = datum.measure(place.point) + 0.0
    return units.tidy(far) if units.name == "mm" else units.short(far)


def _table(places: Sequence[SetOutPlace], planes: tuple[Datum, Datum, Datum], units: Units) -> DrawnTable:
    head = (
        words(units, "drawing.head run"),
        words(units, "drawing.head place"),
        *(words(units, "word", word=Word(way)) for way in ("east-west", "north-south", "height")),
    )
    rows, before = [], ""
    for place in places:
        figures = (_figure(datum, place, units) for datum in planes)
        name = shown(place.run, 20) if place.run != before else ""
        rows.append((name, say(place.said, units), *figures))
        before = place.run
    return DrawnTable(head, tuple(rows), frozenset({0, 1}))
