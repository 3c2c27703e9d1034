"""Parts of a list as the page's template takes them: which cells are figures, ticked, too near; signs and looks."""

import pytest

from pipemodel.documents.page.parts import parts_view
from pipemodel.lists.blocks import Bullets, Facts, Paragraph, Remark, Subheading
from pipemodel.lists.table import Column, Kind, Lines, Stretch, Table, TooNear
from pipemodel.messages.units import INCHES, MM

COLUMNS = (
    Column("name"), Column("bend", Kind.BEND), Column("n", Kind.COUNT), Column("cut", Kind.TAPED, strong=True),
    Column("gap", Kind.ROUNDED), Column("angle", Kind.ANGLE),
)  # fmt: skip
ROW = ("rise", 2, 7, Stretch(100.0, 200.0), TooNear(3.04), 22.46)


def test_cells_say_what_they_are():
    (table,) = parts_view([Table(COLUMNS, (ROW,))], MM, "rise", "Cut list")
    assert (table["kind"], table["of"], table["more"]) == ("table", "Cut list (rise)", 0)
    assert [head["text"] for head in table["heads"]] == ["name", "bend", "n", "cut", "gap", "angle"]
    (row,) = table["rows"]
    assert [cell["text"] for cell in row] == ["rise", "2", "7", "100", "3.0", "22.5"]
    # What is read off a tape, a rule or a protractor is a figure; counts and numbers of bends are not.
    assert [cell["figure"] for cell in row] == [head["figure"] for head in table["heads"]]
    assert [cell["figure"] for cell in row] == [False, False, False, True, True, True]
    assert [cell["words"] for cell in row] == [True, False, False, False, False, False]
    assert [cell["strong"] for cell in row] == [False, False, False, True, False, False]
    assert [cell["bend"] for cell in row] == [False, True, False, False, False, False]
    assert [cell["too_near"] for cell in row] == [False, False, False, False, True, False]
    assert not any(cell["named"] for cell in row)


def test_lines_of_a_cell_have_their_figure_and_their_name():
    columns = (Column("pieces"),)
    lines = Lines((((lambda units: units.length(1483.4)), "rise"), ((lambda units: units.length(560.0)), "stub")))
    for units, figures in ((MM, ["1483.5", "560"]), (INCHES, ["58 3/8 (58.40)", "22 1/16 (22.05)"])):
        (table,) = parts_view([Table(columns, ((lines,),))], units, "", "Cut list")
        assert table["of"] == "Cut list"
        assert [(f.split(" mm")[0].split(" in")[0], n) for f, n in table["rows"][0][0]["named"]] == list(
            zip(figures, ["rise", "stub"], strict=True)
        )


def test_a_long_table_says_how_many_more_and_an_empty_one_is_left_out():
    rows = tuple((f"post {k}",) for k in range(9))
    (table,) = parts_view([Table((Column("to"),), rows, 4)], MM, "", "Distances")
    assert [row[0]["text"] for row in table["rows"]] == ["post 0", "post 1", "post 2", "post 3"]
    assert table["more"] == "And 5 more, all further off."
    assert parts_view([Table((Column("to"),), ())], MM, "", "Distances") == []


@pytest.mark.parametrize(
    ("severity", "sign", "look"),
    [("error", "\u2715 wrong", "fail"), ("warning", "! look at", "look"), ("note", "note", "quiet")],
)
def test_remarks_come_first_with_their_sign(severity, sign, look):
    parts = [Paragraph("a text"), Remark(severity, "C102", "too near", "at x 1")]
    remarks, paragraph = parts_view(parts, MM, "", "Findings")
    assert remarks == {
        "kind": "remarks",
        "items": [{"sign": sign, "look": look, "code": "C102", "text": "too near", "where": "at x 1"}],
    }
    assert paragraph == {"kind": "paragraph", "text": "a text", "look": "plain"}


def test_facts_headings_and_lists():
    parts = [Facts((("Tube", "15 x 0.7"),)), Subheading("Bends:", "as drawn"), Bullets(("one", "two"))]
    facts, heading, bullets = parts_view(parts, MM, "", "rise")
    assert facts == {"kind": "facts", "rows": [("Tube", "15 x 0.7")]}
    assert heading == {"kind": "subheading", "text": "Bends", "more": "as drawn"}
    assert (bullets["kind"], bullets["items"], bullets["notes"]) == ("bullets", ["one", "two"], False)
