"""Cupboards with joists, posts and a shelf, from which is taken what a known way strikes: a way is found."""

from itertools import pairwise

import numpy as np
import pytest
from rooms_with_openings import cupboard, job_text
from wide import few_or_many

from pipemodel.bending.schedule import solve
from pipemodel.checks.ways_in import ways_of
from pipemodel.geometry.shapes.box import Box
from pipemodel.job.model import JobError
from pipemodel.job.read import job_of_text
from pipemodel.ways_in.judge import Judge
from pipemodel.ways_in.judge_room import Obstacle
from pipemodel.ways_in.turning import held

CASES = few_or_many(2, 10)
WIDE, DEEP, HIGH, HATCH = 900.0, 600.0, 800.0, (150.0, 100.0, 450.0, 350.0)
MARGIN_MM, KNOWN_MM = 2.0, 4.0
"""What is asked for, and what the known way keeps."""


def furniture(rng):
    """Joists below and above, six posts, a shelf: low and high corners, mm."""
    posts = rng.uniform([60, 120], [820, 540], (6, 2)).round(0).tolist()
    return [
        *(((x, 0.0, 0.0), (x + 50.0, DEEP, 60.0)) for x in range(60, 880, 130)),
        *(((x, y, 0.0), (x + 45.0, y + 45.0, HIGH)) for x, y in posts),
        ((0.0, float(rng.uniform(100, 250)), 470.0), (WIDE, DEEP, 490.0)),
        *(((0.0, y, HIGH - 80.0), (WIDE, y + 45.0, HIGH)) for y in (100.0, 260.0, 420.0)),
    ]


def piece(rng):
    """Corner points of a run of two to four legs along the axes, somewhere in the cupboard."""
    points, way = [np.zeros(3)], np.eye(3)[0]
    for _ in range(int(rng.integers(2, 5))):
        points.append(points[-1] + rng.uniform(120, 320) * way)
        across = [axis for axis in np.eye(3) if abs(axis @ way) < 0.5]
        way = across[rng.integers(2)] * rng.choice([-1.0, 1.0])
    middle = (np.min(points, axis=0) + np.max(points, axis=0)) / 2.0
    return (points - middle + rng.uniform([200, 200, 150], [700, 450, 650])).round(2).tolist()


def known_way(rng, judge):
    """Poses to the open: aside, a turn of 0, 30 or 90 degrees, to the hatch, straight out; None where none is clear."""
    for _ in range(300):
        axis, turn = np.eye(3)[rng.integers(3)], float(rng.choice([0.0, np.pi / 2, -np.pi / 2, np.pi / 6]))
        turned = np.array([np.cos(turn / 2.0), *np.sin(turn / 2.0) * axis])
        aside = rng.uniform([200, 150, 150], [600, 450, 650])
        x, z = rng.uniform(200, 550), rng.uniform(150, 400)
        poses = [judge.home, held(aside, judge.home[3:]), held(aside, turned),
                 held(np.array([x, aside[1], z]), turned), held(np.array([x, -900.0, z]), turned)]  # fmt: skip
        if judge.clear(np.array(poses)).all() and goes(judge, poses):
            return poses
    return None


def goes(judge, poses):
    return all(judge.goes(p, q, centred=True) for p, q in pairwise(poses) if not np.array_equal(p, q))


def furnished(seed, tmp_path):
    """A job that can be solved, None where no way was seen."""
    rng = np.random.default_rng(seed)
    walls, opening = cupboard(WIDE, DEEP, HIGH, HATCH)
    things, runs = furniture(rng), {"r": piece(rng)}

    def job(boxes):
        return job_of_text(job_text(boxes, opening, runs, margin=MARGIN_MM), tmp_path / "job.yaml")

    try:
        line = solve(job(walls)).runs[0].centreline
    except JobError:
        return None

    def judge(boxes):
        return Judge(line, 15.0, [Obstacle(str(n), Box(*box)) for n, box in enumerate(boxes)], KNOWN_MM)

    empty = judge(walls)
    if not empty.clear(empty.home[None])[0] or (poses := known_way(rng, empty)) is None:
        return None
    kept = [box for box in things if judge([box]).clear(np.array(poses)).all() and goes(judge([box]), poses)]
    return job([*walls, *kept]), len(kept)


@pytest.mark.slow
def test_a_way_is_found_where_one_is_known(tmp_path):
    tried = seed = 0
    while tried < CASES:
        seed += 1
        if (made := furnished(seed, tmp_path)) is None:
            continue
        tried += 1
        job, things = made
        (way,) = ways_of(solve(job))
        assert things >= 8, seed
        assert way.found, seed
