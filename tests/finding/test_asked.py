"""What is wrong with what is asked of a way is said at its line, and a search that is stopped says what it has."""

import json
import re
import signal
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest
import yaml
from command_line import run
from finding.rooms import FORMER, job_of

from pipemodel import story
from pipemodel.documents.text.ways import ways_text, ways_yaml
from pipemodel.finding import nearest_miss
from pipemodel.finding.answer import searched
from pipemodel.finding.search import SearchTerms
from pipemodel.finding.ways import Finder
from pipemodel.job.model import JobError
from pipemodel.messages.units import MM

GOOD = {"from": [0, 0, 0], "heading": "east", "to": [800, 0, 500], "arriving": "up"}
JOB = """\
job: a way
tube: 15
former: {radius: 55, hold: 60, guide: 45}
clearance: 10
room:
  cistern: {box: {from: [-40, -100, -100], to: [60, 100, 100]}}
  shelf: {box: {from: [700, -100, 505], to: [900, 100, 600]}}
runs:
  hot:
    find: {from: [0, 0, 0], heading: east, to: [800, 0, 500], arriving: up}
"""


def faults(text: str, tmp_path: Path) -> list[str]:
    path = tmp_path / "job.yaml"
    path.write_text(text)
    with pytest.raises(JobError) as error:
        story.schedule(story.read(path))
    return [line.removeprefix(f"{path}:") for line in error.value.lines()]


def test_a_start_in_a_thing_and_a_finish_too_near_to_one(tmp_path):
    start, finish = faults(JOB, tmp_path)
    assert start.startswith("10:18: run 'hot': its start lies in 'cistern'; move it, or say `ends: {start: {joins:")
    assert finish.startswith("10:48: run 'hot': its finish is 5.0 mm from 'shelf', and 10 mm is asked for")


def test_route_refuses_ends_in_things_before_it_looks_for_anything(tmp_path):
    path = tmp_path / "job.yaml"
    path.write_text(JOB + "  cold:\n    find: {from: [200, 0, 0], heading: east, to: [600, 0, 300], arriving: up}\n")
    for form in ("text", "yaml", "json"):
        said = run("route", path, "--run", "cold", "--format", form)
        assert (said.code, said.out) == (2, "")
        assert re.search(r"^.*job\.yaml:10:18: run 'hot': its start lies in 'cistern'; move it", said.err, re.MULTILINE)
        assert "job.yaml:10:48: run 'hot': its finish is 5.0 mm from 'shelf'" in said.err
        assert "finding a way" not in said.err


@pytest.mark.parametrize(
    ("old", "new", "where", "said"),
    [
        ("heading: east", "heading: eastwards", "10:38", "is no heading"),
        ("arriving: up", "arriving: [0, 0, 0]", "10:73", "a direction of no length"),
        ("to: [800, 0, 500]", "to: [0, 0, 0]", "10:48", "start and finish are one point"),
        ("to: [800, 0, 500]", "to: [1e9, 0, 500]", "10:48", "1000000 m apart"),
        ("to: [800, 0, 500], arriving: up", "to: [-800, 0, 0], arriving: east", "10:38", "straight behind the start"),
        ("arriving: up}", "arriving: up, within: {from: [0, -9, -9], to: [700, 9, 600]}}", "10:48", "outside the void"),
        ("arriving: up}", "arriving: up, within: {from: [0, 0, 0], to: [0, 9, 9]}}", "10:77", "no size"),
        ("    find:", "    points: [[0, 0, 0], [9, 0, 0]]\n    find:", "9:3", "this has points and find"),
        ("    find:", "    route: [{go: 9}]\n    find:", "9:3", "this has find and route"),
        ("arriving: up", "arriving: left", "10:73", "say on which side you stand"),
        (", arriving: up", "", "10:5", "arriving"),
        ("clearance: 10", "choose: [bends, beauty]\nclearance: 10", "4:", "nothing to compare ways by"),
    ],
    ids=lambda text: text.replace(" ", "_")[:24],
)
def test_contradictions_are_said_at_their_place(old, new, where, said, tmp_path):
    assert old in JOB
    lines = faults(JOB.replace(old, new, 1), tmp_path)
    assert any(line.startswith(where) and said in line for line in lines), lines


