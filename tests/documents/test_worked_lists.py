"""The lists of the job worked by hand as they leave the program: workbook, Markdown, page; see `worked_job`.

The lists under worked_papers were written by the program and read against its figures, as in `test_worked_papers`.
"""

import io
from pathlib import Path

import openpyxl
import pytest
from lxml import html
from worked_job import WORKED, worked

from pipemodel.documents.page.page import page_html
from pipemodel.documents.tables.markdown import markdown
from pipemodel.documents.tables.workbook import workbook
from pipemodel.messages.units import INCHES, MM
from pipemodel.results.identity import identity
from pipemodel.wording.cautions import caution_lines

PAGES = Path(__file__).parents[1] / "worked_papers"
FULL = ("x", "y", "z", "radius", "gain")


def page(name):
    return (PAGES / name).read_text(encoding="utf-8")


@pytest.mark.parametrize(("units", "name"), [(MM, "lists.md"), (INCHES, "lists-in.md")], ids=["mm", "in"])
def test_the_lists_in_markdown(units, name):
    answer = worked(WORKED, units)
    assert markdown(answer).replace(identity(answer.schedule), "worked IDENTITY") == page(name)


def test_the_words_of_the_page():
    """Everything on the page that is not in a drawing, in its order."""
    answer = worked()
    root = html.fromstring(page_html(answer))
    for hidden in root.xpath("//script|//style|//svg"):
        hidden.drop_tree()
    assert " ".join(root.itertext()).split() == page("page.txt").split()


@pytest.fixture(scope="module")
def book():
    return openpyxl.load_workbook(io.BytesIO(workbook(worked())))


def test_the_workbook_says_what_it_is(book):
    lines = [cell.value for cell in book["job"]["A"]]
    answer = worked()
    assert lines == [
        "worked",
        identity(answer.schedule),
        "FAIL: 3 things are wrong",
        "All in mm and degrees.",
        *caution_lines(),
    ]
    looks = [(cell.font.b, cell.alignment.wrap_text, cell.alignment.vertical) for cell in book["job"]["A"]]
    assert looks == [(True, True, "top"), *[(False, True, "top")] * (len(lines) - 1)]
    assert book["job"].column_dimensions["A"].width == pytest.approx(100.0, abs=1.0)
    about = book.properties
    assert (about.title, about.creator) == ("worked", "pipemodel")


def test_heads_stay_in_sight_and_rows_can_be_sorted(book):
    for sheet in book.worksheets[1:]:
        assert sheet.freeze_panes == "B2"
        assert sheet.auto_filter.ref == sheet.dimensions
        assert sheet.max_row > 1
        for cell in sheet[1]:
            assert (cell.font.b, cell.border.bottom.style, cell.alignment.wrap_text) == (True, "thin", True)


def widths(sheet):
    """The width of each column: a file gives alike neighbours one entry."""
    out = {}
    for entry in sheet.column_dimensions.values():
        for column in range(entry.min, entry.max + 1):
            out[column] = entry.width
    return [out.get(column + 1) for column in range(sheet.max_column)]


def test_columns_are_as_wide_as_what_stands_in_them(book):
    """The longest word of a head and 3, or the longest value and 1; from 8 to 60. A file adds 0.71 for the margins."""
    for sheet in book.worksheets[1:]:
        wanted = []
        for head, *cells in sheet.iter_cols(values_only=True):
            values = ["" if c is None else str(float(c) if type(c) is int and is_length(head) else c) for c in cells]
            longest = max(len(word) + 2 for word in head.split())
            longest = max(longest, *(min(len(value), 60) for value in values))
            wanted.append(min(max(longest + 1, 8), 60) + 0.71)
        assert widths(sheet) == [pytest.approx(w, abs=0.01) for w in wanted], sheet.title


def is_length(head):
    return head.endswith((", mm", ", degrees")) or head.startswith("goes ")


def test_figures_are_numbers_with_as_many_places_as_they_have(book):
    """Counts whole, lengths off a tape and angles to what they have, lengths in full to thousandths."""
    seen = set()
    for sheet in book.worksheets[1:]:
        for head, *cells in sheet.iter_cols():
            name = head.value.split(",")[0]
            for cell in cells:
                if not isinstance(cell.value, int | float):
                    continue
                if not is_length(head.value):
                    wanted = "0"
                elif name.startswith("goes "):
                    wanted = "0.000000"
                elif name in FULL or name.endswith("in full") or name.startswith(("start ", "finish ")):
                    wanted = "0.000"
                else:
                    wanted = "0.0##"
                assert (cell.number_format, cell.alignment.vertical) == (wanted, "top"), (sheet.title, name)
                seen.add(wanted)
    assert seen == {"0", "0.0##", "0.000", "0.000000"}


def test_in_inches_the_workbook_gives_tape_figures_as_texts():
    sheets = openpyxl.load_workbook(io.BytesIO(workbook(worked(WORKED, INCHES))))
    pulls = {head.value: [cell.value for cell in cells] for head, *cells in sheets["pulls"].iter_cols()}
    assert pulls["mark, in"] == ["22 1/4 (22.27)", "44 15/16 (44.96)"]
    runs = {head.value: [cell.value for cell in cells] for head, *cells in sheets["runs"].iter_cols()}
    assert runs["cut length in full, in"] == [
        pytest.approx(1483.388 / 25.4, abs=1e-4),
        pytest.approx(560 / 25.4, abs=1e-6),
    ]
    near = {head.value: [cell.value for cell in cells] for head, *cells in sheets["distances"].iter_cols()}
    assert near["distance, in"][:3] == [0.12, 0.3, 1.99]  # 3, 7.5 and 50.5 mm
