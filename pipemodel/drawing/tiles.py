"""A sheet cut into pages that overlap."""

from dataclasses import dataclass
from math import ceil

from pipemodel.drawing.clipping import ClipWindow, clip
from pipemodel.drawing.placing import box_of
from pipemodel.drawing.primitives import Circle, Line, Primitive, Text
from pipemodel.drawing.sheet import Sheet


@dataclass(frozen=True)
class Tile:
    """One page of a sheet too large for it: where its lower left corner lies on the sheet, row and column."""

    left: float
    low: float
    row: int
    column: int


def tiles(sheet: Sheet, width: float, height: float, overlap: float = 10.0) -> list[Tile]:
    """Cover a sheet with pages of usable size `width` by `height` mm; pages with nothing on them are left out."""
    step_x, step_y = width - overlap, height - overlap
    columns = max(1, ceil((sheet.width - overlap) / step_x - 1e-9))
    rows = max(1, ceil((sheet.height - overlap) / step_y - 1e-9))
    pages = [Tile(c * step_x, r * step_y, r + 1, c + 1) for r in range(rows) for c in range(columns)]
    if len(pages) == 1:
        return pages
    items = list(sheet.primitives())
    return [page for page in pages if any(_touches(item, page, width, height) for item in items)]


def words_cut(sheet: Sheet, width: float, height: float, overlap: float = 10.0) -> int:
    """Return how many lines of words no page has whole; see `tiles`."""
    pages = tiles(sheet, width, height, overlap)
    windows = [ClipWindow(page.left, page.low, page.left + width, page.low + height) for page in pages]
    boxes = [box_of(item, 0.0) for item in sheet.primitives() if isinstance(item, Text)]
    return sum(not any(all(map(window.holds, box)) for window in windows) for box in boxes)


def _touches(item: Primitive, tile: Tile, width: float, height: float) -> bool:
    window = ClipWindow(tile.left, tile.low, tile.left + width, tile.low + height)
    if isinstance(item, Line):
        return any(clip(a, b, window) for a, b in zip(item.points, item.points[1:], strict=False))
    if isinstance(item, Circle):
        return window.holds(item.centre)
    return any(window.holds(p) for p in box_of(item))
