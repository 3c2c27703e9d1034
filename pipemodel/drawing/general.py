"""The general drawing: plan, two elevations and an isometric of runs in their room, with a table of points.

Views take the places of first angle projection where the sheet allows, and each says from where it is seen, so that
nobody has to know which projection is meant (ISO 5456-2, ISO 128-3). Legs are dimensioned from corner to corner of
the centreline, as pipelines are (ISO 6412-1), each once, in a view that shows it in true length; scales follow
ISO 5455, dimension lines ISO 129-1, line types ISO 128-2. These are named from memory of the standards.
"""

from collections.abc import Sequence

from pipemodel.bending.bends import corners_of
from pipemodel.bending.schedule import SolvedRun
from pipemodel.drawing.annotate import (
    LONGEST_NAME,
    at_words,
    dimension_legs,
    name_ends,
    name_run,
    name_things,
    number_bends,
)
from pipemodel.drawing.clipping import ClipWindow
from pipemodel.drawing.details import draw_details
from pipemodel.drawing.falls import mark_falls
from pipemodel.drawing.layout import TITLE_MM, ViewLayout, lay_out
from pipemodel.drawing.lettering import width_of
from pipemodel.drawing.openings import dimension_openings, outline_openings
from pipemodel.drawing.panel import Panel, corners_of_bends, draw_seen
from pipemodel.drawing.primitives import FlatPoint
from pipemodel.drawing.projection import Seen, Views
from pipemodel.drawing.sheet import Sheet
from pipemodel.drawing.tables import DrawnTable, draw_table
from pipemodel.drawing.tape_line import roll_words
from pipemodel.drawing.title_block import Titles, draw_frame, drawing_area
from pipemodel.geometry.extent import Extent
from pipemodel.geometry.vectors import Vec3, distance, dot
from pipemodel.geometry.view import View
from pipemodel.job.model import Opening
from pipemodel.messages.say import say, words
from pipemodel.messages.units import MM, Units, units_for
from pipemodel.messages.values import Count, Name, Word, listed
from pipemodel.pulls.plan import Plan
from pipemodel.wording.safe_text import shown

A4, A3, A2 = (297.0, 210.0), (420.0, 297.0), (594.0, 420.0)
"""Sheets that lie, mm (ISO 216)."""
SHEETS = (A4, A3, A2)
"""The smaller first."""
LARGER = 1.3
"""A larger sheet is taken where the views fill so much more of it."""
TITLE_HEIGHT, NOTE_HEIGHT = 3.0, 2.2
MOST_NAMES = 3
MOST_DIMENSIONED = 3
"""With more runs than this on one drawing, legs and angles are left to each run's own drawing."""
MOST_NUMBERED = 8
"""And with more than this the numbers of the bends, and where its ends are, which the table tells."""
ROOM_SHARE, LEAST_ROOM_MM = 0.15, 150.0
"""How far beyond the runs the room is shown: this share of their size, but no more than half of it along any axis;
the other is no less than is shown."""


