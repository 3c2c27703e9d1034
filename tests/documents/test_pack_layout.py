"""How the sheets of the pack lie on paper: nothing over anything else, headings, frames, foot; see `pack_sheets`."""

import numpy as np
import pytest
from pack_sheets import POINT, THINGS, flowing, sheets
from worked_job import WORKED, worked

from pipemodel.documents.pack.document import PackReader
from pipemodel.messages.units import INCHES, MM
from pipemodel.results.identity import identity


@pytest.mark.slow
@pytest.mark.parametrize(("yaml", "units"), [(WORKED, MM), (THINGS, INCHES)], ids=["mm", "in"])
def test_no_words_lie_over_others_or_in_the_margins(yaml, units):
    for page in flowing(yaml, units):
        words = [word for word in page.words if not word.drawn]
        boxes = np.array([word.box for word in words])
        assert len(words) > 3
        for word in words:
            assert word.left >= 14.99, word
            assert word.right <= 196.0, word  # blanks between words may be set a little closer
            assert word.low < 12.0 or word.box[1] >= 15.0 - 1.5, word
            assert word.box[3] <= 282.1, word
        over = np.minimum(boxes[:, None, 2:], boxes[None, :, 2:]) - np.maximum(boxes[:, None, :2], boxes[None, :, :2])
        hit = (over[..., 0] > 0.3) & (over[..., 1] > 0.05) & ~np.eye(len(words), dtype=bool)
        assert not [(words[i].said, words[j].said) for i, j in np.argwhere(hit)]


@pytest.fixture(scope="module")
def pack():
    return flowing()


def test_headings_are_larger_than_what_they_stand_over(pack):
    looks = {
        (0, "worked"): (True, 18.0), (0, "worked "): (False, 10.0), (0, "All in mm"): (False, 8.5),
        (0, "FAIL: 3"): (True, 14.0), (0, "Runs"): (True, 13.0), (0, "Before you start"): (True, 13.0),
        (1, "Run: rise"): (True, 18.0), (1, "Cut 1483.5 mm"): (True, 14.0), (1, "Tube"): (True, 9.0),
        (1, "15 x 0.7"): (False, 10.0), (1, "Pull in this order"): (True, 13.0), (1, "□ Pull 1"): (True, 14.0),
        (2, "1. Mark at"): (False, 8.5), (2, "Then it must be:"): (True, 9.0), (2, "Fittings"): (True, 13.0),
        (2, "Clip list"): (True, 13.0),
    }  # fmt: skip
    for (number, said), look in looks.items():
        word = pack[number].word(said)
        assert (word.bold, word.size) == look, said


def test_lines_of_a_paragraph_keep_apart(pack):
    """From line to line between 1.25 and 1.4 of the letters' size."""
    one, two = pack[1].word("former of the job"), pack[1].word("degrees")
    assert one.low - two.low == pytest.approx(13.5 * POINT, abs=0.01)
    one, two = pack[1].word("Cut 1483.5"), pack[1].word("into the fittings")
    assert one.low - two.low == pytest.approx(18.0 * POINT, abs=0.01)
    one, two = pack[2].word("1. Mark at 1142"), pack[2].word("tube; check: 562.5 mm")
    assert one.low - two.low == pytest.approx(11.5 * POINT, abs=0.01)


def test_facts_stand_in_two_columns(pack):
    for label, text in (("Tube", "15 x 0.7"), ("Former", "former of the job"), ("Springback", "pull further"),
                        ("Marks", "10 past")):  # fmt: skip
        a, b = pack[1].word(label), pack[1].word(text)
        assert (a.left, b.left) == (pytest.approx(15.0), pytest.approx(47.0))
        assert a.low == pytest.approx(b.low, abs=0.6)


def test_what_to_do_stands_to_the_left_and_what_must_be_so_to_the_right(pack):
    do, check = pack[1].word("1. Mark at 565.5"), pack[1].word("Then it must be:")
    assert (do.left, check.left) == (pytest.approx(15.0), pytest.approx(133.0))
    assert do.low == pytest.approx(check.low, abs=1.0)
    below = [w for w in pack[1].words if w.low < do.low and not w.drawn and w.size == 8.5]
    assert max(w.right for w in below if w.left < 100.0) < 133.0


