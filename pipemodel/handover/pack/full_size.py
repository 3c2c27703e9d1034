"""Pages at full size: templates cut into tiles with overlap, crop marks and a bar to measure before trusting them."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from pipemodel.bending.schedule import SolvedRun
from pipemodel.handover.drawing.sheet import Role, Sheet
from pipemodel.handover.drawing.templates import angle_card, planar_stretches, template, tiles, wrap_strips
from pipemodel.handover.plain import shown

MARGIN = 12.0
FOOT = 16.0
OVERLAP = 10.0


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


def full_size_pages(solved: SolvedRun, page: tuple[float, float]) -> Iterator[FullPage]:
    """Lay out every template of a run: its planar stretches, a card for each angle, and its wrap.

    Args:
        solved: the run.
        page: width and height of the paper, mm.
    """
    if not solved.table.bends:
        return
    window = (MARGIN, MARGIN + FOOT, page[0] - 2 * MARGIN, page[1] - 2 * MARGIN - FOOT)
    for stretch in planar_stretches(solved):
        yield from tiled(template(solved, stretch), window)
    angles = sorted({round(bend.angle_deg, 1) for bend in solved.table.bends})
    yield from _stacked([angle_card(solved, angle) for angle in angles], window)
    yield from _stacked(list(wrap_strips(solved, window[2] - 24.0)), window)


def tiled(sheet: Sheet, window: tuple[float, float, float, float]) -> Iterator[FullPage]:
    """Cut a sheet into pages; `window` is where on the page may be drawn: left, low, width and height, mm."""
    left, low, width, height = window
    pages = tiles(sheet, width, height, OVERLAP)
    for tile in pages:
        frame = Sheet(width, height)
        _crop_marks(frame)
        place = f"row {tile.row}, column {tile.column}; {len(pages)} pages in all" if len(pages) > 1 else "one page"
        yield FullPage(
            (
                Placed(sheet, left - tile.left, low - tile.low, clipped=True),
                Placed(frame, left, low),
                Placed(_foot(f"{shown(sheet.title, 80)}: {place}", width), left, low - FOOT),
            ),
            window,
        )


def _stacked(sheets: Sequence[Sheet], window: tuple[float, float, float, float]) -> Iterator[FullPage]:
    """Lay small sheets one above the other, as many to a page as go on it."""
    left, low, width, height = window
    placed: list[Placed] = []
    room = height
    for sheet in sheets:
        if sheet.height > room and placed:
            yield FullPage((*placed, Placed(_foot(placed[0].sheet.title, width), left, low - FOOT)), window)
            placed, room = [], height
        room -= sheet.height
        placed.append(Placed(sheet, left, low + room))
        room -= 4.0
    if placed:
        yield FullPage((*placed, Placed(_foot(placed[0].sheet.title, width), left, low - FOOT)), window)


def _crop_marks(frame: Sheet) -> None:
    w, h, o = frame.width, frame.height, OVERLAP / 2.0
    for x in (o, w - o):
        for y, inward in ((0.0, 4.0), (h, -4.0)):
            frame.line([(x, y), (x, y + inward)], Role.PAPER)
    for y in (o, h - o):
        for x, inward in ((0.0, 4.0), (w, -4.0)):
            frame.line([(x, y), (x + inward, y)], Role.PAPER)


def _foot(text: str, width: float) -> Sheet:
    """The bar to measure, in black and white centimetres, and what the page is."""
    foot = Sheet(width, FOOT)
    for k in range(10):
        square = [(10.0 * k, 5.5), (10.0 * k + 10.0, 5.5), (10.0 * k + 10.0, 7.5), (10.0 * k, 7.5)]
        foot.line(square, Role.DIMENSION, closed=True, filled=bool(k % 2))
        foot.line(square, Role.DIMENSION, closed=True)
    foot.words("100 mm: measure this bar; if it is not 100 long, print again at 100 %", (0.0, 1.5), 2.2)
    foot.words(shown(text, 110), (0.0, 10.0), 2.5)
    return foot
