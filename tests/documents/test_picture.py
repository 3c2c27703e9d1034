"""The picture: what is looked at, from where, and what is written on it."""

import io
import sys

import gallery
import numpy as np
import pytest
from wide import few_or_many

from pipemodel import story
from pipemodel.documents.picture.draw import FOOT, HEAD, SHEET, framed
from pipemodel.documents.picture.scene import Camera
from pipemodel.documents.unavailable import UnavailableError
from pipemodel.drawing.projection import MOST_KEYS, key_points
from pipemodel.geometry.shapes import Box


@pytest.mark.parametrize("name", ["airing_cupboard", "return_run", "two_runs", "straight", "unbendable_order"])
def test_all_of_the_runs_is_in_view_and_bends_are_given_apart(name):
    schedule = story.schedule(getattr(gallery, name)())
    panel, _ = framed(schedule, [(5000.0, 0.0, 0.0)])
    assert_in_view(schedule, panel, [(5000.0, 0.0, 0.0)])
    keys = np.array([panel.at(p) for p in key_points(schedule.runs)])
    gaps = np.hypot(*(keys[:, None] - keys[None]).transpose(2, 0, 1)) + np.eye(len(keys)) * 1e9
    assert gaps.min() > 1.4


def assert_in_view(schedule, panel, extra=()):
    lines = [run.centreline for run in schedule.runs]
    points = [line.point_at(line.length * i / 50.0) for line in lines for i in range(51)]
    flat = np.array([panel.at(p) for p in [*points, *extra]])
    assert np.all(flat > (0.0, FOOT))
    assert np.all(flat < (SHEET[0], SHEET[1] - HEAD))


def test_the_camera_sees_what_the_sheet_over_it_is_drawn_for():
    """A point in the middle of the picture is drawn in the middle of the panel, and a mm is as long on both."""
    panel, extent = framed(story.schedule(gallery.airing_cupboard()), [])
    camera = Camera.of(panel, extent, 8.0)
    right = np.cross(camera.up, camera.back)
    axes = np.array([right, camera.up, camera.back])
    assert np.allclose(axes @ axes.T, np.eye(3), atol=1e-12)
    assert np.linalg.det(axes) == pytest.approx(1.0)
    assert camera.back[2] > 0.0  # from above
    here, there = (np.array(panel.at(tuple(camera.centre + d * right))) for d in (0.0, 10.0))
    assert here == pytest.approx([SHEET[0] / 2.0, (SHEET[1] - HEAD + FOOT) / 2.0])
    assert (there - here) * 8.0 == pytest.approx([10.0 * camera.scale, 0.0])


def many_runs(count):
    """Runs of three bends side by side, a waste pipe under every fifth."""
    corners = ((0, 0, 0), (600, 0, 0), (600, 150, 0), (600, 150, 350))
    runs = [gallery.run(f"run {i}", tuple((x, y + 200 * i, z) for x, y, z in corners)) for i in range(count)]
    things = [
        gallery.Thing(f"waste {i}", Box((300.0, 200.0 * i, -60.0), (350.0, 200.0 * i + 100.0, -10.0)))
        for i in range(0, count, 5)
    ]
    return gallery.job("a site", runs, things)


