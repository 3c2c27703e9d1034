"""Points said in words: on a wall, in a bay between joists; the figures are by hand."""

import jsonschema
import pytest
import yaml

from pipemodel import story
from pipemodel.job.model import JobError
from pipemodel.job.schema import json_schema

ROOM = """\
room:
  north wall: {wall: {from: [1000, 3000], to: [5000, 3000], facing: south, thickness: 100, height: 2400, bottom: 10}}
  gable: {wall: {from: [0, 0], to: [3000, 4000], facing: west, thickness: 100, height: 2400}}
  joists: {joists: {first: [0, 100], along: east, row: north, spacing: 400, number: 4, length: 3000, size: [50, 200],
           top: -20}}
"""
JOB = "job: x\ntube: 15\n{room}runs: {{a: {{points: [{first}, [0, 0, 9000]]}}}}\n"


def start(tmp_path, first, room=ROOM, **files):
    for name, text in files.items():
        (tmp_path / f"{name}.yaml").write_text(text)
    path = tmp_path / "job.yaml"
    path.write_text(JOB.format(room=room, first=first))
    return story.read(path).runs[0].route.corners[0]


@pytest.mark.parametrize(
    ("said", "place"),
    [
        ("{wall: north wall, along: 600, up: 300}", (1600, 3000, 310)),
        ("{wall: north wall, along: 60 cm, up: 300, off: 15}", (1600, 2985, 310)),
        # 3-4-5: along is (0.6, 0.8), and west of the wall is to its left, (-0.8, 0.6).
        ("{wall: gable, along: 1000, up: 300, off: 50}", (600 - 40, 800 + 30, 300)),
        # Between joists 2 and 3, middles at 500 and 900: clear from 525 to 875.
        ("{bay: 2, of: joists, along: 700, down: 95}", (700, 700, -115)),
        ("{bay: 2, of: joists, along: 700, down: 95, across: 30}", (700, 555, -115)),
        ("{bay: 1, of: joists, along: 0, down: -20, across: 0}", (0, 125, 0)),
    ],
)
def test_the_place_that_words_mean(tmp_path, said, place):
    assert start(tmp_path, said) == pytest.approx(place, abs=1e-9)


def test_joists_and_walls_of_a_room_file_in_its_place(tmp_path):
    """Turned by 90 degrees, (x, y) goes to (-y, x); then moved."""
    room = "room: {file: {file: floor.yaml, at: [100, 200, 7], turned: 90, called: first floor}}\n"
    place = start(tmp_path, "{bay: 2, of: first floor joists, along: 700, down: 95}", room, floor=ROOM)
    assert place == pytest.approx((100 - 700, 200 + 700, 7 - 115), abs=1e-9)


def test_in_a_room_file_and_in_things_corners_and_routes(tmp_path):
    floor = ROOM + "  pipe: {pipe: {points: [{bay: 1, of: joists, along: 0, down: 50}, [0, 0, 0]], diameter: 22}}\n"
    text = """\
job: x
tube: 15
parameters: {far: 900}
room:
  file: floor.yaml
  socket: {box: {from: {wall: north wall, along: 500, up: 400}, to: [1600, 2970, 500]}}
runs:
  a: {points: [[0, 0, 9000], {at: {wall: gable, along: "${far}"}, former: 15 mm hand bender}, [9000, 0, 9000]]}
  b: {start: {wall: north wall, along: 0, up: 1000, off: 15}, heading: east, route: [go: 500]}
"""
    (tmp_path / "floor.yaml").write_text(floor)
    (tmp_path / "job.yaml").write_text(text)
    job = story.read(tmp_path / "job.yaml")
    things = {thing.name: thing.shape for thing in job.things}
    assert things["pipe"].start == pytest.approx((0.0, 300.0, -70.0))
    assert things["socket"].bounds() == ((1500.0, 2970.0, 410.0), (1600.0, 3000.0, 500.0))
    assert job.runs[0].route.corners[1] == pytest.approx((540.0, 720.0, 0.0))
    assert job.runs[1].route.corners[0] == pytest.approx((1000, 2985, 1010))


