"""Lines of the room behind words, by shapely."""

import random

import pytest
from shapely.geometry import LineString, MultiLineString, Polygon
from shapely.ops import unary_union

from pipemodel.drawing.interrupted import interrupted
from pipemodel.drawing.placing import box_of
from pipemodel.drawing.primitives import Line, Role, Text
from pipemodel.drawing.sheet import Sheet


@pytest.mark.parametrize("seed", range(6))
def test_lines_of_the_room_stop_before_words_and_all_else_stays(seed):
    dice = random.Random(seed)
    sheet = Sheet(200.0, 100.0)

    def spot():
        return dice.uniform(0.0, 200.0), dice.uniform(0.0, 100.0)

    with sheet.of("flow"):
        for role in (Role.ROOM, Role.HATCH, Role.CUT, Role.PAPER, Role.ROOM_HIDDEN, Role.DIMENSION, Role.RUN):
            sheet.line([spot() for _ in range(dice.randint(2, 5))], role)
    for k in range(12):
        sheet.words(f"wall {k}", spot(), 4.0, dice.choice(["left", "centre", "right"]), dice.choice([0.0, 90.0, 37.0]))
    sheet.dimension((20.0, 20.0), (80.0, 20.0), 4.0, "60")
    sheet.line([spot(), spot()], Role.ROOM)
    made = interrupted(sheet)
    taken = unary_union([Polygon(box_of(i, 0.3)) for i in sheet.primitives() if isinstance(i, Text)])
    for role in (Role.ROOM, Role.HATCH, Role.CUT, Role.PAPER, Role.ROOM_HIDDEN):
        before, after = ([LineString(i.points) for i in s.items if isinstance(i, Line) and i.role is role]
                         for s in (sheet, made))  # fmt: skip
        free = unary_union(before).difference(taken)
        # But for what is shorter than 0.2 mm between two words.
        assert MultiLineString(after).length == pytest.approx(free.length, abs=0.6)
        assert MultiLineString(after).intersection(taken).length < 1e-6
    kept = [i for i in sheet.items if not isinstance(i, Line) or i.role in (Role.DIMENSION, Role.RUN)]
    assert [i for i in made.items if not isinstance(i, Line) or i.role in (Role.DIMENSION, Role.RUN)] == kept
    owners = [owner for _, owner in made.by_owner()]
    assert set(owners[: owners.index("")]) == {"flow"}
    assert owners.count("flow") >= 6
    assert not any(owners[owners.index("") :])


def test_a_sheet_whose_words_lie_on_nothing_stays_as_it_is():
    sheet = Sheet(100.0, 50.0)
    sheet.line([(0.0, 0.0), (100.0, 0.0), (100.0, 50.0)], Role.ROOM)
    sheet.words("wall", (10.0, 20.0))
    assert interrupted(sheet).items == sheet.items
