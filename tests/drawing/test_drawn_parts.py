"""The parts that drawings are made of, held against figures worked by hand and against shapely."""

import math
import random
from math import hypot

import gallery
import numpy as np
import pytest
import shapely
from shapely.affinity import rotate as turned

from pipemodel import story
from pipemodel.bending.schedule import solve, solve_run
from pipemodel.drawing.clipping import ClipWindow, clip, clipped
from pipemodel.drawing.dimension import Dimension
from pipemodel.drawing.general import _points
from pipemodel.drawing.lettering import width_of
from pipemodel.drawing.placing import Placer, _strokes_cross, box_of, overlap
from pipemodel.drawing.primitives import arrow_head
from pipemodel.drawing.projection import FRONTS, ISOMETRICS, PLAN, SIDES, key_points, take_views
from pipemodel.drawing.sheet import Circle, Line, Role, Sheet, Text
from pipemodel.drawing.solids import room_solids, run_solids
from pipemodel.drawing.standing import where_stands
from pipemodel.drawing.tables import DrawnTable, draw_table
from pipemodel.drawing.tape_line import tape_line
from pipemodel.drawing.templates import TemplateStretch, planar_stretches, template
from pipemodel.drawing.wrap import wrap_strips
from pipemodel.geometry.shapes import Box
from pipemodel.job.model import Thing
from pipemodel.messages.units import MM
from pipemodel.pulls.plan import plan_pulls
from pipemodel.wording.rounding import marks_to_draw

WINDOW = ClipWindow(-50.0, -30.0, 60.0, 40.0)


# ---- dimensions and arrows


def heads(drawn):
    return [item for item in drawn if isinstance(item, Line) and item.filled]


@pytest.mark.parametrize(
    ("a", "b", "away", "line"),
    [
        # To the left of going east is up; to the left of going north is west.
        ((0, 0), (60, 0), 8, ((0, 8), (60, 8))),
        ((0, 0), (60, 0), -8, ((0, -8), (60, -8))),
        ((10, 0), (10, 50), 8, ((2, 0), (2, 50))),
        ((10, 50), (10, 0), 8, ((18, 50), (18, 0))),
        ((60, 5), (0, 5), 6, ((60, -1), (0, -1))),
    ],
)
def test_a_dimension_lies_to_the_left_and_its_arrows_point_at_what_it_measures(a, b, away, line):
    one, other, across, *rest = Dimension(a, b, away, "60").drawn()
    assert across.points == line
    # Extension lines leave a gap of 0.8 and run 1.5 beyond the line.
    for point, extension, foot in ((a, one, line[0]), (b, other, line[1])):
        begin, end = extension.points
        assert hypot(begin[0] - point[0], begin[1] - point[1]) == pytest.approx(0.8)
        assert hypot(end[0] - point[0], end[1] - point[1]) == pytest.approx(abs(away) + 1.5)
        assert hypot(end[0] - foot[0], end[1] - foot[1]) == pytest.approx(1.5)
    tips = heads(rest)
    assert [tip.points[0] for tip in tips] == list(line)
    middle = np.mean(line, axis=0)
    for tip in tips:
        # Between its tip and the middle lies the rest of the head: it points outwards.
        assert np.linalg.norm(np.mean(tip.points[1:], axis=0) - middle) < np.linalg.norm(tip.points[0] - middle)
    (figure,) = [item for item in rest if isinstance(item, Text)]
    assert (figure.text, figure.align) == ("60", "centre")
    assert hypot(*(figure.at - middle)) == pytest.approx(0.8)


