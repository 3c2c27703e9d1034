"""Where words and dimensions find room on a sheet without running into what is there already."""

from collections.abc import Sequence
from math import cos, radians, sin

from pipemodel.handover.drawing.clipping import Window
from pipemodel.handover.drawing.dimension import Dimension
from pipemodel.handover.drawing.lettering import width_of
from pipemodel.handover.drawing.primitives import Line, Point, Primitive, Words

AROUND_MM = 0.5
"""How far letters keep from everything else."""
CELL_MM = 12.0

Outline = tuple[Point, ...]


def box_of(words: Words, around: float = AROUND_MM) -> Outline:
    """Return the four corners of the room a line of text takes."""
    wide = width_of(words.text, words.height, words.bold)
    left = {"left": 0.0, "centre": -wide / 2.0, "right": -wide}[words.align]
    c, s = cos(radians(words.angle)), sin(radians(words.angle))
    low, high = -0.25 * words.height - around, words.height + around
    corners = ((left - around, low), (left + wide + around, low), (left + wide + around, high), (left - around, high))
    return tuple((words.at[0] + x * c - y * s, words.at[1] + x * s + y * c) for x, y in corners)


def overlap(a: Outline, b: Outline) -> bool:
    """Whether two convex outlines (a stroke has two corners) have a point in common, by separating axes."""
    for outline in (a, b):
        for p, q in zip(outline, (*outline[1:], outline[0]), strict=True):
            along, across = (q[0] - p[0], q[1] - p[1]), (p[1] - q[1], q[0] - p[0])
            # A stroke has no thickness, so it may also be parted from another along its own length.
            for nx, ny in (along, across) if len(outline) == 2 else (across,):
                of_a = [nx * x + ny * y for x, y in a]
                of_b = [nx * x + ny * y for x, y in b]
                if max(of_a) < min(of_b) or max(of_b) < min(of_a):
                    return False
    return True


class Placer:
    """What is on a sheet so far, found by place.

    Strokes that words must keep off (`solid`) are told from those they may cross if need be (`faint`).
    """

    def __init__(self, window: Window) -> None:
        self.window = window
        self._words: dict[tuple[int, int], list[Outline]] = {}
        self._solid: dict[tuple[int, int], list[Outline]] = {}
        self._faint: dict[tuple[int, int], list[Outline]] = {}
        self._drawn: dict[tuple[int, int], list[Outline]] = {}

    def add_stroke(self, points: Sequence[Point], faint: bool = False) -> None:
        """Take note of a stroke of the picture itself."""
        for a, b in zip(points, points[1:], strict=False):
            self._note(self._faint if faint else self._solid, (a, b))

    def add(self, primitives: Sequence[Primitive]) -> None:
        """Take note of words and of lines that belong to dimensions."""
        for item in primitives:
            if isinstance(item, Words):
                self._note(self._words, box_of(item, 0.0))
            elif isinstance(item, Line):
                for a, b in zip(item.points, item.points[1:], strict=False):
                    self._note(self._drawn, (a, b))

    def cost(self, primitives: Sequence[Primitive]) -> float | None:
        """Return how ill a place is, 0 for a free one; None for one that nothing may take.

        Words never run over words, over strokes of a run, or over a dimension, nor off the window; nor does a
        dimension's line through words. Crossing lines cost more the more there are.
        """
        total = 0.0
        for item in primitives:
            if isinstance(item, Words):
                box = box_of(item)
                if not all(self.window.holds(p) for p in box):
                    return None
                if any(self._hits(where, box) for where in (self._words, self._solid, self._drawn)):
                    return None
                total += 2.0 * self._hits(self._faint, box)
            elif isinstance(item, Line):
                for a, b in zip(item.points, item.points[1:], strict=False):
                    if not (self.window.holds(a) and self.window.holds(b)) or self._hits(self._words, (a, b)):
                        return None
                    total += 6.0 * self._hits(self._drawn, (a, b)) + 3.0 * self._hits(self._solid, (a, b))
        return total

    def place_dimension(self, choices: Sequence[Dimension]) -> Dimension | None:
        """Take the best of some dimensions, the earlier the better where they are alike; None if none has room."""
        best: tuple[float, Dimension] | None = None
        for rank, choice in enumerate(choices):
            cost = self.cost(choice.drawn())
            if cost is not None and (best is None or cost + 0.5 * rank < best[0]):
                best = (cost + 0.5 * rank, choice)
        if best is None:
            return None
        self.add(best[1].drawn())
        return best[1]

    def place_words(self, choices: Sequence[Words]) -> Words | None:
        """Take the best of some places for words; None if none has room."""
        best: tuple[float, Words] | None = None
        for rank, choice in enumerate(choices):
            cost = self.cost((choice,))
            if cost is not None and (best is None or cost + 0.5 * rank < best[0]):
                best = (cost + 0.5 * rank, choice)
        if best is None:
            return None
        self.add((best[1],))
        return best[1]

    def _note(self, where: dict[tuple[int, int], list[Outline]], outline: Outline) -> None:
        for cell in _cells(outline):
            where.setdefault(cell, []).append(outline)

    @staticmethod
    def _hits(where: dict[tuple[int, int], list[Outline]], outline: Outline) -> int:
        near = {id(o): o for cell in _cells(outline) for o in where.get(cell, ())}
        return sum(overlap(outline, other) for other in near.values())


def _cells(outline: Outline) -> list[tuple[int, int]]:
    xs, ys = zip(*outline, strict=True)
    columns = range(int(min(xs) // CELL_MM), int(max(xs) // CELL_MM) + 1)
    rows = range(int(min(ys) // CELL_MM), int(max(ys) // CELL_MM) + 1)
    return [(x, y) for x in columns for y in rows]
