"""Every check, in the order it is reported. A new check is one file beside this one, and one line in the table."""

from collections.abc import Callable

from pipemodel.bending.schedule import Schedule
from pipemodel.checks.bender import bender
from pipemodel.checks.building_rules import building_rules
from pipemodel.checks.clash import clash
from pipemodel.checks.damage import damage
from pipemodel.checks.falls import falls
from pipemodel.checks.findings import Finding, Report
from pipemodel.checks.fit import fit
from pipemodel.checks.fit_values import fits_of
from pipemodel.checks.measured import measured
from pipemodel.checks.movement import movement
from pipemodel.checks.reach import reach
from pipemodel.checks.sleeves import sleeves
from pipemodel.checks.stock import stock
from pipemodel.checks.supports import supports
from pipemodel.checks.ways_in import ways_in, ways_of

CHECKS: dict[str, Callable[[Schedule], tuple[Finding, ...]]] = {
    "bender": bender,
    "sleeves": sleeves,
    "falls": falls,
    "supports": supports,
    "damage": damage,
    "movement": movement,
    "rules": building_rules,
    "stock": stock,
    "measured": measured,
    "fit": fit,
    "ways in": ways_in,
    "reach": reach,
}
"""Name of the check, and the function that answers it for a solved job; the clash, which measures too, comes first."""


def run_checks(schedule: Schedule) -> Report:
    """Ask every question of a solved job, the mesh files of its room read, and return all answers."""
    findings, distances = clash(schedule)
    others = [finding for check in CHECKS.values() for finding in check(schedule)]
    return Report((*findings, *others), distances, fits_of(schedule), ways_of(schedule))
