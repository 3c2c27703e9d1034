"""Parts of the pack by themselves, laid on a page of 180 by 100 mm: facts, tables, the list of contents."""

import io

import pytest
from pack_sheets import POINT, Sheet
from pypdf import PdfReader
from reportlab.pdfgen.canvas import Canvas

from pipemodel.documents.pack.canvas import Contents, contents_list
from pipemodel.documents.pack.parts import parts_flow
from pipemodel.documents.pack.styles import Styles
from pipemodel.drawing.pdf_fonts import BOLD, PLAIN, register_fonts
from pipemodel.lists.blocks import Remark
from pipemodel.lists.table import Column, Kind, Table
from pipemodel.messages.units import MM


def laid(flowables, width=180.0, height=100.0):
    """What is painted where things stand one below the other, from the page's upper edge down."""
    register_fonts()
    out = io.BytesIO()
    canvas = Canvas(out, pagesize=(width / POINT, height / POINT), pageCompression=0)
    top = height / POINT
    for flowable in flowables:
        _, high = flowable.wrapOn(canvas, width / POINT, top)
        top -= high
        flowable.drawOn(canvas, 0.0, top)
    canvas.showPage()
    canvas.save()
    reader = PdfReader(io.BytesIO(out.getvalue()))
    return Sheet(reader, reader.pages[0])


def test_facts_stand_line_by_line_each_label_level_with_the_first_line_of_its_text():
    register_fonts()
    long = "a text so long that it takes two lines on a sheet of so few millimetres as there are here, and more"
    page = laid([Styles(100.0).facts([(f"label {k}", long if k == 3 else f"text {k}") for k in range(5)])], 100.0)
    labels = [page.word(f"label {k}") for k in range(5)]
    texts = [page.word("a text so" if k == 3 else f"text {k}") for k in range(5)]
    assert all(word.bold for word in labels)
    assert not any(word.bold for word in texts)
    assert {round(word.left, 2) for word in labels} == {0.0}
    for label, text in zip(labels, texts, strict=True):
        assert label.low == pytest.approx(text.low, abs=0.6)
    # Lines of 13.5 points, one point over and under each row; the long text takes a line or two more.
    steps = [(a.low - b.low) / POINT for a, b in zip(texts, texts[1:], strict=False)]
    assert steps[:3] == [pytest.approx(15.5)] * 3
    assert steps[3] in (pytest.approx(15.5 + 13.5), pytest.approx(15.5 + 27.0))


def test_figures_of_a_table_stand_to_the_right_and_words_to_the_left():
    columns = (
        Column("name"), Column("cut", Kind.TAPED), Column("angle", Kind.ANGLE), Column("clip", Kind.COUNT, tick=True),
    )  # fmt: skip
    rows = (("rise", 1483.4, 90.0, 1), ("a longer name", 56.2, 22.5, 12))
    page = laid(parts_flow([Table(columns, rows)], Styles(180.0), MM))
    heads = {w.said: w for w in page.words if w.bold}
    assert list(heads) == ["name", "cut", "angle", "clip"]
    for said, head in (("rise", "name"), ("a longer name", "name")):
        assert page.word(said).left == pytest.approx(heads[head].left)
    for said, head in (("1483.5", "cut"), ("56", "cut"), ("90\u00b0", "angle"), ("22.5\u00b0", "angle"),
                       ("\u25a1 1", "clip"), ("\u25a1 12", "clip")):  # fmt: skip
        word = next(w for w in page.words if w.said == said)
        assert word.right == pytest.approx(heads[head].right, abs=0.05)
        assert not word.bold
    assert heads["name"].left == pytest.approx(3.0 * POINT)  # three points from the edge, as everywhere
    # Each row's words are level, the heads over them, and the longest name has room.
    assert len({round(w.low, 1) for w in heads.values()}) == 1
    assert page.word("a longer name").right < heads["cut"].left
    assert heads["clip"].right == pytest.approx(180.0 - 3.0 * POINT, abs=0.5)


def test_a_list_of_many_rows_is_cut_and_says_how_many_more():
    table = Table((Column("to"), Column("distance", Kind.ROUNDED)), tuple((f"post {k}", float(k)) for k in range(9)), 4)
    said = [w.said for w in laid(parts_flow([table], Styles(180.0), MM, whole=False)).words]
    assert "post 3" in said
    assert "post 4" not in said
    assert "and 5 more, all further off; the record has them" in said
    said = [w.said for w in laid(parts_flow([table], Styles(180.0), MM)).words]
    assert "post 8" in said


@pytest.mark.parametrize("codes", [True, False])
def test_remarks_have_their_kind_words_and_place_and_for_designers_their_code(codes):
    remarks = [Remark("error", "C102", "too near", "at x 1"), Remark("note", "D103", "thin", "")]
    page = laid(parts_flow(remarks, Styles(180.0, codes=codes), MM))
    words = [w.said for w in sorted(page.words, key=lambda w: (-round(w.low), w.left))]
    every = ["code", "what was found", "error", "C102", "too near", "at x 1", "note", "D103", "thin"]
    assert words == [word for word in every if codes or word not in ("code", "C102", "D103")]
    assert page.word("at x 1").size == 8.5


def test_contents_too_long_for_a_page_go_on_on_the_next():
    """Lines of 15 points: in 40 go two of five, in 14 none, and all that fit are not split."""
    register_fonts()
    contents = Contents()
    entries = [(f"key {k}", f"section {k}") for k in range(5)]
    flow = contents_list(contents, entries, 180.0, (PLAIN, BOLD))
    assert flow.wrap(0.0, 0.0) == (pytest.approx(180.0 / POINT), 75.0)
    first, rest = flow.split(0.0, 40.0)
    assert (first.part, rest.part) == (entries[:2], entries[2:])
    assert flow.split(0.0, 14.0) == []
    assert flow.split(0.0, 75.0) == []
    page = laid([flow])
    words = [page.word(f"section {k}") for k in range(5)]
    assert [a.low - b.low for a, b in zip(words, words[1:], strict=False)] == [pytest.approx(15.0 * POINT)] * 4
    assert not any(w.bold for w in words)
    # The page's number goes to the right end of each line, level with its title.
    assert [key for key, *_ in contents.places] == [key for key, _ in entries]
    for word, (_, number, x, y) in zip(words, contents.places, strict=True):
        assert (number, x * POINT, y * POINT) == (1, pytest.approx(180.0), pytest.approx(word.low))
