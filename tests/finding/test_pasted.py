"""What `pipemodel route` prints is pasted into the job, and gives exactly the run that was found."""

import json
from pathlib import Path

import numpy as np
import pytest
import yaml
from command_line import run
from finding.rooms import job_of

from pipemodel import story

PLACES = [
    {"from": [0, 0, 0], "heading": "east", "to": [900, 300, 200], "arriving": "east"},
    {"from": [0, 0, 0], "heading": "east", "to": [900, 120, 0], "arriving": "east"},
    {"from": [0, 0, 0], "heading": "east", "to": [900, 120, 70], "arriving": "east"},
    {"from": [0, 0, 0], "heading": "east", "to": [300, 120, 400], "arriving": "up"},
    {"from": [0, 0, 0], "heading": 30, "to": [600, 900, 0], "arriving": "north"},
    {"from": [0, 0, 0], "heading": "up", "to": [600, 400, 300], "arriving": [1, 1, 0]},
    {"from": [0, 0, 0], "heading": "west", "to": [900, 0, 0], "arriving": "east"},
]


@pytest.mark.slow
@pytest.mark.parametrize("find", PLACES, ids=lambda find: f"{find['heading']} to {find['arriving']}")
def test_moves_give_the_same_run(find, tmp_path: Path):
    path = job_of(tmp_path, [((400, -40, -60), (460, 60, 40))], find)
    said = run("route", path, "--format", "yaml")
    assert said.code == 0
    pasted = yaml.safe_load(path.read_text())
    pasted["runs"] = yaml.safe_load(said.out)["runs"]
    other = tmp_path / "pasted.yaml"
    other.write_text(yaml.safe_dump(pasted, sort_keys=False))
    [found] = story.schedule(story.read(path)).runs
    [again] = story.schedule(story.read(other)).runs
    assert np.abs(np.array(found.run.route.corners) - np.array(again.run.route.corners)).max() < 1e-6
    assert [b.angle_deg for b in found.bends] == pytest.approx([b.angle_deg for b in again.bends], abs=1e-6)


def test_ends_in_fittings_come_out_the_same(tmp_path: Path):
    ends = {"start": {"fitting": "elbow", "to": "centre"}, "finish": {"fitting": "capillary", "to": "mouth"}}
    path = job_of(tmp_path, [], PLACES[0])
    job = yaml.safe_load(path.read_text())
    job["runs"]["way"]["ends"] = ends
    path.write_text(yaml.safe_dump(job, sort_keys=False))
    [found] = story.schedule(story.read(path)).runs
    job["runs"] = {"way": yaml.safe_load(run("route", path, "--format", "yaml").out)["runs"]["way"] | {"ends": ends}}
    path.write_text(yaml.safe_dump(job, sort_keys=False))
    [again] = story.schedule(story.read(path)).runs
    assert np.abs(np.array(found.run.route.corners) - np.array(again.run.route.corners)).max() < 1e-6


def test_every_way_is_clear_and_truly_different(tmp_path: Path):
    path = job_of(tmp_path, [((400, -200, -200), (500, 200, 200))], PLACES[0])
    said = run("route", path, "--format", "json", "--ways", "4")
    found = json.loads(said.out)
    assert found["format"] == "pipemodel.route/1"
    [one] = found["runs"]
    assert len(one["ways"]) >= 2
    assert all(way["can_be_pulled"] and not way["too_near_to"] for way in one["ways"])
    bends = [way["bends"] for way in one["ways"]]
    assert bends == sorted(bends)
    corners = {tuple(map(tuple, way["corners"])) for way in one["ways"]}
    assert len(corners) == len(one["ways"])