def general_drawing(
    runs: Sequence[SolvedRun],
    views: Views,
    titles: Titles,
    size: FlatPoint | None = None,
    units: Units = MM,
    bounds: Sequence[Vec3] = (),
    plan: Plan | None = None,
    openings: Sequence[Opening] = (),
) -> Sheet:
    """Draw four views of runs and room on one sheet.

    Args:
        runs: the runs to dimension.
        views: what is seen of them, and of the room's things where they should show.
        titles: what the title block says.
        size: width and height of the sheet, mm; left out, the sheet that the views fill best.
        units: what lengths are read in.
        bounds: corners of the room's things with an end, to be shown too, near the runs.
        plan: of a single run, how it is pulled; None where that is not to be said.
        openings: by which runs are brought in, to be dimensioned.
    """
    box = shown_room(runs, bounds)
    windows = [shown_window(seen.view, box, runs) for seen in views]
    whole = _points(runs[0], units, plan) if len(runs) == 1 else _ends(runs, units)
    size = size or _best_size(views, windows, whole, units)
    area = drawing_area(size)
    table = whole.no_higher_than(area.height * 0.6, units)
    layout = _laid_out(views, windows, area, table.size, units)
    sheet = Sheet(*size, titles.title, factor=float(layout.scale))
    cells = (layout.front, layout.side, layout.plan, layout.isometric)
    scales = (layout.scale, layout.scale, layout.scale, layout.isometric_scale)
    panels, outlines = [], []
    for seen, cell, window, scale in zip(views, cells, windows, scales, strict=True):
        panel = Panel(sheet, seen.view, cell._replace(high=cell.high - TITLE_MM), window, 1.0 / scale)
        _view_title(sheet, seen, cell, f"1:{scale}" if scale != layout.scale else "", units)
        outlines.append((panel, draw_seen(panel, seen, runs)))
        panels.append(panel)
    front, side, above, isometric = panels
    outline_openings(panels, openings)
    few = len(runs) <= MOST_DIMENSIONED
    for run in runs:
        with sheet.of(run.name):
            if few:
                dimension_legs((above, front, side), run, units)
                mark_falls((front, side, above), run, units)
            if len(runs) <= MOST_NUMBERED:
                number_bends((above, front, side, isometric), run, units, angles=few, named=len(runs) > 1)
                name_ends((above, front, side, isometric), run, units, named=len(runs) > 1)
            else:
                name_run((above, front, side, isometric), run)
    dimension_openings((above, front, side, isometric), openings, units)
    # In the order of preference, which is that of the panels here.
    outlines = [outlines[i] for i in (2, 0, 1, 3)]
    name_things(outlines)
    draw_table(sheet, table, layout.table.left, layout.table.low)
    if few:
        draw_details(
            list(zip((above, front, side), (views.plan, views.front, views.side), strict=True)),
            runs,
            area,
            layout.scale,
            units,
        )
    draw_frame(sheet, titles, f"1:{layout.scale}", units, layout.first_angle)
    return sheet


def _best_size(views: Views, windows: Sequence[ClipWindow], whole: DrawnTable, units: Units) -> FlatPoint:
    """Return the size of sheet that views fill best, each at the scale that it allows."""
    best, fills = A4, 0.0
    for size in SHEETS:
        area = drawing_area(size)
        layout = _laid_out(views, windows, area, whole.no_higher_than(area.height * 0.6, units).size, units)
        scales = (layout.scale, layout.scale, layout.scale, layout.isometric_scale)
        drawn = sum(window.width * window.height / k**2 for window, k in zip(windows, scales, strict=True))
        filled = drawn / (area.width * area.height)
        if filled > LARGER * fills:
            best, fills = size, filled
    return best


def _laid_out(
    views: Views, windows: Sequence[ClipWindow], area: ClipWindow, table: FlatPoint, units: Units
) -> ViewLayout:
    sizes = [(w.width, w.height) for w in windows]
    front, side, plan, _ = (width_of(view_words(seen, units), TITLE_HEIGHT, bold=True) for seen in views)
    # What is seen from the right lies to the left of the front, and the other way round.
    from_right = dot(views.side.view.eye, views.front.view.right) > 0.0
    return lay_out(area, sizes[0], sizes[1], sizes[2], sizes[3], table, (front, side, plan), from_right)


def view_words(seen: Seen, units: Units) -> str:
    """Return from where a view is seen, in words."""
    return words(units, "word", word=Word(seen.view.title))


def _view_title(sheet: Sheet, seen: Seen, cell: ClipWindow, scale: str, units: Units) -> None:
    """Write over a view from where it is seen, its scale where that is not the sheet's, and what is left out."""
    left, top = cell.left, cell.high - TITLE_HEIGHT - 1.0
    sheet.words(view_words(seen, units), (left, top), TITLE_HEIGHT, bold=True)
    notes = (scale, without_words(seen.without, units))
    sheet.words("; ".join(note for note in notes if note), (left, top - 3.5), NOTE_HEIGHT)


def without_words(left_out: Sequence[str], units: Units) -> str:
    """Return what stands before the eye and is left out of a view; "" if nothing does."""
    if not left_out:
        return ""
    names = listed([Name(shown(name, LONGEST_NAME), quoted=False) for name in left_out[:MOST_NAMES]], ",")
    more = len(left_out) - MOST_NAMES
    if more > 0:
        return words(units, "drawing.without, more", names=names, n=Count(more))
    return words(units, "drawing.without", names=names)


