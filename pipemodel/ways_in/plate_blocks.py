"""A wall with openings as blocks, where it lies along the axes of the room: proofs ask those, and no triangles."""

from collections.abc import Iterator, Sequence
from itertools import pairwise

from pipemodel.geometry.shapes import Shape
from pipemodel.geometry.shapes.box import Box
from pipemodel.geometry.shapes.face import Vec2
from pipemodel.geometry.shapes.plate import Plate
from pipemodel.geometry.vectors import Vec3

SQUARE = 1.0 - 1e-12


def in_blocks(shapes: Sequence[Shape]) -> list[Shape]:
    """Return shapes with each plate along the axes of the room as blocks that fill it; others, and all else, as is."""
    return [part for shape in shapes for part in _blocks(shape) or (shape,)]


def _blocks(shape: Shape) -> list[Box]:
    """Return blocks that fill a plate and touch in faces only; none where it is no plate that blocks can fill."""
    if not isinstance(shape, Plate) or shape.rounds or not (_along(shape.across) and _along(shape.up)):
        return []
    sides = [(a, b) for outline in shape.outlines for a, b in pairwise((*outline, outline[0]))]
    if any(a[0] != b[0] and a[1] != b[1] for a, b in sides):
        return []
    out = []
    for (x, y), (to_x, to_y) in _strips(sides):
        corners = shape.place(x, y, 0.0), shape.place(to_x, to_y, shape.thickness)
        low, high = (tuple(pick(pair) for pair in zip(*corners, strict=True)) for pick in (min, max))
        out.append(Box((low[0], low[1], low[2]), (high[0], high[1], high[2])))
    return out


def _along(direction: Vec3) -> bool:
    return max(abs(c) for c in direction) > SQUARE


def _strips(sides: Sequence[tuple[Vec2, Vec2]]) -> Iterator[tuple[Vec2, Vec2]]:
    """Yield opposite corners of rectangles that fill what lies within an odd number of outlines."""
    stops = sorted({x for side in sides for x, _ in side})
    begin, before = stops[0], list[float]()
    for left, right in (*pairwise(stops), (stops[-1], stops[-1])):
        # Where the same heights are solid as in the strip before, the two are one.
        heights = sorted(a[1] for a, b in sides if min(a[0], b[0]) <= left < right <= max(a[0], b[0]))
        if heights == before:
            continue
        yield from (((begin, low), (left, high)) for low, high in zip(before[::2], before[1::2], strict=True))
        begin, before = left, heights
