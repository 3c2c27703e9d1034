"""Can it be bent: the plan of pulls, run by run, put as findings.

| code | severity | what |
|---|---|---|
| B101 | error | no order of pulls works: a leg is too short to hold or to guide |
| B102 | error | a pull goes beyond the former's greatest angle |
| B103 | note | the bends have to be pulled out of number order, or held by the finish side |
| B104 | note | the former is generic: nobody has measured this one |
| B105 | error | no order of pulls clears the bender or the room it is used in |
| B106 | warning | the bender's shapes were measured with a former of another radius |
| B107 | error | no order of pulls keeps the tube clear of itself |
"""

from pipemodel.bending.plan import Plan, plan_pulls
from pipemodel.bending.plan_hindrance import Hindrance
from pipemodel.bending.schedule import Schedule, SolvedRun
from pipemodel.checks.findings import Finding

CHECK = "bender"
OTHER_RADIUS = 0.15
"""The tube may lie this much of the radius beside where the bender's shapes expect it, before it is said."""
_CODES = {"straight": "B101", "angle": "B102", "bender": "B105", "itself": "B107"}


def bender(schedule: Schedule) -> tuple[Finding, ...]:
    """Check that every run of a solved job can be pulled, bend by bend, in the former it names."""
    return tuple(finding for solved in schedule.runs for finding in run_findings(solved, plan_pulls(solved)))


def run_findings(solved: SolvedRun, plan: Plan) -> list[Finding]:
    """Return what one run's plan has to say."""
    findings = [_hindered(solved, hindrance) for hindrance in plan.hindrances]
    if plan.possible and not plan.in_number_order:
        findings.append(
            Finding("B103", CHECK, "note", f"run {solved.name!r}: pull {order_in_words(plan)}", solved.name)
        )
    if solved.former.generic and solved.table.bends:
        findings.append(
            Finding(
                "B104",
                CHECK,
                "note",
                f"run {solved.name!r} is worked out for the {solved.former.name}, by common practice: "
                "measure your own former before cutting",
                solved.name,
            )
        )
    bender = solved.run.bender
    if bender is not None and abs(bender.radius_mm - solved.former.radius_mm) > OTHER_RADIUS * bender.radius_mm:
        findings.append(
            Finding(
                "B106",
                CHECK,
                "warning",
                f"run {solved.name!r}: the {bender.name} was measured with a former of radius "
                f"{bender.radius_mm:g} mm, the run is bent to {solved.former.radius_mm:g} mm",
                solved.name,
            )
        )
    return findings


def order_in_words(plan: Plan) -> str:
    """Return the order of pulls in a phrase: "bends 2, 1, 3 in that order; 3 held by the finish side"."""
    order = ", ".join(str(p.bend) for p in plan.pulls)
    many = len(plan.pulls) > 1
    words = f"bends {order} in that order" if many else f"bend {order}"
    from_finish = [str(p.bend) for p in plan.pulls if p.held == "finish"]
    if not from_finish:
        return words
    which = "" if not many else "all " if len(from_finish) == len(plan.pulls) else ", ".join(from_finish) + " "
    return f"{words}; {which}held by the finish side" if many else f"{words} held by the finish side"


def _hindered(solved: SolvedRun, hindrance: Hindrance) -> Finding:
    at = min(max(hindrance.at_mm, 0.0), solved.centreline.length)
    return Finding(
        _CODES[hindrance.kind],
        CHECK,
        "error",
        f"run {solved.name!r}: {hindrance.message}",
        solved.name,
        distance_mm=hindrance.has if hindrance.kind != "angle" else None,
        required_mm=hindrance.needs if hindrance.kind != "angle" else None,
        at_mm=at,
        point=solved.centreline.point_at(at),
    )
