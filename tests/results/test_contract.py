"""The JSON that others read: its shape, its precision, and its sums. The shapes are in `contract/`."""

import json
from math import isclose, radians
from pathlib import Path

import gallery
import jsonschema
import pytest
from command_line import CLASHING, LEAST, NO_HOLD, TOO_TIGHT, run, run_apart

import pipemodel
from pipemodel import story

SHAPES = {p.stem: json.loads(p.read_text()) for p in (Path(__file__).parents[1] / "contract").glob("*.json")}
JOBS = ("airing_cupboard", "clashing", "return_run", "straight", "unbendable_order", "two_runs")


@pytest.fixture
def job_file(tmp_path):
    def write(text, name="job.yaml"):
        path = tmp_path / name
        path.write_text(text, encoding="utf-8")
        return path

    return write


@pytest.mark.parametrize("name", JOBS)
def test_records_have_the_promised_shape(name):
    answered = story.results(getattr(gallery, name)())
    jsonschema.validate(json.loads(json.dumps(answered.schedule_record)), SHAPES["schedule"])
    jsonschema.validate(json.loads(json.dumps(answered.check_record)), SHAPES["check"])


@pytest.mark.parametrize("name", JOBS)
def test_straights_and_arcs_add_up_to_the_cut_length(name):
    for run_record in story.results(getattr(gallery, name)()).schedule_record["runs"]:
        at = 0.0
        for bend in run_record["bends"]:
            at += bend["straight_before_mm"]
            assert isclose(bend["start_mm"], at, abs_tol=1e-9)
            assert isclose(bend["arc_mm"], bend["radius_mm"] * radians(bend["angle_deg"]), rel_tol=1e-12)
            at += bend["arc_mm"]
        assert isclose(run_record["centreline_mm"], at + run_record["straight_after_mm"], abs_tol=1e-9)
        assert run_record["cut_length_mm"] == run_record["centreline_mm"]


def test_nothing_is_rounded_on_the_way_to_json(job_file):
    path = job_file(LEAST)
    said = run("schedule", path, "--format", "json")
    solved = pipemodel.schedule(pipemodel.load(path)).runs[0]
    record = json.loads(said.out)["runs"][0]
    assert [b["arc_mm"] for b in record["bends"]] == [b.arc_mm for b in solved.table.bends]
    assert record["cut_length_mm"] == solved.table.length_mm
    # 600 - 55, then a quarter of 2 pi 55, exactly as a double holds it.
    assert record["bends"][1]["start_mm"] == 545.0 + 55.0 * radians(90.0) + 290.0


def test_the_typed_objects_say_what_the_json_says(job_file):
    path = job_file(LEAST)
    schedule = pipemodel.schedule(pipemodel.load(path))
    said = json.loads(run("schedule", path, "--format", "json").out)["runs"][0]
    solved, plan = schedule.runs[0], pipemodel.plans(schedule)[0]
    for key in ("name", "cut_length_mm", "centreline_mm", "straight_after_mm"):
        assert getattr(solved, key) == said[key]
    assert (list(solved.start), list(solved.finish)) == (said["start"], said["finish"])
    assert [bend._asdict() for bend in solved.bends] == said["bends"]
    assert (solved.tube.outside_mm, solved.tube.wall_mm) == (said["tube"]["outside_mm"], said["tube"]["wall_mm"])
    for key in ("number", "bend", "held", "mark_mm", "pull_deg"):
        assert [getattr(pull, key) for pull in plan.pulls] == [pull[key] for pull in said["plan"]["pulls"]]


def test_the_least_form_by_hand(job_file):
    # First principles: a quarter bend takes R from each leg and pi R / 2 of tube.
    record = json.loads(run("schedule", job_file(LEAST), "--format", "json").out)
    (run_record,) = record["runs"]
    assert record["job"] == "return to the towel rail"
    assert run_record["tube"]["outside_mm"] == 15.0
    assert run_record["start"] == [0.0, 0.0, 0.0]
    assert run_record["finish"] == pytest.approx([600.0, 400.0, 350.0], abs=1e-9)
    assert [b["angle_deg"] for b in run_record["bends"]] == [90.0, 90.0]
    # The first bend, east to north, turns about an axis that points up; the second, north to up, about one that
    # points east. Looking north along the leg between them, up to east is a quarter turn clockwise.
    assert run_record["bends"][1]["turn_deg"] == pytest.approx(90.0, abs=1e-9)
    assert run_record["straight_after_mm"] == pytest.approx(295.0)


