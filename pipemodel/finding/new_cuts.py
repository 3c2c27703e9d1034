"""New holes and notches in joists: where the rules of a job allow one, and those that a way needs.

Only where a run's `find` asks for them, never otherwise: cutting a joist is for whoever answers for the structure.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import chain
from math import ceil, floor

import numpy as np

from pipemodel.bending.schedule import SolvedRun
from pipemodel.checks.building_rules import ON_AXIS_MM, at_top, never_cut, too_close, wrong_cut
from pipemodel.checks.joist_crossings import Joist, JoistCut, cuts, drilled, goes_through, joist_of
from pipemodel.finding.around import Obstruction
from pipemodel.geometry.arrays import Floats
from pipemodel.geometry.distance.obstacle import obstacle_of
from pipemodel.geometry.shapes.face import Vec2, edges
from pipemodel.geometry.shapes.plate import Plate
from pipemodel.geometry.shapes.signed_plan import Round
from pipemodel.geometry.vectors import cross, dot
from pipemodel.job.find import CutKind, NewCut
from pipemodel.job.model import Job, Run, Thing
from pipemodel.trade.rules import JoistRules

EDGE_MM = 0.1
"""So much at least is left between a new hole and one that is there."""
ALONG = 0.9
"""Cosine of how far a joist lies out of an axis at most, for legs across the axis to be looked for through it."""
_HAIR = 1e-6
Span = tuple[float, float]


@dataclass(frozen=True)
class MayCut:
    """A joist that may be cut for a run, by all rules of the job that say anything of it.

    `room_mm` is what has to stay free all round the tube.
    """

    thing: Thing
    joist: Joist
    rules: tuple[JoistRules, ...]
    kinds: frozenset[CutKind]
    radius_mm: float
    room_mm: float

    @property
    def _wide(self) -> float:
        """How wide a cut is that the tube goes straight through; mm."""
        return float(ceil(2.0 * (self.radius_mm + self.room_mm) - _HAIR))

    @cached_property
    def _there(self) -> tuple[JoistCut, ...]:
        """The holes and the notches that it has already."""
        return tuple(drilled(self.thing, self.joist))

    @property
    def _below(self) -> bool:
        """Whether there is a notch in its underside."""
        return any(cut.kind == "notch" and not at_top(cut, self.joist) for cut in self._there)

    def spans(self, kind: CutKind) -> list[Span]:
        """Return from where to where along it the tube's axis may go through a new cut of a kind, mm."""
        long, half = self.joist.long_mm, self._wide / 2.0
        free: list[Span] = [(0.0, long)]
        for rule in self.rules:
            zone = rule.hole if kind == "hole" else rule.notch
            if zone is None:
                return []
            if kind == "notch" and rule.notch and rule.notch.one_side and self._below:
                return []
            inset = 0.0 if kind == "hole" else half
            low, high = zone.from_ * long + inset, zone.to * long - inset
            free = _both(free, [(low, high), (long - high, long - low)])
            for cut in self._there:
                off = self._off(kind, cut, rule)
                free = _less(free, cut.middle_mm - off, cut.middle_mm + off)
        return free

    def _off(self, kind: CutKind, cut: JoistCut, rule: JoistRules) -> float:
        """Return how far the middle of a new cut keeps off that of one that is there; mm."""
        touching = (cut.high_mm - cut.low_mm + self._wide) / 2.0
        if kind == cut.kind == "hole":
            times = rule.hole.diameters_apart if rule.hole else 0.0
            return max(times * max(cut.wide_mm, self._wide), touching + EDGE_MM)
        return touching + max(rule.apart if kind != cut.kind else 0.0, EDGE_MM)

    def heights(self, kind: CutKind) -> Span | None:
        """Return between which heights above its underside the tube's axis may go through a new cut; None for none."""
        deep = self.joist.deep_mm
        most = min((rule.most_mm(kind, deep) for rule in self.rules), default=0.0)
        if kind == "hole":
            fits = self._wide <= most + _HAIR
            return (deep / 2.0 - ON_AXIS_MM, deep / 2.0 + ON_AXIS_MM) if fits else None
        low, high = deep - floor(most + _HAIR) + self.radius_mm + self.room_mm, deep - self.radius_mm
        return (low, high) if low <= high else None

    def opened(self, one: Obstruction) -> Obstruction:
        """Return the joist as what is kept clear of, open wherever a new cut may be."""
        fields = [one.field]
        for kind in sorted(self.kinds):
            heights = self.heights(kind)
            for low, high in self.spans(kind) if heights is not None else ():
                assert heights is not None
                sides = max(low - one.required, EDGE_MM), min(high + one.required, self.joist.long_mm - EDGE_MM)
                fields.append(obstacle_of(self._open(kind, sides, heights, one.required)).field)

        def away(points: Floats) -> Floats:
            farthest: Floats = np.max([field(points) for field in fields], axis=0)
            return farthest

        return replace(one, field=away, block=False) if len(fields) > 1 else one

    def _open(self, kind: CutKind, sides: Span, heights: Span, required: float) -> Plate:
        """Return the uncut joist with all open that a cut may take, from side to side."""
        (low, high), whole = sides, _uncut(self.joist)
        bottom, top = heights[0] - required, heights[1] + required
        if kind == "hole":
            return replace(whole, outlines=(*whole.outlines, ((low, bottom), (high, bottom), (high, top), (low, top))))
        notched = _notched(whole.outlines[0], low, high, bottom, self.joist.deep_mm)
        return whole if notched is None else replace(whole, outlines=(notched,))

    @property
    def planes(self) -> Iterator[tuple[int, float]]:
        """The planes that legs through new cuts should be looked for in: an axis, and where each lies."""
        for kind in self.kinds:
            heights = self.heights(kind)
            if heights is None:
                continue
            ups = [sum(heights) / 2.0] if kind == "hole" else [float(ceil(heights[0])), heights[1]]
            for axis, way, places in (
                (2, self.joist.up, ups),
                *((k, self.joist.along, [*chain(*self.spans(kind))]) for k in (0, 1)),
            ):
                if abs(way[axis]) > ALONG:
                    middle = self.joist.point(0.0, 0.0, self.joist.wide_mm / 2.0)
                    yield from ((axis, middle[axis] + way[axis] * place) for place in places)

    def needed(self, solved: SolvedRun) -> list[NewCut] | None:
        """Return the cuts that a run needs in it besides the holes that are there; None where not all are allowed."""
        found: list[JoistCut] = []
        for cut in cuts(solved, self.joist, self.room_mm):
            if any(goes_through(cut, hole) for hole in self._there):
                continue
            heights = self.heights(cut.kind) if cut.kind in self.kinds else None
            on = any(low - 0.5 <= cut.middle_mm <= high + 0.5 for low, high in self.spans(cut.kind))
            if heights is None or not on or any(True for rule in self.rules for _ in wrong_cut(cut, self.joist, rule)):
                return None
            found.append(cut)
        for rule in self.rules:
            if any(True for _ in too_close((*self._there, *found), rule)):
                return None
        return [self._new(cut) for cut in found]

    def _new(self, cut: JoistCut) -> NewCut:
        half = self.joist.wide_mm / 2.0
        if cut.kind == "hole":
            wide = float(ceil(cut.wide_mm - _HAIR))
            middle = self.joist.point(cut.middle_mm, (cut.bottom_mm + cut.top_mm) / 2.0, half)
            return NewCut(self.thing.name, "hole", middle, wide, wide)
        wide, deep = (float(ceil(mm - _HAIR)) for mm in (cut.high_mm - cut.low_mm, self.joist.deep_mm - cut.bottom_mm))
        middle = self.joist.point(cut.middle_mm, self.joist.deep_mm - deep / 2.0, half)
        return NewCut(self.thing.name, "notch", middle, wide, deep)


