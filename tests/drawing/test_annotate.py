"""What is written about a run of two square legs, 600 east and 400 north, in views worked by hand.

The plan shows it 0.225 of a millimetre to the millimetre, its corner at the lower right; the elevation from the south
sees the second leg end on.
"""

from math import hypot

import gallery
import pytest

from pipemodel.bending.schedule import solve_run
from pipemodel.drawing.annotate import (
    back_of,
    dimension_legs,
    name_ends,
    name_run,
    name_thing,
    number_bends,
    point_out,
)
from pipemodel.drawing.clipping import ClipWindow
from pipemodel.drawing.panel import Panel, draw_seen
from pipemodel.drawing.projection import FRONTS, ISOMETRICS, PLAN, Seen, Solid
from pipemodel.drawing.sheet import Circle, Dimension, Line, Role, Sheet, Text
from pipemodel.messages.units import INCHES, MM
from pipemodel.solids.projected import Stroke

RUN = solve_run(gallery.run("flow", gallery.QUARTER))
AREA = ClipWindow(0.0, 0.0, 200.0, 150.0)
HALF = 7.5 * 0.225


def panel_of(view=PLAN, sheet=None):
    high = 400.0 if view is PLAN else 100.0
    return Panel.filled(sheet or Sheet(200.0, 150.0), view, AREA, ((0.0, 0.0), (600.0, high)), (30.0, 30.0))


def words(panel):
    return {i.text: i for i in panel.sheet.items if isinstance(i, Text)}


def dimensions(*panels):
    dimension_legs(panels, RUN, MM)
    return [i for panel in panels for i in panel.sheet.items if isinstance(i, Dimension)]


def test_each_leg_is_dimensioned_from_corner_to_corner_on_its_outside():
    plan = panel_of()
    assert plan.k == pytest.approx(0.225)
    first, second = dimensions(plan)
    corners = [plan.at(p) for p in gallery.QUARTER]
    assert (first.text, first.a, first.b, first.height) == ("600", corners[0], corners[1], 2.5)
    assert (second.text, second.a, second.b) == ("400", corners[1], corners[2])
    # To the right of the way both times, 5 beyond the tube's wall.
    assert (first.away, second.away) == (pytest.approx(-5.0 - HALF), pytest.approx(-5.0 - HALF))
    front = panel_of(FRONTS[0])
    (seen,) = dimensions(front)
    assert seen.text == "600"  # the other is seen end on
    assert dimensions(panel_of(ISOMETRICS[0])) == []


def test_a_dimension_goes_further_out_or_to_the_other_side_where_something_is_in_the_way():
    plan = panel_of()
    x, y = plan.at((300.0, 0.0, 0.0))
    plan.placer.add((Text("in the way", (x, y - 5.0 - HALF), 2.5, "centre"),))
    first, _ = dimensions(plan)
    assert first.away == pytest.approx(-9.5 - HALF)
    plan = panel_of()
    for step in range(12):
        plan.placer.add((Text("in the way", (x, y - 4.0 - 3.0 * step), 2.5, "centre"),))
    first, _ = dimensions(plan)
    assert first.away == pytest.approx(5.0 + HALF)
    # Room that is free in another view is taken there.
    plan, front = panel_of(), panel_of(FRONTS[0])
    for step in range(-12, 12):
        plan.placer.add((Text("in the way", (x, y - 1.0 - 3.0 * step), 2.5, "centre"),))
    dimension_legs((plan, front), RUN, MM)
    assert [i.text for i in plan.sheet.items if isinstance(i, Dimension)] == ["400"]
    assert [i.text for i in front.sheet.items if isinstance(i, Dimension)] == ["600"]


def test_a_bend_is_pointed_to_at_its_back():
    """Its middle is (1 - cos 45) 55 = 16.1 from both its legs; its centre at (545, 55)."""
    plan = panel_of()
    spot = back_of(plan, RUN.centreline.arcs[0], RUN)
    assert spot.at == pytest.approx(plan.at((600.0 - 16.109, 16.109, 0.0)), abs=1e-3)
    assert spot.way == pytest.approx((0.7071, -0.7071), abs=1e-4)
    assert spot.half == pytest.approx(HALF)


