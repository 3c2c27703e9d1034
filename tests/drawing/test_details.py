"""Details where bends crowd, white space for them, arrows of falls: against shapely and plain geometry."""

import random
import re
from dataclasses import replace
from math import atan2, degrees, hypot, radians, tan

import gallery
import pytest
from shapely.geometry import Polygon

from pipemodel.bending.schedule import solve
from pipemodel.drawing.clipping import ClipWindow
from pipemodel.drawing.job_drawings import Drawings
from pipemodel.drawing.placing import box_of
from pipemodel.drawing.sheet import Dimension, Line, Role, Text
from pipemodel.drawing.white_space import CELL_MM, WhiteSpace
from pipemodel.geometry.shapes import Box
from pipemodel.job.read import job_of_text

RISE = 40.0 * tan(radians(20.0))
PASSOVER = (
    (0.0, 0.0, 300.0),
    (1160.0, 0.0, 300.0),
    (1240.0, 0.0, 300.0 + 2.0 * RISE),
    (1320.0, 0.0, 300.0),
    (5600.0, 0.0, 300.0),
)
PLAIN = ((0.0, 0.0, 200.0), (3600.0, 0.0, 200.0), (3600.0, 0.0, 900.0))


def drawings(*runs, length=5600.0):
    made = [gallery.run(name, corners) for name, corners in runs]
    room = {
        "wall": Box((-100.0, 20.0, 0.0), (length + 200.0, 120.0, 1200.0)),
        "floor": Box((-100.0, -600.0, -60.0), (length + 200.0, 120.0, 0.0)),
    }
    job = gallery.job("long wall", made, [gallery.Thing(name, shape) for name, shape in room.items()])
    return Drawings(solve(replace(job, seen_from=(0.0, -1.0, 0.0))))


def overlapping(sheet):
    """Words that lie on other words."""
    words = [(item.text, Polygon(box_of(item, 0.0))) for item in sheet.primitives() if isinstance(item, Text)]
    return [(a, b) for i, (a, p) in enumerate(words) for b, q in words[:i] if p.intersection(q).area > 0.01]


@pytest.mark.slow
@pytest.mark.parametrize("length", [4400.0, 5600.0, 7200.0])
@pytest.mark.parametrize("which", ["of_job", "to_set_out"])
def test_bends_that_crowd_are_drawn_again_larger(which, length):
    """Each number stands in the detail whole, with its run's name: it is as wide as that needs, where there is room."""
    corners = (*PASSOVER[:-1], (length, 0.0, 300.0))
    sheet = getattr(drawings(("flow", corners), ("return", PLAIN), length=length), which)()
    texts = [item for item in sheet.primitives() if isinstance(item, Text)]
    (title,) = (match for item in texts if (match := re.fullmatch(r"A \(1:(\d+)\)", item.text)))
    n = int(title[1])
    assert 2 * n <= sheet.factor
    assert sum(item.text == "A" and item.bold for item in texts) == 1
    lines = [item for item in sheet.primitives() if isinstance(item, Line) and item.role is Role.DIMENSION]
    at = next(item.at for item in texts if item.text == title[0])
    frames = (item.points for item in lines if item.closed and not item.filled and len(item.points) == 4)
    frame = min(frames, key=lambda p: hypot(p[3][0] - at[0], p[3][1] - at[1]))
    inside = ClipWindow.around(frame)
    numbers = {item.text: item.at for item in texts if inside.holds(item.at)}
    assert {"flow 1: 20\u00b0", "flow 2: 40\u00b0", "flow 3: 20\u00b0"} - {
        f"{text[:6]}: {text[8:]}" for text in numbers
    } == set()
    # Tube in the frame is as wide as at the detail's scale: its lines lie 15 / n apart at the ends of the frame.
    ends = sorted(
        y
        for item in sheet.primitives()
        if isinstance(item, Line) and item.role in (Role.RUN, Role.RUN_HIDDEN)
        for x, y in item.points
        if abs(x - inside.left) < 1e-6 and inside.low <= y <= inside.high
    )
    assert any(abs(b - a - 15.0 / n) < 0.02 for a in ends for b in ends)
    # What a drawing program measures, it measures at the scale of the sheet.
    for item in sheet.items:
        if isinstance(item, Dimension):
            assert not inside.holds(item.a)
            assert hypot(item.b[0] - item.a[0], item.b[1] - item.a[1]) * sheet.factor == pytest.approx(
                float(item.text), abs=0.3
            )
    assert overlapping(sheet) == []


