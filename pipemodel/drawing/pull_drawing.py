"""The drawing on a pull card: the piece before and after the pull, as the person at the bender sees it.

The eye looks down on the bender from the near side, a little from the left (docs/bending.md): held end to the
left, free end to the right, the pull comes towards the eye. Straight up on the sheet is up; away from the eye goes
up and to the right. What stands above or below the plane of the pull throws a thin shadow on it, and its ends say
how far up or down they are. Tails too long to show are broken off and legs broken in the middle, with what is missing
written at the break.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import cos, hypot, pi, radians, sin

from pipemodel.bending.schedule import SolvedRun
from pipemodel.drawing.pull_legs import with_short_legs
from pipemodel.drawing.pull_scene import Drawn, Label, Scene, scene_of
from pipemodel.drawing.sheet import Point, Role, Sheet
from pipemodel.drawing.svg import to_svg
from pipemodel.geometry.vectors import Vec3, along, any_normal, cross, scale
from pipemodel.messages.angles import deg
from pipemodel.pulls.bender_frame import sides_of, swung_side
from pipemodel.pulls.cards import Card
from pipemodel.pulls.limits import FINISH, START, FlatTube
from pipemodel.wording.units import MM

PANEL = (88.0, 76.0)
"""Width and height of one panel in mm."""
MARGIN = 9.0
EYE_DEG = 40.0
"""How steeply the eye looks down."""
ASIDE_DEG = 18.0
"""How far it looks from the left."""
WORD_BEYOND = 1.06
"""How far from the former's centre the word at the arrow stands, by the arrow's own distance."""
HEAD = 11.0
"""Height of what is written over the panels."""


def card_svg(solved: SolvedRun, card: Card, length: Callable[[float], str] = MM.short) -> str:
    """Return the drawing of a card as SVG; see `card_sheet`."""
    return to_svg(card_sheet(solved, card, length))


def card_sheet(solved: SolvedRun, card: Card, length: Callable[[float], str] = MM.short) -> Sheet:
    """Draw the piece before and after a pull, side by side; `length` writes a length given in mm."""
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
    before = scene_of(solved, card, (kept, free), None, length)
    after = scene_of(solved, card, (kept, swung), pull.bend, length)
    radius, half = bends[pull.bend - 1].radius_mm, solved.tube.outside_mm / 2.0
    arrow = _pull_arc(radius, bends[pull.bend - 1].angle_deg)
    view = _View.over((before, after), arrow, radius, half)
    sheet = Sheet(
        2.0 * PANEL[0], PANEL[1] + HEAD, f"Pull {pull.number}, bend {pull.bend}: before and after, seen from the bender"
    )
    turned = ": turn the tube end for end" if pull.turn_round else ""
    turned += "; change the former" if pull.change_former else ""
    sheet.words(
        f"Pull {pull.number}: bend {pull.bend}, {card.left_end} end to your left{turned}",
        (2.0, PANEL[1] + 6.0),
        3.0,
        bold=True,
    )
    roll = str(card.roll)
    sheet.words(roll[0].upper() + roll[1:], (2.0, PANEL[1] + 1.2), 2.3)
    for column, scene in enumerate((before, after)):
        left = column * PANEL[0]
        panel = _Panel(sheet, view, left, half)
        panel.former(radius)
        panel.tube(scene)
        if column == 0:
            panel.mark((pull.mark_mm - kept.true.flat_from) * (1.0 if held == START else -1.0), radius)
            panel.pull_arrow(arrow)
        panel.labels(scene)
        title = "before" if column == 0 else f"after: {deg(bends[pull.bend - 1].angle_deg)}°"
        sheet.words(title, (left + 2.0, PANEL[1] - 4.5), 2.6, bold=True)
        foot = (left + PANEL[0] / 2.0, 7.0)
        sheet.line(_arrow_head(foot, (0.0, 1.0), 2.0), Role.DIMENSION, True, True)
        sheet.words("you", (foot[0], 1.5), 2.5, "centre")
    sheet.line(((PANEL[0], 2.0), (PANEL[0], PANEL[1] - 2.0)), Role.PAPER)
    return sheet


@dataclass(frozen=True)
class _View:
    """From the bender's frame to a panel: seen from above the near side, shrunk to fit."""

    scale: float
    shift: Point

    @staticmethod
    def flat(p: Vec3) -> Point:
        """Return a point as the eye sees it, in mm of the bender."""
        c, s = cos(radians(ASIDE_DEG)), sin(radians(ASIDE_DEG))
        across, away = c * p[0] + s * p[1], c * p[1] - s * p[0]
        return (across, away * sin(radians(EYE_DEG)) + p[2] * cos(radians(EYE_DEG)))

    @staticmethod
    def nearness(p: Vec3) -> float:
        """Return how near the eye a point lies."""
        away = cos(radians(ASIDE_DEG)) * p[1] - sin(radians(ASIDE_DEG)) * p[0]
        return p[2] * sin(radians(EYE_DEG)) - away * cos(radians(EYE_DEG))

    @classmethod
    def over(cls, scenes: tuple[Scene, ...], arrow: Sequence[Vec3], radius: float, half: float) -> "_View":
        """Fit all scenes, the arrow, the former and what is written beside them into a panel."""
        points = [cls.flat(p) for scene in scenes for s in scene.stretches for p in s.points]
        points += [cls.flat(scale(p, WORD_BEYOND)) for p in arrow]
        points += [(-radius, 0.0), (radius, radius), (radius, -radius)]
        low = (min(p[0] for p in points) - half, min(p[1] for p in points) - half)
        high = (max(p[0] for p in points) + half, max(p[1] for p in points) + half)
        wide, tall = PANEL[0] - 2.0 * MARGIN, PANEL[1] - 3.0 * MARGIN - 6.0
        shrunk = min(wide / (high[0] - low[0]), tall / (high[1] - low[1]), 0.45)
        middle = ((low[0] + high[0]) / 2.0, (low[1] + high[1]) / 2.0)
        return cls(shrunk, (PANEL[0] / 2.0 - middle[0] * shrunk, PANEL[1] / 2.0 + 1.0 - middle[1] * shrunk))

    def at(self, p: Vec3) -> Point:
        """Return a point on the panel."""
        x, y = self.flat(p)
        return (x * self.scale + self.shift[0], y * self.scale + self.shift[1])