def test_a_run_cannot_lie_beside_one_that_is_to_be_found(tmp_path):
    text = JOB.replace("from: [0, 0, 0]", "from: [200, 0, 0]").replace("500], arr", "400], arr")
    [line] = faults(text + "  cold:\n    beside: {run: hot, gap: 20}\n", tmp_path)
    assert "the way of 'hot' is yet to be found" in line


def test_an_end_that_joins_a_thing_may_lie_in_it(tmp_path):
    text = JOB.replace("500], arr", "400], arr") + "    ends: {start: {joins: cistern}}\n"
    path = tmp_path / "job.yaml"
    path.write_text(text)
    job = story.read(path)
    assert len(story.schedule(job).runs[0].bends) == 1
    assert story.check(job).verdict == "pass"


def test_a_flat_end_may_face_a_wall_nearer_than_its_side(tmp_path):
    wall = {"room": {"wall": {"face": {"at": [-10, 0, 0], "facing": "east"}}}}
    job = story.read(job_of(tmp_path, [], GOOD, **wall))
    assert story.check(job).verdict == "pass"


def test_two_runs_do_not_cross_and_run_side_by_side(tmp_path):
    wall = {
        "wall": {"face": {"at": [0, 200, 0], "facing": "south"}},
        "post": {"box": {"from": [300, -300, -300], "to": [360, 90, 300]}},
    }
    runs = {
        "flow": {"find": {"from": [0, 0, 0], "heading": "east", "to": [900, 0, 0], "arriving": "east"}},
        "return": {"find": {"from": [0, 0, -60], "heading": "east", "to": [900, 0, -60], "arriving": "east"}},
    }
    path = tmp_path / "job.yaml"
    job_of_two = {"job": "two", "tube": 15, "former": FORMER, "clearance": 10, "room": wall, "runs": runs}
    path.write_text(yaml.safe_dump(job_of_two))
    job = story.read(path)
    assert story.check(job).verdict == "pass"
    one, two = (np.array(run.run.route.corners) for run in story.schedule(job).runs)
    assert len(one) == len(two)
    legs = [np.diff(corners, axis=0) for corners in (one, two)]
    ways = [leg / np.linalg.norm(leg, axis=1)[:, None] for leg in legs]
    assert np.allclose(ways[0], ways[1], atol=1e-6)


@pytest.mark.slow
def test_the_order_is_changed_where_one_leaves_no_way_for_another(tmp_path):
    # A wall with a slot of 36 mm, and no way round it within the void of the second; the first may go over the wall.
    wall = {
        "left": {"box": {"from": [500, 18, -300], "to": [560, 600, 200]}},
        "right": {"box": {"from": [500, -600, -300], "to": [560, -18, 200]}},
    }
    ends = {"heading": "east", "arriving": "east"}
    void = {"from": [0, -300, -150], "to": [1100, 300, 150]}
    runs = {
        "first": {"find": {"from": [0, 0, 0], "to": [1100, 0, 0], **ends}},
        "second": {"find": {"from": [0, 200, 0], "to": [1100, 200, 0], "within": void, **ends}},
    }
    path = tmp_path / "job.yaml"
    slot = {"from": [500, -18, -300], "to": [560, 18, -20]}
    above = {"from": [500, -18, 20], "to": [560, 18, 200]}
    room = {**wall, "below": {"box": slot}, "above": {"box": above}}
    job_of_two = {"job": "two", "tube": 15, "former": FORMER, "clearance": 10, "room": room, "runs": runs}
    path.write_text(yaml.safe_dump(job_of_two))
    job = story.read(path)
    assert story.check(job).verdict == "pass"
    first, second = story.schedule(job).runs
    assert len(first.bends) > 0
    assert any(abs(y) < 1 and abs(z) < 3 for _, y, z in second.run.route.corners)


