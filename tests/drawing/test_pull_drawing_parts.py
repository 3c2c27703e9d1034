"""Small parts of a pull drawing, through a projection worked out here: former, breaks, arrow, the place to stand.

The eye stands 18 degrees to the right of straight before the bender and looks down by 40: x of the bender (along the
tube) goes to the right and down a little, y away, z up. The tail of 300 is broken off at 170 mm.
"""

import random
from itertools import combinations
from math import cos, hypot, pi, radians, sin
from types import SimpleNamespace

import numpy as np
import pytest
import shapely
from made_runs import made_run
from PIL import ImageFont
from wide import few_or_many

from pipemodel.drawing.fonts import font_file
from pipemodel.drawing.pull_drawing import pull_pictures
from pipemodel.drawing.pull_stretches import merged
from pipemodel.drawing.sheet import Circle, Line, Role, Sheet, Text
from pipemodel.drawing.strips import below_each_other, foot_strip
from pipemodel.pulls.cards import cards_of
from pipemodel.pulls.plan import plan_pulls

A, E = radians(18.0), radians(40.0)
RIGHT = np.array([cos(A), sin(A), 0.0])
UP = np.array([-sin(A) * sin(E), cos(A) * sin(E), cos(E)])


def drawn(*made, **more):
    run = made_run(*made, **more)
    return [pull_pictures(run, card) for card in cards_of(run, plan_pulls(run))]


def panels(drawing):
    """The lines of each of the two pictures, with its former's centre and mm of paper to a mm of the bender."""
    out = []
    for picture in drawing.pictures[:2]:
        lines = [
            i for i in drawing.sheet.items
            if isinstance(i, Line) and picture.window.holds(tuple(np.mean(i.points, axis=0)))
        ]  # fmt: skip
        (rim,) = [i for i in lines if i.closed and not i.filled and len(i.points) == 48]
        centre = np.mean(rim.points, axis=0)
        turns = [pi * i / 24.0 for i in range(48)]
        flat = 55.0 * np.array(
            [cos(t) * np.array([RIGHT[0], UP[0]]) + sin(t) * np.array([RIGHT[1], UP[1]]) for t in turns]
        )
        k = float(((rim.points - centre) * flat).sum() / (flat * flat).sum())
        out.append(SimpleNamespace(window=picture.window, lines=lines, centre=centre, k=k))
    return out


def on(panel, point):
    return panel.centre + panel.k * np.array([RIGHT @ point, UP @ point])


def test_the_centre_of_the_former_has_a_cross_a_sixth_of_the_radius_wide():
    (sheet,) = drawn([300, 300], [90])
    for panel in panels(sheet):
        rim = next(i.points for i in panel.lines if i.closed and len(i.points) == 48)
        turned = [on(panel, 55.0 * np.array([cos(pi * i / 24), sin(pi * i / 24), 0.0])) for i in range(48)]
        assert np.abs(np.array(rim) - turned).max() < 0.05
        arms = [i.points for i in panel.lines if len(i.points) == 2 and i.role is Role.ROOM
                and np.abs(np.mean(i.points, axis=0) - panel.centre).max() < 1e-6]  # fmt: skip
        reach = 55.0 / 12.0
        wanted = [(on(panel, -reach * axis), on(panel, reach * axis)) for axis in np.eye(3)[:2]]
        assert len(arms) == 2
        assert np.abs(np.array(arms) - wanted).max() < 0.01


