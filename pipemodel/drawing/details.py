"""Details at a larger scale where bends crowd: a circle with a letter in the view, and "A (1:2)" where there is room.

As ISO 128-3 has enlarged details (from memory): what is enlarged lies in a thin circle with a capital letter, and is
drawn again with the letter and its scale over it.
"""

from collections.abc import Container, Sequence
from math import hypot, inf
from typing import NamedTuple

from pipemodel.bending.schedule import SolvedRun
from pipemodel.drawing.annotate import NAMED_MM, NUMBER_MM, dimension_legs, name_of_bend, number_bends
from pipemodel.drawing.clipping import ClipWindow
from pipemodel.drawing.dimension import Dimension
from pipemodel.drawing.labels import Label, LabelSpot, put_label
from pipemodel.drawing.layout import SCALES
from pipemodel.drawing.lettering import width_of
from pipemodel.drawing.panel import Panel, draw_seen
from pipemodel.drawing.primitives import FlatPoint, Role
from pipemodel.drawing.projection import Seen
from pipemodel.drawing.title_block import drawing_area
from pipemodel.drawing.white_space import WhiteSpace
from pipemodel.geometry.vectors import dot
from pipemodel.messages.units import Units

CROWDED_MM = 9.0
"""Bends nearer to each other on paper have no room for their numbers, angles and legs; common practice, no source."""
WELL_APART_MM = 20.0
"""In a detail they lie so far apart on paper, where the sheet has room for it."""
APART = 1.5
"""Bends nearer in the view than so many diameters of the tube lie one behind the other: no scale parts them."""
ASLANT = 0.5
"""A bend whose axis lies farther from the line of sight than this cosine is seen too slant to be worth a detail."""
LARGER = 2.0
"""A detail is drawn at least so much larger."""
MOST = 4
LETTERS = "ABCD"
PAD_MM, TITLE_MM, LETTER_MM = 11.0, 7.0, 3.0
"""Room within a detail about its bends, for its title, and the height of its letter."""
BESIDE_MM = 4.0
"""Room beside a number, for it to keep off the tube and the frame."""


class Crowd(NamedTuple):
    """Bends too near each other in a view: which of which runs, and a circle about them, mm of the view plane.

    `nearest_mm` is how far the two that are nearest to each other are apart.
    """

    bends: dict[str, set[int]]
    centre: FlatPoint
    radius: float
    nearest_mm: float


def crowds(panel: Panel, runs: Sequence[SolvedRun], done: Container[tuple[str, int]] = ()) -> list[Crowd]:
    """Return where bends crowd in a view, those with most bends first; of bends that are `done` none is a reason."""
    spots: list[tuple[str, int, FlatPoint, float, float]] = []
    for run in runs:
        for bend, arc in zip(run.table.bends, run.centreline.arcs, strict=True):
            ends = [panel.view.flat(arc.point_at(arc.length * share)) for share in (0.0, 0.5, 1.0)]
            reach = max(hypot(p[0] - ends[1][0], p[1] - ends[1][1]) for p in ends) + run.tube.outside_mm
            seen = abs(dot(arc.axis, panel.view.eye)) >= ASLANT and panel.shown.holds(ends[1])
            if seen and (run.name, bend.number) not in done:
                spots.append((run.name, bend.number, ends[1], reach, APART * run.tube.outside_mm))
    groups, nearest = list(range(len(spots))), [inf] * len(spots)
    for i, one in enumerate(spots):
        for j, other in enumerate(spots[:i]):
            far = hypot(one[2][0] - other[2][0], one[2][1] - other[2][1])
            if max(one[4], other[4]) <= far <= CROWDED_MM / panel.k:
                nearest[i], nearest[j] = min(nearest[i], far), min(nearest[j], far)
                old, new = groups[i], groups[j]
                groups = [new if group == old else group for group in groups]
    found = []
    for group in sorted(set(groups)):
        numbers = [i for i, its in enumerate(groups) if its == group]
        if len(numbers) < 2:
            continue
        members = [spots[i] for i in numbers]
        box = ClipWindow.around([spot[2] for spot in members])
        centre = ((box.left + box.right) / 2.0, (box.low + box.high) / 2.0)
        radius = max(hypot(s[2][0] - centre[0], s[2][1] - centre[1]) + s[3] for s in members)
        bends: dict[str, set[int]] = {}
        for name, number, *_ in members:
            bends.setdefault(name, set()).add(number)
        found.append(Crowd(bends, centre, radius, min(nearest[i] for i in numbers)))
    return sorted(found, key=lambda crowd: -sum(map(len, crowd.bends.values())))


