"""Is tube held as often, and insulated as thick and unbroken, as the rules of building ask: findings R111 to R115.

What a rule asks of insulation holds at the conductivity that it names.
"""

from collections.abc import Iterator
from itertools import pairwise, product
from math import cos, inf, radians

from pipemodel.bending.schedule import Schedule, SolvedRun
from pipemodel.checks.buried import finding_at, rule_words
from pipemodel.checks.clip_places import reach_from
from pipemodel.checks.findings import Finding
from pipemodel.checks.pair_distances import to_runs
from pipemodel.checks.penetrations import penetrations
from pipemodel.checks.place_words import where_on
from pipemodel.checks.sleeves import passages
from pipemodel.checks.supports import ClipPlan, clip_plans, legs_of
from pipemodel.geometry.centreline import Centreline
from pipemodel.geometry.distance import tube_distance
from pipemodel.geometry.segments import segment_distance
from pipemodel.geometry.vectors import dot, sub
from pipemodel.messages.values import NOTHING, Count, Length, Message, Name, Number, Value, Word, message
from pipemodel.trade.rules import InsulationRule, RuleSet, SupportRow, SupportRule

HAIR_MM = 1e-3
ALONG = cos(radians(30.0))
"""Straights at more than 30 degrees to each other cross. Common practice, no source."""


def lagged_and_held(schedule: Schedule, rules: RuleSet) -> Iterator[Finding]:
    """Yield what is to be said of supports and insulation by one set of rules."""
    for solved, plan in zip(schedule.runs, clip_plans(schedule), strict=True):
        if not rules.counts_for(solved.name):
            continue
        if rules.supports is not None and (row := rules.supports.row_of(solved.tube)) is not None:
            yield from _held(solved, plan, rules, rules.supports, row)
        if rules.insulation is not None and _asks(schedule, solved, rules.insulation):
            yield from _too_thin(schedule, solved, rules, rules.insulation)
            if solved.run.insulation_mm:
                yield from _broken(solved, plan, rules, rules.insulation)
    if rules.insulation is not None:
        yield from _broken_in_holes(schedule, rules, rules.insulation)
        yield from _lagging_between(schedule, rules, rules.insulation)


def is_held_against(schedule: Schedule, solved: SolvedRun, rules: RuleSet) -> bool:
    """Return whether a set of rules asks anything of a run's supports or of its insulation."""
    supports, insulation = rules.supports, rules.insulation
    asked = supports is not None and supports.row_of(solved.tube) is not None
    asked |= insulation is not None and _asks(schedule, solved, insulation)
    return asked and rules.counts_for(solved.name)


def _held(
    solved: SolvedRun, plan: ClipPlan | None, rules: RuleSet, rule: SupportRule, row: SupportRow
) -> Iterator[Finding]:
    """Yield stretches between supports, or beside ends and couplings, longer than a rule allows.

    Where no clips are planned, what it asks for.
    """
    said: dict[str, Value] = {
        "run": Name(solved.name),
        "size": Length(solved.tube.outside_mm, "g"),
        "level": Length(row.level, ".0f"),
        "upright": Length(row.upright, ".0f"),
        "rule": rule_words(rules, rule.clause, row.from_memory),
    }
    if plan is None:
        yield finding_at("R112", "note", message("rules.supports", **said), solved, None, None, rules)
        return
    legs, ends, whole = legs_of(solved, row.level, row.upright), solved.run.ends, solved.centreline.length
    near = rule.near_fitting
    first = reach_from(legs, 0.0) if near is None else ends.start.depth_mm + near
    places = [clip.at_mm for clip in plan.clips]
    spans = [(low, high, reach_from(legs, low) - low) for low, high in pairwise([0.0, *places, whole])]
    spans[0] = *spans[0][:2], first
    beside: list[tuple[float, float, float]] = []
    if near is not None:
        low, high, most = spans[-1]
        spans[-1] = low, high, min(most, ends.finish.depth_mm + near)
        for mouth, other in solved.couplings:
            beside.append((max((at for at in places if at <= mouth), default=0.0), mouth, near))
            beside.append((other, min((at for at in places if at >= other), default=whole), near))
    wrong: list[tuple[float, float, float]] = []
    for low, high, most in (*spans, *sorted(beside, key=lambda part: part[0] - part[1])):
        # What lies within a stretch that is said is not said again.
        if high - low > most + HAIR_MM and not any(a <= low and high <= b for a, b, _ in wrong):
            wrong.append((low, high, most))
    for low, high, most in sorted(wrong):
        words = message(
            "rules.held",
            low=Length(low, ".0f"),
            high=Length(high, ".0f"),
            without=Length(high - low, ".0f", beside=most),
            most=Length(most, ".0f", beside=high - low),
            near=NOTHING if near is None else message("rules.near end", near=Length(near, ".0f")),
            **said,
        )
        middle = (low + high) / 2.0
        yield finding_at("R111", "error", words, solved, None, middle, rules, high - low, most)


