"""Running some tests of a tree in a process forked from this one, where the heavy libraries are loaded already."""

import contextlib
import importlib
import json
import os
import signal
import sys
import time
from collections import defaultdict
from pathlib import Path
from typing import NamedTuple

HEAVY = ("pytest", "hypothesis", "numpy", "pydantic", "yaml", "click", "jinja2", "trimesh", "scipy.spatial", "OCP.gp",
         "OCP.BRepMesh", "OCP.BRepPrimAPI", "reportlab.pdfgen.canvas", "ezdxf", "xlsxwriter", "openpyxl", "shapely",
         "pypdf", "manifold3d", "fcl")  # fmt: skip


class Ending(NamedTuple):
    """How a run of tests ended: "passed", "failed" or "time", and the test that noticed."""

    ended: str
    by: str = ""


def load_heavy() -> None:
    """Load what nearly every test needs, once, before the forks; never pipemodel itself."""
    for name in HEAVY:
        with contextlib.suppress(ImportError):
            importlib.import_module(name)


def run_tests(root: Path, tests: list[str], seconds: float, cover: Path | None = None) -> Ending:
    """Run tests in a fork; with `cover`, write there which test runs which lines."""
    seen_by = root / ".noticed-by"
    seen_by.unlink(missing_ok=True)
    pid = os.fork()
    if pid == 0:
        _be_the_tests(root, tests, cover, seen_by)
    due = time.monotonic() + seconds
    while time.monotonic() < due:
        done, status = os.waitpid(pid, os.WNOHANG)
        if done:
            if os.waitstatus_to_exitcode(status) == 0:
                return Ending("passed")
            return Ending("failed", seen_by.read_text() if seen_by.is_file() else "")
        time.sleep(0.05)
    with contextlib.suppress(ProcessLookupError):
        os.killpg(pid, signal.SIGKILL)
    os.waitpid(pid, 0)
    return Ending("time")


class _First:
    """Writes down the first test that fails."""

    def __init__(self, into: Path):
        self.into = into

    def pytest_runtest_logreport(self, report):
        if report.failed and not self.into.is_file():
            self.into.write_text(report.nodeid)


def _be_the_tests(root: Path, tests: list[str], cover: Path | None, seen_by: Path) -> None:
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

        asked = ["-x", "-q", "-p", "no:cacheprovider", *tests]
        code = _covered(root, asked[1:], cover) if cover else pytest.main(asked, plugins=[_First(seen_by)])
    os._exit(int(code))


def _covered(root: Path, asked: list[str], into: Path) -> int:
    import coverage
    import pytest

    os.environ["COVERAGE_CORE"] = "ctrace"
    measure = coverage.Coverage(data_file=None, source=[str(root / "pipemodel")])
    tests: dict[str, dict] = {}

    class Contexts:
        """Notes whose work each line is: a test's, a shared fixture's, or that of something made once for many."""

        def __init__(self):
            self.now, self.under, self.parts = "", [], defaultdict(set)

        def pytest_collection_finish(self):
            import made_once

            made_once.watcher = self

        def asked(self, name):
            if self.under:
                self.parts[self.under[-1]].add(name)
            elif self.now in tests and name not in tests[self.now]["fixtures"]:
                tests[self.now]["fixtures"].append(name)

        @contextlib.contextmanager
        def making(self, name):
            self.under.append(name)
            measure.switch_context(name)
            try:
                yield
            finally:
                self.under.pop()
                measure.switch_context(self.under[-1] if self.under else self.now)

        @pytest.hookimpl(wrapper=True)
        def pytest_runtest_protocol(self, item, nextitem):
            shared = {
                f"{definition.baseid}::{name}"
                for name, known in item._fixtureinfo.name2fixturedefs.items()
                for definition in known
                if definition.scope != "function"
            }
            tests[item.nodeid] = {"seconds": 0.0, "fixtures": sorted(shared)}
            self.now = item.nodeid
            measure.switch_context(item.nodeid)
            return (yield)

        @pytest.hookimpl(wrapper=True)
        def pytest_fixture_setup(self, fixturedef, request):
            if fixturedef.scope == "function":
                return (yield)
            with self.making(f"{fixturedef.baseid}::{fixturedef.argname}"):
                return (yield)

        def pytest_runtest_logreport(self, report):
            if report.failed:
                tests.pop(report.nodeid, None)
            elif report.nodeid in tests:
                tests[report.nodeid]["seconds"] += round(report.duration, 3)

    measure.start()
    watcher = Contexts()
    code = pytest.main(asked, plugins=[watcher])
    measure.stop()
    for test in tests.values():
        for name in test["fixtures"]:
            # What a thing was made from stands behind it, and is walked through in its turn.
            test["fixtures"] += sorted(watcher.parts[name] - set(test["fixtures"]))
    data = measure.get_data()
    lines: dict[str, dict[str, str]] = {}
    for file in data.measured_files():
        bits: dict[str, int] = {}
        for line, contexts in data.contexts_by_lineno(file).items():
            for context in contexts:
                if context:
                    bits[context] = bits.get(context, 0) | 1 << line
        for context, value in bits.items():
            lines.setdefault(context, {})[str(Path(file).relative_to(root))] = f"{value:x}"
    into.write_text(json.dumps({"tests": tests, "lines": lines}))
    return code
