"""The drawing to set out by: elevation and plan, dimensioned from faces that a tape can be put to, and a table.

Dimensions go to the axis of the tube at starts, corners and finishes, and to clips and holes, in three directions; each
view says from what. Figures are what a tape shows: to half a millimetre, or a sixteenth of an inch.
"""

from collections.abc import Sequence
from typing import NamedTuple

from pipemodel.bending.schedule import Schedule, SolvedRun
from pipemodel.checks.datums import Datum, SetOutPlace, datums
from pipemodel.drawing.annotate import name_ends, name_things, number_bends
from pipemodel.drawing.clipping import ClipWindow
from pipemodel.drawing.details import draw_details
from pipemodel.drawing.falls import mark_falls
from pipemodel.drawing.general import NOTE_HEIGHT, TITLE_HEIGHT, owned, shown_room, shown_window, view_words
from pipemodel.drawing.layout import TITLE_MM, Block, Fit, InLine, shared, stand_in_line, widened
from pipemodel.drawing.lettering import width_of, wrapped
from pipemodel.drawing.panel import Panel, draw_seen
from pipemodel.drawing.primitives import Circle, FlatPoint, Primitive, Role
from pipemodel.drawing.projection import Seen
from pipemodel.drawing.running import FIGURE_MM, FIGURES_FROM_MM, STEP_MM, Mark, running
from pipemodel.drawing.sheet import Sheet
from pipemodel.drawing.tables import DrawnTable, draw_table
from pipemodel.drawing.title_block import Titles, draw_frame, drawing_area
from pipemodel.geometry.vectors import Vec3, dot, scale
from pipemodel.messages.say import say, words
from pipemodel.messages.units import MM, Units
from pipemodel.messages.values import Message, Name, Word, message
from pipemodel.wording.safe_text import shown

BESIDE_MM = 12.0
"""Room beside a view, and over it, for what is written about its edges."""
NOTE_STEP_MM = 3.2
TITLES_MM = TITLE_MM + NOTE_STEP_MM
"""Room above a view for its title and two lines of what its dimensions are measured from."""
LINE_MM = 5.0
"""From a view to its dimension line."""
GAP_MM = 4.0
DOT_MM, HOLE_MM = 0.6, 1.2
_FRONT, _PLAN, _TABLE = range(3)
SPLITS = (
    ((_FRONT, _PLAN, _TABLE),),
    ((_FRONT,), (_PLAN, _TABLE)),
    ((_FRONT, _TABLE), (_PLAN,)),
)
"""All on one sheet, or parted over two where the views are then drawn larger."""
_FIRST_ANGLE = InLine(_FRONT, _PLAN, "column")
MOST_ABREAST = 4
TABLE_SHARE = 0.6
"""A table takes no more of the height of the largest sheet."""


class _Row(NamedTuple):
    """Dimensions along one line: the places with their figures, from what, and whether some had no room."""

    marks: list[tuple[SetOutPlace, str]]
    datum: Datum
    upright: bool

    @property
    def deep(self) -> float:
        """How far the row reaches from its view, mm."""
        return LINE_MM + FIGURES_FROM_MM + max((width_of(text, FIGURE_MM) for _, text in self.marks), default=0.0)


class SettingOut(NamedTuple):
    """What a drawing to set out by shows, and how it is shared among its sheets."""

    runs: Sequence[SolvedRun]
    views: tuple[Seen, Seen]
    windows: Sequence[ClipWindow]
    bounds: Sequence[Vec3]
    rows: Sequence[_Row]
    all_rows: bool
    tables: Sequence[DrawnTable]
    fits: list[Fit]