def test_mark_and_pull_follow_the_former(job_file):
    springy = LEAST.replace("radius: 55", "radius: 55, mark: 40, springback: {per_degree: 0.05, fixed: 1.5}")
    first = json.loads(run("schedule", job_file(springy), "--format", "json").out)["runs"][0]["bends"][0]
    assert first["mark_mm"] == first["start_mm"] + 40.0
    assert first["pull_deg"] == pytest.approx(90.0 + 1.5 + 0.05 * 90.0)


@pytest.mark.parametrize(
    ("command", "text", "code"),
    [
        ("check", LEAST, 0),
        ("check", CLASHING, 1),
        ("check", TOO_TIGHT, 2),
        ("schedule", LEAST, 0),
        ("schedule", CLASHING, 0),
        ("schedule", NO_HOLD, 1),
        ("schedule", TOO_TIGHT, 2),
        ("check", NO_HOLD, 1),
    ],
)
@pytest.mark.parametrize("form", ["text", "json"])
def test_exit_codes_and_streams(job_file, command, text, code, form):
    path = job_file(text)
    said = run(command, path, "--format", form)
    assert said.code == code
    if code == 2:
        assert said.out == ""
        line = said.err.splitlines()[0]
        assert line.startswith(f"{path}:")
        number, column = line.removeprefix(f"{path}:").split(":")[:2]
        assert int(number) >= 1
        assert int(column) >= 1
    else:
        assert said.err == ""
        assert said.out.strip()


def test_a_clash_in_json(job_file):
    record = json.loads(run("check", job_file(CLASHING), "--format", "json").out)
    assert record["verdict"] == "fail"
    finding = next(f for f in record["findings"] if f["check"] == "clash")
    assert (finding["run"], finding["against"], finding["severity"]) == ("return", "boxing", "error")
    assert finding["distance_mm"] < 0.0
    assert finding["required_mm"] == 5.0
    # Every run against every thing, and no other.
    assert [(d["run"], d["against"]) for d in record["distances"]] == [("return", "waste pipe"), ("return", "boxing")]


def test_distances_by_hand(job_file):
    # The waste pipe crosses 80 over the first leg: 80 less both radii. The box stands 100 off the second leg.
    record = json.loads(run("check", job_file(LEAST), "--format", "json").out)
    least = {d["against"]: d for d in record["distances"]}
    assert least["waste pipe"]["distance_mm"] == pytest.approx(80.0 - 25.0 - 7.5, abs=1e-6)
    assert least["waste pipe"]["at_mm"] == pytest.approx(300.0, abs=1e-6)
    assert least["boxing"]["distance_mm"] == pytest.approx(100.0 - 7.5, abs=1e-6)


def test_the_python_door_gives_the_same_content(job_file):
    path = job_file(CLASHING)
    job = pipemodel.load(path)
    schedule, report = pipemodel.schedule(job), pipemodel.check(job)
    record = json.loads(run("check", path, "--format", "json").out)
    assert [r.name for r in schedule.runs] == ["return"]
    assert report.verdict == record["verdict"]
    assert [d.distance_mm for d in report.distances] == [d["distance_mm"] for d in record["distances"]]
    assert [f.message for f in report.findings] == [f["message"] for f in record["findings"]]


def test_load_finds_corners_that_cannot_be_bent(job_file):
    from pipemodel.job.model import JobError

    with pytest.raises(JobError, match="missing"):
        pipemodel.load(job_file(TOO_TIGHT))


def test_a_parameter_from_the_command_line(job_file):
    text = LEAST.replace("runs:", "parameters: {riser: 350}\nruns:").replace("400, 350]", '400, "${riser}"]')
    path = job_file(text)
    record = json.loads(run("schedule", path, "--format", "json", "--set", "riser=50 cm").out)
    assert record["runs"][0]["finish"][2] == pytest.approx(500.0)
    assert record["parameters"] == {"riser": 500.0}
    said = run("schedule", path, "--set", "rise=50")
    assert (said.code, said.out) == (2, "")
    assert "riser" in said.err
    assert run("schedule", path, "--set", "riser").code == 2


@pytest.mark.slow
def test_the_same_job_gives_the_same_bytes(job_file):
    """Here, and in a process of its own with nothing kept from before and sets in another order."""
    path = job_file(CLASHING)
    for command, code in (("schedule", 0), ("check", 1)):
        apart = run_apart(command, path, "--format", "json", PYTHONHASHSEED="1")
        assert apart.returncode == code
        assert apart.stdout == run(command, path, "--format", "json").out.encode()
        assert json.loads(apart.stdout)["job"] == "return to the towel rail"
