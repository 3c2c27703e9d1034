"""How much memory a check takes, in a process of its own; and what is said when there is not enough."""

import json
import os
import subprocess
import sys

import pytest
import trimesh
from command_line import LEAST, ROOT, run

# What getrusage tells of a process begins with what its parent had; this begins with the process.
SCRIPT = r"""
import contextlib, io, json, re, sys
from pathlib import Path
sys.argv = ["pipemodel", *ARGS]
from pipemodel.cli import main
out = io.TextIOWrapper(io.BytesIO())
with contextlib.redirect_stdout(out):
    try:
        main()
    except SystemExit as end:
        code = end.code
print(json.dumps([code, int(re.search(r"VmHWM:\s*(\d+)", Path("/proc/self/status").read_text())[1]) / 1024.0]))
"""


def peak_mb(*args):
    """The exit code of a command, and the most memory it had at any time."""
    script = SCRIPT.replace("ARGS", repr([str(a) for a in args]))
    env = {**os.environ, "PYTHONPATH": str(ROOT), "OPENBLAS_NUM_THREADS": "1"}
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, check=True, timeout=300, env=env)
    return tuple(json.loads(done.stdout.splitlines()[-1]))


def ball(tmp_path, subdivisions, at, runs):
    trimesh.creation.icosphere(subdivisions=subdivisions, radius=300.0).export(tmp_path / "ball.stl")
    job = tmp_path / "job.yaml"
    job.write_text(
        f"job: a ball\ntube: 15\nroom: {{ball: {{mesh: {{file: ball.stl, at: {at}}}}}}}\nruns: {{a: {runs}}}\n"
    )
    return job


pytestmark = pytest.mark.skipif(not sys.platform.startswith("linux"), reason="peak memory is read from /proc")


@pytest.mark.slow
@pytest.mark.parametrize(
    ("subdivisions", "at", "length"),
    [(6, [6000, 400, 0], 12e3), (4, [3000, 0, 0], 41e7)],
    ids=["81,920 triangles beside 12 m", "410 km through a ball"],
)
def test_a_mesh_beside_a_long_run_takes_little(tmp_path, subdivisions, at, length):
    job = ball(tmp_path, subdivisions, at, f"{{points: [[0, 0, 0], [{length}, 0, 0]]}}")
    code, peak = peak_mb("check", job)
    assert code in (0, 1)
    assert peak < 300.0


@pytest.mark.slow
def test_the_memory_of_a_check_follows_the_number_of_runs(tmp_path):
    """With 2,000 runs a number for each two of them would be 32 MB, several times over."""
    lines = ["job: many", "tube: 15", "runs:"]
    for i in range(2000):
        x, y = i % 50 * 400, i // 50 * 400
        lines.append(f"  r{i}: {{points: [[{x}, {y}, 0], [{x + 300}, {y}, 0]]}}")
    job = tmp_path / "job.yaml"
    job.write_text("\n".join(lines) + "\n")
    code, peak = peak_mb("check", job)
    assert code == 0
    assert peak < 160.0


def test_too_little_memory_is_said_without_a_traceback(tmp_path, monkeypatch):
    def burst(*args, **kwargs):
        raise MemoryError

    monkeypatch.setattr("pipemodel.story.results", burst)
    job = tmp_path / "job.yaml"
    job.write_text(LEAST)
    said = run("check", job)
    assert (said.code, said.out) == (2, "")
    assert said.err.startswith("pipemodel: the job needs more memory")
    assert "Traceback" not in said.err