def _asks(schedule: Schedule, solved: SolvedRun, rule: InsulationRule) -> bool:
    """Return whether a rule asks for insulation of a run: everywhere, or in a void of a kind that the run stays in.

    Of tube with a bore beyond all its rows it asks for none.
    """
    if rule.rows and not rule.thick_of(solved.tube):
        return False
    return not rule.in_ or _void(schedule, solved, rule) is not None


def _void(schedule: Schedule, solved: SolvedRun, rule: InsulationRule) -> str | None:
    voids = (thing for thing in schedule.job.things_for(solved.name) if thing.role == "void")
    return next((thing.of for thing in voids if thing.kind in rule.in_), None)


def _too_thin(schedule: Schedule, solved: SolvedRun, rules: RuleSet, rule: InsulationRule) -> Iterator[Finding]:
    asked, there = rule.thick_of(solved.tube), solved.run.insulation_mm
    if there + HAIR_MM < asked or not there:
        void = _void(schedule, solved, rule)
        said = message(
            "rules.thin",
            run=Name(solved.name),
            has=message("rules.insulated", thick=Length(there)) if there else message("rules.bare"),
            where=message("rules.in void", void=Name(void)) if void is not None else NOTHING,
            rule=_rule(rules, rule),
            asked=_thick(asked, rule) if asked else message("rules.any"),
        )
        yield finding_at("R113", "warning", said, solved, void, None, rules, there, asked or None)


def _broken(solved: SolvedRun, plan: ClipPlan | None, rules: RuleSet, rule: InsulationRule) -> Iterator[Finding]:
    """Yield where a run's own insulation stops: at bare ends, and under clips on the tube itself."""
    if not rule.unbroken:
        return
    ends, whole = solved.run.ends, solved.centreline.length
    for word, ending, at in (("start", ends.start, 0.0), ("finish", ends.finish, whole)):
        bare = ending.bare_mm - ending.depth_mm
        if bare > HAIR_MM:
            said = message(
                "rules.bare end",
                run=Name(solved.name),
                bare=Length(bare, ".0f"),
                end=Word(word),
                rule=_rule(rules, rule),
            )
            yield finding_at("R114", "warning", said, solved, None, at, rules, 0.0, solved.run.insulation_mm)
    if plan is not None and plan.clips:
        said = message(
            "rules.under clips",
            run=Name(solved.name),
            n=Count(len(plan.clips)),
            round=Length(solved.tube.outside_mm + 2.0 * solved.run.insulation_mm, "g"),
            rule=_rule(rules, rule),
        )
        yield finding_at("R114", "warning", said, solved, None, plan.clips[0].at_mm, rules)


def _broken_in_holes(schedule: Schedule, rules: RuleSet, rule: InsulationRule) -> Iterator[Finding]:
    """Yield the holes of the room, sleeves among them, that leave less round a run than its insulation there.

    What an opening with square corners leaves is measured the way it is narrowest.
    """
    runs = {solved.name: solved for solved in schedule.runs}
    for one in penetrations(schedule):
        drawn = one.opening_mm if one.drawn_mm is None else one.drawn_mm
        if drawn is not None:
            through = [b.sleeve for b in schedule.job.things if b.sleeve and b.shape.distance(one.point) <= 0.0]
            hole = min((sleeve.bore_mm for sleeve in through if sleeve.lined), default=drawn)
            stops = any(sleeve.bare and one.run in sleeve.runs for sleeve in through)
            yield from _broken_in(schedule, rules, rule, runs[one.run], (one.thing, one.kind), one.at_mm, hole, stops)
    kinds = {thing.name: thing.kind for thing in schedule.job.things}
    for passed in passages(schedule):
        # A notch is open at a side, and no hole; what it leaves there is judged by its clearance.
        if passed.sleeve.what == "notch" and passed.sleeve.bare:
            thing = passed.sleeve.through, kinds[passed.sleeve.through]
            yield from _broken_in(
                schedule, rules, rule, passed.solved, thing, passed.at_mm, passed.sleeve.bore_mm, True
            )


