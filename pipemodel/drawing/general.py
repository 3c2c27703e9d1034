"""The general drawing: plan, two elevations and an isometric of runs in their room, with a table of points.

Views take the places of first angle projection where the sheet allows, and each says from where it is seen, so that
nobody has to know which projection is meant (ISO 5456-2, ISO 128-3). Legs are dimensioned from corner to corner of
the centreline, as pipelines are (ISO 6412-1), each once, in a view that shows it in true length; scales follow
ISO 5455, dimension lines ISO 129-1, line types ISO 128-2. These are named from memory of the standards.
"""

from collections.abc import Iterator, Sequence
from contextlib import ExitStack, contextmanager
from typing import NamedTuple

from pipemodel.bending.bends import corners_of
from pipemodel.bending.schedule import SolvedRun
from pipemodel.drawing.annotate import (
    LONGEST_NAME,
    NAME_MM,
    at_words,
    dimension_legs,
    name_ends,
    name_run,
    name_things,
    number_bends,
    point_out,
)
from pipemodel.drawing.clipping import ClipWindow
from pipemodel.drawing.details import draw_details
from pipemodel.drawing.falls import mark_falls
from pipemodel.drawing.labels import REACH_MM
from pipemodel.drawing.layout import TITLE_MM, Block, Fit, InLine, shared, stand_in_line, widened
from pipemodel.drawing.lettering import width_of
from pipemodel.drawing.openings import dimension_openings, outline_openings, with_openings
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
from pipemodel.messages.units import Units, units_for
from pipemodel.messages.values import Count, Name, Word, listed
from pipemodel.pulls.plan import Plan
from pipemodel.wording.safe_text import shown

AROUND_MM, GAP_MM = 9.0, 3.0
"""Room round a view for its dimensions and labels, and beside a table."""
LEAST_MM = (38.0, 38.0, 38.0, 75.0)
"""Front, side, plan and isometric are given as much in width, or what their titles need."""
TITLE_HEIGHT, NOTE_HEIGHT = 3.0, 2.2
MOST_NAMES = 3
MOST_DIMENSIONED = 3
"""With more runs than this on one drawing, legs and angles are left to each run's own drawing."""
MOST_NUMBERED = 8
"""And with more than this the numbers of the bends, and where its ends are, which the table tells."""
ROOM_SHARE, LEAST_ROOM_MM = 0.15, 150.0
"""How far beyond the runs the room is shown: this share of their size, but no more than half of it along any axis;
the other is no less than is shown."""


_FRONT, _SIDE, _PLAN, _ISOMETRIC, _TABLE = range(5)
SPLITS = (
    ((_FRONT, _SIDE, _PLAN, _ISOMETRIC, _TABLE),),
    ((_FRONT, _PLAN), (_SIDE, _ISOMETRIC, _TABLE)),
    ((_FRONT, _PLAN, _TABLE), (_SIDE, _ISOMETRIC)),
    ((_FRONT, _SIDE, _PLAN), (_ISOMETRIC, _TABLE)),
    ((_FRONT, _SIDE), (_PLAN, _ISOMETRIC, _TABLE)),
)
"""All views on one sheet, or parted over two where they are then drawn larger."""
_FIRST_ANGLE = (InLine(_FRONT, _SIDE, "row"), InLine(_FRONT, _PLAN, "column"))


class GeneralPlan(NamedTuple):
    """What a general drawing shows of runs, and how it is shared among its sheets."""

    runs: Sequence[SolvedRun]
    views: Views
    windows: Sequence[ClipWindow]
    table: DrawnTable
    openings: Sequence[Opening]
    bounds: Sequence[Vec3]
    fits: list[Fit]


def plan_general(
    runs: Sequence[SolvedRun],
    views: Views,
    sizes: Sequence[FlatPoint],
    most: int,
    units: Units,
    bounds: Sequence[Vec3] = (),
    plan: Plan | None = None,
    openings: Sequence[Opening] = (),
) -> GeneralPlan:
    """Share four views of runs and room, and a table, among sheets.

    Args:
        runs: the runs to dimension.
        views: what is seen of them, and of the room's things where they should show.
        sizes: width and height of the sheets there are, mm; that is taken which the views fill best.
        most: how many sheets there may be.
        units: what lengths are read in.
        bounds: corners of the room's things with an end, to be shown too, near the runs.
        plan: of a single run, how it is pulled; None where that is not to be said.
        openings: by which runs are brought in, to be dimensioned.
    """
    box = with_openings(shown_room(runs, bounds), openings)
    windows = [shown_window(seen.view, box, runs) for seen in views]
    whole = _points(runs[0], units, plan) if len(runs) == 1 else _ends(runs, units)
    table = whole.no_higher_than(0.6 * max(drawing_area(size).height for size in sizes), units)
    around = (2.0 * AROUND_MM, 2.0 * AROUND_MM + TITLE_MM)
    blocks = {
        k: Block(
            (window.width, window.height),
            around,
            max(LEAST_MM[k], width_of(view_words(seen, units), TITLE_HEIGHT, bold=True)),
            own_scale=k == _ISOMETRIC,
        )
        for k, (seen, window) in enumerate(zip(views, windows, strict=True))
    }
    blocks[_TABLE] = Block((0.0, 0.0), (table.size[0] + GAP_MM, table.size[1] + GAP_MM))
    fits = shared([blocks], SPLITS if most > 1 else SPLITS[:1], sizes, _FIRST_ANGLE)
    return GeneralPlan(runs, views, windows, table, openings, bounds, fits)


