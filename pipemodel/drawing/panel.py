"""A view in its place on a sheet: where points of the room lie on the paper, and room kept for what is written."""

from collections.abc import Sequence
from itertools import pairwise
from math import hypot

from pipemodel.bending.bends import corners_of
from pipemodel.bending.schedule import SolvedRun
from pipemodel.drawing.clipping import ClipWindow, clipped
from pipemodel.drawing.cut import Strokes
from pipemodel.drawing.hatch import HATCH_DEG, hatched
from pipemodel.drawing.placing import Placer
from pipemodel.drawing.primitives import Circle, FlatPoint, Role
from pipemodel.drawing.projection import Seen
from pipemodel.drawing.sheet import Sheet
from pipemodel.geometry.centreline import Arc, Centreline
from pipemodel.geometry.vectors import Vec3, distance
from pipemodel.geometry.view import View

TRUE = 0.9995
"""A leg whose length in a view is this share of its own is shown in true length there."""
END_ON = 0.05
"""Shorter than this share of itself, a direction says nothing on the paper."""
STUB_MM = 1.0
"""Shorter stubs to a corner are not worth drawing."""
HATCH_MM = 2.0
"""From one line of a hatching to the next."""
AXIS_FROM_MM = 2.5
"""The axis is drawn inside a tube at least this wide on paper."""


class Panel:
    """A view placed on a sheet.

    Args:
        sheet: what is drawn on.
        view: from where it is seen.
        area: its place on the sheet, mm, which labels stay within.
        shown: what of the view is shown, mm of the room; its middle goes to the middle of the area.
        k: mm on the sheet for a mm of the room.
        over: how far below the upper edge of the area it begins instead, mm.
    """

    def __init__(
        self, sheet: Sheet, view: View, area: ClipWindow, shown: ClipWindow, k: float, over: float | None = None
    ) -> None:
        self.sheet, self.view, self.shown, self.k = sheet, view, shown, k
        top = (area.low + area.high + shown.height * k) / 2.0 if over is None else area.high - over
        self.origin = ((area.left + area.right - (shown.left + shown.right) * k) / 2.0, top - shown.high * k)
        self.placer = Placer(area)

    @classmethod
    def filled(cls, sheet: Sheet, view: View, area: ClipWindow, points: Sequence[FlatPoint], pad: FlatPoint) -> "Panel":
        """Place a view so that some points of it fill an area but for its padding; what lies about them is shown too.

        Args:
            sheet: what is drawn on.
            view: from where it is seen.
            area: its place on the sheet, mm.
            points: of the view plane, mm of the room.
            pad: how much of the area is kept free at either side, and above and below, mm.
        """
        tight = ClipWindow.around(points)
        wide, high = area.width - 2.0 * pad[0], area.height - 2.0 * pad[1]
        k = min(wide / max(tight.width, 1.0), high / max(tight.height, 1.0))
        x, y = (area.width / k - tight.width) / 2.0, (area.height / k - tight.height) / 2.0
        return cls(sheet, view, area, ClipWindow(tight.left - x, tight.low - y, tight.right + x, tight.high + y), k)

    def at(self, p: Vec3) -> FlatPoint:
        """Return where a point of the room lies on the sheet."""
        return self.on_sheet(self.view.flat(p))

    def on_sheet(self, flat: FlatPoint) -> FlatPoint:
        """Return where a point of the view plane lies on the sheet."""
        return (self.origin[0] + flat[0] * self.k, self.origin[1] + flat[1] * self.k)

    def way(self, direction: Vec3, otherwise: FlatPoint = (0.7, 0.7)) -> FlatPoint:
        """Return the unit vector on the sheet of a unit vector; `otherwise` where that all but points at the eye."""
        x, y = self.view.flat(direction)
        n = hypot(x, y)
        return (x / n, y / n) if n > END_ON else otherwise

    def line(
        self, points: Sequence[FlatPoint], role: Role, closed: bool = False, filled: bool = False, faint: bool = False
    ) -> None:
        """Draw straight strokes through some points of the sheet, and keep labels off them; see `Placer`."""
        self.sheet.line(points, role, closed, filled)
        self.placer.add_stroke((*points, *points[:closed]), faint)

    @property
    def window(self) -> ClipWindow:
        """What is shown, on the sheet."""
        return ClipWindow(*self.on_sheet((self.shown.left, self.shown.low)),
                      *self.on_sheet((self.shown.right, self.shown.high)))  # fmt: skip

    def true_length(self, a: Vec3, b: Vec3) -> bool:
        """Whether the distance from a to b is seen as long as it is."""
        if self.view.isometric:
            return False
        p, q = self.at(a), self.at(b)
        return hypot(q[0] - p[0], q[1] - p[1]) >= TRUE * distance(a, b) * self.k


