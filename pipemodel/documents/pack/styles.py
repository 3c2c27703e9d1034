"""How the flowing sheets look: paragraphs, tables, drawings among the text."""

from collections.abc import Iterable, Sequence
from html import escape
from typing import Any

from pipemodel.drawing.pdf import POINT_MM, draw_on
from pipemodel.drawing.pdf_fonts import BOLD, PLAIN, legible
from pipemodel.drawing.sheet import Sheet

LONGEST = 200
"""Names longer than this are cut on paper; the job file has them whole."""
LONGEST_TEXT = 2000
BOX = "\u25a1"
LABEL_MM = 32.0
"""How wide labels are."""
SMALL = 8.5
"""Size of small letters, points."""
BLACK, GREY = (0.0, 0.0, 0.0), (0.5, 0.5, 0.5)
_PADDINGS = ("TOPPADDING", "BOTTOMPADDING", "LEFTPADDING", "RIGHTPADDING")


class Styles:
    """Paragraph styles and table looks of the pack, the width of its sheets in mm, and at what scale cards are drawn.

    On paper that is `low`, as US Letter is, two cards go on a page only with their lines and drawings a little closer.
    Findings have their `codes` where a designer reads them.
    """

    def __init__(self, width: float, low: bool = False, codes: bool = True) -> None:
        from reportlab.lib.styles import ParagraphStyle

        self.width, self.card_scale, self.codes = width, 0.8 if low else 0.85, codes
        self.fonts = (PLAIN, BOLD)
        shared = {"splitLongWords": 1, "wordWrap": None}
        self.body = ParagraphStyle("body", fontName=PLAIN, fontSize=10, leading=13.5, **shared)
        self.small = ParagraphStyle("small", fontName=PLAIN, fontSize=SMALL, leading=11.0 if low else 11.5, **shared)
        self.label = ParagraphStyle("label", fontName=BOLD, fontSize=9, leading=12, **shared)
        self.figure = ParagraphStyle("figure", fontName=BOLD, fontSize=10, leading=12.5, alignment=2, **shared)
        self.figure_small = ParagraphStyle("figure small", parent=self.figure, fontSize=8.5)
        self.cell = ParagraphStyle("cell", fontName=PLAIN, fontSize=9.5, leading=12, **shared)
        self.wrong = ParagraphStyle("wrong", fontName=BOLD, fontSize=10, leading=13.5, spaceBefore=4, **shared)
        self.title = ParagraphStyle(
            "title", fontName=BOLD, fontSize=18, leading=22, spaceAfter=4, keepWithNext=1, **shared
        )
        self.head = ParagraphStyle(
            "head", fontName=BOLD, fontSize=13, leading=17, spaceBefore=10, spaceAfter=3, keepWithNext=1, **shared
        )
        self.big = ParagraphStyle("big", fontName=BOLD, fontSize=14, leading=18, spaceBefore=3, spaceAfter=3, **shared)

    def words(self, text: str, style: str = "body", longest: int = LONGEST_TEXT) -> Any:
        """Return a paragraph of harmless text."""
        from reportlab.platypus import Paragraph

        return Paragraph(escape(legible(text, longest)), getattr(self, style))

    def name(self, text: str, style: str = "body") -> Any:
        """Return a name out of the job as a paragraph, cut if it is very long."""
        return self.words(text, style, LONGEST)

    def listed(self, texts: Iterable[str], style: str = "body") -> list[Any]:
        """Return texts as the lines of a list."""
        return [self.words(f"\u2022 {text}", style) for text in texts]

    def table(
        self,
        rows: Sequence[Sequence[Any]],
        widths: Sequence[float],
        numbers: Sequence[int] = (),
        size: float = 10,
    ) -> Any:
        """Return a ruled table, first row as its head, repeated on every page.

        Args:
            rows: cells: texts of our own, or paragraphs.
            widths: of the columns, mm.
            numbers: columns set to the right.
            size: of the letters, points.
        """
        look: list[tuple[Any, ...]] = [
            ("FONT", (0, 0), (-1, -1), PLAIN, size),
            ("FONT", (0, 0), (-1, 0), BOLD, size - 1),
            ("LINEBELOW", (0, 0), (-1, 0), 1.0, BLACK),
            ("LINEBELOW", (0, 1), (-1, -1), 0.4, GREY),
            ("VALIGN", (0, 0), (-1, 0), "BOTTOM"),
            *((side, (0, 0), (-1, -1), room) for side, room in zip(_PADDINGS, (1.5, 1.5, 3, 3), strict=True)),
        ]
        look += [("ALIGN", (c, 0), (c, -1), "RIGHT") for c in numbers]
        return _cells([list(r) for r in rows], widths, look, repeatRows=1)

    def facts(self, rows: Sequence[tuple[str, str]]) -> Any:
        """Return label and text, a line each, without rules."""
        cells = [[self.words(label, "label"), self.words(text)] for label, text in rows]
        look = [("LEFTPADDING", (0, 0), (-1, -1), 0), *((side, (0, 0), (-1, -1), 1) for side in _PADDINGS[:2])]
        return _cells(cells, (LABEL_MM, self.width - LABEL_MM), look)

    def beside(self, left: Sequence[Any], right: Sequence[Any], right_width: float) -> Any:
        """Return two columns side by side, `right_width` mm for the right one."""
        look = [*((side, (0, 0), (-1, -1), 0) for side in _PADDINGS), ("RIGHTPADDING", (0, 0), (0, 0), 9)]
        return _cells([[list(left), list(right)]], (self.width - right_width, right_width), look)

    def boxed(self, text: str) -> Any:
        """Return a line of text in a frame of its own."""
        look = [("BOX", (0, 0), (-1, -1), 1.2, BLACK), ("BOTTOMPADDING", (0, 0), (-1, -1), 6)]
        return _cells([[self.words(text, "big")]], (self.width,), look)

    def drawn(self, sheet: Sheet, scale: float = 1.0) -> Any:
        """Return a sheet as something that flows with the text, at full size or scaled."""
        from reportlab.platypus import Flowable

        fonts = self.fonts

        class Drawn(Flowable):  # type: ignore[misc]
            """A drawing in the flow."""

            def wrap(self, *_: float) -> tuple[float, float]:
                return sheet.width * POINT_MM * scale, sheet.height * POINT_MM * scale

            def draw(self) -> None:
                self.canv.scale(scale, scale)
                draw_on(self.canv, sheet, 0.0, 0.0, fonts)

        return Drawn()


def _cells(rows: Any, widths: Sequence[float], look: Sequence[tuple[Any, ...]], **more: Any) -> Any:
    """Return a table of the library, its columns so many mm wide; cells hang from their upper edges."""
    from reportlab.platypus import Table, TableStyle

    table = Table(rows, colWidths=[w * POINT_MM for w in widths], hAlign="LEFT", **more)
    plain = [("FONT", (0, 0), (-1, -1), PLAIN), ("VALIGN", (0, 0), (-1, -1), "TOP")]
    table.setStyle(TableStyle([*plain, *look]))
    return table
