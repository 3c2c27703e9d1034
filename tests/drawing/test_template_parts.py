"""A template and a wrap of one square bend, worked by hand: where each stroke and each word lies on the paper.

600 east, 400 north, radius 55, tube 15: legs of 545 and 345 with a quarter of a circle between. Laid with its first leg
level, the bend goes from (0, 0) about (0, 55) to (55, 55), and its middle is at (38.89, 16.11).
"""

from math import cos, hypot, pi, radians, sin

import gallery
import numpy as np
import pytest
from PIL import ImageFont

from pipemodel.bending.schedule import solve_run
from pipemodel.drawing.clipping import ClipWindow
from pipemodel.drawing.fonts import font_file
from pipemodel.drawing.lettering import width_of
from pipemodel.drawing.panel import Panel, ribbon
from pipemodel.drawing.projection import FRONTS, ISOMETRICS, PLAN
from pipemodel.drawing.sheet import Line, Role, Sheet, Text
from pipemodel.drawing.templates import TemplateStretch, angle_card, planar_stretches, template
from pipemodel.drawing.wrap import wrap_marks, wrap_strips
from pipemodel.messages.say import say

RUN = solve_run(gallery.run("flow", gallery.QUARTER))


class Laid:
    """A template read from where its first bend begins."""

    def __init__(self, run=RUN, **how):
        (stretch,) = planar_stretches(run)
        self.sheet = template(run, stretch, **how)
        self.origin = np.mean(self.lines(Role.MARK)[0], axis=0)

    def lines(self, role):
        return [np.array(i.points) for i in self.sheet.items if isinstance(i, Line) and i.role is role]

    def across(self, role):
        """Straight strokes across the tube: their middles from the origin, and their lengths."""
        strokes = [p for p in self.lines(role) if len(p) == 2]
        return [(p.mean(axis=0) - self.origin, hypot(*(p[1] - p[0]))) for p in strokes]

    def word(self, begins):
        (word,) = [i for i in self.sheet.items if isinstance(i, Text) and i.text.startswith(begins)]
        return word.text, np.array(word.at) - self.origin


@pytest.mark.parametrize("tilt", [0.0, 30.0, 75.0])
def test_it_is_laid_with_its_first_leg_at_the_tilt_and_its_first_bend_to_the_left(tilt):
    laid = Laid(tail=150.0, tilt=tilt)
    c, s = cos(radians(tilt)), sin(radians(tilt))
    turn = np.array([[c, -s], [s, c]])
    first, arc, last = (p - laid.origin for p in laid.lines(Role.CENTRE))
    assert first == pytest.approx(np.array([turn @ (-150.0, 0.0), (0.0, 0.0)]), abs=1e-9)
    assert last == pytest.approx(np.array([turn @ (55.0, 55.0), turn @ (55.0, 205.0)]), abs=1e-9)
    assert np.hypot(*(arc - turn @ (0.0, 55.0)).T) == pytest.approx(np.full(len(arc), 55.0))
    # Chords that miss the arc by less than a hundredth of a millimetre.
    step = max(np.hypot(*np.diff(arc, axis=0).T))
    assert 55.0 - (55.0**2 - (step / 2.0) ** 2) ** 0.5 < 0.01
    # Both walls stand 7.5 off the axis, one to each side.
    walls = [p - laid.origin for p in laid.lines(Role.OUTLINE) if len(p) > 2]
    assert sorted(np.mean(np.hypot(*(w - turn @ (0.0, 55.0)).T)) for w in walls) == pytest.approx([47.5, 62.5])
    begins, ends = laid.across(Role.MARK)
    assert ends[0] == pytest.approx(turn @ (55.0, 55.0), abs=1e-9)
    assert (begins[1], ends[1]) == (pytest.approx(25.0), pytest.approx(25.0))  # 5 beyond either wall


@pytest.mark.parametrize(("inside", "side"), [(False, 1.0), (True, -1.0)])
def test_a_bend_is_named_at_its_back_or_inside_with_its_angle_and_radius(inside, side):
    laid = Laid(inside=inside)
    text, at = laid.word("bend 1")
    assert text == "bend 1: 90\u00b0, R 55"
    middle, back = np.array([38.891, 16.109]), np.array([0.7071, -0.7071])
    assert (at - middle) @ back * side > 7.5
    assert hypot(*(at - middle)) < 45.0