def draw_general(made: GeneralPlan, titles: Sequence[Titles], units: Units) -> list[Sheet]:
    """Draw the sheets of a general drawing; `titles` has what the title block of each says."""
    runs, views = made.runs, made.views
    sheets = [Sheet(*fit.size, its.title, factor=float(fit.scale)) for fit, its in zip(made.fits, titles, strict=True)]
    panels: dict[int, Panel] = {}
    outlines: dict[int, tuple[Panel, dict[str, list[FlatPoint]]]] = {}
    for sheet, fit in zip(sheets, made.fits, strict=True):
        for k, seen in enumerate(views):
            if k not in fit.cells:
                continue
            cell, n = _place(fit, k, views), fit.own_scale if k == _ISOMETRIC else fit.scale
            _view_title(sheet, seen, cell, f"1:{n}" if n != fit.scale else "", units)
            area = cell._replace(high=cell.high - TITLE_MM)
            # What of the sheet is left over shows more of the room.
            free = (n * (area.width - 2.0 * AROUND_MM), n * (area.height - 2.0 * AROUND_MM))
            window = widened(made.windows[k], seen.view, [] if seen.view.isometric else made.bounds, free)
            panels[k] = Panel(sheet, seen.view, area, window, 1.0 / n, AROUND_MM)
            outlines[k] = panels[k], draw_seen(panels[k], seen, runs)
    outline_openings([panels[k] for k in range(4)], made.openings)
    # In the order of preference.
    in_turn = [panels[k] for k in (_PLAN, _FRONT, _SIDE, _ISOMETRIC)]
    few = len(runs) <= MOST_DIMENSIONED
    for run in runs:
        with owned(sheets, run.name):
            if few:
                dimension_legs(in_turn[:3], run, units)
                mark_falls([panels[k] for k in (_FRONT, _SIDE, _PLAN)], run, units)
            if len(runs) <= MOST_NUMBERED:
                number_bends(in_turn, run, units, angles=few, named=len(runs) > 1)
                name_ends(in_turn, run, units, named=len(runs) > 1)
            else:
                name_run(in_turn, run)
    dimension_openings(in_turn, made.openings, units)
    name_things([outlines[k] for k in (_PLAN, _FRONT, _SIDE)])
    # Lines alone do not tell what they are of where a thing is seen aslant.
    point_out(*outlines[_ISOMETRIC], NAME_MM, REACH_MM)
    for sheet, fit, its in zip(sheets, made.fits, titles, strict=True):
        if _TABLE in fit.cells:
            place = _place(fit, _TABLE, views)
            draw_table(sheet, made.table, place.left, place.low)
        if few:
            seen_flat = [(panels[k], views[k]) for k in (_PLAN, _FRONT, _SIDE) if k in fit.cells]
            draw_details(seen_flat, runs, units)
        first_angle = all(stand_in_line(fit.cells, pair) for pair in _FIRST_ANGLE)
        draw_frame(sheet, its, f"1:{fit.scale}", units, first_angle)
    return sheets


@contextmanager
def owned(sheets: Sequence[Sheet], run: str) -> Iterator[None]:
    """Let what is drawn meanwhile on some sheets belong to a run."""
    with ExitStack() as all_of_them:
        for sheet in sheets:
            all_of_them.enter_context(sheet.of(run))
        yield


def _place(fit: Fit, k: int, views: Views) -> ClipWindow:
    """Return the place of a block on its sheet: what is seen from the right lies to the left of a front in its row."""
    cell, area = fit.cells[k], drawing_area(fit.size)
    from_right = dot(views.side.view.eye, views.front.view.right) > 0.0
    if not (from_right and stand_in_line(fit.cells, _FIRST_ANGLE[0])):
        return cell
    both = area.left + area.right
    return cell._replace(left=both - cell.right, right=both - cell.left)


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
        rows.append((name, *(units.short(c) for c in point), leg, angle, pull))
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
