"""Everyday bends from flags: the same answers as the job file they save, and faults named by the flag."""

import json
import math
import os
from pathlib import Path

import pytest
from click.testing import CliRunner

from pipemodel.cli import pipemodel

OWN = ["--radius", "55", "--springback", "1.5", "--springback-per-degree", "0.05", "--hold", "30", "--guide", "10"]
ASKED = {
    "90": ["--first", "300", "--second", "400", "--measure", "back"],
    "set": ["--offset", "60", "--angle", "30"],
    "rolled": ["--offset", "60", "--rise", "40", "--angle", "45", "--centre", "400"],
    "passover": ["--over", "22", "--at", "400", "--gap", "10", "--angle", "45"],
}


def run(*args):
    return CliRunner().invoke(pipemodel, list(args))


def bend(*args):
    """The only run of the answer as JSON."""
    done = run("bend", *args, "--format", "json")
    assert done.exit_code == 0, done.output
    (piece,) = json.loads(done.stdout)["runs"]
    return piece


def test_a_square_bend_to_the_back():
    """Backs at 300 and 400: corners D/2 less, and the gain of R 55 (0.4292 R) off the sum."""
    piece = bend("90", *ASKED["90"], *OWN)
    assert piece["cut_length_mm"] == pytest.approx(700 - 15 - (2 - math.pi / 2) * 55)
    assert piece["bends"][0]["mark_mm"] == pytest.approx(300 - 7.5 - 55)
    assert piece["bends"][0]["pull_deg"] == pytest.approx(96)  # the machine note's 90 + 1.5 + 0.05 x 90


@pytest.mark.parametrize(("measure", "corner"), [("centre", 300), ("back", 292.5), ("inside", 307.5)])
def test_what_both_legs_are_measured_to(measure, corner):
    piece = bend("90", "--first", "300", "--second", "300", "--measure", measure, *OWN)
    assert piece["bends"][0]["start_mm"] == pytest.approx(corner - 55)
    assert piece["straight_after_mm"] == pytest.approx(corner - 55)


def test_another_angle():
    piece = bend("90", "--first", "300", "--second", "300", "--angle", "60", *OWN)
    assert piece["bends"][0]["angle_deg"] == pytest.approx(60)


@pytest.mark.parametrize(
    ("flag", "first"),
    [("--first-bend", 400), ("--centre", 370), ("--last-bend", 340), ("--back", 400 - 7.5 * math.tan(math.pi / 8))],
)  # fmt: skip
def test_where_a_set_lands(flag, first):
    piece = bend("set", "--offset", "60", "--angle", "45", flag, "400", "--tube", "15", *OWN)
    assert piece["bends"][0]["start_mm"] == pytest.approx(first - 55 * math.tan(math.pi / 8))
    assert piece["finish"][2] == pytest.approx(60)


def test_a_rolled_set_has_its_true_offset():
    piece = bend("rolled", *ASKED["rolled"], *OWN)
    assert piece["finish"][1:] == pytest.approx([60, 40])
    between = piece["bends"][1]["straight_before_mm"]
    assert between == pytest.approx(math.hypot(60, 40) * math.sqrt(2) - 2 * 55 * math.tan(math.pi / 8))


@pytest.mark.slow
def test_a_passover_ends_where_a_straight_piece_would():
    piece = bend("passover", *ASKED["passover"], *OWN)
    assert piece["finish"] == pytest.approx([800, 0, 0])
    assert [b["angle_deg"] for b in piece["bends"]] == pytest.approx([22.5, 45, 22.5])
    with_four = bend("passover", *ASKED["passover"][:-1], "30", "--bends", "4", "--total", "1000", *OWN)
    assert [b["angle_deg"] for b in with_four["bends"]] == pytest.approx([30] * 4)
    assert with_four["finish"] == pytest.approx([1000, 0, 0])


def test_lengths_with_units():
    inches = bend("90", "--first", "12 in", "--second", "30 cm", *OWN)
    assert inches["bends"][0]["start_mm"] == pytest.approx(12 * 25.4 - 55)


