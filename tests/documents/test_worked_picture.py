"""The picture of the job worked by hand, as it is drawn: what is written where, and in which colour.

What the renderer gives is left white here: words and marks are noted as they are drawn on it. Where they point to is
held against the places that `worked_job` derives, through a projection found from the marks themselves.
"""

import io
import pickle
from types import SimpleNamespace

import numpy as np
import pytest
import pyvista
from PIL import Image, ImageDraw
from worked_job import WORKED, worked

from pipemodel.documents.picture import draw as draw_module
from pipemodel.documents.picture import scene
from pipemodel.documents.picture.labels import Board
from pipemodel.documents.picture.view import best_view
from pipemodel.wording.cautions import short_caution
from pipemodel.wording.units import INCHES, MM

DEEP = 55.0 * (1.0 - np.sqrt(0.5))  # the middle of a square bend lies so far from both its tangents
PLACES = {
    "1": (600.0 - DEEP, -15.0, 500.0 + DEEP),
    "2": (600.0, -15.0 - DEEP, 1100.0 - DEEP),
    "rise: start": (-10.6, -15.0, 500.0),
    "rise: finish": (600.0, -315.0, 1100.0),
    "stub: start": (0.0, -115.0, 300.0),
    "stub: finish": (560.0, -115.0, 300.0),
}
CLASHES = ((607.5, -42.5, 1092.6), (600.0, -138.1, 1100.0), (280.0, -115.0, 300.0))
"""Where the tube's outside is nearest to the post; the middle of what nothing holds, of the rise and of the stub."""
RED = "#c62828"


class Drawn:
    """A picture, drawn over white: its words, lines and rings in their order; lines and rings with their colour."""

    def __init__(self, monkeypatch, yaml=WORKED, units=MM):
        self.words, self.lines, self.rings, self.order = {}, [], [], []

        def text(_, at, said, fill, font, anchor, **look):
            self.words[said] = SimpleNamespace(
                at=np.array(at, float), fill=fill, size=font.size, anchor=anchor, bold="Bold" in font.getname()[1]
            )
            self.order.append(said)

        def line(_, points, fill, width):
            self.lines.append((np.array(points, float), fill, width))
            self.order.append("line")

        def ellipse(_, box, fill=None, outline=None, width=1):
            middle = np.array([(box[0] + box[2]) / 2.0, (box[1] + box[3]) / 2.0])
            self.rings.append((middle, (box[2] - box[0]) / 2.0, fill, outline))
            self.order.append("ring")
            assert box[3] - box[1] == pytest.approx(box[2] - box[0])

        def white(runs, things, view, hit):
            self.rendered = ([s.name for s in runs], [t.name for t in things], hit)
            return np.full((2 * view.size[1], 2 * view.size[0], 3), 255, np.uint8)

        for name, noted in (("text", text), ("line", line), ("ellipse", ellipse)):
            monkeypatch.setattr(ImageDraw.ImageDraw, name, noted)
        monkeypatch.setattr(draw_module, "render", white)
        self.image = draw_module.draw(worked(yaml, units))
        self.matrix = self.projection() if "rise: start" in self.words else None

    def leader(self, said):
        """Where the thin line of a label ends: the line of its colour that runs to its box."""
        word = self.words[said]
        fill = "black" if said.isdigit() else word.fill
        near = [(np.abs(points[1] - word.at).max(), points) for points, colour, w in self.lines
                if colour == fill and w == 2]  # fmt: skip
        return min(near, key=lambda pair: np.hypot(*(pair[1][1] - word.at)))[1]

    def projection(self):
        there = np.array([[*p, 1.0] for p in PLACES.values()])
        drawn = np.array([self.leader(said)[0] for said in PLACES])
        matrix, *_ = np.linalg.lstsq(there, drawn, rcond=None)
        self.off = float(np.abs(there @ matrix - drawn).max())
        return matrix

    def on(self, point):
        return np.array([*point, 1.0]) @ self.matrix


@pytest.fixture(scope="module")
def picture():
    with pytest.MonkeyPatch.context() as patch:
        yield Drawn(patch)


