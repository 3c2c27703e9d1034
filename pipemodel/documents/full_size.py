"""Pages at full size: templates cut into tiles with overlap, crop marks and bars to measure before trusting them."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from math import inf
from typing import Any, NamedTuple, TypeVar

from pipemodel.bending.schedule import SolvedRun
from pipemodel.drawing.clipping import ClipWindow
from pipemodel.drawing.lettering import fitting, width_of
from pipemodel.drawing.pdf import POINT_MM, draw_on
from pipemodel.drawing.placing import Placer
from pipemodel.drawing.primitives import Align, FlatPoint, Role, Text
from pipemodel.drawing.sheet import Sheet
from pipemodel.drawing.templates import angle_cards, best_template, lacks_card, planar_stretches
from pipemodel.drawing.tiles import Tile, tiles
from pipemodel.drawing.wrap import MARGIN_MM as WRAP_MARGIN_MM
from pipemodel.drawing.wrap import wrap_strips
from pipemodel.messages.say import say, words
from pipemodel.messages.units import MM, Units
from pipemodel.messages.values import Count, message
from pipemodel.pulls.plan import Plan
from pipemodel.wording.rounding import marks_to_draw
from pipemodel.wording.safe_text import shown

MARGIN = 12.0
FOOT = 16.0
OVERLAP = 10.0
FOOT_LETTER_MM, LEAST_LETTER_MM = 2.5, 1.9
BAR_MM = 100.0
GAP = 3.0
ALONG_MM = (0.0, 20.0, -20.0, 40.0, -40.0, 60.0, -60.0)
"""So far from the middle of its edge stands what a page says of the next."""
_Thing = TypeVar("_Thing")


@dataclass(frozen=True)
class Placed:
    """A sheet on a page at full size: where its lower left corner lies, and whether the page's window clips it."""

    sheet: Sheet
    left: float
    low: float
    clipped: bool = False


@dataclass(frozen=True)
class FullPage:
    """One page at full size, and the window of it that may be drawn on: left, low, width, height in mm."""

    placed: tuple[Placed, ...]
    window: tuple[float, float, float, float]

    def draw_on(self, canvas: Any, fonts: tuple[str, str]) -> None:
        """Draw it on a page of a PDF."""
        for placed in self.placed:
            canvas.saveState()
            if placed.clipped:
                path = canvas.beginPath()
                path.rect(*(x * POINT_MM for x in self.window))
                canvas.clipPath(path, stroke=0, fill=0)
            draw_on(canvas, placed.sheet, placed.left, placed.low, fonts)
            canvas.restoreState()


class Template(NamedTuple):
    """A template's pages, and whether they have to be in a pack: nothing else judges a bend of it."""

    pages: list[FullPage]
    needed: bool
    flat_piece: bool
    """Whether it shows a whole piece of several bends."""


def templates_of(solved: SolvedRun, plan: Plan, page: FlatPoint, units: Units = MM) -> Iterator[Template]:
    """Lay out the templates of a run: a stretch of several bends in one plane, or a bend that no card can judge.

    A bend that lies in a plane of its own has nothing to show but its angle, which its card tells.

    Args:
        solved: the run.
        plan: its plan of pulls, which says where the marks go.
        page: width and height of the paper, mm.
        units: what lengths are read in.
    """
    window = _window(page)
    for stretch in planar_stretches(solved):
        alone = stretch.first == stretch.last
        if not alone or lacks_card(solved, stretch.first):
            sheet = best_template(solved, stretch, window[2:], OVERLAP, units, plan)
            needed = any(lacks_card(solved, bend) for bend in range(stretch.first, stretch.last + 1))
            whole = not alone and stretch.last - stretch.first + 1 == len(solved.table.bends)
            yield Template(list(tiled(sheet, window, units)), needed, whole)


def in_pack(templates: Sequence[Template], most: int) -> list[Template]:
    """Return those of some templates that go on so many pages, in their order; needed ones in any case.

    Whole flat pieces go first, for which a template tells everything, then what takes the fewest pages.
    """
    kept = {k for k, template in enumerate(templates) if template.needed}
    taken = sum(len(templates[k].pages) for k in kept)
    for k in sorted(range(len(templates)), key=lambda k: (not templates[k].flat_piece, len(templates[k].pages))):
        if k not in kept and taken + len(templates[k].pages) <= most:
            kept.add(k)
            taken += len(templates[k].pages)
    return [template for k, template in enumerate(templates) if k in kept]


def card_and_wrap_pages(
    runs: Sequence[tuple[SolvedRun, Plan]], page: FlatPoint, units: Units = MM
) -> Iterator[FullPage]:
    """Lay out the angle cards of a job, each once, and the wrap of every run.

    Args:
        runs: what is bent, each with its plan of pulls.
        page: width and height of the paper, mm.
        units: what lengths are read in.
    """
    window = _window(page)
    small = [*angle_cards([solved for solved, _ in runs], units)]
    for solved, plan in runs:
        if solved.table.bends:
            small += wrap_strips(solved, marks_to_draw(solved, plan), window[2] - 2.0 * WRAP_MARGIN_MM, units)
    yield from shelved(small, window, words(units, "full size.small"), units, words(units, "full size.wraps"))


def _window(page: FlatPoint) -> tuple[float, float, float, float]:
    """Return what of a page is drawn on: left, low, width and height, mm."""
    return (MARGIN, MARGIN + FOOT, page[0] - 2 * MARGIN, page[1] - 2 * MARGIN - FOOT)