def plan_setting_out(
    schedule: Schedule,
    places: Sequence[SetOutPlace],
    views: tuple[Seen, Seen],
    bounds: Sequence[Vec3],
    sizes: Sequence[FlatPoint],
    most: int,
    units: Units = MM,
) -> SettingOut:
    """Share elevation, plan and table among sheets.

    Args:
        schedule: the solved job.
        places: what is to be set out.
        views: what is seen from where the fitter stands, and from above.
        bounds: corners of the room's things with an end.
        sizes: width and height of the sheets there are, mm; that is taken which the views fill best.
        most: how many sheets there may be.
        units: what lengths are read in.
    """
    planes, runs = datums(schedule), schedule.runs
    box = shown_room(runs, bounds)
    windows = [shown_window(seen.view, box, runs) for seen in views]
    across, deep = (_datum_along(planes, way) for way in (views[0].view.right, views[0].view.eye))
    ways = ((across, False), (planes[2], True), (deep, True))
    whole, fewer = (
        [_row(of, datum, upright, units) for datum, upright in ways]
        for of in (places, [place for place in places if place.what not in ("clip", "hole")])
    )
    tables = _tables(
        _table(places, planes, units), TABLE_SHARE * max(drawing_area(size).height for size in sizes), units
    )
    splits = SPLITS if most > 1 else SPLITS[:1]

    def fits_with(rows: Sequence[_Row]) -> list[Fit]:
        choices = [_blocks(windows, rows, table, units) for table in tables]
        return shared(choices, splits, sizes, [_FIRST_ANGLE])

    fits, small = fits_with(whole), fits_with(fewer)
    # The views come before the figures of clips and holes, which stand in the table as well.
    all_rows = small[0].scale >= fits[0].scale
    rows, fits = (whole, fits) if all_rows else (fewer, small)
    chosen = next(fit.choice for fit in fits if _TABLE in fit.cells)
    return SettingOut(runs, views, windows, bounds, rows, all_rows, tables[chosen], fits)


def draw_setting_out(made: SettingOut, titles: Sequence[Titles], units: Units) -> list[Sheet]:
    """Draw the sheets to set out by; `titles` has what the title block of each says."""
    sheets = [Sheet(*fit.size, its.title, factor=float(fit.scale)) for fit, its in zip(made.fits, titles, strict=True)]
    panels, outlines = [], []
    left = max(row.deep for row in made.rows[1:])
    notes, rows = _notes(made.rows), (made.rows[:2], made.rows[2:])
    for k in (_FRONT, _PLAN):
        sheet, fit = next((sheet, fit) for sheet, fit in zip(sheets, made.fits, strict=True) if k in fit.cells)
        seen, cell = made.views[k], fit.cells[k]
        under = max((row.deep for row in rows[k] if not row.upright), default=2.0)
        area = ClipWindow(cell.left + left, cell.low + under, cell.right, cell.high - TITLES_MM)
        free = fit.scale * (area.width - BESIDE_MM), fit.scale * (area.height - BESIDE_MM)
        window = widened(made.windows[k], seen.view, made.bounds, free)
        panel = Panel(sheet, seen.view, area, window, 1.0 / fit.scale, BESIDE_MM / 2.0)
        outlines.append((panel, draw_seen(panel, seen, made.runs)))
        panels.append(panel)
        said = [_dimension(panel, row) for row in rows[k]]
        note = notes[k] if all(said) and made.all_rows else _more(notes[k])
        _view_title(sheet, cell, view_words(seen, units), note, units)
    elevation, above = panels
    for run in made.runs:
        with owned(sheets, run.name):
            number_bends((above, elevation), run, units, angles=False, named=len(made.runs) > 1)
            name_ends(panels, run, units, named=len(made.runs) > 1, placed=False)
            mark_falls(panels, run, units)
    name_things(outlines)
    for sheet, fit, its in zip(sheets, made.fits, titles, strict=True):
        if _TABLE in fit.cells:
            at, top = fit.cells[_TABLE].left, fit.cells[_TABLE].high
            for part in made.tables:
                draw_table(sheet, part, at, top - part.size[1])
                at += part.size[0] + GAP_MM
        draw_details([(panels[k], made.views[k]) for k in (_FRONT, _PLAN) if k in fit.cells], made.runs, units)
        draw_frame(sheet, its, f"1:{fit.scale}", units, stand_in_line(fit.cells, _FIRST_ANGLE))
    return sheets


def _notes(rows: Sequence[_Row]) -> tuple[Message, Message]:
    """Return what the dimensions of elevation and plan are measured from."""
    across, up, deep = (row.datum.said for row in rows)
    return message("setting out.two", across=across, up=up), message("setting out.one", deep=deep)


def _view_title(sheet: Sheet, cell: ClipWindow, name: str, note: Message, units: Units) -> None:
    sheet.words(name, (cell.left, cell.high - TITLE_HEIGHT - 1.0), TITLE_HEIGHT, bold=True)
    for k, line in enumerate(wrapped(say(note, units), NOTE_HEIGHT, cell.width)):
        sheet.words(line, (cell.left, cell.high - TITLE_HEIGHT - 4.5 - NOTE_STEP_MM * k), NOTE_HEIGHT)


def _more(note: Message) -> Message:
    return message("setting out.more", note=note)


