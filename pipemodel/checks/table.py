"""Every check, in the order it is reported. A new check is one file beside this one, and one line in the table."""

from collections.abc import Callable, Sequence
from functools import partial

from pipemodel.bending.plan import Plan
from pipemodel.bending.schedule import Schedule
from pipemodel.checks.bender import bender
from pipemodel.checks.damage import damage
from pipemodel.checks.findings import Finding, Report
from pipemodel.checks.supports import supports

CHECKS: dict[str, Callable[[Schedule], tuple[Finding, ...]]] = {
    "bender": bender,
    "supports": supports,
    "damage": damage,
}
"""Name of the check, and the function that answers it for a solved job."""


def run_checks(schedule: Schedule, plans: Sequence[Plan] | None = None) -> Report:
    """Ask every question of a solved job and return all answers.

    Args:
        schedule: the solved job.
        plans: its plans of pulls, one per run, where they have been made already.
    """
    checks = {**CHECKS, "bender": partial(bender, plans=plans)}
    findings: list[Finding] = []
    for check in checks.values():
        findings += check(schedule)
    return Report(tuple(findings))