def test_a_figure_stands_above_its_line_or_to_the_left_of_it():
    """Read from below, or from the right: never upside down."""
    for end in ((60, 0), (-60, 0), (0, 60), (0, -60), (40, 40), (-40, 40), (-40, -40), (40, -40)):
        figure = Dimension((0.0, 0.0), end, 7.0, "60").drawn()[-1]
        line = Dimension((0.0, 0.0), end, 7.0, "60").drawn()[2]
        middle = np.mean(line.points, axis=0)
        assert -90.0 < (figure.angle + 180.0) % 360.0 - 180.0 <= 90.0
        up = np.array([-np.sin(np.radians(figure.angle)), np.cos(np.radians(figure.angle))])
        assert (figure.at - middle) @ up == pytest.approx(0.8)


def test_a_short_dimension_has_its_arrows_outside_and_its_figure_beside_them():
    """5 mm is less than three arrows of 2.5: they point at it from outside, each on a line of 5."""
    drawn = Dimension((0.0, 0.0), (5.0, 0.0), 6.0, "555", 2.5).drawn()
    tips = heads(drawn)
    assert [tip.points[0] for tip in tips] == [(0.0, 6.0), (5.0, 6.0)]
    assert tips[0].points[1][0] < -2.4
    assert tips[1].points[1][0] > 7.4
    lines = [item.points for item in drawn if isinstance(item, Line) and not item.filled][2:]
    wide = width_of("555", 2.5)
    assert lines[0] == ((-5.0, 6.0), (0.0, 6.0))
    assert lines[1] == ((5.0, 6.0), (10.0, 6.0))
    assert lines[2] == ((5.0, 6.0), (pytest.approx(5.0 + 5.0 + wide + 1.6), 6.0))
    assert drawn[-1].at == (pytest.approx(10.0 + 0.8 + wide / 2.0), pytest.approx(6.8))
    assert Dimension((1.0, 1.0), (1.0, 1.0), 6.0, "0").drawn() == ()


def test_an_arrowhead_has_fifteen_degrees_and_points_away_from_where_it_comes_from():
    head = arrow_head((10.0, 5.0), (-1.0, 0.0), 4.0)
    tip, left, right = head.points
    assert tip == (10.0, 5.0)
    assert left[0] == right[0] == 6.0
    assert sorted((left[1] - 5.0, right[1] - 5.0)) == pytest.approx([-0.5266, 0.5266], abs=1e-3)  # 4 tan 7.5
    sheet = Sheet(100.0, 100.0)
    sheet.arrow((50.0, 50.0), (50.0, 80.0), Role.MARK, 3.0)
    (arrow,) = sheet.items
    assert (arrow.points[0], arrow.role, arrow.closed, arrow.filled) == ((50.0, 50.0), Role.MARK, True, True)
    assert [p[1] for p in arrow.points[1:]] == [53.0, 53.0]


# ---- what runs into what


@pytest.mark.parametrize("align", ["left", "centre", "right"])
@pytest.mark.parametrize("angle", [0.0, 90.0, 30.0, -60.0])
def test_words_take_room_for_tails_below_their_baseline(align, angle):
    """A quarter of the height below the line for g and p, and half a millimetre all round; turned about where it is."""
    words = Text("gauge", (20.0, 10.0), 4.0, align, angle)
    wide = width_of("gauge", 4.0)
    left = 20.0 - {"left": 0.0, "centre": 0.5, "right": 1.0}[align] * wide
    room = turned(shapely.box(left - 0.5, 8.5, left + wide + 0.5, 14.5), angle, origin=(20.0, 10.0))
    assert shapely.Polygon(box_of(words)).symmetric_difference(room).area < 1e-6
    bare = turned(shapely.box(left, 9.0, left + wide, 14.0), angle, origin=(20.0, 10.0))
    assert shapely.Polygon(box_of(words, 0.0)).symmetric_difference(bare).area < 1e-6


