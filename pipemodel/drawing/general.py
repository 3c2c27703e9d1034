"""The general drawing: plan, two elevations and an isometric of runs in their room, with a table of points.

Views take the places of first angle projection where the sheet allows, and each says from where it is seen, so that
nobody has to know which projection is meant (ISO 5456-2, ISO 128-3). Legs are dimensioned from corner to corner of
the centreline, as pipelines are (ISO 6412-1), each once, in a view that shows it in true length; scales follow
ISO 5455, dimension lines ISO 129-1, line types ISO 128-2. These are named from memory of the standards.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from pipemodel.bending.bends import corners_of
from pipemodel.bending.schedule import SolvedRun
from pipemodel.drawing.annotate import (
    LONGEST_NAME,
    at_words,
    dimension_legs,
    name_ends,
    name_run,
    name_thing,
    number_bends,
)
from pipemodel.drawing.clipping import ClipWindow
from pipemodel.drawing.layout import TITLE_MM, lay_out
from pipemodel.drawing.lettering import width_of
from pipemodel.drawing.openings import dimension_openings, outline_openings
from pipemodel.drawing.panel import Panel, corners_of_bends, draw_seen
from pipemodel.drawing.primitives import FlatPoint, Role
from pipemodel.drawing.projection import Seen, Views
from pipemodel.drawing.sheet import Sheet
from pipemodel.drawing.tables import DrawnTable, draw_table
from pipemodel.drawing.tape_line import roll_words
from pipemodel.geometry.vectors import Vec3, distance
from pipemodel.geometry.view import View
from pipemodel.job.model import Opening
from pipemodel.messages.say import say, words
from pipemodel.messages.units import MM, Units, units_for
from pipemodel.messages.values import Count, Name, Word, listed
from pipemodel.pulls.plan import Plan
from pipemodel.wording.cautions import short_caution
from pipemodel.wording.safe_text import shown

A3 = (420.0, 297.0)
TITLE_HEIGHT, NOTE_HEIGHT = 3.0, 2.2
MOST_NAMES = 3
EDGE, FOOT, INSIDE = 10.0, 15.5, 3.0
MOST_DIMENSIONED = 3
"""With more runs than this on one drawing, legs and angles are left to each run's own drawing."""
MOST_NUMBERED = 8
"""And with more than this the numbers of the bends, and where its ends are, which the table tells."""
ROOM_SHARE = 0.15
"""How far beyond the runs, as a share of their size, the room is shown."""


@dataclass(frozen=True)
class Titles:
    """What the title block says: what is drawn, of which job, and which state of it."""

    title: str
    job: str = ""
    state: str = ""


def general_drawing(
    runs: Sequence[SolvedRun],
    views: Views,
    titles: Titles,
    size: FlatPoint = A3,
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
        size: width and height of the sheet, mm.
        units: what lengths are read in.
        bounds: corners of the room's things with an end, to be shown too, near the runs.
        plan: of a single run, how it is pulled; None where that is not to be said.
        openings: by which runs are brought in, to be dimensioned.
    """
    windows = [window_on(seen.view, runs, bounds) for seen in views]
    area = ClipWindow(EDGE + INSIDE, EDGE + FOOT + INSIDE, size[0] - EDGE - INSIDE, size[1] - EDGE - INSIDE)
    table = (_points(runs[0], units, plan) if len(runs) == 1 else _ends(runs, units)).no_higher_than(
        area.height * 0.6, units
    )
    sizes = [(w.width, w.height) for w in windows]
    front_title, side_title, plan_title, _ = (width_of(_title(seen, units), TITLE_HEIGHT, bold=True) for seen in views)
    layout = lay_out(area, sizes[0], sizes[1], sizes[2], sizes[3], table.size, (front_title, side_title, plan_title))
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
        if few:
            dimension_legs((above, front, side), run, units)
        if len(runs) <= MOST_NUMBERED:
            number_bends((above, front, side, isometric), run, units, angles=few)
            name_ends((above, front, side, isometric), run, units, named=len(runs) > 1)
        else:
            name_run((above, front, side, isometric), run)
    dimension_openings((above, front, side, isometric), openings, units)
    # In the order of preference, which is that of the panels here.
    outlines = [outlines[i] for i in (2, 0, 1, 3)]
    for thing in dict.fromkeys(thing for _, drawn in outlines for thing in drawn):
        name_thing(thing, [(panel, drawn[thing]) for panel, drawn in outlines if thing in drawn])
    draw_table(sheet, table, layout.table.left, layout.table.low)
    title_block(sheet, titles, layout.scale, units)
    return sheet


def _title(seen: Seen, units: Units) -> str:
    """Return from where a view is seen."""
    return words(units, "word", word=Word(seen.view.title))


def _view_title(sheet: Sheet, seen: Seen, cell: ClipWindow, scale: str, units: Units) -> None:
    """Write over a view from where it is seen, its scale where that is not the sheet's, and what is left out."""
    left, top = cell.left, cell.high - TITLE_HEIGHT - 1.0
    sheet.words(_title(seen, units), (left, top), TITLE_HEIGHT, bold=True)
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


def window_on(view: View, runs: Sequence[SolvedRun], bounds: Iterable[Vec3]) -> ClipWindow:
    """What of a view is worth showing: the runs, and the room near them; mm of the room."""
    flat = [view.flat(p) for run in runs for p in corners_of(run.table)[0]]
    tube = max(run.tube.outside_mm for run in runs)
    tight = ClipWindow.around(flat, tube)
    reach = ROOM_SHARE * max(tight.width, tight.height) + 2.0 * tube
    room = ClipWindow.around([*flat, *(view.flat(p) for p in bounds)], tube)
    return ClipWindow(
        max(room.left, tight.left - reach),
        max(room.low, tight.low - reach),
        min(room.right, tight.right + reach),
        min(room.high, tight.high + reach),
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


def title_block(sheet: Sheet, titles: Titles, scale: int, units: Units) -> None:
    """Draw the frame of a sheet and its title block."""
    w, h = sheet.width, sheet.height
    sheet.line([(EDGE, EDGE), (w - EDGE, EDGE), (w - EDGE, h - EDGE), (EDGE, h - EDGE)], Role.OUTLINE, closed=True)
    top = EDGE + FOOT
    sheet.line([(EDGE, top), (w - EDGE, top)], Role.OUTLINE)
    sheet.words(shown(titles.title, 60), (EDGE + 3.0, EDGE + 10.1), 3.5, bold=True)
    sheet.words(shown(titles.job, 90), (EDGE + 3.0, EDGE + 5.5), 2.5)
    right = w - EDGE - 3.0
    sheet.words(words(units, "drawing.scale", scale=Count(scale)), (right, EDGE + 10.1), 3.5, "right", bold=True)
    said = words(units, "drawing.lengths", unit=Name(units.unit, quoted=False))
    sheet.words(said, (right, EDGE + 5.5), 2.2, "right")
    sheet.words(short_caution(units), (EDGE + 3.0, EDGE + 1.7), 2.0)
    sheet.words(shown(titles.state, 60), (right - 40.0, EDGE + 10.1), 2.5, "right")
