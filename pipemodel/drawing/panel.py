"""One view in its place on a sheet: the picture drawn to scale, and room kept for what is written about it."""

from collections.abc import Sequence
from math import hypot

from pipemodel.bending.bends import corners_of
from pipemodel.bending.schedule import SolvedRun
from pipemodel.drawing.clipping import Window, clipped
from pipemodel.drawing.layout import TITLE_MM
from pipemodel.drawing.placing import Placer
from pipemodel.drawing.primitives import Point, Role
from pipemodel.drawing.projection import Seen
from pipemodel.drawing.sheet import Sheet
from pipemodel.geometry.vectors import Vec3, distance
from pipemodel.wording.safe_text import shown

TRUE = 0.9995
"""A leg whose length in a view is this share of its own is shown in true length there."""
STUB_MM = 1.0
"""Shorter stubs to a corner are not worth drawing."""
AXIS_FROM_MM = 2.5
"""The axis is drawn inside a tube at least this wide on paper."""
TITLE_HEIGHT, NOTE_HEIGHT = 3.0, 2.2
LONGEST_NAME = 28
MOST_NAMES = 3


class Panel:
    """A view placed on a sheet.

    Args:
        sheet: what is drawn on.
        seen: the view with its strokes.
        cell: its place on the sheet, mm.
        shown: what of the view is shown, mm of the room.
        scale: n of 1:n.
    """

    def __init__(self, sheet: Sheet, seen: Seen, cell: Window, shown: Window, scale: int) -> None:
        self.sheet, self.seen, self.cell, self.shown, self.scale = sheet, seen, cell, shown, scale
        self.k = 1.0 / scale
        room = Window(cell.left, cell.low, cell.right, cell.high - TITLE_MM)
        self.origin = (
            (room.left + room.right - (shown.left + shown.right) * self.k) / 2.0,
            (room.low + room.high - (shown.low + shown.high) * self.k) / 2.0,
        )
        self.placer = Placer(room)

    def at(self, p: Vec3) -> Point:
        """Return where a point of the room lies on the sheet."""
        return self.on_sheet(self.seen.view.flat(p))

    def on_sheet(self, flat: Point) -> Point:
        """Return where a point of the view plane lies on the sheet."""
        return (self.origin[0] + flat[0] * self.k, self.origin[1] + flat[1] * self.k)

    @property
    def window(self) -> Window:
        """What is shown, on the sheet."""
        return Window(*self.on_sheet((self.shown.left, self.shown.low)),
                      *self.on_sheet((self.shown.right, self.shown.high)))  # fmt: skip

    def true_length(self, a: Vec3, b: Vec3) -> bool:
        """Whether the distance from a to b is seen as long as it is."""
        if self.seen.view.isometric:
            return False
        p, q = self.at(a), self.at(b)
        return hypot(q[0] - p[0], q[1] - p[1]) >= TRUE * distance(a, b) * self.k

    def draw(self, runs: Sequence[SolvedRun], scale_too: bool) -> None:
        """Draw title, tubes, room and axes; its scale is told where it is not the sheet's."""
        left, top = self.cell.left, self.cell.high - TITLE_HEIGHT - 1.0
        self.sheet.words(self.seen.view.title, (left, top), TITLE_HEIGHT, bold=True)
        notes = [f"1:{self.scale}"] if scale_too else []
        if self.seen.without:
            names = ", ".join(shown(name, LONGEST_NAME) for name in self.seen.without[:MOST_NAMES])
            more = len(self.seen.without) - MOST_NAMES
            notes.append(f"without {names}" + (f" and {more} more" if more > 0 else ""))
        self.sheet.words("; ".join(notes), (left, top - 3.5), NOTE_HEIGHT)
        window = self.window
        for stroke in self.seen.strokes:
            room = bool(self.seen.solids[stroke.body].thing)
            if room and not stroke.visible:
                continue  # what lies behind a wall would only hide the tube
            role = Role.ROOM if room else Role.RUN if stroke.visible else Role.RUN_HIDDEN
            for part in clipped([self.on_sheet(p) for p in stroke.points], window):
                self.sheet.line(part, role)
                self.placer.add_stroke(part, faint=room)
        for run in runs:
            self._draw_axis(run)

    def _draw_axis(self, run: SolvedRun) -> None:
        """The axis inside a tube wide enough for one, and on from the legs to the corners they are dimensioned to."""
        wide = run.tube.outside_mm * self.k >= AXIS_FROM_MM
        for piece in run.centreline.pieces:
            steps = 12 if hasattr(piece, "radius") else 1
            points = [self.at(piece.point_at(piece.length * i / steps)) for i in range(steps + 1)]
            if wide:
                self.sheet.line(points, Role.CENTRE)
            self.placer.add_stroke(points)
        for arc, corners in zip(run.centreline.arcs, corners_of_bends(run), strict=True):
            points = [self.at(arc.start), *(self.at(corner) for corner in corners), self.at(arc.finish)]
            if hypot(points[1][0] - points[0][0], points[1][1] - points[0][1]) > STUB_MM:
                self.sheet.line(points, Role.PAPER)


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
