"""The pack as it lies on paper, for the tests that read its sheets: words with the room they take, and level lines.

Sheets are A4 with margins of 15, so 180 wide. Widths of letters are the font's own.
"""

import io
from functools import cache, cached_property
from types import SimpleNamespace

import numpy as np
from pdf_lines import _page as page_of
from pypdf import PdfReader
from reportlab.pdfbase.pdfmetrics import stringWidth
from worked_job import WORKED, worked

from pipemodel.documents.pack.document import PackReader, pack_pdf
from pipemodel.drawing.pdf_fonts import BOLD, PLAIN
from pipemodel.messages.units import MM

POINT = 25.4 / 72.0
THINGS = "job: many\ntube: 15\nformer: {radius: 55}\nroom:\n" + "".join(
    f"  post {i}: {{box: {{from: [{9 * i}, 50, 0], to: [{9 * i + 5}, 60, 9]}}}}\n" for i in range(50)
)
THINGS += "runs:\n  a: {points: [[0, 0, 0], [500, 0, 0], [500, 0, 300]]}\n"
"""So many things that the list of distances goes over a page."""


class Sheet:
    """A page of the pack: its words with the room they take, and its level lines; mm from the lower left corner."""

    def __init__(self, reader, page):
        self.page, self.reader = page, reader

    @cached_property
    def words(self):
        found = []

        def note(text, cm, tm, font, size):
            said = text.strip()
            if not said or font is None:
                return
            matrix = np.array([[*tm[:2], 0], [*tm[2:4], 0], [*tm[4:], 1]]) @ [[*cm[:2], 0], [*cm[2:4], 0], [*cm[4:], 1]]
            bold, points = "Bold" in font["/BaseFont"], size * abs(np.linalg.det(matrix[:2, :2])) ** 0.5
            left, low = matrix[2, :2] * POINT
            right = left + stringWidth(said, BOLD if bold else PLAIN, points) * POINT
            box = (left, low - 0.2 * points * POINT, right, low + 0.74 * points * POINT)
            drawn = abs(cm[0] - 1.0) > 1e-6 or abs(tm[1]) > 1e-6
            found.append(SimpleNamespace(
                said=said, box=box, left=left, right=right, low=low, bold=bold, size=round(points, 2), drawn=drawn
            ))  # fmt: skip

        self.page.extract_text(visitor_text=note)
        return found

    @cached_property
    def paths(self):
        return page_of(self.reader, self.page).paths

    @cached_property
    def level(self):
        """Every level line longer than 100: its height, how wide it is drawn in points, and its ends."""
        found = []
        for path in self.paths:
            (x0, y0), (x1, y1) = path.points[0], path.points[-1]
            if len(path.points) == 2 and abs(y0 - y1) < 1e-6 and abs(x1 - x0) > 100.0:
                found.append((y0, round(path.width / POINT, 2), min(x0, x1), max(x0, x1)))
        return found

    def word(self, said):
        return next(word for word in self.words if word.said.startswith(said))

    def tables(self):
        """The rules of each table, from the one under its head down."""
        out = []
        for rule in sorted(self.level, reverse=True):
            if rule[1] == 1.0:
                out.append([rule])
            elif rule[1] == 0.4 and out and rule[0] > self.below(out):
                out[-1].append(rule)
        return out

    def below(self, out):
        """Where the table that is being read ends at the latest: at the next large heading under its head."""
        heads = [w.low for w in self.words if w.bold and w.size >= 12.0 and w.low < out[-1][0][0]]
        return max(heads, default=0.0)


@cache
def sheets(yaml=WORKED, units=MM, whose=PackReader.FITTER):
    """A pack as its reader has it, and its pages."""
    reader = PdfReader(io.BytesIO(pack_pdf(worked(yaml, units, revision="C", date="2026-11-28"), whose)))
    return reader, [Sheet(reader, page) for page in reader.pages]


def flowing(*asked):
    """The sheets before the drawings, which lie."""
    upright = [sheet.page.mediabox.width < sheet.page.mediabox.height for sheet in sheets(*asked)[1]]
    return sheets(*asked)[1][: upright.index(False)]
