"""Two runs found at once lie side by side: measured from their corners alone, by points on axes of the test's own.

The distance between the axes is held against a nearest-neighbour search (scipy) among points 1 mm apart: exact to
1 mm x 1 mm / (8 x 55 mm), less than 0.003 mm.
"""

from pathlib import Path

import numpy as np
import pytest
import yaml
from command_line import run
from finding.tube_of_balls import axis_points
from scipy.spatial import cKDTree

from pipemodel import story

FORMER = {"hold": 60, "guide": 45, "springback": {"per_degree": 0, "fixed": 0}}


def job_of_two(folder: Path, flow, back, beside, radii=(55, 55), clearance=10, **more) -> Path:
    room = {
        "wall": {"face": {"at": [0, 0, 0], "facing": "south"}},
        "floor": {"face": {"at": [0, 0, 0], "facing": "up"}},
        **more,
    }
    runs = {
        "flow": {"former": {"radius": radii[0], **FORMER}, "find": flow},
        "return": {"former": {"radius": radii[1], **FORMER}, "find": {**back, "beside": beside}},
    }
    path = folder / "job.yaml"
    job = {"job": "two", "tube": 15, "clearance": clearance, "room": room, "runs": runs}
    path.write_text(yaml.safe_dump(job, sort_keys=False))
    return path


def axes(path: Path, radii=(55, 55)):
    runs = story.schedule(story.read(path)).runs
    return [axis_points(one.run.route.corners, radius) for one, radius in zip(runs, radii, strict=True)]


def to(points, others):
    return cKDTree(others).query(points)[0]


FLOW = {"from": [0, -60, 100], "heading": "east", "to": [1500, -60, 900], "arriving": "up"}
RETURN = {"from": [0, -60, 155], "heading": "east", "to": [1445, -60, 900], "arriving": "up"}
POST = {"post": {"box": {"from": [600, -300, 0], "to": [700, 0, 700]}}}


def test_the_first_leaves_room_for_the_second(tmp_path: Path):
    """Alone the flow would turn up at once, across the return's way."""
    flow, back = axes(job_of_two(tmp_path, FLOW, RETURN, {"run": "flow", "gap": 40}, **POST))
    off = to(back, flow)
    assert off.min() == pytest.approx(55.0, abs=0.01)
    # With one former the legs lie at 55, and nested bends come no farther apart than their corners: 55 x sqrt 2.
    assert off.max() < 55.0 * np.sqrt(2.0) + 0.01
    assert np.mean(np.abs(off - 55.0) < 0.01) > 0.7


def test_bends_of_radii_the_distance_apart_are_concentric(tmp_path: Path):
    flow = {"from": [0, -60, 155], "heading": "east", "to": [900, -60, 900], "arriving": "up"}
    back = {"from": [0, -60, 100], "heading": "east", "to": [955, -60, 900], "arriving": "up"}
    path = job_of_two(tmp_path, flow, back, {"run": "flow", "centres": 55}, (55, 110))
    inner, outer = axes(path, (55, 110))
    assert np.abs(to(outer, inner) - 55.0).max() < 0.01


@pytest.mark.slow
def test_ends_out_of_line_lie_beside_where_they_can(tmp_path: Path):
    back = {**RETURN, "from": [0, -200, 155], "to": [1300, -60, 900]}
    flow, found = axes(job_of_two(tmp_path, FLOW, back, {"run": "flow", "gap": 40}, **POST))
    off = to(found, flow)
    assert off.min() >= 25.0 - 0.01
    assert np.count_nonzero(np.abs(off - 55.0) < 0.01) > 700


@pytest.mark.parametrize(
    ("beside", "said"),
    [
        ({"run": "flwo", "gap": 40}, "did you mean 'flow'?"),
        ({"run": "return", "gap": 40}, "does not lie beside itself"),
        ({"run": "flow", "gap": 5}, "write gap: 10 or more"),
        ({"run": "flow", "centres": 20}, "this leaves 5 mm between the tubes"),
        ({"run": "flow"}, "say either the gap"),
        ({"run": "flow", "gap": 40, "centres": 55}, "say either the gap"),
        ({"run": "flow", "gap": -3}, "-3 must not be less than 0"),
    ],
)
def test_what_cannot_be_meant_is_refused_at_its_place(beside, said, tmp_path: Path):
    path = job_of_two(tmp_path, FLOW, RETURN, beside)
    answer = run("check", path)
    assert answer.code == 2
    assert said in answer.err
    line = int(answer.err.split("job.yaml:")[1].split(":")[0])
    assert "beside" in path.read_text().splitlines()[line - 1] or line > 20


def test_each_beside_the_other_is_refused(tmp_path: Path):
    path = job_of_two(tmp_path, {**FLOW, "beside": {"run": "return", "gap": 40}}, RETURN, {"run": "flow", "gap": 40})
    answer = run("check", path)
    assert answer.code == 2
    assert answer.err.count("does not lie beside itself, nor by way of another") == 2