@pytest.mark.parametrize(
    ("said", "fault"),
    [
        (
            "{wall: north wal, along: 600}",
            "there is no wall in the room called 'north wal'; did you mean 'north wall'?",
        ),
        ("{wall: joists, along: 600}", "'wall' names a wall, and the bay is 'of' joists"),
        ("{bay: 4, of: joists, along: 600, down: 9}", "there is no bay 4; between 4 joists there are 3"),
        ("{bay: 0, of: joists, along: 600, down: 9}", "bay"),
        ("{bay: 1, of: joists, along: 600, down: 9, across: 351}", "351 across is not in the bay, which is 350 wide"),
        ("{bay: 1, of: joists, along: 600}", "lacks 'down'"),
        ("{bay: 1, along: 600, down: 9}", "lacks 'of'"),
        ("{wall: north wall, along: 600, down: 9}", "unknown key 'down'"),
        ("{wall: north wall, along: far}", "'far' is no length"),
        ("{wall: north wall, along: 600, of: 9}", "unknown key 'of'; did you mean 'off'?"),
        ("{wall: north wall, along: 600, beside: 9}", "the keys here are wall, along, up, off"),
        ("{wall: north wall, up: 9}", "a point on a wall lacks 'along' (along its face"),
        ("{wall: north wall, along: -100}", "-100 along is not on it: the wall is 4000 long"),
        ("{bay: 1, of: joists, along: -1, down: 9}", "-1 along is not in the bay"),
        ("{wal: north wall, along: 600}", "unknown key 'wal'; did you mean 'wall'?"),
        ("{wall: north wall, along: 4001}", "4001 along is not on it: the wall is 4000 long"),
        ("{wall: north wall, along: 600, up: 2401}", "2401 up is not on it: the wall is 2400 high"),
        ("{bay: 1, of: joists, along: 3001, down: 9}", "3001 along is not in the bay: the joists are 3000 long"),
        ("{bay: 1, of: joists, along: 600, down: 201}", "201 down is not in the bay: the joists are 200 deep"),
    ],
)
def test_what_they_cannot_mean_is_said_at_its_place(tmp_path, said, fault):
    with pytest.raises(JobError) as error:
        start(tmp_path, said)
    lines = [line for line in error.value.lines() if fault in line]
    assert lines, error.value.lines()
    assert not [line for line in error.value.lines() if "no length" in line and "far" not in line]
    assert lines[0].removeprefix(str(tmp_path / "job.yaml:")).startswith("8:")


def test_files_within_files_that_all_say_points_in_words_end(tmp_path):
    """Each file names the next twice: read for the points, and again for the things, within one limit."""
    for k in range(30):
        own = f"  pipe {k}: {{pipe: {{points: [{{wall: w, along: 1}}, [0, 0, 0]], diameter: 22}}}}\n"
        (tmp_path / f"f{k}.yaml").write_text(f"room:\n  file: f{k + 1}.yaml\n{own}")
    (tmp_path / "f30.yaml").write_text(
        "room: {w: {wall: {from: [0, 0], to: [9, 0], facing: south, thickness: 1, height: 9}}}"
    )
    with pytest.raises(JobError, match="more than 100 room files"):
        start(tmp_path, "{wall: w, along: 1}", "room: {file: f0.yaml}\n")


def test_the_schema_knows_them():
    schema = jsonschema.Draft202012Validator(json_schema())
    for said, good in (
        ("{wall: north wall, along: 600, up: 300}", True),
        ("{bay: 2, of: joists, along: 700, down: 95}", True),
        ("{wall: north wall}", False),
        ("{bay: 2, of: joists, along: 700, down: 95, up: 3}", False),
    ):
        assert schema.is_valid(yaml.safe_load(JOB.format(room=ROOM, first=said))) is good


UNFOUND = "{wall: nowhere, along: 5}"
NOT_TIED = """measured:
  points: {A: [0, 0, 0], B: {z: 0, side: east}}
  readings: [{points: [A, B], reads: 400}]
"""


@pytest.mark.parametrize(
    ("job", "faults"),
    [
        (
            f"runs: {{a: {{points: [{UNFOUND}, {UNFOUND}]}}}}\n",
            ["no wall in the room called 'nowhere'", "no wall in the room called 'nowhere'"],
        ),
        (
            f"runs: {{a: {{start: {UNFOUND}, route: [{{corner: [0, 0, 0]}}, {{east: 0}}]}}}}\n",
            ["no wall in the room called 'nowhere'"],
        ),
        (
            f"room: {{c: {{cylinder: {{from: {UNFOUND}, to: {UNFOUND}, diameter: 40}}}}}}\n"
            "runs: {a: {start: [0, 0, 0], route: [{east: {to face of: c, gap: 5}}]}}\n",
            ["no wall in the room called 'nowhere'", "no wall in the room called 'nowhere'"],
        ),
        (
            "room: {w: {wall: {from: [0, 0], to: [0, 0], facing: north, thickness: 100, height: 2400}}}\n"
            "runs: {a: {points: [{wall: w, along: 5}, {wall: w, along: 5}]}}\n",
            ["the wall has no length"],
        ),
        (NOT_TIED + "runs: {a: {points: [A, B]}}\n", ["the point B is not tied"]),
        (NOT_TIED + "runs: {a: {start: A, route: [{corner: B}]}}\n", ["the point B is not tied"]),
        # What is wrong apart from them is named all the same.
        (
            f"runs: {{a: {{points: [{UNFOUND}, [0, 0, x]]}}, b: {{points: [[0, 0, 0], [0, 0, 0]]}}}}\n",
            ["no wall in the room called 'nowhere'", "'x' is no length", "run 'b': the run has no length"],
        ),
    ],
)
def test_of_what_hangs_on_a_point_that_is_not_found_nothing_more_is_said(tmp_path, job, faults):
    path = tmp_path / "job.yaml"
    path.write_text("job: x\ntube: 15\n" + job)
    with pytest.raises(JobError) as error:
        story.load(path)
    lines = error.value.lines()
    assert len(lines) == len(faults), lines
    assert all(fault in line for fault, line in zip(faults, lines, strict=True)), lines
