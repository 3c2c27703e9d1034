"""A run drawn in its place, read back from the SVG: each end, bend, clash and thing lies where the drawing says."""

import re
from itertools import permutations

import numpy as np
import pytest
from follower.svg import NEW_TUBE, Circle, Line, Words, sheets
from scipy.spatial import ConvexHull
from worked_job import WORKED, worked

from pipemodel.drawing.svg import to_svg

RISE = {"start": (-10.6, -15.0, 500.0), "finish": (600.0, -315.0, 1100.0)}
# The middle of a quarter of a circle lies (1 - cos 45) R = 16.109 from both its tangents, and R from its centre.
DEEP = 55.0 * (1.0 - np.sqrt(0.5))
BENDS = {"1": ((600.0 - DEEP, -15.0, 500.0 + DEEP), (545.0, -15.0, 555.0)),
         "2": ((600.0, -15.0 - DEEP, 1100.0 - DEEP), (600.0, -70.0, 1045.0))}  # fmt: skip
STRAIGHTS = [((-10.6, -15, 500), (545, -15, 500)), ((600, -15, 555), (600, -15, 1045)),
             ((600, -70, 1100), (600, -315, 1100))]  # fmt: skip
POST = np.array([(x, y, z) for x in (610.5, 700.0) for y in (-200.0, -40.0) for z in (0.0, 2000.0)])
RED = "#a11212"


