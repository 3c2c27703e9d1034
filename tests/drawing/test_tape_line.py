"""The tape line read back: clocks that turn as the hands do, rows of figures, hatched bends, words that stay on it.

With x along the tube to the right and its start to the left, whoever looks along the tube from its start end sees a
turn clockwise as a clock on paper shows it. The piece is worked by hand: legs of 300, a bend of 90 takes 55 pi / 2.
"""

from math import atan2, degrees, hypot, pi

import pytest
from made_runs import made_run
from PIL import ImageFont

from pipemodel.drawing.fonts import font_file
from pipemodel.drawing.sheet import Circle, Line, Role, Text
from pipemodel.drawing.tape_line import tape_line
from pipemodel.messages.units import INCHES, MM
from pipemodel.pulls.plan import plan_pulls

ARC = 55.0 * pi / 2.0


def drawn(legs, turns, width=180.0, units=MM, **former):
    run = made_run(legs, [90] * (len(legs) - 1), turns, **former)
    plan = plan_pulls(run)
    assert plan.possible
    return run, plan, tape_line(run, plan, width, units)


def of(sheet, kind, role):
    return [item for item in sheet.items if isinstance(item, kind) and item.role is role]


def tube(sheet):
    """The tube's left, low, right and high."""
    (outline,) = of(sheet, Line, Role.OUTLINE)
    xs, ys = zip(*outline.points, strict=True)
    return min(xs), min(ys), max(xs), max(ys)


def clocks(sheet):
    """Each clock by the words under it: its centre, where its hand points, clockwise from up, and its arc."""
    out = {}
    for ring in of(sheet, Circle, Role.PAPER):
        x, y = ring.centre
        words = min((w for w in of(sheet, Text, Role.DIMENSION) if w.text.startswith("pull ")),
                    key=lambda w: hypot(w.at[0] - x, w.at[1] - y))  # fmt: skip
        from_here = [item for item in sheet.items if isinstance(item, Line) and item.points[0] == ring.centre]
        (noon,) = [line for line in from_here if line.role is Role.PAPER]
        assert noon.points[1] == (x, pytest.approx(y + ring.radius))
        hands = [
            degrees(atan2(line.points[1][0] - x, line.points[1][1] - y)) for line in from_here if line.role is Role.MARK
        ]
        assert all(hypot(line.points[1][0] - x, line.points[1][1] - y) == pytest.approx(3.0) for line in from_here)
        arcs = [c for c in of(sheet, Circle, Role.MARK) if c.centre == ring.centre]
        out[words.text] = (ring, hands, arcs)
    return out


@pytest.mark.parametrize(
    ("turn", "words", "hand", "arc"),
    [
        # The plane of bend 2 lies clockwise of that of bend 1: to lie level in the bender, the tube goes the other way.
        (90, "pull 2: 90 anticlockwise", -90.0, (90.0, 180.0)),
        (-90, "pull 2: 90 clockwise", 90.0, (0.0, 90.0)),
        (30, "pull 2: 30 anticlockwise", -30.0, (90.0, 120.0)),
        (-120, "pull 2: 120 clockwise", 120.0, (-30.0, 90.0)),
    ],
)
def test_the_hand_of_the_clock_goes_as_far_and_the_way_that_the_tube_is_turned(turn, words, hand, arc):
    _, plan, sheet = drawn([300, 300, 300], [turn])
    assert [(p.bend, p.held) for p in plan.pulls] == [(1, "start"), (2, "start")]
    read = clocks(sheet)
    assert list(read) == ["pull 1", words]
    assert read["pull 1"][1:] == ([], [])  # nothing is turned before the first
    _, hands, (round_,) = read[words]
    assert hands == [pytest.approx(hand)]
    # Arcs run anticlockwise from the right: from the hand to twelve or from twelve to the hand, the short way.
    assert (round_.start, round_.finish) == pytest.approx(arc)
    assert round_.radius == pytest.approx(1.8)


def test_a_tube_turned_over_has_its_hand_straight_down_and_one_not_turned_none():
    _, _, sheet = drawn([300, 300, 300], [180])
    read = clocks(sheet)
    (over,) = [hands for text, (_, hands, _) in read.items() if text != "pull 1"]
    assert [abs(h) for h in over] == [pytest.approx(180.0)]
    _, _, sheet = drawn([300, 300, 300], [0])
    assert [hands for _, hands, _ in clocks(sheet).values()] == [[], []]


