"""The jig's papers as one PDF: the picture and the text first, then the plan at full size, tile by tile."""

import io
import re
from collections.abc import Iterable, Sequence

from pipemodel.documents.full_size import FOOT, MARGIN, FullPage, Placed
from pipemodel.drawing.pdf import POINT_MM
from pipemodel.drawing.pdf_fonts import register_fonts
from pipemodel.drawing.sheet import Role, Sheet
from pipemodel.wording.safe_text import shown

A4 = (210.0, 297.0)
LINE_MM, FOOT_MM, LEAST_LINES = 3.4, 12.0, 6
COLUMNS = 112
"""So many letters of text go beside each other; tables are narrower."""

WINDOW = (MARGIN, MARGIN + FOOT, A4[0] - 2 * MARGIN, A4[1] - 2 * MARGIN - FOOT)
"""Where on a page at full size may be drawn: left, low, width, height."""


def jig_pages(
    picture: Sheet, text: str, full_size: Iterable[FullPage] = (), steps: Sequence[Sheet] = ()
) -> list[FullPage]:
    """Lay out the papers of a jig on A4: its picture, its text, pictures of how it goes together, pages at full size.

    Of the first three each begins where there is room under the one before it.
    """
    pages: list[list[Placed]] = [[]]
    top = A4[1] - 15.0
    at = top

    def put(sheet: Sheet, gap: float) -> None:
        nonlocal at
        if at < top and at - sheet.height < FOOT_MM:
            pages.append([])
            at = top
        pages[-1].append(Placed(sheet, (A4[0] - sheet.width) / 2.0, at - sheet.height))
        at -= sheet.height + gap

    put(picture, 4.0)
    lines = text.splitlines()
    while lines:
        room = int((at - FOOT_MM) / LINE_MM)
        if room < LEAST_LINES:
            room, at = int((top - FOOT_MM) / LINE_MM), top
            pages.append([])
        put(_lines(lines[:room]), 4.0)
        lines = lines[room:]
    for sheet in steps:
        put(sheet, 6.0)
    return [*(FullPage(tuple(page), WINDOW) for page in pages), *full_size]


def jig_pdf(title: str, pages: Iterable[FullPage]) -> bytes:
    """Return the papers of a jig as one PDF. The same jig gives the same bytes."""
    from reportlab.pdfgen.canvas import Canvas

    fonts = register_fonts()
    out = io.BytesIO()
    canvas = Canvas(out, pagesize=(A4[0] * POINT_MM, A4[1] * POINT_MM), invariant=1, initialFontName=fonts[0])
    canvas.setTitle(shown(title, 100))
    canvas.setAuthor("pipemodel")
    canvas.setCreator("pipemodel")
    for page in pages:
        page.draw_on(canvas, fonts)
        canvas.showPage()
    canvas.save()
    return out.getvalue()


def _lines(lines: list[str]) -> Sheet:
    """Return lines of text, in columns as a typewriter would have them; the first stands on the sheet's upper edge."""
    sheet = Sheet(A4[0], len(lines) * LINE_MM)
    for i, line in enumerate(lines):
        # Columns of a table stand under each other: every run of words goes where its column begins.
        for run in re.finditer(r"\S+(?: \S+)*", line):
            sheet.words(run.group(), (15.0 + run.start() * 2.2, sheet.height - i * LINE_MM), 2.0, role=Role.DIMENSION)
    return sheet