def shown_room(runs: Sequence[SolvedRun], bounds: Sequence[Vec3]) -> Extent:
    """Return the block of the room that is worth showing: the runs, and the room near them."""
    points = [p for run in runs for p in corners_of(run.table)[0]]
    tube = max(run.tube.outside_mm for run in runs)
    tight = [(min(c) - tube, max(c) + tube) for c in zip(*points, strict=True)]
    room = [(min(c), max(c)) for c in zip(*points, *bounds, strict=True)]
    share = ROOM_SHARE * max(high - low for low, high in tight) + 2.0 * tube
    shown = []
    for (low, high), (first, last) in zip(tight, room, strict=True):
        reach = min(share, max((high - low) / 2.0, LEAST_ROOM_MM))
        shown.append((max(min(first - tube, low), low - reach), min(max(last + tube, high), high + reach)))
    (x0, x1), (y0, y1), (z0, z1) = shown
    return Extent((x0, y0, z0), (x1, y1, z1))


def shown_window(view: View, box: Extent, runs: Sequence[SolvedRun]) -> ClipWindow:
    """Return what of a view is shown, mm of the room: a block of it, or at an angle no more than the runs need."""
    if not view.isometric:
        return ClipWindow.around([view.flat(p) for p in box.corners()])
    tube = max(run.tube.outside_mm for run in runs)
    tight = ClipWindow.around([view.flat(p) for run in runs for p in corners_of(run.table)[0]], tube)
    whole = ClipWindow.around([view.flat(p) for p in box.corners()])
    reach = ROOM_SHARE * max(tight.width, tight.height) + 2.0 * tube
    return ClipWindow(
        max(whole.left, tight.left - reach),
        max(whole.low, tight.low - reach),
        min(whole.right, tight.right + reach),
        min(whole.high, tight.high + reach),
    )


def _points(run: SolvedRun, units: Units, plan: Plan | None) -> DrawnTable:
    """Start, corners and finish of a run with their coordinates, the leg to each, its angle, and when it is pulled."""
    pulled = {pull.bend: roll_words(pull, units) for pull in plan.pulls} if plan else {}
    start, finish = (words(units, "word", word=Word(end)) for end in ("start", "finish"))
    named: list[tuple[str, Vec3, str, str]] = [(start, run.centreline.start, "", "")]
    for bend, corners in zip(run.table.bends, corners_of_bends(run), strict=True):
        pull = pulled.get(bend.number, "")
        for i, corner in enumerate(corners):
            which = words(units, "part.bend", bend=Count(bend.number)) + (" a", " b")[i] * (len(corners) > 1)
            angle = f"{units.angle(bend.angle_deg)}\u00b0"
            named.append((which, corner, angle if i == 0 else "", pull if i == 0 else ""))
    named.append((finish, run.centreline.finish, "", ""))
    rows = []
    before: Vec3 | None = None
    for name, point, angle, pull in named:
        leg = units.short(distance(before, point)) if before is not None else ""
        rows.append((name, *(units.tidy(c) for c in point), leg, angle, pull))
        before = point
    head = (
        words(units, "drawing.head corner"),
        *"xyz",
        words(units, "drawing.head leg"),
        words(units, "drawing.head angle"),
        words(units, "drawing.head pull"),
    )
    return DrawnTable(head, tuple(rows), frozenset({0, 6}))


def _ends(runs: Sequence[SolvedRun], units: Units) -> DrawnTable:
    rows = tuple(
        (
            shown(run.name, 28),
            shown(say(run.tube.called, units_for("mm", units.language)), 28),
            at_words(run.centreline.start, units),
            at_words(run.centreline.finish, units),
            units.short(run.cut_length_mm),
        )
        for run in runs
    )
    head = (
        words(units, "drawing.head run"),
        words(units, "drawing.head tube"),
        *(words(units, "word", word=Word(end)) for end in ("start", "finish")),
        words(units, "drawing.head cut"),
    )
    return DrawnTable(head, rows, frozenset({0, 1, 2, 3}))
