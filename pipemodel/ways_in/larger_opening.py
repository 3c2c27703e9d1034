"""An opening larger all round, and what it is in with a larger hole: what would help where a run does not come in."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from math import inf

from pipemodel.geometry.shapes import Shape
from pipemodel.geometry.shapes.box import Box
from pipemodel.geometry.shapes.face import Vec2
from pipemodel.geometry.shapes.plate import Plate
from pipemodel.geometry.vectors import Vec3, dot, sub
from pipemodel.job.model import Opening, Thing
from pipemodel.ways_in.moves_in_words import plane_of

SIDE_MM = 0.5
"""A block no farther than this from an opening's edge bounds it."""


def with_larger(opening: Opening, things: Sequence[Thing], more_mm: float) -> tuple[Opening, tuple[Thing, ...]] | None:
    """Return an opening larger all round, and the things with what bounds it cut back: blocks, and walls with a hole.

    None where the opening is no rectangle along the axes, something else stands at its edge, or a wall has no room.
    Blocks that do not bound the opening as it is are cut back where they are no deeper than those that do: they are
    boards of the same wall, and no wall beside it.
    """
    _, inward = plane_of(opening)
    axis = max(range(3), key=lambda i: abs(inward[i]))
    if abs(inward[axis]) < 1.0 - 1e-9 or not _rectangle(opening.corners, axis):
        return None
    low = [min(p[i] for p in opening.corners) - more_mm for i in range(3)]
    high = [max(p[i] for p in opening.corners) + more_mm for i in range(3)]
    plane = opening.corners[0][axis]
    cut: list[Thing] = []
    first, last = _depth(opening, [thing.shape for thing in things], axis)
    for thing in things:
        shape = thing.shape
        if isinstance(shape, Plate) and abs(dot(shape.normal, inward)) > 1.0 - 1e-9:
            bounds = shape.bounds()
            if _reaches(bounds[0], bounds[1], low, high, axis, plane):
                wider = _plate_cut_back(shape, low, high)
                if wider is None:
                    return None
                thing = replace(thing, shape=wider)
            cut.append(thing)
            continue
        if not isinstance(shape, Box):
            bounds = shape.bounds()
            if bounds and _reaches(bounds[0], bounds[1], low, high, axis, plane):
                return None
            cut.append(thing)
        elif not _reaches(shape.low, shape.high, low, high, axis, plane):
            cut.append(thing)
        elif not first <= shape.low[axis] <= shape.high[axis] <= last:
            return None
        else:
            cut += [replace(thing, shape=part) for part in _cut_back(shape, low, high, axis)]
    corners = tuple(_set_out(p, opening.corners, axis, more_mm) for p in opening.corners)
    return replace(opening, corners=corners), tuple(cut)


def _depth(opening: Opening, shapes: Sequence[Shape], axis: int) -> tuple[float, float]:
    """Return from where to where the blocks reach along the axis that bound an opening; infinite for none."""
    low, high = ([pick(p[i] for p in opening.corners) for i in range(3)] for pick in (min, max))
    plane, around = opening.corners[0][axis], [SIDE_MM if i != axis else 0.0 for i in range(3)]
    from_, to = [a - b for a, b in zip(low, around, strict=True)], [a + b for a, b in zip(high, around, strict=True)]
    beside = [s for s in shapes if isinstance(s, Box) and _reaches(s.low, s.high, from_, to, axis, plane)]
    return min((s.low[axis] for s in beside), default=inf), max((s.high[axis] for s in beside), default=-inf)


def _plate_cut_back(plate: Plate, low: Sequence[float], high: Sequence[float]) -> Plate | None:
    """Return a wall with its hole in a larger opening as large as that; None where that is no hole wholly within it.

    Along the axes, as the opening is; the wall's own may be turned by quarters against them.
    """
    spots = [tuple(dot(sub((x, y, z), plate.origin), way) for way in (plate.across, plate.up))
             for x, y, z in ((low[0], low[1], low[2]), (high[0], high[1], high[2]))]  # fmt: skip
    (x0, x1), (y0, y1) = (sorted(pair) for pair in zip(*spots, strict=True))
    blocks = [tuple((min(c), max(c)) for c in zip(*outline, strict=True)) for outline in plate.outlines]
    (a, b), (c, d) = blocks[0]
    if len(plate.outlines[0]) != 4 or not (a < x0 and x1 < b and c < y0 and y1 < d):
        return None
    holes: list[tuple[Vec2, ...]] = [plate.outlines[0]]
    for outline, ((a, b), (c, d)) in zip(plate.outlines[1:], blocks[1:], strict=True):
        if x0 <= a and b <= x1 and y0 <= c and d <= y1:
            continue
        if a <= x1 and b >= x0 and c <= y1 and d >= y0:
            return None
        holes.append(outline)
    if len(holes) == len(plate.outlines) or any(
        x0 - hole.radius <= hole.x <= x1 + hole.radius and y0 - hole.radius <= hole.y <= y1 + hole.radius
        for hole in plate.rounds
    ):
        return None
    return replace(plate, outlines=(*holes, ((x0, y0), (x1, y0), (x1, y1), (x0, y1))))


def _rectangle(corners: Sequence[Vec3], axis: int) -> bool:
    if len(corners) != 4:
        return False
    sides = [sub(q, p) for p, q in zip(corners, (*corners[1:], corners[0]), strict=True)]
    return all(sum(abs(side[i]) > 1e-9 for i in range(3) if i != axis) == 1 for side in sides)


def _reaches(low: Vec3, high: Vec3, from_: Sequence[float], to: Sequence[float], axis: int, plane: float) -> bool:
    """Whether a block stands in the plane of an opening, within its edges."""
    if not low[axis] - 1e-6 <= plane <= high[axis] + 1e-6:
        return False
    return all(low[i] < to[i] - 1e-9 and high[i] > from_[i] + 1e-9 for i in range(3) if i != axis)


def _cut_back(box: Box, low: Sequence[float], high: Sequence[float], axis: int) -> Iterator[Box]:
    """Yield what is left of a block, right through which a larger opening is cut."""
    a, b = list(box.low), list(box.high)
    for i in range(3):
        if i == axis:
            continue
        if a[i] < low[i]:
            top = list(b)
            top[i] = low[i]
            yield Box((a[0], a[1], a[2]), (top[0], top[1], top[2]))
            a[i] = low[i]
        if b[i] > high[i]:
            foot = list(a)
            foot[i] = high[i]
            yield Box((foot[0], foot[1], foot[2]), (b[0], b[1], b[2]))
            b[i] = high[i]


def _set_out(p: Vec3, corners: Sequence[Vec3], axis: int, by: float) -> Vec3:
    """A corner of a rectangle moved out by so much along both of its sides."""
    middle = [sum(q[i] for q in corners) / len(corners) for i in range(3)]
    x, y, z = (c if i == axis else c + (by if c > middle[i] else -by) for i, c in enumerate(p))
    return (x, y, z)
