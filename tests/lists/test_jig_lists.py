"""What the lists of a jig say of figures, and how a list is divided over sheets: against figures given here."""

from dataclasses import replace
from math import inf
from types import SimpleNamespace

import numpy as np
import pytest
from jig_pieces import PIECES

from pipemodel.drawing.sheet import Sheet
from pipemodel.jigs.reading import Stray
from pipemodel.jigs.verdict import JigFault, Limit
from pipemodel.jigs.worth import worth_of
from pipemodel.job.jig import Tolerance
from pipemodel.lists.blocks import Content, Group, JobList, Listing, Paragraph, Picture, Table
from pipemodel.lists.jig_limits import limit_rows
from pipemodel.lists.jig_picture import _board
from pipemodel.lists.jig_steps import _off
from pipemodel.lists.jig_worth import worth_record


def test_legs_are_limited_in_mm_and_angles_and_turns_in_degrees():
    limits = [
        Limit(JigFault("leg", 2), 3.0, 1.26, 2.5, inf),
        Limit(JigFault("angle", 1), 1.0, 0.5, 0.8, 1.5),
        Limit(JigFault("turn", 2), 1.5, 0.5, 0.8, inf),
    ]
    rows = limit_rows(SimpleNamespace(limits=limits))
    assert [row[1] for row in rows] == ["3.0 mm", "1.0 deg", "1.5 deg"]
    assert [row[3] for row in rows] == ["2.5", "0.8", "0.8"]
    assert rows[0][4] == rows[2][4] != rows[1][4] == "1.5"


@pytest.mark.parametrize(
    ("across", "up", "said"),
    [
        (1.24, 0.0, "1.2 mm left"),
        (-1.0, 0.04, "1.0 mm right"),
        (0.0, 2.0, "2.0 mm up"),
        (0.04, -2.0, "2.0 mm down"),
        (0.5, -0.5, "0.5 mm left 0.5 mm down"),
    ],
)
def test_how_far_tube_lies_off_its_place_is_said_by_side_and_height(across, up, said):
    assert str(_off(Stray(1, across, up))) == said


def test_each_fault_names_the_check_that_shows_it_counted_from_1():
    worth = worth_of(PIECES["four bends"], Tolerance())
    record = worth_record(worth)
    named = [(one.check, entry["check"]) for one, entry in zip(worth.shown, record["shown"], strict=True)]
    assert {None if at is None else at + 1 for at, _ in named} == {number for _, number in named}
    for at, number in named:
        assert number is None or record["checks"][number - 1]["text"] == str(worth.checks[at].said)
    assert max(number for _, number in named if number) == len(record["checks"])


def test_the_board_under_a_jig_of_timber_is_18_thick_and_as_large_as_it_is_said_to_be():
    timber = SimpleNamespace(board_low=np.array([-20.0, 5.0]), board_mm=(300.0, 120.0))
    board = _board(SimpleNamespace(plan=SimpleNamespace(timber=timber)))
    assert board.vertices.min(axis=0) == pytest.approx([-20.0, 5.0, -18.0])
    assert board.vertices.max(axis=0) == pytest.approx([280.0, 125.0, 0.0])


def test_a_picture_begins_a_sheet_and_what_has_none_shares_one():
    picture = Picture(Sheet(10.0, 10.0), "caption")
    groups = tuple(Group((picture,) if name.isupper() else (Paragraph("words"),), name) for name in "abCdDef")
    kind = JobList("list", "List", lambda _: None)
    sheets = Listing("list", kind, Content(Table((), ()), groups)).by_sheet
    assert ["".join(group.name for group in one.content.groups) for one in sheets] == ["ab", "C", "d", "D", "ef"]
    assert all(replace(one, content=sheets[0].content) == sheets[0] for one in sheets)
