"""What is written over the picture of the job worked by hand, through a projection found from the drawing itself.

The key of the axes says how east, north and up lie on the paper, and the crosses stand where `worked_job` says that
it is wrong. Nothing is rendered.
"""

from types import SimpleNamespace

import numpy as np
import pytest
import shapely
from scipy.spatial import ConvexHull
from worked_job import WORKED, worked

from pipemodel.documents.picture import draw as draw_module
from pipemodel.documents.picture.draw import FOOT, HEAD, SHEET, annotate, framed, wrong_words
from pipemodel.drawing.placing import box_of
from pipemodel.drawing.sheet import Circle, Line, Role, Text
from pipemodel.messages.units import INCHES, MM
from pipemodel.wording.cautions import short_caution

DEEP = 55.0 * (1.0 - np.sqrt(0.5))  # the middle of a square bend lies so far from both its tangents
BENDS = {
    "1": ((600.0 - DEEP, -15.0, 500.0 + DEEP), (545.0, -15.0, 555.0)),
    "2": ((600.0, -15.0 - DEEP, 1100.0 - DEEP), (600.0, -70.0, 1045.0)),
}
ENDS = {
    "rise: start": (-10.6, -15.0, 500.0), "rise: finish": (600.0, -315.0, 1100.0),
    "stub: start": (0.0, -115.0, 300.0), "stub: finish": (560.0, -115.0, 300.0),
}  # fmt: skip
CLASHES = np.array([(607.5, -42.5, 1092.6), (600.0, -138.1, 1100.0), (280.0, -115.0, 300.0)])
"""Where the tube's outside is nearest to the post; the middle of what nothing holds, of the rise and of the stub."""
POST = np.array([(x, y, z) for x in (610.5, 700.0) for y in (-200.0, -40.0) for z in (0.0, 2000.0)])


class Over:
    """The sheet over a picture: its words, lines and circles, and the projection found from it."""

    def __init__(self, yaml=WORKED, units=MM, things=None):
        answer = worked(yaml, units)
        wrong = [f for f in answer.report.findings if f.point is not None and f.severity == "error"]
        self.panel, _ = framed(answer.schedule, [f.point for f in wrong])
        at = things(self.panel) if things else {}
        annotate(self.panel, answer, wrong, at)
        self.items = list(self.panel.sheet.primitives())
        self.words = {w.text: w for w in self.of(Text)}

    def of(self, kind, role=None):
        return [i for i in self.items if isinstance(i, kind) and role in (None, i.role)]

    def crosses(self):
        """The middle of each cross in a ring."""
        return [np.array(c.centre) for c in self.of(Circle, Role.CLASH) if not c.filled]

    def key(self):
        """How east, north and up of a mm lie on the paper, times one figure that is not known yet; (3, 2)."""
        lines = [i.points for i in self.of(Line, Role.RUN) if len(i.points) == 2]
        assert len(lines) == 3
        assert len({root for root, _ in lines}) == 1
        out = []
        for name in ("E (x)", "N (y)", "up (z)"):
            word = np.array(self.words[name].at) + [0.0, 0.9]
            out.append(min((np.subtract(tip, root) for root, tip in lines),
                           key=lambda way: np.hypot(*(np.array(lines[0][0]) + way * 1.4 - word))))  # fmt: skip
        return np.array(out)

    def project(self):
        """Scale and place that put the clashes on the crosses, by least squares."""
        flat = CLASHES @ self.key()
        drawn = np.array(self.crosses())
        a, b = flat - flat.mean(axis=0), drawn - drawn.mean(axis=0)
        k = float((a * b).sum() / (a * a).sum())
        shift = drawn.mean(axis=0) - k * flat.mean(axis=0)
        return SimpleNamespace(k=k, shift=shift, off=float(np.abs(k * flat + shift - drawn).max()), key=self.key())


@pytest.fixture(scope="module")
def over():
    return Over()


@pytest.fixture(scope="module")
def on(over):
    found = over.project()
    assert found.k > 0.0
    assert found.off < 0.1  # clashes are worked out to a tenth of a mm of the room
    return lambda point: found.k * (np.array(point) @ found.key) + found.shift


def test_the_key_of_the_axes_is_square_to_the_eye_and_not_in_a_mirror(over):
    """Three axes of a unit each, seen in parallel: right and up on the paper are square and of one length."""
    right, up = over.key().T
    assert right @ right == pytest.approx(up @ up, rel=1e-6)
    assert right @ up == pytest.approx(0.0, abs=1e-6 * (right @ right))
    assert right[2] == pytest.approx(0.0, abs=1e-9)  # up is up
    assert up[2] > 0.0
    eye = np.cross(right, up)
    assert eye[2] > 0.0  # from above
    assert eye[1] < 0.0  # and from the south, where east lies to the right
    assert right[0] > 0.0


