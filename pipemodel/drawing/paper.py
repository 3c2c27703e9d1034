"""What the drawings of the building are made on: sheets with a frame, or figures of a page."""

from collections.abc import Sequence
from dataclasses import dataclass

from pipemodel.drawing.clipping import ClipWindow
from pipemodel.drawing.layout import A4, Block, shared
from pipemodel.drawing.lettering import wrapped
from pipemodel.drawing.primitives import FlatPoint
from pipemodel.drawing.sheet import Sheet
from pipemodel.drawing.title_block import Titled, draw_frame, drawing_area
from pipemodel.messages.units import Units

FIGURE_MM, TALLEST_MM, EDGE_MM = 100.0, 100.0, 1.0
"""The width of a figure, how tall what is to scale in it may be, and what is kept free round it."""
HEAD_MM, NOTE_MM, FIGURE_NOTE_MM = 3.0, 2.2, 2.4
"""Letters of the first line over a drawing, of those under it, and of all of them on a figure."""
LEADING = 1.5


@dataclass(frozen=True)
class Paper:
    """A sheet with frame and title block, or a figure of a page, as tall as it need be.

    `sizes` are the sheets there are, mm, the smaller first; `titled` returns what the title block says for a title,
    None for a figure. What is to be said of several figures alike the page says once, over them.
    """

    sizes: Sequence[FlatPoint] = (A4,)
    titled: Titled | None = None

    @property
    def wide_mm(self) -> float:
        """How wide what is drawn on it may be, on the narrowest of its sheets."""
        return min(drawing_area(size).width for size in self.sizes) if self.titled else FIGURE_MM - 2.0 * EDGE_MM

    @property
    def note_mm(self) -> float:
        """The height of the letters of notes."""
        return NOTE_MM if self.titled else FIGURE_NOTE_MM

    def begun(
        self, title: str, head: Sequence[str], wide: float, tall: float, around: FlatPoint = (0.0, 0.0)
    ) -> tuple[Sheet, ClipWindow]:
        """Return a sheet with the head of a drawing on it, and the room left under that.

        Args:
            title: what is drawn.
            head: the lines over it.
            wide: how wide it is, mm of the room.
            tall: how tall, mm of the room.
            around: what is needed beside, and above and below it, mm of the paper, both sides together.
        """
        letters = [HEAD_MM if self.titled and not n else self.note_mm for n in range(len(head))]
        lines = [(line, high) for text, high in zip(head, letters, strict=True)
                 for line in wrapped(text, high, self.wide_mm)]  # fmt: skip
        over = LEADING * sum(high for _, high in lines) + 2.0
        if self.titled:
            block = Block((wide, tall), (around[0], around[1] + over))
            (fit,) = shared([{0: block}], [((0,),)], self.sizes)
            area = drawing_area(fit.size)
            room = area._replace(high=area.high - over)
            sheet = Sheet(*fit.size, title, factor=float(fit.scale))
        else:
            k = min((self.wide_mm - around[0]) / wide, TALLEST_MM / tall)
            room = ClipWindow(EDGE_MM, EDGE_MM, FIGURE_MM - EDGE_MM, EDGE_MM + tall * k + around[1])
            sheet = Sheet(FIGURE_MM, room.high + over + EDGE_MM, title, factor=1.0 / k)
        y = room.high + over
        for line, high in lines:
            sheet.words(line, (room.left, y - high), high)
            y -= LEADING * high
        return sheet, room

    def ended(self, sheet: Sheet, units: Units) -> Sheet:
        """Return a sheet with its frame and title block, where it has them."""
        if self.titled:
            draw_frame(sheet, self.titled(sheet.title), f"1:{sheet.factor:.0f}", units, first_angle=False)
        return sheet