def test_other_words_on_the_same_line_keep_more_than_a_space_away():
    """A space of DejaVu Sans is 0.318 of the size, 0.436 of the height of its capitals."""
    placer = Placer(ClipWindow(0.0, 0.0, 200.0, 100.0))
    placer.add([Text("cold feed start", (50.0, 50.0), 2.5)])
    end = 50.0 + width_of("cold feed start", 2.5, False)
    near, clear = ([Text("gas 1", (end + gap, 50.0), 2.5)] for gap in (0.436 * 2.5 + 0.1, 2.0))
    assert placer.cost(near) is None
    assert placer.cost(clear) == 0.0
    # A leader may still end there.
    assert placer.cost([Line(((end + 0.3, 40.0), (end + 0.3, 60.0)), Role.DIMENSION)]) is not None


def test_outlines_overlap_as_shapely_says():
    dice, counted, strokes = random.Random(2), [0, 0], [0, 0]
    for _ in range(600):
        shapes = []
        for _ in range(2):
            x, y = dice.uniform(-10, 10), dice.uniform(-10, 10)
            if dice.random() < 0.2:
                turns = [math.radians(45.0 * k + 22.5) for k in range(8)]
                shapes.append(tuple((x + 3.0 * math.cos(t), y + 3.0 * math.sin(t)) for t in turns))
            elif dice.random() < 0.5:
                shapes.append(((x, y), (x + dice.uniform(-12, 12), y + dice.uniform(-12, 12))))
            else:
                shapes.append(box_of(Text("abc", (x, y), dice.uniform(1, 4), "left", dice.uniform(-180, 180)), 0.0))
        one, other = (shapely.LineString(s) if len(s) == 2 else shapely.Polygon(s) for s in shapes)
        wanted = one.intersects(other)
        assert overlap(*shapes) == wanted
        if all(len(shape) == 2 for shape in shapes):
            assert _strokes_cross(*shapes) == wanted
            strokes[wanted] += 1
        counted[wanted] += 1
    assert min(counted) > 60
    assert min(strokes) >= 5


def test_of_strokes_that_touch_both_ways_to_tell_say_the_same():
    """Ends on ends and on strokes, strokes along one line, points: where rounding decides, it decides alike."""
    dice, met = random.Random(7), [0, 0]
    for _ in range(2_000):
        a, b, c = ((dice.randint(-6, 6) / 3.0, dice.randint(-6, 6) / 3.0) for _ in range(3))
        share = dice.choice([0.0, 0.5, 1.0, 1.0 / 3.0, 1.0 + 1e-9, 2.0])
        on = (a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1]))
        for other in ((on, c), (c, on), (on, on), (on, (2.0 * b[0] - a[0], 2.0 * b[1] - a[1]))):
            assert _strokes_cross((a, b), other) == overlap((a, b), other)
            met[overlap((a, b), other)] += 1
    assert min(met) > 500


def test_strokes_are_cut_at_a_window_as_shapely_cuts_them():
    dice, counted = random.Random(4), [0, 0]
    ground = shapely.box(*WINDOW)
    assert (WINDOW.width, WINDOW.height) == (110.0, 70.0)
    for k in range(600):
        a, b = ((dice.uniform(-120, 120), dice.uniform(-120, 120)) for _ in range(2))
        if k % 5 == 0:
            b = (a[0], b[1]) if k % 2 else (b[0], a[1])
        wanted = shapely.LineString([a, b]).intersection(ground)
        found = clip(a, b, WINDOW)
        assert (found is None) == wanted.is_empty
        if found:
            assert np.allclose(found, wanted.coords, atol=1e-9)
        counted[found is not None] += 1
    assert min(counted) > 100


def test_a_stroke_that_leaves_a_window_and_comes_back_is_in_two_parts():
    path = [(-40.0, 0.0), (0.0, 0.0), (0.0, 80.0), (30.0, 80.0), (30.0, 0.0), (50.0, 0.0)]
    assert clipped(path, WINDOW) == [
        [(-40.0, 0.0), (0.0, 0.0), (0.0, 40.0)],
        [(30.0, 40.0), (30.0, 0.0), (50.0, 0.0)],
    ]


# ---- views


