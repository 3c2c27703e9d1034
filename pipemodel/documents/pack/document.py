"""The two packs, each one PDF file with every page numbered.

The fitter's: what to cut, the cards of the pulls, clips and fittings, a drawing to set out by, and the full-size
pages. The designer's: the drawings, and what was found, measured and judged.
"""

import io
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from enum import Enum
from pathlib import Path
from typing import Any, NamedTuple

from pipemodel.documents.full_size import FullPage, Template, card_and_wrap_pages, in_pack, templates_of
from pipemodel.documents.pack.canvas import Contents, canvas_maker, section
from pipemodel.documents.pack.job_sheet import HERE, job_sheet
from pipemodel.documents.pack.parts import listing_flow
from pipemodel.documents.pack.run_sheet import bends_sheet, run_sheets
from pipemodel.documents.pack.styles import Styles
from pipemodel.drawing.layout import A4_UPRIGHT
from pipemodel.drawing.pdf import POINT_MM
from pipemodel.drawing.pdf_fonts import legible, register_fonts
from pipemodel.drawing.sheet import Sheet
from pipemodel.lists.all_lists import apart
from pipemodel.lists.blocks import Listing
from pipemodel.lists.table import say
from pipemodel.messages import say as messages
from pipemodel.messages.say import words
from pipemodel.messages.units import Units
from pipemodel.messages.values import Count, Name, message
from pipemodel.results.identity import identity
from pipemodel.results.results import Results

MARGIN = 15.0
SHEET, FULL_SIZE = "sheet", "full size"
TEMPLATE_PAGES = 6
"""So many pages of templates go into the fitter's pack."""


FOR_DESIGNERS = frozenset({"fit", "distances", "measured"})
"""Lists that hands need nothing of."""
FOR_FITTERS = frozenset({"cuts", "fittings", "jigs"})
"""And those that say nothing of the design."""


class PackReader(Enum):
    """Who a pack is for."""

    FITTER = "fitter"
    DESIGNER = "designer"
    TEMPLATES = "templates"


def write_pack(results: Results, path: Path, reader: PackReader = PackReader.FITTER) -> None:
    """Write a pack of a job; see `PaperOptions` for what can be chosen."""
    path.write_bytes(pack_pdf(results, reader))


def pack_pdf(results: Results, reader: PackReader = PackReader.FITTER) -> bytes:
    """Return a pack as the bytes of a PDF; the same job gives the same bytes."""
    from reportlab.platypus import BaseDocTemplate, NextPageTemplate, PageBreak

    fonts = register_fonts()
    papers = results.paper_options
    out = io.BytesIO()
    contents = Contents()
    name = identity(results.schedule)
    document = BaseDocTemplate(
        out,
        pagesize=_points(papers.sheet_size),
        title=legible(results.schedule.job.name, 100),
        subject=legible(papers.state, 100),
        author="pipemodel",
        creator="pipemodel",
    )
    document.addPageTemplates(_page_templates(results))
    low, codes = papers.sheet_size[1] < A4_UPRIGHT[1], reader is PackReader.DESIGNER
    styles = Styles(papers.sheet_size[0] - 2 * MARGIN, low, codes)
    sections = list(_SECTIONS[reader](results, styles))
    whose = " ".join([messages.say(_WHOSE[reader], papers.reading), *(s.note for s in sections if s.note)])
    entries = [(s.key, s.title) for s in sections]
    flow: list[Any] = job_sheet(results, styles, contents, entries, whose)
    for part in sections:
        begins = section(contents, part.key, part.title)
        for i, page in enumerate(part.pages):
            if part.template is not None or i:
                flow += [NextPageTemplate(part.kinds[i] if part.kinds else part.template or SHEET), PageBreak()]
            flow += [begins, *page] if i == 0 else page
    left = f"{name}; {papers.state}" if papers.state else name
    with _binary_streams():
        document.build(flow, canvasmaker=canvas_maker(contents, fonts, left, papers.reading))
    return out.getvalue()


@contextmanager
def _binary_streams() -> Iterator[None]:
    """Let the library write its streams as they are, not as letters: a fifth smaller, and quicker."""
    from reportlab import rl_config

    before, rl_config.useA85 = rl_config.useA85, 0
    try:
        yield
    finally:
        rl_config.useA85 = before


class Section(NamedTuple):
    """A section of the pack: what is on each of its pages, or flows from one on.

    `template` names the kind of page it begins, None where it goes on under what was before.
    """

    key: str
    title: str
    template: str | None
    pages: Sequence[list[Any]]
    kinds: Sequence[str] = ()
    """Of each page, where they differ."""
    note: str = ""
    """What the first sheet says of it."""


def _fitter_sections(results: Results, styles: Styles) -> Iterator[Section]:
    """Yield the sections of the fitter's pack, from the cut list under the job sheet to the full-size pages."""
    papers, pieces, units = results.paper_options, results.pieces, results.paper_options.reading
    listings = {one.key: one for one in apart(results) if one.key not in (*HERE, *FOR_DESIGNERS)}
    cuts = listings.pop("cuts", None)
    if cuts is not None:
        yield _listed(cuts, styles, units, None, "head")
    for number, piece in enumerate(pieces):
        # What is above its cards stays together: it goes on under what was before where there is room.
        title = words(units, "pack.schedule of", run=Name(piece.solved.name, quoted=False))
        yield Section(f"run {number}", title, None if number else SHEET, [run_sheets(piece, styles, units)])
    yield from _lists(listings.values(), styles, units)
    yield _drawings(results.drawings.for_fitter(papers.sheet_size, results.wrong_places), styles, units)
    templates = _templates(results)
    kept = in_pack(templates, TEMPLATE_PAGES)
    left = [template for template in templates if template not in kept]
    full = [page for template in kept for page in template.pages]
    note = message("pack.left out", n=Count(len(left)), pages=Count(sum(len(template.pages) for template in left)))
    runs = [(piece.solved, piece.plan) for piece in pieces]
    full += card_and_wrap_pages(runs, papers.template_size, units)
    yield from _full_size(full, results, styles, messages.say(note, units) if left else "")