def _blocks(
    windows: Sequence[ClipWindow], rows: Sequence[_Row], tables: Sequence[DrawnTable], units: Units
) -> dict[int, Block]:
    """Return what elevation, plan and table take on a sheet, with the dimensions beside them."""
    (front, plan), (across, *beside) = windows, rows
    left = max(row.deep for row in beside) + BESIDE_MM
    # The note under a title goes on two lines, of which the first may not be full.
    least = [0.6 * width_of(say(_more(note), units), NOTE_HEIGHT) for note in _notes(rows)]
    listed = (sum(one.size[0] + GAP_MM for one in tables), tables[0].size[1] + GAP_MM)
    return {
        _FRONT: Block((front.width, front.height), (left, across.deep + TITLES_MM + BESIDE_MM), least[0]),
        _PLAN: Block((plan.width, plan.height), (left, TITLES_MM + BESIDE_MM), least[1]),
        _TABLE: Block((0.0, 0.0), listed),
    }


def _tables(table: DrawnTable, most: float, units: Units) -> list[list[DrawnTable]]:
    """Return the table as one, and parted into several abreast; cut where that is still too high."""
    parted = [table.abreast(columns) for columns in range(1, MOST_ABREAST + 1)]
    low = [parts for parts in parted if parts[0].size[1] <= most]
    return low or [table.no_higher_than(3.0 * most - 3.0 * 4.4, units).abreast(3)]


def _datum_along(planes: tuple[Datum, Datum, Datum], way: Vec3) -> Datum:
    """Return the datum whose axis lies along a level way of a view, which is that of an axis."""
    return max(planes[:2], key=lambda datum: abs(dot(datum.axis, way)))


def _row(places: Sequence[SetOutPlace], datum: Datum, upright: bool, units: Units) -> _Row:
    """Return the dimensions of places from a datum: those of the runs first, then of clips and of holes that differ."""
    marks, given = [], set[str]()
    for kinds in (("start", "bend", "finish"), ("clip",), ("hole",)):
        figures = [(place, units.short(datum.measure(place.point) + 0.0)) for place in places if place.what in kinds]
        new = {figure for _, figure in figures} - given
        for place, figure in figures:
            if figure in new:
                at = Name(figure, quoted=False)
                text = words(units, "setting out.what at", what=Word(place.what), at=at) if len(kinds) == 1 else figure
                marks.append((place, text))
        given |= new
    return _Row(marks, datum, upright)


def _dimension(panel: Panel, row: _Row) -> bool:
    """Draw running dimensions to the left of a view, or under it; return whether there was room for all."""
    sheet, window, k = panel.sheet, panel.window, 1 if row.upright else 0
    low, high = (window.low, window.high) if row.upright else (window.left, window.right)
    origin = panel.at(scale(row.datum.out, row.datum.at))[k]
    within = min(max(origin, low), high)
    # Over a view stands what it is measured from.
    room = low - BESIDE_MM, high + (BESIDE_MM / 2.0 if row.upright else BESIDE_MM)
    shown_figures = list(dict.fromkeys(text for _, text in row.marks))[: int((room[1] - room[0]) / STEP_MM)]
    marks = [Mark(panel.at(place.point), text) for place, text in row.marks if text in shown_figures]
    before = len(sheet.items)
    for place, text in row.marks:
        if place.what in ("clip", "hole") and text in shown_figures:
            _symbol(panel, place)
    line_at = (window.left if row.upright else window.low) - LINE_MM
    end = within if abs(within - origin) > 1e-6 else within + 1.0
    running(sheet, marks, line_at, within, end, row.upright, room)
    panel.placer.add([item for item in sheet.items[before:] if isinstance(item, Primitive)])
    return len(shown_figures) == len({text for _, text in row.marks})


def _symbol(panel: Panel, place: SetOutPlace) -> None:
    """Draw a dot at a clip, and a circle with a dot at a hole."""
    at = panel.at(place.point)
    panel.sheet.items.append(Circle(at, DOT_MM, Role.MARK, filled=True))
    if place.what == "hole":
        panel.sheet.items.append(Circle(at, HOLE_MM, Role.DIMENSION))


def _table(places: Sequence[SetOutPlace], planes: tuple[Datum, Datum, Datum], units: Units) -> DrawnTable:
    head = (
        words(units, "drawing.head run"),
        words(units, "drawing.head place"),
        *(words(units, "word", word=Word(way)) for way in ("east-west", "north-south", "height")),
    )
    rows, before = [], ""
    for place in places:
        figures = (units.short(datum.measure(place.point) + 0.0) for datum in planes)
        name = shown(place.run, 20) if place.run != before else ""
        rows.append((name, shown(say(place.said, units), 24), *figures))
        before = place.run
    return DrawnTable(head, tuple(rows), frozenset({0, 1}))