def test_numbers_of_a_single_run_stand_within_the_frame_of_their_detail():
    """A set of 25 at 20 degrees over a skirting: both numbers are in the detail, and none lies across its frame."""
    corners = ((0.0, -15.0, 700.0), (0.0, -15.0, 240.0), (0.0, -40.0, 171.3), (0.0, -40.0, 20.0))
    wall = {
        "wall": Box((-400.0, 0.0, 0.0), (400.0, 100.0, 900.0)),
        "skirting": Box((-400.0, -18.0, 0.0), (400.0, 0.0, 120.0)),
    }
    job = gallery.job("skirting", [gallery.run("tail", corners)], [gallery.Thing(*one) for one in wall.items()])
    sheet = Drawings(solve(replace(job, seen_from=(0.0, -1.0, 0.0)))).of_job((210.0, 297.0))
    items = list(sheet.primitives())
    (frame,) = (
        Polygon(item.points)
        for item in items
        if isinstance(item, Line) and item.closed and item.role is Role.DIMENSION and not item.filled
    )
    numbers = [item for item in items if isinstance(item, Text) and item.role is Role.MARK]
    within = [item for item in numbers if frame.contains(Polygon(box_of(item, 0.0)))]
    assert sorted(item.text[0] for item in within) == ["1", "2"]
    assert not any(frame.exterior.intersects(Polygon(box_of(item, 0.0))) for item in numbers)


def test_bends_far_apart_get_no_detail():
    made = drawings(("return", PLAIN))
    for sheet in (made.of_job(), made.to_set_out()):
        assert not [item for item in sheet.primitives() if isinstance(item, Text) and item.text.startswith("A (")]


@pytest.mark.parametrize("seed", range(6))
def test_white_space_is_white_and_found_where_there_is_some(seed):
    rng = random.Random(seed)
    area = ClipWindow(20.0, 30.0, 320.0, 230.0)
    white, boxes = WhiteSpace(area), []
    for _ in range(rng.randint(4, 30)):
        x, y = rng.uniform(0.0, 320.0), rng.uniform(0.0, 230.0)
        boxes.append(ClipWindow(x, y, x + rng.uniform(1.0, 60.0), y + rng.uniform(1.0, 40.0)))
        white.take_box(boxes[-1])
    size, near = (40.0, 50.0), (rng.uniform(20.0, 320.0), rng.uniform(30.0, 230.0))

    def free(x, y, pad):
        a = ClipWindow(x - size[0] / 2 - pad, y - size[1] / 2 - pad, x + size[0] / 2 + pad, y + size[1] / 2 + pad)
        if (
            a.left < area.left - 1e-9
            or a.right > area.right + 1e-9
            or a.low < area.low - 1e-9
            or a.high > area.high + 1e-9
        ):
            return False
        return not any(a.left < b.right and b.left < a.right and a.low < b.high and b.low < a.high for b in boxes)

    found = white.room(size, near)
    places = [(x, y) for x in range(20, 321, 5) for y in range(30, 231, 5) if free(x, y, 2.0 * CELL_MM)]
    if found is None:
        assert not places
        return
    middle = ((found.left + found.right) / 2, (found.low + found.high) / 2)
    assert free(*middle, 0.0)
    far = hypot(middle[0] - near[0], middle[1] - near[1])
    assert all(far <= hypot(x - near[0], y - near[1]) + 2.0 * CELL_MM for x, y in places)


def test_no_white_space_is_found_where_too_little_is_left():
    """Of 300 by 200 all but 45 on the right is taken: 40 by 50 finds room there, 50 by 50 does not."""
    white = WhiteSpace(ClipWindow(20.0, 30.0, 320.0, 230.0))
    white.take_box(ClipWindow(20.0, 30.0, 275.0, 230.0))
    found = white.room((40.0 - 2.0 * CELL_MM, 50.0), (20.0, 30.0))
    assert found.left >= 275.0
    assert white.room((50.0, 50.0), (300.0, 100.0)) is None


def test_a_fall_is_drawn_down_the_slope_with_its_ratio():
    text = (
        "job: drain\ntube: 15\nformer: {radius: 55}\nseen from: south\nruns: {a: {fall: {of: 1 in 40, towards: start},"
        " start: [0, 0, 0], route: [east: 1200, up: 300, north: 700]}}\n"
    )
    made = Drawings(solve(job_of_text(text, "job.yaml")))
    for sheet in (made.of_job(), made.to_set_out()):
        items = list(sheet.primitives())
        at = [i for i, item in enumerate(items) if isinstance(item, Text) and item.text == "1:40"]
        assert len(at) == 2, "each leg that falls, and not the riser"
        line, head, words = items[at[0] - 2 : at[0] + 1]
        # The first leg rises to the east, so water runs west, down the slope.
        (tip, *_), (x, y) = head.points, line.points[0]
        assert tip[0] < x
        assert tip[1] < y
        assert words.angle == pytest.approx(degrees(atan2(y - tip[1], x - tip[0])), abs=1e-6)
        assert words.angle == pytest.approx(degrees(atan2(1, 40)), abs=1e-6)
