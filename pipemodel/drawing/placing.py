"""Where words and dimensions find room on a sheet without running into what is there already."""

from collections.abc import Collection, Iterable, Sequence
from itertools import pairwise
from math import ceil, cos, hypot, pi, radians, sin
from typing import TypeAlias

from pipemodel.drawing.clipping import ClipWindow
from pipemodel.drawing.lettering import width_of
from pipemodel.drawing.primitives import Circle, FlatPoint, Line, Primitive, Text

AROUND_MM = 0.5
"""How far letters keep from everything else."""
CELL_MM = 6.0
MOST_COUNTED = 4
"""More crossings than this are as bad as any number."""

LabelOutline: TypeAlias = tuple[FlatPoint, ...]
_Held: TypeAlias = tuple[float, float, float, float, LabelOutline, bool]
"""The block that holds an outline (left, low, right, high), the outline, and whether it is a level rectangle."""
Choice: TypeAlias = tuple[Primitive, ...]
"""What goes to one place together: words, their ring and their leader."""


def box_of(words: Text, around: float = AROUND_MM) -> LabelOutline:
    """Return the four corners of the room a line of text takes."""
    wide = width_of(words.text, words.height, words.bold)
    left = {"left": 0.0, "centre": -wide / 2.0, "right": -wide}[words.align]
    if words.angle == 0.0:
        x, y = words.at
        x0, y0 = x + (left - around), y + (-0.25 * words.height - around)
        x1, y1 = x + (left + wide + around), y + (words.height + around)
        return ((x0, y0), (x1, y0), (x1, y1), (x0, y1))
    c, s = cos(radians(words.angle)), sin(radians(words.angle))
    low, high = -0.25 * words.height - around, words.height + around
    corners = ((left - around, low), (left + wide + around, low), (left + wide + around, high), (left - around, high))
    return tuple((words.at[0] + x * c - y * s, words.at[1] + x * s + y * c) for x, y in corners)


def _round(circle: Circle, around: float = AROUND_MM) -> LabelOutline:
    """Return eight corners of the room a circle takes."""
    turns = (pi / 4.0 * (i + 0.5) for i in range(8))
    reach = (circle.radius + around) / cos(pi / 8.0)
    return tuple((circle.centre[0] + reach * cos(t), circle.centre[1] + reach * sin(t)) for t in turns)


