"""Several jobs by one command: each as by itself, in the order given, and the exit code the worst."""

import json
import os
import signal
import subprocess
import sys
import time

import pytest
from command_line import CLASHING, LEAST, ROOT, run

JOBS = {"well.yaml": LEAST, "clash.yaml": CLASHING, "broken.yaml": "job: [\n", "again.yaml": LEAST}


@pytest.fixture
def jobs(tmp_path):
    for name, text in JOBS.items():
        (tmp_path / name).write_text(text, encoding="utf-8")
    return [tmp_path / name for name in JOBS]


@pytest.mark.slow
@pytest.mark.parametrize("command", ["check", "schedule", "cut"])
def test_json_of_several_jobs_is_that_of_each(command, jobs):
    alone = [run(command, job, "--format", "json") for job in jobs]
    for workers in (1, 3):
        said = run(command, *jobs, "--format", "json", "--workers", workers)
        assert said.code == max(one.code for one in alone) == 2
        records = json.loads(said.out)["jobs"]
        assert [one["file"] for one in records] == [str(job) for job in jobs]
        assert [one["exit"] for one in records] == [one.code for one in alone]
        for record, one in zip(records, alone, strict=True):
            body = {key: value for key, value in record.items() if key not in ("file", "exit")}
            assert body == (json.loads(one.out) if one.out else {"faults": one.err.splitlines()})
        # Progress, and every fault, on the other stream.
        assert [line.split(":")[0] for line in said.err.splitlines() if line.startswith("job ")] == [
            f"job {n} of 4" for n in range(1, 5)
        ]
        assert alone[2].err in said.err


@pytest.mark.slow
def test_text_of_several_jobs_names_each_and_the_worst_code_is_given(jobs):
    said = run("check", jobs[0], jobs[1])
    assert said.code == 1
    for job in jobs[:2]:
        assert f"{job}\n\n{run('check', job).out}" in said.out
    assert said.out.index(str(jobs[0])) < said.out.index(str(jobs[1]))


@pytest.mark.slow
def test_make_gives_each_job_its_folder(jobs, tmp_path):
    out = tmp_path / "out"
    said = run("make", jobs[0], jobs[1], "--out", out, "--only", "json,txt", "--workers", 2)
    assert said.code == 1
    for job in jobs[:2]:
        run("make", job, "--out", tmp_path / f"alone-{job.stem}", "--only", "json,txt")
        for file in ("schedule.json", "check.json", "schedule.txt", "check.txt"):
            assert (out / job.stem / file).read_bytes() == (tmp_path / f"alone-{job.stem}" / file).read_bytes()


def test_jobs_that_would_share_a_folder_are_refused_before_anything_is_written(jobs, tmp_path):
    other = tmp_path / "other"
    other.mkdir()
    (other / "well.yaml").write_text(LEAST, encoding="utf-8")
    said = run("make", jobs[0], other / "well.yaml", "--out", tmp_path / "out")
    assert said.code == 2
    assert "one folder, 'well'" in said.err
    assert not (tmp_path / "out").exists()


def test_what_cannot_stand_one_after_the_other_is_refused(jobs):
    said = run("schedule", jobs[0], jobs[3], "--format", "csv")
    assert (said.code, said.out) == (2, "")
    assert "takes one job" in said.err


def test_no_job_and_no_workers_are_refused(jobs):
    assert run("check").code == 2
    assert run("check", jobs[0], jobs[3], "--workers", 0).code == 2


@pytest.mark.slow
def test_an_interrupt_ends_all_of_it(tmp_path):
    # A job that takes long: many runs in a room of many things.
    runs = "".join(
        f"  r{i}: {{points: [[0, {i * 40}, 0], [900, {i * 40}, 0], [900, {i * 40}, 900], [1800, {i * 40}, 900]]}}\n"
        for i in range(120)
    )
    text = LEAST.split("runs:")[0] + "hands: {mark: 1, angle: 1, turn: 1}\nruns:\n" + runs
    jobs = [tmp_path / f"long {n}.yaml" for n in range(8)]
    for job in jobs:
        job.write_text(text, encoding="utf-8")
    whole = subprocess.Popen(
        [sys.executable, "-m", "pipemodel", "check", *map(str, jobs), "--workers", "2"],
        cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.PIPE, start_new_session=True,
    )  # fmt: skip
    time.sleep(3.0)
    os.killpg(whole.pid, signal.SIGINT)
    _, err = whole.communicate(timeout=60)
    assert whole.returncode == 130
    assert b"interrupted" in err
    assert b"Traceback" not in err
