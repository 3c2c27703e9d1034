"""The drawing that stands in for the 3D view, read back: where each end, bend, clash and thing lies as it says."""

import re

import numpy as np
import pytest
from worked_job import WORKED, worked

from pipemodel.documents.page.room import room_parts
from pipemodel.documents.page.still_drawing import stand_in

RISE = {"start": (-10.6, -15.0, 500.0), "finish": (600.0, -315.0, 1100.0)}
# The middle of a quarter of a circle lies (1 - cos 45) R = 16.109 from both its tangents, and R from its centre.
DEEP = 55.0 * (1.0 - np.sqrt(0.5))
BENDS = {"1": ((600.0 - DEEP, -15.0, 500.0 + DEEP), (545.0, -15.0, 555.0)),
         "2": ((600.0, -15.0 - DEEP, 1100.0 - DEEP), (600.0, -70.0, 1045.0))}  # fmt: skip
STRAIGHTS = [((-10.6, -15, 500), (545, -15, 500)), ((600, -15, 555), (600, -15, 1045)),
             ((600, -70, 1100), (600, -315, 1100))]  # fmt: skip
TEXT = re.compile(r'<text x="([-\d.]+)" y="([-\d.]+)"[^>]*>([^<]*)</text>')
PATH = re.compile(r'<path d="([^"]+)"[^>]*stroke="(#\w+)" stroke-width="([\d.]+)"([^>]*)/>')


def numbers(path):
    return np.array(re.findall(r"-?[\d.]+", path), dtype=float).reshape(-1, 2)


class Drawing:
    """The drawing of the rise, and the projection it was made by, found from the tube alone."""

    def __init__(self, yaml=WORKED):
        answer = worked(yaml)
        (solved, *_), schedule = answer.schedule.runs, answer.schedule
        clashes = [f for f in answer.report.findings if f.run == "rise" and f.severity == "error"]
        self.svg = stand_in(solved, room_parts(schedule), clashes)
        self.words = {text: np.array([float(x), float(y)]) for x, y, text in TEXT.findall(self.svg)}
        self.paths = [(numbers(d), colour, more) for d, colour, _, more in PATH.findall(self.svg)]
        tube = [points for points, colour, _ in self.paths if colour == "#cd7033"]
        ends = [points[[0, -1]] for points in tube if len(points) == 2]
        # A parallel projection is linear: 2 x 4 figures, over 12 that the straights give. Straights may come in any
        # order; the right one fits.
        fits = []
        for order in ((0, 1, 2), (0, 2, 1), (1, 0, 2), (1, 2, 0), (2, 0, 1), (2, 1, 0)):
            there = np.array([[*p, 1.0] for i in order for p in STRAIGHTS[i]])
            drawn = np.vstack(ends)
            matrix, *_ = np.linalg.lstsq(there, drawn, rcond=None)
            fits.append((float(np.abs(there @ matrix - drawn).max()), order, matrix))
        self.off, self.order, self.matrix = min(fits, key=lambda fit: fit[0])

    def on(self, point):
        return np.array([*point, 1.0]) @ self.matrix

    def towards(self):
        """The way to the eye: what the projection does not see, the end of it that looks down."""
        way = np.cross(self.matrix[:3, 0], self.matrix[:3, 1])
        way = way / np.linalg.norm(way)
        return way if way[2] > 0.0 else -way


@pytest.fixture(scope="module")
def rise():
    return Drawing()


def test_it_is_a_projection_square_to_the_eye_and_to_scale(rise):
    assert rise.off < 0.15  # figures are to a tenth
    right, down = rise.matrix[:3, 0], rise.matrix[:3, 1]
    assert np.linalg.norm(right) == pytest.approx(np.linalg.norm(down), rel=2e-3)
    assert abs(right @ down) / (right @ right) < 2e-3
    assert right[2] == pytest.approx(0.0, abs=1e-3)  # level
    assert down[2] < 0.0  # up is up
    # Not in a mirror: right, up and towards the eye are a right-handed set.
    assert np.linalg.det(np.array([right, -down, rise.towards()])) > 0.0