def test_ends_and_bends_are_named_where_they_are(picture):
    """One parallel projection puts every label's line on its own end or bend: square, to scale, not in a mirror."""
    assert picture.off < 0.02
    right, down = picture.matrix[:3, 0], picture.matrix[:3, 1]
    assert np.linalg.norm(right) == pytest.approx(np.linalg.norm(down), rel=1e-3)
    assert abs(right @ down) < 1e-3 * (right @ right)
    assert right[2] == pytest.approx(0.0, abs=1e-6)
    assert down[2] < 0.0
    back = np.cross(right, -down)  # towards the eye: from above, and from the south
    assert back[2] > 0.0
    assert back[1] < 0.0
    assert [w for w in picture.words if w.isdigit()] == ["1", "2"]


def test_labels_stand_off_what_they_point_to(picture):
    for said, word in picture.words.items():
        if word.anchor != "mm" or said[-1] == ")":
            continue
        a, b = picture.leader(said)
        assert 20.0 < np.hypot(*(b - a)) < 120.0, said
        # The line ends at the middle of the label or at its edge, never beyond it.
        assert (np.abs(b - word.at) <= [0.35 * word.size * len(said) + 18.0, 18.0]).all(), said
        if said.isdigit():  # at the edge of the square round its disc
            assert np.abs(b - word.at).max() == pytest.approx(17.0)


def test_a_cross_in_a_ring_stands_where_it_is_wrong(picture):
    crosses = [(middle, radius) for middle, radius, fill, outline in picture.rings if outline == RED]
    assert len(crosses) == 3
    for (middle, radius), point in zip(crosses, CLASHES, strict=True):
        assert np.abs(middle - picture.on(point)).max() < 0.3
        assert radius == 20.0
        strokes = [points - middle for points, fill, width in picture.lines if fill == RED and width == 5]
        mine = [s for s in strokes if np.abs(s).max() < 20.0]
        d = 20.0 * 0.62
        assert [s.tolist() for s in mine] == [
            [pytest.approx([-d, -d]), pytest.approx([d, d])],
            [pytest.approx([-d, d]), pytest.approx([d, -d])],
        ]
    said = {w: np.hypot(*(picture.leader(w)[0] - crosses[0][0])) for w in picture.words if "TOO NEAR" in w}
    assert said == {"TOO NEAR post: 3.0 mm off, 6 asked": pytest.approx(0.0, abs=1e-6)}
    assert picture.words["TOO NEAR post: 3.0 mm off, 6 asked"].fill == RED
    assert picture.order.count("S101: supports") == 2
    # Every cross is drawn over white of its own, a little wider.
    whites = [m for m, _, fill, outline in picture.rings if outline == "white" and fill is None]
    assert [m.tolist() for m in whites] == [m.tolist() for m, _ in crosses]


def test_names_point_to_the_things(picture):
    """The post's to one of its edges, the wall's into its face, and none to what is far."""
    assert picture.rendered == (["rise", "stub"], ["post", "north wall", "floor"], frozenset({"post"}))
    named = [w for w in picture.words if w in ("post", "north wall", "floor")]
    assert named == ["post", "north wall"]  # of the floor, 292 under the lowest tube, nothing is in view
    at = picture.leader("post")[0]
    edges = []
    for axis in range(3):
        ends = np.array([[610.5, -200.0, 0.0], [700.0, -40.0, 2000.0]])
        a, b = (k for k in range(3) if k != axis)
        for i in (0, 1):
            for j in (0, 1):
                edge = np.array([ends[0], ends[1]])
                edge[:, a], edge[:, b] = ends[i, a], ends[j, b]
                edges.append([picture.on(p) for p in edge])
    distances = []
    for p, q in edges:
        t = np.clip((at - p) @ (q - p) / ((q - p) @ (q - p)), 0.0, 1.0)
        distances.append(np.hypot(*(p + t * (q - p) - at)))
    assert min(distances) < 1.0
    assert {picture.words[w].fill for w in named} == {"#2f3a46"}