def test_tails_broken_off_end_in_a_zigzag_square_to_them():
    """Both tails are longer than 212; the held one lies along x, to the left of where the bend begins."""
    (sheet,) = drawn([400, 400], [90])
    for panel, swung in zip(panels(sheet), (False, True), strict=True):
        breaks = [np.array(i.points) for i in panel.lines if i.role is Role.OUTLINE]
        assert [len(b) for b in breaks] == [4, 4]
        held, free = breaks
        assert held.mean(axis=0) == pytest.approx(on(panel, np.array([-170.0, 55.0, 0.0])), abs=0.02)
        end = [55.0, -170.0, 0.0] if swung else [170.0, 55.0, 0.0]
        assert free.mean(axis=0) == pytest.approx(on(panel, np.array(end)), abs=0.02)
        for zigzag, along in ((held, [1.0, 0.0, 0.0]), (free, [0.0, -1.0, 0.0] if swung else [1.0, 0.0, 0.0])):
            way = np.array([RIGHT @ along, UP @ along])
            across = zigzag[0] - zigzag[-1]
            assert across @ way == pytest.approx(0.0, abs=1e-6)
            # From one side of the tube to the other and a little beyond.
            width = max(7.5 * panel.k, 0.5)
            assert hypot(*across) == pytest.approx(2.0 * (width + 0.8), abs=1e-6)
            # Two teeth: between its ends it goes once ahead and once back.
            teeth = (zigzag[1:3] - zigzag.mean(axis=0)) @ way / hypot(*way)
            assert sorted(np.round(teeth, 6)) == pytest.approx([-0.8, 0.8])
    (drawing,) = drawn([120, 120], [90])  # with the 86 that the bend takes, 206 before it is pulled: drawn whole
    assert not [i for i in drawing.sheet.items if isinstance(i, Line) and i.role is Role.OUTLINE]


def test_a_broken_leg_has_a_zigzag_at_both_sides_of_its_gap():
    *_, sheet = drawn([200, 1000, 200], [90, 90], [0])
    for panel, tails in zip(panels(sheet), (1, 0), strict=True):
        # Before the pull the free tail is as much longer as the bend takes, 286, and broken as well.
        one, other, *more = (np.mean(i.points, axis=0) for i in panel.lines if i.role is Role.OUTLINE)
        assert len(more) == tails
        gap = hypot(*(one - other))
        # 20 mm of the bender, seen along x, more or less foreshortened.
        assert gap == pytest.approx(20.0 * panel.k * hypot(RIGHT[0], UP[0]), abs=0.05)


@pytest.mark.parametrize(("angle", "sweep"), [(45, 45.0), (90, 75.0), (10, 20.0)])
def test_the_arrow_goes_clockwise_outside_the_former_and_its_head_points_on(angle, sweep):
    (sheet,) = drawn([200, 200], [angle])
    panel, after = panels(sheet)
    (arc,) = [np.array(i.points) for i in panel.lines if i.role is Role.MARK and len(i.points) == 13]
    reach = 2.3 * 55.0
    for end, turn in ((arc[0], 14.0), (arc[-1], 14.0 - sweep)):
        wanted = reach * np.array([cos(radians(turn)), sin(radians(turn)), 0.0])
        assert end == pytest.approx(on(panel, wanted), abs=0.05)
    heads = [np.array(i.points) for i in panel.lines if i.role is Role.MARK and i.filled]
    # The other one points at the rim's start.
    head, rim = sorted(heads, key=lambda points: np.hypot(*(points[0] - arc[-1])))
    assert head[0] == pytest.approx(arc[-1])
    tip = on(panel, np.array([0.0, 55.0, 0.0]))
    assert np.hypot(*(rim[0] - tip)) < 0.7 * 15.0 * panel.k < np.hypot(*(rim[1:].mean(axis=0) - tip))
    way = (arc[-1] - arc[-2]) / hypot(*(arc[-1] - arc[-2]))
    assert (head[0] - head[1:].mean(axis=0)) == pytest.approx(2.2 * way)
    across = head[1] - head[2]
    assert across @ way == pytest.approx(0.0, abs=1e-9)
    assert hypot(*across) == pytest.approx(2.0 * 0.88)
    assert not [i for i in after.lines if i.role is Role.MARK]


def test_you_stand_at_the_foot_of_both_pictures():
    (drawing,) = drawn([200, 200], [90])
    words = [i for i in drawing.sheet.items if isinstance(i, Text) and i.text == "you"]
    assert {w.align for w in words} == {"centre"}
    for panel, word in zip(panels(drawing), words, strict=True):
        assert word.at[0] == pytest.approx((panel.window.left + panel.window.right) / 2.0)
        (head,) = [np.array(i.points) for i in panel.lines if i.role is Role.DIMENSION and i.filled]
        tip, *base = head
        assert tip[0] == word.at[0]
        assert np.mean(base, axis=0) == pytest.approx([tip[0], tip[1] - 2.0])  # it points up, at the bender
        # Right over the word, and under all that is drawn.
        assert 0.0 < base[0][1] - (word.at[1] + word.height) < 1.5
        others = [
            p[1] for i in panel.lines if i.role is not Role.DIMENSION and i.role is not Role.PAPER for p in i.points
        ]
        assert tip[1] < min(others)
    left, right = panels(drawing)
    assert left.window.right == right.window.left
    (fold,) = [i for i in drawing.sheet.items if isinstance(i, Line) and i.role is Role.PAPER
               and {p[0] for p in i.points} == {left.window.right}]  # fmt: skip
    assert fold.points[0][1] < fold.points[1][1] < left.window.high


