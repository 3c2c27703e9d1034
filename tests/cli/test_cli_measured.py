"""`pipemodel measured`: the form to fill in, text and JSON, exit codes, and what is wrong with readings."""

import json
import re

import pytest
import yaml
from command_line import LEAST, run, run_apart

TWO = LEAST.replace("runs:\n", "runs:\n  straight:\n    points: [[0, 50, 900], [300, 50, 900]]\n")


ENGLISH = re.compile(r"\b(the|this|is|are|of|and|not|write|there|has|check|pull|angle|tube|read it|again)\b")


@pytest.fixture
def asked(tmp_path):
    """Ask with a text of readings: how it ended and what it said."""
    job, readings = tmp_path / "job.yaml", tmp_path / "readings.yaml"

    def ask(text, *more, language="en"):
        job.write_text(f"language: {language}\n" + LEAST)
        readings.write_text(text)
        return run("measured", job, "--run", "return", "--readings", readings, *more)

    return ask


def checks(asked_job):
    """The checks of the job by their names, as the schedule has them."""
    said = json.loads(run("schedule", asked_job, "--format", "json").out)
    return [pull["checks"] for pull in said["runs"][0]["plan"]["pulls"]]


def test_the_form_to_fill_in_names_every_check(tmp_path):
    job = tmp_path / "job.yaml"
    job.write_text(LEAST)
    said = run("measured", job)
    assert said.code == 0
    form = yaml.safe_load(said.out)
    assert [list(block["readings"]) for block in form] == [[c["id"] for c in own] for own in checks(job)]
    assert [block["after"] for block in form] == [1, 2]
    # Filled in with what the card has, all is well; blanks are checks that nobody read.
    right = {c["id"]: c["value"] for own in checks(job) for c in own}
    filled = re.sub(r"^( +)(\w+):  .*$", lambda m: f"{m[1]}{m[2]}: {right[m[2]]}", said.out, flags=re.M)
    readings = tmp_path / "readings.yaml"
    readings.write_text(filled)
    assert run("measured", job, "--readings", readings).code == 0
    readings.write_text(said.out)
    empty = run("measured", job, "--readings", readings)
    assert (empty.code, empty.out) == (2, "")
    assert "no check has a reading yet" in empty.err


def test_json_has_what_was_agreed(asked):
    said = asked("{after: 1, readings: {1a: 92}}", "--format", "json")
    assert said.code == 0
    found = json.loads(said.out)
    assert (found["format"], found["run"], found["verdict"]) == ("pipemodel.measured/1", "return", "change")
    [bent] = found["bent"]
    assert bent["bend"] == 1
    assert bent["angle_low"] < bent["angle_deg"] < bent["angle_high"]
    assert {"start_mm", "turn_deg"} <= set(bent)
    assert [b["number"] for b in found["bends"]] == [1, 2]
    assert [p["bend"] for p in found["pulls"]] == [2]
    assert {"mark_mm", "pull_deg", "held", "checks", "card"} <= set(found["pulls"][0])
    assert len(found["finish_off_mm"]) == 3
    assert "bend 1 came out at" in found["message"]


@pytest.mark.parametrize(
    ("readings", "code", "verdict", "says"),
    [
        ("{after: 1, readings: {1a: 90}}", 0, "GO ON", "fine, go on"),
        ("{after: 1, readings: {1a: 87}}", 0, "PULL ON", "until it is 90"),
        ("{after: 1, readings: {1a: 92}}", 0, "CHANGE WHAT IS LEFT", "pull to"),
        ("{after: 2, readings: {2a: [94, 94]}}", 1, "CUT A NEW PIECE", "at best the finish lies"),
        ("{after: 2, readings: {2a: 98}}", 1, "MEASURE AGAIN", "take it again first"),
    ],
)
def test_text_says_the_verdict_first_and_the_code_follows_it(asked, readings, code, verdict, says):
    said = asked(readings)
    assert said.code == code
    assert said.out.splitlines()[3] == verdict
    assert says.lower() in " ".join(said.out.lower().split())


def test_german(asked):
    said = asked("{after: 1, readings: {1a: 87}}", "--language", "de")
    assert said.out.splitlines()[3] == "WEITER BIEGEN"
    assert "weiter biegen, bis er losgelassen 90° hat" in " ".join(said.out.split())