@pytest.mark.parametrize(("units", "figures", "cut"), [
    (MM, ["300", "686.5"], "cut 1073"),
    # 300 / 25.4 = 11.81 and 686.394 / 25.4 = 27.02; 1072.788 / 25.4 = 42.24
    (INCHES, ["11 13/16", "27"], "cut 42 1/4"),
])  # fmt: skip
def test_number_and_figure_stand_over_their_mark_and_the_clock_under_it(units, figures, cut):
    run, _, sheet = drawn([300, 300, 300], [90], units=units)
    left, low, right, high = tube(sheet)
    scale = (right - left) / (900.0 + 2.0 * ARC)
    assert run.cut_length_mm == pytest.approx(900.0 + 2.0 * ARC)
    words = {w.text: w for w in of(sheet, Text, Role.MARK)}
    assert list(words) == ["1", figures[0], "2", figures[1]]
    rings = sorted(of(sheet, Circle, Role.PAPER), key=lambda c: c.centre[0])
    for number, figure, at, ring in zip("12", figures, (300.0, 600.0 + ARC), rings, strict=True):
        x = left + at * scale
        assert words[number].at == (pytest.approx(x), pytest.approx(high + 5.9))
        assert words[figure].at == (pytest.approx(x), pytest.approx(high + 2.4))
        assert (words[number].align, words[number].bold, words[figure].align) == ("centre", True, "centre")
        assert words[number].height > words[figure].height
        assert_hangs(sheet, x, ring)
        # With room on both sides a clock hangs straight under its mark, 2.6 below the tube.
        assert ring.centre == (pytest.approx(x), pytest.approx(low - 5.6))
    plain = {w.text: w for w in of(sheet, Text, Role.DIMENSION)}
    assert (plain["start"].at, plain["start"].align) == ((left, high + 1.5), "left")
    assert (plain[cut].at, plain[cut].align) == ((right, high + 1.5), "right")


def test_each_bend_is_hatched_where_it_will_lie():
    """From 300 and from 600 + 86.394, each 86.394 long; the strokes rise to the right at 45 degrees, within it."""
    _, _, sheet = drawn([300, 300, 300], [90])
    left, low, right, high = tube(sheet)
    scale = (right - left) / (900.0 + 2.0 * ARC)
    boxes = [item for item in of(sheet, Line, Role.PAPER) if item.closed]
    spans = [(left + a * scale, left + (a + ARC) * scale) for a in (300.0, 600.0 + ARC)]
    assert [list(box.points) for box in boxes] == [
        [(pytest.approx(x), pytest.approx(y)) for x, y in ((a, low), (b, low), (b, high), (a, high))] for a, b in spans
    ]
    strokes = [i.points for i in of(sheet, Line, Role.PAPER) if not i.closed and i.points[0][1] == pytest.approx(low)]
    for a, b in spans:
        mine = [s for s in strokes if a - 1e-6 <= s[0][0] < b]
        assert len(mine) == int((b - a) / 1.5)
        for (x0, y0), (x1, y1) in mine:
            assert x1 - x0 == pytest.approx(y1 - y0)
            assert x1 > x0
            assert x1 <= b + 1e-6
            assert y1 <= high + 1e-6
            assert x1 == pytest.approx(b) or y1 == pytest.approx(high)