def test_legs_cut_short_are_crossed_where_they_are_cut_and_say_how_long_they_are():
    laid = Laid(tail=150.0)
    cuts = laid.across(Role.DIMENSION)
    assert [middle.tolist() for middle, _ in cuts] == [pytest.approx([-150.0, 0.0]), pytest.approx([55.0, 205.0])]
    assert [size for _, size in cuts] == [pytest.approx(23.0)] * 2  # 4 beyond either wall
    text, at = laid.word("cut short: leg 545")
    assert at[0] < -150.0
    assert hypot(*(at - [-150.0, 0.0])) < 60.0
    text, at = laid.word("cut short: leg 345")
    assert text == "cut short: leg 345"
    assert at[1] > 205.0
    # Whole, it ends with a stroke from wall to wall at either end, and says nothing.
    whole = Laid(tail=600.0)
    assert whole.across(Role.DIMENSION) == []
    walls = [(middle.tolist(), size) for middle, size in whole.across(Role.OUTLINE) if size < 16.0]
    assert walls == [
        (pytest.approx([-545.0, 0.0]), pytest.approx(15.0)), (pytest.approx([55.0, 400.0]), pytest.approx(15.0)),
    ]  # fmt: skip
    assert not [i for i in whole.sheet.items if isinstance(i, Text) and "cut short" in i.text]
    first, _, last = whole.lines(Role.CENTRE)
    assert (hypot(*(first[1] - first[0])), hypot(*(last[1] - last[0]))) == (pytest.approx(545.0), pytest.approx(345.0))


@pytest.mark.parametrize("tail", [60.0, 150.0])
def test_the_sheet_is_as_large_as_what_is_on_it_and_12_all_round(tail):
    sheet = Laid(tail=tail).sheet
    boxes = []
    for item in sheet.items:
        if isinstance(item, Text):
            font = ImageFont.truetype(font_file(item.bold), 200)
            wide = font.getlength(item.text) / 200.0 * item.height / 0.72
            left = item.at[0] - {"left": 0.0, "centre": wide / 2.0, "right": wide}[item.align]
            boxes.append([left, item.at[1] - 0.25 * item.height, left + wide, item.at[1] + item.height])
        elif isinstance(item, Line):
            boxes.append([*np.min(item.points, axis=0), *np.max(item.points, axis=0)])
    low, high = np.min(boxes, axis=0)[:2], np.max(boxes, axis=0)[2:]
    assert (low >= 12.0 - 1e-6).all()
    assert (high <= np.array([sheet.width, sheet.height]) - 12.0 + 1e-6).all()
    # No more than that: letters are reckoned a little wider than they are.
    assert (low < 17.0).all()
    assert (high > np.array([sheet.width, sheet.height]) - 20.0).all()


def test_bends_that_leave_the_plane_or_follow_a_long_leg_have_a_template_of_their_own():
    def stretches(corners):
        return [(s.first, s.last) for s in planar_stretches(solve_run(gallery.run("flow", corners)))]

    zigzag = [(0.0, 0.0, 0.0), (300.0, 0.0, 0.0), (300.0, 300.0, 0.0), (600.0, 300.0, 0.0), (600.0, 600.0, 0.0)]
    assert stretches(zigzag) == [(1, 3)]
    assert stretches([*zigzag, (600.0, 600.0, 300.0)]) == [(1, 3), (4, 4)]
    # 411 from corner to corner leave 301 of straight, 409 leave 299.
    for leg, wanted in ((409.0, [(1, 2)]), (411.0, [(1, 1), (2, 2)])):
        assert stretches([(0.0, 0.0, 0.0), (300.0, 0.0, 0.0), (300.0, leg, 0.0), (600.0, leg, 0.0)]) == wanted


@pytest.mark.parametrize("angle", [90.0, 30.0, 150.0])
def test_an_angle_card_says_its_angle_in_its_middle_and_what_it_is_for(angle):
    """Legs of 60 from 3 beyond where the bend's inside, 47.5, would touch: at 90 from 50.5 to 110.5 both ways."""
    card = angle_card(RUN, angle)
    (edge,) = [np.array(i.points) for i in card.items if isinstance(i, Line)]
    said = {i.text: i for i in card.items if isinstance(i, Text)}
    assert list(said) == [f"{angle:g}\u00b0", "Cut out; laid inside the bend, both legs lie along it."]
    figure, use = said.values()
    assert (figure.at[0], figure.at[1] + 2.0) == pytest.approx(tuple(edge.mean(axis=0)))
    assert (figure.align, figure.bold, figure.height) == ("centre", True, 4.0)
    assert use.at == (6.0, 2.5)
    assert card.title == f"Angle card {angle:g}\u00b0"
    throat = 47.5 * np.tan(radians(angle) / 2.0) + 3.0
    a, b, c, d = edge
    assert (hypot(*(b - a)), hypot(*(c - d))) == (pytest.approx(60.0), pytest.approx(60.0))
    assert hypot(*(d - a)) == pytest.approx(2.0 * throat * sin(radians(180.0 - angle) / 2.0))
    assert a[1] == b[1] == 9.0  # the lower edge is level, over the line of words
    assert edge.min(axis=0)[0] >= 6.0 - 1e-9
    assert edge[:, 0].max() <= card.width - 6.0 + 1e-9
    assert edge[:, 1].max() == pytest.approx(card.height - 4.0)
    assert card.width >= 90.0
    if angle == 90.0:
        assert card.width == pytest.approx(6.0 + 110.5 + 6.0)


