"""One picture of a pull: the bender and the piece in it, drawn from the back to the front.

What the hands look for (guide, lever, inside line, mark, the rim's start and the pull's arrow) is drawn over the tube,
so that nothing covers it; labels keep off all of it.
"""

from collections.abc import Sequence
from math import cos, hypot, pi, sin

from pipemodel.drawing.clipping import clipped
from pipemodel.drawing.labels import ANYWHERE_MM, Label, LabelSpot, put_label
from pipemodel.drawing.panel import Panel, ribbon
from pipemodel.drawing.primitives import FlatPoint, Ink, Line, arrow_head
from pipemodel.drawing.pull_bender import BenderOutlines
from pipemodel.drawing.pull_scene import Scene
from pipemodel.drawing.pull_stretches import DrawnStretch, merged
from pipemodel.drawing.sheet import Role
from pipemodel.geometry.vectors import Vec3, along, any_normal, cross, length, scale
from pipemodel.messages.say import words
from pipemodel.messages.units import Units

UPWARDS = (0.29, 0.96)
ARROW_MM = 2.2
"""The head of the pull's arrow."""
HEAD_MM = 1.4
"""The arrowheads of a dimension."""
LINE_MM = 0.3
"""The walls of a tube are drawn no wider than this."""
GROUND: Ink = (0.93, 0.94, 0.9)
"""What guide and lever are filled with."""
SMALL_MM = 1.9
"""Letters that name a part of the bender."""


