"""The drawing on a pull card: the piece before and after the pull, as the person at the bender sees it.

The eye looks down on the bender from the near side, a little from the left (docs/bending.md): held end to the
left, free end to the right, the pull comes towards the eye. Straight up on the sheet is up; away from the eye goes
up and to the right. What stands above or below the plane of the pull throws a thin shadow on it, and its ends say
how far up or down they are. Tails too long to show are broken off and legs broken in the middle, with what is missing
written at the break.
"""

from collections.abc import Sequence
from math import cos, hypot, pi, radians, sin

from pipemodel.bending.schedule import SolvedRun
from pipemodel.drawing.clipping import ClipWindow
from pipemodel.drawing.labels import ANYWHERE_MM, Label, LabelSpot, put_label
from pipemodel.drawing.panel import Panel, ribbon
from pipemodel.drawing.pull_legs import with_short_legs
from pipemodel.drawing.pull_scene import Drawn, Scene, scene_of
from pipemodel.drawing.sheet import FlatPoint, Role, Sheet
from pipemodel.geometry.vectors import Vec3, along, any_normal, cross, length, scale
from pipemodel.geometry.view import View
from pipemodel.messages.say import say, words
from pipemodel.messages.units import MM, Units
from pipemodel.messages.values import NOTHING, Angle, Count, Word, message
from pipemodel.pulls.bender_frame import sides_of, swung_side
from pipemodel.pulls.cards import Card
from pipemodel.pulls.limits import FINISH, START, FlatTube

PANEL = (88.0, 76.0)
"""Width and height of one panel in mm."""
EYE = View.standing(18.0, 40.0)
"""The eye looks down steeply, and a little from the left."""
UPWARDS = (0.29, 0.96)
SIDE, FOOT, TITLE = 1.0, 8.0, 5.0
"""Kept free of labels beside a panel, at its foot and for its title."""
AROUND = (8.0, 10.0)
"""Kept free for labels beside what is drawn, and above and below it."""
LARGEST = 0.45
"""Mm of the drawing to a mm of the piece, at most."""
WORD_BEYOND = 1.06
"""How far from the former's centre the word at the arrow stands, by the arrow's own distance."""
HEAD = 11.0
"""Height of what is written over the panels."""


def pull_sheet(solved: SolvedRun, card: Card, units: Units = MM) -> Sheet:
    """Draw the piece before and after a pull, side by side, for a reader of some units and a language."""
    pull = card.pull
    held = START if pull.held == "start" else FINISH
    made = sum(1 << (n - 1) for n in pull.made)
    bends, tube, index = solved.table.bends, FlatTube.of(solved), pull.bend - 1
    short = with_short_legs(bends, tube, {*pull.made, pull.bend})
    kept, free = (
        Drawn(*both)
        for both in zip(sides_of(bends, tube, index, held, made), sides_of(*short, index, held, made), strict=True)
    )
    swung = Drawn(swung_side(bends, free.true, index), swung_side(short[0], free.shown, index))
    before = scene_of(solved, card, (kept, free), None, units)
    after = scene_of(solved, card, (kept, swung), pull.bend, units)
    radius, half = bends[pull.bend - 1].radius_mm, solved.tube.outside_mm / 2.0
    arrow = _pull_arc(radius, bends[pull.bend - 1].angle_deg)
    number, bend = Count(pull.number), Count(pull.bend)
    title = words(units, "pull drawing.title", pull=number, bend=bend)
    sheet = Sheet(2.0 * PANEL[0], PANEL[1] + HEAD, title)
    head = words(
        units,
        "pull drawing.head",
        pull=number,
        bend=bend,
        end=Word(card.left_end),
        turned=message("pull drawing.turned") if pull.turn_round else NOTHING,
        changed=message("pull drawing.changed") if pull.change_former else NOTHING,
    )
    sheet.words(head, (2.0, PANEL[1] + 6.0), 3.0, bold=True)
    roll = say(card.roll, units)
    sheet.words(roll[0].upper() + roll[1:], (2.0, PANEL[1] + 1.2), 2.3)
    for column, scene in enumerate((before, after)):
        left = column * PANEL[0]
        drawn = _Pull(_fitted(sheet, left, (before, after), arrow, radius, half), half, units)
        drawn.former(radius)
        drawn.tube(scene)
        if column == 0:
            drawn.mark((pull.mark_mm - kept.true.flat_from) * (1.0 if held == START else -1.0), radius)
            drawn.pull_arrow(arrow)
        drawn.notes(scene)
        title = words(units, "pull drawing.before")
        if column:
            title = words(units, "pull drawing.after", angle=Angle(bends[pull.bend - 1].angle_deg))
        sheet.words(title, (left + 2.0, PANEL[1] - 4.5), 2.6, bold=True)
        foot = (left + PANEL[0] / 2.0, 7.0)
        sheet.line(_arrow_head(foot, (0.0, 1.0), 2.0), Role.DIMENSION, True, True)
        sheet.words(words(units, "pull drawing.you"), (foot[0], 1.5), 2.5, "centre")
    sheet.line(((PANEL[0], 2.0), (PANEL[0], PANEL[1] - 2.0)), Role.PAPER)
    return sheet