def test_a_way_across_another_run_s_start_is_laid_after_that_run(tmp_path):
    """Straight on, the first goes through where the second starts: so the second is laid first."""
    runs = {
        "first": {"find": {"from": [0, 0, 0], "heading": "east", "to": [1000, 0, 0], "arriving": "east"}},
        "second": {"find": {"from": [500, 0, 0], "heading": "up", "to": [500, 300, 300], "arriving": "north"}},
    }
    path = tmp_path / "job.yaml"
    path.write_text(yaml.safe_dump({"job": "two", "tube": 15, "former": FORMER, "clearance": 10, "runs": runs}))
    job = story.read(path)
    assert story.check(job).verdict == "pass"
    assert [len(one.bends) for one in story.schedule(job).runs] == [4, 1]


def test_two_runs_from_one_place_are_refused_there(tmp_path):
    lines = faults(JOB.split("room:")[0] + "runs:\n" + "".join(
        f"  {name}:\n    find: {{from: [0, 0, 0], heading: {way}, to: [{x}, 0, 500], arriving: up}}\n"
        for name, way, x in (("hot", "east", 800), ("cold", "west", -800))
    ), tmp_path)  # fmt: skip
    assert len(lines) == 1
    assert lines[0].startswith("9:18: run 'cold': its start is 0.0 mm from 'hot'")


def test_moving_the_whole_job_moves_the_way(tmp_path):
    box = ((300, -100, -100), (400, 100, 100))
    at = np.array([1000.0, -2000.0, 300.0])
    moved = tuple(tuple(float(c) for c in np.array(p) + at) for p in box)
    find = dict(GOOD, **{"from": at.tolist(), "to": (at + GOOD["to"]).tolist()})
    here = np.array(story.schedule(story.read(job_of(tmp_path, [box], GOOD))).runs[0].run.route.corners)
    there = np.array(story.schedule(story.read(job_of(tmp_path, [moved], find))).runs[0].run.route.corners)
    assert np.allclose(here + at, there)


def test_stopped_it_says_the_best_so_far(tmp_path, monkeypatch):
    def stop(self, best):
        raise KeyboardInterrupt
        yield

    monkeypatch.setattr(Finder, "_others", stop)
    ways, stopped = searched(story.read(job_of(tmp_path, [], GOOD)), 3, None, None)
    assert stopped
    [one] = ways
    assert one.stopped
    assert one.ways
    assert one.ways[0].bends == 1


@pytest.mark.parametrize("after", [0, 1])
def test_stopped_before_it_has_the_best(after, tmp_path, monkeypatch):
    """The second number of bends is not looked at any more: what was seen before is shown, or that nothing was."""
    judged = Finder._judged

    def stop(self, search, bends, most=1):
        if bends > after:
            raise KeyboardInterrupt
        judged(self, search, bends, most)
        return []

    monkeypatch.setattr(Finder, "_judged", stop)
    job = story.read(job_of(tmp_path, [], GOOD))
    ways, stopped = searched(job, 3, None, None)
    assert stopped
    assert [way.bends for way in ways[0].ways] == [1] * after
    said = ways_text(job, ways, MM)
    assert ("best so far" in said, "stopped before a way was found" in said) == (after > 0, after == 0)
    assert ("stopped before a way was found" in ways_yaml(job, ways, MM)) == (after == 0)


@pytest.mark.slow
def test_an_interrupt_ends_the_command_with_what_it_has(tmp_path):
    rng = np.random.default_rng(3)
    low = rng.uniform(300, 3000, (400, 3))
    boxes = [(tuple(map(float, a)), tuple(map(float, a + 60))) for a in low]
    path = job_of(tmp_path, boxes, {"from": [0, 0, 0], "heading": "east", "to": [3300, 3300, 3300], "arriving": "up"})
    command = [sys.executable, "-m", "pipemodel", "route", str(path), "--ways", "9"]
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True) as going:
        assert going.stderr is not None
        for line in going.stderr:
            if "another way" in line:
                going.send_signal(signal.SIGINT)
                break
        out, err = going.communicate()
    assert going.returncode == 130
    assert "stopped before all was looked at" in out
    assert re.search(r"^    1 ", out, re.MULTILINE)
    assert "interrupted" in err