def test_a_cross_in_a_ring_stands_where_it_is_wrong_with_what_is_wrong(over, on):
    rings = over.crosses()
    assert len(rings) == 3
    arms = [np.array(i.points) for i in over.of(Line, Role.CLASH)]
    for ring, point in zip(rings, CLASHES, strict=True):
        assert np.hypot(*(ring - on(point))) < 0.15
        mine = [arm - ring for arm in arms if np.abs(arm - ring).max() < 3.0]
        assert [arm.tolist() for arm in mine] == [
            [pytest.approx([-1.55, -1.55]), pytest.approx([1.55, 1.55])],
            [pytest.approx([-1.55, 1.55]), pytest.approx([1.55, -1.55])],
        ]
    said = [w for w in over.of(Text, Role.CLASH) if w.height == 2.2 and w.at[1] < SHEET[1] - HEAD]
    assert sorted(w.text for w in said) == ["TOO NEAR post: 3.0 mm off, 6 asked", "supports", "supports"]
    near = next(w for w in said if w.text.startswith("TOO NEAR"))
    far = [np.hypot(*(np.array(near.at) - ring)) for ring in rings]
    assert far[0] < 40.0
    assert far[0] < far[2]


def test_numbers_of_several_runs_stand_with_their_names_at_the_backs_of_their_bends(over, on):
    assert [w for w in over.words if w[-1].isdigit()] == ["rise 1", "rise 2"]
    for number, (middle, centre) in BENDS.items():
        word = over.words[f"rise {number}"]
        assert word.ink == over.words["rise: start"].ink
        at = np.mean(box_of(word), axis=0)
        assert shapely.Polygon(box_of(word)).distance(shapely.Point(on(middle))) < 12.0
        # Outside, where a circle through the bend is left behind.
        assert np.hypot(*(at - on(centre))) > np.hypot(*(on(middle) - on(centre)))
        other = BENDS["2" if number == "1" else "1"][0]
        assert np.hypot(*(at - on(middle))) < np.hypot(*(at - on(other)))
        # A line leads from it to the tube and ends in a dot there, but where the cross of the clash lies over the bend.
        dots = [np.array(c.centre) for c in over.of(Circle) if c.filled and c.radius < 1.0]
        if number == "1":
            assert min(np.hypot(*(dot - on(middle))) for dot in dots) < 3.0


def test_ends_are_named_where_they_are_in_the_colour_of_their_run(over, on):
    for name, point in ENDS.items():
        word = over.words[name]
        others = [np.hypot(*(np.array(word.at) - on(p))) for other, p in ENDS.items() if other != name]
        assert np.hypot(*(np.array(word.at) - on(point))) < min(20.0, *others)
        assert word.bold
    assert over.words["rise: start"].ink == over.words["rise: finish"].ink
    assert over.words["stub: start"].ink == over.words["stub: finish"].ink
    red, _, blue = over.words["rise: start"].ink
    assert red > blue
    red, _, blue = over.words["stub: start"].ink
    assert red < blue


def test_names_of_things_point_to_them(on):
    def things(panel):
        edge = [panel.at(tuple(POST[i] + (POST[j] - POST[i]) * share)) for i, j in ((0, 1), (2, 3))
                for share in np.linspace(0.0, 1.0, 21)]  # fmt: skip
        area = panel.placer.window
        return {"post": [p for p in edge if area.holds(p)]}

    seen = Over(things=things)
    assert "post" in seen.words
    dots = [np.array(c.centre) for c in seen.of(Circle, Role.ROOM) if c.filled and c.radius < 1.0]
    hull = ConvexHull(np.array([on(p) for p in POST]))
    assert [bool((hull.equations @ [*dot, 1.0] <= 0.05).all()) for dot in dots] == [True]


def test_points_of_a_thing_keep_inside_the_picture(monkeypatch):
    """A name's line never ends within 1.5 mm of the picture's edge, where what it points to is cut off."""
    panel, _ = framed(worked().schedule, [])
    area = panel.placer.window
    view = panel.view
    flats = [(x, y) for x in np.linspace(area.left - 5.0, area.right + 5.0, 60)
             for y in np.linspace(area.low - 5.0, area.high + 5.0, 45)]  # fmt: skip
    there = [((x - panel.origin[0]) / panel.k, (y - panel.origin[1]) / panel.k) for x, y in flats]
    points = np.array([u * np.array(view.right) + v * np.array(view.upright) for u, v in there])
    monkeypatch.setattr(draw_module, "surface_of", lambda *_: "surface")
    monkeypatch.setattr(draw_module, "anchors", lambda *_: points)
    found = np.array(list(draw_module._edges(panel, SimpleNamespace(shape=None), None)))
    inside = [
        p for p in flats if area.left + 1.5 <= p[0] <= area.right - 1.5 and area.low + 1.5 <= p[1] <= area.high - 1.5
    ]
    assert len(found) == len(inside) > 500
    assert np.abs(found - inside).max() < 1e-6
    monkeypatch.setattr(draw_module, "surface_of", lambda *_: None)
    assert list(draw_module._edges(panel, SimpleNamespace(shape=None), None)) == []


