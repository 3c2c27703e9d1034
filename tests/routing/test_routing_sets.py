"""Sets, plain and rolled: against printed multipliers and worked examples, and against the tube as bent."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from routes import FORMER, TUBE, axis_points, box, corners, faults, pipe, table, to_box

from pipemodel.geometry.shapes import HalfSpace
from pipemodel.job.model import Thing
from pipemodel.trade.model import Former

INCH = 25.4
HALF = TUBE.outside_mm / 2
SHARP = Former(0.001)
"""As good as no radius, for handbook figures that are worked at sharp corners."""


def a_set(offset, angle, former=FORMER, before=1000.0, after=1000.0, **more):
    items = ({"east": before}, {"set": {"offset": offset, "to": "north", "angle": angle, **more}}, {"go": after})
    return corners(*items, former=former), table(*items, former=former)


@pytest.mark.slow
@given(st.floats(111, 400), st.floats(10, 89.9))
def test_a_set_moves_the_tube_by_its_offset_and_back_into_line(offset, angle):
    points, bent = a_set(offset, angle)
    assert points[-1][1] == pytest.approx(offset, abs=1e-9)
    assert (points[-1] - points[-2]) == pytest.approx((1000, 0, 0), abs=1e-9)
    assert [b.angle_deg for b in bent.bends] == pytest.approx([angle, angle], abs=1e-9)
    assert bent.bends[1].turn_deg == 180.0


@pytest.mark.parametrize(
    ("angle", "multiplier", "exact"),
    [(15, 3.86, 3.8637), (22.5, 2.6, 2.6131), (30, 2.0, 2.0), (45, 1.4, 1.4142), (60, 1.2, 1.1547)],
)
def test_printed_multipliers_of_a_set(angle, multiplier, exact):
    """Hand conduit bender instruction sheet: centre to centre of the bends = multiplier x offset."""
    points, _ = a_set(100.0, angle, SHARP)
    travel = np.linalg.norm(points[2] - points[1])
    assert travel == pytest.approx(100 * exact, abs=0.01)
    assert travel == pytest.approx(100 * multiplier, rel=0.04)


@pytest.mark.parametrize(("angle", "constant"), [(60, 1.15), (45, 1.41), (30, 2.00), (22.5, 2.61), (11.25, 5.12)])
def test_fitting_constants_of_an_early_textbook(angle, constant):
    """Elements of Plumbing, chapter on measurements (5-5/8 is printed 10.22 for 10.2023, a misprint, and left out)."""
    points, _ = a_set(100.0, angle, SHARP)
    assert np.linalg.norm(points[2] - points[1]) == pytest.approx(100 * constant, rel=0.005)


@pytest.mark.parametrize(
    ("angle", "shrink"),
    [(10, 1 / 16), (15, 1 / 8), (22.5, 3 / 16), (30, 1 / 4), (45, 3 / 8), (60, 1 / 2)],
)
def test_printed_shrink_lies_under_that_of_sharp_corners(angle, shrink):
    """The same sheet: shrink per inch of offset; tan(a/2) at sharp corners, and less with any radius."""
    points, bent = a_set(1000.0, angle, SHARP)
    exact = (bent.length_mm - (points[-1][0] - points[0][0])) / 1000.0
    assert exact == pytest.approx(math.tan(math.radians(angle) / 2), abs=1e-5)
    assert shrink < exact


def test_a_45_degree_offset_of_an_early_textbook():
    """Elements of Plumbing: 12 in offset at 45, travel 16.92 (constant 1.41; exact 16.971)."""
    points, _ = a_set(12 * INCH, 45, Former(20.0))
    travel = np.linalg.norm(points[2] - points[1]) / INCH
    assert travel == pytest.approx(16.971, abs=1e-3)
    assert travel == pytest.approx(16.92, abs=1 / 16)


def test_a_45_degree_offset_of_a_plumbing_textbook():
    """Modern Plumbing p. 94: 10 in offset at 45, run 10, travel 14.14."""
    points, _ = a_set(10 * INCH, 45, Former(20.0))
    run, aside, _ = (points[2] - points[1]) / INCH
    assert (run, aside) == pytest.approx((10.0, 10.0), abs=0.01)
    assert math.hypot(run, aside) == pytest.approx(14.14, abs=0.01)


@pytest.mark.parametrize(("radius", "apart", "shrink"), [(4.5, 11.945, 1.497), (5.75, 11.929, 1.466)])
def test_a_30_degree_offset_with_its_radius(radius, apart, shrink):
    """Instruction sheet: 6 in at 30, 12 in between marks, shrink 1-1/2 in, each within 1/8 in; exact worked by hand."""
    points, bent = a_set(6 * INCH, 30, Former(radius * INCH))
    middles = [(b.start_mm + b.arc_mm / 2) / INCH for b in bent.bends]
    assert middles[1] - middles[0] == pytest.approx(apart, abs=5e-4)
    assert middles[1] - middles[0] == pytest.approx(12.0, abs=1 / 8)
    lost = (bent.length_mm - (points[-1][0] - points[0][0])) / INCH
    assert lost == pytest.approx(shrink, abs=5e-4)
    assert lost == pytest.approx(1.5, abs=1 / 8)


@pytest.mark.parametrize(("angle", "travel", "advance"), [(45, 20.39, 14.42), (22.5, 37.68, 34.81)])
def test_rolling_offsets_of_an_examination_page(angle, travel, advance):
    """A plumbing examination page: offset 12, rise 8: true offset 14.42; travel 20.39 and 37.68, set back 34.81."""
    rolled = {"set": {"offset": "12 in", "to": "north", "rise": "8 in", "angle": angle}}
    points = corners({"east": 1000}, rolled, {"go": 500}, former=Former(20.0)) / INCH
    moved = points[2] - points[1]
    assert moved[1:] == pytest.approx((12, 8), abs=1e-9)
    assert math.hypot(*moved[1:]) == pytest.approx(14.42, abs=0.02)
    assert np.linalg.norm(moved) == pytest.approx(travel, abs=0.02)
    assert moved[0] == pytest.approx(advance, abs=0.02)
    assert (points[-1] - points[-2]).tolist() == pytest.approx([500 / INCH, 0, 0])


def test_the_same_rolling_offset_in_whole_runs():
    """The same page: with 42 and 61 in of run, A 27.58 and C 46.58 at 45; A 7.19 and C 26.19 at 22.5."""
    for angle, first, last in ((45, 27.58, 46.58), (22.5, 7.19, 26.19)):
        to = {"north": "12 in", "up": "8 in"}
        where = {"last bend": "42 in"}
        items = (
            {"turn": "east"},
            {"set": {"to": to, "angle": angle, **where}},
            {"corner": [61 * INCH, 12 * INCH, 8 * INCH]},
        )
        points = corners(*items, former=Former(20.0)) / INCH
        assert points[1][0] == pytest.approx(first, abs=0.02)
        assert 61 - points[1][0] - (points[2] - points[1])[0] == pytest.approx(19.0, abs=0.02)
        assert 61 - (points[2] - points[1])[0] == pytest.approx(last, abs=0.02)


def test_a_rolled_set_on_an_upright_leg():
    points = corners({"up": 500}, {"set": {"to": {"north": 60, "west": 25}, "angle": 45}}, {"go": 300})
    assert (points[2] - points[1])[:2].tolist() == pytest.approx([-25, 60])
    assert points[-1][2] - points[-2][2] == 300


def test_the_folding_rule_and_the_radius_of_the_former():
    """C&G Plumbing Book 1 p. 93: offset 50, a 600 rule opened to 550. Hinged at its middle it shows 47.1 degrees
    (the hinge is our reading); the run is then 50 / tan 47.1 = 46.4."""
    angle = 180 - 2 * math.degrees(math.asin(275 / 300))
    assert angle == pytest.approx(47.1, abs=0.05)
    points, _ = a_set(50.0, angle)
    assert (points[2] - points[1])[0] == pytest.approx(46.4, abs=0.1)


def test_where_a_set_lies():
    for where, first in (("first bend", 300.0), ("centre", 300.0 - 50.0), ("last bend", 300.0 - 100.0)):
        points = corners({"turn": "east"}, {"set": {"offset": 100, "to": "up", "angle": 45, where: 300}}, {"go": 200})
        assert points[1][0] == pytest.approx(first)
    after_a_go = corners({"east": 200}, {"set": {"offset": 100, "to": "up", "angle": 45, "centre": 100}}, {"go": 200})
    assert after_a_go[1][0] == pytest.approx(250)


def test_a_set_by_its_length():
    points = corners({"east": 300}, {"set": {"offset": 60, "to": "up", "length": 150}}, {"go": 200})
    assert (points[2] - points[1]).tolist() == pytest.approx([150, 0, 60])


def test_a_set_of_square_bends():
    points = corners({"east": 300}, {"set": {"offset": 200, "to": "up", "angle": 90}}, {"go": 200})
    assert points.tolist() == [[0, 0, 0], [300, 0, 0], [300, 0, 200], [500, 0, 200]]


def test_a_set_begins_where_the_leg_before_is_measured_to():
    """The back of the set's first bend is 400 from the end of the tube."""
    points = corners({"east": {"to back": 400}}, {"set": {"offset": 60, "to": "up", "angle": 45}}, {"go": 200})
    assert points[1][0] == pytest.approx(400 - TUBE.outside_mm / 2 * math.tan(math.radians(22.5)))