@pytest.mark.slow
def test_the_command_says_what_stands_in_the_way(tmp_path):
    boxes = [((300, -500, -500), (400, -15, 500)), ((300, 15, -500), (400, 500, 500))]
    find = {"from": [0, 0, 0], "heading": "east", "to": [800, 0, 0], "arriving": "east"}
    void = {"from": [0, -400, -400], "to": [800, 400, 400]}
    path = job_of(tmp_path, boxes, dict(find, within=void))
    said = run("route", path)
    assert said.code == 1
    assert "nearest miss" in said.out
    assert "'box 0' (lacking 2.5 mm)" in " ".join(said.out.split())
    german = run("route", path, "--language", "de")
    assert "kein Weg gefunden" in german.out


def test_jobs_without_any_to_find_say_so(tmp_path):
    path = tmp_path / "job.yaml"
    path.write_text(JOB.split("  hot:")[0] + "  hot:\n    points: [[0, 0, 300], [500, 0, 300]]\n")
    said = run("route", path)
    assert said.code == 2
    assert "no run of this job is to be found" in said.err
    assert run("route", path, "--run", "cold").code == 2


IN_THE_OPEN = """\
job: a way
tube: 15
former: {radius: 55, hold: 60, guide: 45}
room: {}
runs:
  hot:
    find: {from: [0, 0, 0], heading: east, ENDS}
"""


@pytest.mark.parametrize(
    ("ends", "said"),
    [
        # A tube needs 45 mm straight before a bend: this finish comes up through its own first leg.
        (
            "to: [40, 0, 0], arriving: up",
            "7:48: run 'hot': start and finish lie in each other's way: .* straight for 45",
        ),
        # And this one lies in line with it, looking at it.
        ("to: [50, 0, 0], arriving: west", "7:48: run 'hot': start and finish lie in each other's way"),
        # Of a tube of 15 the side lies 7.5 mm from its axis: 4.5 mm beyond a void that ends 3 mm off it.
        (
            "to: [800, 5, 500], arriving: up, within: {from: [-10, -8, -300], to: [900, 8, 700]}",
            r"7:48: run 'hot': 4\.5 mm of the tube at this end lies outside the void",
        ),
    ],
)
def test_ends_that_no_way_can_have_are_refused_at_their_place(ends, said, tmp_path):
    [fault] = faults(IN_THE_OPEN.replace("ENDS", ends), tmp_path)
    assert re.match(said, fault)


def test_a_finish_just_ahead_of_the_start_is_not_in_its_way(tmp_path):
    path = tmp_path / "job.yaml"
    path.write_text(IN_THE_OPEN.replace("ENDS", "to: [40, 0, 0], arriving: east"))
    assert not story.schedule(story.read(path)).runs[0].bends


FACING = """\
job: a way
tube: 15
former: {radius: 55, hold: 60, guide: 45}
clearance: 10
room:
  wall: WALL
runs:
  hot:
    find: {from: [0, 0, 0], heading: HEADING, to: [-800, 0, 500], arriving: west}
"""
FACE = "{face: {at: [OFF, 0, 0], facing: west}}"
BOX = "{box: {from: [OFF, -90, -90], to: [300, 90, 90]}}"


@pytest.mark.parametrize(
    ("wall", "heading", "needs"),
    [
        # The straight of a guide (45), the radius (55), half the tube (7.5) and the clearance (10).
        (FACE, "east", 45 + 55 + 7.5 + 10),
        # At a slant of 3:4 the arc goes on towards the wall by R (1 - sin) of the angle to its normal: 55 (1 - 3/5).
        (FACE, "[4, 0, 3]", 45 * 0.8 + 55 * 0.4 + 7.5 + 10),
        # What has an end may be dodged: the straight alone, and the flat end of it by the clearance.
        (BOX, "east", 45 + 10),
    ],
    ids=["face", "slant", "box"],
)
def test_an_end_faces_what_leaves_no_room_for_a_bend(wall, heading, needs, tmp_path):
    text = FACING.replace("WALL", wall).replace("HEADING", heading)
    [line] = faults(text.replace("OFF", f"{needs - 20.0:g}"), tmp_path)
    said = (
        f"its start faces 'wall', {needs - 20.0:.1f} mm off, where a straight and a bend need {needs:.1f} mm; move it"
    )
    assert line.startswith(f"9:18: run 'hot': {said} back by 20.0 mm")
    if wall == FACE and heading == "east":
        path = tmp_path / "job.yaml"
        path.write_text(text.replace("OFF", f"{needs + 1.0:g}"))
        assert story.check(story.read(path)).verdict == "pass"


