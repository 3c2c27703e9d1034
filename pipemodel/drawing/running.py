"""Running dimensions: places measured from one datum along one line, each with its figure at the end of its own line.

As ISO 129-1 has them (superimposed running dimensioning, from memory): one line from the origin, which is a small
circle, with an arrow at each place; figures stand along the lines that come from the places.
"""

from collections.abc import Sequence
from math import inf
from typing import NamedTuple

from pipemodel.drawing.primitives import FlatPoint, Role
from pipemodel.drawing.sheet import Sheet

FIGURE_MM = 2.2
STEP_MM = 3.4
"""Figures stand at least so far apart."""
ARROW_MM, ORIGIN_MM = 2.0, 0.8
OUT_MM, CRANK_MM = 2.0, 4.0
"""How far a line runs past the dimension line before its figure, and over what length it turns aside to it."""
FIGURES_FROM_MM = OUT_MM + CRANK_MM + 2.0
"""From the dimension line to where its figures begin."""


class Mark(NamedTuple):
    """A place: where it lies on the sheet, and its figure."""

    at: FlatPoint
    figure: str


def running(
    sheet: Sheet,
    marks: Sequence[Mark],
    line_at: float,
    origin: float,
    end: float,
    upright: bool,
    room: tuple[float, float] = (-inf, inf),
) -> None:
    """Draw running dimensions below places, along a level line; or to the left of them, along an upright one.

    Args:
        sheet: what is drawn on.
        marks: the places.
        line_at: where the dimension line lies, mm of the sheet.
        origin: where the datum is along it; brought to the nearest end of what is shown, if it lies beyond.
        end: the end of what is shown that the line may begin at instead.
        upright: whether the line is upright.
        room: between what the figures stand, as far as they go between.
    """

    def at(along: float, across: float) -> FlatPoint:
        return (across, along) if upright else (along, across)

    k = 1 if upright else 0
    places: dict[str, list[FlatPoint]] = {}
    for mark in marks:
        places.setdefault(mark.figure, []).append(mark.at)
    if not places:
        return
    # One line for each figure, from the place of it that is farthest off.
    rows = sorted((points[0][k], max(p[1 - k] for p in points), figure) for figure, points in places.items())
    seats = spread([row[0] for row in rows], STEP_MM, *room)
    for (along, far, figure), seat in zip(rows, seats, strict=True):
        foot = line_at - OUT_MM
        knee = foot - (CRANK_MM if abs(seat - along) > 0.05 else 0.0)
        stroke = [at(along, far), at(along, foot), at(seat, knee), at(seat, knee - 1.0)]
        sheet.line(stroke, Role.DIMENSION)
        words = at(seat + (-FIGURE_MM / 2.0 if upright else FIGURE_MM / 2.0), knee - 1.8)
        sheet.words(figure, words, FIGURE_MM, "right", 0.0 if upright else 90.0)
        if abs(along - origin) > ARROW_MM:
            sheet.arrow(at(along, line_at), at(origin, line_at), size=ARROW_MM)
    ends = [row[0] for row in rows]
    sheet.line([at(min(origin, *ends), line_at), at(max(origin, *ends), line_at)], Role.DIMENSION)
    if abs(origin - end) > 1e-6:
        sheet.circle(at(origin, line_at), ORIGIN_MM, Role.DIMENSION)
    else:
        # The datum lies beyond what is shown: the line is broken off, and begins with two strokes.
        for off in (0.0, 1.0):
            sheet.line([at(origin + off - 0.6, line_at - 1.4), at(origin + off + 0.6, line_at + 1.4)], Role.DIMENSION)


def spread(values: Sequence[float], step: float, low: float = -inf, high: float = inf) -> list[float]:
    """Return places near some values in rising order, each at least a step from the next, moved as little as it takes.

    Values that are too near each other are set about their common middle, block by block; all of them between `low` and
    `high`, as far as they go between.
    """
    blocks: list[list[float]] = []
    for value in values:
        blocks.append([value, 1.0])
        while len(blocks) > 1 and _low(blocks[-1], step) < _high(blocks[-2], step) + step:
            (middle, n), (before, m) = blocks.pop(), blocks.pop()
            blocks.append([(middle * n + before * m) / (n + m), n + m])
    seats = [_low(block, step) + step * i for block in blocks for i in range(int(block[1]))]
    # What is pushed in by the one end pushes on the next; where all is full the lower end gives way.
    least = (max(seat, low + step * i) for i, seat in enumerate(seats))
    n = len(seats)
    return [min(seat, high - step * (n - 1 - i)) for i, seat in enumerate(least)]


def _low(block: Sequence[float], step: float) -> float:
    return block[0] - step * (block[1] - 1.0) / 2.0


def _high(block: Sequence[float], step: float) -> float:
    return block[0] + step * (block[1] - 1.0) / 2.0
