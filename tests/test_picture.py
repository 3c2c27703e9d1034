"""The picture: what is looked at, from where, and what is written on it."""

import io
import sys

import gallery
import numpy as np
import pytest

from pipemodel import story
from pipemodel.handover.formats import UnavailableError
from pipemodel.handover.picture.labels import Board
from pipemodel.handover.picture.view import best_view, key_points, samples

SIZE = (1600, 1066)


@pytest.mark.parametrize("name", ["airing_cupboard", "return_run", "two_runs", "straight", "unbendable_order"])
def test_all_of_the_runs_is_in_view_and_bends_are_told_apart(name):
    schedule = story.schedule(getattr(gallery, name)())
    view = best_view(schedule, [(5000.0, 0.0, 0.0)], SIZE)
    flat = view.project(np.vstack([samples(schedule), [(5000.0, 0.0, 0.0)]]))
    assert np.all(flat > 0.0)
    assert np.all(flat < SIZE)
    keys = view.project(np.array(key_points(schedule)))
    gaps = np.hypot(*(keys[:, None] - keys[None]).transpose(2, 0, 1)) + np.eye(len(keys)) * 1e9
    assert gaps.min() > 12.0


def test_a_view_is_a_rotation_and_keeps_its_scale():
    view = best_view(story.schedule(gallery.airing_cupboard()), [], SIZE)
    axes = np.array([view.right, view.up, view.back])
    assert np.allclose(axes @ axes.T, np.eye(3), atol=1e-12)
    assert np.linalg.det(axes) == pytest.approx(1.0)
    a, b = view.project([tuple(view.centre), tuple(view.centre + 10.0 * view.right)])
    assert b - a == pytest.approx([10.0 * view.scale, 0.0])
    assert view.back[2] > 0.0  # from above


def test_labels_keep_off_each_other():
    board = Board((1000, 1000), np.array([[x, 500.0] for x in range(0, 1000, 5)], dtype=float))
    rects = [board.place([(500.0, 500.0)], 120.0, 24.0)[1] for _ in range(12)]
    for i, a in enumerate(rects):
        assert not a[1] < 500.0 < a[3]
        for b in rects[:i]:
            assert a[2] <= b[0] or b[2] <= a[0] or a[3] <= b[1] or b[3] <= a[1]


@pytest.mark.render
def test_the_picture_shows_tube_and_clash():
    from PIL import Image

    from pipemodel.handover.picture import picture_png

    answered = story.answer(gallery.clashing())
    data = picture_png(answered)
    image = np.asarray(Image.open(io.BytesIO(data)).convert("RGB")).astype(int)
    assert image.shape == (1200, 1600, 3)
    copper = (image[..., 0] > 150) & (image[..., 1] < 140) & (image[..., 2] < 90)
    red = (image[..., 0] > 180) & (image[..., 1] < 60) & (image[..., 2] < 60)
    assert copper.sum() > 5000
    assert red.sum() > 500
    assert picture_png(answered) == data


@pytest.mark.render
@pytest.mark.parametrize("name", gallery.HOSTILE_NAMES[6:9:2])
def test_hostile_names_do_not_stop_it(name):
    from pipemodel.handover.picture import picture_png

    job = gallery.job(name, [gallery.run(name, gallery.QUARTER)], [gallery.Thing(name, gallery.NOGGING.shape)])
    assert picture_png(story.answer(job)).startswith(b"\x89PNG")


def test_a_renderer_that_stops_is_a_plain_error(monkeypatch, tmp_path):
    from pipemodel.handover.picture import picture_png

    stand_in = tmp_path / "python"
    stand_in.write_text("#!/bin/sh\nkill -ABRT $$\n")
    stand_in.chmod(0o755)
    monkeypatch.setattr(sys, "executable", str(stand_in))
    with pytest.raises(UnavailableError, match=r"signal 6.*libegl1"):
        picture_png(story.answer(gallery.straight()))
