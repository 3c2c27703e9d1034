"""Legs that fall: points and bends against plain trigonometry, what is refused, and what the check says of points."""

from math import atan, cos, degrees, hypot, sin, sqrt

import numpy as np
import pytest

from pipemodel.job.fall import parse_fall
from pipemodel.job.model import JobError
from pipemodel.job.read import job_of_text
from pipemodel.story import check, schedule

JOB = "job: drain\ntube: 15\nformer: {{radius: 55, hold: 10, guide: 10, springback: {{fixed: 0}}}}\n{}"


def job(run, room=""):
    return job_of_text(JOB.format(f"{room}runs: {{a: {run}}}\n"), "job.yaml")


def corners(run, room=""):
    return np.array(job(run, room).runs[0].route.corners)


def slopes(points):
    """Down for 1 of plan, of each leg."""
    legs = np.diff(points, axis=0)
    return -legs[:, 2] / np.hypot(legs[:, 0], legs[:, 1])


def test_level_legs_fall_by_the_ratio_and_the_bends_follow():
    solved = schedule(job("{fall: 1 in 80, start: [0, 0, 600], route: [east: 2000, north: 1500, down: 300]}"))
    a = atan(1 / 80)
    at = [(0, 0, 600), (2000 * cos(a), 0, 600 - 2000 * sin(a))]
    at.append((at[1][0], 1500 * cos(a), at[1][2] - 1500 * sin(a)))
    at.append((*at[2][:2], at[2][2] - 300))
    assert np.array(solved.runs[0].run.route.corners) == pytest.approx(np.array(at), abs=1e-9)
    # The spherical law of cosines for the level bend; the drop takes what the leg before it has fallen already.
    angles = [bend.angle_deg for bend in solved.runs[0].bends]
    assert angles == pytest.approx([degrees(np.arccos(sin(a) ** 2)), 90 - degrees(a)], abs=1e-9)


def test_the_same_pipe_from_its_low_end():
    from_high = corners("{fall: 1 in 60, start: [0, 0, 0], route: [east: 900, north: 700]}")
    (x, y, z) = from_high[-1].tolist()
    low = corners(
        f"{{fall: {{of: 1 in 60, towards: start}}, start: [{x!r}, {y!r}, {z!r}], route: [south: 700, west: 900]}}"
    )
    assert low[::-1] == pytest.approx(from_high, abs=1e-9)


@pytest.mark.parametrize(
    ("written", "slope"),
    [
        ("1 in 80", 1 / 80),
        ("1:40", 1 / 40),
        ("1/4 in per ft", 0.25 / 12),
        ("1/8 in per foot", 0.125 / 12),
        ("12.5 mm per m", 0.0125),
        ("25 mm per 2 m", 0.0125),
        ("1.25 %", 0.0125),
        ("none", 0.0),
    ],
)
def test_a_fall_as_people_write_it(written, slope):
    assert parse_fall(written).slope == pytest.approx(slope, rel=1e-12)


@pytest.mark.parametrize(
    "written", [80, 0.0125, "1 in 0", "1 in", "80", "1 in 1", "0 %", "-1 in 80", "1 per", None, []]
)
def test_no_fall(written):
    with pytest.raises(ValueError, match=r"1 in 80|must be a length|no length|1 in 2|is no fall"):
        parse_fall(written)


def test_a_set_in_plan_falls_on_every_leg():
    made = corners(
        "{fall: 1 in 40, start: [0, 0, 0], route: [east: 800, set: {to: north, offset: 80, angle: 30}, go: 500]}"
    )
    assert slopes(made) == pytest.approx([1 / 40] * 3, abs=1e-12)
    assert made[2][:2] - made[1][:2] == pytest.approx([80 * sqrt(3), 80], abs=1e-9)


