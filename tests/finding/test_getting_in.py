"""Ways are asked whether they get in, where the job asks for that: against places nobody needs a search to judge."""

import pytest
import yaml

from pipemodel import story

# A closed crate of 1 m, its front open or closed: what is found inside comes out by the front or not at all.
SIDES = {
    "floor": [[-20, -20, -20], [1020, 1020, 0]],
    "lid": [[-20, -20, 1000], [1020, 1020, 1020]],
    "west": [[-20, -20, 0], [0, 1020, 1000]],
    "east": [[1000, -20, 0], [1020, 1020, 1000]],
    "back": [[-20, 1000, 0], [1020, 1020, 1000]],
}
FRONT = {"front": [[-20, -20, 0], [1020, 0, 1000]]}


def ways(tmp_path, sides, **more):
    job = {
        "job": "crate", "tube": 15, "clearance": 5,
        "former": {"radius": 55, "springback": {"fixed": 0}, "hold": 40, "guide": 30},
        "room": {name: {"box": {"from": low, "to": high}} for name, (low, high) in sides.items()},
        "runs": {"r": {"find": {"from": [200, 500, 200], "heading": "east", "to": [800, 500, 700], "arriving": "up"}}},
        **more,
    }  # fmt: skip
    (tmp_path / "job.yaml").write_text(yaml.safe_dump(job), encoding="utf-8")
    (found,), stopped = story.ways(story.read(tmp_path / "job.yaml"), 1)
    assert not stopped
    return found.ways


@pytest.mark.slow
def test_a_way_in_an_open_crate_gets_in_and_one_in_a_closed_crate_does_not(tmp_path):
    (way,) = ways(tmp_path, SIDES, **{"bring in": {"margin": 2}})
    assert way.gets_in is True
    (way,) = ways(tmp_path, SIDES | FRONT, **{"bring in": {"margin": 2, "effort": 3000}})
    assert way.gets_in is False


def test_nothing_is_said_where_nobody_asks(tmp_path):
    (way,) = ways(tmp_path, SIDES | FRONT)
    assert way.gets_in is None
