"""Points measured with a tape in a job: used by name, and every fault at its line."""

import pytest

from pipemodel.bending.schedule import solve
from pipemodel.checks.measured import measured
from pipemodel.job.model import JobError
from pipemodel.job.read import job_of_text

TRIANGLE = """job: corner
tube: 15
measured:
  points:
    A: [0, 0, 0]
    B: {{y: 0, z: 0, side: east}}
    C: {{z: 0{side}}}
  readings:
    - {{points: [A, B], reads: 1200}}
    - {{points: [B, {third}], reads: 900}}
    - {{points: [A, C], reads: {across}}}
runs:
  r:
    points: [A, B, C, ["${{C.x}}", "${{C.y + 0}}", 400]]
"""
ROOM = """job: room
tube: 15
measured:
  points:
    A: [0, 0, 0]
    B: {{y: 0, z: 0, side: east}}
    C: {{z: 0, side: north}}
    D: {{z: 0, side: north}}
    E: {{z: 0, side: north}}
  readings:
    - {{points: [A, B], reads: 4000}}
    - {{points: [B, C], reads: 3000}}
    - {{points: [C, D], reads: 4000}}
    - {{points: [D, A], reads: 3000}}
    - {{points: [A, C], reads: {across}}}
    - {{points: [B, D], reads: 5000}}
    - {{points: [A, E], reads: 2500}}
    - {{points: [B, E], reads: 2500}}
    - {{points: [C, E], reads: 2500}}
    - {{points: [D, E], reads: 2500}}
runs:
  r: {{points: [A, B, C]}}
"""


def triangle(side=", side: north", third="C", across=1500):
    return job_of_text(TRIANGLE.format(side=side, third=third, across=across), "job.yaml")


def faults(**given):
    with pytest.raises(JobError) as error:
        triangle(**given)
    return error.value.lines()


def test_three_four_five_is_square_and_stands_in_the_run_by_name():
    job = triangle()
    assert [tuple(round(v, 6) for v in c) for c in job.runs[0].route.corners] == [
        (0, 0, 0), (1200, 0, 0), (1200, 900, 0), (1200, 900, 400),
    ]  # fmt: skip
    assert [f.code for f in measured(solve(job))] == ["M102"]


def test_a_point_in_two_places_asks_for_the_side():
    (line,) = faults(side="")
    assert line.startswith("job.yaml:7:5: the point C may be at [1200, ")
    assert line.endswith("say which with side: north or south")


FROM_TWO_WALLS = """job: corner
tube: 15
measured:
  points: {{A: [0, 0, 0], B: [2000, 0, 0], C: [0, 1500, 0], P: {{z: 300{side}}}}}
  readings: [{{wall: [A, B], to: P, reads: 25}}, {{wall: [A, C], to: P, reads: 600}}]
runs:
  r: {{points: [A, P]}}
"""


def test_a_point_off_two_walls_names_all_its_places_and_one_side_settles_it():
    with pytest.raises(JobError) as error:
        job_of_text(FROM_TWO_WALLS.format(side=""), "job.yaml")
    (line,) = error.value.lines()
    for place in ("[600, 25, 300]", "[-600, 25, 300]", "[600, -25, 300]", "[-600, -25, 300]"):
        assert place in line
    assert line.endswith("with side: north east, north west, south east or south west")
    job = job_of_text(FROM_TWO_WALLS.format(side=", side: south east"), "job.yaml")
    assert job.runs[0].route.corners[-1] == pytest.approx((600, -25, 300))


def test_distances_that_do_not_close_name_the_reading():
    (line,) = faults(across=2500)
    assert line.startswith("job.yaml:11:7: readings to C do not meet (B-C 900, A-C 2500), ")


def test_a_point_that_is_not_there_is_named_where_it_stands():
    (line,) = faults(third="Q")
    assert line == "job.yaml:10:20: there is no measured point 'Q'; there are 'A', 'B', 'C'"


def test_a_point_that_is_not_tied_says_what_is_missing():
    with pytest.raises(JobError) as error:
        job_of_text(
            "job: a\ntube: 15\nmeasured:\n  points: {A: [0, 0, 0], B: {z: 0}}\n"
            "  readings: [{points: [A, B], reads: 9}]\n"
            "runs: {r: {points: [A, B]}}\n",
            "job.yaml",
        )
    assert "job.yaml:4:26: the point B is not tied: its x and y take 2 readings" in str(error.value)
    assert len(error.value.faults) == 1


@pytest.mark.parametrize(
    ("reading", "says"),
    [
        ("{points: [A, A], reads: 5}", "between different points"),
        ("{points: [A, B], to: C, reads: 5}", "`to` names the point"),
        ("{reads: 5}", "a reading goes between two"),
        ("{points: [A, B], reads: -5}", "a tape reads more than 0"),
        ("{points: [A, B], reads: 5, tube: 15}", "`tube` is for a reading from a wall"),
    ],
)
def test_a_reading_that_is_none_is_said(reading, says):
    text = TRIANGLE.format(side=", side: north", third="C", across=1500)
    with pytest.raises(JobError) as error:
        job_of_text(text.replace("{points: [A, B], reads: 1200}", reading), "job.yaml")
    assert [says in f.message and f.place.line == 9 for f in error.value.faults] == [True]


def test_one_misread_tape_among_ten_is_named_with_what_it_read():
    sound = solve(job_of_text(ROOM.format(across=5000), "job.yaml"))
    assert [f.code for f in measured(sound)] == []
    (finding,) = measured(solve(job_of_text(ROOM.format(across=5050), "job.yaml")))
    assert finding.code == "M101"
    assert finding.message.startswith("the reading A to C, 5050.0 mm, does not go with the others")
    assert finding.required_mm == pytest.approx(5000.0, abs=1.0)


@pytest.mark.parametrize(
    ("section", "says"),
    [
        ("3", "4:11: measured is a group of keys"),
        ("{points: []}", "4:20: points is a group of names"),
        ("{points: {A: 3}}", "4:24: a point is three lengths"),
        ("{points: {A: [0, 0, 0], north: [0, 0, 1]}}", "4:35: a point's name is made of letters"),
        ("{points: {A: [0, 0, 0], B: [\"${A.x}\", 0, 0]}}", "4:39: there is no parameter 'A.x'"),
        ("{points: {A: [0, 0, 0], B: {y: 0, z: 0}}, readings: [{points: [A, B], reads: 5}]}",
         "4:35: the point B may be"),
        ("{points: {A: [0, 0, 0]}, walls: {w: {through: [A, A]}}}", "stand over each other"),
    ],
)  # fmt: skip
def test_a_section_that_is_wrong_says_where(section, says):
    text = f"job: a\ntube: 15\nruns: {{r: {{points: [[0, 0, 0], [400, 0, 0]]}}}}\nmeasured: {section}\n"
    with pytest.raises(JobError) as error:
        job_of_text(text, "job.yaml")
    assert len(error.value.faults) == 1
    assert says in str(error.value)


def test_two_readings_of_one_length_that_differ_are_both_doubted():
    text = (
        "job: a\ntube: 15\nmeasured:\n  points: {A: [0, 0, 0], B: {y: 0, z: 0, side: east}}\n  readings:\n"
        "    - {points: [A, B], reads: 500}\n    - {points: [A, B], reads: 520}\nruns: {r: {points: [A, B]}}\n"
    )
    (finding,) = measured(solve(job_of_text(text, "job.yaml")))
    assert finding.code == "M101"
    assert "one of these is out" in finding.message
