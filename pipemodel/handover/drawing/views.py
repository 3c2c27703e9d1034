"""Plan, elevations and an isometric of runs in their room, on one sheet, to a standard scale.

Every view says from where it is seen, so that nobody has to know which projection is meant. Legs are dimensioned
from corner to corner of the centreline, as pipelines are (ISO 6412-1), in the view that shows them in true
length; scales follow ISO 5455, dimension lines ISO 129-1.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import hypot
from typing import Any

from pipemodel.bending.bends import corners_of
from pipemodel.bending.schedule import SolvedRun
from pipemodel.geometry.vectors import EAST, NORTH, UP, Vec3, cross, distance, dot, scale, unit
from pipemodel.handover.drawing.sheet import Point, Role, Sheet
from pipemodel.handover.figures import mm
from pipemodel.handover.plain import shown
from pipemodel.solids.hidden import Stroke, hidden_lines

SCALES = (1, 2, 5, 10, 20, 50, 100, 200, 500)
A3 = (420.0, 297.0)
EDGE, FOOT, GAP = 10.0, 16.0, 8.0
TRUE_LENGTH = 0.999
"""A leg whose length in a view is this share of its own is shown in true length there."""


@dataclass(frozen=True)
class View:
    """From where a view is taken, and what points up in it."""

    title: str
    toward_eye: Vec3
    up: Vec3

    @property
    def right(self) -> Vec3:
        """The direction that points right in the view."""
        return unit(cross(self.up, self.toward_eye))

    @property
    def upright(self) -> Vec3:
        """The direction that points up in the view, square to the line of sight."""
        return cross(unit(self.toward_eye), self.right)

    def flat(self, p: Vec3) -> Point:
        """Return where a point of the room lies on the view, mm of the room."""
        return (dot(p, self.right), dot(p, self.upright))


VIEWS = (
    View("from the south", scale(NORTH, -1.0), UP),
    View("from the west", scale(EAST, -1.0), UP),
    View("plan, from above", UP, NORTH),
    View("isometric, from the south-east", (1.0, -1.0, 1.0), UP),
)


@dataclass(frozen=True)
class Solid:
    """A kernel solid to draw, and whether it is of the room rather than a run."""

    shape: Any
    room: bool


def general_drawing(runs: Sequence[SolvedRun], solids: Sequence[Solid], title: str, size: Point = A3) -> Sheet:
    """Draw four views of runs and room on one sheet.

    Args:
        runs: the runs to dimension.
        solids: what is seen: the runs' tubes, and the room's things where they should show.
        title: what the drawing is of.
        size: width and height of the sheet, mm.
    """
    sheet = Sheet(*size, title)
    cell = ((size[0] - 2 * EDGE - GAP) / 2.0, (size[1] - 2 * EDGE - FOOT - GAP) / 2.0)
    places = [(EDGE, EDGE + FOOT + cell[1] + GAP), (EDGE + cell[0] + GAP, EDGE + FOOT + cell[1] + GAP)]
    places += [(EDGE, EDGE + FOOT), (EDGE + cell[0] + GAP, EDGE + FOOT)]
    boxes = [_window(view, runs) for view in VIEWS]
    factor = next((s for s in SCALES if all(_fits(box, cell, s) for box in boxes)), SCALES[-1])
    dimensioned: set[tuple[int, int]] = set()
    for view, place, box in zip(VIEWS, places, boxes, strict=True):
        strokes = hidden_lines([s.shape for s in solids], view.toward_eye, view.up)
        _draw_view(sheet, view, place, cell, box, 1.0 / factor, strokes, solids)
        _dimension(sheet, view, place, cell, box, 1.0 / factor, runs, dimensioned)
    _title_block(sheet, title, factor)
    return sheet


def _window(view: View, runs: Sequence[SolvedRun]) -> tuple[float, float, float, float]:
    """What of a view is worth showing: the runs and some room round them; left, low, right, high in mm of the room."""
    xs, ys = zip(*(view.flat(p) for run in runs for p in corners_of(run.table)[0]), strict=True)
    pad = 0.06 * max(max(xs) - min(xs), max(ys) - min(ys)) + 2.0 * max(run.tube.outside_mm for run in runs)
    return (min(xs) - pad, min(ys) - pad, max(xs) + pad, max(ys) + pad)


def _fits(box: tuple[float, float, float, float], cell: Point, factor: float) -> bool:
    room = 24.0  # for dimension lines
    return (box[2] - box[0]) / factor + room <= cell[0] and (box[3] - box[1]) / factor + room <= cell[1] - 6.0


def _placing(place: Point, cell: Point, box: tuple[float, float, float, float], k: float) -> Point:
    """Where the origin of a view lies on the sheet, so that its window sits in the middle of its cell."""
    x = place[0] + (cell[0] - (box[0] + box[2]) * k) / 2.0
    y = place[1] + (cell[1] - 6.0 - (box[1] + box[3]) * k) / 2.0
    return (x, y)


def _draw_view(
    sheet: Sheet,
    view: View,
    place: Point,
    cell: Point,
    box: tuple[float, float, float, float],
    k: float,
    strokes: Sequence[Stroke],
    solids: Sequence[Solid],
) -> None:
    x0, y0 = _placing(place, cell, box, k)
    window = (place[0], place[1], place[0] + cell[0], place[1] + cell[1] - 6.0)
    for stroke in strokes:
        room = solids[stroke.solid].room
        if room and not stroke.visible:
            continue  # what lies behind a wall would only hide the tube
        role = Role.ROOM if room else Role.OUTLINE if stroke.visible else Role.HIDDEN
        points = [(x0 + x * k, y0 + y * k) for x, y in stroke.points]
        for part in _clipped(points, window):
            sheet.line(part, role)
    sheet.words(view.title, (place[0] + 3.0, place[1] + cell[1] - 6.5), 3.5, bold=True)


def _dimension(
    sheet: Sheet,
    view: View,
    place: Point,
    cell: Point,
    box: tuple[float, float, float, float],
    k: float,
    runs: Sequence[SolvedRun],
    dimensioned: set[tuple[int, int]],
) -> None:
    """Bend numbers and centrelines in every view; each leg's length once, where it is true."""
    x0, y0 = _placing(place, cell, box, k)
    for index, run in enumerate(runs):
        corners, _ = corners_of(run.table)
        flat = [(x0 + x * k, y0 + y * k) for x, y in (view.flat(p) for p in corners)]
        sheet.line(flat, Role.CENTRE)
        half = run.tube.outside_mm * k / 2.0
        for i, (a, b) in enumerate(zip(corners, corners[1:], strict=False)):
            p, q = flat[i], flat[i + 1]
            true = hypot(q[0] - p[0], q[1] - p[1]) >= TRUE_LENGTH * distance(a, b) * k
            if true and (index, i) not in dimensioned and not _isometric(view):
                dimensioned.add((index, i))
                sheet.dimension(p, q, _side(flat, i) * (half + 6.0), mm(distance(a, b)))
        for bend, arc in zip(run.table.bends, run.centreline.arcs, strict=True):
            at, out = view.flat(arc.point_at(arc.length / 2.0)), view.flat(arc.centre)
            dx, dy = at[0] - out[0], at[1] - out[1]
            n = hypot(dx, dy) or 1.0
            place_at = (x0 + at[0] * k + dx / n * (half + 4.0), y0 + at[1] * k + dy / n * (half + 4.0) - 1.2)
            sheet.words(str(bend.number), place_at, 3.0, "centre", role=Role.MARK, bold=True)
        if view.title.startswith("plan"):
            for name, corner, p in (("start", corners[0], flat[0]), ("finish", corners[-1], flat[-1])):
                where = ", ".join(mm(c) for c in corner)
                sheet.words(f"{name} ({where})", (p[0] + half + 1.5, p[1] + half + 1.5), 2.0)