def joists_to_cut(job: Job, run: Run) -> dict[str, MayCut]:
    """Return by name the joists that may be cut for a run; one of several that are written once is left as it is."""
    asked = run.route.find
    sets = [one.joists for one in job.rules if one.joists is not None and one.counts_for(run.name)]
    found: dict[str, MayCut] = {}
    for thing in job.things_for(run.name) if asked is not None and asked.may_cut else ():
        rules = tuple(one for one in sets if thing.kind in (*one.of, *one.never))
        joist = joist_of(thing) if rules and thing.role == "solid" and thing.moved is not None else None
        if joist is not None and not any(never_cut(joist, one) for one in rules):
            assert asked is not None
            room = job.clearance_to(thing) + run.insulation_mm
            found[thing.name] = MayCut(thing, joist, rules, asked.may_cut, run.tube.outside_mm / 2.0, room)
    return found


def with_cuts(things: Sequence[Thing], new: Sequence[NewCut]) -> tuple[Thing, ...]:
    """Return the things of a room with new cuts made in them."""
    return tuple(
        replace(thing, shape=_cut(thing, own)) if (own := [cut for cut in new if cut.thing == thing.name]) else thing
        for thing in things
    )


def _cut(thing: Thing, new: Sequence[NewCut]) -> Plate:
    joist = joist_of(thing)
    assert joist is not None, "asked of joists only"
    plate = _plate_of(thing, joist)
    for cut in new:
        s, h, _ = joist.place(cut.at)
        if cut.kind == "hole":
            plate = replace(plate, rounds=(*plate.rounds, Round(s, h, cut.wide_mm / 2.0)))
        else:
            half, bottom = cut.wide_mm / 2.0, h - cut.deep_mm / 2.0
            outline = _notched(plate.outlines[0], s - half, s + half, bottom, joist.deep_mm)
            plate = replace(plate, outlines=(outline, *plate.outlines[1:])) if outline else plate
    return plate