def _templates_sections(results: Results, styles: Styles) -> Iterator[Section]:
    """Yield the one section of the templates' file."""
    yield from _full_size([page for one in _templates(results) for page in one.pages], results, styles)


def _templates(results: Results) -> list[Template]:
    size, units = results.paper_options.template_size, results.paper_options.reading
    return [one for piece in results.pieces for one in templates_of(piece.solved, piece.plan, size, units)]


def _full_size(full: Sequence[FullPage], results: Results, styles: Styles, note: str = "") -> Iterator[Section]:
    papers = results.paper_options
    if full:
        pages = [[_whole_page(page, papers.template_size, styles.fonts)] for page in full]
        yield Section("full", words(papers.reading, "pack.templates"), FULL_SIZE, pages, note=note)


def _designer_sections(results: Results, styles: Styles) -> Iterator[Section]:
    """Yield the sections of the designer's pack in order: what was found, then the drawings."""
    units = results.paper_options.reading
    bends = [part for piece in results.pieces for part in bends_sheet(piece, styles, units)]
    yield Section("bends", words(units, "pack.bends"), SHEET, [bends])
    listings = [one for one in apart(results) if one.key not in (*HERE, *FOR_FITTERS)]
    yield from _lists(listings, styles, units)
    sheets = [results.drawings.of_job(), results.drawings.to_set_out(), *results.drawings.of_runs()]
    building = [sheet for _, sheet in results.drawings.of_building(results.wrong_places)]
    yield _drawings([*sheets, *building], styles, units)


_WHOSE = {
    PackReader.FITTER: message("pack.for fitter"),
    PackReader.DESIGNER: message("pack.for designer"),
    PackReader.TEMPLATES: message("pack.for templates"),
}
_SECTIONS = {
    PackReader.FITTER: _fitter_sections,
    PackReader.DESIGNER: _designer_sections,
    PackReader.TEMPLATES: _templates_sections,
}


def _lists(listings: Iterable[Listing], styles: Styles, units: Units) -> Iterator[Section]:
    """Yield lists one under the other, under what was before; one that begins with a picture has a sheet of its own."""
    for one in listings:
        apart = one.kind.own_sheets and one.begins_with_picture
        yield _listed(one, styles, units, *((SHEET, "title") if apart else (None, "head")))


def _drawings(sheets: Sequence[Sheet], styles: Styles, units: Units) -> Section:
    drawn = [[styles.drawn(sheet)] for sheet in sheets]
    sizes = [_filled((sheet.width, sheet.height)) for sheet in sheets]
    return Section("drawings", words(units, "pack.drawings"), sizes[0], drawn, sizes)


def _listed(one: Listing, styles: Styles, units: Units, template: str | None, title: str = "title") -> Section:
    sheets = one.by_sheet if one.kind.own_sheets else (one,)
    pages = [listing_flow(sheet, styles, units, title) for sheet in sheets]
    return Section(one.key, say(one.kind.title, units), template, pages)


def _page_templates(results: Results) -> Sequence[Any]:
    from reportlab.platypus import Frame, PageTemplate

    papers = results.paper_options
    width, height = _points(papers.sheet_size)
    m = MARGIN * POINT_MM
    body = Frame(m, m, width - 2 * m, height - 2 * m, 0, 0, 0, 0)
    out = [PageTemplate(SHEET, [body], pagesize=(width, height))]
    sizes = {
        FULL_SIZE: papers.template_size,
        **{_filled(size): size for size in (papers.sheet_size, papers.sheet_size[::-1], *results.drawings.sheets)},
    }
    for name, (w, h) in ((name, _points(size)) for name, size in sizes.items()):
        # A point more than the paper, below its edge, or rounding would say that what fills it does not fit.
        out.append(PageTemplate(name, [Frame(0, -1, w + 1, h + 1, 0, 0, 0, 0)], pagesize=(w, h)))
    return out


def _filled(size: tuple[float, float]) -> str:
    """Return the name of the pages that a drawing of some size fills."""
    return f"drawing {size[0]:g} by {size[1]:g}"


def _points(size_mm: tuple[float, float]) -> tuple[float, float]:
    return size_mm[0] * POINT_MM, size_mm[1] * POINT_MM


def _whole_page(page: FullPage, paper: tuple[float, float], fonts: tuple[str, str]) -> Any:
    """A full-size page as one thing in the flow, as large as the paper."""
    from reportlab.platypus import Flowable

    class Whole(Flowable):  # type: ignore[misc]
        """Fills its page."""

        def wrap(self, *_: float) -> tuple[float, float]:
            return _points(paper)

        def draw(self) -> None:
            page.draw_on(self.canv, fonts)

    return Whole()
