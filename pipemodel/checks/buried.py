"""Tube in walls, floors and screed, and its joints: chases, sleeves, cover, and what nobody reaches any more.

The findings R106 to R110 of the rules of building, asked of things whose kind a rule names: boxes and plates, in their
own axes.
"""

from collections.abc import Iterator
from math import hypot
from typing import NamedTuple

from pipemodel.bending.schedule import Schedule, SolvedRun
from pipemodel.checks.findings import Finding, Severity
from pipemodel.checks.layers import in_layers
from pipemodel.checks.penetrations import penetrations, slab_of
from pipemodel.checks.place_words import where_on
from pipemodel.checks.sleeves import passages_at
from pipemodel.cutting.cuts import plan_cutting
from pipemodel.cutting.split import Joint
from pipemodel.geometry.centreline import Straight
from pipemodel.geometry.vectors import EAST, NORTH, UP, Vec3, along, dot, scale, sub
from pipemodel.job.model import Thing
from pipemodel.messages.values import Length, Message, Name, Word, message
from pipemodel.trade.rules import RuleSet, SleeveRule
from pipemodel.trade.tube_table import everyday_tubes

CHECK = "rules"
IN_PLANE = 0.26
"""A leg within 15 degrees of the plane of a wall (its sine) runs along it; one that is steeper passes through it."""
UPRIGHT = 0.7071
LEAST_MM = 20.0
"""Shorter stretches within a wall are the beginning of a bend, not a chase. Common practice, no source."""
STEP_MM = 10.0
HAIR_MM = 1e-6
_WAYS = tuple(way for axis in (EAST, NORTH, UP) for way in (axis, scale(axis, -1.0)))


class _Layer(NamedTuple):
    """A wall, floor or screed between two planes: a point of the one, the way to the other, and how far it is.

    A wall with chases is several things, `parts`, from its face to its back; `thing` is the first.
    """

    parts: tuple[Thing, ...]
    at: Vec3
    normal: Vec3
    thick: float

    @property
    def thing(self) -> Thing:
        """The thing that it is, or the first of them, which has the name of the wall."""
        return self.parts[0]

    def depth(self, p: Vec3) -> float:
        """Return how far a point lies from the first plane towards the second."""
        return dot(sub(p, self.at), self.normal)

    def holds(self, p: Vec3) -> bool:
        """Return whether it has anything solid across from a point: an opening or its end is not it."""
        return any(self._solid(part, p) for part in self.parts)

    def cut_mm(self, p: Vec3) -> float:
        """Return how deep the chase is that a point lies in; 0 for none."""
        solid = [self._solid(part, p) for part in self.parts]
        cut = [part.shape.reach(self.normal) for part in self.parts[: solid.index(True) if any(solid) else 0]]
        lies_in = any(low <= dot(p, self.normal) <= high for low, high in cut)
        return sum(high - low for low, high in cut) if lies_in else 0.0

    def _solid(self, part: Thing, p: Vec3) -> bool:
        """Return whether one of the things has anything solid across from a point."""
        low, high = part.shape.reach(self.normal)
        foot = along(p, self.normal, low - dot(p, self.normal))
        return any(part.shape.distance(along(foot, self.normal, s * (high - low))) < 0.0 for s in (0.05, 0.5, 0.95))


def buried(schedule: Schedule, rules: RuleSet) -> Iterator[Finding]:
    """Yield what is to be said of tube in walls, floors and screed by one set of rules."""
    asked = rules.kinds - rules.cut_kinds
    for parts in in_layers(thing for thing in schedule.job.things if thing.kind in asked):
        layer = _layer(parts)
        if layer is None:
            continue
        for solved in (one for one in schedule.runs if rules.counts_for(one.name)):
            yield from _chased(solved, layer, rules)
            yield from _covered(solved, layer, rules)
    if rules.sleeves is not None:
        yield from _sleeved(schedule, rules, rules.sleeves)
    if rules.joints is not None:
        yield from _joints(schedule, rules, rules.joints.within)