def _broken_in(
    schedule: Schedule,
    rules: RuleSet,
    rule: InsulationRule,
    solved: SolvedRun,
    in_: tuple[str, str],
    at_mm: float,
    hole_mm: float,
    stops: bool,
) -> Iterator[Finding]:
    """Yield a hole in a thing, by its name and kind, that leaves less round a run than its insulation there."""
    if not rules.counts_for(solved.name) or not _asks(schedule, solved, rule):
        return
    thick = rule.thick_of(solved.tube) or solved.run.insulation_mm
    asked = thick / 2.0 if in_[1] in rule.half_in else thick
    room = 0.0 if stops else (hole_mm - solved.tube.outside_mm) / 2.0
    if room + HAIR_MM < asked:
        said: dict[str, Value] = {
            "run": Name(solved.name),
            "thing": Name(in_[0]),
            "where": where_on(solved, at_mm),
            "hole": Length(hole_mm, "g"),
            "asked": _thick(asked, rule),
            "least": Length(solved.tube.outside_mm + 2.0 * asked, ".1f", rounded="up"),
            "rule": _rule(rules, rule),
        }
        if stops:
            words = message("rules.stops", **said)
        else:
            words = message("rules.broken", room=Length(max(room, 0.0), ".1f", rounded="down"), **said)
        yield finding_at("R114", "warning", words, solved, in_[0], at_mm, rules, room, asked)


def _lagging_between(schedule: Schedule, rules: RuleSet, rule: InsulationRule) -> Iterator[Finding]:
    """Yield pairs of runs nearer to each other than the insulation that a rule asks for round both."""
    if not rule.rows:
        return
    for solved, row in zip(schedule.runs, to_runs(schedule), strict=True):
        for pair in row:
            other = pair.other
            if not pair.once or not isinstance(other, SolvedRun) or not _both(schedule, solved, other, rules, rule):
                continue
            whole = rule.thick_of(solved.tube) + rule.thick_of(other.tube)
            near, at, crossing = pair.nearest.distance, pair.nearest.at, rule.half_crossing
            beside = _side_by_side(solved, other, whole) if crossing and near < whole else None
            if beside is not None and beside[0] + HAIR_MM < whole:
                (near, at), crossing = beside, False
            asked = whole / 2.0 if crossing else whole
            if near + HAIR_MM < asked:
                said = message(
                    "rules.lagging between, crossing" if crossing else "rules.lagging between",
                    run=Name(solved.name),
                    other=Name(other.name),
                    near=Length(max(near, 0.0), ".0f", rounded="down"),
                    where=where_on(solved, at),
                    asked=_thick(asked, rule),
                    rule=_rule(rules, rule),
                )
                yield finding_at("R115", "warning", said, solved, other.name, at, rules, near, asked)


def _side_by_side(one: SolvedRun, two: SolvedRun, within_mm: float) -> tuple[float, float] | None:
    """Return the least distance of straights of two runs that do not cross, and where on the first."""
    sizes, found = (one.tube.outside_mm, two.tube.outside_mm), []
    for a, b in product(legs_of(one, inf, inf), legs_of(two, inf, inf)):
        if abs(dot((p := a.straight).direction, (q := b.straight).direction)) < ALONG:
            continue
        far, share, other = segment_distance(p.start, p.finish, q.start, q.finish)
        near, at = far - sum(sizes) / 2.0, share * p.length
        to = sub(q.point_at(other * q.length), p.point_at(at))
        if near < within_mm and max(abs(dot(to, p.direction)), abs(dot(to, q.direction))) > HAIR_MM:
            # One ends before the other begins: there the tubes have flat ends.
            near, at, *_ = tube_distance(Centreline((p,)), sizes[0], Centreline((q,)), sizes[1])
        found.append((near, a.low + at))
    return min(found, default=None)


def _both(schedule: Schedule, one: SolvedRun, two: SolvedRun, rules: RuleSet, rule: InsulationRule) -> bool:
    joined = schedule.job.joined_to(one.run)
    return two.name not in joined and all(rules.counts_for(r.name) and _asks(schedule, r, rule) for r in (one, two))


def _rule(rules: RuleSet, rule: InsulationRule) -> Message:
    said = rule_words(rules, rule.clause, rule.from_memory)
    return message("rules.unless", rule=said, unless=Word(rule.unless)) if rule.unless else said


def _thick(thick_mm: float, rule: InsulationRule) -> Message:
    thick = Length(thick_mm, ".1f", rounded="up")
    if rule.conductivity is None:
        return message("rules.thickness", thick=thick)
    return message("rules.thickness, conducting", thick=thick, of=Number(rule.conductivity))