def test_a_wrap_of_one_bend():
    """The mark is where the bend begins, at 545; its inside line runs 20 either way, and 3 are left beyond: the strip
    begins at a full 10, at 520, and ends at 568. The tube is 15 pi = 47.12 round, and the line in the middle of it.
    """
    (mark,) = wrap_marks(RUN, {1: 545.0})
    assert (mark.bend, mark.at_mm, mark.around) == (1, 545.0, 0.5)
    (sheet,) = wrap_strips(RUN, {1: 545.0}, 178.0)
    lines = {role: [i.points for i in sheet.items if isinstance(i, Line) and i.role is role] for role in Role}
    (outline,) = lines[Role.OUTLINE]
    (x0, y0), (x1, _), (_, top), _ = outline
    assert (x1 - x0, top - y0) == (pytest.approx(48.0), pytest.approx(15.0 * pi))
    assert (x0, y0) == (2.0, 7.0)
    across, along = lines[Role.MARK]
    assert across == ((x0 + 25.0, y0), (x0 + 25.0, pytest.approx(top)))
    middle = y0 + 7.5 * pi
    assert along == ((x0 + 5.0, pytest.approx(middle)), (x0 + 45.0, pytest.approx(middle)))
    # The tab is 6 deep under the lower edge, and says so; the head stands over the upper one.
    assert ((x0, y0), (x0, y0 - 6.0), (x1, y0 - 6.0), (x1, y0)) in lines[Role.PAPER]
    said = {i.text: i for i in sheet.items if isinstance(i, Text)}
    tab = next(i for text, i in said.items() if text == "tab")
    assert y0 - 6.0 < tab.at[1] < tab.at[1] + tab.height < y0
    head, edge = said["flow, bend 1"], said["left edge 520 from the start end"]
    assert top < edge.at[1] < edge.at[1] + edge.height < head.at[1] < sheet.height
    word = said["1: 545"]
    # Beside the cross of its lines, on neither of them.
    assert 0.5 < word.at[0] - (x0 + 25.0) < 10.0
    assert 0.5 < word.at[1] - middle < 10.0
    assert word.bold
    assert sheet.title == "Wrap of flow, bend 1"
    assert sheet.height >= head.at[1] + head.height
    assert sheet.width == pytest.approx(48.0 + 4.0)


def test_a_wrap_begins_no_further_than_the_tube_and_ends_with_it():
    """20 from the start a strip begins at the end of the tube itself; so it does at the finish."""
    short = solve_run(gallery.run("flow", ((0.0, 0.0, 0.0), (75.0, 0.0, 0.0), (75.0, 75.0, 0.0))))
    (sheet,) = wrap_strips(short, {1: 20.0}, 178.0)
    outline = next(i.points for i in sheet.items if isinstance(i, Line) and i.role is Role.OUTLINE)
    assert outline[1][0] - outline[0][0] == pytest.approx(43.0)  # 20 + 20 + 3
    assert any(i.text == "left edge 0 from the start end" for i in sheet.items if isinstance(i, Text))
    along = [i.points for i in sheet.items if isinstance(i, Line) and i.role is Role.MARK][1]
    assert [x - outline[0][0] for x, _ in along] == pytest.approx([0.0, 40.0])
    # Words that are longer than the strip have room on the sheet.
    longest = max(width_of(i.text, i.height, i.bold) for i in sheet.items if isinstance(i, Text) and i.at[1] > 50.0)
    assert sheet.width == pytest.approx(longest + 4.0)
    assert longest > 43.0


