"""What the renderer is given for the job worked by hand: tubes, things, edges, colours and from where they are seen.

A stand-in takes the renderer's place and notes it; nothing is rendered.
"""

from types import SimpleNamespace

import numpy as np
import pytest
from worked_job import worked

from pipemodel.documents.picture import scene
from pipemodel.documents.picture.draw import framed
from pipemodel.documents.picture.scene import Camera

RED, FACE, THING = "#c62828", "#a08c5b", "#6f7f92"
POST = [610.5, 700.0, -200.0, -40.0, 0.0, 2000.0]


class Plotter:
    """Stands for the renderer: notes what it is given."""

    last = None

    def __init__(self, **about):
        self.about, self.meshes, self.camera = about, [], SimpleNamespace()
        Plotter.last = self

    def set_background(self, colour):
        self.background = colour

    def add_mesh(self, mesh, **look):
        self.meshes.append((np.array(mesh.bounds), look))

    def reset_camera_clipping_range(self):
        self.near_and_far = True

    def screenshot(self, **_):
        return np.zeros((2, 2, 3), np.uint8)

    def close(self):
        self.closed = True


@pytest.fixture
def given(monkeypatch):
    pyvista = pytest.importorskip("pyvista")
    monkeypatch.setattr(pyvista, "Plotter", Plotter)

    def render(per_mm=8.0, hit=frozenset({"post"})):
        answer = worked()
        panel, extent = framed(answer.schedule, [])
        camera = Camera.of(panel, extent, per_mm)
        scene.render(answer.schedule.runs, answer.schedule.job.things, camera, hit)
        return panel, Plotter.last

    return render


@pytest.mark.slow
def test_tubes_and_things_are_given_whole_what_is_hit_in_red(given):
    _, seen = given()
    assert seen.about == {"off_screen": True, "window_size": (2 * 1600, 2 * 1066)}
    assert (seen.background, seen.closed, seen.near_and_far) == ("white", True, True)
    tubes = [(bounds, look["color"]) for bounds, look in seen.meshes if "ambient" in look]
    assert tubes[0][0] == pytest.approx([-10.6, 607.5, -315.0, -7.5, 492.5, 1107.5], abs=0.2)
    assert tubes[1][0] == pytest.approx([0.0, 560.0, -122.5, -107.5, 292.5, 307.5], abs=0.2)
    assert tubes[0][1][0] > tubes[0][1][2]  # copper
    assert tubes[1][1][0] < tubes[1][1][2]  # blue
    reds = [(bounds, look) for bounds, look in seen.meshes if look["color"] == RED]
    assert [look["opacity"] for _, look in reds] == [0.14, 0.7]  # its faces, faint, and its edges
    for bounds, _ in reds:
        assert bounds == pytest.approx(POST)
    faces = [bounds for bounds, look in seen.meshes if look["color"] == FACE and look["opacity"] == 0.10]
    assert faces[0][2:4].tolist() == [0.0, 0.0]  # the north wall: its face alone
    assert not [look for _, look in seen.meshes if look["color"] == THING]
    _, seen = given(hit=frozenset())
    assert [bounds.tolist() for bounds, look in seen.meshes if look["color"] == THING] == [pytest.approx(POST)] * 2


@pytest.mark.slow
def test_the_camera_stands_where_the_labels_are_drawn_for(given):
    """In parallel, its middle the picture's, half the picture's height to the scale, up up, and all of it before it."""
    panel, seen = given()
    camera = seen.camera
    assert camera.parallel_projection is True
    middle, up = np.array(camera.focal_point), np.array(camera.up)
    eye = np.array(camera.position) - middle
    area = panel.placer.window
    assert panel.at(tuple(middle)) == pytest.approx(((area.left + area.right) / 2.0, (area.low + area.high) / 2.0))
    top = panel.at(tuple(middle + camera.parallel_scale * up))
    assert top == pytest.approx(((area.left + area.right) / 2.0, area.high), abs=0.05)
    # Along the line of sight nothing moves on the paper, and what is nearer the eye is above or before it.
    assert panel.at(tuple(middle + eye)) == pytest.approx(panel.at(tuple(middle)))
    assert up @ eye == pytest.approx(0.0, abs=1e-6)
    assert eye[2] > 0.0
    # The whole of the post, and so of the room that is looked at, lies before the eye.
    corners = np.array([(x, y, z) for x in POST[:2] for y in POST[2:4] for z in (300.0, 1200.0)])
    assert np.max((corners - middle) @ eye / np.linalg.norm(eye)) < np.linalg.norm(eye)


def test_a_tube_too_thin_to_be_seen_is_drawn_as_a_line(given):
    """Of 15 mm at 0.25 pixels to the mm are 3.75 left, at 0.15 fewer than 2.5."""
    panel, _ = given()
    lines = {}
    for scale in (0.25, 0.15):
        _, seen = given(per_mm=scale / panel.k)
        lines[scale] = [
            (bounds, look) for bounds, look in seen.meshes if "ambient" not in look and "opacity" not in look
        ]
    assert lines[0.25] == []
    assert [look["line_width"] for _, look in lines[0.15]] == [5.0, 5.0]
    assert lines[0.15][0][0] == pytest.approx([-10.6, 600.0, -315.0, -15.0, 500.0, 1100.0], abs=0.01)
    assert lines[0.15][1][0] == pytest.approx([0.0, 560.0, -115.0, -115.0, 300.0, 300.0])
    assert lines[0.15][0][1]["color"] != lines[0.15][1][1]["color"]
