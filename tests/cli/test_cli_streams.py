"""The streams: closed pipes, full disks, interrupts, and usage that makes no sense."""

import os
import signal
import subprocess
import sys
from pathlib import Path

import pytest
from command_line import CUPBOARD, ROOT, run, run_apart

from pipemodel.cli import COMMANDS


@pytest.mark.slow
def test_a_reader_who_has_seen_enough_is_no_error():
    read, write = os.pipe()
    os.close(read)
    done = subprocess.run(
        [sys.executable, "-m", "pipemodel", "schedule", str(CUPBOARD)],
        stdout=write, stderr=subprocess.PIPE, cwd=ROOT, timeout=60,
    )  # fmt: skip
    os.close(write)
    assert (done.returncode, done.stderr) == (0, b"")


@pytest.mark.slow
@pytest.mark.skipif(not os.path.exists("/dev/full"), reason="there is no /dev/full here")
def test_an_answer_that_cannot_be_written_is_an_error():
    with open("/dev/full", "w") as full:
        done = subprocess.run(
            [sys.executable, "-m", "pipemodel", "schedule", str(CUPBOARD)],
            stdout=full, stderr=subprocess.PIPE, cwd=ROOT, timeout=60,
        )  # fmt: skip
    assert done.returncode == 2
    assert b"No space left" in done.stderr
    assert b"Traceback" not in done.stderr


@pytest.mark.slow
def test_no_stdout_at_all():
    done = subprocess.run(
        ["sh", "-c", '"$0" -m pipemodel schedule "$1" >&-', sys.executable, str(CUPBOARD)],
        stderr=subprocess.PIPE, cwd=ROOT, timeout=60,
    )  # fmt: skip
    assert b"Traceback" not in done.stderr
    assert done.returncode == 0


@pytest.mark.parametrize(
    "args",
    [
        ("schedul", "x"),
        ("schedule",),
        ("schedule", CUPBOARD, "--format", "xml"),
        ("schedule", CUPBOARD, "--no-such-option"),
        ("make", CUPBOARD, "--chord", "fine"),
        ("jig", CUPBOARD, "more"),
    ],
)
def test_usage_that_makes_no_sense(args):
    said = run(*args)
    assert (said.code, said.out) == (2, "")
    assert "Error" in said.err


@pytest.mark.parametrize("name", ["missing.yaml", "."])
def test_a_file_that_cannot_be_read(tmp_path, name):
    for command in ("schedule", "check", "make"):
        said = run(command, tmp_path / name)
        assert (said.code, said.out) == (2, "")
        assert str(tmp_path / name) in said.err


def test_help_names_every_command():
    said = run("--help")
    assert said.code == 0
    assert all(name in said.out for name in COMMANDS)
    assert "FORMAT" in run("make", "--help").out


def test_the_version():
    assert "pipemodel" in run_apart("--version").stdout.decode() + run_apart("--version").stderr.decode()


@pytest.mark.slow
def test_an_interrupt_waits_until_a_library_is_loaded(tmp_path):
    # As compiled libraries do, this one takes an interrupt while it is loaded for a fault of its own.
    (tmp_path / "heavy.py").write_text(
        "import time\n"
        "print('loading', flush=True)\n"
        "until = time.monotonic() + 1\n"
        "try:\n"
        "    while time.monotonic() < until: time.sleep(0.01)\n"
        "except BaseException as error:\n"
        "    raise ImportError('initialization failed') from error\n"
        "print('loaded', flush=True)\n"
    )
    script = (
        "import signal, time\n"
        "from pipemodel.cli.interrupt import on_signal, stop\n"
        "on_signal(signal.SIGINT, stop)\n"
        "import heavy\n"
        "time.sleep(60)\n"
    )
    process = subprocess.Popen(
        [sys.executable, "-c", script], stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True,
        cwd=ROOT, env={**os.environ, "PYTHONPATH": str(tmp_path)},
    )  # fmt: skip
    assert process.stdout.readline() == "loading\n"
    process.send_signal(signal.SIGINT)
    out, err = process.communicate(timeout=30)
    assert out == "loaded\n"
    assert err.splitlines()[-1] == "KeyboardInterrupt"


def test_a_file_that_may_not_be_read_is_given_like_any_fault(tmp_path, monkeypatch):
    job = tmp_path / "job.yaml"
    job.write_text("job: x\n")

    def refuse(self, *args, **kwargs):
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "open", refuse)
    monkeypatch.setattr(os, "access", lambda *args, **kwargs: False)
    assert run("check", job) == (2, "", f"{job}:1:1: this file may not be read; change its permissions\n")


def test_a_misspelt_command_names_the_nearest():
    said = run("chek", CUPBOARD)
    assert (said.code, said.out) == (2, "")
    assert "No such command 'chek'. Did you mean 'check'?" in said.err