class Drawing:
    """The drawing of the rise, and the projection it was made by, found from the tube alone."""

    def __init__(self, yaml=WORKED):
        answer = worked(yaml)
        wrong = [f for f in answer.report.findings if f.run == "rise" and f.severity == "error"]
        clashes = [(f.against or f.check, f.point) for f in wrong if f.point is not None]
        (self.sheet,) = sheets(to_svg(answer.drawings.of_run_in_place(0, clashes)).encode())
        self.words = {w.text: w for w in self.sheet.of(Words)}
        tube = [i.points for i in self.sheet.of(Line) if i.area == NEW_TUBE]
        axes = [(p[: len(p) // 2] + p[len(p) // 2 :][::-1]) / 2.0 for p in tube]
        ends = [axis for axis in axes if len(axis) == 2]
        # A parallel projection is linear: 2 x 4 figures, over 12 that the straights give, in the order that fits.
        fits = []
        for order in permutations(range(3)):
            there = np.array([[*p, 1.0] for i in order for p in STRAIGHTS[i]])
            matrix, *_ = np.linalg.lstsq(there, np.vstack(ends), rcond=None)
            fits.append((float(np.abs(there @ matrix - np.vstack(ends)).max()), matrix))
        self.off, self.matrix = min(fits, key=lambda fit: fit[0])

    def on(self, point):
        return np.array([*point, 1.0]) @ self.matrix

    def towards(self):
        """The way to the eye: what the projection does not see, the end of it that looks down."""
        way = np.cross(self.matrix[:3, 0], self.matrix[:3, 1])
        way = way / np.linalg.norm(way)
        return way if way[2] > 0.0 else -way

    def dots(self):
        """Where lines from names end."""
        return [i.centre for i in self.sheet.of(Circle) if i.area and i.radius < 1.0]


@pytest.fixture(scope="module")
def rise():
    return Drawing()


def test_it_is_a_projection_square_to_the_eye_and_to_scale(rise):
    assert rise.off < 0.005
    right, up = rise.matrix[:3, 0], rise.matrix[:3, 1]
    assert np.linalg.norm(right) == pytest.approx(np.linalg.norm(up), rel=1e-4)
    assert abs(right @ up) / (right @ right) < 1e-4
    assert right[2] == pytest.approx(0.0, abs=1e-5)  # level
    assert up[2] > 0.0
    # Not in a mirror: right, up and towards the eye are a right-handed set.
    assert np.linalg.det(np.array([right, up, rise.towards()])) > 0.0


def test_it_says_from_where_it_is_seen(rise):
    said = re.fullmatch(r"rise in its place, seen from the (north|south)-(east|west) and above", rise.sheet.title)
    assert (said[1] == "south") == (rise.towards()[1] < 0.0)
    assert (said[2] == "east") == (rise.towards()[0] > 0.0)


def test_ends_are_named_where_they_are(rise):
    for name, other in (("start", "finish"), ("finish", "start")):
        here, there = rise.on(RISE[name]), rise.on(RISE[other])
        assert np.linalg.norm(rise.words[name].at - here) < 8.0
        assert np.linalg.norm(rise.words[name].at - there) > 30.0


def test_bends_are_numbered_on_their_outside(rise):
    for number, (middle, centre) in BENDS.items():
        word, at, inside = rise.words[number].at + [0.0, 1.35], rise.on(middle), rise.on(centre)
        others = [rise.on(m) for k, (m, _) in BENDS.items() if k != number]
        assert np.linalg.norm(word - at) < 8.0 < min(np.linalg.norm(word - other) for other in others)
        # Outside, where a circle through the bend is left behind.
        assert np.linalg.norm(word - inside) > np.linalg.norm(at - inside)
        assert min(np.linalg.norm(i.centre - word) for i in rise.sheet.of(Circle)) < 0.1


def test_a_cross_stands_on_each_clash_with_its_name(rise):
    arms = [i.points.mean(axis=0) for i in rise.sheet.of(Line) if i.stroke == RED]
    # On the tube's east side, where it is nearest to the edge of the post; in the middle of what nothing holds.
    points = [f.point for f in worked().report.findings if f.run == "rise" and f.point is not None]
    assert points[0] == pytest.approx((607.5, -42.5, 1092.6), abs=0.1)
    assert points[1] == pytest.approx((600.0, -138.1, 1100.0), abs=0.1)
    assert len(arms) == 4
    for arm, point in zip(arms, [points[0], points[0], points[1], points[1]], strict=True):
        assert np.abs(arm - rise.on(point)).max() < 0.02
    for name, point in zip(("post", "supports"), points, strict=True):
        red = next(w for w in rise.sheet.of(Words) if w.text == name and w.colour == RED)
        assert np.linalg.norm(red.at - rise.on(point)) < 12.0


def test_lines_of_the_room_lie_on_it_and_names_point_to_it(rise):
    flat = np.array([rise.on(p) for p in POST])
    edges = [(i, j) for i in range(8) for j in range(i) if np.sum(POST[i] != POST[j]) == 1]
    seen = [i.points for i in rise.sheet.of(Line) if i.stroke == "#595959" and not i.closed]
    assert seen
    # Three edges of the post that meet, at least, are to be seen in full or in part.
    drawn = np.concatenate([np.linspace(a, b, 20) for p in seen for a, b in zip(p, p[1:], strict=False)])
    on = sum(np.min([_gap(p, flat[i], flat[j]) for p in drawn]) < 0.02 for i, j in edges)
    assert on >= 3
    hull = ConvexHull(flat)
    inside = [bool((hull.equations @ [*dot, 1.0] <= 0.05).all()) for dot in rise.dots()]
    names = [name for name in ("post", "north wall", "floor") if any(
        w.text == name and w.colour != RED for w in rise.sheet.of(Words))]  # fmt: skip
    assert "post" in names
    assert any(inside)
    assert len(inside) == len(names)


def _gap(p, a, b):
    t = np.clip((p - a) @ (b - a) / ((b - a) @ (b - a)), 0.0, 1.0)
    return float(np.hypot(*(p - a - t * (b - a))))


def test_what_is_far_from_the_run_is_not_drawn_with_it():
    def named(box):
        return "crate" in Drawing(WORKED.replace("runs:\n", f"  crate: {{box: {box}}}\nruns:\n")).words

    assert not named("{from: [1720, -200, 0], to: [1900, -40, 1300]}")
    assert named("{from: [100, -300, 350], to: [200, -200, 430]}")
