"""The pack as one PDF file: flowing sheets first, then the full-size pages, every page numbered."""

import io
from pathlib import Path
from typing import Any

from pipemodel.handover.answer import Answer
from pipemodel.handover.drawing.pdf import POINT_MM, draw_on
from pipemodel.handover.identity import identity
from pipemodel.handover.pack.fonts import register_fonts
from pipemodel.handover.pack.full_size import FullPage, full_size_pages
from pipemodel.handover.pack.pages import Styles, job_sheet, run_sheet
from pipemodel.handover.plain import shown

PAPERS = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}
MARGIN = 15.0


def write_pack(answer: Answer, path: Path, paper: str = "A4") -> None:
    """Write the pack of a job.

    Args:
        answer: the answered job.
        path: where the PDF goes.
        paper: a name out of `PAPERS`.
    """
    path.write_bytes(pack_pdf(answer, paper))


def pack_pdf(answer: Answer, paper: str = "A4") -> bytes:
    """Return the pack as the bytes of a PDF; the same job gives the same bytes."""
    # Page numbers say "of how many", so the pages are counted in a first pass.
    pages = _build(answer, paper, 0)[1]
    return _build(answer, paper, pages)[0]


def _build(answer: Answer, paper: str, total: int) -> tuple[bytes, int]:
    from reportlab.pdfgen.canvas import Canvas
    from reportlab.platypus import BaseDocTemplate, Frame, NextPageTemplate, PageBreak, PageTemplate

    fonts = register_fonts()
    width, height = PAPERS[paper]
    out = io.BytesIO()
    name = identity(answer.schedule)

    def foot(canvas: Any) -> None:
        canvas.setFont(fonts[0], 8)
        y = 7.0 * POINT_MM
        canvas.drawString(MARGIN * POINT_MM, y, name)
        number = canvas.getPageNumber()
        canvas.drawRightString(
            (width - MARGIN) * POINT_MM, y, f"page {number} of {total}" if total else f"page {number}"
        )

    def make_canvas(*args: Any, **kwargs: Any) -> Any:
        kwargs["invariant"] = 1
        kwargs["initialFontName"] = fonts[0]  # the library's own default would be named but not embedded
        return Canvas(*args, **kwargs)

    styles = Styles()
    inner = width - 2 * MARGIN
    document = BaseDocTemplate(
        out,
        pagesize=(width * POINT_MM, height * POINT_MM),
        title=shown(answer.schedule.job.name, 100),
        author="pipemodel",
        creator="pipemodel",
    )
    m = MARGIN * POINT_MM
    body = Frame(m, m, inner * POINT_MM, (height - 2 * MARGIN) * POINT_MM, 0, 0, 0, 0)
    whole = Frame(0, 0, width * POINT_MM + 1, height * POINT_MM + 1, 0, 0, 0, 0)
    document.addPageTemplates(
        [
            PageTemplate("sheet", [body], onPageEnd=lambda canvas, _: foot(canvas)),
            PageTemplate("full size", [whole], onPageEnd=lambda canvas, _: foot(canvas)),
        ]
    )
    flow = job_sheet(answer, styles, inner, fonts)
    for solved, plan in zip(answer.schedule.runs, answer.plans, strict=True):
        flow += [PageBreak(), *run_sheet(solved, plan, styles, inner, fonts)]
    if answer.schedule.job.jig is not None:
        from pipemodel.handover.jig.brief import briefs_of
        from pipemodel.handover.jig.pack_sheet import jig_sheet

        for brief in briefs_of(answer):
            flow += [PageBreak(), *jig_sheet(brief, styles, inner, fonts)]
    for solved in answer.schedule.runs:
        for page in full_size_pages(solved, (width, height)):
            flow += [NextPageTemplate("full size"), PageBreak(), _whole_page(page, (width, height), fonts)]
    document.build(flow, canvasmaker=make_canvas)
    return out.getvalue(), document.page


def _whole_page(page: FullPage, paper: tuple[float, float], fonts: tuple[str, str]) -> Any:
    """A full-size page as one thing in the flow, as large as the paper."""
    from reportlab.platypus import Flowable

    class Whole(Flowable):  # type: ignore[misc]
        """Fills its page."""

        def wrap(self, *_: float) -> tuple[float, float]:
            return paper[0] * POINT_MM, paper[1] * POINT_MM

        def draw(self) -> None:
            for placed in page.placed:
                self.canv.saveState()
                if placed.clipped:
                    clip = self.canv.beginPath()
                    clip.rect(*(x * POINT_MM for x in page.window))
                    self.canv.clipPath(clip, stroke=0, fill=0)
                draw_on(self.canv, placed.sheet, placed.left, placed.low, fonts)
                self.canv.restoreState()

    return Whole()
