"""Where words and dimensions find room on a sheet without running into what is there already."""

from collections.abc import Callable, Collection, Iterable, Sequence
from enum import IntEnum
from itertools import pairwise
from math import ceil, cos, hypot, pi, radians, sin
from typing import TypeAlias

from pipemodel.drawing.clipping import ClipWindow
from pipemodel.drawing.lettering import width_of
from pipemodel.drawing.primitives import Circle, FlatPoint, Line, Primitive, Text

AROUND_MM = 0.5
"""How far letters keep from everything else."""
ASIDE = 0.45
"""How far other words keep from the ends of a line besides, in heights: by a space they read as one."""
CELL_MM = 6.0
MOST_COUNTED = 4
"""More crossings than this are as bad as any number."""
KEPT = 8
"""So many outlines that were run into are tried first."""

LabelOutline: TypeAlias = tuple[FlatPoint, ...]
Choice: TypeAlias = tuple[Primitive, ...]
"""What goes to one place together: words, their ring and their leader."""


def box_of(words: Text, around: float = AROUND_MM, aside: float = 0.0) -> LabelOutline:
    """Return the four corners of the room a line of text takes, with `aside` besides at both its ends."""
    wide = width_of(words.text, words.height, words.bold)
    left = {"left": 0.0, "centre": -wide / 2.0, "right": -wide}[words.align] - aside
    wide += 2.0 * aside
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
    # A stroke's own direction parts it from most of what it misses.
    for outline in (a, b) if len(a) <= len(b) else (b, a):
        for p, q in zip(outline[: len(outline) // 2], outline[1:], strict=False):
            along, across = (q[0] - p[0], q[1] - p[1]), (p[1] - q[1], q[0] - p[0])
            # A stroke has no thickness, so it may also be parted from another along its own length.
            for nx, ny in (along, across) if len(outline) == 2 else (across,):
                of_a = [nx * x + ny * y for x, y in a]
                of_b = [nx * x + ny * y for x, y in b]
                if max(of_a) < min(of_b) or max(of_b) < min(of_a):
                    return False
    return True


def _strokes_cross(a: LabelOutline, b: LabelOutline) -> bool:
    """Say of two strokes what `overlap` does, by the same products and sums."""
    (ax, ay), (bx, by) = a
    (cx, cy), (dx, dy) = b
    for ux, uy in ((bx - ax, by - ay), (dx - cx, dy - cy)):
        for nx, ny in ((ux, uy), (-uy, ux)):
            p, q, r, s = nx * ax + ny * ay, nx * bx + ny * by, nx * cx + ny * cy, nx * dx + ny * dy
            if (p if p > q else q) < (r if r < s else s) or (r if r > s else s) < (p if p < q else q):
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
    one, two = len(outline), len(other)
    if level and two == 2:
        return _cut_by(outline, other)
    if other_level and one == 2:
        return _cut_by(other, outline)
    if one == 2 and two == 2:
        return _strokes_cross(outline, other)
    if level and other_level:
        return True
    return overlap(outline, other)


class _Kind(IntEnum):
    """What stands in the way."""

    WORDS = 0
    SOLID = 1
    DRAWN = 2
    FAINT = 3
    ENDS = 4


_Block: TypeAlias = tuple[float, float, float, float]
_Held: TypeAlias = tuple[float, float, float, float, LabelOutline, bool, _Kind]
"""The block that holds an outline (left, low, right, high), the outline, whether it is a level rectangle, its kind."""


class _Grid:
    """Outlines found by place."""

    def __init__(self) -> None:
        self._cells: dict[tuple[int, int], list[_Held]] = {}
        self._met: list[_Held] = []
        """What ended the last searches: the next place that is tried is most often beside."""

    def add(self, outline: LabelOutline, kind: _Kind) -> None:
        """Take note of an outline."""
        held = (*_block(outline), outline, _level(outline), kind)
        for cell in _along(*outline) if len(outline) == 2 else _cells(*held[:4]):
            self._cells.setdefault(cell, []).append(held)

    def hits(self, outline: LabelOutline, block: _Block, no_further: Collection[_Kind]) -> dict[_Kind, int]:
        """Return how many outlines of each kind an outline in a block runs into, no more than `MOST_COUNTED`.

        The first of a kind that nothing may run into, one of `no_further`, ends the search.
        """
        left, low, right, high = block
        level = _level(outline)
        for a, b, c, d, other, other_level, kind in self._met if no_further else ():
            beside = a <= right and c >= left and b <= high and d >= low
            if beside and kind in no_further and _meet(outline, level, other, other_level):
                return {kind: 1}
        found: dict[_Kind, int] = {}
        seen: set[int] = set()
        for cell in _along(*outline) if len(outline) == 2 else _cells(left, low, right, high):
            for held in self._cells.get(cell, ()):
                a, b, c, d, other, other_level, kind = held
                if a > right or c < left or b > high or d < low or id(other) in seen:
                    continue
                # Once is enough: it may lie in many of the cells.
                seen.add(id(other))
                if found.get(kind, 0) < MOST_COUNTED and _meet(outline, level, other, other_level):
                    found[kind] = found.get(kind, 0) + 1
                    if kind in no_further:
                        self._met = [held, *self._met[: KEPT - 1]]
                        return found
        return found


_BARRED_TO_WORDS = (_Kind.WORDS, _Kind.ENDS, _Kind.SOLID, _Kind.DRAWN)
_BARRED_TO_LINES = (_Kind.WORDS,)


class Placer:
    """What is on a sheet so far, found by place: the one that says where a label may go.

    Strokes that words must keep off (`solid`) are kept apart from those they may cross if need be (`faint`).
    """

    def __init__(self, window: ClipWindow) -> None:
        self.window = window
        self._there, self._faint = _Grid(), _Grid()

    def add_stroke(self, points: Sequence[FlatPoint], faint: bool = False) -> None:
        """Take note of a stroke of the picture itself."""
        grid, kind = (self._faint, _Kind.FAINT) if faint else (self._there, _Kind.SOLID)
        for a, b in zip(points, points[1:], strict=False):
            grid.add((a, b), kind)

    def add(self, primitives: Sequence[Primitive]) -> None:
        """Take note of words, filled circles, and lines that belong to dimensions or labels."""
        for item in primitives:
            if isinstance(item, Text):
                self._there.add(box_of(item, 0.0), _Kind.WORDS)
                self._there.add(box_of(item, 0.0, ASIDE * item.height), _Kind.ENDS)
            elif isinstance(item, Circle):
                self._there.add(_round(item, 0.0), _Kind.WORDS)
            else:
                for a, b in zip(item.points, item.points[1:], strict=False):
                    self._there.add((a, b), _Kind.DRAWN)

    def cost(self, primitives: Sequence[Primitive]) -> float | None:
        """Return how bad a place is, 0 for a free one; None for one that nothing may take.

        Words never run over words, over strokes of a run, or over a dimension, nor off the window; nor does a
        dimension's line through words. Crossing lines cost more the more there are.
        """
        total = 0.0
        for item in primitives:
            if isinstance(item, Line):
                for a, b in zip(item.points, item.points[1:], strict=False):
                    block = _block((a, b))
                    if not self._holds(block):
                        return None
                    met = self._there.hits((a, b), block, _BARRED_TO_LINES)
                    if _Kind.WORDS in met:
                        return None
                    total += 6.0 * met.get(_Kind.DRAWN, 0) + 3.0 * met.get(_Kind.SOLID, 0)
                continue
            box = box_of(item) if isinstance(item, Text) else _round(item)
            block = _block(box)
            if not self._holds(block) or self._there.hits(box, block, _BARRED_TO_WORDS):
                return None
            total += 6.0 * self._faint.hits(box, block, ()).get(_Kind.FAINT, 0)
        return total

    def _holds(self, block: _Block) -> bool:
        left, low, right, high = self.window
        return left <= block[0] and low <= block[1] and block[2] <= right and block[3] <= high

    def place(self, choices: Iterable[tuple[float, Choice]]) -> Choice | None:
        """Take the best of some places, and return it; None if none is free.

        Args:
            choices: each with how bad it is by itself, the best first.
        """
        return self.place_with_leader((by_itself, choice, lambda: ()) for by_itself, choice in choices)

    def place_with_leader(self, choices: Iterable[tuple[float, Choice, Callable[[], Choice]]]) -> Choice | None:
        """Do the same for words whose leader is laid out only where the words themselves find room.

        Args:
            choices: each with how bad it is by itself, the best first, and what returns its leader.
        """
        best: tuple[float, Choice] | None = None
        for by_itself, choice, leader in choices:
            if best is not None and by_itself >= best[0]:
                break
            cost = self.cost(choice)
            if cost is None or (best is not None and cost + by_itself >= best[0]):
                continue
            line = leader()
            more = self.cost(line)
            if more is not None and (best is None or cost + more + by_itself < best[0]):
                best = (cost + more + by_itself, (*choice, *line))
        if best is None:
            return None
        self.add(best[1])
        return best[1]


def _along(a: FlatPoint, b: FlatPoint) -> Collection[tuple[int, int]]:
    """Return the cells that a stroke runs through, and some beside them."""
    dx, dy = b[0] - a[0], b[1] - a[1]
    steps = ceil(hypot(dx, dy) / CELL_MM)
    if steps <= 1:
        return _cells(*_block((a, (a[0] + dx, a[1] + dy))))
    points = [(a[0] + dx * k / steps, a[1] + dy * k / steps) for k in range(steps + 1)]
    return {cell for part in pairwise(points) for cell in _cells(*_block(part))}


def _block(outline: LabelOutline) -> _Block:
    """Return the block that holds an outline: left, low, right, high."""
    if len(outline) == 2:
        (px, py), (qx, qy) = outline
        return (px if px < qx else qx, py if py < qy else qy, px if px > qx else qx, py if py > qy else qy)
    xs, ys = [p[0] for p in outline], [p[1] for p in outline]
    return min(xs), min(ys), max(xs), max(ys)


def _cells(left: float, low: float, right: float, high: float) -> list[tuple[int, int]]:
    columns = range(int(left // CELL_MM), int(right // CELL_MM) + 1)
    rows = range(int(low // CELL_MM), int(high // CELL_MM) + 1)
    return [(x, y) for x in columns for y in rows]