def test_dots_and_colours(picture):
    """Runs in their own colours, darker than their tubes; numbers in black, on white discs."""
    brown, blue = picture.words["rise: start"].fill, picture.words["stub: start"].fill
    assert (picture.words["rise: finish"].fill, picture.words["stub: finish"].fill) == (brown, blue)
    red, _, b = (int(brown[i : i + 2], 16) for i in (1, 3, 5))
    assert red > b
    red, _, b = (int(blue[i : i + 2], 16) for i in (1, 3, 5))
    assert red < b
    dots = {tuple(np.round(m, 6)): (r, fill) for m, r, fill, outline in picture.rings if outline == "white" and fill}
    for said, radius in (("1", 4.0), ("2", 4.0), ("rise: start", 5.0), ("stub: finish", 5.0), ("post", 3.0)):
        r, fill = dots[tuple(np.round(picture.leader(said)[0], 6))]
        assert (r, fill) == (radius, "black" if said.isdigit() else picture.words[said].fill)
    for number in ("1", "2"):
        at = picture.words[number].at
        (disc,) = [ring for ring in picture.rings if np.allclose(ring[0], at)]
        assert disc[1:] == (17.0, "white", brown)
        assert picture.words[number].size == 20
    sizes = {said: (word.size, word.bold) for said, word in picture.words.items()}
    assert sizes["rise: start"] == (24, True)
    assert sizes["S101: supports"] == (24, True)
    assert sizes["post"] == (20, False)
    # All lines are drawn first: no line runs over a word.
    waiting = picture.order.index("1")
    assert picture.order[: waiting - 1].count("line") >= 20
    # A label's thin line has a white one under it.
    for (a, white, wide), (b, _, thin) in zip(picture.lines[:16:2], picture.lines[1:16:2], strict=True):
        assert (white, wide, thin) == ("white", 5, 2)
        assert (a == b).all()


def test_the_axes_point_as_the_projection_has_them(picture):
    root = np.array([140.0, 1200 - 84 - 50 - 100.0])
    tips = [points for points, fill, width in picture.lines if fill == "black" and width == 3]
    assert len(tips) == 3
    whole = np.linalg.norm(picture.matrix[:3, 0])
    for k, (a, b) in enumerate(tips):
        assert a.tolist() == root.tolist()
        assert b - a == pytest.approx(picture.matrix[k, :2] / whole * 62.0, abs=0.05)
    for name, (a, b) in zip(("E (x)", "N (y)", "up (z)"), tips, strict=True):
        ahead = (b - a) / np.hypot(*(b - a))
        assert picture.words[name].at == pytest.approx(b + ahead * [26.0, 18.0], abs=0.05)
        assert (picture.words[name].size, picture.words[name].bold) == (20, True)


def test_the_axes_stand_in_the_lower_corner_that_is_emptier(monkeypatch):
    """The same run from left to right and up, and from left to right and down."""
    roots = []
    for low, high in ((0, 900), (900, 0)):
        yaml = f"job: x\ntube: 15\nformer: {{radius: 55}}\nruns:\n  a: {{points: [[0, 0, {low}], [1500, 0, {high}]]}}\n"
        drawn = Drawn(monkeypatch, yaml)
        (root, *_) = (points[0] for points, fill, width in drawn.lines if fill == "black" and width == 3)
        start, finish = (drawn.words[f"a: {end}"].at for end in ("start", "finish"))
        lower = max(start, finish, key=lambda at: at[1])
        roots.append(root.tolist())
        assert (root[0] < 800) == (lower[0] > 800)
    assert roots == [[1460.0, 966.0], [140.0, 966.0]]


def test_title_verdict_and_foot(picture):
    at = {said: (tuple(word.at), word.size, word.bold) for said, word in picture.words.items() if word.anchor == "la"}
    assert at == {
        "worked": ((24, 16), 32, True),
        "FAIL: 3 things are wrong": ((24, 54), 24, True),
        "Numbers: bends from the start end.  Seen in parallel, not to scale.  Things near the runs only.": (
            (24, 1154), 18, False,
        ),
        short_caution(): ((24, 1176), 18, False),
    }  # fmt: skip
    assert picture.words["FAIL: 3 things are wrong"].fill == RED
    assert picture.image.size == (1600, 1200)


def test_a_job_that_passes_says_so_in_green_and_has_no_cross(monkeypatch):
    clear = WORKED.replace("[610.5, -200, 0]", "[640.5, -200, 0]").replace("clips: {face: [north wall]}\n", "")
    drawn = Drawn(monkeypatch, clear, INCHES)
    (verdict,) = (w for w in drawn.words if w.startswith("PASS"))
    assert drawn.words[verdict].fill == "#1b5e20"
    assert not [ring for ring in drawn.rings if ring[3] == RED]
    assert drawn.rendered[2] == frozenset()


def test_wrong_places_are_told_in_the_papers_units_and_into_it_is_told_from_beside_it(monkeypatch):
    drawn = Drawn(monkeypatch, WORKED, INCHES)
    # 3 and 6 mm are 0.118 and 0.236 in.
    assert [w for w in drawn.words if "TOO NEAR" in w] == ["TOO NEAR post: 0.12 in off, 0.236 asked"]
    inside = WORKED.replace("[610.5, -200, 0]", "[602.5, -200, 0]").replace("clips: {face: [north wall]}\n", "")
    drawn = Drawn(monkeypatch, inside)
    # The tube's outside reaches to 607.5.
    assert [w for w in drawn.words if "CLASH" in w] == ["CLASH post: 5.0 mm into it"]
    assert "TOO NEAR" not in " ".join(drawn.words)


