"""Can it be bent: the plan of pulls, run by run, put as findings."""

from collections.abc import Iterator
from operator import itemgetter

from pipemodel.bending.corner_faults import Idle
from pipemodel.bending.schedule import Schedule, SolvedRun
from pipemodel.checks.clear_ways import clear_ways
from pipemodel.checks.findings import Finding
from pipemodel.geometry.vectors import distance, dot, sub
from pipemodel.messages.values import Count, Length, Message, Name, Tape, Word, counts, message
from pipemodel.pulls.hindrance import Hindrance
from pipemodel.pulls.plan import Plan, Pull, plan_pulls
from pipemodel.trade.formers import assumed
from pipemodel.trade.model import Former

CHECK = "bender"
OTHER_RADIUS = 0.15
"""The tube may lie this much of the radius beside where the bender's shapes expect it, before it is said."""
LEARNED = (
    "normal linear model with an unknown scatter, prior by the former's own figures or common practice; 95 % intervals"
)
CHANGED = "likelihood ratio of two segments, one piece one reading, by simulation; said at 1 in 200"
_CODES = {"straight": "B101", "angle": "B102", "bender": "B105", "itself": "B107"}


def bender(schedule: Schedule) -> tuple[Finding, ...]:
    """Check that every run of a solved job can be pulled, bend by bend, in the former it names."""
    findings: list[Finding] = []
    for number, solved in enumerate(schedule.runs):
        findings += run_findings(solved, plan_pulls(solved))
        findings += [
            Finding("B108", CHECK, "note", of_run(solved, message("bender.way out", way=way.said)), solved.name)
            for way in clear_ways(schedule, number)
        ]
    return tuple(findings)


def run_findings(solved: SolvedRun, plan: Plan) -> list[Finding]:
    """Return what one run's plan has to say."""
    findings = [_hindered(solved, hindrance) for hindrance in plan.hindrances]
    if plan.possible and not plan.in_number_order:
        findings.append(
            Finding("B103", CHECK, "note", of_run(solved, message("bender.order", order=pull_order(plan))), solved.name)
        )
    findings += [_mark_lost(solved, pull, pull.mark_lost) for pull in plan.pulls if pull.mark_lost is not None]
    findings += [_straightened(solved, corner) for corner in solved.straightened]
    used = solved.formers_used if solved.table.bends else ()
    return findings + [finding for former in used for finding in _former_findings(solved, former)]


def _former_findings(solved: SolvedRun, former: Former) -> Iterator[Finding]:
    """Yield what is to be said of one of the formers that a run is bent round."""
    bender = solved.run.bender
    if former.generic:
        said = message("bender.generic former", run=Name(solved.name), former=former.called)
        yield Finding("B104", CHECK, "note", said, solved.name)
    if former.completed_from:
        yield Finding("B112", CHECK, "note", of_run(solved, assumed(former)), solved.name)
    if former.learned is not None:
        yield Finding("B121", CHECK, "note", of_run(solved, former.learned), solved.name, basis=LEARNED)
    if former.drifted is not None:
        yield Finding("B122", CHECK, "warning", of_run(solved, former.drifted), solved.name, basis=CHANGED)
    if bender is not None and abs(bender.radius_mm - former.radius_mm) > OTHER_RADIUS * bender.radius_mm:
        measured = message(
            "bender.other radius",
            bender=Word(bender.name),
            measured=Length(bender.radius_mm, beside=former.radius_mm),
            formers=Count(len(solved.formers_used)),
            radius=Length(former.radius_mm, beside=bender.radius_mm),
        )
        yield Finding("B106", CHECK, "warning", of_run(solved, measured), solved.name)


def pull_order(plan: Plan) -> Message:
    """Return the order of pulls in a phrase: "bends 2, 1, 3 in that order; 3 held by the finish side"."""
    from_finish = [p.bend for p in plan.pulls if p.held == "finish"]
    if len(plan.pulls) == 1:
        only = Count(plan.pulls[0].bend)
        return (
            message("bender.one pull, by finish", bend=only) if from_finish else message("bender.one pull", bend=only)
        )
    bends = counts([p.bend for p in plan.pulls], ",")
    if not from_finish:
        return message("bender.pulls", bends=bends)
    if len(from_finish) == len(plan.pulls):
        return message("bender.pulls, all by finish", bends=bends)
    return message("bender.pulls, some by finish", bends=bends, some=counts(from_finish, ","))


def of_run(solved: SolvedRun, said: Message) -> Message:
    """Return what is said of a run, with its name before it."""
    return message("of run", run=Name(solved.name), said=said)


def _straightened(solved: SolvedRun, corner: Idle) -> Finding:
    point = solved.run.route.corners[corner.corner]
    line = solved.centreline
    at, _ = min(
        (
            (begin + along, distance(straight.point_at(along), point))
            for begin, straight in zip(line.offsets[::2], line.straights, strict=False)
            for along in [min(max(dot(sub(point, straight.start), straight.direction), 0.0), straight.length)]
        ),
        key=itemgetter(1),
    )
    return Finding(
        "B111",
        CHECK,
        "warning",
        of_run(solved, corner.said),
        solved.name,
        distance_mm=corner.aside_mm,
        required_mm=0.0,
        at_mm=at,
        point=line.point_at(at),
    )


def _mark_lost(solved: SolvedRun, pull: Pull, lost: Message) -> Finding:
    at = Tape(pull.drawn_mark_mm)
    said = message("bender.mark lost", pull=Count(pull.number), bend=Count(pull.bend), lost=lost, at=at)
    return Finding("B113", CHECK, "note", of_run(solved, said), solved.name)


def _hindered(solved: SolvedRun, hindrance: Hindrance) -> Finding:
    at = min(max(hindrance.at_mm, 0.0), solved.centreline.length)
    return Finding(
        _CODES[hindrance.kind],
        CHECK,
        "error",
        of_run(solved, hindrance.said),
        solved.name,
        distance_mm=hindrance.has if hindrance.kind != "angle" else None,
        required_mm=hindrance.needs if hindrance.kind != "angle" else None,
        at_mm=at,
        point=solved.centreline.point_at(at),
    )