@pytest.mark.parametrize("view", [PLAN, *FRONTS, *SIDES, *ISOMETRICS])
def test_a_view_is_taken_from_where_its_title_says(view):
    """x is east, y north, z up. Whoever looks from the south has east on the right; from above, north is up."""
    side = view.title.rpartition("from ")[2].removeprefix("the ")
    east, north, up = view.toward_eye
    assert (east > 0.0) == ("east" in side)
    assert (east < 0.0) == ("west" in side)
    assert (north > 0.0) == ("north" in side)
    assert (north < 0.0) == ("south" in side)
    assert (up > 0.0) == (view is PLAN or view.isometric)
    assert view.isometric == view.title.startswith("isometric")
    right_of = {"south": (1, 0, 0), "north": (-1, 0, 0), "east": (0, 1, 0), "west": (0, -1, 0), "above": (1, 0, 0)}
    for name, axis in right_of.items():
        if name in side and not view.isometric:
            assert view.right == pytest.approx(axis)
            assert view.flat(tuple(7.0 * a for a in axis)) == pytest.approx((7.0, 0.0))
    assert view.flat((0.0, 0.0, 5.0) if view is not PLAN else (0.0, 5.0, 0.0))[1] > 0.0


@pytest.mark.parametrize(("screen_at", "front", "side"), [(-400, "north", "west"), (400, "south", "west")])
def test_an_elevation_is_taken_from_the_open_side(screen_at, front, side):
    """A board stands beside the tube, on the south or on the north."""
    run = gallery.run("flow", ((0.0, 0.0, 100.0), (600.0, 0.0, 100.0), (600.0, 0.0, 500.0)))
    board = Thing("board", Box((-100.0, screen_at - 10.0, -100.0), (800.0, screen_at + 10.0, 900.0)))
    schedule = solve(gallery.job("one", [run], [board]))
    solids = [*run_solids(schedule.runs), *room_solids(schedule)]
    views = take_views(solids, key_points(schedule.runs), where_stands(schedule))
    assert views.front.view.title == f"from the {front}"
    assert views.side.view.title == f"from the {side}"
    assert views.front.hidden == 0.0


# ---- tables, templates, the wrap and the tape line


def test_a_table_has_a_bold_head_words_to_the_left_and_figures_to_the_right():
    table = DrawnTable(("corner", "x"), (("start", "0"), ("finish", "1200")))
    sheet = Sheet(100.0, 100.0)
    draw_table(sheet, table, 10.0, 20.0)
    words = [item for item in sheet.items if isinstance(item, Text)]
    first, second = table.widths
    assert [(w.text, w.bold, w.align) for w in words] == [
        ("corner", True, "left"), ("x", True, "right"), ("start", False, "left"), ("0", False, "right"),
        ("finish", False, "left"), ("1200", False, "right"),
    ]  # fmt: skip
    assert {w.at[0] for w in words if w.align == "left"} == {11.5}
    assert [w.at[0] for w in words if w.align == "right"] == pytest.approx([10.0 + first + second - 1.5] * 3)
    assert [w.at[1] for w in words[::2]] == pytest.approx([20.0 + 8.8 + 1.1, 20.0 + 4.4 + 1.1, 21.1])
    assert table.size == (first + second, pytest.approx(13.2))
    many = DrawnTable(("n",), tuple((str(k),) for k in range(10)))
    assert many.no_higher_than(44.0).rows == (*((str(k),) for k in range(8)), ("and 2 more",))
    assert many.no_higher_than(48.5) is many


def test_the_table_of_a_return_says_its_angle_and_pull_once():
    """Corners at 500 and 154 apart; the last leg 500."""
    run = solve_run(gallery.run("loop", gallery.RETURN, gallery.TUBE_22, gallery.FORMER_22, joined=(1,)))
    assert _points(run, MM, plan_pulls(run)).rows == (
        ("start", "0", "0", "0", "", "", ""),
        ("bend 1 a", "500", "0", "0", "500", "180\u00b0", "pull 1"),
        ("bend 1 b", "500", "154", "0", "154", "", ""),
        ("finish", "0", "154", "0", "500", "", ""),
    )