def _layer(parts: tuple[Thing, ...]) -> _Layer | None:
    """Return a thing, or those that a wall with chases is of, as a layer through its least side; None without one."""
    slab = slab_of(parts[0])
    if slab is None:
        return None
    lows, highs = zip(*(part.shape.reach(slab.through) for part in parts), strict=True)
    return _Layer(parts, scale(slab.through, min(lows)), slab.through, max(highs) - min(lows))


def _along(solved: SolvedRun, layer: _Layer, radius: float) -> Iterator[tuple[float, float, Straight]]:
    """Yield from where to where a run's straights lie along a layer and touch its material, and the straight."""
    for piece, offset in zip(solved.centreline.pieces, solved.centreline.offsets, strict=False):
        if not isinstance(piece, Straight) or piece.length <= 0.0:
            continue
        a, b = layer.depth(piece.start), layer.depth(piece.finish)
        if min(a, b) >= layer.thick + radius or max(a, b) <= -radius:
            continue
        count = max(int(piece.length / STEP_MM), 1)
        places = [piece.length * i / count for i in range(count + 1)]
        within = [
            s
            for s in places
            if -radius < layer.depth(piece.point_at(s)) < layer.thick + radius and layer.holds(piece.point_at(s))
        ]
        long_enough = within and within[-1] - within[0] >= LEAST_MM
        if long_enough and abs(dot(piece.direction, layer.normal)) <= IN_PLANE:
            yield offset + within[0], offset + within[-1], piece


def _chased(solved: SolvedRun, layer: _Layer, rules: RuleSet) -> Iterator[Finding]:
    rule = rules.chases
    if rule is None or layer.thing.kind not in rule.of:
        return
    radius = solved.tube.outside_mm / 2.0 + solved.run.insulation_mm
    for start, finish, leg in _along(solved, layer, radius):
        depths = [layer.depth(solved.centreline.point_at(s)) for s in (start, finish)]
        deep = min(max(depths) + radius, layer.thick - min(depths) + radius)
        deep = max(deep, *(layer.cut_mm(solved.centreline.point_at(s)) for s in (start, finish)))
        upright = abs(dot(leg.direction, UP)) >= UPRIGHT
        most = (rule.upright if upright else rule.level) * layer.thick
        if deep > most + 1e-6:
            said = message(
                "rules.chase",
                run=Name(solved.name),
                thing=Name(layer.thing.name),
                way=Word("upright" if upright else "level"),
                deep=Length(deep, ".0f", rounded="up"),
                most=Length(most, ".0f", rounded="down"),
                thick=Length(layer.thick, ".0f"),
                where=where_on(solved, start),
                rule=rule_words(rules, rule.clause),
            )
            yield finding_at("R106", "error", said, solved, layer.thing.name, start, rules, deep, most)


def _sleeved(schedule: Schedule, rules: RuleSet, rule: SleeveRule) -> Iterator[Finding]:
    """Yield that a run passing through a wall or floor goes through a sleeve there; not in a wide opening of it."""
    runs = {solved.name: solved for solved in schedule.runs if rules.counts_for(solved.name)}
    for one in penetrations(schedule):
        solved = runs.get(one.run)
        if solved is None or one.kind not in rule.of:
            continue
        beyond = min(one.at_mm, solved.centreline.length - one.at_mm) - hypot(one.thick_mm, one.slant_mm) / 2.0
        if max(one.opening_mm or 0.0, one.drawn_mm or 0.0) > 4.0 * solved.tube.outside_mm or beyond < HAIR_MM:
            continue
        size, bore = _sleeve_size(solved.tube.outside_mm + 2.0 * solved.run.insulation_mm, rule.sizes_larger)
        lined = [there.sleeve for there in passages_at(schedule, one.run, one.point) if there.sleeve.lined]
        there = min((sleeve.bore_mm for sleeve in lined), default=None)
        run, thing, where = Name(one.run), Name(one.thing), where_on(solved, one.at_mm)
        asked = rule_words(rules, rule.clause)
        if there is None:
            said = message("rules.sleeve", run=run, thing=thing, where=where, size=Length(size, "g"), rule=asked)
            yield finding_at("R108", "note", said, solved, one.thing, one.at_mm, rules)
        elif there < bore - HAIR_MM:
            said = message(
                "rules.sleeve small",
                run=run,
                thing=thing,
                where=where,
                size=Length(size, "g"),
                rule=asked,
                bore=Length(there),
                least=Length(bore, ".1f"),
            )
            yield finding_at("R110", "warning", said, solved, one.thing, one.at_mm, rules, there, bore)