def many(count, bends, wrong=0):
    """A job of alike runs side by side, and posts that some of them run into."""
    rows = ["job: many", "tube: 15", "former: {radius: 55}", "clearance: 5"]
    if wrong:
        rows.append("room:")
    for i in range(wrong):
        rows.append(f"  post {i}: {{box: {{from: [-20, {200 * i - 20}, 400], to: [20, {200 * i + 20}, 450]}}}}")
    rows.append("runs:")
    for i in range(count):
        points = [[0, 200 * i, 500 - 150]]
        for k in range(bends + 1):
            points.append([points[-1][0] + 300 * (k % 2 == 1), 200 * i, points[-1][2] + 150 * (k % 2 == 0)])
        rows.append(f"  run {i}: {{points: {points}}}")
    return "\n".join(rows) + "\n"


def test_crowded_pictures_write_smaller_and_say_what_they_leave_out(monkeypatch):
    drawn = Drawn(monkeypatch, many(5, 8))  # 40 bends
    assert (drawn.words["1"].size, drawn.words["run 0: start"].size) == (20, 24)
    drawn = Drawn(monkeypatch, many(6, 7))  # 42
    assert (drawn.words["1"].size, drawn.words["run 0: start"].size) == (13, 15)
    assert "Numbers: " in drawn.order[-2]


def test_of_many_runs_none_is_named_and_of_many_places_eight_are_marked(monkeypatch):
    drawn = Drawn(monkeypatch, many(41, 0, 9))
    assert "run 0: start" not in drawn.words
    assert sum(ring[3] == RED for ring in drawn.rings) == 8
    assert sum(w.startswith("CLASH") for w in drawn.words) == 8
    assert drawn.order[-2].endswith("  1 more places are not marked.")


def test_labels_find_the_nearest_free_place():
    """A label by itself lies against its point's right or left, 26 off; where that is taken, elsewhere."""
    board = Board((400, 400), np.zeros((0, 2)))
    anchor, first = board.place([(200.0, 200.0)], 60.0, 20.0)
    assert anchor == (200.0, 200.0)
    assert (first[2] - first[0], first[3] - first[1]) == (pytest.approx(60.0), pytest.approx(20.0))
    gap = np.hypot(max(first[0] - 200.0, 200.0 - first[2], 0.0), max(first[1] - 200.0, 200.0 - first[3], 0.0))
    assert 15.0 < gap <= 26.1
    _, second = board.place([(200.0, 200.0)], 60.0, 20.0)
    assert second != first
    # Of two points it may belong to, it takes the one with room: round the other are tubes.
    crowd = np.array([[x, y] for x in range(20, 180, 5) for y in range(20, 180, 5)], float)
    anchor, rect = Board((400, 400), crowd).place([(100.0, 100.0), (300.0, 300.0)], 60.0, 20.0)
    assert anchor == (300.0, 300.0)
    anchor, _ = Board((400, 400), crowd).place([(300.0, 300.0), (100.0, 100.0)], 60.0, 20.0)
    assert anchor == (300.0, 300.0)
    # And of two with room all round, the one that is not under another label.
    board = Board((400, 400), np.zeros((0, 2)))
    board.taken.append((98.0, 98.0, 102.0, 102.0))
    assert board.place([(100.0, 100.0), (300.0, 300.0)], 60.0, 20.0)[0] == (300.0, 300.0)
    assert board.place([(100.0, 100.0)], 60.0, 20.0)[0] == (100.0, 100.0)
    # At the picture's corner it stays on the picture.
    for corner in ((3.0, 3.0), (397.0, 3.0), (3.0, 397.0), (397.0, 397.0)):
        _, (left, top, right, bottom) = Board((400, 400), np.zeros((0, 2))).place([corner], 60.0, 20.0)
        assert (left >= 4.0, top >= 3.0, right <= 396.0, bottom <= 397.0) == (True,) * 4
    # A row of tubes is kept clear of.
    row = np.array([[x, 200.0] for x in range(0, 400, 4)], float)
    for _ in range(6):
        _, rect = Board((400, 400), row).place([(200.0, 200.0)], 60.0, 20.0)
        assert not rect[1] - 3.0 < 200.0 < rect[3] + 3.0


