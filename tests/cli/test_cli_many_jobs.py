"""Several job files at once: each answer is that of its job alone, and the worst exit code counts."""

import csv
import io
import json
import os
import pty
import subprocess
import sys

import pytest
from command_line import CLASHING, LEAST, NO_HOLD, TOO_TIGHT, run, run_apart

from pipemodel.cli.many_jobs import JobAsked, answers

JOBS = {"good": (LEAST, 0), "clash": (CLASHING, 1), "tight": (TOO_TIGHT, 2), "hold": (NO_HOLD, 1)}


@pytest.fixture
def files(tmp_path, monkeypatch):
    for name, (text, _) in JOBS.items():
        (tmp_path / f"{name}.yaml").write_text(text)
    monkeypatch.chdir(tmp_path)
    return [f"{name}.yaml" for name in JOBS]


@pytest.mark.slow
@pytest.mark.parametrize(("command", "workers"), [("check", 3), ("schedule", 1), ("cut", 1)])
def test_json_of_each_is_that_of_its_job_alone(files, command, workers):
    said = run(command, *files, "no such.yaml", "--format", "json", "--workers", workers)
    jobs = json.loads(said.out)["jobs"]
    assert [job.pop("file") for job in jobs] == [*files, "no such.yaml"]
    codes = []
    for file, job in zip(files, jobs, strict=False):
        alone = run(command, file, "--format", "json")
        codes.append(alone.code)
        assert job.pop("exit") == alone.code
        if alone.code == 2:
            assert job == {"faults": alone.err.splitlines()}
            assert alone.err in said.err
        else:
            assert job == json.loads(alone.out)
    assert jobs[-1]["exit"] == said.code == 2
    assert "no such.yaml" in jobs[-1]["faults"][0]
    if command == "check":
        assert codes == [code for _, code in JOBS.values()]


def test_the_worst_exit_code_counts(files):
    assert run("check", "good.yaml", "good.yaml").code == 0
    assert run("check", "good.yaml", "clash.yaml", "good.yaml").code == 1
    assert run("check", "tight.yaml", "clash.yaml").code == 2


@pytest.mark.slow
def test_on_a_terminal_json_is_counted_till_it_is_there(files):
    """stderr is a terminal (pty), stdout a pipe: the answer is the same, and the terminal shows 1/2, then 2/2."""
    ours, theirs = pty.openpty()
    try:
        asked = [sys.executable, "-m", "pipemodel", "check", "good.yaml", "hold.yaml", "--format", "json"]
        done = subprocess.run(asked, stdout=subprocess.PIPE, stderr=theirs, text=True, check=False)
        shown = os.read(ours, 10_000).decode()
    finally:
        os.close(ours)
        os.close(theirs)
    assert shown == "1/2\r2/2\r\n"
    assert done.stdout == run("check", "good.yaml", "hold.yaml", "--format", "json").out


def test_one_file_is_answered_as_ever(files):
    assert "jobs" not in json.loads(run("check", "good.yaml", "--format", "json", "--workers", "3").out)


def test_text_is_that_of_each_job_under_its_file(files):
    said = run("schedule", *files)
    places = [said.out.index(f"{file}\n{'#' * len(file)}\n\n{run('schedule', file).out}") for file in files[:2]]
    assert places == sorted(places)
    assert "tight.yaml\n#" not in said.out


def test_csv_has_the_file_in_its_first_column(files):
    def rows(text):
        return list(csv.reader(io.StringIO(text.removeprefix("\ufeff"), newline="")))

    said = run("schedule", *files, "--format", "csv")
    header, *together = rows(said.out)
    expected = []
    for file in files:
        own = rows(run("schedule", file, "--format", "csv").out)
        expected += [[file, *row] for row in own[1:]]
        assert not own or header == ["file", *own[0]]
    assert together == expected
    assert said.out.count("\ufeff") == 1


@pytest.mark.slow
@pytest.mark.parametrize("workers", [1, 2])
def test_make_gives_each_job_a_folder_of_its_name(files, workers):
    said = run("make", *files, "--out", "papers", "--only", "json", "--workers", workers)
    assert said.code == 2
    assert sorted(os.listdir("papers")) == ["clash", "good", "hold"]
    run("make", "clash.yaml", "--out", "alone", "--only", "json")
    for name in os.listdir("alone"):
        with open(f"alone/{name}", "rb") as one, open(f"papers/clash/{name}", "rb") as other:
            assert one.read() == other.read()
    assert os.path.join("papers", "good", "schedule.json") in said.out.splitlines()
    assert "C101" in said.err
    assert "tight.yaml" in said.err


def test_make_without_a_folder_writes_beside_each_other_here(files):
    assert run("make", "good.yaml", "clash.yaml", "--only", "json").code == 1
    assert os.path.exists("good/check.json")
    assert os.path.exists("clash/check.json")


def test_a_folder_in_the_way_hinders_its_job_alone(files):
    os.makedirs("papers/good")
    with open("papers/good/mine.txt", "w") as file:
        file.write("mine")
    said = run("make", "good.yaml", "hold.yaml", "--out", "papers", "--only", "json")
    assert said.code == 2
    assert os.listdir("papers/good") == ["mine.txt"]
    assert os.path.exists("papers/hold/check.json")


def test_what_cannot_be_asked_of_several_jobs(files):
    os.makedirs("other")
    for names in (["good.yaml", "other/GOOD.yaml"], ["good.yaml", "good.yaml"]):
        said = run("make", *names, "--out", "papers")
        assert said.code == 2
        assert "would be written to one folder" in said.err
    run("make", "good.yaml", "--out", "earlier", "--only", "json")
    said = run("make", "good.yaml", "hold.yaml", "--against", "earlier/schedule.json")
    assert said.code == 2
    assert "--against is the earlier pack of one job" in said.err
    assert run("check").code == 2
    for wrong in ("0", "-1", "many", "65"):
        assert run("check", *files, "--workers", wrong).code == 2
    assert not os.path.exists("papers")


@pytest.mark.slow
def test_a_job_whose_process_fails_hinders_no_other(files):
    """What is asked second is nothing the command line lets through, so that the child's own code fails."""
    options = {"form": "json", "units": None, "language": None, "plain": True}
    wrong = JobAsked("good.yaml", 7, False, options)
    good = JobAsked("good.yaml", {}, False, options)
    one, two, three = answers("check", [good, wrong, good], 2)
    assert two.exit == 2
    assert "the process that worked on it" in two.messages[0]
    assert one.exit == three.exit == 0
    assert one.record == three.record


@pytest.mark.slow
def test_as_a_program_of_its_own(files):
    said = run_apart("check", *files, "--workers", "2", "--format", "json", cwd=os.getcwd())
    assert said.returncode == 2
    assert [job["exit"] for job in json.loads(said.stdout)["jobs"]] == [code for _, code in JOBS.values()]
