"""Full-size templates: a planar stretch of a run 1:1, and the angle card to lay inside a bend."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import partial
from math import ceil, inf

from pipemodel.bending.angle_card import CARD_LEGS_MM, EDGE_MM, FOOT_MM, card_corners, card_leg_mm, paper_of
from pipemodel.bending.schedule import SolvedRun
from pipemodel.drawing.clipping import ClipWindow
from pipemodel.drawing.labels import ANYWHERE_MM, LEADER_FROM_MM, Label, LabelSpot, placed
from pipemodel.drawing.placing import Placer, box_of
from pipemodel.drawing.primitives import FlatPoint, Line, Primitive, Role, Text, moved
from pipemodel.drawing.sheet import Sheet
from pipemodel.drawing.template_words import end_words, mark_words
from pipemodel.drawing.tiles import tiles, words_cut
from pipemodel.geometry.centreline import Arc, LinePiece
from pipemodel.geometry.vectors import Vec3, along, cross, dot, rotate, sub
from pipemodel.messages.angles import rounded_deg
from pipemodel.messages.say import words
from pipemodel.messages.units import MM, Units
from pipemodel.messages.values import Angle, Count, Message, Name, Size, Tape, message
from pipemodel.pulls.plan import NO_PLAN, Plan

FLAT_DEG = 0.1
"""Turns nearer than this to 0 or 180 leave the next bend in the same plane."""
AT_END_MM = 0.1
LONGEST_LEG_MM = 300.0
"""A leg longer than this, more than a sheet, is measured, and not laid out in sheets of straight tube."""
TAILS_MM = (150.0, 120.0, 100.0, 80.0, 60.0)
"""An end leg longer than this is cut short on a template, with its true length written on it; as the paper allows."""
TILTS_DEG = tuple(range(0, 180, 15))
PAD_MM = 12.0
ACROSS_MM = 5.0
"""How far the strokes where a bend begins and ends stand out beside the tube."""
LOOK_EVERY_MM = 15.0
CLOSER_LOOKS = 40
"""Ways of laying a template that are drawn, to count their pages."""


@dataclass(frozen=True)
class TemplateStretch:
    """Consecutive bends in one plane: numbers of the first and the last."""

    first: int
    last: int

    @property
    def bends(self) -> Message:
        """Which bends they are: "bend 1", or "bends 2 to 4"."""
        if self.first == self.last:
            return message("part.bend", bend=Count(self.first))
        return message("template.bends", first=Count(self.first), last=Count(self.last))


def planar_stretches(solved: SolvedRun) -> list[TemplateStretch]:
    """Split a run at the bends that leave the plane of the one before, and at very long legs.

    Every bend is in one stretch.
    """
    stretches: list[TemplateStretch] = []
    for bend in solved.table.bends:
        aside = min(abs(bend.turn_deg), 180.0 - abs(bend.turn_deg))
        if bend.number > 1 and aside <= FLAT_DEG and bend.straight_before_mm <= LONGEST_LEG_MM:
            stretches[-1] = TemplateStretch(stretches[-1].first, bend.number)
        else:
            stretches.append(TemplateStretch(bend.number, bend.number))
    return stretches


def best_template(
    solved: SolvedRun,
    stretch: TemplateStretch,
    page: FlatPoint,
    overlap: float,
    units: Units = MM,
    plan: Plan = NO_PLAN,
) -> Sheet:
    """Draw a planar stretch full size, laid and cut short so that it takes the fewest pages.

    Args:
        solved: the run.
        stretch: which of its bends.
        page: width and height of what can be drawn on of a page, mm.
        overlap: of neighbouring pages, mm.
        units: what lengths are read in.
        plan: its plan of pulls, whose marks are shown.
    """
    step = (page[0] - overlap, page[1] - overlap)
    reckoned: list[tuple[int, float, float]] = []
    for tail in TAILS_MM:
        along_it = _looked_at(solved, stretch, tail)
        reckoned += [(_reckoned_pages(solved, stretch, along_it, tilt, step), -tail, tilt) for tilt in TILTS_DEG]
    looks = [(least, -tail, tilt, inside) for least, tail, tilt in sorted(reckoned) for inside in (False, True)]
    best: tuple[tuple[int, int], Sheet] | None = None
    for least, tail, tilt, inside in looks[:CLOSER_LOOKS]:
        if best is not None and best[0] <= (least, 0):
            break
        sheet = template(solved, stretch, tail, tilt, units, inside, plan)
        cut, needed = words_cut(sheet, *page, overlap), len(tiles(sheet, *page, overlap))
        # Words that no page has whole are as bad as one page more.
        if best is None or (needed + (cut > 0), cut) < best[0]:
            best = ((needed + (cut > 0), cut), sheet)
    assert best is not None, "there is at least one way to lay it"
    return best[1]


def _looked_at(solved: SolvedRun, stretch: TemplateStretch, tail: float) -> list[Vec3]:
    """Return points along the tube of a stretch, its end legs cut short."""
    pieces, points = _pieces_of(solved, stretch), []
    for i, piece in enumerate(pieces):
        begin, end = _shown_part(pieces, i, tail)
        steps = max(ceil((end - begin) / LOOK_EVERY_MM), 1)
        points += [piece.point_at(begin + (end - begin) * k / steps) for k in range(steps + 1)]
    return points


def _reckoned_pages(
    solved: SolvedRun, stretch: TemplateStretch, along_it: Sequence[Vec3], tilt: float, step: tuple[float, float]
) -> int:
    """Return how many pages a way of laying takes at least, going by points along it; `step`: across and up a page."""
    first = _pieces_of(solved, stretch)[1]
    assert isinstance(first, Arc)
    plane = _Plane(first, tilt)
    points = [plane.flat(p) for p in along_it]
    around = solved.tube.outside_mm / 2.0 + ACROSS_MM
    left, low = (min(p[axis] for p in points) - around - PAD_MM for axis in (0, 1))
    return len(
        {
            (int((x - left + dx) // step[0]), int((y - low + dy) // step[1]))
            for x, y in points
            for dx in (-around, around)
            for dy in (-around, around)
        }
    )


def template(
    solved: SolvedRun,
    stretch: TemplateStretch,
    tail: float = TAILS_MM[0],
    tilt: float = 0.0,
    units: Units = MM,
    inside: bool = False,
    plan: Plan = NO_PLAN,
) -> Sheet:
    """Draw a planar stretch full size: both walls, centreline, where bends begin and end, and their angles.

    The sheet is as large as the stretch; `tiles` cuts it into pages.

    Args:
        solved: the run.
        stretch: which of its bends.
        tail: end legs are cut short to this, mm.
        tilt: how far the first leg points up from the horizontal, in degrees.
        units: what lengths are read in.
        inside: whether bends are named on their inside.
        plan: its plan of pulls, whose marks are shown.
    """
    pieces = _pieces_of(solved, stretch)
    first = pieces[1]
    assert isinstance(first, Arc)
    flat = _Plane(first, tilt)
    half = solved.tube.outside_mm / 2.0
    strokes: list[tuple[list[FlatPoint], Role]] = []
    labels: list[tuple[Label, LabelSpot]] = []
    for i, piece in enumerate(pieces):
        begin, end = _shown_part(pieces, i, tail)
        beside = flat.offset(piece, begin, end, (half, -half, 0.0))
        strokes += zip(beside, (Role.OUTLINE, Role.OUTLINE, Role.CENTRE), strict=True)
        if end - begin < piece.length:
            at = begin if i == 0 else end
            strokes.append((flat.across(piece, at, half + 4.0), Role.DIMENSION))
            text = words(units, "template.cut short", length=Name(units.short(piece.length), quoted=False))
            labels.append((Label(text, 2.5), LabelSpot(*flat.end(piece, at, -1.0 if i == 0 else 1.0), 2.5)))
        elif i in (0, len(pieces) - 1) and piece.length > 0.0:
            at = begin if i == 0 else end
            strokes.append((flat.across(piece, at, half), Role.OUTLINE))
        if isinstance(piece, Arc):
            number = stretch.first + i // 2
            for at in (0.0, piece.length):
                strokes.append((flat.across(piece, at, half + ACROSS_MM), Role.MARK))
            angle, radius = Angle(piece.angle_deg), Tape(piece.radius, unit=False, exact=True)
            text = words(units, "template.bend", bend=Count(number), angle=angle, radius=radius)
            labels.append((Label(text, 3.0), LabelSpot(*flat.back(piece, inside), half + ACROSS_MM)))
    part = partial(_shown_part, pieces, tail=tail)
    for label, i, at in end_words(solved, stretch.first, pieces, part, units):
        labels.append((label, LabelSpot(*flat.end(pieces[i], at, -1.0 if i == 0 else 1.0), 2.5)))
    for label, i, at in mark_words(solved, plan, stretch.first, pieces, part, units):
        # At the end of a bend there is a stroke already.
        if min(at, pieces[i].length - at) > AT_END_MM:
            strokes.append((flat.across(pieces[i], at, half + ACROSS_MM), Role.DIMENSION))
        labels.append((label, LabelSpot(*flat.beside(pieces[i], at), half + ACROSS_MM)))
    placer = Placer(ClipWindow(-inf, -inf, inf, inf))
    for stroke, _ in strokes:
        placer.add_stroke(stroke)
    written = [item for label, spot in labels for item in placed(placer, label, [spot], ANYWHERE_MM, LEADER_FROM_MM)]
    title = words(units, "template.title", run=Name(solved.name, quoted=False), bends=stretch.bends)
    return _on_a_sheet(title, strokes, written)


def _pieces_of(solved: SolvedRun, stretch: TemplateStretch) -> Sequence[LinePiece]:
    return solved.centreline.pieces[2 * (stretch.first - 1) : 2 * stretch.last + 1]


def _shown_part(pieces: Sequence[LinePiece], i: int, tail: float) -> tuple[float, float]:
    """Return from where to where a piece is drawn, the end legs cut short."""
    length = pieces[i].length
    return (max(length - tail, 0.0) if i == 0 else 0.0), (min(length, tail) if i == len(pieces) - 1 else length)


def _on_a_sheet(title: str, strokes: Sequence[tuple[list[FlatPoint], Role]], written: Sequence[Primitive]) -> Sheet:
    points = [p for stroke, _ in strokes for p in stroke]
    points += [p for item in written if isinstance(item, Text) for p in box_of(item)]
    window = ClipWindow.around(points, PAD_MM)
    sheet = Sheet(window.width, window.height, title)
    for item in [*(Line(tuple(stroke), role) for stroke, role in strokes), *written]:
        sheet.items.append(moved(item, (-window.left, -window.low)))
    return sheet


class _Plane:
    """The plane of a stretch, seen so that its first bend turns to the left."""

    def __init__(self, first: Arc, tilt: float) -> None:
        self.origin, self.normal = first.start, first.axis
        self.x = rotate(first.direction, first.axis, -tilt)
        self.y = cross(self.normal, self.x)

    def flat(self, p: Vec3) -> FlatPoint:
        """Return where a point of the plane lies on the paper."""
        d = sub(p, self.origin)
        return (dot(d, self.x), dot(d, self.y))

    def offset(self, piece: LinePiece, begin: float, end: float, sides: Sequence[float]) -> list[list[FlatPoint]]:
        """Points of a piece moved sideways by each of `sides`; an arc in chords that miss it by less than 0.01 mm."""
        steps = max(2, ceil((end - begin) / piece.radius / 0.035)) if isinstance(piece, Arc) else 1
        places = [self._place(piece, begin + (end - begin) * k / steps) for k in range(steps + 1)]
        return [[self.flat(along(p, left, side)) for p, left in places] for side in sides]

    def across(self, piece: LinePiece, s: float, reach: float) -> list[FlatPoint]:
        """A stroke across the tube."""
        p, left = self._place(piece, s)
        return [self.flat(along(p, left, side)) for side in (reach, -reach)]

    def back(self, piece: Arc, inside: bool) -> tuple[FlatPoint, FlatPoint]:
        """The middle of a bend, and which way its back lies, or its inside."""
        at, centre = self.flat(piece.point_at(piece.length / 2.0)), self.flat(piece.centre)
        radius = -piece.radius if inside else piece.radius
        return at, ((at[0] - centre[0]) / radius, (at[1] - centre[1]) / radius)

    def beside(self, piece: LinePiece, s: float) -> tuple[FlatPoint, FlatPoint]:
        """A place of the axis, and which way its right side lies."""
        p, left = self._place(piece, s)
        at, aside = self.flat(p), self.flat(along(p, left, -1.0))
        return at, (aside[0] - at[0], aside[1] - at[1])

    def end(self, piece: LinePiece, s: float, way: float) -> tuple[FlatPoint, FlatPoint]:
        """Where a tail is cut, and which way the tube would go on: 1 onwards, -1 back."""
        a, b = self.flat(piece.point_at(s)), self.flat(piece.point_at(s + way))
        return a, (b[0] - a[0], b[1] - a[1])

    def _place(self, piece: LinePiece, s: float) -> tuple[Vec3, Vec3]:
        """Return a point of the axis, and the unit vector to its left."""
        return piece.point_at(s), cross(self.normal, piece.direction_at(s))


def lacks_card(solved: SolvedRun, bend: int) -> bool:
    """Whether no angle card can judge a bend, given by its number."""
    it = solved.table.bends[bend - 1]
    return not card_leg_mm(it.angle_deg, it.radius_mm, solved.tube.outside_mm)


def angle_cards(runs: Sequence[SolvedRun], units: Units = MM) -> Iterator[Sheet]:
    """Draw a card for each angle of some runs that has one; runs of one tube and former share it."""
    # The card of the widest radius serves the others of its run, and so do those of a run bent like it.
    wanted: dict[tuple[float, float, float], SolvedRun] = {}
    for solved in runs:
        outside = solved.tube.outside_mm
        with_card = [bend for bend in solved.table.bends if card_leg_mm(bend.angle_deg, bend.radius_mm, outside)]
        for angle in {rounded_deg(bend.angle_deg) for bend in with_card}:
            wanted.setdefault((outside, angle, _card_radius(solved, angle)), solved)
    for outside, angle, radius in sorted(wanted):
        alike = sum(other[:2] == (outside, angle) for other in wanted)
        several = alike > 1 or len({other[0] for other in wanted}) > 1
        yield angle_card(wanted[outside, angle, radius], angle, units=units, told_apart=several)


def _card_radius(solved: SolvedRun, angle_deg: float) -> float:
    """Return the radius that the card of an angle is made for: the widest of the bends that have a card."""
    alike = [bend.radius_mm for bend in solved.table.bends if rounded_deg(bend.angle_deg) == rounded_deg(angle_deg)]
    outside = solved.tube.outside_mm
    return max((r for r in alike if card_leg_mm(angle_deg, r, outside)), default=solved.largest_radius_mm(angle_deg))


def angle_card(solved: SolvedRun, angle_deg: float, units: Units = MM, told_apart: bool = False) -> Sheet:
    """Draw a card to cut out and lay inside a bend: its two long edges meet at the angle the legs should have.

    It lies clear of the inside of all bends of that angle. `told_apart` writes the tube and the radius under it.
    """
    outside = solved.tube.outside_mm
    radius = _card_radius(solved, angle_deg)
    leg = card_leg_mm(angle_deg, radius, outside)
    corners = card_corners(angle_deg, radius, outside, leg or CARD_LEGS_MM[-1])
    left, low = min(x for x, _ in corners) - EDGE_MM, -FOOT_MM
    title = words(units, "template.card", angle=Angle(angle_deg))
    wide, high = paper_of(corners)
    sheet = Sheet(max(wide, 90.0), high, title)
    placed = [(x - left, y - low) for x, y in corners]
    sheet.line(placed, Role.OUTLINE, closed=True)
    middle = (sum(x for x, _ in placed) / 4.0, sum(y for _, y in placed) / 4.0)
    sheet.words(f"{units.angle(angle_deg)}\u00b0", (middle[0], middle[1] - 2.0), 4.0, "centre", bold=True)
    # Under the card, whose lowest edge lies 9 mm above the foot: the angle is in its middle, so nothing can meet.
    what = words(units, "template.cut out")
    if told_apart:
        what = words(units, "template.cut out for", tube=Size(outside), radius=Tape(radius, unit=False, exact=True))
    sheet.words(what, (6.0, 2.5), 2.0)
    return sheet