def tiled(sheet: Sheet, window: tuple[float, float, float, float], units: Units = MM) -> Iterator[FullPage]:
    """Cut a sheet into pages; `window` is where on the page may be drawn: left, low, width and height, mm."""
    left, low, width, height = window
    pages = tiles(sheet, width, height, OVERLAP)
    there = Placer(ClipWindow(-inf, -inf, inf, inf))
    there.add(list(sheet.primitives()))
    places = {(tile.row, tile.column) for tile in pages}
    for number, tile in enumerate(pages, 1):
        place = message("full size.one")
        if len(pages) > 1:
            row, column = Count(tile.row), Count(tile.column)
            place = message("full size.of many", n=Count(number), all=Count(len(pages)), row=row, column=column)
        which = f": {say(place, units)}"
        title = shown(sheet.title)
        # A long name is written smaller before words are cut off.
        letters = FOOT_LETTER_MM * min(0.999 * width / width_of(title + which, FOOT_LETTER_MM, bold=True), 1.0)
        letters = max(letters, LEAST_LETTER_MM)
        foot = fitting(title, letters, width - width_of(which, letters, bold=True), bold=True)
        yield FullPage(
            (
                Placed(sheet, left - tile.left, low - tile.low, clipped=True),
                Placed(_frame(width, height, tile, places, there, units), left, low),
                *_foot(foot + which, width, left, low, units, letters=letters),
            ),
            window,
        )


def shelved(
    sheets: Sequence[Sheet], window: tuple[float, float, float, float], title: str, units: Units, note: str = ""
) -> Iterator[FullPage]:
    """Lay small sheets side by side and one row above the other, as many to a page as go on it."""
    left, low, width, height = window
    # The tallest first, so that rows are filled and few pages are taken.
    rows = _packed(sorted(sheets, key=lambda one: -one.height), lambda one: one.width, width)
    pages = _packed(rows, lambda row: row[0].height, height)
    for page in pages:
        placed, top = [], low + height
        for row in page:
            x = left
            for sheet in row:
                placed.append(Placed(sheet, x, top - sheet.height))
                x += sheet.width + GAP
            top -= row[0].height + GAP
        yield FullPage((*placed, *_foot(title, width, left, low, units, note)), window)


def _packed(things: Sequence[_Thing], size: Callable[[_Thing], float], room: float) -> list[list[_Thing]]:
    """Put each thing into the first row that has room for it."""
    rows: list[list[_Thing]] = []
    for thing in things:
        row = next((row for row in rows if sum(size(one) + GAP for one in row) + size(thing) <= room), None)
        if row is None:
            rows.append(row := [])
        row.append(thing)
    return rows


def _frame(width: float, height: float, tile: Tile, places: set[tuple[int, int]], there: Placer, units: Units) -> Sheet:
    """Crosses where pages are cut, and along each edge that joins another page which one it is.

    What is written lies in the overlap, which a page shares with its neighbour and is cut off one of the two; along its
    edge it lies where there is least of the template.
    """
    frame = Sheet(width, height)
    o = OVERLAP / 2.0
    for x in (o, width - o):
        for y in (o, height - o):
            frame.line([(x - o, y), (x + o, y)], Role.PAPER)
            frame.line([(x, y - o), (x, y + o)], Role.PAPER)
    joins = (
        ((0, -1), (o - 1.2, height / 2.0), 90.0),
        ((0, 1), (width - o + 3.0, height / 2.0), 90.0),
        ((-1, 0), (width / 2.0, o - 3.0), 0.0),
        ((1, 0), (width / 2.0, height - o + 1.2), 0.0),
    )
    for (rows, columns), at, angle in joins:
        row, column = tile.row + rows, tile.column + columns
        if (row, column) in places:
            beside = words(units, "full size.joins", row=Count(row), column=Count(column))
            style: tuple[float, Align, float] = (1.8, "centre", angle)
            up, across = (1.0, 0.0) if angle else (0.0, 1.0)
            along = [(at[0] + across * far, at[1] + up * far) for far in ALONG_MM]
            free = (
                p for p in along if there.cost([Text(beside, (p[0] + tile.left, p[1] + tile.low), *style)]) is not None
            )
            frame.words(beside, next(free, at), *style)
    return frame


def _foot(
    text: str,
    width: float,
    left: float,
    low: float,
    units: Units,
    note: str = "",
    letters: float = FOOT_LETTER_MM,
) -> tuple[Placed, Placed]:
    """What the page is, and two bars to measure, in black and white centimetres: one lying, one standing."""
    foot = Sheet(width, FOOT)
    _bar(foot, 5.5, lying=True)
    foot.words(words(units, "full size.bars"), (BAR_MM + 4.0, 5.4), 2.2)
    foot.words(text, (0.0, 10.0), letters, bold=True)
    foot.words(note, (0.0, 1.6), 2.0)
    side = Sheet(4.0, BAR_MM)
    _bar(side, 0.0, lying=False)
    return Placed(foot, left, low - FOOT), Placed(side, left - 5.0, low)


def _bar(sheet: Sheet, y: float, lying: bool) -> None:
    for k in range(10):
        a, b = BAR_MM / 10.0 * k, BAR_MM / 10.0 * (k + 1)
        box = [(a, 0.0), (b, 0.0), (b, 2.0), (a, 2.0)]
        points = [(p, y + q) if lying else (q, y + p) for p, q in box]
        sheet.line(points, Role.PAPER, closed=True, filled=bool(k % 2))
