"""Joists seen from the side, with the holes and notches that runs need in them, and where rules would have them.

One sheet for joists that are cut alike: the whole joist with the zones of each code of practice hatched, and under it
each hole and notch at a larger scale, dimensioned from the edges of the joist, which one can put a tape to.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import NamedTuple, TypeAlias

from pipemodel.bending.schedule import Schedule
from pipemodel.checks.building_rules import wrong_cut
from pipemodel.checks.joist_crossings import CutJoist, Joist, JoistCut, cut_joists, named_joists
from pipemodel.drawing.clipping import ClipWindow
from pipemodel.drawing.general import NOTE_HEIGHT, TITLE_HEIGHT
from pipemodel.drawing.hatch import hatched, rectangle
from pipemodel.drawing.layout import A4, SCALES
from pipemodel.drawing.primitives import FlatPoint, Role
from pipemodel.drawing.sheet import Sheet
from pipemodel.drawing.title_block import Titled, draw_frame, drawing_area
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
STRIPS_SHARE = 0.8
"""Drawings of the whole joist take no more of the sheet's height."""
LOW_MM, OVER_MM = 17.0, 13.0
"""What is kept under a joist for its dimensions, and over it."""
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


def joist_sheet(
    group: AlikeJoists,
    rules: Sequence[RuleSet],
    titled: Titled,
    units: Units = MM,
) -> Sheet:
    """Draw joists that are cut alike.

    Args:
        group: the joists.
        rules: the sets of rules to show the zones of.
        titled: returns what the title block says for a title.
        units: units and language of the reader.
    """
    joist = group.joist
    title = words(units, "joists.title", joists=named_joists(group.names, quoted=False))
    area = drawing_area(A4)
    top = area.high - TITLE_HEIGHT - 8.0
    sets: list[RuleSet | None] = [one for one in rules if joist.kind in one.cut_kinds]
    strips = sets[:MOST_STRIPS] or [None]
    deep = STRIPS_SHARE * (top - area.low) / len(strips) - LOW_MM - OVER_MM
    scale = next(
        (n for n in SCALES if joist.long_mm / n <= area.width - 12.0 and joist.deep_mm / n <= deep), SCALES[-1]
    )
    sheet = Sheet(*A4, title, factor=float(scale))
    sheet.words(_size_words(joist, units), (area.left, area.high - TITLE_HEIGHT), TITLE_HEIGHT)
    sheet.words(words(units, "joists.caution"), (area.left, area.high - TITLE_HEIGHT - 4.5), NOTE_HEIGHT)
    high = joist.deep_mm / scale + LOW_MM + OVER_MM
    for one in strips:
        _strip(sheet, ClipWindow(area.left, top - high, area.right, top), group, one, 1.0 / scale, units)
        top -= high
    _details(sheet, ClipWindow(area.left, area.low, area.right, top), group, units)
    draw_frame(sheet, titled(title), f"1:{scale}", units, first_angle=False)
    return sheet


def _size_words(joist: Joist, units: Units) -> str:
    return words(
        units, "joists.size", wide=Length(joist.wide_mm, ".0f"), deep=Length(joist.deep_mm, ".0f"),
        long=Length(joist.long_mm, ".0f"),
    )  # fmt: skip


def _strip(sheet: Sheet, area: ClipWindow, group: AlikeJoists, rules: RuleSet | None, k: float, units: Units) -> None:
    """Draw the whole joist with its cuts; with rules, where they would have them, dimensioned from the support."""
    joist, low = group.joist, area.low + LOW_MM
    left = (area.left + area.right - joist.long_mm * k) / 2.0

    def at(along_mm: float, up_mm: float) -> FlatPoint:
        return left + along_mm * k, low + up_mm * k

    joists = rules.joists if rules is not None else None
    zones = list(_zones(joist, joists)) if joists is not None else []
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
    for cut in group.cuts:
        wrong = bool(zones) and joists is not None and any(wrong_cut(cut, joist, joists))
        _draw_cut(sheet, cut, joist, at, Role.CLASH if wrong else Role.MARK)
    _key(sheet, (area.left, low + joist.deep_mm * k + 11.0), rules, zones, units)
    _places(sheet, group, at, -DIMENSIONS_MM, units)
    ends = sorted({0.0, *(end for zone in zones if zone.high <= joist.long_mm / 2.0 for end in (zone.low, zone.high))})
    for before, after in zip(ends, ends[1:], strict=False):
        p, q = at(before, joist.deep_mm), at(after, joist.deep_mm)
        sheet.dimension(p, q, 4.5, units.short(after - before), 2.0)