def test_a_set_down_is_bent_to_its_angle_and_the_run_goes_on_falling():
    solved = schedule(
        job("{fall: 1 in 40, start: [0, 0, 0], route: [east: 800, set: {to: down, offset: 80, angle: 30}, go: 500]}")
    ).runs[0]
    assert [bend.angle_deg for bend in solved.bends] == pytest.approx([30, 30], abs=1e-9)
    made = np.array(solved.run.route.corners)
    assert slopes(made)[[0, 2]] == pytest.approx([1 / 40] * 2, abs=1e-12)
    # Square to the tube the two legs lie 80 apart.
    ahead = (made[1] - made[0]) / np.linalg.norm(made[1] - made[0])
    moved = made[2] - made[1]
    assert hypot(*(moved - ahead * (moved @ ahead))) == pytest.approx(80, abs=1e-9)


def test_a_leg_of_its_own_fall_and_one_without():
    made = corners(
        "{fall: 1 in 80, start: [0, 0, 0], route: [east: 500, north: {to centre: 600, fall: 1 in 40},"
        " turn: {to: east, fall: none}, go: 300, turn: {to: south, angle: 45}, go: 400]}"
    )
    assert slopes(made) == pytest.approx([1 / 80, 1 / 40, 0, 1 / 80], abs=1e-12)
    way = made[4] - made[3]
    assert way[1] / way[0] == pytest.approx(-1, abs=1e-9)


def test_the_first_leg_may_fall_otherwise_than_the_run_whose_heading_it_has():
    route = "[east: {to centre: 500, fall: 1 in 20}, north: 400]"
    made = corners(f"{{fall: 1 in 40, start: [0, 0, 0], heading: east, route: {route}}}")
    assert slopes(made) == pytest.approx([1 / 20, 1 / 40], abs=1e-12)


def test_things_are_met_in_plan_however_far_below_they_lie():
    low = "room: {post: {box: {from: [900, -50, -900], to: [1000, 50, -500]}}}\n"
    assert corners("{fall: 1 in 40, start: [0, 0, 0], route: [east: {to centre of: post}, north: 300]}", low)[1][0] == (
        pytest.approx(950, abs=1e-9)
    )
    past = corners("{fall: 1 in 40, start: [0, 0, 0], route: [east: {past: post, gap: 20}, down: 300]}", low)
    assert past[1] == pytest.approx([1000 + 20 + 7.5, 0, -1027.5 / 40], abs=1e-9)


@pytest.mark.parametrize(
    ("moves", "item", "says"),
    [
        ("east: 500, up: 300", 1, "this rises where the run falls 1 in 80 towards its finish"),
        ("east: 500, turn: {bearing: 0, rise: -0.3}, go: 300", 1, "goes down too little where the run falls 1 in 80"),
        ("east: 500, set: {to: up, offset: 60, angle: 30}, go: 300", 1, "this rises"),
        ("east: 900, pass over: {thing: pipe, gap: 10, angle: 30}, down: 300", 1, "passes over nothing"),
        ("east: 500, turn: {back: down}, go: 300", 1, "one of them would rise"),
        ("down: 500, follow: {face: slab, standoff: 15, turn: east}, go: 300", 1, "keeps no standoff"),
        ("down: {to face of: slab, gap: 15}, east: 300", 0, "still runs towards the face of 'slab'"),
        ("east: {to centre: 500, fall: one in eighty}", 0, "is no fall"),
        ("east: {to centre: 500, fall: 1 in 60 to start}", 0, "or '{of: 1 in 80, towards: start}'"),
    ],
)
def test_what_water_would_stand_in_is_refused_where_it_is_written(moves, item, says):
    room = (
        "room: {pipe: {cylinder: {from: [500, -90, 0], to: [500, 90, 0], diameter: 20}},"
        " slab: {face: {at: [0, 0, -700], facing: up}}}\n"
    )
    with pytest.raises(JobError) as error:
        job(f"{{fall: 1 in 80, start: [0, 0, 0], route:\n  [{moves}]}}", room)
    lines = error.value.lines()
    column = 4 + (len(moves.split(", ")[0]) + 2) * item
    assert all(line.startswith("job.yaml:6:") and int(line.split(":")[2]) >= column for line in lines), lines
    assert says in lines[0]


