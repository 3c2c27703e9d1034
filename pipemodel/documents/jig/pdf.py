"""The jig's papers as one PDF: the picture and the text first, then the plan at full size, tile by tile."""

import io
from collections.abc import Iterable, Sequence
from typing import Any

from pipemodel.documents.full_size import FOOT, MARGIN, FullPage, Placed
from pipemodel.drawing.pdf import POINT_MM, draw_on
from pipemodel.drawing.pdf_fonts import register_fonts
from pipemodel.drawing.sheet import Role, Sheet
from pipemodel.wording.safe_text import shown

A4 = (210.0, 297.0)
LINES_TO_A_PAGE = 78
LINE_MM = 3.4


WINDOW = (MARGIN, MARGIN + FOOT, A4[0] - 2 * MARGIN, A4[1] - 2 * MARGIN - FOOT)
"""Where on a page at full size may be drawn: left, low, width, height."""


def jig_pdf(title: str, picture: Sheet, text: str, full_size: Iterable[FullPage], steps: Sequence[Sheet] = ()) -> bytes:
    """Return the papers of a jig, on A4: its picture and text, pictures of how it goes together, pages at full size.

    The same jig gives the same bytes.
    """
    from reportlab.pdfgen.canvas import Canvas

    fonts = register_fonts()
    out = io.BytesIO()
    canvas = Canvas(out, pagesize=(A4[0] * POINT_MM, A4[1] * POINT_MM), invariant=1, initialFontName=fonts[0])
    canvas.setTitle(shown(title, 100))
    canvas.setAuthor("pipemodel")
    canvas.setCreator("pipemodel")
    lines = text.splitlines()
    top = A4[1] - 15.0
    draw_on(canvas, picture, (A4[0] - picture.width) / 2.0, top - picture.height, fonts)
    room = int((top - picture.height - 15.0) / LINE_MM)
    _lines(canvas, lines[:room], top - picture.height - 4.0, fonts)
    for k in range(room, len(lines), LINES_TO_A_PAGE):
        _lines(canvas, lines[k : k + LINES_TO_A_PAGE], top, fonts)
    _stack(canvas, steps, top, fonts)
    for page in full_size:
        for placed in page.placed:
            canvas.saveState()
            _clip(canvas, placed, page.window)
            draw_on(canvas, placed.sheet, placed.left, placed.low, fonts)
            canvas.restoreState()
        canvas.showPage()
    canvas.save()
    return out.getvalue()


def _stack(canvas: Any, sheets: Sequence[Sheet], top: float, fonts: tuple[str, str]) -> None:
    """Draw sheets one under the other, as many to a page as go on it."""
    at = top
    for sheet in sheets:
        if at < top and at - sheet.height < 10.0:
            canvas.showPage()
            at = top
        draw_on(canvas, sheet, (A4[0] - sheet.width) / 2.0, at - sheet.height, fonts)
        at -= sheet.height + 6.0
    if sheets:
        canvas.showPage()


def _clip(canvas: Any, placed: Placed, window: tuple[float, float, float, float]) -> None:
    if placed.clipped:
        path = canvas.beginPath()
        path.rect(*(x * POINT_MM for x in window))
        canvas.clipPath(path, stroke=0, fill=0)


def _lines(canvas: Any, lines: list[str], top: float, fonts: tuple[str, str]) -> None:
    """Write lines of text as columns a typewriter would, and end the page."""
    sheet = Sheet(A4[0], A4[1])
    for i, line in enumerate(lines):
        # Columns of a table stand under each other: every run of words goes where its column begins.
        for column, words in _runs(line):
            sheet.words(words, (15.0 + column * 2.2, top - i * LINE_MM), 2.0, role=Role.DIMENSION)
    draw_on(canvas, sheet, 0.0, 0.0, fonts)
    canvas.showPage()


def _runs(line: str) -> list[tuple[int, str]]:
    runs: list[tuple[int, str]] = []
    at = 0
    for part in line.split("  "):
        if part.strip():
            lead = len(part) - len(part.lstrip())
            runs.append((at + lead, part.strip()))
        at += len(part) + 2
    return runs