@pytest.mark.parametrize("kind", ASKED)
def test_saved_as_a_job_it_gives_the_same_answers(kind, tmp_path):
    job = tmp_path / "piece.yaml"
    for form in ("json", "text"):
        job.unlink(missing_ok=True)
        from_flags = run("bend", kind, *ASKED[kind], *OWN, "--save", str(job), "--format", form)
        from_file = run("schedule", str(job), "--format", form)
        assert from_flags.exit_code == from_file.exit_code == 0
        assert from_flags.stdout == from_file.stdout


def test_what_is_there_already_is_not_overwritten(tmp_path):
    job = tmp_path / "piece.yaml"
    job.write_text("mine")
    for flag in ("--save", "--picture"):
        done = run("bend", "90", *ASKED["90"], flag, str(job))
        assert done.exit_code == 2
        assert "there already" in done.stderr
        assert job.read_text() == "mine"
        assert done.stdout == ""


def test_nothing_is_written_when_one_of_the_files_cannot_be(tmp_path):
    done = run("bend", "90", *ASKED["90"], "--save", str(tmp_path / "missing" / "piece.yaml"))
    assert done.exit_code != 0
    assert os.listdir(tmp_path) == []


def test_a_piece_that_cannot_be_pulled_is_answered_with_1(tmp_path):
    job = tmp_path / "piece.yaml"
    done = run(
        "bend",
        "set",
        "--offset",
        "20",
        "--angle",
        "30",
        "--radius",
        "55",
        "--hold",
        "60",
        "--guide",
        "45",
        "--save",
        str(job),
    )
    assert done.exit_code == 1
    assert "CANNOT BE PULLED" in done.stdout
    assert job.exists()


@pytest.mark.parametrize(
    ("args", "words"),
    [
        (["90", "--first", "x", "--second", "-"], ["--first: 'x' is no length", "--second: '-' is no length"]),
        (["90", "--first", "10", "--second", "300"], ["--first: ", "is missing"]),
        (["set", "--offset", "20", "--angle", "60", "--radius", "55"], ["degrees or less"]),
        (["set", "--offset", "60", "--angle", "100"], ["--angle: ", "at most 90"]),
        (["set", "--offset", "60", "--angle", "30", "--back", "1", "--centre", "2"], ["--back and --centre"]),
        (["rolled", "--offset", "60", "--angle", "30"], ["--rise"]),
        (["passover", "--over", "-4", "--at", "400", "--gap", "-1", "--angle", "45"], ["--over: -4", "--gap: -1"]),
        (["passover", "--over", "22", "--at", "x", "--gap", "1", "--angle", "45"], ["--at: 'x' is no length"]),
        (["passover", "--over", "22", "--at", "60", "--gap", "1", "--angle", "45"], ["too early"]),
        (["passover", "--over", "9", "--at", "400", "--gap", "1", "--angle", "45", "--level", "-99"], ["clears"]),
        (["90", "--first", "300", "--second", "300", "--tube", "16"], ["--tube: no tube 16", "15 x 0.7"]),
        (["90", "--first", "300", "--second", "300", "--former", "bender"], ["--former: no former"]),
        (["90", "--first", "300", "--second", "300", "--former", "x", "--radius", "3"], ["leave one out"]),
        (["90", "--first", "300", "--second", "300", "--hold", "3"], ["--radius too"]),
        (["90", "--first", "300", "--second", "300", "--radius", "4"], ["--radius: "]),
        (["90", "--first", "300\nroom: {}", "--second", "${1/0}"], ["--first: ", "--second: "]),
        (["90", "--first", "300", "--second", "300", "--name", "${x}"], ["--name: "]),
    ],
)  # fmt: skip
def test_wrong_flags_are_given_by_name(args, words, tmp_path):
    done = run("bend", *args, "--save", str(tmp_path / "piece.yaml"))
    assert done.exit_code == 2
    assert done.stdout == ""
    for word in words:
        assert word in done.stderr
    assert os.listdir(tmp_path) == []


@pytest.mark.slow
@pytest.mark.render
def test_its_picture_is_the_jobs(tmp_path):
    job, picture = tmp_path / "piece.yaml", tmp_path / "piece.png"
    assert run("bend", "passover", *ASKED["passover"], "--save", str(job), "--picture", str(picture)).exit_code == 0
    assert run("make", str(job), "--out", str(tmp_path / "out"), "--only", "png").exit_code == 0
    assert picture.read_bytes() == Path(tmp_path / "out" / "job.png").read_bytes()