def draw_details(panels: Sequence[tuple[Panel, Seen]], runs: Sequence[SolvedRun], units: Units) -> None:
    """Draw details of what crowds in some views of a sheet where that is still white.

    Args:
        panels: the views, all at the scale of the sheet, the best to take a detail from first.
        runs: whose bends are looked at.
        units: what lengths are read in.
    """
    done: set[tuple[str, int]] = set()
    white: WhiteSpace | None = None
    letters = iter(LETTERS[:MOST])
    for panel, seen in panels:
        sheet = panel.sheet
        for crowd in crowds(panel, runs, done):
            if white is None:
                white = WhiteSpace(drawing_area((sheet.width, sheet.height)))
                white.take(sheet.primitives())
            middle, ring = panel.on_sheet(crowd.centre), crowd.radius * panel.k
            found = _room_for(crowd, middle, white, sheet.factor, _beside(crowd, runs))
            letter = next(letters, "") if found is not None else ""
            if found is None or not letter:
                continue
            done |= {(name, number) for name, numbers in crowd.bends.items() for number in numbers}
            n, cell = found
            sheet.circle(middle, ring, Role.DIMENSION)
            panel.placer.add_stroke([(middle[0] + ring, middle[1]), (middle[0], middle[1] + ring)], faint=True)
            spot = LabelSpot(middle, (0.7071, 0.7071), ring)
            put_label(panel, Label(letter, LETTER_MM, bold=True), [spot], 30.0)
            _draw(panel, seen, crowd, runs, cell, (letter, n), units)
            white.take_box(cell)


def _beside(crowd: Crowd, runs: Sequence[SolvedRun]) -> float:
    """Return the room that the longest number of a crowd's bends needs beside them, mm."""
    named, several = [run for run in runs if run.name in crowd.bends], len(runs) > 1
    words = (f"{name_of_bend(run, number)}: 90\u00b0" for run in named for number in crowd.bends[run.name])
    wide = (width_of(text, NAMED_MM, bold=True) for text in words) if several else ()
    return max(*wide, width_of("10: 90\u00b0", NUMBER_MM, bold=True), 0.0) + BESIDE_MM - PAD_MM


def _room_for(
    crowd: Crowd, near: FlatPoint, white: WhiteSpace, scale: float, beside: float
) -> tuple[int, ClipWindow] | None:
    """Return the scale at which a crowd goes into a white part of the sheet, and where; None for none.

    It is the smallest that parts the bends well, or else the largest for which there is room; with so much more room
    `beside` it on both sides, mm, where there is that.
    """
    larger = [n for n in SCALES if n * LARGER <= scale]
    well = [n for n in larger if crowd.nearest_mm / n >= WELL_APART_MM]
    for n in (*reversed(well), *(n for n in larger if n not in well)):
        size = 2.0 * crowd.radius / n + 2.0 * PAD_MM
        for wide in (size + 2.0 * beside, size + beside, size):
            if (room := white.room((wide, size + TITLE_MM), near)) is not None:
                return n, room
    return None


def _draw(
    panel: Panel,
    seen: Seen,
    crowd: Crowd,
    runs: Sequence[SolvedRun],
    cell: ClipWindow,
    titled: tuple[str, int],
    units: Units,
) -> None:
    letter, n = titled
    sheet = panel.sheet
    sheet.words(f"{letter} (1:{n})", (cell.left, cell.high - LETTER_MM - 1.0), LETTER_MM, bold=True)
    (x, y), reach = crowd.centre, crowd.radius + PAD_MM * n / 2.0
    wide = reach + (cell.width - cell.height + TITLE_MM) * n / 2.0
    shown = ClipWindow(x - wide, y - reach, x + wide, y + reach)
    detail = Panel(sheet, panel.view, cell._replace(high=cell.high - TITLE_MM), shown, 1.0 / n)
    within = [run for run in runs if run.name in crowd.bends]
    draw_seen(detail, seen, within)
    around, window = detail.placer.window, detail.window
    x0, low, x1, high = window
    frame = [(x0, low), (x1, low), (x1, high), (x0, high)]
    detail.line(frame, Role.DIMENSION, closed=True)
    for run in within:
        with sheet.of(run.name):
            before = len(sheet.items)
            dimension_legs([detail], run, units, window)
            # A drawing program would measure them at the scale of the sheet; so they are lines and words.
            sheet.items[before:] = [
                part
                for item in sheet.items[before:]
                for part in (item.drawn() if isinstance(item, Dimension) else (item,))
            ]
            named, only = len(runs) > 1, crowd.bends[run.name]
            detail.placer.window = window
            left = number_bends([detail], run, units, named=named, only=only)
            left = number_bends([detail], run, units, angles=False, named=named, only=left)
            detail.placer.window = around
            number_bends([detail], run, units, named=named, only=left)
