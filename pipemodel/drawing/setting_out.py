"""The drawing to set out by: elevation and plan, dimensioned from faces that a tape can be put to, and a table.

Dimensions go to the axis of the tube at starts, corners and finishes, and to clips and holes, in three directions; each
view says from what. Figures are what a tape shows: to half a millimetre, or a sixteenth of an inch.
"""

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from pipemodel.bending.schedule import Schedule
from pipemodel.checks.datums import Datum, SetOutPlace, datums
from pipemodel.drawing.annotate import name_ends, name_things, number_bends
from pipemodel.drawing.arrange import Group, Tree, placed, size_of
from pipemodel.drawing.clipping import ClipWindow
from pipemodel.drawing.details import draw_details
from pipemodel.drawing.falls import mark_falls
from pipemodel.drawing.general import NOTE_HEIGHT, SHEETS, TITLE_HEIGHT, shown_room, shown_window, view_words
from pipemodel.drawing.layout import SCALES, TITLE_MM
from pipemodel.drawing.lettering import width_of
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
LINE_MM = 5.0
"""From a view to its dimension line."""
GAP_MM = 4.0
LARGER = 1.15
DOT_MM, HOLE_MM = 0.6, 1.2
_FRONT, _PLAN, _TABLE = range(3)
_COLUMN = Group("column", (_FRONT, _PLAN))
_TREES: tuple[tuple[Tree, bool], ...] = (
    (Group("row", (_COLUMN, _TABLE)), True),
    (Group("column", (_FRONT, _PLAN, _TABLE)), True),
    (Group("column", (_FRONT, Group("row", (_PLAN, _TABLE)))), False),
    (Group("column", (Group("row", (_FRONT, _PLAN)), _TABLE)), False),
    (Group("row", (_FRONT, Group("column", (_PLAN, _TABLE)))), False),
    (Group("row", (Group("column", (_FRONT, _TABLE)), _PLAN)), False),
    (Group("row", (_FRONT, _PLAN, _TABLE)), False),
)
"""How elevation, plan and table may share a sheet, and whether that is first angle projection."""


class _Row(NamedTuple):
    """Dimensions along one line: the places with their figures, from what, and whether some had no room."""

    marks: list[tuple[SetOutPlace, str]]
    datum: Datum
    upright: bool

    @property
    def deep(self) -> float:
        """How far the row reaches from its view, mm."""
        return LINE_MM + FIGURES_FROM_MM + max((width_of(text, FIGURE_MM) for _, text in self.marks), default=0.0)


class _Fit(NamedTuple):
    """How the views share a sheet."""

    size: FlatPoint
    scale: int
    cells: dict[int, ClipWindow]
    tables: list[DrawnTable]
    first_angle: bool
    filled: float