class _Panel:
    """One panel of the sheet, drawn from the back to the front."""

    def __init__(self, sheet: Sheet, view: _View, left: float, half: float) -> None:
        self.sheet, self.view, self.left, self.half = sheet, view, left, half

    def at(self, p: Vec3) -> Point:
        x, y = self.view.at(p)
        return (x + self.left, y)

    def former(self, radius: float) -> None:
        """Draw the former's rim, its centre and the stop."""
        rim = [self.at((radius * cos(t), radius * sin(t), 0.0)) for t in (pi * i / 24.0 for i in range(48))]
        self.sheet.line(rim, Role.FORMER, True, True)
        self.sheet.line(rim, Role.ROOM, True)
        size = radius / 12.0
        for a, b in (((-size, 0.0), (size, 0.0)), ((0.0, -size), (0.0, size))):
            self.sheet.line((self.at((*a, 0.0)), self.at((*b, 0.0))), Role.ROOM)
        near, far = radius - self.half * 1.6, radius + self.half * 1.6
        stop = [(-2.4 * self.half, near), (-5.0 * self.half, near), (-5.0 * self.half, far), (-2.4 * self.half, far)]
        corners = [self.at((x, y, -self.half)) for x, y in stop]
        self.sheet.line(corners, Role.FORMER, True, True)
        self.sheet.line(corners, Role.ROOM, True)

    def tube(self, scene: Scene) -> None:
        """Draw the tube, the far lengths first, then its mouths."""
        for stretch in scene.stretches:
            if max(abs(p[2]) for p in stretch.points) > 2.0 * self.half:
                self.sheet.line([self.at((p[0], p[1], 0.0)) for p in stretch.points], Role.PAPER)
        for at, _, _ in scene.ends:
            if abs(at[2]) > 2.0 * self.half:
                self.sheet.line((self.at(at), self.at((at[0], at[1], 0.0))), Role.ROOM_HIDDEN)
        drawn = [(self.view.nearness(s.points[len(s.points) // 2]), s) for s in scene.stretches]
        for _, stretch in sorted(drawn, key=lambda item: item[0]):
            left, right = self._walls(stretch.points)
            self.sheet.line([*left, *reversed(right)], Role.TUBE_NEW if stretch.new else Role.TUBE, True, True)
            self.sheet.line(left, Role.ROOM)
            self.sheet.line(right, Role.ROOM)
        for at, ahead, broken in scene.ends:
            if broken:
                self._break(at, ahead)
            else:
                self._mouth(at, ahead)

    def _walls(self, points: tuple[Vec3, ...]) -> tuple[list[Point], list[Point]]:
        flat = [self.at(p) for p in points]
        width = max(self.half * self.view.scale, 0.5)
        left: list[Point] = []
        right: list[Point] = []
        for i, (x, y) in enumerate(flat):
            a, b = flat[max(i - 1, 0)], flat[min(i + 1, len(flat) - 1)]
            dx, dy = b[0] - a[0], b[1] - a[1]
            n = hypot(dx, dy)
            # Tube that points at the eye has no walls to see; its mouth or the next length is drawn there.
            nx, ny = (-dy / n, dx / n) if n > 1e-6 else (0.0, 1.0)
            left.append((x + nx * width, y + ny * width))
            right.append((x - nx * width, y - ny * width))
        return left, right

    def _mouth(self, at: Vec3, ahead: Vec3) -> None:
        u = any_normal(ahead)
        v = cross(ahead, u)
        size = max(self.half, 0.5 / self.view.scale)
        rim = []
        for i in range(24):
            t = pi * i / 12.0
            rim.append(self.at(along(along(at, u, size * cos(t)), v, size * sin(t))))
        faces_eye = self.view.nearness(ahead) > 0.0
        self.sheet.line(rim, Role.FORMER if faces_eye else Role.TUBE, True, True)
        self.sheet.line(rim, Role.ROOM, True)

    def _break(self, at: Vec3, ahead: Vec3) -> None:
        (x, y), (fx, fy) = self.at(at), self.at(along(at, ahead, 10.0))
        n = hypot(fx - x, fy - y) or 1.0
        dx, dy = (fx - x) / n, (fy - y) / n
        width = max(self.half * self.view.scale, 0.5) + 0.8
        zigzag = [
            (x - dy * width * k + dx * s, y + dx * width * k + dy * s)
            for k, s in ((1.0, 0.0), (0.3, 0.8), (-0.3, -0.8), (-1.0, 0.0))
        ]
        self.sheet.line(zigzag, Role.OUTLINE)

    def mark(self, beyond: float, radius: float) -> None:
        """Draw the mark across the tube, `beyond` mm from where the bend begins."""
        x, y = self.at((beyond, radius, 0.0))
        reach = max(self.half * self.view.scale, 0.5) + 1.6
        self.sheet.line(((x - 0.3 * reach, y - reach), (x + 0.3 * reach, y + reach)), Role.MARK)
        self.sheet.words("mark", (x + 0.3 * reach, y + reach + 0.8), 2.2, "centre", role=Role.MARK)

    def pull_arrow(self, arc: Sequence[Vec3]) -> None:
        """Draw which way the free end goes, and how far round."""
        points = [self.at(p) for p in arc]
        self.sheet.line(points, Role.MARK)
        (x0, y0), (x1, y1) = points[-2], points[-1]
        n = hypot(x1 - x0, y1 - y0)
        self.sheet.line(_arrow_head(points[-1], ((x1 - x0) / n, (y1 - y0) / n), 2.2), Role.MARK, True, True)
        at = self.at(scale(arc[len(arc) // 2], WORD_BEYOND))
        self.sheet.words("pull", (at[0] + 0.8, at[1]), 2.5, role=Role.MARK, bold=True)

    def labels(self, scene: Scene) -> None:
        """Write bend numbers in rings beside their bends, and the names of the ends."""
        for label in scene.labels:
            (x, y), (ox, oy) = self.at(label.at), self.at(along(label.at, label.out, 100.0))
            n = hypot(ox - x, oy - y)
            # Out of the sheet there is no way out on it: then to the right.
            dx, dy = ((ox - x) / n, (oy - y) / n) if n > 5.0 * self.view.scale else (1.0, 0.0)
            width = self.half * self.view.scale
            if label.text.isdigit():
                cx, cy = x + dx * (width + 3.6), y + dy * (width + 3.6)
                self.sheet.circle((cx, cy), 2.6, Role.TUBE_NEW if label.strong else Role.FORMER, filled=True)
                self.sheet.circle((cx, cy), 2.6, Role.ROOM)
                self.sheet.words(label.text, (cx, cy - 1.2), 2.4, "centre", bold=True)
            else:
                self._end_name(label, (x, y), (dx, dy), width)

    def _end_name(self, label: Label, at: Point, out: Point, width: float) -> None:
        """Write an end's name past it; where the tube runs across the sheet, below it, or above it on the right."""
        across = abs(out[0]) > 0.85
        above = out[0] > 0.0 if across else out[1] > 0.0
        x = at[0] + (0.0 if across else out[0] * (width + 2.0))
        y = at[1] + width + (4.8 if label.more else 2.2) if above else at[1] - width - 4.2
        room = 0.75 * max(len(label.text), len(label.more))  # capitals of 2.2 mm: a letter is about 1.5 wide
        x = min(max(x, self.left + room + 1.5), self.left + PANEL[0] - room - 1.5)
        if label.text:
            self.sheet.words(label.text, (x, y), 2.2, "centre")
        if label.more:
            self.sheet.words(label.more, (x, y - 3.0), 1.9, "centre")


def _pull_arc(radius: float, angle: float) -> list[Vec3]:
    """Return points along the arrow that shows the pull of so many degrees: clockwise about the former, outside it."""
    reach, sweep, begin = radius * 2.3, min(max(angle, 20.0), 75.0), 14.0
    turns = [radians(begin - sweep * i / 12.0) for i in range(13)]
    return [(reach * cos(t), reach * sin(t), 0.0) for t in turns]


def _arrow_head(tip: Point, ahead: Point, size: float) -> list[Point]:
    (x, y), (dx, dy) = tip, ahead
    base = (x - dx * size, y - dy * size)
    side = size * 0.4
    return [tip, (base[0] - dy * side, base[1] + dx * side), (base[0] + dy * side, base[1] - dx * side)]