class Plotter:
    """Stands for the renderer: notes what it is given."""

    def __init__(self, **about):
        self.about, self.meshes, self.camera = about, [], SimpleNamespace()

    def set_background(self, colour):
        self.background = colour

    def add_mesh(self, mesh, **look):
        self.meshes.append((np.array(mesh.bounds), look))

    def reset_camera_clipping_range(self):
        pass

    def screenshot(self, **_):
        Plotter.last = self
        return np.zeros((2, 2, 3), np.uint8)

    def close(self):
        pass


def test_what_the_renderer_is_given(monkeypatch):
    """The tubes whole, the post red since it is too near, and the camera where the labels' view is."""
    monkeypatch.setattr(pyvista, "Plotter", Plotter)
    answer = worked()
    view = best_view(answer.schedule, [], (800, 600))
    scene.render(answer.schedule.runs, answer.schedule.job.things, view, frozenset({"post"}))
    given = Plotter.last
    assert (given.about, given.background) == ({"off_screen": True, "window_size": (1600, 1200)}, "white")
    tubes = [(bounds, look) for bounds, look in given.meshes if "ambient" in look]
    low, high = np.array([-10.6, -322.5 + 7.5, 492.5]), np.array([607.5, -7.5, 1107.5])
    assert tubes[0][0] == pytest.approx(np.column_stack([low, high]).ravel(), abs=0.2)
    assert tubes[1][0] == pytest.approx([0.0, 560.0, -122.5, -107.5, 292.5, 307.5], abs=0.2)
    assert tubes[0][1]["color"][0] > tubes[0][1]["color"][2]
    assert tubes[1][1]["color"][0] < tubes[1][1]["color"][2]
    reds = [(bounds, look) for bounds, look in given.meshes if look["color"] == RED]
    assert len(reds) == 2  # faces, faint, and edges
    assert [look["opacity"] for _, look in reds] == [0.14, 0.7]
    for bounds, _ in reds:
        assert bounds == pytest.approx([610.5, 700.0, -200.0, -40.0, 0.0, 2000.0])
    faces = [bounds for bounds, look in given.meshes if look["color"] == "#a08c5b" and look["opacity"] == 0.10]
    assert next(bounds[2:4].tolist() for bounds in faces) == [0.0, 0.0]  # the north wall's face
    camera = given.camera
    assert camera.parallel_projection is True
    # The middle of what is seen lies in the middle, half the picture's height being the parallel scale.
    eye = np.array(camera.position) - camera.focal_point
    assert eye / np.linalg.norm(eye) == pytest.approx(view.back)
    assert np.array(camera.up) @ eye == pytest.approx(0.0, abs=1e-6)
    top = np.array(camera.focal_point) + camera.parallel_scale * np.array(camera.up)
    assert view.project([tuple(top), tuple(camera.focal_point)]).ravel() == pytest.approx([400.0, 0.0, 400.0, 300.0])
    # All of it lies between the eye and as far behind.
    assert np.linalg.norm(eye) > np.linalg.norm(view.high - view.low)


def test_a_tube_too_thin_to_be_seen_is_drawn_as_a_line(monkeypatch):
    monkeypatch.setattr(pyvista, "Plotter", Plotter)
    answer = worked()
    lines = {}
    for scale in (1.0, 0.2, 0.15):
        view = best_view(answer.schedule, [], (800, 600))
        thin = type(view)(**(vars(view) | {"scale": scale}))
        scene.render(answer.schedule.runs, [], thin, frozenset())
        lines[scale] = [bounds for bounds, look in Plotter.last.meshes if "line_width" in look]
    # 15 mm at 0.2 are 3 pixels, at 0.15 fewer than 2.5.
    assert [len(found) for found in lines.values()] == [0, 0, 2]
    assert lines[0.15][0] == pytest.approx([-10.6, 600.0, -315.0, -15.0, 500.0, 1100.0])


def test_the_picture_as_a_file_is_that_of_the_answer(monkeypatch):
    drawn = Drawn(monkeypatch)
    monkeypatch.undo()
    monkeypatch.setattr(draw_module, "draw", lambda answer: drawn.image if answer == "it" else None)
    opened = Image.open(io.BytesIO(draw_module.png(pickle.dumps("it"))))
    assert (opened.format, opened.size) == ("PNG", (1600, 1200))
