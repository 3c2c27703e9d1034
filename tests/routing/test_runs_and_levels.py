"""Runs measured to like things, and levels: held against the finished runs' own distance, and figures by hand."""

import random

import pytest
from wide import few_or_many

from pipemodel import story
from pipemodel.job.model import JobError


def loaded(tmp_path, runs, more=""):
    path = tmp_path / "job.yaml"
    path.write_text(f"job: x\ntube: 15\nformer: {{radius: 55}}\n{more}\nruns:\n{runs}", encoding="utf-8")
    return story.load(path)


def corners(tmp_path, route, more="", start="[0, 0, 0]"):
    job = loaded(tmp_path, f"  a:\n    start: {start}\n    route: {route}\n", more)
    return [tuple(round(c, 6) + 0.0 for c in p) for p in job.runs[0].route.corners]


def faults(tmp_path, runs, more=""):
    with pytest.raises(JobError) as error:
        loaded(tmp_path, runs, more)
    return error.value.lines()


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(few_or_many(3, 6)))
def test_a_run_passes_over_another_by_the_gap_that_the_check_then_finds(seed, tmp_path):
    """The passover is placed by points along its axis; the finished tubes are measured by other means."""
    dice = random.Random(seed)
    gap, insulation, y = dice.uniform(3, 30), dice.choice([0, 9, 19]), dice.uniform(-200, 200)
    points = f"[[900, -600, {y / 50}], [900, 600, 0], [900, 600, 500]]"
    flow = f"  flow:\n    insulation: {insulation}\n    points: {points}\n"
    over = f"{{pass over: {{thing: flow, gap: {gap}, angle: 60, bends: {dice.choice([3, 4])}}}}}"
    job = loaded(tmp_path, flow + f"  a:\n    start: [0, {y}, 0]\n    route: [{{east: 1800}}, {over}]\n")
    (row,) = (d for d in story.check(job).distances if (d.run, d.against) == ("a", "flow"))
    # Passovers cannot be lower than their bends allow; then the gap is greater, and a note says so.
    if not job.runs[1].route.notes:
        assert row.distance_mm == pytest.approx(gap + insulation, abs=1e-3)
    assert row.distance_mm >= gap + insulation - 1e-3


@pytest.mark.parametrize("seed", range(6))
def test_a_run_comes_to_the_face_of_another_s_leg_or_bend(seed, tmp_path):
    """At a leg square across: the gap itself. The run is written after the one that names it."""
    dice = random.Random(50 + seed)
    gap, z = dice.uniform(2, 40), dice.uniform(-7, 7)
    a = f"  a:\n    start: [0, 0, {z}]\n    route: [{{east: {{to face of: flow, gap: {gap}}}}}]\n"
    job = loaded(tmp_path, a + "  flow: {points: [[900, -600, 0], [900, 600, 0], [900, 600, 500]]}\n")
    (row,) = (d for d in story.check(job).distances if (d.run, d.against) == ("a", "flow"))
    assert job.runs[0].route.corners[-1][0] == pytest.approx(900 - 7.5 - gap)
    assert row.distance_mm >= gap - 1e-6
    assert row.distance_mm == pytest.approx(gap, abs=1e-6 if abs(z) < 1e-9 else 4.0)


def test_past_and_level_with_another_run(tmp_path):
    flow = "  flow: {insulation: 10, points: [[900, -600, 0], [900, 600, 0]]}\n"
    route = "[{east: {past: flow, gap: 120}}, {up: 300}, {west: {to centre of: flow}}]"
    job = loaded(tmp_path, flow + f"  a:\n    start: [0, 0, 0]\n    route: {route}\n")
    # Far side 900 + 7.5 + 10, the gap, and half the tube.
    found = [tuple(round(c, 6) for c in p) for p in job.runs[1].route.corners]
    assert found == [(0, 0, 0), (1045, 0, 0), (1045, 0, 300), (900, 0, 300)]


def test_runs_that_measure_to_each_other_and_runs_that_are_not_there(tmp_path):
    def run(name, to):
        return f"  {name}:\n    start: [0, 0, 0]\n    route: [{{east: {{to face of: {to}, gap: 5}}}}]\n"

    (said,) = faults(tmp_path, run("a", "b") + run("b", "a"))
    assert "a run cannot measure to 'a', whose way goes by this one's" in said
    (said,) = faults(tmp_path, run("a", "a"))
    assert "a run cannot measure to itself" in said
    (said,) = faults(tmp_path, run("a", "flaw") + "  flow: {points: [[9, -60, 0], [9, 60, 0]]}\n")
    assert "there is no thing in the room called 'flaw'" in said