@pytest.mark.slow
@given(st.floats(20, 60), st.floats(0, 25), st.floats(25, 75))
@settings(max_examples=8)
def test_a_set_that_clears_a_skirting_keeps_the_gap_and_no_more(thick, gap, angle):
    """Down a wall at clip standoff, set out over the skirting: the gap is what the bent tube really has."""
    skirting = box((-400.0, -thick, 0.0), (400.0, 0.0, 120.0), "skirting")
    words = ({"turn": "down"}, {"set": {"clear": "skirting", "gap": gap, "to": "south", "angle": angle}}, {"go": 300})
    points, _ = axis_points(*words, start=(0.0, -15.0, 700.0), things=[skirting], step=0.2)
    assert np.min(to_box(points, skirting.shape)) - HALF == pytest.approx(gap, abs=1e-3)
    # As late as that: any lower and the slope comes nearer than the gap.
    assert np.min(to_box(points - (0, 0, 0.5), skirting.shape)) - HALF < gap - 1e-3


WALL = Thing("north wall", HalfSpace((0.0, 500.0, 0.0), (0.0, -1.0, 0.0)))


def test_follow_a_wall_the_tube_comes_towards():
    follow = {"follow": {"face": "north wall", "standoff": 15, "turn": "east", "for": 800}}
    made = corners({"turn": "north"}, follow, {"up": 300}, things=[WALL])
    assert made.tolist() == [[0, 0, 0], [0, 485, 0], [800, 485, 0], [800, 485, 300]]