@pytest.mark.slow
@pytest.mark.render
def test_a_site_of_many_runs_is_drawn_without_numbers_and_says_so(monkeypatch):
    from pipemodel.documents.picture import draw as draw_module

    assert (draw_module.MOST_DRAWN, draw_module.MOST_NUMBERED, draw_module.MOST_NAMED) == (300, 200, 40)
    for name, most in (("MOST_DRAWN", 2), ("MOST_NUMBERED", 35), ("MOST_NAMED", 17)):
        monkeypatch.setattr(draw_module, name, most)
    answered = story.results(many_runs(18))
    rendered, labels, words = [], [], []
    render = draw_module.render

    def noted(runs, things, camera, hit):
        rendered.append((len(runs), len(things)))
        return render(runs, things, camera, hit)

    monkeypatch.setattr(draw_module, "render", noted)
    monkeypatch.setattr(draw_module, "number_bends", lambda *_: labels.append("numbers"))
    monkeypatch.setattr(draw_module, "name_ends", lambda *_: labels.append("names"))
    monkeypatch.setattr(draw_module, "_title", lambda sheet, *_: words.append(sheet))
    image = np.asarray(draw_module.draw(answered)).astype(int)
    assert rendered == [(18, 2)]
    assert labels == []
    assert len(words) == 1
    # Tubes of all six colours are there.
    for red, green, blue in ((0.78, 0.42, 0.16), (0.10, 0.40, 0.66), (0.18, 0.52, 0.28)):
        hue = np.array([red, green, blue])
        pixels = image.reshape(-1, 3)
        like = np.abs(pixels / np.maximum(pixels.max(axis=1, keepdims=True), 1) - hue / hue.max()).max(axis=1) < 0.12
        assert like.sum() > 200


def test_of_very_many_points_a_part_decides_the_view():
    few, many = many_runs(2), many_runs(300)
    assert len(key_points(story.schedule(many).runs)) > MOST_KEYS
    for job in (few, many):
        schedule = story.schedule(job)
        assert_in_view(schedule, framed(schedule, [])[0])


def test_a_picture_that_takes_too_long_does_not_blame_the_driver(monkeypatch):
    from pipemodel.documents.picture import picture_png, process
    from pipemodel.processes.child import ChildLimits

    monkeypatch.setattr(process, "LIMITS", ChildLimits(0.05))
    with pytest.raises(UnavailableError) as caught:
        picture_png(story.results(gallery.straight()))
    assert "not done after 0.05 s" in str(caught.value)
    assert "libegl1" not in str(caught.value)


@pytest.mark.parametrize(("kind", "blamed"), [("RuntimeError", True), ("ImportError", True), ("ValueError", False)])
def test_the_driver_is_named_only_where_it_may_be_the_driver(monkeypatch, kind, blamed):
    from pipemodel.documents.picture import picture_png, process
    from pipemodel.processes.child import ChildFailedError

    def call(*_):
        raise ChildFailedError(kind, "what it was")

    monkeypatch.setattr(process, "call", call)
    with pytest.raises(UnavailableError, match="what it was") as caught:
        picture_png(story.results(gallery.straight()))
    assert ("libegl1" in str(caught.value)) is blamed


@pytest.mark.slow
@pytest.mark.render
@pytest.mark.parametrize("name", few_or_many(gallery.HOSTILE_NAMES[6:7], ("flow", *gallery.HOSTILE_NAMES[6:9:2])))
def test_the_picture_shows_tube_and_clash_whatever_their_names(name):
    from PIL import Image

    from pipemodel.documents.picture import picture_png

    run, thing = gallery.run(name), gallery.Thing(name, gallery.NOGGING.shape)
    answered = story.results(gallery.job(name, [run], (*gallery.ROOM, thing), 8.0))
    image = np.asarray(Image.open(io.BytesIO(picture_png(answered))).convert("RGB")).astype(int)
    assert image.shape == (1200, 1600, 3)
    copper = (image[..., 0] > 150) & (image[..., 1] < 140) & (image[..., 2] < 90)
    red = (image[..., 0] > 140) & (image[..., 1] < 40) & (image[..., 2] < 40)
    assert copper.sum() > 5000
    assert red.sum() > 500


def test_a_renderer_that_stops_is_a_plain_error(monkeypatch, tmp_path):
    from pipemodel.documents.picture import picture_png

    stand_in = tmp_path / "python"
    stand_in.write_text("#!/bin/sh\nkill -ABRT $$\n")
    stand_in.chmod(0o755)
    monkeypatch.setattr(sys, "executable", str(stand_in))
    with pytest.raises(UnavailableError, match=r"signal 6.*libegl1"):
        picture_png(story.results(gallery.straight()))