def _fitted(
    sheet: Sheet, left: float, scenes: Sequence[Scene], arrow: Sequence[Vec3], radius: float, half: float
) -> Panel:
    """Return a panel that all scenes, the arrow, the former and what is written beside them go into."""
    points = [EYE.flat(p) for scene in scenes for s in scene.stretches for p in s.points]
    points += [EYE.flat(scale(p, WORD_BEYOND)) for p in arrow]
    points += [(-radius, 0.0), (radius, radius), (radius, -radius)]
    around = ClipWindow.around(points, half)
    area = ClipWindow(left + SIDE, FOOT, left + PANEL[0] - SIDE, PANEL[1] - TITLE)
    corners = ((around.left, around.low), (around.right, around.high))
    return Panel.filled(sheet, EYE, area, corners, AROUND, LARGEST)


class _Pull:
    """One panel of the sheet, drawn from the back to the front; `half` the tube's outside diameter."""

    def __init__(self, panel: Panel, half: float, units: Units) -> None:
        self.panel, self.sheet, self.half, self.units = panel, panel.sheet, half, units
        self.width = max(half * panel.k, 0.5)

    def former(self, radius: float) -> None:
        """Draw the former's rim, its centre and the stop."""
        turns = [pi * i / 24.0 for i in range(48)]
        for share in (1.0, 0.6, 0.2):
            rim = [self.panel.at((share * radius * cos(t), share * radius * sin(t), 0.0)) for t in turns]
            self.panel.placer.add_stroke((*rim, rim[0]))
            if share == 1.0:
                self.sheet.line(rim, Role.FORMER, True, True)
                self.sheet.line(rim, Role.ROOM, True)
        size = radius / 12.0
        for a, b in (((-size, 0.0), (size, 0.0)), ((0.0, -size), (0.0, size))):
            self.sheet.line((self.panel.at((*a, 0.0)), self.panel.at((*b, 0.0))), Role.ROOM)
        near, far = radius - self.half * 1.6, radius + self.half * 1.6
        stop = [(-2.4 * self.half, near), (-5.0 * self.half, near), (-5.0 * self.half, far), (-2.4 * self.half, far)]
        corners = [self.panel.at((x, y, -self.half)) for x, y in stop]
        self.sheet.line(corners, Role.FORMER, True, True)
        self.sheet.line(corners, Role.ROOM, True)
        self.panel.placer.add_stroke((*corners, corners[0]))

    def tube(self, scene: Scene) -> None:
        """Draw the tube, the far lengths first, then its mouths."""
        for stretch in scene.stretches:
            if max(abs(p[2]) for p in stretch.points) > 2.0 * self.half:
                self._faint([(p[0], p[1], 0.0) for p in stretch.points], Role.PAPER)
        for at, _, _ in scene.ends:
            if abs(at[2]) > 2.0 * self.half:
                self._faint((at, (at[0], at[1], 0.0)), Role.ROOM_HIDDEN)
        for stretch in sorted(scene.stretches, key=lambda s: EYE.nearness(s.points[len(s.points) // 2])):
            axis = [self.panel.at(p) for p in stretch.points]
            left, right = ribbon(axis, self.width)
            self.sheet.line([*left, *reversed(right)], Role.TUBE_NEW if stretch.new else Role.TUBE, True, True)
            self.sheet.line(left, Role.ROOM)
            self.sheet.line(right, Role.ROOM)
            for line in (left, axis, right):
                self.panel.placer.add_stroke(line)
        for at, ahead, broken in scene.ends:
            if broken:
                self._break(at, ahead)
            else:
                self._mouth(at, ahead)

    def _faint(self, points: Sequence[Vec3], role: Role) -> None:
        line = [self.panel.at(p) for p in points]
        self.sheet.line(line, role)
        self.panel.placer.add_stroke(line, faint=True)

    def _mouth(self, at: Vec3, ahead: Vec3) -> None:
        u = any_normal(ahead)
        v = cross(ahead, u)
        size = max(self.half, 0.5 / self.panel.k)
        turns = [pi * i / 12.0 for i in range(24)]
        rim = [self.panel.at(along(along(at, u, size * cos(t)), v, size * sin(t))) for t in turns]
        self.sheet.line(rim, Role.FORMER if EYE.nearness(ahead) > 0.0 else Role.TUBE, True, True)
        self.sheet.line(rim, Role.ROOM, True)
        self.panel.placer.add_stroke((*rim, rim[0]))

    def _break(self, at: Vec3, ahead: Vec3) -> None:
        (x, y), (fx, fy) = self.panel.at(at), self.panel.at(along(at, ahead, 10.0))
        n = hypot(fx - x, fy - y) or 1.0
        dx, dy = (fx - x) / n, (fy - y) / n
        width = self.width + 0.8
        zigzag = [
            (x - dy * width * k + dx * s, y + dx * width * k + dy * s)
            for k, s in ((1.0, 0.0), (0.3, 0.8), (-0.3, -0.8), (-1.0, 0.0))
        ]
        self.sheet.line(zigzag, Role.OUTLINE)
        self.panel.placer.add_stroke(zigzag)

    def mark(self, beyond: float, radius: float) -> None:
        """Draw the mark across the tube, `beyond` mm from where the bend begins."""
        x, y = self.panel.at((beyond, radius, 0.0))
        reach = self.width + 1.6
        line = ((x - 0.3 * reach, y - reach), (x + 0.3 * reach, y + reach))
        self.sheet.line(line, Role.MARK)
        self.panel.placer.add_stroke(line)
        put_label(
            self.panel,
            Label(words(self.units, "pull drawing.mark"), 2.2, Role.MARK),
            [LabelSpot(line[1], UPWARDS)],
            ANYWHERE_MM,
        )

    def pull_arrow(self, arc: Sequence[Vec3]) -> None:
        """Draw which way the free end goes, and how far round."""
        points = [self.panel.at(p) for p in arc]
        self.sheet.line(points, Role.MARK)
        (x0, y0), (x1, y1) = points[-2], points[-1]
        n = hypot(x1 - x0, y1 - y0)
        head = _arrow_head(points[-1], ((x1 - x0) / n, (y1 - y0) / n), 2.2)
        self.sheet.line(head, Role.MARK, True, True)
        self.panel.placer.add_stroke((*points, *head))
        order = sorted(range(1, len(arc) - 1), key=lambda i: abs(i - len(arc) // 2))
        spots = [LabelSpot(points[i], self.panel.way(scale(arc[i], 1.0 / length(arc[i])))) for i in order]
        label = Label(words(self.units, "pull drawing.pull"), 2.5, Role.MARK, bold=True)
        put_label(self.panel, label, spots, ANYWHERE_MM)

    def notes(self, scene: Scene) -> None:
        """Write bend numbers in rings beside their bends, the names of the ends, and what is missing at breaks."""
        for note in sorted(scene.notes, key=lambda note: not note.bend):
            if note.bend:
                label = Label(note.text, 2.4, bold=True, ring=Role.TUBE_NEW if note.new else Role.FORMER)
            else:
                label = Label(note.text, 2.2, under=note.under)
            # Out of the sheet there is no way out on it: then to the right.
            spot = LabelSpot(self.panel.at(note.at), self.panel.way(note.out, (1.0, 0.0)), self.width)
            put_label(self.panel, label, [spot], ANYWHERE_MM)


def _pull_arc(radius: float, angle: float) -> list[Vec3]:
    """Return points along the arrow that shows the pull of so many degrees: clockwise about the former, outside it."""
    reach, sweep, begin = radius * 2.3, min(max(angle, 20.0), 75.0), 14.0
    turns = [radians(begin - sweep * i / 12.0) for i in range(13)]
    return [(reach * cos(t), reach * sin(t), 0.0) for t in turns]


def _arrow_head(tip: FlatPoint, ahead: FlatPoint, size: float) -> list[FlatPoint]:
    (x, y), (dx, dy) = tip, ahead
    base = (x - dx * size, y - dy * size)
    side = size * 0.4
    return [tip, (base[0] - dy * side, base[1] + dx * side), (base[0] + dy * side, base[1] - dx * side)]