def _isometric(view: View) -> bool:
    return all(abs(c) > 1e-9 for c in view.toward_eye)


def _side(flat: Sequence[Point], i: int) -> float:
    """Put a leg's dimension on the side away from the rest of the run: 1 to its left, -1 to its right."""
    p, q = flat[i], flat[i + 1]
    lean = sum((q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0]) for r in flat)
    return -1.0 if lean > 0.0 else 1.0


def _clipped(points: Sequence[Point], window: tuple[float, float, float, float]) -> list[list[Point]]:
    """Return the parts of a stroke that lie in a window."""
    parts: list[list[Point]] = []
    for a, b in zip(points, points[1:], strict=False):
        cut = _clip(a, b, window)
        if cut is None:
            continue
        if parts and parts[-1][-1] == cut[0]:
            parts[-1].append(cut[1])
        else:
            parts.append([cut[0], cut[1]])
    return parts


def _clip(a: Point, b: Point, window: tuple[float, float, float, float]) -> tuple[Point, Point] | None:
    """Liang and Barsky's clipping of one straight stroke."""
    t0, t1, dx, dy = 0.0, 1.0, b[0] - a[0], b[1] - a[1]
    left, low, right, high = window
    for p, q in ((-dx, a[0] - left), (dx, right - a[0]), (-dy, a[1] - low), (dy, high - a[1])):
        if p == 0.0:
            if q < 0.0:
                return None
        elif p < 0.0:
            t0 = max(t0, q / p)
        else:
            t1 = min(t1, q / p)
    if t0 > t1:
        return None
    start = a if t0 == 0.0 else (a[0] + t0 * dx, a[1] + t0 * dy)
    end = b if t1 == 1.0 else (a[0] + t1 * dx, a[1] + t1 * dy)
    return start, end


def _title_block(sheet: Sheet, title: str, factor: int) -> None:
    w = sheet.width
    sheet.line([(EDGE, EDGE), (w - EDGE, EDGE), (w - EDGE, sheet.height - EDGE), (EDGE, sheet.height - EDGE)],
               Role.OUTLINE, closed=True)  # fmt: skip
    top = EDGE + FOOT - 4.0
    sheet.line([(EDGE, top), (w - EDGE, top)], Role.OUTLINE)
    sheet.words(shown(title, 90), (EDGE + 3.0, EDGE + 4.5), 3.5, bold=True)
    sheet.words(
        f"scale 1:{factor}, mm; legs corner to corner of the centreline", (w - EDGE - 3.0, EDGE + 4.5), 2.5, "right"
    )