@pytest.mark.parametrize(
    ("readings", "where", "says"),
    [
        ("", "1:1", "group of keys"),
        ("[]", "1:1", "group of keys"),
        ("{after: 1, readings: {1b: 607,5}}", "1:31", "write check 1b with a point: 1b: 607.5"),
        ("7", "1:1", "group of keys"),
        ("{readings: {1a: 90}}", "1:1", "'after' is missing"),
        ("{after: 1}", "1:1", "readings holds what was read"),
        ("{after: 1, readings: [90]}", "1:22", "readings holds what was read"),
        ("{after: 3, readings: {1a: 90}}", "1:9", "there is no pull 3, run 'return' has 2"),
        ("{after: 0, readings: {1a: 90}}", "1:9", "there is no pull 0"),
        ("{after: true, readings: {1a: 90}}", "1:9", "after is the number of a pull"),
        ("{after: 1.5, readings: {1a: 90}}", "1:9", "after is the number of a pull"),
        ("{after: 1, readings: {1z: 90}}", "1:23", "no check '1z'; the checks after that pull are 1a"),
        ("{after: 1, readings: {2a: 90}}", "1:23", "check 2a is of pull 2, and these were read after pull 1"),
        ("{after: 1, readings: {1b: 60.75}}", "1:27", "looks like centimetres; is 607.5 mm meant?"),
        ("{after: 1, readings: {1b: 23.9}}", "1:27", "looks like inches; is 607.06 mm meant?"),
        ("{after: 1, readings: {1b: 6.075}}", "1:27", "looks like decimetres; is 607.5 mm meant?"),
        ("{after: 1, readings: {1b: 6075}}", "1:27", "ten times too much; is 607.5 mm meant?"),
        ("{after: 1, readings: {1b: 9000}}", "1:27", "more than this tube is long"),
        ("{after: 1, readings: {1b: -600}}", "1:27", "below 0"),
        ("{after: 1, readings: {1c: 14.4}}", "1:27", "is a diameter; write how much wider it is one way"),
        ("{after: 1, readings: {1c: -0.4}}", "1:27", "below 0"),
        ("{after: 1, readings: {1a: 900}}", "1:27", "900 is too large"),
        ("{after: 1, readings: {1a: 9}}", "1:27", "is 90° meant?"),
        ("{after: 1, readings: {1a: 0}}", "1:27", "no angle of a bend"),
        ("{after: 1, readings: {1a: square}}", "1:27", "is no angle"),
        ("{after: 1, readings: {1a: .nan}}", "1:27", "finite"),
        ("{after: 1, readings: {1a: [90, 100]}}", "1:27", "differ by more than it is read to"),
        ("{after: 1, readings: {1a: []}}", "1:27", "1 to 20 readings"),
        ("{after: 2, readings: {2d: up}}", "1:27", "write left or right"),
        ("{after: 2, readings: {2d: [left, right]}}", "1:27", "seen both ways"),
        ("{after: 1, readings: {1a: 90}, run: flow}", "1:37", "readings of run 'flow'"),
        ("{after: 1, readings: {1a: 90}, corrected: 3}", "1:43", "corrected is true or false"),
        ("{after: 1, readings: {1a: 90}, note: x}", "1:32", "unknown key 'note'"),
        ("[{after: 2, readings: {2a: 90}}, {after: 1, readings: {1a: 90}}]", "1:42", "put them in order"),
        ("[{after: 1, readings: {1a: 90}}, {after: 2, readings: {1a: 90}}]", "1:56", "is read already"),
    ],
)
def test_what_is_wrong_is_said_at_its_place_and_nothing_else(asked, tmp_path, readings, where, says):
    said = asked(readings)
    assert (said.code, said.out) == (2, "")
    assert f"readings.yaml:{where}: " in said.err
    assert says in said.err
    assert "Traceback" not in said.err
    german = asked(readings, language="de")
    assert f"readings.yaml:{where}: " in german.err
    assert len(german.err.splitlines()) == len(said.err.splitlines())
    assert not ENGLISH.findall(german.err.replace(str(tmp_path), "")), german.err


def test_every_fault_comes_at_once(asked):
    said = asked("- {after: 9, readings: {1z: 1}}\n- {after: 1, readings: {1b: 60.75}, run: x}\n")
    assert len(said.err.splitlines()) >= 4


def test_which_run_has_to_be_said_where_there_are_several(tmp_path):
    job = tmp_path / "job.yaml"
    job.write_text(TWO)
    several = run("measured", job)
    assert several.code == 2
    assert "the job has 2 runs; say which one: " in several.err
    unknown = run("measured", job, "--run", "x")
    assert unknown.code == 2
    assert "there is no run called 'x'" in unknown.err


def test_a_file_that_is_not_there(tmp_path):
    job = tmp_path / "job.yaml"
    job.write_text(LEAST)
    said = run("measured", job, "--readings", tmp_path / "nothing.yaml")
    assert said.code == 2
    assert "nothing.yaml" in said.err


def test_nothing_heavy_is_loaded_for_a_job_without_a_room(tmp_path):
    job, readings = tmp_path / "job.yaml", tmp_path / "readings.yaml"
    job.write_text(re.sub(r"room:\n(  .*\n)+", "", LEAST))
    readings.write_text("{after: 1, readings: {1a: 92}}")
    code = (
        "import sys; from pathlib import Path; import pipemodel\n"
        f"pipemodel.measured(pipemodel.load({str(job)!r}), 'return', {str(readings)!r})\n"
        "print([m for m in ('numpy', 'scipy', 'OCP', 'trimesh') if m in sys.modules])"
    )
    import subprocess
    import sys

    said = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert said.stdout.strip() == "[]"


@pytest.mark.slow
def test_it_runs_as_a_command_of_its_own(tmp_path):
    job = tmp_path / "job.yaml"
    job.write_text(LEAST)
    assert run_apart("measured", job).returncode == 0