def _plate_of(thing: Thing, joist: Joist) -> Plate:
    """Return a joist with all that is cut in it as a plate, its plan along and up the joist."""
    plate = _uncut(joist)
    if not isinstance(thing.shape, Plate):
        return plate
    shape = thing.shape

    def place(x: float, y: float) -> Vec2:
        return joist.place(shape.place(x, y, 0.0))[:2]

    outlines = tuple(tuple(place(*corner) for corner in outline) for outline in shape.outlines)
    return replace(plate, outlines=outlines, rounds=tuple(Round(*place(h.x, h.y), h.radius) for h in shape.rounds))


def _uncut(joist: Joist) -> Plate:
    """Return a joist as a plate with nothing cut in it."""
    ahead = dot(cross(joist.along, joist.up), joist.through) > 0.0
    origin = joist.corner if ahead else joist.point(0.0, 0.0, joist.wide_mm)
    long, deep = joist.long_mm, joist.deep_mm
    return Plate(origin, joist.along, joist.up, joist.wide_mm, (((0.0, 0.0), (long, 0.0), (long, deep), (0.0, deep)),))


def _notched(outline: Sequence[Vec2], low: float, high: float, bottom: float, top: float) -> tuple[Vec2, ...] | None:
    """Return an outline with a notch in its level top side; None where that does not reach from end to end of it."""
    out: list[Vec2] = []
    made = False
    for a, b in edges(tuple(outline)):
        out.append(a)
        level = abs(a[1] - top) < _HAIR and abs(b[1] - top) < _HAIR
        if level and min(a[0], b[0]) <= low and high <= max(a[0], b[0]):
            ends = [(low, top), (low, bottom), (high, bottom), (high, top)]
            out += ends if a[0] < b[0] else ends[::-1]
            made = True
    return tuple(out) if made else None


def _both(one: Sequence[Span], other: Sequence[Span]) -> list[Span]:
    """Return what lies in both."""
    parts = [(max(a, c), min(b, d)) for a, b in one for c, d in other]
    return sorted({(a, b) for a, b in parts if a <= b})


def _less(spans: Sequence[Span], low: float, high: float) -> list[Span]:
    """Return spans without what lies strictly between two places."""
    parts = [part for a, b in spans for part in ((a, min(b, low)), (max(a, high), b))]
    return sorted({(a, b) for a, b in parts if a <= b})
