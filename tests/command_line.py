"""Running the command line in the tests: in this process for speed, or in one of its own where that matters."""

import contextlib
import io
import os
import subprocess
import sys
from pathlib import Path
from typing import NamedTuple

ROOT = Path(__file__).parents[1]
EXAMPLES = ROOT / "examples"
CUPBOARD = EXAMPLES / "airing-cupboard-to-panel.yaml"

LEAST = """\
job: return to the towel rail
tube: {outside: 15, wall: 0.7}
former: {radius: 55}
clearance: 5
room:
  waste pipe: {cylinder: {from: [300, -200, 80], to: [300, 800, 80], diameter: 50}}
  boxing:     {box: {from: [700, 100, 0], to: [900, 160, 400]}}
runs:
  return:
    points: [[0, 0, 0], [600, 0, 0], [600, 400, 0], [600, 400, 350]]
"""
CLASHING = LEAST.replace("from: [700, 100, 0]", "from: [500, 100, 0]")
TOO_TIGHT = LEAST.replace("[600, 400, 0], [600, 400, 350]", "[600, 100, 0], [600, 100, 350]")
"""The two bends take 55 each, and only 100 lie between their corners."""
NO_HOLD = LEAST.replace("radius: 55", "radius: 55, hold: 900")


class Said(NamedTuple):
    """How a command ended and what it said."""

    code: int
    out: str
    err: str


def run(*args, encoding="utf-8"):
    """Run a command in this process, writing to what is read in an encoding."""
    from pipemodel.cli import main

    out, err = (io.TextIOWrapper(io.BytesIO(), encoding=encoding, newline="") for _ in range(2))
    argv, sys.argv = sys.argv, ["pipemodel", *map(str, args)]
    code = 0
    try:
        with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
            try:
                main()
            except SystemExit as end:
                code = end.code or 0
    finally:
        sys.argv = argv
    out.flush(), err.flush()
    return Said(code, *(stream.buffer.getvalue().decode(encoding) for stream in (out, err)))


def run_apart(*args, cwd=None, **env):
    """Run a command in a process of its own; stdout and stderr come back as bytes."""
    return subprocess.run(
        [sys.executable, "-m", "pipemodel", *map(str, args)],
        cwd=cwd,
        capture_output=True,
        env={**os.environ, "PYTHONPATH": str(ROOT), **env},
        timeout=120,
    )