@pytest.mark.parametrize("angles", [True, False])
def test_bends_have_their_number_everywhere_and_their_angle_once_where_it_is_true(angles):
    front, plan, isometric = panel_of(FRONTS[0]), panel_of(), panel_of(ISOMETRICS[0])
    number_bends((front, plan, isometric), RUN, MM, angles)
    assert [list(words(p)) for p in (front, plan, isometric)] == [["1"], ["1: 90\u00b0" if angles else "1"], ["1"]]
    for panel in (front, plan, isometric):
        (word,) = words(panel).values()
        assert (word.role, word.bold, word.height) == (Role.MARK, True, 3.0)
    (word,) = words(plan).values()
    spot = back_of(plan, RUN.centreline.arcs[0], RUN)
    assert word.at[0] - spot.at[0] == pytest.approx((HALF + 2.5) * spot.way[0])
    assert word.at[1] + 1.5 - spot.at[1] < 0.0
    # Where only the isometric is left, it is given there.
    only = panel_of(ISOMETRICS[0])
    number_bends((panel_of(FRONTS[0]), only), RUN, MM)
    assert list(words(only)) == ["1: 90\u00b0"]


def test_ends_face_away_from_the_run():
    start, finish = RUN.centreline.ends
    assert start == ("start", (0.0, 0.0, 0.0), pytest.approx((-1.0, 0.0, 0.0)))
    assert (finish[0], finish[1], finish[2]) == (
        "finish", pytest.approx((600.0, 400.0, 0.0)), pytest.approx((0.0, 1.0, 0.0)),
    )  # fmt: skip


@pytest.mark.parametrize(("units", "where"), [(MM, "(600, 400, 0)"), (INCHES, "(23 5/8, 15 3/4, 0)")])
def test_ends_are_named_before_them_with_their_place_in_the_first_view(units, where):
    plan, front = panel_of(), panel_of(FRONTS[0])
    name_ends((plan, front), RUN, units, named=False)
    assert list(words(plan)) == ["start (0, 0, 0)", f"finish {where}"]
    assert list(words(front)) == ["start", "finish"]
    start, finish = words(plan).values()
    x, y = plan.at((0.0, 0.0, 0.0))
    assert (start.align, start.at) == ("right", (pytest.approx(x - HALF - 2.5), pytest.approx(y - 1.1)))
    x, y = plan.at((600.0, 400.0, 0.0))
    assert finish.align == "centre"
    assert finish.at == (pytest.approx(x), pytest.approx(y + HALF + 2.5 - 1.1))
    assert {w.height for w in (start, finish)} == {2.2}
    named = panel_of()
    name_ends((named,), RUN, MM, named=True)
    assert list(words(named)) == ["flow start", "flow finish"]


def test_an_end_with_no_room_for_its_place_has_its_name_and_its_place_in_the_next_view():
    plan, front = panel_of(), panel_of(FRONTS[0])
    x, y = plan.at((0.0, 0.0, 0.0))
    for step in range(-5, 6):
        for aside in (-18.0, 22.0):
            plan.placer.add((Text("WWWW", (x + aside, y + 3.2 * step), 2.5, "centre"),))
    name_ends((plan, front), RUN, MM, named=False)
    assert "start" in words(plan)
    assert "start (0, 0, 0)" in words(front)


def test_a_run_is_named_once():
    plan, front = panel_of(), panel_of(FRONTS[0])
    name_run((plan, front), RUN)
    assert (list(words(plan)), list(words(front))) == (["flow"], [])
    assert words(plan)["flow"].at[0] < plan.at((0.0, 0.0, 0.0))[0]


def test_a_thing_is_named_in_the_middle_of_its_outline_or_beside_what_is_there():
    outline = [(20.0, 20.0), (80.0, 20.0), (80.0, 60.0), (20.0, 60.0)]
    plan = panel_of()
    name_thing("waste pipe", [(plan, outline)])
    (word,) = words(plan).values()
    assert (word.text, word.at, word.align, word.role) == (
        "waste pipe",
        (50.0, pytest.approx(38.9)),
        "centre",
        Role.ROOM,
    )
    # Taken: three tenths of the way across or up.
    name_thing("boxing", [(plan, outline)])
    other = words(plan)["boxing"]
    assert other.at != word.at
    assert 20.0 < other.at[0] < 80.0
    assert 20.0 < other.at[1] < 60.0
    # Where nothing is free, another view is taken, and there is no name where there is none.
    crowded = panel_of()
    for k in range(60):
        crowded.placer.add((Text("W" * 40, (100.0, 2.5 * k), 2.5, "centre"),))
    name_thing("boxing", [(crowded, outline), (free := panel_of(), outline)])
    assert words(crowded) == {}
    assert list(words(free)) == ["boxing"]