def test_a_thing_wins_over_a_run_of_its_name(tmp_path):
    box = "room: {flow: {box: {from: [500, -9, -9], to: [600, 9, 9]}}}"
    runs = "  flow: {points: [[900, -600, 0], [900, 600, 0]]}\n"
    runs += "  a:\n    start: [0, 0, 0]\n    route: [{east: {to face of: flow, gap: 20}}]\n"
    job = loaded(tmp_path, runs, box)
    assert job.runs[1].route.corners[-1] == pytest.approx((480, 0, 0))


LEVELS = "levels: {floor: -122, ceiling: 2.3 m, 01 loft: 2600}"


@pytest.mark.parametrize(
    ("route", "finish"),
    [
        ("[{east: 300}, {down: {to level: floor}}]", [(0, 0, 0), (300, 0, 0), (300, 0, -122)]),
        ("[{east: 300}, {down: {to level: -122}}]", [(0, 0, 0), (300, 0, 0), (300, 0, -122)]),
        ("[{east: 300}, {up: {to level: ceiling, gap: 10}}]", [(0, 0, 0), (300, 0, 0), (300, 0, 2290)]),
        ("[{east: 300}, {up: {to level: ceiling, standoff: 30}}]", [(0, 0, 0), (300, 0, 0), (300, 0, 2270)]),
        (
            "[{east: 300}, {up: {to level: ceiling, gap: 10}}, {north: 200}]",
            [(0, 0, 0), (300, 0, 0), (300, 0, 2282.5), (300, 200, 2282.5)],
        ),
        # At a slope of 45 degrees as far along as down.
        ("[{turn: {bearing: 90, rise: -45}}, {go: {to level: floor}}]", [(0, 0, 0), (122, 0, -122)]),
        ("[{up: {to level: 01 loft}}]", [(0, 0, 0), (0, 0, 2600)]),
        ("[{down: 50}, {go: {to level: floor}}]", [(0, 0, 0), (0, 0, -122)]),
    ],
)
def test_to_a_level(route, finish, tmp_path):
    assert corners(tmp_path, route, LEVELS) == finish


@pytest.mark.parametrize(
    ("route", "said"),
    [
        ("[{east: {to level: floor}}]", "this leg is level and does not come to the level 'floor', which is 122 off"),
        ("[{up: {to level: floor}}]", "this leg goes away from it and does not come to the level 'floor'"),
        ("[{down: {to level: flor}}]", "there is no level called 'flor'; did you mean 'floor'?"),
        ("[{down: {to level: floor, gap: 3, standoff: 9}}]", "to a level, give a gap or a standoff"),
        ("[{up: {to level: 02 loft}}]", "there is no level called '02 loft'; did you mean '01 loft'?"),
        ("[{up: {to level: '2,6'}}]", "is no length; use a decimal point: 2.6"),
        ("[{down: {to level: true}}]", "is no length"),
    ],
)
def test_levels_that_cannot_be_reached(route, said, tmp_path):
    assert said in "".join(faults(tmp_path, f"  a:\n    start: [0, 0, 0]\n    route: {route}\n", LEVELS))


def test_a_level_where_there_is_none_says_so(tmp_path):
    (said,) = faults(tmp_path, "  a:\n    start: [0, 0, 0]\n    route: [{down: {to level: floor}}]\n")
    assert said.endswith("there is no level called 'floor'; there is none yet")


def test_levels_of_a_room_file_go_up_with_it_and_the_job_s_own_come_first(tmp_path):
    (tmp_path / "rooms.yaml").write_text("levels: {floor: 0, sill: 900}\nroom: {}\n")
    more = "levels: {sill: 950}\nroom: {file: {file: rooms.yaml, at: [0, 0, 2700]}}"
    assert corners(tmp_path, "[{up: {to level: floor}}]", more)[-1] == (0, 0, 2700)
    assert corners(tmp_path, "[{up: {to level: sill}}]", more)[-1] == (0, 0, 950)
    (tmp_path / "rooms.yaml").write_text("levels: {floor: high}\nroom: {}\n")
    (said,) = faults(tmp_path, "  a: {points: [[0, 0, 0], [9, 0, 0]]}\n", more)
    assert said.startswith(str(tmp_path / "rooms.yaml:1:"))