def test_the_title_says_what_the_hands_change():
    first, second = drawn([200, 60, 200], [90, 90], [90])[:2]
    for drawing, number in ((first, 1), (second, 2)):
        sheet = drawing.sheet
        head = [i for i in sheet.items if isinstance(i, Text) and i.text.startswith(f"Pull {number}: bend ")]
        assert len(head) == 1
        assert head[0].at[1] > drawing.pictures[0].window.high
        assert head[0].bold
        titles = [i for i in sheet.items if isinstance(i, Text) and i.text.startswith(("before", "after: "))]
        assert [t.at[0] for t in titles] == [2.0, pytest.approx(drawing.pictures[1].window.left + 2.0)]
        assert titles[1].text == "after: 90\u00b0"
    rings = [i for i in second.sheet.items if isinstance(i, Circle) and i.filled]
    assert rings


@pytest.mark.parametrize("width", [40.0, 80.0, 176.0])
def test_what_stands_at_the_foot_lies_within_the_drawing(width):
    """Judged by Pillow with DejaVu Sans, whose capitals are 0.729 of its size high; every word is there once."""
    text = "Try a bend on an offcut and check every measure on site before cutting. " + "W" * 60 + " and more."
    strip = foot_strip(text, width)
    lines = [item for item in strip.items if isinstance(item, Text)]
    assert "".join(line.text for line in lines).replace(" ", "") == text.replace(" ", "")
    for line in lines:
        size = line.height / 0.729
        wide = ImageFont.truetype(font_file(), 200).getlength(line.text) * size / 200.0
        assert line.at[0] > 0.0
        assert line.at[0] + wide < width
        assert 0.0 < line.at[1] < strip.height - line.height


def test_drawings_set_one_below_the_other_are_as_wide_as_the_widest():
    sheets = [Sheet(176.0, 87.0, "one"), Sheet(100.0, 20.0, "two"), Sheet(150.0, 30.0, "three")]
    svg = below_each_other("rise & <fall>", sheets)
    assert svg.startswith(
        '<svg xmlns="http://www.w3.org/2000/svg" width="176mm" height="149mm" viewBox="0 0 176 149">'
        "<title>rise &amp; &lt;fall&gt;</title>"
    )
    # 6 mm of white between them.
    places = [part.split(")")[0] for part in svg.split("translate(")[1:]]
    assert places == ["0 0", "0 93", "0 119"]


TUBE = (Role.TUBE, Role.TUBE_NEW)
TOWARDS_EYE = np.array([sin(A) * cos(E), -cos(A) * cos(E), sin(E)])


