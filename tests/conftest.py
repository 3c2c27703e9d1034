"""What all tests share: one browser, and where a skipped browser or renderer test is a failure."""

import os
import sys
import tempfile

import pytest
from browser import QUICK, chromium
from hypothesis import HealthCheck, settings
from kept_children import keep_those_that_draw

# A busy machine is no fault of what is tested.
BUSY = [HealthCheck.too_slow]
settings.register_profile("everyday", derandomize=True, deadline=None, suppress_health_check=BUSY)
settings.register_profile("explore", derandomize=False, deadline=None, suppress_health_check=BUSY)
settings.load_profile("everyday")
keep_those_that_draw()
"""The same examples each time, so that a failure is that of a change; `--hypothesis-profile=explore` looks on."""

NO_SKIPS = "PIPEMODEL_NO_SKIPS"
"""Set where everything is installed: there, a test that needs a browser, a renderer or the kernel must run."""


def pytest_addoption(parser):
    """Ask for all cases of every test (`wide.py`)."""
    parser.addoption("--wide", action="store_true", help="try all the cases that a test knows, not those of every day")


def pytest_configure(config):
    """Let Python keep its bytecode, which each process of a run would make again otherwise.

    And give all of them one folder for what is made once (`made_once.py`). No test finds what another one read.
    """
    sys.dont_write_bytecode = False
    os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
    os.environ["PIPEMODEL_CACHE"] = "off"
    if config.getoption("wide"):
        os.environ["PIPEMODEL_WIDE"] = "1"
    if not hasattr(config, "workerinput"):
        home = tempfile.TemporaryDirectory(prefix="pipemodel-tests-", ignore_cleanup_errors=True)
        config.add_cleanup(home.cleanup)
        os.environ["PIPEMODEL_TEST_HOME"] = home.name


@pytest.fixture(scope="session")
def browser():
    """A headless browser, started once for all tests of a process."""
    with chromium(QUICK) as running:
        yield running


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport(item, call):
    report = yield
    marks = [name for name in ("browser", "render", "kernel") if item.get_closest_marker(name)]
    if report.skipped and marks and os.environ.get(NO_SKIPS):
        report.outcome = "failed"
        report.longrepr = f"{item.nodeid} needs a {marks[0]} and may not be skipped here: {report.longrepr}"
    return report