def test_stretches_of_bends_in_one_plane_are_named():
    assert [str(s.bends) for s in (TemplateStretch(1, 1), TemplateStretch(2, 4))] == ["bend 1", "bends 2 to 4"]
    run = solve_run(gallery.run("flow", gallery.TWO_PLANES))
    assert [(s.first, s.last) for s in planar_stretches(run)] == [(1, 1), (2, 2)]
    flat = solve_run(gallery.run("flow", gallery.SET))
    (stretch,) = planar_stretches(flat)
    assert template(flat, stretch).title == "flow, bends 1 to 2, full size"


def test_a_wrap_says_which_edge_goes_where():
    run = solve_run(gallery.run("flow", gallery.TWO_PLANES))
    marks = marks_to_draw(run, plan_pulls(run))
    for sheet in wrap_strips(run, marks):
        said = [item.text for item in sheet.items if isinstance(item, Text)]
        assert "tab" in said
        assert any(text.startswith("flow, bend") for text in said)
        assert any(" from the start end" in text for text in said)


def test_the_tape_line_is_to_scale_with_its_axis_just_past_both_ends():
    schedule = solve(gallery.job("one", [gallery.run("flow", gallery.TWO_PLANES)]))
    run, plan = schedule.runs[0], story.plans(schedule)[0]
    sheet = tape_line(run, plan)
    outline = next(item for item in sheet.items if isinstance(item, Line) and item.role is Role.OUTLINE)
    left, right = outline.points[0][0], outline.points[1][0]
    low, high = outline.points[0][1], outline.points[2][1]
    assert (left, right, high - low) == (8.0, 172.0, pytest.approx(6.0))
    (axis,) = [item for item in sheet.items if isinstance(item, Line) and item.role is Role.CENTRE]
    assert axis.points == ((4.0, low + 3.0), (176.0, low + 3.0))
    scale = 164.0 / run.cut_length_mm
    marks = sorted(item.points[0][0] for item in sheet.items if isinstance(item, Line) and item.role is Role.MARK
                   and item.points[0][0] == item.points[1][0] and item.points[0][1] == low - 1.5)  # fmt: skip
    assert marks == pytest.approx([8.0 + at * scale for at in sorted(marks_to_draw(run, plan).values())])
    # A thin line leads from under each mark down to the clock of its pull.
    clocks = [item for item in sheet.items if isinstance(item, Circle) and item.radius == 3.0]
    leaders = [item.points for item in sheet.items if isinstance(item, Line) and item.role is Role.PAPER
               and item.points[0][1] == low - 1.5]  # fmt: skip
    assert sorted(a[0] for a, _ in leaders) == pytest.approx(marks)
    assert sorted(b for _, b in leaders) == sorted((c.centre[0], c.centre[1] + 3.0) for c in clocks)
    words = {item.text: item for item in sheet.items if isinstance(item, Text)}
    assert words["start"].at[0] == 8.0
    assert words["start"].align == "left"
    cut = next(item for text, item in words.items() if text.startswith("cut "))
    assert (cut.at[0], cut.align) == (172.0, "right")


@pytest.mark.parametrize(("long", "inside"), [(15.2, True), (6.9, True), (5.0, False)])
def test_a_figure_stands_between_its_lines_wherever_it_is_no_wider_than_they_are_apart(long, inside):
    """Between lines 6.9 apart the arrows stand outside and the figure within, over a line that goes through."""
    text = "15"
    assert (width_of(text, 2.5) + 1.6 <= long) is inside
    drawn = Dimension((0.0, 0.0), (long, 0.0), 6.0, text, 2.5).drawn()
    assert (drawn[-1].at[0] == pytest.approx(long / 2.0)) is inside
    ends = {item.points for item in drawn if isinstance(item, Line) and not item.filled}
    assert (((0.0, 6.0), (long, 6.0)) in ends) is inside