def test_nearer_tube_is_drawn_over_farther_tube(monkeypatch):
    """In the plane of the bender each place on paper is one place there; how near the eye that is grows or stays."""
    monkeypatch.setattr("pipemodel.drawing.pull_panel.merged", lambda lengths, wide: lengths)
    (sheet,) = drawn([120, 120], [90])
    counted = 0
    for panel in panels(sheet):
        flat = panel.k * np.array([RIGHT[:2], UP[:2]])
        lengths = [np.array(i.points) for i in panel.lines if i.role in TUBE and i.filled and len(i.points) in (6, 10)]
        axes = [(p[: len(p) // 2] + p[len(p) // 2 :][::-1]) / 2.0 for p in lengths]
        middles = [axis[len(axis) // 2] for axis in axes]
        near = [TOWARDS_EYE[:2] @ np.linalg.solve(flat, middle - panel.centre) for middle in middles]
        assert np.diff(near).min() > -1e-6
        counted += len(near)
        # In lengths of 18 mm at the most, so that none hides what lies before it, each a little under the next.
        for axis in axes:
            there = np.linalg.solve(flat, (axis - panel.centre).T).T
            assert np.hypot(*np.diff(there, axis=0).T).sum() < 18.0 * 1.06
    assert counted >= 24


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(few_or_many(2, 4)))
def test_lengths_of_a_straight_drawn_as_one_come_before_and_behind_the_same_others(seed, monkeypatch):
    """Pieces that cross themselves on paper: whatever covers what, by shapely, covers it still."""
    dice, asked = random.Random(seed), []

    def watched(lengths, wide):
        asked.append((lengths, wide, merged(lengths, wide)))
        return asked[-1][-1]

    monkeypatch.setattr("pipemodel.drawing.pull_panel.merged", watched)
    legs, angles = [dice.uniform(90, 330) for _ in range(5)], [dice.choice([30, 60, 90, 135]) for _ in range(4)]
    drawn(legs, angles, [dice.choice([0, 45, 90, 180, -120]) for _ in range(3)])
    crossings = 0
    for lengths, wide, joined in asked:
        assert len(joined) < len(lengths)
        paper = [shapely.LineString(one.axis).buffer(wide / 2.0, cap_style="flat") for one in lengths]
        wholes = [shapely.LineString(one.axis).buffer(1e-3) for one in joined]
        home = []
        for one in lengths:
            middle = shapely.Point(np.mean(one.axis[:2], axis=0))
            mine = [k for k, whole in enumerate(joined) if (whole.straight, whole.new) == (one.straight, one.new)]
            home.append(min(mine, key=lambda k: wholes[k].distance(middle)))
        for (i, one), (j, other) in combinations(enumerate(paper), 2):
            if home[i] != home[j] and one.intersection(other).area > 1e-3 * wide * wide:
                assert home[i] < home[j]
                crossings += 1
        total = sum(shapely.LineString(one.axis).length for one in joined)
        whole = sum(shapely.LineString(one.axis).length for one in lengths)
        assert 0.9 * whole < total <= whole
    assert crossings > 0


def test_mouths_are_hollow_where_they_face_the_eye():
    """The held end looks to the left and so away from the eye; the free end to the right, and then to who pulls."""
    (sheet,) = drawn([120, 120], [90])
    ends = {0: [((-120.0, 55.0, 0.0), (-1, 0, 0)), ((120.0 + 27.5 * pi, 55.0, 0.0), (1, 0, 0))],
            1: [((-120.0, 55.0, 0.0), (-1, 0, 0)), ((55.0, -120.0, 0.0), (0, -1, 0))]}  # fmt: skip
    for column, panel in enumerate(panels(sheet)):
        rims = [i for i in panel.lines if i.filled and len(i.points) == 24]
        assert len(rims) == 2
        for rim, (place, ahead) in zip(rims, ends[column], strict=True):
            assert np.mean(rim.points, axis=0) == pytest.approx(on(panel, np.array(place)), abs=0.02)
            assert rim.role is (Role.FORMER if TOWARDS_EYE @ ahead > 0.0 else Role.TUBE)
            # A circle of the tube's width square to it: up and down it is seen as cos 40 of its height.
            assert np.ptp(rim.points, axis=0)[1] == pytest.approx(
                2.0 * 7.5 * panel.k * hypot(cos(E), UP[1 if ahead[0] else 0]), rel=0.02
            )


def test_tube_above_the_bender_throws_a_shadow_on_it_and_its_end_hangs_over_its_foot():
    _, sheet = drawn([345, 140, 345], [90, 90], [90])
    for panel in panels(sheet):
        (plumb,) = [np.array(i.points) for i in panel.lines if i.role is Role.ROOM_HIDDEN]
        assert plumb[0][0] == pytest.approx(plumb[1][0])
        # 170 of the tail are drawn, from 55 above the bender on.
        assert plumb[0][1] - plumb[1][1] == pytest.approx((55.0 + 170.0) * cos(E) * panel.k, abs=0.02)
        shadows = [np.array(i.points) for i in panel.lines if i.role is Role.PAPER and len(i.points) > 1]
        assert len(shadows) >= 9
        assert min(np.hypot(*(p - plumb[1]).T).min() for p in shadows) < 0.05
        # The leg is straight up: its shadow is one spot, right under the end.
        far = [s for s in shadows if np.hypot(*(s.mean(axis=0) - plumb[1])) < 0.1]
        assert len(far) >= 8
