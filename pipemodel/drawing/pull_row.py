"""Pictures of a pull side by side in a row, as large as the width of the card and their labels allow."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from math import hypot

from pipemodel.drawing.clipping import ClipWindow
from pipemodel.drawing.panel import Panel
from pipemodel.drawing.placing import box_of
from pipemodel.drawing.primitives import Circle, Line, Primitive, Role, Text
from pipemodel.drawing.sheet import Sheet
from pipemodel.geometry.view import View

SIDE, FOOT, TITLE = 1.0, 8.0, 5.0
"""Kept free of labels beside a picture, at its foot and for its title."""
MOST_HIGH = 70.0
"""Height of a row at most."""
LEAST_HIGH = 34.0
LARGEST = 0.9
"""Mm of the drawing to a mm of the piece, at most."""
WELL_FILLED = 0.92
"""A row that uses so much of the width is wide enough."""
GOOD = 12.0
"""A row with no worse faults is taken at once."""
ENOUGH = 3
"""After so many tries a row with all its labels is taken."""
PADS = (
    *((3.0, 4.0), (3.0, 9.0), (3.0, 16.0), (8.0, 9.0), (8.0, 16.0)),
    *((14.0, 9.0), (14.0, 16.0), (22.0, 16.0), (22.0, 22.0)),
)
"""Room tried for labels beside what is drawn, and above and below it; mm."""


@dataclass(frozen=True)
class RowPicture:
    """A picture to draw: from where it is seen, what of that view it takes, mm of the bender, and how it is drawn.

    `draw` returns how many of its labels found no place.
    """

    view: View
    around: ClipWindow
    draw: Callable[[Panel], int]


@dataclass
class Row:
    """Pictures drawn side by side on a sheet of their own; `edges` are where they meet, sides of the sheet included."""

    sheet: Sheet
    edges: tuple[float, ...]
    missing: int = 0
    led: float = 0.0
    free: float = field(default=0.0)
    """Share of the width that is not used though there was height for more."""

    @property
    def faults(self) -> float:
        """How bad it is: labels left out weigh most, then width not used, then long lines to labels."""
        return 100.0 * self.missing + 60.0 * self.free + 2.0 * self.led


def row_of(pictures: Sequence[RowPicture], width: float, most_high: float) -> Row:
    """Draw pictures side by side, all to one scale: the largest at which their labels find places near by."""
    best: Row | None = None
    for tried, (beside, above) in enumerate(PADS, 1):
        row = _drawn(pictures, width, most_high, beside, above)
        if best is None or row.faults < best.faults:
            best = row
        if best.faults < GOOD or (tried >= ENOUGH and not best.missing):
            break
    assert best is not None
    return best


def _drawn(pictures: Sequence[RowPicture], width: float, most_high: float, beside: float, above: float) -> Row:
    edge, over = 2.0 * (SIDE + beside), TITLE + FOOT + 2.0 * above
    wide, high = sum(p.around.width for p in pictures), max(p.around.height for p in pictures)
    by_width = (width - len(pictures) * edge) / wide
    k = min(by_width, (most_high - over) / high, LARGEST)
    spare = (by_width - k) * wide / len(pictures)
    sheet = Sheet(width, max(over + k * high, LEAST_HIGH))
    edges, missing = [0.0], 0
    for picture in pictures:
        left, right = edges[-1], edges[-1] + k * picture.around.width + edge + spare
        area = ClipWindow(left + SIDE, FOOT, right - SIDE, sheet.height - TITLE)
        missing += picture.draw(Panel(sheet, picture.view, area, picture.around, k))
        edges.append(right)
    row = Row(sheet, tuple(edges), missing)
    items = list(sheet.primitives())
    row.led = sum(_led(item) for item, then in pairwise(items) if isinstance(then, Text | Circle))
    if k == by_width:
        sides = [side for item in items for side in _sides(item)]
        row.free = max(0.0, WELL_FILLED - (max(sides) - min(sides)) / width)
    return row


def _led(item: Primitive) -> float:
    """Return how long a line is, in cm, that leads to what is drawn next."""
    if not isinstance(item, Line) or item.role is not Role.PAPER or len(item.points) != 2:
        return 0.0
    (x, y), (u, v) = item.points
    return hypot(u - x, v - y) / 10.0


def _sides(item: Primitive) -> tuple[float, float]:
    """Return how far to the left and to the right something reaches."""
    if isinstance(item, Circle):
        return item.centre[0] - item.radius, item.centre[0] + item.radius
    xs = [p[0] for p in (box_of(item, 0.0) if isinstance(item, Text) else item.points)]
    return min(xs), max(xs)
