"""Does it keep the rules of building that the job chose: distance from other services, holes and notches in joists.

Asked only where the job names `rules`, of things whose kind it gives with `is`. A rule here is a reading of a code,
with the clause and where it was read; the code itself, local rules and the engineer come before it.
"""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import chain, combinations

from pipemodel.bending.schedule import Schedule
from pipemodel.checks.buried import buried, rule_words
from pipemodel.checks.findings import Finding
from pipemodel.checks.joist_crossings import (
    CutJoist,
    Joist,
    JoistCut,
    cut_joists,
    joist_of,
    named_joists,
    nearest_support,
)
from pipemodel.checks.lagged_and_held import is_held_against, lagged_and_held
from pipemodel.checks.layers import as_plate, in_layers
from pipemodel.checks.pair_distances import to_things
from pipemodel.checks.place_words import where_on
from pipemodel.geometry.shapes import Box
from pipemodel.geometry.shapes.plate import Plate
from pipemodel.job.find import NewCut
from pipemodel.job.model import Thing
from pipemodel.messages.values import Count, Length, Message, Name, Tape, Value, Word, listed, message
from pipemodel.trade.rules import CutZone, JoistRules, KeepOff, RuleSet

CHECK = "rules"
ON_AXIS_MM = 5.0
"""How far the middle of a hole may lie off the middle of the joist's depth. Common practice, no source."""
HAIR_MM = 1e-6


def building_rules(schedule: Schedule) -> tuple[Finding, ...]:
    """Hold a job against the rules it names; nothing is said of a job that names none."""
    job = schedule.job
    if not job.rules:
        return ()
    found = {
        rules.name: (*_kept_off(schedule, rules), *buried(schedule, rules), *lagged_and_held(schedule, rules))
        for rules in job.rules
    }
    sets = [(rules, rules.joists) for rules in job.rules if rules.joists is not None]
    kinds = frozenset[str]().union(*(rules.cut_kinds for rules, _ in sets))
    wrong = [against for cut in cut_joists(schedule, kinds) for against in _cut_in(cut, sets)]
    places = Counter(name for name, own in found.items() for finding in own if finding.severity != "note")
    places.update(against.rules.name for against in wrong)
    return (*chain(*found.values()), *_grouped(wrong), *_newly_cut(schedule), *_kept(schedule, places))


_HERE = Name("")
"""In what is said of one joist, where its name comes, or that of several alike."""


@dataclass(frozen=True)
class _Against:
    """What is against a rule in one joist, and the cut that it is said of."""

    code: str
    said: Message
    cut: JoistCut
    rules: RuleSet
    joist: Joist

    def finding(self, joists: Value) -> Finding:
        """Return it as a finding of this joist and of others alike."""
        said = replace(self.said, values=tuple((k, joists if v is _HERE else v) for k, v in self.said.values))
        run, cut = self.cut.of or None, self.cut
        return Finding(
            self.code, CHECK, "error", said, run, self.joist.name, at_mm=cut.at_mm, point=cut.at,
            basis=self.rules.source,
        )  # fmt: skip


def _grouped(wrong: Sequence[_Against]) -> Iterator[Finding]:
    """Yield one finding for all joists of which the same is to be said, where the first of them stands.

    What is to be said of two cuts of one joist, as at the same distance from either support, is said of each.
    """
    alike: dict[tuple[str, str, int], list[_Against]] = {}
    count = Counter[tuple[str, str, str]]()
    for one in wrong:
        said = one.code, one.said.english
        count[(*said, one.joist.name)] += 1
        alike.setdefault((*said, count[(*said, one.joist.name)]), []).append(one)
    for group in alike.values():
        yield group[0].finding(named_joists(list(dict.fromkeys(one.joist.name for one in group))))


def _kept_off(schedule: Schedule, rules: RuleSet) -> Iterator[Finding]:
    """Yield where a run is nearer to a thing than a rule allows, by the strictest rule of the set."""
    for solved, row in zip(schedule.runs, to_things(schedule), strict=True):
        for pair in row if rules.counts_for(solved.name) else ():
            if not isinstance(pair.other, Thing):
                continue
            asked = [keep for keep in rules.keep_off if keeps_off(keep, pair.other, solved.tube.outside_mm)]
            strictest = max(asked, key=lambda keep: keep.least, default=None)
            near = pair.nearest.distance
            if strictest is not None and near < strictest.least:
                said = message(
                    "rules.too near, unless" if strictest.unless else "rules.too near",
                    run=Name(solved.name),
                    thing=Name(pair.against),
                    kind=Word(pair.other.kind),
                    near=Length(max(near, 0.0), ".0f"),
                    asked=Length(strictest.least, ".0f"),
                    where=where_on(solved, pair.nearest.at),
                    rule=rule_words(rules, strictest.clause),
                )
                yield Finding(
                    "R101", CHECK, "error", said, solved.name, pair.against, near, strictest.least,
                    pair.nearest.at, pair.nearest.point, rules.source,
                )  # fmt: skip


