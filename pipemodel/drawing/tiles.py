"""A sheet cut into pages that overlap."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil

from pipemodel.drawing.clipping import ClipWindow, clip
from pipemodel.drawing.placing import box_of
from pipemodel.drawing.primitives import Circle, FlatPoint, Line, Primitive, Text
from pipemodel.drawing.sheet import Sheet


@dataclass(frozen=True)
class Tile:
    """One page of a sheet too large for it: where its lower left corner lies on the sheet, row and column."""

    left: float
    low: float
    row: int
    column: int


def tiles(sheet: Sheet, width: float, height: float, overlap: float = 10.0) -> list[Tile]:
    """Cover a sheet with pages of usable size `width` by `height` mm.

    Pages are left out that have nothing on them, or nothing but what their neighbours have in the overlap.
    """
    step_x, step_y = width - overlap, height - overlap
    columns = max(1, ceil((sheet.width - overlap) / step_x - 1e-9))
    rows = max(1, ceil((sheet.height - overlap) / step_y - 1e-9))
    pages = [Tile(c * step_x, r * step_y, r + 1, c + 1) for r in range(rows) for c in range(columns)]
    if len(pages) == 1:
        return pages
    items = list(sheet.primitives())
    windows = {page: _window(page, width, height) for page in pages}
    touched = {page: [item for item in items if _touches(item, windows[page])] for page in pages}
    kept = [page for page in pages if touched[page]]
    for page in kept[::-1]:
        others = [windows[other] for other in kept if other is not page]
        if all(_elsewhere(item, windows[page], others) for item in touched[page]):
            kept.remove(page)
    return kept


def words_cut(sheet: Sheet, width: float, height: float, overlap: float = 10.0) -> int:
    """Return how many lines of words no page has whole; see `tiles`."""
    windows = [_window(page, width, height) for page in tiles(sheet, width, height, overlap)]
    boxes = [box_of(item, 0.0) for item in sheet.primitives() if isinstance(item, Text)]
    return sum(not any(all(map(window.holds, box)) for window in windows) for box in boxes)


def _window(page: Tile, width: float, height: float) -> ClipWindow:
    return ClipWindow(page.left, page.low, page.left + width, page.low + height)


def _elsewhere(item: Primitive, window: ClipWindow, others: Sequence[ClipWindow]) -> bool:
    """Tell whether what a page shows of a line is on another one too, and words are there whole."""
    parts: list[Sequence[FlatPoint] | None]
    if isinstance(item, Circle):
        return False
    if isinstance(item, Line):
        parts = [clip(a, b, window) for a, b in zip(item.points, item.points[1:], strict=False)]
    else:
        parts = [box_of(item, 0.0)]
    return all(any(all(map(other.holds, part)) for other in others) for part in parts if part)


def _touches(item: Primitive, window: ClipWindow) -> bool:
    if isinstance(item, Line):
        return any(clip(a, b, window) for a, b in zip(item.points, item.points[1:], strict=False))
    if isinstance(item, Circle):
        return window.holds(item.centre)
    return any(window.holds(p) for p in box_of(item))