def test_marks_close_together_go_aside_or_up_with_a_line_from_each():
    """Of a tube of 4.6 m on 180 mm of paper: the figures of marks 3.6 mm apart have no room beside each other."""
    run, plan, sheet = drawn([2000, 300, 15, 2000], [180, 90], hold_mm=10.0, guide_mm=10.0)
    left, low, right, high = tube(sheet)
    scale = (right - left) / run.cut_length_mm
    marks = {p.bend: left + p.mark_mm * scale for p in plan.pulls}
    numbers = {int(w.text): w for w in of(sheet, Text, Role.MARK) if w.bold}
    figures = [w for w in of(sheet, Text, Role.MARK) if not w.bold]
    leads = {round(line.points[0][0], 6): line.points for line in of(sheet, Line, Role.MARK) if len(line.points) > 1
             and line.points[0][1] == pytest.approx(low - 1.5)}  # fmt: skip
    assert set(numbers) == {1, 2, 3}
    moved = 0
    for number, word in numbers.items():
        x = marks[number]
        points = leads[round(x, 6)]
        assert points[1] == (pytest.approx(x), pytest.approx(high + 1.5))
        # The figure stands right under the number, and the line ends under both.
        (figure,) = [w for w in figures if w.at[0] == pytest.approx(word.at[0])
                     and w.at[1] == pytest.approx(word.at[1] - 3.5)]  # fmt: skip
        pull = next(p for p in plan.pulls if p.bend == number)
        assert figure.text == MM.short(pull.mark_mm)
        if len(points) == 3:
            assert points[2] == (pytest.approx(word.at[0]), pytest.approx(word.at[1] - 4.4))
            moved += 1
        else:
            assert word.at[0] == pytest.approx(x)
        # Its clock hangs on a line from under the same mark.
        line = next(i.points for i in of(sheet, Line, Role.PAPER) if i.points[0] == pytest.approx((x, low - 1.5)))
        (ring,) = [c for c in of(sheet, Circle, Role.PAPER) if hung(c) == pytest.approx(line[1])]
        under = [w for w in of(sheet, Text, Role.DIMENSION) if w.at[1] == pytest.approx(ring.centre[1] - 5.6)]
        said = min(under, key=lambda w: abs(w.at[0] - ring.centre[0]))
        assert said.text.split(":")[0] == f"pull {pull.number}"
    assert moved >= 1
    assert_on(sheet)


def hung(ring):
    """The top of a clock."""
    return (ring.centre[0], ring.centre[1] + ring.radius)


def assert_hangs(sheet, x, ring):
    """A clock hangs on a line that comes from under its own mark, and no further aside than it is wide."""
    low = tube(sheet)[1]
    lines = [i.points for i in of(sheet, Line, Role.PAPER) if i.points[-1] == pytest.approx(hung(ring))]
    assert pytest.approx((x, low - 1.5)) in [points[0] for points in lines]
    assert abs(ring.centre[0] - x) < 6.0


def assert_on(sheet):
    """All that is written and drawn lies on the sheet, measured with the letters of the face itself."""
    for item in sheet.items:
        if isinstance(item, Text):
            font = ImageFont.truetype(font_file(item.bold), 200)
            wide = font.getlength(item.text) / 200.0 * item.height / 0.72
            x0 = item.at[0] - {"left": 0.0, "centre": wide / 2.0, "right": wide}[item.align]
            assert x0 >= 0.0, item
            assert x0 + wide <= sheet.width, item
            assert item.at[1] - 0.25 * item.height >= 0.0, item
            assert item.at[1] + item.height <= sheet.height, item
        elif isinstance(item, Circle):
            assert item.radius <= item.centre[0] <= sheet.width - item.radius
            assert item.radius <= item.centre[1] <= sheet.height - item.radius
        else:
            assert all(0.0 <= x <= sheet.width and 0.0 <= y <= sheet.height for x, y in item.points)


@pytest.mark.parametrize("legs", [[62, 2000, 300], [300, 2000, 62], [62, 800, 62]], ids=["left", "right", "both"])
def test_words_under_a_mark_near_an_edge_stay_on_the_paper(legs):
    """The words are wider than the mark is far from the edge; the clock stays at its mark."""
    _, plan, sheet = drawn(legs, [90], width=80.0, hold_mm=20.0, guide_mm=10.0)
    left, _, right, _ = tube(sheet)
    scale = (right - left) / (sum(legs) + 2.0 * ARC)
    assert_on(sheet)
    rings = sorted(of(sheet, Circle, Role.PAPER), key=lambda c: c.centre[0])
    marks = sorted(left + p.mark_mm * scale for p in plan.pulls)
    for ring, x in zip(rings, marks, strict=True):
        assert_hangs(sheet, x, ring)
    said = [w for w in of(sheet, Text, Role.DIMENSION) if w.text.startswith("pull ")]
    assert len(said) == 2
    (long,) = [w for w in said if w.text.startswith("pull 2: ")]
    if legs == [300, 2000, 62]:  # the words are pushed in
        assert long.at[0] < rings[1].centre[0] - 1.0