def _sleeve_size(outside_mm: float, larger: int) -> tuple[float, float]:
    """Return the size of the tube that is so many sizes larger than a diameter, and its bore; the largest at most."""
    tubes = {tube.outside_mm: tube.bore_mm for tube in everyday_tubes() if tube.outside_mm > outside_mm + 1e-6}
    size = sorted(tubes)[min(larger, len(tubes)) - 1] if tubes else outside_mm
    return size, tubes.get(size, outside_mm)


def _covered(solved: SolvedRun, layer: _Layer, rules: RuleSet) -> Iterator[Finding]:
    rule = rules.screed
    if rule is None or layer.thing.kind not in rule.of:
        return
    radius = solved.tube.outside_mm / 2.0
    for start, finish, _ in _along(solved, layer, radius):
        highest = max(layer.depth(solved.centreline.point_at(s)) for s in (start, finish))
        cover = layer.thick - highest - radius if layer.normal[2] >= 0.0 else highest - radius
        if cover < rule.cover - 1e-6:
            said = message(
                "rules.cover",
                run=Name(solved.name),
                thing=Name(layer.thing.name),
                cover=Length(max(cover, 0.0), ".0f", rounded="down"),
                least=Length(rule.cover, ".0f"),
                where=where_on(solved, start),
                rule=rule_words(rules, rule.clause),
            )
            yield finding_at("R109", "error", said, solved, layer.thing.name, start, rules, cover, rule.cover)


def _joints(schedule: Schedule, rules: RuleSet, within: float) -> Iterator[Finding]:
    """Yield the joints of runs that are closed in on all six sides of the room's axes."""
    assert rules.joints is not None
    if all(solved.cut_length_mm <= schedule.job.stock.longest_mm(solved.tube) for solved in schedule.runs):
        return
    for solved, split in zip(schedule.runs, plan_cutting(schedule).runs, strict=True):
        for joint in split.joints if rules.counts_for(solved.name) else ():
            if all(_met(schedule, joint, way, within) for way in _WAYS):
                said = message(
                    "rules.hidden joint",
                    run=Name(solved.name),
                    where=where_on(solved, joint.at_mm),
                    within=Length(within, ".0f"),
                    rule=rule_words(rules, rules.joints.clause),
                )
                yield finding_at("R107", "warning", said, solved, None, joint.at_mm, rules)


def _met(schedule: Schedule, joint: Joint, way: Vec3, within: float) -> bool:
    """Return whether a thing is met within so much from a joint, going one way."""
    for thing in schedule.job.things:
        far = 0.0
        while far < within:
            gap = thing.shape.distance(along(joint.point, way, far))
            if gap <= 1e-3:
                return True
            far += max(gap, 1e-3)
    return False


def rule_words(rules: RuleSet, clause: str, from_memory: bool = False) -> Message:
    """Return a clause of a set of rules by its name; one that was not looked up says so."""
    name = message("rules.clause", name=Name(rules.name, quoted=False), clause=Name(clause, quoted=False))
    return message("rules.from memory", rule=name) if rules.from_memory or from_memory else name


def finding_at(
    code: str,
    severity: Severity,
    said: Message,
    solved: SolvedRun,
    against: str | None,
    at: float | None,
    rules: RuleSet,
    there: float | None = None,
    asked: float | None = None,
) -> Finding:
    """Return a finding of a run at a place along it, or at no place."""
    point = None if at is None else solved.centreline.point_at(at)
    return Finding(code, CHECK, severity, said, solved.name, against, there, asked, at, point, rules.source)
