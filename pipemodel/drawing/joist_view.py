"""Joists seen from the side, with the holes and notches that runs need in them, and where rules would have them.

One sheet for joists that are cut alike: the whole joist with the zones of each code of practice hatched, and under it
each hole and notch at a larger scale, dimensioned from the edges of the joist, which one can put a tape to.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import NamedTuple, TypeAlias

from pipemodel.bending.schedule import Schedule
from pipemodel.checks.building_rules import at_top, never_cut, on_both_sides, too_close, wrong_cut
from pipemodel.checks.joist_crossings import CutJoist, Joist, JoistCut, cut_joists, named_joists
from pipemodel.drawing.clipping import ClipWindow
from pipemodel.drawing.dimension import Dimension
from pipemodel.drawing.hatch import hatched, rectangle
from pipemodel.drawing.layout import SCALES
from pipemodel.drawing.lettering import wrapped
from pipemodel.drawing.paper import LEADING, Paper
from pipemodel.drawing.primitives import FlatPoint, Role
from pipemodel.drawing.sheet import Sheet
from pipemodel.messages.say import words
from pipemodel.messages.units import MM, Units
from pipemodel.messages.values import Count, Length, Name, Word
from pipemodel.trade.rules import CutZone, JoistRules, RuleSet
from pipemodel.wording.safe_text import shown

_At: TypeAlias = Callable[[float, float], FlatPoint]
"""Where on the sheet a place along a joist and up it lies."""

ALWAYS = "joist"
"""Things of this kind are drawn though no rules are asked for."""
MOST_SHEETS = 9
"""Of more kinds of joists than this only the first are drawn; the findings have them all."""
MOST_STRIPS = 3
MOST_DETAILS = 4
"""More holes and notches than this are on the whole joist only."""
UNDER_MM, OVER_MM = 17.0, 9.0
"""What dimensions need under the drawing of a whole joist, and over it, under its words."""
LEVELS, ROW_MM = 4, 3.5
"""Of dimensions one over the other, over a whole joist; and from one to the next."""
DETAIL_MM, FIGURE_DETAIL_MM = 34.0, 45.0
"""How tall a row of details is at least, and on a figure."""
NARROW_MM = 150.0
"""On paper no wider than this two details stand side by side."""
DIMENSIONS_MM = 7.0
"""From one dimension line to the next."""
ALIKE_MM = 0.1
_HATCH_MM = 1.6
_TEXT_MM = 2.5


class _Zone(NamedTuple):
    """Where a hole may be drilled or a notch cut: along the joist and up it, mm."""

    low: float
    high: float
    bottom: float
    top: float
    kind: str


@dataclass(frozen=True)
class AlikeJoists:
    """Joists that are cut alike: their names, and the first of them with its cuts."""

    names: tuple[str, ...]
    joist: Joist
    cuts: tuple[JoistCut, ...]


def alike_joists(schedule: Schedule) -> list[AlikeJoists]:
    """Return the joists that the runs go through, those together that are of one size and cut in the same places."""
    kinds = {ALWAYS}.union(*(rules.cut_kinds for rules in schedule.job.rules))
    groups: dict[tuple[object, ...], list[CutJoist]] = {}
    for one in cut_joists(schedule, kinds):
        groups.setdefault(_looks(one), []).append(one)
    return [AlikeJoists(tuple(o.joist.name for o in group), group[0].joist, group[0].cuts) for group in groups.values()]


def _looks(one: CutJoist) -> tuple[object, ...]:
    joist = one.joist
    sizes = (joist.long_mm, joist.deep_mm, joist.wide_mm)
    places = [(cut.of, cut.kind, _to(cut.low_mm, cut.high_mm, cut.bottom_mm, cut.top_mm)) for cut in one.cuts]
    return joist.kind, _to(*sizes), tuple(sorted(places))


def _to(*lengths: float) -> tuple[int, ...]:
    return tuple(round(mm / ALIKE_MM) for mm in lengths)


def joist_sheet(group: AlikeJoists, rules: Sequence[RuleSet], paper: Paper, units: Units = MM) -> Sheet:
    """Draw joists that are cut alike.

    Args:
        group: the joists.
        rules: the sets of rules to show the zones of.
        paper: what it is drawn on.
        units: units and language of the reader.
    """
    joist = group.joist
    title = words(units, "joists.title", joists=named_joists(group.names, quoted=False))
    sets: list[RuleSet | None] = [one for one in rules if joist.kind in one.cut_kinds]
    strips = [_Strip(one, list(_zones(joist, one)), paper, units) for one in sets[:MOST_STRIPS] or [None]]
    narrow = paper.wide_mm <= NARROW_MM
    columns = 2 if narrow else MOST_DETAILS
    rows = -(-min(len(group.cuts), MOST_DETAILS) // columns)
    details = rows * (FIGURE_DETAIL_MM if narrow else DETAIL_MM)
    wide, deep, long = (Length(size, ".0f") for size in (joist.wide_mm, joist.deep_mm, joist.long_mm))
    head = [words(units, "joists.size", wide=wide, deep=deep, long=long)]
    head += [words(units, "joists.caution")] if paper.titled else []
    around = (12.0, details + sum(strip.around_mm for strip in strips))
    sheet, room = paper.begun(title, head, joist.long_mm, joist.deep_mm * len(strips), around)
    k, top = 1.0 / sheet.factor, room.high
    for strip in strips:
        low = top - strip.around_mm - joist.deep_mm * k
        _draw_strip(sheet, room._replace(low=low, high=top), group, strip, k, units)
        top = low
    high = (top - room.low) / rows
    cells = [ClipWindow(room.left + room.width * (n % columns) / columns, top - high * (n // columns + 1),
                        room.left + room.width * (n % columns + 1) / columns - 3.0, top - high * (n // columns))
             for n in range(MOST_DETAILS)]  # fmt: skip
    _details(sheet, cells, group, paper.titled is not None, units)
    return paper.ended(sheet, units)


class _Strip(NamedTuple):
    """A drawing of the whole joist: the rules whose zones it shows, the zones, and the paper."""

    rules: RuleSet | None
    zones: list[_Zone]
    paper: Paper
    units: Units

    @property
    def around_mm(self) -> float:
        """What it needs above and below the joist, mm of the paper."""
        over = OVER_MM + (LEVELS - 1) * ROW_MM
        return UNDER_MM + over + LEADING * self.paper.note_mm * len(self.key)

    @property
    def key(self) -> list[str]:
        """What its zones are, in lines."""
        rules, units = self.rules, self.units
        if rules is None:
            text = words(units, "joists.no rules")
        else:
            assert rules.joists is not None
            name, clause = Name(shown(rules.name, 40), quoted=False), Name(rules.joists.clause, quoted=False)
            said = "joists.zones" if self.zones else "joists.nothing allowed"
            text = words(units, said, name=name, clause=clause)
        return wrapped(text, self.paper.note_mm, self.paper.wide_mm)


def _draw_strip(sheet: Sheet, area: ClipWindow, group: AlikeJoists, strip: _Strip, k: float, units: Units) -> None:
    """Draw the whole joist with its cuts; with rules, where they would have them, dimensioned from the support."""
    joist, low = group.joist, area.low + UNDER_MM
    left = (area.left + area.right - joist.long_mm * k) / 2.0

    def at(along_mm: float, up_mm: float) -> FlatPoint:
        return left + along_mm * k, low + up_mm * k

    joists = strip.rules.joists if strip.rules is not None else None
    zones, letters = strip.zones, strip.paper.note_mm
    for n, line in enumerate(strip.key, 1):
        role = Role.CLASH if joists is not None and not zones else Role.DIMENSION
        sheet.words(line, (area.left, area.high - LEADING * letters * n), letters, role=role)
    for zone in zones:
        box = rectangle(*at(zone.low, zone.bottom), *at(zone.high, zone.top))
        for p, q in hatched(box, _HATCH_MM, 45.0 if zone.kind == "hole" else 135.0):
            sheet.line((p, q), Role.HATCH)
        for p, q in box:
            sheet.line((p, q), Role.PAPER)
    for p, q in rectangle(*at(0.0, 0.0), *at(joist.long_mm, joist.deep_mm)):
        sheet.line((p, q), Role.OUTLINE)
    for x, y in (at(0.0, 0.0), at(joist.long_mm, 0.0)):
        sheet.line([(x, y), (x - 1.6, y - 2.8), (x + 1.6, y - 2.8)], Role.DIMENSION, closed=True)
    wrong = _wrong(group, joists) if joists is not None and zones else ()
    for cut in group.cuts:
        _draw_cut(sheet, cut, joist, at, Role.CLASH if cut in wrong else Role.MARK)
    _places(sheet, group, at, -DIMENSIONS_MM, units)
    ends = sorted({0.0, *(end for zone in zones if zone.high <= joist.long_mm / 2.0 for end in (zone.low, zone.high))})
    row = -1
    for before, after in reversed(list(pairwise(ends))):
        p, q = at(before, joist.deep_mm), at(after, joist.deep_mm)
        one = Dimension(p, q, OVER_MM / 2.0, units.short(after - before), 2.0)
        # A figure beside its arrows stands over the neighbour, so above the neighbour's line and figure.
        row = 0 if one.between else row + 1
        sheet.items.append(one._replace(away=one.away + ROW_MM * row))


def _wrong(group: AlikeJoists, joists: JoistRules) -> set[JoistCut]:
    """Return the cuts that a rule does not allow, where they are or so near to another."""
    close = {cut for one, two, _, _ in too_close(group.cuts, joists) for cut in (one, two)}
    both = on_both_sides(group.cuts, group.joist, joists)
    alone = (cut for cut in group.cuts if any(wrong_cut(cut, group.joist, joists)) or (both and cut.kind == "notch"))
    return close.union(alone)


def _zones(joist: Joist, of: RuleSet | None) -> Iterator[_Zone]:
    """Yield where a hole and a notch may be, on both sides of the middle of the span."""
    rules = of.joists if of is not None else None
    if rules is None or never_cut(joist, rules):
        return
    deep = joist.deep_mm
    if (hole := rules.hole) is not None:
        wide = rules.most_mm("hole", deep)
        yield from _both(joist, hole, (deep - wide) / 2.0, (deep + wide) / 2.0, "hole")
    if (notch := rules.notch) is not None:
        most = rules.most_mm("notch", deep)
        yield from _both(joist, notch, deep - most, deep, "notch")
        if not notch.top_only:
            yield from _both(joist, notch, 0.0, most, "notch")


def _both(joist: Joist, zone: CutZone, bottom: float, top: float, kind: str) -> Iterator[_Zone]:
    low, high = zone.from_ * joist.long_mm, zone.to * joist.long_mm
    yield _Zone(low, high, bottom, top, kind)
    yield _Zone(joist.long_mm - high, joist.long_mm - low, bottom, top, kind)


def _draw_cut(sheet: Sheet, cut: JoistCut, joist: Joist, at: _At, role: Role = Role.MARK) -> None:
    if cut.kind == "hole":
        (x, y), (right, _) = at(cut.middle_mm, (cut.bottom_mm + cut.top_mm) / 2.0), at(cut.high_mm, 0.0)
        sheet.circle((x, y), max(right - x, 0.6), role)
        return
    edge, depth = (
        (joist.deep_mm, max(cut.bottom_mm, 0.0)) if at_top(cut, joist) else (0.0, min(cut.top_mm, joist.deep_mm))
    )
    sheet.line([at(cut.low_mm, edge), at(cut.low_mm, depth), at(cut.high_mm, depth), at(cut.high_mm, edge)], role)


def _places(sheet: Sheet, group: AlikeJoists, at: _At, away: float, units: Units) -> None:
    """Dimension where the middle of each cut is, from the nearer end of the joist, one line under the other."""
    long = group.joist.long_mm
    near = sorted(group.cuts, key=lambda cut: min(cut.middle_mm, long - cut.middle_mm))
    line = {"left": 0, "right": 0}
    for cut in near[:MOST_DETAILS]:
        from_left = cut.middle_mm <= long / 2.0
        side = "left" if from_left else "right"
        line[side] += 1
        p, q = at(0.0 if from_left else long, 0.0), at(cut.middle_mm, 0.0)
        text = units.short(abs(cut.middle_mm - (0.0 if from_left else long)))
        a, b = (p, q) if from_left else (q, p)
        sheet.dimension(a, b, away * (0.35 + 0.65 * line[side]), text, 2.0)


def _details(sheet: Sheet, cells: Sequence[ClipWindow], group: AlikeJoists, to_scale: bool, units: Units) -> None:
    """Draw each cut at a larger scale: how wide it is, and how much wood is left above and below it."""
    joist, cuts = group.joist, sorted(group.cuts, key=lambda cut: cut.middle_mm)
    room = cells[0].height - 16.0
    standard = next((n for n in SCALES if joist.deep_mm / n <= room), SCALES[-1])
    scale = standard if to_scale else joist.deep_mm / room
    for cell, cut in zip(cells, cuts, strict=False):
        _detail(sheet, cell, cut, joist, scale, to_scale, units)
    more = len(cuts) - len(cells)
    if more > 0:
        sheet.words(words(units, "joists.more", n=Count(more)), (cells[-1].left, cells[-1].low), _TEXT_MM)


def _detail(
    sheet: Sheet, area: ClipWindow, cut: JoistCut, joist: Joist, scale: float, to_scale: bool, units: Units
) -> None:
    k = 1.0 / scale
    middle, low = area.left + 0.36 * area.width, area.low + 3.5

    def at(along_mm: float, up_mm: float) -> FlatPoint:
        return middle + (along_mm - cut.middle_mm) * k, low + up_mm * k

    half = 0.32 * area.width / k
    for edge in (0.0, joist.deep_mm):
        parts = [(cut.middle_mm - half, cut.middle_mm + half)]
        if cut.kind == "notch" and (edge > 0.0) == at_top(cut, joist):
            parts = [(cut.middle_mm - half, cut.low_mm), (cut.high_mm, cut.middle_mm + half)]
        for begin, end in parts:
            sheet.line([at(begin, edge), at(end, edge)], Role.OUTLINE)
    axis = (cut.bottom_mm + cut.top_mm) / 2.0
    sheet.line([at(cut.middle_mm - 0.8 * half, joist.deep_mm / 2.0), at(cut.middle_mm + half, joist.deep_mm / 2.0)],
               Role.CENTRE)  # fmt: skip
    sheet.line([at(cut.middle_mm, -2.0 / k), at(cut.middle_mm, joist.deep_mm + 2.0 / k)], Role.CENTRE)
    _draw_cut(sheet, cut, joist, at)
    whose = shown(cut.of, 24) if cut.of else words(units, "joists.there")
    title = words(units, "joists.detail", whose=Name(whose, quoted=False), what=Word(cut.kind))
    title += f", 1:{scale}" if to_scale else ""
    for n, line in enumerate(wrapped(title, 1.1 * _TEXT_MM, area.width)[:2], 1):
        sheet.words(line, (area.left, area.high - LEADING * _TEXT_MM * n), _TEXT_MM, bold=True)
    if cut.kind == "hole":
        p, q = at(cut.low_mm, axis), at(cut.high_mm, axis)
        drop = (joist.deep_mm - axis) * k + 4.5
        sheet.dimension(p, q, drop, f"\u2300{units.short(cut.wide_mm)}", _TEXT_MM)
        ends = (0.0, axis, joist.deep_mm)
    else:
        edge, away = (joist.deep_mm, 4.5) if at_top(cut, joist) else (0.0, -4.5)
        wide = units.short(cut.high_mm - cut.low_mm)
        sheet.dimension(at(cut.low_mm, edge), at(cut.high_mm, edge), away, wide, _TEXT_MM)
        ends = (0.0, cut.bottom_mm if at_top(cut, joist) else cut.top_mm, joist.deep_mm)
    x = cut.middle_mm + half
    lower, upper = (
        Dimension(at(x, begin), at(x, end), -5.0, units.short(end - begin), _TEXT_MM) for begin, end in pairwise(ends)
    )
    # One with no room between its arrows has its figure beyond them, beside the other rather than at the title.
    if not upper.between:
        upper = upper._replace(a=upper.b, b=upper.a, away=10.0 if lower.between else 5.0)
    if not lower.between:
        lower = lower._replace(away=-10.0)
    sheet.items += lower, upper