@pytest.mark.parametrize("slope", [1.0, -1.0])
def test_up_on_a_wrap_is_anticlockwise_seen_from_the_start(slope):
    """With the finish to the right and the paper facing the eye, its upper edge goes away over the top of the tube."""
    corners = (
        (0.0, 0.0, 0.0),
        (400.0, 0.0, 0.0),
        (400.0, 400.0, 0.0),
        (0.0, 400.0, 400.0 * slope),
        (100.0, 0.0, 250.0),
    )
    run = solve_run(gallery.run("flow", corners))
    marks = wrap_marks(run, {1: 300.0, 2: 600.0, 3: 900.0})
    arcs, turned = run.centreline.arcs, []
    for one, two, before, after in zip(arcs, arcs[1:], marks, marks[1:], strict=False):
        way, last, first = (np.array(v) for v in (two.direction_at(0.0), one.finish, two.start))
        inside, then = np.array(one.centre) - last, np.array(two.centre) - first
        clockwise = np.degrees(np.arctan2(way @ np.cross(inside, then), inside @ then))
        assert (before.around - after.around) % 1.0 == pytest.approx(clockwise / 360.0 % 1.0, abs=1e-9)
        turned.append(abs(clockwise))
    assert max(turned) > 10.0


def test_marks_further_apart_than_a_strip_is_long_go_on_strips_of_their_own():
    run = solve_run(gallery.run("flow", gallery.TWO_PLANES))
    for apart, count in ((80.0, 1), (120.0, 2)):
        strips = list(wrap_strips(run, {1: 300.0, 2: 300.0 + apart}, 178.0))
        assert len(strips) == count
        named = [i.text for s in strips for i in s.items if isinstance(i, Text) and i.text.startswith("flow, ")]
        assert named == (["flow, bends 1, 2"] if count == 1 else ["flow, bend 1", "flow, bend 2"])


# ---- a view in its place


def test_a_panel_fills_its_area_but_for_its_padding_from_the_middle_out():
    """70 by 30 free for 400 by 100: 0.175 of a mm to the mm; the middles lie on each other."""
    sheet, area = Sheet(100.0, 80.0), ClipWindow(10.0, 20.0, 90.0, 60.0)
    panel = Panel.filled(sheet, PLAN, area, ((0.0, 0.0), (400.0, 100.0)), (5.0, 5.0))
    assert panel.k == pytest.approx(0.175)
    assert panel.at((200.0, 50.0, 7.0)) == pytest.approx((50.0, 40.0))
    assert panel.at((400.0, 0.0, 0.0)) == pytest.approx((50.0 + 35.0, 40.0 - 8.75))
    assert panel.window == pytest.approx(area)
    tall = Panel.filled(sheet, PLAN, area, ((0.0, 0.0), (100.0, 100.0)), (5.0, 5.0))
    assert tall.k == pytest.approx(0.3)


def test_what_is_seen_end_on_has_no_way_and_no_true_length():
    sheet, area = Sheet(100.0, 80.0), ClipWindow(0.0, 0.0, 100.0, 80.0)
    plan, front, isometric = (Panel.filled(sheet, v, area, ((0.0, 0.0), (100.0, 80.0)), (0.0, 0.0))
                              for v in (PLAN, FRONTS[0], ISOMETRICS[0]))  # fmt: skip
    assert plan.way((0.0, 0.0, 1.0), (0.3, 0.4)) == (0.3, 0.4)
    assert plan.way((0.0, 1.0, 0.0)) == pytest.approx((0.0, 1.0))
    assert front.way((0.6, 0.8, 0.0)) == pytest.approx((1.0, 0.0))
    a, east, up, sloping = (0.0, 0.0, 0.0), (100.0, 0.0, 0.0), (0.0, 0.0, 100.0), (100.0, 0.0, 100.0)
    assert [plan.true_length(a, b) for b in (east, up, sloping)] == [True, False, False]
    assert [front.true_length(a, b) for b in (east, up, sloping)] == [True, True, True]
    assert not any(isometric.true_length(a, b) for b in (east, up, sloping))


def test_walls_stand_to_the_left_and_right_of_the_axis():
    left, right = ribbon([(0.0, 0.0), (10.0, 0.0), (10.0, 10.0)], 2.0)
    assert (left[0], right[0]) == ((0.0, 2.0), (0.0, -2.0))
    assert (left[2], right[2]) == ((8.0, 10.0), (12.0, 10.0))
    half = 2.0 / 2.0**0.5  # at a corner square to the way from neighbour to neighbour
    assert left[1] == pytest.approx((10.0 - half, half))
    assert right[1] == pytest.approx((10.0 + half, -half))
    left, right = ribbon([(5.0, 5.0), (5.0, 5.0)], 2.0)  # end on
    assert (left[0], right[0]) == ((5.0, 7.0), (5.0, 3.0))
    assert [say(s.bends) for s in (TemplateStretch(1, 1), TemplateStretch(2, 4))] == ["bend 1", "bends 2 to 4"]
