"""Ends that set out and arrive in any direction, among random boxes: what is found is clear, and heads as asked."""

from pathlib import Path

import numpy as np
import pytest
from finding.rooms import job_of
from finding.tube_of_balls import nearest_to_boxes
from wide import few_or_many

from pipemodel import story

START = np.zeros(3)


def strewn(dice, finish):
    """Boxes of 30 to 200 mm, none near an end."""
    low = dice.uniform(-200, 900, (6, 3))
    high = low + dice.uniform(30, 200, (6, 3))
    away = [np.any((low - 200 > end) | (high + 200 < end), axis=1) for end in (START, finish)]
    return [(tuple(map(float, a)), tuple(map(float, b))) for a, b in zip(low, high, strict=True)
            if all(far[(low == a).all(axis=1)][0] for far in away)]  # fmt: skip


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(few_or_many(4, 60)))
def test_any_direction(seed, tmp_path: Path):
    dice = np.random.default_rng(seed)
    finish = dice.uniform(500, 900, 3).round()
    ways = dice.normal(size=(2, 3)).round(2)
    ways[seed % 2] = np.eye(3)[dice.integers(0, 3)]
    boxes = strewn(dice, finish)
    asked = {"from": START, "heading": ways[0], "to": finish, "arriving": ways[1]}
    find = {key: [float(c) for c in value] for key, value in asked.items()}
    [run] = story.schedule(story.read(job_of(tmp_path, boxes, find))).runs
    corners = np.array(run.run.route.corners)
    assert nearest_to_boxes(corners, 55.0, boxes) >= 17.5 - 0.01
    for leg, way in ((corners[1] - corners[0], ways[0]), (corners[-1] - corners[-2], ways[1])):
        assert np.allclose(leg / np.linalg.norm(leg), way / np.linalg.norm(way), atol=1e-9)
    assert np.allclose(corners[[0, -1]], [START, finish])