def test_follow_a_wall_the_tube_runs_beside():
    follow = {"follow": {"face": "north wall", "standoff": 15, "angle": 30, "for": 800}}
    made = corners({"east": 200}, follow, {"up": 300}, start=(0.0, 400.0, 0.0), things=[WALL])
    assert made[:, 1].tolist() == [400, 400, 485, 485, 485]
    assert made[3][0] - made[2][0] == 800


def test_follow_a_wall_at_its_standoff_already():
    made = corners({"turn": "east"}, {"follow": {"face": "north wall", "standoff": 15, "for": 800}}, {"up": 90},
                   start=(0.0, 485.0, 0.0), things=[WALL])  # fmt: skip
    assert made.tolist() == [[0, 485, 0], [800, 485, 0], [800, 485, 90]]


def test_follow_a_side_of_a_boxing():
    boxing = box((0.0, 0.0, -500.0), (2000.0, 100.0, 500.0))
    follow = {"face": "boxing", "standoff": 15, "angle": 30, "for": 400}
    made = corners({"east": 300}, {"follow": follow}, start=(0.0, -80.0, 0.0), things=[boxing])
    assert made[-1][1] == -15
    both = {"start": (0.0, -80.0, 600.0), "things": [boxing]}
    ((item, message),) = faults({"east": 300}, {"follow": follow}, **both)
    assert (item, "side" in message) == (1, True)
    made = corners({"east": 300}, {"follow": {**follow, "side": "up"}}, **both)
    assert made[-1].tolist()[1:] == [-80, 515]


@pytest.mark.parametrize(
    ("items", "item", "words"),
    [
        ([{"east": 300}, {"set": {"offset": 20, "to": "north", "angle": 60}}, {"go": 90}], 1, "use 35 degrees or less"),
        ([{"east": 300}, {"set": {"offset": 60, "to": "west", "angle": 60}}, {"go": 90}], 1, "along the tube"),
        ([{"turn": "east"}, {"set": {"offset": 60, "to": "up", "angle": 45}}, {"go": 90}], 1, "no length"),
        ([{"east": 300}, {"set": {"offset": 60, "to": "up", "angle": 45}}], 1, "ends in a bend"),
        ([{"east": 300}, {"set": {"to": {"north": 60, "north east": 20}, "angle": 45}}, {"go": 90}], 1, "quarter turn"),
        ([{"up": 300}, {"set": {"offset": 60, "to": "north", "rise": 20, "angle": 45}}, {"go": 90}], 1, "upright"),
        ([{"east": 300}, {"follow": {"face": "north wall", "standoff": 15, "for": 300}}], 1, "`angle`"),
        ([{"north": 100}, {"follow": {"face": "north wall", "standoff": 15, "for": 300}}], 1, "`turn`"),
        ([{"turn": "north"}, {"follow": {"face": "north wall", "standoff": 15, "turn": "south"}}], 1, "that face"),
        ([{"turn": "east"}, {"set": {"clear": "pipe", "gap": 5, "to": "up", "angle": 45}}], 1, "not in the way"),
        ([{"east": 90}, {"set": {"clear": "pipe", "gap": 5, "to": "up", "angle": 45}}, {"go": 90}], 1, "leave out"),
    ],
)  # fmt: skip
def test_a_set_that_cannot_be_made(items, item, words):
    found = faults(*items, things=[WALL, pipe(500, 0, 300, name="pipe")])
    assert [index for index, _ in found] == [item]
    assert words in found[0][1]
