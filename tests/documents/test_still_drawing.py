"""The still drawing's small parts: boxes round the numbers, lines to them, crosses, what is written where nothing is
free; see `test_stand_in` for where things lie.
"""

import re
from math import cos, hypot, radians, sin

import numpy as np
import pytest
from worked_job import WORKED, worked

from pipemodel.documents.page.room import edges_of, room_parts
from pipemodel.documents.page.still_drawing import stand_in

BOX = re.compile(
    r'<path d="M([-\d.]+) ([-\d.]+)L([-\d.]+) ([-\d.]+)" fill="none" stroke="#14181c" stroke-width="1.2"[^>]*/>'
    r'<rect x="([-\d.]+)" y="([-\d.]+)" width="([-\d.]+)" height="([-\d.]+)" fill="#fff" stroke="#14181c" '
    r'stroke-width="2"/><text x="([-\d.]+)" y="([-\d.]+)"[^>]*font-weight="700">(\d+)</text>'
)
SIZE = re.compile(r'viewBox="0 0 ([\d.]+) ([\d.]+)" width="([\d.]+)" height="([\d.]+)"')
TUBE = re.compile(r'd="([^"]+)" fill="none" stroke="(#fff|#14181c|#cd7033)" stroke-width="([\d.]+)"')


def wave(count):
    """Bends close to each other, so that their numbers are in each other's way."""
    points, at, way = [[0, 0, 0]], np.zeros(3), 0.0
    for k in range(count + 1):
        way = 45.0 if k % 2 else -45.0
        at = at + 140.0 * np.array([cos(radians(way)), 0.0, sin(radians(way))])
        points.append([round(float(x), 3) for x in at])
    return f"job: wave\ntube: 15\nformer: {{radius: 55}}\nruns:\n  a: {{points: {points}}}\n"


def drawing(yaml):
    answer = worked(yaml)
    run = answer.schedule.runs[0]
    wrong = [f for f in answer.report.findings if f.run == run.name and f.severity == "error"]
    return stand_in(run, room_parts(answer.schedule), wrong)


@pytest.fixture(scope="module")
def drawings():
    return {name: drawing(yaml) for name, yaml in (("rise", WORKED), ("wave", wave(40)))}


@pytest.mark.parametrize(("name", "count"), [("rise", 2), ("wave", 40)])
def test_every_number_stands_in_a_box_on_a_line_from_its_bend(drawings, name, count):
    svg = drawings[name]
    thick = float(next(w for _, colour, w in TUBE.findall(svg) if colour == "#cd7033"))
    found = [[float(x) for x in row] for row in BOX.findall(svg)]
    assert [int(row[-1]) for row in found] == list(range(1, count + 1))
    far = []
    for x0, y0, x1, y1, left, top, width, height, x, y, number in found:
        assert height == 26.0
        assert width >= 0.6 * 19.0 * len(str(int(number))) + 4.0
        assert (left + width / 2.0, top + 13.0) == (pytest.approx(x, abs=0.11), pytest.approx(y1, abs=0.11))
        assert (x, y - 0.36 * 19.0) == (pytest.approx(x1, abs=0.11), pytest.approx(y1, abs=0.11))
        far.append(hypot(x1 - x0, y1 - y0) - thick / 2.0)
    # Beside the tube by 22, or by 46 or 70 where another is in the way.
    for value in far:
        assert min(abs(value - step) for step in (22.0, 46.0, 70.0)) < 0.2
    if name == "wave":
        assert {round(value / 24.0) for value in far} >= {1, 2}
        assert max(far) < 71.0


@pytest.mark.parametrize("name", ["rise", "wave"])
def test_the_tube_is_drawn_over_white_and_black_a_little_wider(drawings, name):
    strokes = [(path, colour, float(w)) for path, colour, w in TUBE.findall(drawings[name])]
    tubes = [i for i, (_, colour, _) in enumerate(strokes) if colour == "#cd7033"]
    assert tubes
    for i in tubes:
        path, _, thick = strokes[i]
        assert thick >= 4.0
        assert strokes[i - 1] == (path, "#14181c", pytest.approx(thick + 2.0, abs=0.11))
        assert strokes[i - 2] == (path, "#fff", pytest.approx(thick + 7.0, abs=0.11))


@pytest.mark.parametrize("name", ["rise", "wave"])
def test_the_tube_lies_on_the_paper_with_a_margin_of_60(drawings, name):
    width, height, *again = (float(x) for x in SIZE.search(drawings[name]).groups())
    assert (width, [width, height]) == (640.0, again)
    points = np.array([
        [float(x) for x in pair.split()]
        for path, colour, _ in TUBE.findall(drawings[name]) if colour == "#cd7033"
        for pair in re.split("[ML]", path)[1:]
    ])  # fmt: skip
    (left, top), (right, low) = points.min(axis=0), points.max(axis=0)
    assert left >= 59.9
    assert top == pytest.approx(60.0, abs=0.1)
    assert left == pytest.approx(640.0 - right, abs=0.2)  # in the middle
    assert height - low == pytest.approx(60.0, abs=1.1)
    assert height <= 720.0
    assert right - left == pytest.approx(520.0, abs=0.2) or height == pytest.approx(720.0, abs=1.0)


def test_a_bend_is_drawn_in_steps_of_eight_degrees_at_the_most(drawings):
    """A square bend in twelve."""
    bends = [path.count("L") for path, colour, _ in TUBE.findall(drawings["rise"]) if colour == "#cd7033"]
    assert sorted(bends) == [1, 1, 1, 12, 12]


def test_crosses_are_red_over_white_and_20_across(drawings):
    for colour, width in (("#a11212", 5.0), ("#fff", 9.0)):
        found = re.findall(rf'd="([^"]+)" fill="none" stroke="{colour}" stroke-width="{width:g}"', drawings["rise"])
        assert len(found) == 2
        for path in found:
            a, b, c, d = (np.array(pair.split(), float) for pair in re.split("[ML]", path)[1:])
            assert (b - a).tolist() == pytest.approx([20.0, 20.0], abs=0.11)
            assert (d - c).tolist() == pytest.approx([20.0, -20.0], abs=0.11)
            assert (a + b).tolist() == pytest.approx((c + d).tolist(), abs=0.11)


def test_edges_are_where_faces_meet_at_more_than_40_degrees():
    """Two faces along an edge, one turned up by 39 and by 41 degrees."""
    for angle, count in ((39.0, 4), (41.0, 5)):
        up = (cos(radians(angle)), 0.0, sin(radians(angle)))
        apart = np.array([
            [(0.0, 0.0, 0.0), (0.0, 1.0, 0.0), (-1.0, 0.0, 0.0)],
            [(0.0, 1.0, 0.0), (0.0, 0.0, 0.0), up],
        ])  # fmt: skip
        assert len(edges_of(apart)) == count