def test_a_card_s_drawing_is_made_smaller_and_stands_under_its_heading():
    """It takes the width of the sheet at 0.85: letters of 2.5 mm come out as 2.125."""
    _, pages = sheets()
    page = pages[1]
    drawn = [w for w in page.words if w.drawn and w.low < page.word("□ Pull 1").low]
    heads = [w for w in page.words if w.said.startswith("□ Pull")]
    assert len(heads) == 1
    assert heads[0].low > max(w.low for w in drawn)
    assert max(w.right for w in drawn) < 15.0 + 180.0


def test_the_verdict_stands_in_a_frame(pack):
    lines = [rule for rule in pack[0].level if rule[1] == 1.2]
    assert [rule[2:] for rule in lines] == [(pytest.approx(15.0), pytest.approx(195.0))] * 2
    (top, *_), (low, *_) = sorted(lines, reverse=True)
    word = pack[0].word("FAIL: 3")
    assert low + 1.5 < word.low < word.low + 14.0 * POINT < top + 1.0


def test_the_foot_of_every_page():
    reader, pages = sheets()
    name = identity(worked().schedule)
    for number, (page, paper) in enumerate(zip(pages, reader.pages, strict=True), 1):
        left, right = page.word(f"{name}; revision C, 2026-11-28"), page.word(f"page {number} of {len(pages)}")
        assert (left.left, left.low, left.size) == (pytest.approx(15.0), pytest.approx(7.0), 8.0)
        width = float(paper.mediabox.width) * POINT
        assert (right.right, right.low, right.size) == (pytest.approx(width - 15.0), pytest.approx(7.0), 8.0)
        assert not left.bold
        assert not right.bold
    about = reader.metadata
    assert (about.title, about.subject, about.author, about.creator) == (
        "worked", "revision C, 2026-11-28", "pipemodel", "pipemodel",
    )  # fmt: skip
    assert pages[0].word("Revision C, 2026-11-28").size == 14.0


def test_the_code_stands_at_the_top_right():
    """In line with the margins of 15 mm, which are light; on the other sides four light modules make 28 mm of it.

    What it says is read in `test_pack`.
    """
    paths = sheets()[1][0].paths
    dark = np.vstack([p.points for p in paths if p.filled and p.closed])
    (left, low), (right, top) = dark.min(axis=0), dark.max(axis=0)
    assert right - left == pytest.approx(top - low, abs=0.01)
    quiet = 28.0 - (right - left)
    assert quiet > 1.5
    assert right == pytest.approx(195.0, abs=0.1)
    assert top == pytest.approx(282.0, abs=0.1)
    # Every row of modules is as high as a module, and they touch: no light lines between the rows.
    step = min(np.ptp(p.points[:, 1]) for p in paths if p.filled and p.closed)
    assert quiet == pytest.approx(4.0 * step, abs=0.01)
    modules = (right - left) / step
    assert modules == pytest.approx(round(modules), abs=0.02)
    assert (round(modules) - 17) % 4 == 0  # ISO/IEC 18004: a symbol of version v is 17 + 4 v modules wide


def test_drawings_lie_and_fill_their_page():
    reader, _ = sheets(WORKED, MM, PackReader.DESIGNER)
    lying = [p for p in reader.pages if p.mediabox.width > p.mediabox.height]
    assert len(lying) == 4  # the job, what it is set out by, its run, the storey
    for page in lying:
        size = (float(page.mediabox.width) * POINT, float(page.mediabox.height) * POINT)
        assert any(size == pytest.approx(iso) for iso in ((297, 210), (420, 297), (594, 420)))  # ISO 216


def test_the_foot_of_a_large_sheet_keeps_off_the_figures_of_its_fields():
    """Figures of reference fields, 1, 2, ..., stand in the margin under the frame (ISO 5457), and so does the foot."""
    _, pages = sheets(WORKED, MM, PackReader.DESIGNER)
    large = [page for page in pages if float(page.page.mediabox.width) * POINT > 400.0]
    assert large
    for page in large:
        under = [word for word in page.words if word.low < 10.0]
        feet, figures = ([w for w in under if (len(w.said) > 2) is long] for long in (True, False))
        assert len(feet) == 2
        assert len(figures) >= 8
        assert all(foot.low - 1.0 > 2.0 and foot.box[3] < figure.low for foot in feet for figure in figures)