def keeps_off(keep: KeepOff, thing: Thing, outside_mm: float) -> bool:
    """Return whether a rule asks for a distance between a thing and a tube of an outside diameter."""
    return thing.kind in keep.from_ and keep.tube_over < outside_mm <= keep.tube_to


def _cut_in(cut_joist: CutJoist, sets: Sequence[tuple[RuleSet, JoistRules]]) -> Iterator[_Against]:
    """Yield what is wrong with what is cut in one joist, by each set of rules that names it."""
    joist, made = cut_joist.joist, cut_joist.cuts
    for rules, joists in sets:
        if joist.kind not in (*joists.of, *joists.never):
            continue
        rule = rule_words(rules, joists.clause)
        if not any(map(rules.counts_for, cut_joist.runs)):
            continue
        if never := never_cut(joist, joists):
            said = message("rules.never", joist=_HERE, why=never, rule=rule)
            yield _Against("R104", said, made[0], rules, joist)
            continue
        both = on_both_sides(made, joist, joists)
        for cut in (one for one in made if not one.of or rules.counts_for(one.of)):
            if wrong := [*wrong_cut(cut, joist, joists), *(both if cut.kind == "notch" else ())]:
                what, all_of_it, run = Word(cut.kind), listed(wrong, ";"), Name(cut.of)
                if cut.of:
                    said = message("rules.cut", run=run, what=what, joist=_HERE, wrong=all_of_it, rule=rule)
                else:
                    said = message("rules.drilled", what=what, joist=_HERE, wrong=all_of_it, rule=rule)
                yield _Against("R102", said, cut, rules, joist)
        for one, two, apart, least in too_close(made, joists):
            far, asked, first, then = Length(apart, ".0f"), Length(least, ".0f"), _whose(one), _whose(two)
            said = message("rules.too close", joist=_HERE, one=first, two=then, apart=far, least=asked, rule=rule)
            yield _Against("R103", said, two, rules, joist)


def _newly_cut(schedule: Schedule) -> Iterator[Finding]:
    """Yield what each way that was found needs cut in joists, those cut alike in one."""
    joists = {thing.name: joist for thing in schedule.job.things if (joist := joist_of(thing)) is not None}
    for solved in schedule.runs:
        alike: dict[tuple[str, float, float, float, float], list[NewCut]] = {}
        for cut in solved.run.route.find.cuts if solved.run.route.find is not None else ():
            joist = joists[cut.thing]
            at, up, _ = joist.place(cut.at)
            place = round(min(at, joist.long_mm - at), 3), round(joist.deep_mm - up, 3)
            alike.setdefault((cut.kind, cut.wide_mm, cut.deep_mm, *place), []).append(cut)
        for (kind, wide, deep, at, down), group in alike.items():
            run, of = Name(solved.name), named_joists([cut.thing for cut in group])
            across, along = Tape(wide), Tape(at)
            if kind == "notch":
                said = message("rules.new notch", run=run, joists=of, wide=across, deep=Tape(deep), at=along)
            else:
                said = message("rules.new hole", run=run, joists=of, wide=across, at=along, down=Tape(down))
            yield Finding("R116", CHECK, "warning", said, solved.name, group[0].thing, point=group[0].at)


def on_both_sides(made: Sequence[JoistCut], joist: Joist, joists: JoistRules) -> list[Message]:
    """Return what is wrong with each notch of a joist that has some at the top and some at the bottom, if that is."""
    sides = {at_top(cut, joist) for cut in made if cut.kind == "notch"}
    return [message("rules.both sides")] if joists.notch and joists.notch.one_side and len(sides) == 2 else []


def at_top(cut: JoistCut, joist: Joist) -> bool:
    """Return whether a notch is in the upper side of a joist."""
    return cut.top_mm + cut.bottom_mm >= joist.deep_mm


def never_cut(joist: Joist, joists: JoistRules) -> Message | None:
    """Return why nothing may be cut in a joist, if so; None where it may."""
    if joist.kind in joists.never:
        return message("rules.by kind", kind=Word(joist.kind))
    if joist.deep_mm <= joists.shallowest:
        return message("rules.shallow", deep=Length(joist.deep_mm, ".0f"), least=Length(joists.shallowest, ".0f"))
    if joists.deepest is not None and joist.deep_mm > joists.deepest:
        return message("rules.deep", deep=Length(joist.deep_mm, ".0f"), most=Length(joists.deepest, ".0f"))
    return None


