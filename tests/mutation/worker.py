"""Running some test files of a tree in a process forked from this one, where the heavy libraries are loaded already."""

import contextlib
import importlib
import os
import signal
import sys
import time
from pathlib import Path

HEAVY = ("pytest", "hypothesis", "numpy", "pydantic", "yaml", "click", "jinja2", "trimesh", "scipy.spatial", "OCP.gp",
         "OCP.BRepMesh", "OCP.BRepPrimAPI", "reportlab.pdfgen.canvas", "ezdxf", "xlsxwriter", "openpyxl", "shapely",
         "pypdf", "manifold3d", "fcl")  # fmt: skip


def load_heavy() -> None:
    """Load what nearly every test needs, once, before the forks; never pipemodel itself."""
    for name in HEAVY:
        with contextlib.suppress(ImportError):
            importlib.import_module(name)


def run_tests(root: Path, tests: list[str], seconds: float, cover: Path | None = None) -> str:
    """Run test files in a fork and return how it ended: "passed", "failed" or "time"."""
    pid = os.fork()
    if pid == 0:
        _be_the_tests(root, tests, cover)
    due = time.monotonic() + seconds
    while time.monotonic() < due:
        done, status = os.waitpid(pid, os.WNOHANG)
        if done:
            return "passed" if os.waitstatus_to_exitcode(status) == 0 else "failed"
        time.sleep(0.05)
    with contextlib.suppress(ProcessLookupError):
        os.killpg(pid, signal.SIGKILL)
    os.waitpid(pid, 0)
    return "time"


def _be_the_tests(root: Path, tests: list[str], cover: Path | None) -> None:
    os.setsid()
    os.chdir(root)
    quiet = os.open(root / ".pytest.log", os.O_WRONLY | os.O_CREAT | os.O_TRUNC)
    for stream in (1, 2):
        os.dup2(quiet, stream)
    sys.path[:0] = [str(root)]
    os.environ["PYTHONPATH"] = str(root)
    # Two states of a file within a second look alike to the cache of compiled files.
    os.environ["PYTHONDONTWRITEBYTECODE"], sys.dont_write_bytecode = "1", True
    code = 1
    with contextlib.suppress(BaseException):
        import pytest

        measure = None
        if cover is not None:
            import coverage

            measure = coverage.Coverage(data_file=None, source=[str(root / "pipemodel")])
            measure.start()
        code = pytest.main(["-x", "-q", "-p", "no:cacheprovider", *tests])
        if measure is not None:
            measure.stop()
            data = measure.get_data()
            import json

            lines = {str(Path(f).relative_to(root)): sorted(data.lines(f)) for f in data.measured_files()}
            cover.write_text(json.dumps(lines))
    os._exit(int(code))