def test_the_key_of_the_axes_goes_to_a_corner_that_is_free():
    """The lower corners first, then the upper ones; never off the picture."""
    places = []
    for blocked in (0.0, 30.0, 100.0):
        panel, _ = framed(worked().schedule, [])
        for k in range(int(blocked / 2.5)):
            panel.placer.add((Text("W" * 90, (100.0, FOOT + 2.5 * k), 2.5, "centre"),))
        draw_module._axes(panel, MM)
        key = [i for i in panel.sheet.items if isinstance(i, Line)]
        assert len(key) == 3
        x, y = key[0].points[0]
        assert all(panel.placer.window.holds(p) for line in key for p in line.points)
        places.append((x, round(y, 2)))
    assert places[0] == (17.0, FOOT + 12.0)
    # With the lower 30 taken it goes to the upper left; with 100 taken as well.
    assert places[1] == places[2] == (17.0, SHEET[1] - HEAD - 15.0)


def test_the_head_says_the_verdict_and_the_foot_how_to_read_it(over):
    title, verdict = over.words["worked"], next(w for t, w in over.words.items() if t.startswith("FAIL: 3"))
    assert SHEET[1] - HEAD < verdict.at[1] < title.at[1] < SHEET[1]
    assert verdict.role is Role.CLASH
    assert verdict.ink is None
    foot = "Numbers: bends from the start end.  Seen in parallel, not to scale.  Things near the runs only."
    assert 0.0 < over.words[short_caution()].at[1] < over.words[foot].at[1] < FOOT
    # What passes is written in green.
    good = Over(
        "job: good\ntube: 15\nformer: {radius: 55}\nruns:\n  a: {points: [[0, 0, 0], [500, 0, 0], [500, 0, 300]]}\n"
    )
    passed = next(w for t, w in good.words.items() if t.startswith("PASS"))
    red, green, blue = passed.ink
    assert green > 2.0 * max(red, blue)
    assert good.crosses() == []


def many(count, boxes):
    """Runs of no bend side by side, a box right through the first few of them."""
    rows = ["job: many", "tube: 15", "former: {radius: 55}", "room:"]
    rows += [
        f"  box {i}: {{box: {{from: [200, {200 * i - 20}, -20], to: [240, {200 * i + 20}, 20]}}}}" for i in range(boxes)
    ]
    rows.append("runs:")
    rows += [f"  run {i}: {{points: [[0, {200 * i}, 0], [600, {200 * i}, 0]]}}" for i in range(count)]
    return "\n".join(rows) + "\n"


@pytest.mark.slow
def test_of_many_runs_none_is_named_and_of_many_places_eight_are_marked():
    drawn = Over(many(41, 9))
    assert not [w for w in drawn.words if w.startswith("run ")]
    assert len(drawn.crosses()) == 8
    assert any(w.endswith("  1 more places are not marked.") for w in drawn.words)
    drawn = Over(many(3, 1))
    assert {f"run {i}: {end}" for i in range(3) for end in ("start", "finish")} <= set(drawn.words)
    assert len(drawn.crosses()) == 1


@pytest.mark.parametrize(
    ("against", "distance", "required", "units", "words"),
    [
        (None, None, None, MM, "bender"),
        ("post", None, None, MM, "CLASH post"),
        ("post", -12.34, 5.0, MM, "CLASH post: 12.3 mm into it"),
        ("post", 3.04, 6.0, MM, "TOO NEAR post: 3.0 mm off, 6 asked"),
        ("post", 3.0, None, MM, "TOO NEAR post: 3.0 mm off"),
        ("post", -25.4, 5.0, INCHES, "CLASH post: 1.00 in into it"),
        ("post", 12.7, 25.4, INCHES, "TOO NEAR post: 0.50 in off, 1 asked"),
    ],
)
def test_what_is_written_at_a_place_where_it_is_wrong(against, distance, required, units, words):
    finding = SimpleNamespace(check="bender", against=against, distance_mm=distance, required_mm=required)
    assert wrong_words(finding, units) == words