def test_a_way_straight_on_may_end_before_a_wall(tmp_path):
    wall = {"wall": {"face": {"at": [830, 0, 0], "facing": "west"}}}
    find = {"from": [0, 0, 0], "heading": "east", "to": [800, 0, 0], "arriving": "east"}
    assert not story.schedule(story.read(job_of(tmp_path, [], find, room=wall))).runs[0].bends


def test_faults_of_ends_and_none_are_said_in_german(tmp_path):
    path = tmp_path / "job.yaml"
    path.write_text(JOB)
    said = run("route", path, "--language", "de").err
    assert "Leitung „hot“: ihr Anfang liegt in „cistern“; verschieben, oder `ends: {start: {joins: cistern}}`" in said
    assert "Leitung „hot“: ihr Ende ist 5,0 mm von „shelf“ entfernt, verlangt 10 mm; verschieben" in said
    boxes = [((300, -500, -500), (400, -15, 500)), ((300, 15, -500), (400, 500, 500))]
    void = {"from": [0, -400, -400], "to": [800, 400, 400]}
    find = {"from": [0, 0, 0], "heading": "east", "to": [800, 0, 0], "arriving": "east", "within": void}
    said = run("check", job_of(tmp_path, boxes, find), "--language", "de").err
    assert "Leitung „way“: kein Weg gefunden; der beste Versuch kommt „box 0“ (es fehlen 2,5 mm)" in said


CAGE = [
    # A slot of 38 mm in the west side of a box round the finish, too high for the bend before it.
    ((1350, 150, 750), (1370, 450, 861)),
    ((1350, 150, 899), (1370, 450, 1050)),
    ((1630, 150, 750), (1650, 450, 1050)),
    ((1370, 150, 750), (1630, 170, 1050)),
    ((1370, 430, 750), (1630, 450, 1050)),
    ((1370, 170, 1030), (1630, 430, 1050)),
    ((1370, 170, 750), (1630, 430, 770)),
]


@pytest.mark.slow
def test_bends_that_lead_nowhere_from_the_finish_are_not_piled_up(tmp_path, monkeypatch):
    """Backwards from the finish one bend fits in the box, and none after it: more bends in the room are of no use."""
    looked: list[int] = []
    ways = SearchTerms.ways

    def noted(self, bends):
        looked.append(bends)
        return ways(self, bends)

    monkeypatch.setattr(SearchTerms, "ways", noted)
    find = {"from": [0, 0, 0], "heading": "east", "to": [1500, 300, 900], "arriving": "up"}
    with pytest.raises(JobError, match="the nearest miss is too near to 'box"):
        story.schedule(story.read(job_of(tmp_path, CAGE, find)))
    first = looked[: looked.index(0, 1)]
    assert first
    assert max(first) <= 3


@pytest.mark.slow
def test_the_nearest_miss_may_have_as_many_bends_as_a_way(tmp_path, monkeypatch):
    """Two bends in a channel that is too narrow: where no way has more than two, they are looked for in a miss too."""
    monkeypatch.setattr(nearest_miss, "MOST_BENDS", 2)
    find = {"from": [0, 0, 0], "heading": "east", "to": [600, 200, 0], "arriving": "east"}
    boxes = [((250, -400, -400), (300, 400, 400))]
    path = job_of(tmp_path, boxes, find | {"within": {"from": [-100, -100, -50], "to": [700, 300, 50]}})
    missed = json.loads(run("route", path, "--format", "json").out)["runs"][0]["nearest_miss"]
    assert missed["bends"] == 2
    assert missed["too_near_to"] == ["box 0"]