def test_a_name_points_to_a_place_of_its_own_thing():
    """Of two places the one 3 from another thing's would be taken for that: the line ends at the other."""
    plan = panel_of()
    things = {"near": [(60.0, 60.0), (120.0, 60.0)], "other": [(63.0, 60.0)]}
    point_out(plan, things, 2.0)
    said = words(plan)
    assert set(said) == {"near", "other"}
    assert {w.height for w in said.values()} == {2.0}
    dots = {c.centre for c in plan.sheet.items if isinstance(c, Circle) and c.filled}
    assert dots == {(120.0, 60.0), (63.0, 60.0)}
    lines = [i for i in plan.sheet.items if isinstance(i, Line)]
    assert {line.points[0] for line in lines} == dots
    for name, dot in (("near", (120.0, 60.0)), ("other", (63.0, 60.0))):
        mine = next(line for line in lines if line.points[0] == dot)
        assert hypot(mine.points[1][0] - said[name].at[0], mine.points[1][1] - said[name].at[1]) < 6.0
    # With no place but one so near it points there all the same.
    plan = panel_of()
    point_out(plan, {"one": [(60.0, 60.0)], "two": [(61.0, 60.0)]}, 2.0)
    assert set(words(plan)) == {"one", "two"}


def test_tubes_are_drawn_full_where_they_are_seen_and_broken_where_not_and_things_only_where_they_are_seen():
    """What lies beyond what is shown is cut off; of each thing the points are given that its name may point to."""
    strokes = (
        Stroke(((0.0, 0.0), (600.0, 0.0)), 0, True),
        Stroke(((0.0, 10.0), (600.0, 10.0)), 0, False),
        Stroke(((100.0, 50.0), (300.0, 50.0)), 1, True),
        Stroke(((100.0, 60.0), (300.0, 60.0)), 1, False),
        Stroke(((100.0, 99000.0), (300.0, 99000.0)), 1, True),
    )
    plan = panel_of()
    drawn = draw_seen(plan, Seen(PLAN, (Solid(None), Solid(None, "post")), strokes), [])
    lines = [(i.role, i.points) for i in plan.sheet.items if isinstance(i, Line)]
    ends = [tuple(pytest.approx(plan.on_sheet(p)) for p in strokes[k].points) for k in (0, 1, 2)]
    assert lines == [(Role.RUN, ends[0]), (Role.RUN_HIDDEN, ends[1]), (Role.ROOM, ends[2])]
    a, b = plan.on_sheet((100.0, 50.0)), plan.on_sheet((300.0, 50.0))
    assert drawn == {"post": [pytest.approx(a), pytest.approx(b), pytest.approx(((a[0] + b[0]) / 2.0, a[1]))]}


def test_the_axis_is_drawn_inside_a_tube_wide_enough_and_on_to_the_corners():
    """At 0.225 the tube is 3.4 wide, at a tenth of that 0.3; the corner stands 55 from where the bend begins."""
    for k, wide in ((0.225, True), (0.0225, False)):
        panel = Panel(Sheet(200.0, 150.0), PLAN, AREA, ClipWindow(0.0, 0.0, 600.0, 400.0), k)
        draw_seen(panel, Seen(PLAN, (), ()), [RUN])
        axis = [i.points for i in panel.sheet.items if isinstance(i, Line) and i.role is Role.CENTRE]
        assert len(axis) == (3 if wide else 0)
        corners = [i.points for i in panel.sheet.items if isinstance(i, Line) and i.role is Role.PAPER]
        there = [(545.0, 0.0, 0.0), (600.0, 0.0, 0.0), (600.0, 55.0, 0.0)]
        assert corners == [tuple(pytest.approx(panel.at(p)) for p in there)]