def setting_out_drawing(
    schedule: Schedule,
    places: Sequence[SetOutPlace],
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
        places: what is to be set out.
        front: what is seen from where the fitter stands.
        plan: what is seen from above.
        bounds: corners of the room's things with an end.
        titles: what the title block says.
        size: width and height of the sheet, mm; left out, the smallest that the views fill best.
        units: what lengths are read in.
    """
    planes, runs = datums(schedule), schedule.runs
    box = shown_room(runs, bounds)
    windows = [shown_window(seen.view, box, runs) for seen in (front, plan)]
    across, deep = (_datum_along(planes, front.view.right), _datum_along(planes, front.view.eye))
    ways = ((across, False), (planes[2], True), (deep, True))
    whole, fewer = (
        tuple(_row(of, datum, upright, units) for datum, upright in ways)
        for of in (places, [place for place in places if place.what not in ("clip", "hole")])
    )
    table = _table(places, planes, units)
    notes = (
        message("setting out.two", across=across.said, up=planes[2].said),
        message("setting out.one", deep=deep.said),
    )
    wide = [width_of(say(_more(note), units), NOTE_HEIGHT) + GAP_MM for note in notes]
    sizes = [size] if size else SHEETS
    fit, rows = _best([_fitted(one, windows, whole, wide, table, units) for one in sizes]), whole
    # On a small sheet the views come before the figures of clips and holes, which stand in the table as well.
    small = _fitted(fit.size, windows, fewer, wide, table, units)
    if small.scale < fit.scale:
        fit, rows = small, fewer
    sheet = Sheet(*fit.size, titles.title, factor=float(fit.scale))
    panels, outlines = [], []
    left = max(row.deep for row in rows[1:])
    for seen, number, window, note, its in zip(
        (front, plan), (_FRONT, _PLAN), windows, notes, (rows[:2], rows[2:]), strict=True
    ):
        cell = fit.cells[number]
        under = max((row.deep for row in its if not row.upright), default=2.0)
        area = ClipWindow(cell.left + left, cell.low + under, cell.right, cell.high - TITLE_MM)
        panel = Panel(sheet, seen.view, area, window, 1.0 / fit.scale)
        outlines.append((panel, draw_seen(panel, seen, runs)))
        panels.append(panel)
        said = [_dimension(panel, row) for row in its]
        _view_title(sheet, cell, view_words(seen, units), note if all(said) and rows is whole else _more(note), units)
    elevation, above = panels
    for run in runs:
        with sheet.of(run.name):
            number_bends((above, elevation), run, units, angles=False, named=len(runs) > 1)
            name_ends(panels, run, units, named=len(runs) > 1)
            mark_falls(panels, run, units)
    name_things(outlines)
    at, top = fit.cells[_TABLE].left, fit.cells[_TABLE].high
    for part in fit.tables:
        draw_table(sheet, part, at, top - part.size[1])
        at += part.size[0] + GAP_MM
    draw_details([(elevation, front), (above, plan)], runs, drawing_area(fit.size), fit.scale, units)
    draw_frame(sheet, titles, f"1:{fit.scale}", units, fit.first_angle)
    return sheet


def _view_title(sheet: Sheet, cell: ClipWindow, name: str, note: Message, units: Units) -> None:
    sheet.words(name, (cell.left, cell.high - TITLE_HEIGHT - 1.0), TITLE_HEIGHT, bold=True)
    sheet.words(say(note, units), (cell.left, cell.high - TITLE_HEIGHT - 4.5), NOTE_HEIGHT)


def _more(note: Message) -> Message:
    return message("setting out.more", note=note)


def _fitted(
    size: FlatPoint,
    windows: Sequence[ClipWindow],
    rows: Sequence[_Row],
    least: Sequence[float],
    table: DrawnTable,
    units: Units,
) -> _Fit:
    """Share a sheet among elevation, plan and table at the largest standard scale; `least` is how wide views are."""
    area = drawing_area(size)
    (front, plan), (across, *beside) = windows, rows
    left = max(row.deep for row in beside) + BESIDE_MM
    for n in SCALES:
        views = (
            (max(front.width / n + left, least[0]), front.height / n + across.deep + TITLE_MM + BESIDE_MM),
            (max(plan.width / n + left, least[1]), plan.height / n + TITLE_MM + BESIDE_MM),
        )
        for tables in _tables(table, area, units):
            listed = (sum(one.size[0] + GAP_MM for one in tables), tables[0].size[1] + GAP_MM)
            sizes = (*views, listed)
            for tree, first_angle in _TREES:
                wide, high = size_of(tree, sizes)
                if (wide <= area.width and high <= area.height) or n == SCALES[-1]:
                    drawn = (front.width * front.height + plan.width * plan.height) / n**2
                    filled = drawn / (area.width * area.height)
                    return _Fit(size, n, dict(placed(tree, sizes, area)), tables, first_angle, filled)
    raise AssertionError("the last scale is always taken")


def _tables(table: DrawnTable, area: ClipWindow, units: Units) -> Iterator[list[DrawnTable]]:
    """Yield the table as one, and parted into several abreast; what is higher than most of the sheet is cut."""
    for columns in (1, 2, 3):
        most = 0.6 * area.height
        whole = table.abreast(columns)
        if whole[0].size[1] <= most:
            yield whole
    yield table.no_higher_than(3.0 * 0.6 * area.height - 3.0 * 4.4, units).abreast(3)


def _best(fits: Sequence[_Fit]) -> _Fit:
    best = fits[0]
    for fit in fits[1:]:
        rows = [sum(len(table.rows) for table in one.tables) for one in (fit, best)]
        if fit.filled > LARGER * best.filled or rows[0] > rows[1]:
            best = fit
    return best


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
    room = int((high - low + 2.0 * BESIDE_MM) / STEP_MM)
    shown_figures = list(dict.fromkeys(text for _, text in row.marks))[:room]
    marks = [Mark(panel.at(place.point), text) for place, text in row.marks if text in shown_figures]
    before = len(sheet.items)
    for place, text in row.marks:
        if place.what in ("clip", "hole") and text in shown_figures:
            _symbol(panel, place)
    line_at = (window.left if row.upright else window.low) - LINE_MM
    running(sheet, marks, line_at, within, within if abs(within - origin) > 1e-6 else within + 1.0, row.upright)
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