def findings(points, fall="1 in 80"):
    found = check(job(f"{{fall: {fall}, points: {points}}}")).findings
    return [(one.code, str(one.said)) for one in found if one.check == "falls"]


def test_points_are_held_against_the_fall():
    assert findings([[0, 0, 0], [800, 0, -10], [800, 400, -15]]) == [
        (
            "G102",
            "run 'a' falls 1 in 80 or more towards its finish, 15.0 mm in all: from z 0.0 mm down to z -15.0 mm on its "
            "axis",
        )
    ]
    # Half a millimetre is what a height is read to; more is short of the fall.
    assert findings([[0, 0, 0], [800, 0, -9.6], [800, 400, -14.6]])[0][0] == "G102"
    assert findings([[0, 0, 0], [800, 0, -9], [800, 400, -14]]) == [
        (
            "G101",
            "leg 1 of run 'a' falls 1 in 88.89 only, 1.0 mm short at its low end, where it is meant to fall 1 in 80",
        )
    ]
    assert findings([[0, 0, 0], [800, 0, -10], [800, 400, -5]]) == [
        ("G101", "leg 2 of run 'a' rises 5.0 mm towards the finish, where it is meant to fall 1 in 80")
    ]
    assert findings([[0, 0, 0], [800, 0, -10], [800, 400, -5]], "{of: 1 in 80, towards: start}")[0][0] == "G101"
    assert findings([[0, 0, 0], [800, 0, 0]], "none") == []


def test_legs_that_fall_both_ways_have_no_low_end_and_a_level_one_is_called_so():
    towards_start = "{of: 1 in 80, towards: start}"
    steeper = "north: {to centre: 400, fall: {of: 1 in 40}}"
    # The end left unsaid is the run's.
    made = corners(f"{{fall: {towards_start}, start: [0, 0, 0], route: [east: 800, {steeper}]}}")
    assert slopes(made) == pytest.approx([-1 / 80, -1 / 40], abs=1e-12)
    both = job(
        f"{{fall: 1 in 12500, start: [0, 0, 0], route: [east: {{to centre: 800, fall: {towards_start}}}, north: 400]}}"
    )
    [said] = [str(one.said) for one in check(both).findings if one.check == "falls"]
    assert said == (
        "run 'a': 2 legs of it fall 1 in 12500 or more, towards the ends asked for; on its axis the run starts at "
        "z 0.0 mm and finishes at z 10.0 mm"
    )
    rising = check(job("{fall: 1 in 80, start: [0, 0, 0], route: [east: 800, turn: {to: up, fall: none}, go: 300]}"))
    assert any("run 'a': 1 leg of it falls 1 in 80" in str(one.said) for one in rising.findings)
    assert findings([[0, 0, 0], [800, 0, 0], [800, 400, -5]])[0][1] == (
        "leg 1 of run 'a' is level, where it is meant to fall 1 in 80"
    )


def test_legs_are_counted_as_bent_and_a_return_that_asks_for_no_fall_is_held_to_none():
    back = "turn: {back: left, fall: none}, go: 400"
    made = job(f"{{fall: 1 in 50, start: [0, 0, 0], route: [east: 500, {back}, north: 300, by: [300, 0, 0]]}}")
    # Five corners after the start, but the two of the return are one bend: the last leg is the fourth.
    assert [str(one.said) for one in check(made).findings if one.check == "falls"] == [
        "leg 4 of run 'a' is level, where it is meant to fall 1 in 50"
    ]
    assert findings([[0, 0, 0], [800, 0, -10], [800, 0, -10], [800, 400, -10]])[0][1].startswith("leg 2 ")


def test_what_is_found_takes_no_fall():
    with pytest.raises(JobError, match="write the run as moves"):
        job("{fall: 1 in 80, find: {from: [0, 0, 0], heading: east, to: [800, 0, -300], arriving: down}}")