def test_it_says_from_where_it_is_seen(rise):
    south, east = -rise.towards()[1], rise.towards()[0]
    said = re.search(r"seen from the ([a-z-]+) and above", rise.svg)[1]
    assert south > 0.0
    assert said in {"south": ["south"], "east": ["south-east", "east"], "west": ["south-west", "west"]}[
        "east" if east > 0.0 else "west"
    ] + ["south"]


def test_nearer_parts_cover_farther_ones(rise):
    depth = [np.mean([np.dot(p, rise.towards()) for p in STRAIGHTS[i]]) for i in rise.order]
    assert depth == sorted(depth)


def test_ends_are_named_where_they_are(rise):
    for name, other in (("start", "finish"), ("finish", "start")):
        here, there = rise.on(RISE[name]), rise.on(RISE[other])
        assert np.linalg.norm(rise.words[name] - here) < 40.0
        assert np.linalg.norm(rise.words[name] - there) > 200.0


def test_bends_are_numbered_on_their_outside(rise):
    for number, (middle, centre) in BENDS.items():
        word, at, inside = rise.words[number], rise.on(middle), rise.on(centre)
        others = [rise.on(m) for k, (m, _) in BENDS.items() if k != number]
        assert np.linalg.norm(word - at) < 60.0 < min(np.linalg.norm(word - other) for other in others)
        assert (word - at) @ (at - inside) > 0.0


def test_a_cross_stands_on_each_clash_with_its_name(rise):
    crosses = [points.mean(axis=0) for points, colour, _ in rise.paths if colour == "#a11212"]
    # On the tube's east side, where it is nearest to the edge of the post; in the middle of what nothing holds.
    answer = worked()
    points = [f.point for f in answer.report.findings if f.run == "rise" and f.point is not None]
    assert points[0] == pytest.approx((607.5, -42.5, 1092.6), abs=0.1)
    assert points[1] == pytest.approx((600.0, -138.1, 1100.0), abs=0.1)
    assert len(crosses) == 2
    for cross, point in zip(crosses, points, strict=True):
        assert np.abs(cross - rise.on(point)).max() < 0.2
    for name, cross in (("\u2715 post", crosses[0]), ("\u2715 supports", crosses[1])):
        assert np.linalg.norm(rise.words[name] - cross) < 60.0


def test_the_post_is_drawn_whole_and_walls_broken(rise):
    solid, broken = (
        next(p for p, colour, more in rise.paths if colour == "#75808a" and ("dasharray" in more) is dashed)
        for dashed in (False, True)
    )
    corners = [rise.on((x, y, z)) for x in (610.5, 700.0) for y in (-200.0, -40.0) for z in (0.0, 2000.0)]
    assert len(solid) == 24  # twelve edges
    for point in solid:
        assert min(np.abs(point - corner).max() for corner in corners) < 0.6
    for corner in corners:
        assert np.abs(solid - corner).max(axis=1).min() < 0.6
    assert len(broken) == 16  # the four edges of two faces
    for name, axis in (("north wall", 1), ("floor", 2)):
        word = rise.words[name]
        # On the face of the wall: a point with that coordinate 0 lies there, within what is drawn of it.
        part = broken[:8] if axis == 1 else broken[8:]
        assert (part.min(axis=0) <= word).all()
        assert (word <= part.max(axis=0)).all()
    word = rise.words["post"]
    assert np.min(corners, axis=0)[0] - 20.0 < word[0] < np.max(corners, axis=0)[0] + 20.0


def test_what_is_far_from_the_run_is_not_drawn_with_it():
    def edges(box):
        drawn = Drawing(WORKED.replace("runs:\n", f"  crate: {{box: {box}}}\nruns:\n"))
        return len(next(p for p, colour, more in drawn.paths if colour == "#75808a" and "dasharray" not in more)) // 2

    assert edges("{from: [5000, -200, 0], to: [5100, -40, 300]}") == 12
    assert edges("{from: [100, -700, 0], to: [200, -600, 80]}") == 24


def test_words_cover_no_others(rise):
    """Letters 19 high, in a face about six tenths as wide as high."""
    boxes = [(*(at - (0.3 * 19 * len(text), 15)), *(at + (0.3 * 19 * len(text), 4))) for text, at in rise.words.items()]
    for i, a in enumerate(boxes):
        assert a[0] >= 0
        assert a[2] <= 640
        for b in boxes[:i]:
            assert not (a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]), (a, b)
