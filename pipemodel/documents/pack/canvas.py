"""A canvas that knows how many pages there are before it writes the first: "page 3 of 12", and a list of contents.

Pages are kept as they are drawn, and written when all are there; only then are numbers put on them.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

from pipemodel.drawing.pdf import POINT_MM
from pipemodel.drawing.pdf_fonts import legible
from pipemodel.drawing.title_block import has_fields
from pipemodel.messages.say import words
from pipemodel.messages.units import Units
from pipemodel.messages.values import Count

FOOT_MM, LOW_FOOT_MM = 7.0, 3.6
"""Of a page, and of one with reference fields along its edge: under these."""
SIDE_MM = 15.0
SIZE = 8


@dataclass
class Contents:
    """What is where in the pack: sections as they are begun, and where on a page their numbers are to be written."""

    sections: list[tuple[str, str, int]] = field(default_factory=list)
    """Key, title, and the page it begins on."""
    places: list[tuple[str, int, float, float]] = field(default_factory=list)
    """Key, and the page and place (points) where its page number goes, right-aligned."""

    def page_of(self, key: str) -> int | None:
        """Return the page on which a section begins."""
        return next((page for known, _, page in self.sections if known == key), None)


def canvas_maker(contents: Contents, fonts: tuple[str, str], left: str, units: Units) -> Any:
    """Return a class of canvas for one document.

    Args:
        contents: filled while the document is laid out.
        fonts: names of the plain and bold faces.
        left: what stands at the left of every foot.
        units: units and language of the reader.
    """
    from reportlab.pdfgen.canvas import Canvas

    class Numbered(Canvas):  # type: ignore[misc]
        """Keeps its pages until all are drawn."""

        def __init__(self, *args: Any, **kwargs: Any) -> None:
            kwargs["invariant"] = 1
            kwargs["initialFontName"] = fonts[0]  # the library's own default would be named but not embedded
            super().__init__(*args, **kwargs)
            self._pages: list[dict[str, Any]] = []

        def showPage(self) -> None:  # noqa: N802
            self._pages.append(dict(self.__dict__))
            self._startPage()

        def save(self) -> None:
            total = len(self._pages)
            for number, page in enumerate(self._pages, 1):
                self.__dict__.update(page)
                self._finish(number, total)
                super().showPage()
            super().save()

        def _finish(self, number: int, total: int) -> None:
            width = self._pagesize[0]
            foot = (LOW_FOOT_MM if has_fields(width / POINT_MM) else FOOT_MM) * POINT_MM
            self.setFillColorRGB(0, 0, 0)
            self.setFont(fonts[0], SIZE)
            self.drawString(SIDE_MM * POINT_MM, foot, legible(left, 90))
            page = words(units, "pack.page", page=Count(number), pages=Count(total))
            self.drawRightString(width - SIDE_MM * POINT_MM, foot, page)
            self.setFont(fonts[0], 10)
            for key, place, x, y in contents.places:
                found = contents.page_of(key)
                if place == number and found is not None:
                    self.drawRightString(x, y, str(found))
                    self.linkRect("", key, (x - 150, y - 3, x + 4, y + 12), name=f"to {key}", thickness=0)
            for key, title, begins in contents.sections:
                if begins == number:
                    self.bookmarkPage(key)
                    self.addOutlineEntry(legible(title, 80), key, 0)

    return Numbered


def section(contents: Contents, key: str, title: str) -> Any:
    """Return something without size that notes, when it is laid out, on which page a section begins."""
    from reportlab.platypus import Flowable

    class Begins(Flowable):  # type: ignore[misc]
        """Takes no room."""

        _ZEROSIZE = True
        # Or it would stay behind where the heading goes to the next page.
        keepWithNext = 1  # noqa: N815

        def wrap(self, *_: float) -> tuple[float, float]:
            return 0.0, 0.0

        def draw(self) -> None:
            contents.sections.append((key, title, self.canv.getPageNumber()))

    return Begins()


def contents_list(
    contents: Contents, entries: Sequence[tuple[str, str]], width_mm: float, fonts: tuple[str, str]
) -> Any:
    """Return the list of contents as something that flows; the numbers are written in the end."""
    from reportlab.platypus import Flowable

    leading = 15.0

    class Lines(Flowable):  # type: ignore[misc]
        """A line for each section."""

        def __init__(self, part: Sequence[tuple[str, str]]) -> None:
            super().__init__()
            self.part = part

        def wrap(self, *_: float) -> tuple[float, float]:
            return width_mm * POINT_MM, leading * len(self.part)

        def split(self, _: float, room: float) -> list[Any]:
            n = int(room / leading)
            return [Lines(self.part[:n]), Lines(self.part[n:])] if 0 < n < len(self.part) else []

        def draw(self) -> None:
            self.canv.setFont(fonts[0], 10)
            self.canv.setStrokeColorRGB(0.6, 0.6, 0.6)
            self.canv.setLineWidth(0.4)
            for i, (key, title) in enumerate(self.part):
                y = leading * (len(self.part) - 1 - i) + 4.0
                self.canv.drawString(0, y, legible(title, 80))
                self.canv.line(0, y - 3.5, width_mm * POINT_MM, y - 3.5)
                x, at = self.canv.absolutePosition(width_mm * POINT_MM, y)
                contents.places.append((key, self.canv.getPageNumber(), x, at))

    return Lines(entries)
