"""Can it be cut: runs longer than the stock there is, and where they are jointed.

| code | severity | what |
|---|---|---|
| L101 | note | a run is longer than any stock, and is jointed at the places named |
| L102 | error | a run is longer than any stock, and cannot be jointed anywhere; a warning where no stock is named |
"""

from pipemodel.bending.cutting import longest_stock, split_in_room
from pipemodel.bending.schedule import Schedule, SolvedRun
from pipemodel.bending.split import Split
from pipemodel.checks.findings import Finding

CHECK = "stock"
LOOKED_AT = 50
"""Joints are looked for in this many runs; a job with more long ones is told how many there are."""


def stock(schedule: Schedule) -> tuple[Finding, ...]:
    """Check that every run can be cut from the job's stock, in one piece or jointed."""
    longest = longest_stock(schedule.job)
    long = [solved for solved in schedule.runs if solved.cut_length_mm > longest]
    found = [_finding(schedule, solved, longest) for solved in long[:LOOKED_AT]]
    if len(long) > LOOKED_AT:
        rest = len(long) - LOOKED_AT
        found.append(
            Finding("L101", CHECK, "note", f"{rest} more runs are longer than the longest stock, {longest:.1f} mm")
        )
    return tuple(found)


def _finding(schedule: Schedule, solved: SolvedRun, longest: float) -> Finding:
    split = split_in_room(solved, schedule.job)
    too_long = f"run {solved.name!r} needs {solved.cut_length_mm:.1f} mm and the longest stock is {longest:.1f} mm"
    if schedule.job.stock.assumed:
        too_long += " (taken for granted; a job may say `stock: {length: 6000}`)"
    if isinstance(split, Split):
        joints = ", ".join(f"{joint.at_mm:.0f} mm" for joint in split.joints)
        first = split.joints[0]
        return Finding(
            "L101",
            CHECK,
            "note",
            f"{too_long}: joint it {joints} along the run from its start, {len(split.pieces)} pieces",
            solved.name,
            distance_mm=longest,
            required_mm=solved.cut_length_mm,
            at_mm=first.at_mm,
            point=first.point,
        )
    return Finding(
        "L102",
        CHECK,
        "warning" if schedule.job.stock.assumed else "error",
        f"{too_long}; {split.why}",
        solved.name,
        distance_mm=longest,
        required_mm=solved.cut_length_mm,
    )