def wrong_cut(cut: JoistCut, joist: Joist, joists: JoistRules) -> Iterator[Message]:
    """Yield what is wrong with one hole or notch by itself."""
    if cut.kind == "hole" and (hole := joists.hole) is not None:
        most = joists.most_mm("hole", joist.deep_mm)
        if cut.wide_mm > most + HAIR_MM:
            yield message("rules.wide", wide=Length(cut.wide_mm, ".0f"), most=Length(most, ".0f"))
        off = (cut.bottom_mm + cut.top_mm) / 2.0 - joist.deep_mm / 2.0
        if abs(off) > ON_AXIS_MM:
            side = Word("above" if off > 0.0 else "below")
            yield message("rules.off the middle", off=Length(abs(off), ".0f"), side=side)
        if not hole.from_ - HAIR_MM <= nearest_support(joist, cut.middle_mm) <= hole.to + HAIR_MM:
            yield _zone(cut.middle_mm, joist, hole)
    if cut.kind == "notch" and (notch := joists.notch) is not None:
        most = joists.most_mm("notch", joist.deep_mm)
        upper = at_top(cut, joist)
        deep = joist.deep_mm - cut.bottom_mm if upper else cut.top_mm
        if deep > most + HAIR_MM:
            yield message("rules.notch deep", deep=Length(deep, ".0f"), most=Length(most, ".0f"))
        if notch.top_only and not upper:
            yield message("rules.top only")
        # Of one that reaches past the middle of the span, that is the farthest from both supports.
        farthest = min(max(joist.long_mm / 2.0, cut.low_mm), cut.high_mm)
        for place in (cut.low_mm, farthest, cut.high_mm):
            if not notch.from_ - HAIR_MM <= nearest_support(joist, place) <= notch.to + HAIR_MM:
                yield _zone(cut.middle_mm, joist, notch)
                break


def _zone(at_mm: float, joist: Joist, zone: CutZone) -> Message:
    span = joist.long_mm
    return message(
        "rules.zone",
        at=Length(min(at_mm, span - at_mm), ".0f"),
        low=Length(zone.from_ * span, ".0f"),
        high=Length(zone.to * span, ".0f"),
        span=Length(span, ".0f"),
    )


def too_close(made: Sequence[JoistCut], joists: JoistRules) -> Iterator[tuple[JoistCut, JoistCut, float, float]]:
    """Yield each pair of cuts of a joist that are too near to each other, how far they are apart, and what is asked."""
    times = joists.hole.diameters_apart if joists.hole else 0.0
    for one, two in combinations(sorted(made, key=lambda cut: cut.middle_mm), 2):
        if one.kind == two.kind == "hole":
            apart, least = two.middle_mm - one.middle_mm, times * max(one.wide_mm, two.wide_mm)
        elif one.kind != two.kind:
            apart, least = two.low_mm - one.high_mm, joists.apart
        else:
            continue
        if apart < least - HAIR_MM:
            yield one, two, max(apart, 0.0), least


def _kept(schedule: Schedule, places: Mapping[str, int]) -> Iterator[Finding]:
    """Yield, for each set of rules, what of the room it was held against; `places` against it go by its name."""
    job = schedule.job
    for rules in job.rules:
        there = (thing for thing in job.things if thing.kind in rules.kinds and thing.role != "void")
        all_parts = in_layers(there)
        of = Counter(parts[0].kind for parts in all_parts)
        unread = sum(not _is_read(parts[0], rules) for parts in all_parts)
        runs = [solved for solved in schedule.runs if is_held_against(schedule, solved, rules)]
        wrongs = places.get(rules.name, 0)
        rule = message("rules.set", name=Name(rules.name, quoted=False), source=Name(rules.source, quoted=False))
        kept = message("rules.not kept", n=Count(wrongs)) if wrongs else message("rules.kept")
        if unread:
            kept = message("rules.kept, but", kept=kept, n=Count(unread))
        kinds = listed([message("rules.of kind", n=Count(n), kind=Word(kind)) for kind, n in of.items()], ",")
        if of:
            spans = not rules.cut_kinds.isdisjoint(of)
            said = message("rules.spans looked at" if spans else "rules.looked at", rule=rule, kinds=kinds, kept=kept)
        elif runs:
            said = message("rules.runs looked at", rule=rule, n=Count(len(runs)), kept=kept)
        else:
            said = message("rules.no run" if rules.supports else "rules.nothing to look at", rule=rule)
        yield Finding("R105", CHECK, "note", said, basis=rules.source)


def _is_read(thing: Thing, rules: RuleSet) -> bool:
    """Return whether a thing has a shape that the rules that name its kind can be held against; any can be kept off."""
    if any(thing.kind in keep.from_ for keep in rules.keep_off):
        return True
    if thing.kind in rules.cut_kinds:
        return joist_of(thing) is not None
    return isinstance(as_plate(thing.shape), Box | Plate)


def _whose(cut: JoistCut) -> Name | Message:
    return Name(cut.of) if cut.of else message("rules.hole", what=Word(cut.kind), at=Length(cut.middle_mm, ".0f"))