class PullPanel:
    """A picture of a pull in its place on a sheet; `missing` counts labels that found no place."""

    def __init__(self, panel: Panel, bender: BenderOutlines, units: Units) -> None:
        self.panel, self.sheet, self.bender, self.units = panel, panel.sheet, bender, units
        self.width = max(bender.half * panel.k, 0.5)
        self.missing = 0

    def former(self, stop: bool) -> None:
        """Draw the former's rim, its centre and, where there is one, the stop."""
        for share in (1.0, 0.6, 0.2):
            rim = self._on_sheet(self.bender.ring(share))
            if share == 1.0:
                self._filled(rim, Role.FORMER)
            else:
                self.panel.placer.add_stroke((*rim, rim[0]))
        for ends in self.bender.cross():
            self.sheet.line(self._on_sheet(ends), Role.ROOM)
        if not stop:
            return
        self._filled(self._on_sheet(self.bender.stop()), Role.FORMER)

    def tube(self, scene: Scene) -> None:
        """Draw the tube, the far lengths first, then its mouths."""
        off = 2.0 * self.bender.half
        for stretch in scene.stretches:
            if max(abs(p[2]) for p in stretch.points) > off:
                self._faint([(p[0], p[1], 0.0) for p in stretch.points], Role.PAPER)
        for at, _, _ in scene.ends:
            if abs(at[2]) > off:
                self._faint((at, (at[0], at[1], 0.0)), Role.ROOM_HIDDEN)
        nearness = self.panel.view.nearness
        ordered = sorted(scene.stretches, key=lambda s: nearness(s.points[len(s.points) // 2]))
        lengths = [
            DrawnStretch(tuple(self._on_sheet(s.points)), s.straight, s.new, s.points[0], s.points[-2]) for s in ordered
        ]
        for length_of_tube in merged(lengths, 2.0 * self.width + LINE_MM):
            axis, role = length_of_tube.axis, Role.TUBE_NEW if length_of_tube.new else Role.TUBE
            left, right = ribbon(axis, self.width)
            if length_of_tube.straight is None:
                self._joint(axis[0], role)
            self.sheet.line([*left, *reversed(right)], role, True, True)
            self.panel.line(left, Role.ROOM)
            self.panel.line(right, Role.ROOM)
            self.panel.placer.add_stroke(axis)
        for at, ahead, broken in scene.ends:
            if broken:
                self._break(at, ahead)
            else:
                self._mouth(at, ahead)

    def guide_and_lever(self, under: bool) -> None:
        """Draw guide and lever: their grounds, which the tube lies over, or else their outlines over the tube."""
        for corners, role in ((self.bender.guide(), Role.GUIDE), (self.bender.lever(), Role.LEVER)):
            outline = self._on_sheet(corners)
            if under:
                self.sheet.items.append(Line(tuple(outline), role, True, True, GROUND))
                continue
            self.panel.line(outline, role, True)
        if not under:
            self.panel.line(self._on_sheet(self.bender.pivot()), Role.CENTRE)

    def mark(self, past: float, inside: float, rim: bool) -> None:
        """Draw the mark, what it is brought to, and the inside line of the bend to be.

        Args:
            past: how far past the rim's start the mark stands, mm; below zero short of it.
            inside: length of the inside line, mm.
            rim: whether there is a rim; a spring has none.
        """
        self.panel.line(self._on_sheet(self.bender.inside_line(inside)), Role.INSIDE)
        if rim:
            self.panel.line(self._on_sheet(self.bender.rim_start()), Role.MARK, True, True)
        if past:
            self._off_rim(past)
        x, y = self.panel.at((past, self.bender.radius, 0.0))
        reach = self.width + 1.6
        self.panel.line(((x - 0.3 * reach, y - reach), (x + 0.3 * reach, y + reach)), Role.MARK)

    def _off_rim(self, past: float) -> None:
        line, *extensions = (self._on_sheet(ends) for ends in self.bender.off_rim(past))
        for ends in (line, *extensions):
            self.panel.line(ends, Role.DIMENSION)
        (x, y), (u, v) = line
        n = hypot(u - x, v - y)
        way = ((u - x) / n, (v - y) / n)
        small = min(HEAD_MM, n / 3.0)
        self.sheet.items.append(arrow_head((x, y), way, small, Role.OUTLINE))
        self.sheet.items.append(arrow_head((u, v), (-way[0], -way[1]), small, Role.OUTLINE))

    def name_mark(self, past: float, rim: bool) -> None:
        """Write what the mark is, and what it is brought to: the rim's start, and how far off it."""
        bender = self.bender
        x, y = self.panel.at((past, bender.radius, 0.0))
        reach = self.width + 1.6
        tops = [
            LabelSpot((x + 0.3 * reach, y + reach), UPWARDS),
            LabelSpot((x - 0.3 * reach, y - reach), (-0.3, -0.95)),
        ]
        self._label(Label(words(self.units, "pull drawing.mark"), 2.2, Role.MARK), tops)
        if rim:
            _, right, left = self._on_sheet(bender.rim_start())
            name = Label(words(self.units, "pull drawing.rim"), SMALL_MM, Role.MARK)
            self._label(name, [LabelSpot(_middle((right, left)), (0.1, -1.0))])
        if past:
            line = self._on_sheet(bender.off_rim(past)[0])
            self._label(Label(self.units.short(abs(past)), SMALL_MM), [LabelSpot(_middle(line), (0.0, -1.0))])

    def name_parts(self, inside: float) -> None:
        """Name guide, lever and inside line."""
        guide, lever = self._on_sheet(self.bender.guide()), self._on_sheet(self.bender.lever())
        line = self._on_sheet(self.bender.inside_line(inside))
        for name, spots, way in (
            (words(self.units, "pull drawing.guide"), (guide[2], guide[3]), (0.6, 0.8)),
            (words(self.units, "pull drawing.lever"), (lever[-1], lever[-2]), (0.7, 0.7)),
            (words(self.units, "pull drawing.inside"), (line[1], _middle(line)), (0.3, -0.95)),
        ):
            self._label(Label(name, SMALL_MM), [LabelSpot(spot, way) for spot in spots])

    def arrow(self, arc: Sequence[Vec3]) -> None:
        """Draw which way the free end goes, and how far round."""
        points = self._on_sheet(arc)
        self.sheet.line(points, Role.MARK)
        (x0, y0), (x1, y1) = points[-2], points[-1]
        n = hypot(x1 - x0, y1 - y0)
        head = big_head(points[-1], ((x1 - x0) / n, (y1 - y0) / n), ARROW_MM)
        self.sheet.line(head, Role.MARK, True, True)
        self.panel.placer.add_stroke((*points, *head))

    def name_arrow(self, arc: Sequence[Vec3]) -> None:
        """Write beside the arrow what it is."""
        points = self._on_sheet(arc)
        order = sorted(range(1, len(arc) - 1), key=lambda i: abs(i - len(arc) // 2))
        spots = [LabelSpot(points[i], self.panel.way(scale(arc[i], 1.0 / length(arc[i])))) for i in order]
        self._label(Label(words(self.units, "pull drawing.pull"), 2.5, Role.MARK, bold=True), spots)

    def notes(self, scene: Scene) -> None:
        """Write bend numbers in rings beside their bends, the names of the ends, and how long what is broken off is."""
        for note in sorted(scene.notes, key=lambda note: not note.bend):
            if note.bend:
                label = Label(note.text, 2.4, bold=True, ring=Role.TUBE_NEW if note.new else Role.FORMER)
            else:
                label = Label(note.text, 2.2, under=note.under)
            # Out of the sheet there is no way out on it: then to the right.
            self._label(label, [LabelSpot(self.panel.at(note.at), self.panel.way(note.out, (1.0, 0.0)), self.width)])

    def _label(self, label: Label, spots: Sequence[LabelSpot]) -> None:
        self.missing += not put_label(self.panel, label, spots, ANYWHERE_MM)

    def _on_sheet(self, points: Sequence[Vec3]) -> list[FlatPoint]:
        return [self.panel.at(p) for p in points]

    def _filled(self, outline: Sequence[FlatPoint], role: Role) -> None:
        self.sheet.line(outline, role, True, True)
        self.panel.line(outline, Role.ROOM, True)

    def _joint(self, at: FlatPoint, role: Role) -> None:
        """Fill the wedge between two lengths of a bend that is seen along its plane."""
        turns = [pi * i / 8.0 for i in range(16)]
        self.sheet.line([(at[0] + self.width * cos(t), at[1] + self.width * sin(t)) for t in turns], role, True, True)

    def _faint(self, points: Sequence[Vec3], role: Role) -> None:
        for line in clipped(self._on_sheet(points), self.panel.placer.window):
            self.panel.line(line, role, faint=role is Role.PAPER)

    def _mouth(self, at: Vec3, ahead: Vec3) -> None:
        u = any_normal(ahead)
        v = cross(ahead, u)
        size = max(self.bender.half, 0.5 / self.panel.k)
        turns = [pi * i / 12.0 for i in range(24)]
        rim = [self.panel.at(along(along(at, u, size * cos(t)), v, size * sin(t))) for t in turns]
        self._filled(rim, Role.FORMER if self.panel.view.nearness(ahead) > 0.0 else Role.TUBE)

    def _break(self, at: Vec3, ahead: Vec3) -> None:
        (x, y), (fx, fy) = self.panel.at(at), self.panel.at(along(at, ahead, 10.0))
        n = hypot(fx - x, fy - y) or 1.0
        dx, dy = (fx - x) / n, (fy - y) / n
        width = self.width + 0.8
        zigzag = [
            (x - dy * width * k + dx * s, y + dx * width * k + dy * s)
            for k, s in ((1.0, 0.0), (0.3, 0.8), (-0.3, -0.8), (-1.0, 0.0))
        ]
        self.panel.line(zigzag, Role.OUTLINE)


def _middle(line: Sequence[FlatPoint]) -> FlatPoint:
    return (line[0][0] + line[1][0]) / 2.0, (line[0][1] + line[1][1]) / 2.0


def big_head(tip: FlatPoint, ahead: FlatPoint, size: float) -> list[FlatPoint]:
    """Return the corners of an arrowhead that is to be seen from an arm's length."""
    (x, y), (dx, dy) = tip, ahead
    base = (x - dx * size, y - dy * size)
    side = size * 0.4
    return [tip, (base[0] - dy * side, base[1] + dx * side), (base[0] + dy * side, base[1] - dx * side)]
