"""Ways that are found: clear by a measure of its own, bent by the former, few bends; counted by hand."""

from pathlib import Path

import numpy as np
import pytest
from finding.rooms import job_of
from finding.tube_of_balls import nearest_to_boxes

from pipemodel import story
from pipemodel.job.model import JobError

EAST_TO_UP = {"from": [0, 0, 0], "heading": "east", "to": [800, 0, 500], "arriving": "up"}


def found(path: Path) -> tuple[tuple[float, float, float], ...]:
    [run] = story.schedule(story.read(path)).runs
    return run.run.route.corners


def test_an_empty_room_takes_one_bend(tmp_path: Path) -> None:
    assert found(job_of(tmp_path, [], EAST_TO_UP)) == ((0, 0, 0), (800, 0, 0), (800, 0, 500))


def test_straight_on_takes_none(tmp_path: Path) -> None:
    ends = {"from": [0, 0, 0], "heading": "east", "to": [800, 0, 0], "arriving": "east"}
    assert found(job_of(tmp_path, [], ends)) == ((0, 0, 0), (800, 0, 0))


@pytest.mark.parametrize(("aside", "rise"), [(200.0, 0.0), (0.0, 60.0), (120.0, 90.0)])
def test_a_set_takes_two_bends(tmp_path: Path, aside: float, rise: float) -> None:
    ends = {"from": [0, 0, 0], "heading": "east", "to": [900, aside, rise], "arriving": "east"}
    assert len(found(job_of(tmp_path, [], ends))) == 4


def test_a_small_set_takes_a_smaller_angle(tmp_path: Path) -> None:
    # 2 R tan(15) + 45 of a leg of 20 / sin 30 = 40 mm is not to be had; only a flatter set is.
    ends = {"from": [0, 0, 0], "heading": "east", "to": [900, 20, 0], "arriving": "east"}
    [run] = story.schedule(story.read(job_of(tmp_path, [], ends))).runs
    assert len(run.bends) == 2
    assert run.bends[0].angle_deg < 30.0


@pytest.mark.slow
def test_what_is_found_is_clear_by_another_measure(tmp_path: Path) -> None:
    boxes = [((300, -200, -200), (420, 150, 300)), ((600, -100, -300), (700, 400, 120))]
    ends = {"from": [0, 0, 0], "heading": "east", "to": [1200, 0, 0], "arriving": "east"}
    [run] = story.schedule(story.read(job_of(tmp_path, boxes, ends))).runs
    assert nearest_to_boxes(run.run.route.corners, 55.0, boxes) >= 7.5 + 10.0 - 0.01


def test_it_is_a_run_like_any_other(tmp_path: Path) -> None:
    path = job_of(tmp_path, [], EAST_TO_UP)
    report = story.check(story.read(path))
    assert report.verdict == "pass"
    assert {one.run for one in report.findings if one.run} == {"way"}


def test_a_wall_across_everything_leaves_no_way(tmp_path: Path) -> None:
    room = {"room": {"wall": {"face": {"at": [400, 0, 0], "facing": "west"}}}}
    path = job_of(tmp_path, [], EAST_TO_UP, **room)
    with pytest.raises(JobError, match="finish lies in 'wall'"):
        story.schedule(story.read(path))


@pytest.mark.slow
def test_the_nearest_miss_names_what_stands_in_the_way(tmp_path: Path) -> None:
    # A slot of 30 mm between two blocks that fill the void else; the tube with its clearance takes 35.
    boxes = [((300, -500, -500), (400, -15, 500)), ((300, 15, -500), (400, 500, 500))]
    void = {"from": [0, -400, -400], "to": [800, 400, 400]}
    ends = {"from": [0, 0, 0], "heading": "east", "to": [800, 0, 0], "arriving": "east", "within": void}
    with pytest.raises(JobError) as error:
        story.schedule(story.read(job_of(tmp_path, boxes, ends)))
    said = str(error.value)
    assert "no way was found" in said
    assert "'box 0' (lacking 2.5 mm)" in said
    assert "'box 1' (lacking 2.5 mm)" in said


def test_the_same_twice(tmp_path: Path) -> None:
    rng = np.random.default_rng(5)
    low = rng.integers(-300, 900, (12, 3))
    boxes = [(tuple(map(float, a)), tuple(map(float, a + 90))) for a in low if abs(a).max() > 200]
    ends = {"from": [0, 0, 0], "heading": "east", "to": [1200, 300, 300], "arriving": "north"}
    path = job_of(tmp_path, boxes, ends)
    assert found(path) == found(path)