def _zones(joist: Joist, rules: JoistRules) -> Iterator[_Zone]:
    """Yield where a hole and a notch may be, on both sides of the middle of the span."""
    if joist.kind in rules.never or joist.deep_mm <= rules.shallowest:
        return
    if rules.deepest is not None and joist.deep_mm > rules.deepest:
        return
    deep = joist.deep_mm
    if (hole := rules.hole) is not None:
        wide = min(hole.wide * deep, hole.most or hole.wide * deep)
        yield from _both(joist, hole, (deep - wide) / 2.0, (deep + wide) / 2.0, "hole")
    if (notch := rules.notch) is not None:
        most = min(notch.deep * deep, notch.most or notch.deep * deep)
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
    at_top = cut.top_mm + cut.bottom_mm >= joist.deep_mm
    edge, depth = (joist.deep_mm, max(cut.bottom_mm, 0.0)) if at_top else (0.0, min(cut.top_mm, joist.deep_mm))
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


def _key(sheet: Sheet, at: FlatPoint, rules: RuleSet | None, zones: Sequence[_Zone], units: Units) -> None:
    if rules is None:
        sheet.words(words(units, "joists.no rules"), at, NOTE_HEIGHT)
        return
    assert rules.joists is not None
    name, clause = Name(shown(rules.name, 40), quoted=False), Name(rules.joists.clause, quoted=False)
    if not zones:
        sheet.words(words(units, "joists.nothing allowed", name=name, clause=clause), at, NOTE_HEIGHT, role=Role.CLASH)
        return
    sheet.words(words(units, "joists.zones", name=name, clause=clause), at, NOTE_HEIGHT)


def _details(sheet: Sheet, area: ClipWindow, group: AlikeJoists, units: Units) -> None:
    """Draw each cut at a larger scale: how wide it is, and how much wood is left above and below it."""
    joist, cuts = group.joist, sorted(group.cuts, key=lambda cut: cut.middle_mm)
    cell = area.width / MOST_DETAILS
    room = area.height - 14.0
    scale = next((n for n in SCALES if joist.deep_mm / n <= room), SCALES[-1])
    for number, cut in enumerate(cuts[:MOST_DETAILS]):
        left = area.left + number * cell
        _detail(sheet, ClipWindow(left, area.low, left + cell - 6.0, area.high), cut, joist, scale, units)
    more = len(cuts) - MOST_DETAILS
    if more > 0:
        sheet.words(words(units, "joists.more", n=Count(more)), (area.left, area.low), NOTE_HEIGHT)


def _detail(sheet: Sheet, area: ClipWindow, cut: JoistCut, joist: Joist, scale: int, units: Units) -> None:
    k = 1.0 / scale
    middle, low = area.left + 0.36 * area.width, area.low + 3.5

    def at(along_mm: float, up_mm: float) -> FlatPoint:
        return middle + (along_mm - cut.middle_mm) * k, low + up_mm * k

    half = 0.32 * area.width / k
    for edge in (0.0, joist.deep_mm):
        parts = [(cut.middle_mm - half, cut.middle_mm + half)]
        if cut.kind == "notch" and (edge > 0.0) == (cut.top_mm + cut.bottom_mm >= joist.deep_mm):
            parts = [(cut.middle_mm - half, cut.low_mm), (cut.high_mm, cut.middle_mm + half)]
        for begin, end in parts:
            sheet.line([at(begin, edge), at(end, edge)], Role.OUTLINE)
    axis = (cut.bottom_mm + cut.top_mm) / 2.0
    sheet.line([at(cut.middle_mm - 0.8 * half, joist.deep_mm / 2.0), at(cut.middle_mm + half, joist.deep_mm / 2.0)],
               Role.CENTRE)  # fmt: skip
    sheet.line([at(cut.middle_mm, -2.0 / k), at(cut.middle_mm, joist.deep_mm + 2.0 / k)], Role.CENTRE)
    _draw_cut(sheet, cut, joist, at)
    whose = shown(cut.of, 24) if cut.of else words(units, "joists.there")
    title = words(units, "joists.detail", whose=Name(whose, quoted=False), what=Word(cut.kind), scale=Count(scale))
    sheet.words(title, (area.left, area.high - 3.0), _TEXT_MM, bold=True)
    if cut.kind == "hole":
        p, q = at(cut.low_mm, axis), at(cut.high_mm, axis)
        drop = (joist.deep_mm - axis) * k + 4.5
        sheet.dimension(p, q, drop, f"\u2300{units.short(cut.wide_mm)}", _TEXT_MM)
        ends = (0.0, axis, joist.deep_mm)
    else:
        at_top = cut.top_mm + cut.bottom_mm >= joist.deep_mm
        edge = joist.deep_mm if at_top else 0.0
        away = 4.5 if at_top else -4.5
        wide = units.short(cut.high_mm - cut.low_mm)
        sheet.dimension(at(cut.low_mm, edge), at(cut.high_mm, edge), away, wide, _TEXT_MM)
        ends = (0.0, cut.bottom_mm if at_top else cut.top_mm, joist.deep_mm)
    for begin, end in zip(ends, ends[1:], strict=False):
        if end > begin:
            x = cut.middle_mm + half
            sheet.dimension(at(x, begin), at(x, end), -5.0, units.short(end - begin), _TEXT_MM)