def overlap(a: LabelOutline, b: LabelOutline) -> bool:
    """Whether two outlines have a point in common, by separating axes.

    Each is convex, and every side parallel to the one opposite: a rectangle, a regular octagon, a stroke.
    """
    for outline in (a, b):
        for p, q in zip(outline[: len(outline) // 2], outline[1:], strict=False):
            along, across = (q[0] - p[0], q[1] - p[1]), (p[1] - q[1], q[0] - p[0])
            # A stroke has no thickness, so it may also be parted from another along its own length.
            for nx, ny in (along, across) if len(outline) == 2 else (across,):
                of_a = [nx * x + ny * y for x, y in a]
                of_b = [nx * x + ny * y for x, y in b]
                if max(of_a) < min(of_b) or max(of_b) < min(of_a):
                    return False
    return True


def _level(outline: LabelOutline) -> bool:
    """Whether an outline is a rectangle along the sheet, as the room of a level line of text is."""
    return len(outline) == 4 and outline[0][1] == outline[1][1] and outline[1][0] == outline[2][0]


def _cut_by(box: LabelOutline, stroke: LabelOutline) -> bool:
    """Whether a stroke runs into a rectangle along the sheet, where the blocks that hold them do."""
    (px, py), (qx, qy) = stroke
    dx, dy = qx - px, qy - py
    sides = [dx * (y - py) - dy * (x - px) for x, y in box]
    return min(sides) <= 0.0 <= max(sides)


def _meet(outline: LabelOutline, level: bool, other: LabelOutline, other_level: bool) -> bool:
    """Whether two outlines meet whose blocks do: of level rectangles that is all there is to know."""
    if level and len(other) == 2:
        return _cut_by(outline, other)
    if other_level and len(outline) == 2:
        return _cut_by(other, outline)
    return (level and other_level) or overlap(outline, other)


class _Grid:
    """Outlines found by place."""

    def __init__(self) -> None:
        self._cells: dict[tuple[int, int], list[_Held]] = {}
        self._latest: _Held | None = None

    def add(self, outline: LabelOutline) -> None:
        """Take note of an outline."""
        xs, ys = [p[0] for p in outline], [p[1] for p in outline]
        bounds, level = (min(xs), min(ys), max(xs), max(ys)), _level(outline)
        for cell in _along(*outline) if len(outline) == 2 else _cells(*bounds):
            self._cells.setdefault(cell, []).append((*bounds, outline, level))

    def hits(self, outline: LabelOutline, most: int = 1) -> int:
        """Return how many outlines an outline runs into, no more than `most`."""
        xs, ys = [p[0] for p in outline], [p[1] for p in outline]
        left, low, right, high = min(xs), min(ys), max(xs), max(ys)
        found: set[int] = set()
        level = _level(outline)
        # What was in the way of the place tried last is often in the way of the next.
        if most == 1 and self._latest is not None:
            a, b, c, d, other, other_level = self._latest
            apart = a > right or c < left or b > high or d < low
            if not apart and _meet(outline, level, other, other_level):
                return 1
        for cell in _along(*outline) if len(outline) == 2 else _cells(left, low, right, high):
            for held in self._cells.get(cell, ()):
                a, b, c, d, other, other_level = held
                if a > right or c < left or b > high or d < low or id(other) in found:
                    continue
                if _meet(outline, level, other, other_level):
                    self._latest = held
                    found.add(id(other))
                    if len(found) >= most:
                        return most
        return len(found)


class Placer:
    """What is on a sheet so far, found by place: the one that says where a label may go.

    Strokes that words must keep off (`solid`) are held apart from those they may cross if need be (`faint`).
    """

    def __init__(self, window: ClipWindow) -> None:
        self.window = window
        self._words, self._solid, self._faint, self._drawn = _Grid(), _Grid(), _Grid(), _Grid()

    def add_stroke(self, points: Sequence[FlatPoint], faint: bool = False) -> None:
        """Take note of a stroke of the picture itself."""
        for a, b in zip(points, points[1:], strict=False):
            (self._faint if faint else self._solid).add((a, b))

    def add(self, primitives: Sequence[Primitive]) -> None:
        """Take note of words, filled circles, and lines that belong to dimensions or labels."""
        for item in primitives:
            if isinstance(item, Text):
                self._words.add(box_of(item, 0.0))
            elif isinstance(item, Circle):
                self._words.add(_round(item, 0.0))
            else:
                for a, b in zip(item.points, item.points[1:], strict=False):
                    self._drawn.add((a, b))

    def cost(self, primitives: Sequence[Primitive]) -> float | None:
        """Return how bad a place is, 0 for a free one; None for one that nothing may take.

        Words never run over words, over strokes of a run, or over a dimension, nor off the window; nor does a
        dimension's line through words. Crossing lines cost more the more there are.
        """
        total = 0.0
        for item in primitives:
            if isinstance(item, Line):
                for a, b in zip(item.points, item.points[1:], strict=False):
                    if not (self.window.holds(a) and self.window.holds(b)) or self._words.hits((a, b)):
                        return None
                    total += 6.0 * self._drawn.hits((a, b), MOST_COUNTED)
                    total += 3.0 * self._solid.hits((a, b), MOST_COUNTED)
                continue
            box = box_of(item) if isinstance(item, Text) else _round(item)
            if not all(self.window.holds(p) for p in box):
                return None
            if any(grid.hits(box) for grid in (self._words, self._solid, self._drawn)):
                return None
            total += 2.0 * self._faint.hits(box, MOST_COUNTED)
        return total

    def place(self, choices: Iterable[tuple[float, Choice]]) -> Choice | None:
        """Take the best of some places, and return it; None if none is free.

        Args:
            choices: each with how bad it is by itself, the best first.
        """
        best: tuple[float, Choice] | None = None
        for by_itself, choice in choices:
            if best is not None and by_itself >= best[0]:
                break
            cost = self.cost(choice)
            if cost is not None and (best is None or cost + by_itself < best[0]):
                best = (cost + by_itself, choice)
        if best is None:
            return None
        self.add(best[1])
        return best[1]


def _along(a: FlatPoint, b: FlatPoint) -> Collection[tuple[int, int]]:
    """Return the cells that a stroke runs through, and some beside them."""
    dx, dy = b[0] - a[0], b[1] - a[1]
    steps = ceil(hypot(dx, dy) / CELL_MM)
    if steps <= 1:
        x, y = a[0] + dx, a[1] + dy
        return _cells(min(a[0], x), min(a[1], y), max(a[0], x), max(a[1], y))
    points = [(a[0] + dx * k / steps, a[1] + dy * k / steps) for k in range(steps + 1)]
    spans = [(*map(sorted, zip(p, q, strict=True)),) for p, q in pairwise(points)]
    return {cell for (x0, x1), (y0, y1) in spans for cell in _cells(x0, y0, x1, y1)}


def _cells(left: float, low: float, right: float, high: float) -> list[tuple[int, int]]:
    columns = range(int(left // CELL_MM), int(right // CELL_MM) + 1)
    rows = range(int(low // CELL_MM), int(high // CELL_MM) + 1)
    return [(x, y) for x in columns for y in rows]
