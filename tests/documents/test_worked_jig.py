"""The papers of a small jig, word by word: what is to be read of it, and the PDF.

The flat set goes 150, 180 and 150 in one plane, with two square bends to a radius of 55: straights of 95, 70 and 95,
bends of 86.4 each. So the legs begin at 0, 181.4 and 337.8, and the tube ends at 432.8. The page under worked_papers
was written by the program and read against that; what slots accept, what passes and what is refused are judged by other
means in `tests/jigs`, and are held here only as they are: a word or figure that changes on paper shows.
"""

import io
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from jig_pieces import PLAIN, jig_of
from pdf_lines import pages_of
from pypdf import PdfReader

from pipemodel.documents.full_size import tiled
from pipemodel.documents.jig.pdf import WINDOW, jig_pages, jig_pdf
from pipemodel.documents.jig.plan_sheet import plan_sheet
from pipemodel.documents.jig.text import jig_text
from pipemodel.lists.jig_limits import weight_said
from pipemodel.lists.jig_picture import picture_sheet

TEXT = (Path(__file__).parents[1] / "worked_papers" / "jig.txt").read_text(encoding="utf-8")
POINT = 25.4 / 72.0


def flat(text):
    return " ".join(text.split())


@pytest.mark.slow
def test_what_there_is_to_read():
    assert jig_text(jig_of("flat set")) == TEXT


@pytest.mark.slow
@pytest.mark.parametrize(
    ("decision", "said"),
    [
        ("go", "Slots for go: no piece is refused whose legs and ends all lie within the position. What passes beside "
         "that may be out by more than asked, as the table says."),
        ("fine", "Slots for fine: no piece passes that has a leg out of place or a bend out by more than asked, "
         "whatever else is out, unless the table says otherwise. A good piece may be refused."),
    ],
)  # fmt: skip
def test_what_the_slots_are_for_is_said(decision, said):
    text = flat(jig_text(replace(jig_of("flat set"), settings=replace(PLAIN, decision=decision))))
    assert said in text
    assert "Slots balanced" not in text


@pytest.mark.slow
def test_what_weight_hides_is_said_in_full():
    (short,) = weight_said(jig_of("flat set"))
    assert str(short) == (
        "Weight: no leg bends under its own by more than 0.01 mm, less than a quarter of its slot ("
        "cantilever w L^4 / 8EI, Roark's table of beams under uniform load). In this jig that holds for legs "
        "up to 436 mm."
    )


@pytest.fixture(scope="module")
def papers():
    jig = jig_of("flat set")
    data = jig_pdf("Checking jig, flat set", jig_pages(picture_sheet(jig), TEXT, tiled(plan_sheet(jig), WINDOW)))
    return PdfReader(io.BytesIO(data)), pages_of(data), jig


def test_the_pdf_says_what_it_is(papers):
    about = papers[0].metadata
    assert (about.title, about.author, about.creator) == ("Checking jig, flat set", "pipemodel", "pipemodel")
    assert all((p.width, p.height) == (pytest.approx(210.0), pytest.approx(297.0)) for p in papers[1])


def test_the_pdf_holds_every_word_of_the_text_in_its_order_and_column(papers):
    reader, _, jig = papers
    lines = []
    for page in reader.pages:
        found = []

        def note(text, cm, tm, font, size, found=found):
            if text.strip() and font is not None:
                at = np.array([tm[4], tm[5], 1.0]) @ [[cm[0], cm[1]], [cm[2], cm[3]], [cm[4], cm[5]]]
                found.append((*(at * POINT), text.strip()))

        page.extract_text(visitor_text=note)
        lines.append(found)
    top = 297.0 - 15.0 - picture_sheet(jig).height - 4.0
    first = [w for w in lines[0] if w[1] <= top + 0.1]
    sheets = [first, *(found for found in lines[1:] if not any("must be 100 mm" in w[2] for w in found))]
    stated = [w for sheet in sheets for w in sheet]
    wanted = [(15.0 + 2.2 * at, word) for line in TEXT.splitlines() for at, word in _columns(line)]
    assert " ".join(w[2] for w in stated).split() == " ".join(word for _, word in wanted).split()
    starts = {word: left for left, word in wanted}
    long = [(left, word) for left, _, word in stated if len(word) > 12 and word.strip("-=")]
    assert len(long) > 50
    assert [left for left, word in long] == [pytest.approx(starts[word], abs=0.01) for _, word in long]
    # Lines stand 3.4 apart, from 4 under the picture to 15 from the foot, and from 15 under the top of the next page.
    for begin, sheet in zip((top, *[282.0] * len(sheets)), sheets, strict=False):
        heights = sorted({round(w[1], 2) for w in sheet}, reverse=True)
        assert heights[0] == pytest.approx(begin, abs=3.5)
        assert heights[-1] >= 15.0 - 4.0
        assert {round((a - b) / 3.4, 1) for a, b in zip(heights, heights[1:], strict=False)} <= {1.0, 2.0}
    assert max(w[1] for w in first) == pytest.approx(top, abs=0.01)


def _columns(line):
    """Runs of words parted by two blanks or more, each with the column it begins in."""
    out, at = [], 0
    while at < len(line):
        if line[at] == " ":
            at += 1
            continue
        end = line.find("  ", at)
        end = len(line) if end < 0 else end
        out.append((at, line[at:end].strip()))
        at = end
    return out


def test_the_plan_is_the_last_page_and_is_cut_at_its_window(papers):
    """The piece fits on one sheet or more, each with the bars to measure and the window it is clipped to."""
    _, pages, _ = papers
    plans = [page for page in pages if "must be 100 mm long" in page.text]
    assert pages[-len(plans) :] == plans
    assert len(pages) - len(plans) in (2, 3)
    assert "drill" in " ".join(page.text for page in plans)
    assert "revision A" in " ".join(page.text for page in plans)


def test_the_picture_stands_in_the_middle_of_the_first_page(papers):
    _, pages, jig = papers
    sheet = picture_sheet(jig)
    points = np.vstack([path.points for path in pages[0].paths])
    left = (210.0 - sheet.width) / 2.0
    assert points[:, 0].min() >= left + 4.7
    assert points[:, 0].max() <= left + sheet.width - 4.7
    assert (points[:, 0].min() + points[:, 0].max()) / 2.0 == pytest.approx(105.0, abs=3.0)
    assert points[:, 1].min() == pytest.approx(297.0 - 15.0 - sheet.height + 5.0, abs=0.3)
    assert points[:, 1].max() <= 297.0 - 15.0 - 12.0 - 4.7
