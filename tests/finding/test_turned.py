"""A room turned out of the axes: ways in it are those of the room as it was, and its joists are cut in their file."""

from pathlib import Path

import numpy as np
import pytest
import yaml
from command_line import run

from pipemodel import story
from pipemodel.job.model import JobError

ROOM = {
    "joists": {
        "joists": {
            "first": [200, 0], "along": "north", "row": "east", "spacing": 400, "number": 2, "length": 2400,
            "size": [50, 200], "top": -20,
        }
    },
    "lone": {"box": {"from": [975, 0, -220], "to": [1025, 2400, -20]}, "is": "joist"},
}  # fmt: skip
FINISH = [1350.0, 1000.0, -122.0]
AT = (50.0, -20.0, 300.0)


def job_in(folder: Path, turned: float, **placed) -> Path:
    """A run across three joists of a room file, 300 farther north at its finish, all turned and moved together."""
    c, s = np.cos(np.radians(turned)), np.sin(np.radians(turned))
    turn = np.array([[c, -s, 0], [s, c, 0], [0, 0, 1]])
    start, finish = (list(map(float, turn @ p + AT)) for p in ([-150, 700, -122], FINISH))
    way = list(map(float, turn @ [1, 0, 0]))
    (folder / "floor.yaml").write_text(yaml.safe_dump({"room": ROOM}, sort_keys=False))
    job = {
        "job": "across", "tube": 15, "former": {"radius": 55, "hold": 60, "guide": 45}, "clearance": 5,
        "rules": ["NHBC 2020"], "choose": ["bends"],
        "room": {"file": [{"file": "floor.yaml", "at": list(AT), "turned": turned, **placed}]},
        "runs": {"flow": {"find": {"from": start, "heading": way, "to": finish, "arriving": way, "holes": "new"}}},
    }  # fmt: skip
    path = folder / "job.yaml"
    path.write_text(yaml.safe_dump(job, sort_keys=False))
    return path


@pytest.mark.slow
def test_cuts_go_into_the_room_file_and_the_way_is_that_of_the_room_as_it_was(tmp_path: Path):
    path = job_in(tmp_path, 30.0)
    said = run("route", path, "--ways", "1", "--format", "yaml")
    assert said.code == 0, said.err
    commented = [line.removeprefix("# ") for line in said.out.splitlines() if line.startswith("# ")]
    start = next(i for i, line in enumerate(commented) if line.endswith("floor.yaml:"))
    room = yaml.safe_load("\n".join(commented[start + 1 :]))["room"]
    file = yaml.safe_load((tmp_path / "floor.yaml").read_text())
    file["room"]["joists"]["joists"]["holes"] = room["joists"]["joists"]["holes"]
    file["room"]["lone"]["holes"] = room["lone"]["holes"]
    # In the file's own axes the hole is square to the box.
    assert room["lone"]["holes"][0]["at"][0] == pytest.approx(1000.0, abs=1e-5)
    assert room["lone"]["holes"][0]["through"] == "east"
    [found] = story.schedule(story.read(path)).runs
    (tmp_path / "floor.yaml").write_text(yaml.safe_dump(file, sort_keys=False))
    job = yaml.safe_load(path.read_text()) | {"runs": yaml.safe_load(said.out)["runs"]}
    path.write_text(yaml.safe_dump(job, sort_keys=False))
    pasted = story.read(path)
    [again] = story.schedule(pasted).runs
    assert np.abs(np.array(found.run.route.corners) - np.array(again.run.route.corners)).max() < 1e-6
    assert not [one for one in story.check(pasted).findings if one.severity == "error"]
    straight = job_in(tmp_path, 0.0)
    [other] = story.schedule(story.read(straight)).runs
    assert len(found.bends) == len(other.bends) == 2
    assert found.cut_length_mm == pytest.approx(other.cut_length_mm, abs=1.0)


def test_a_file_that_may_stand_in_several_places_is_left_as_it_is(tmp_path: Path, monkeypatch):
    monkeypatch.setattr("pipemodel.finding.ways.MOST_BENDS", 2)
    with pytest.raises(JobError, match="no way was found"):
        story.schedule(story.read(job_in(tmp_path, 0.0, called="east")))
