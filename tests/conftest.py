"""What all tests share: where a skipped browser or renderer test is a failure."""

import os

import pytest
from hypothesis import HealthCheck, settings

# A busy machine is no fault of what is tested.
BUSY = [HealthCheck.too_slow]
settings.register_profile("everyday", derandomize=True, suppress_health_check=BUSY)
settings.register_profile("explore", derandomize=False, suppress_health_check=BUSY)
settings.load_profile("everyday")
"""The same examples each time, so that a failure is that of a change; `--hypothesis-profile=explore` looks on."""

NO_SKIPS = "PIPEMODEL_NO_SKIPS"
"""Set where everything is installed: there, a test that needs a browser, a renderer or the kernel must run."""


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport(item, call):
    report = yield
    marks = [name for name in ("browser", "render", "kernel") if item.get_closest_marker(name)]
    if report.skipped and marks and os.environ.get(NO_SKIPS):
        report.outcome = "failed"
        report.longrepr = f"{item.nodeid} needs a {marks[0]} and may not be skipped here: {report.longrepr}"
    return report