def draw_seen(panel: Panel, seen: Seen, runs: Sequence[SolvedRun]) -> dict[str, list[FlatPoint]]:
    """Draw tubes, room and axes; return the points of what is drawn of each thing, by its name."""
    window = panel.window
    drawn: dict[str, list[FlatPoint]] = {}
    for stroke in seen.strokes:
        thing = seen.solids[stroke.body].thing
        if thing and not stroke.visible:
            continue  # what lies behind a wall would only hide the tube
        role = Role.ROOM if thing else Role.RUN if stroke.visible else Role.RUN_HIDDEN
        for part in clipped([panel.on_sheet(p) for p in stroke.points], window):
            with panel.sheet.of(seen.solids[stroke.body].run):
                panel.line(part, role, faint=bool(thing))
            if thing:
                middles = [((p[0] + q[0]) / 2.0, (p[1] + q[1]) / 2.0) for p, q in pairwise(part)]
                drawn.setdefault(thing, []).extend([*part, *middles])
    for thing, outline in seen.cuts:
        if points := draw_cut(panel, outline):
            drawn.setdefault(thing, []).extend(points)
    for run in runs:
        with panel.sheet.of(run.name):
            _draw_axis(panel, run)
    return drawn


def draw_cut(panel: Panel, outline: Strokes, angle_deg: float = HATCH_DEG) -> list[FlatPoint]:
    """Hatch where a thing is cut, and draw its outline there wide; return points of that."""
    window, points = panel.window, []
    on_sheet = [(panel.on_sheet(p), panel.on_sheet(q)) for p, q in outline]
    for stroke in on_sheet:
        for part in clipped(stroke, window):
            panel.line(part, Role.CUT, faint=True)
            points += part
    for stroke in hatched(on_sheet, HATCH_MM, angle_deg):
        for part in clipped(stroke, window):
            panel.sheet.line(part, Role.HATCH)
    return points


def axis_of(panel: Panel, line: Centreline) -> list[list[FlatPoint]]:
    """Return the pieces of an axis on the sheet, each as points."""
    pieces = []
    for piece in line.pieces:
        steps = 12 if isinstance(piece, Arc) else 1
        pieces.append([panel.at(piece.point_at(piece.length * i / steps)) for i in range(steps + 1)])
    return pieces


def ribbon(axis: Sequence[FlatPoint], half: float) -> tuple[list[FlatPoint], list[FlatPoint]]:
    """Return both walls of a tube that is drawn so much to either side of its axis."""
    left: list[FlatPoint] = []
    right: list[FlatPoint] = []
    for i, (x, y) in enumerate(axis):
        a, b = axis[max(i - 1, 0)], axis[min(i + 1, len(axis) - 1)]
        dx, dy = b[0] - a[0], b[1] - a[1]
        n = hypot(dx, dy)
        # Tube that points at the eye has no walls to see; its mouth or the next length is drawn there.
        nx, ny = (-dy / n, dx / n) if n > 1e-6 else (0.0, 1.0)
        left.append((x + nx * half, y + ny * half))
        right.append((x - nx * half, y - ny * half))
    return left, right


def draw_tube(panel: Panel, line: Centreline, half: float, role: Role = Role.TUBE_NEW) -> None:
    """Fill a tube so much to either side of its axis, and keep labels off its walls, off a pale one's if they can.

    It is filled piece by piece: a bend that points at the eye folds no outline over.
    """
    for axis in axis_of(panel, line):
        left, right = ribbon(axis, half)
        panel.sheet.line([*left, *reversed(right)], role, True, True)
        panel.placer.add_stroke(left, faint=role is Role.FORMER)
        panel.placer.add_stroke(right, faint=role is Role.FORMER)


def draw_cross(panel: Panel, at: FlatPoint, half: float, ring: float = 0.0) -> None:
    """Draw a cross where something is wrong, in a ring of that radius if one is given, and keep labels off it."""
    x, y = at
    if ring:
        panel.sheet.circle(at, ring, Role.CLASH)
    for sign in (1.0, -1.0):
        panel.sheet.line([(x - half, y - sign * half), (x + half, y + sign * half)], Role.CLASH)
    panel.placer.add((Circle(at, max(half, ring), Role.CLASH),))


def keep_clear(panel: Panel, run: SolvedRun) -> None:
    """Keep labels off a run that is drawn by other means."""
    for axis in axis_of(panel, run.centreline):
        for line in (axis, *ribbon(axis, run.tube.outside_mm * panel.k / 2.0)):
            panel.placer.add_stroke(line)


def _draw_axis(panel: Panel, run: SolvedRun) -> None:
    """The axis inside a tube wide enough for one, and on from the legs to the corners they are dimensioned to."""
    wide, window = run.tube.outside_mm * panel.k >= AXIS_FROM_MM, panel.window
    for points in axis_of(panel, run.centreline):
        for part in clipped(points, window):
            if wide:
                panel.sheet.line(part, Role.CENTRE)
            panel.placer.add_stroke(part)
    for arc, corners in zip(run.centreline.arcs, corners_of_bends(run), strict=True):
        points = [panel.at(arc.start), *(panel.at(corner) for corner in corners), panel.at(arc.finish)]
        if hypot(points[1][0] - points[0][0], points[1][1] - points[0][1]) > STUB_MM:
            for part in clipped(points, window):
                panel.sheet.line(part, Role.PAPER)


def corners_of_bends(run: SolvedRun) -> list[tuple[Vec3, ...]]:
    """Return for each bend where its legs meet: one corner, or the two of a bend of 180."""
    corners, joined = corners_of(run.table)
    out: list[tuple[Vec3, ...]] = []
    i = 1
    while i < len(corners) - 1:
        step = 2 if i in joined else 1
        out.append(corners[i : i + step])
        i += step
    return out
