"""Openings cut out of prisms, where what is left is a plate: outlines of one thickness with holes right through."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations
from math import dist

import numpy as np

from pipemodel.geometry.arrays import Floats
from pipemodel.geometry.shapes.face import Vec2, edges, inside_outline
from pipemodel.geometry.shapes.plan import rectangle_less, side_distance, sides_cross
from pipemodel.geometry.shapes.signed_plan import Round
from pipemodel.messages.values import message
from pipemodel.models.ifc.frames import TOUCH, Outlined, closed_outline, vec2s
from pipemodel.models.ifc.placing import HardError, OddError
from pipemodel.models.ifc.profiles import Loop

_ALONG = 1e-9
_SLIVER = 1e-3
"""What is thinner between two sides is left by the rounding of a file's numbers, not meant; mm."""


@dataclass(frozen=True)
class CutPrism:
    """What is left of a prism: a plate in mm; see `geometry.shapes.plate.Plate`.

    `square` has the openings of a block, the least and greatest corner of each, in the plan of `body`; None for a
    body of another outline.
    """

    body: Outlined
    outlines: tuple[tuple[Vec2, ...], ...]
    rounds: tuple[Round, ...]
    square: tuple[tuple[Vec2, Vec2], ...] | None


def cut(body: Outlined, openings: Sequence[Outlined]) -> CutPrism:
    """Return a prism less openings.

    Raises:
        HardError: if what is left is no plate.
        OddError: if nothing is left.
    """
    reason = HardError("an opening that does not go right through")
    for side in body.sides:
        try:
            return _cut_along(side, openings)
        except HardError as error:
            reason = error
    raise reason


def _cut_along(body: Outlined, openings: Sequence[Outlined]) -> CutPrism:
    if isinstance(body.outer, Round):
        raise HardError("an opening in a round body")
    loops = [loop for opening in openings if (loop := _through(body, opening)) is not None]
    rounds = [loop for loop in (*body.inner, *loops) if isinstance(loop, Round)]
    shapes = [loop for loop in loops if not isinstance(loop, Round)]
    plain = [_rectangle(loop) for loop in shapes]
    square: tuple[tuple[Vec2, Vec2], ...] | None = None
    if body.block and all(one is not None for one in plain):
        low, high = vec2s(np.asarray(body.outer)[[0, 2]])
        square = tuple(_on_sides([one for one in plain if one is not None and _meets(one, low, high)], low, high))
        outlines = rectangle_less(low, high, square)
        corners = [corner for outline in outlines for corner in outline]
        if not outlines:
            raise OddError(message("odd.openings"))
        if len(set(corners)) < len(corners):
            raise HardError("openings that touch at a corner")
    else:
        outlines = _less(body, shapes)
    kept = tuple(one for one in rounds if _round_is_in(one, outlines))
    if any(dist(a[:2], b[:2]) <= a.radius + b.radius + TOUCH for a, b in combinations(kept, 2)):
        raise HardError("round openings that meet")
    return CutPrism(body, outlines, kept, square)


def _through(body: Outlined, opening: Outlined) -> Loop | None:
    """Return the outline of an opening in the plan of a body, None where it misses it.

    Raises:
        HardError: if it does not go through the body the way the body is carried.
    """
    if opening.inner:
        raise HardError("an opening with something standing in it")
    for side in opening.sides:
        way = float(side.axes[2] @ body.axes[2])
        if abs(way) < 1.0 - _ALONG:
            continue
        at = body.axes @ (side.origin - body.origin)
        low, high = sorted((float(at[2]), float(at[2]) + way * side.depth))
        if high <= TOUCH or low >= body.depth - TOUCH:
            return None
        if low > TOUCH or high < body.depth - TOUCH:
            continue
        axes = np.array([body.axes[:2] @ side.axes[0], body.axes[:2] @ side.axes[1]])
        if isinstance(side.outer, Round):
            x, y = (side.outer.x, side.outer.y) @ axes + at[:2]
            return Round(float(x), float(y), side.outer.radius)
        loop: Floats = side.outer @ axes + at[:2]
        return loop if way > 0.0 else loop[::-1]
    raise HardError("an opening that does not go right through")


def _meets(one: tuple[Vec2, Vec2], low: Vec2, high: Vec2) -> bool:
    """Return whether a rectangle overlaps another."""
    return all(one[0][k] < high[k] - TOUCH and one[1][k] > low[k] + TOUCH for k in range(2))


def _on_sides(rectangles: Sequence[tuple[Vec2, Vec2]], low: Vec2, high: Vec2) -> list[tuple[Vec2, Vec2]]:
    """Return rectangles, each side as good as on one of the body's or of those before moved onto it: no slivers."""
    known = [[low[k], high[k]] for k in range(2)]

    def moved(corner: Vec2) -> Vec2:
        for k in range(2):
            known[k].append(next((one for one in known[k] if abs(one - corner[k]) <= _SLIVER), corner[k]))
        return known[0][-1], known[1][-1]

    return [(moved(least), moved(greatest)) for least, greatest in rectangles]


def _rectangle(loop: Floats) -> tuple[Vec2, Vec2] | None:
    """Return the least and the greatest corner of a rectangle along the axes, None for another outline."""
    low, high = loop.min(axis=0), loop.max(axis=0)
    on = (np.abs(loop - low) <= TOUCH) | (np.abs(loop - high) <= TOUCH)
    if len(loop) != 4 or not np.all(on):
        return None
    a, b = vec2s(np.array([low, high]))
    return a, b


def _less(body: Outlined, openings: Sequence[Floats]) -> tuple[tuple[Vec2, ...], ...]:
    """Return the outlines of what openings leave of a body's plan.

    Raises:
        HardError: if two of them touch.
        OddError: if nothing is left.
    """
    from shapely import MultiPolygon, Polygon, union_all

    inner = [hole for hole in body.inner if not isinstance(hole, Round)]
    left = Polygon(body.outer, inner).difference(union_all([Polygon(opening) for opening in openings]))
    pieces = [piece for piece in (left.geoms if isinstance(left, MultiPolygon) else [left]) if piece.area > TOUCH]
    if not pieces:
        raise OddError(message("odd.openings"))
    rings = [ring for piece in pieces for ring in (piece.exterior, *piece.interiors)]
    outlines = tuple(vec2s(closed_outline(np.array(ring.coords)[:-1])) for ring in rings)
    if any(_near(a, b) for a, b in combinations(outlines, 2)):
        raise HardError("openings that touch")
    return outlines


def _near(one: tuple[Vec2, ...], other: tuple[Vec2, ...]) -> bool:
    """Return whether two outlines touch or cross."""
    for a, b in edges(one):
        for c, d in edges(other):
            if min(side_distance(a, b, c), side_distance(a, b, d), side_distance(c, d, a)) <= TOUCH:
                return True
            if sides_cross(a, b, c, d):
                return True
    return False


def _round_is_in(one: Round, outlines: Sequence[tuple[Vec2, ...]]) -> bool:
    """Return whether a round opening lies within the solid, False where it lies all in the open.

    Raises:
        HardError: if it meets an edge.
    """
    near = min(side_distance(a, b, (one.x, one.y)) for outline in outlines for a, b in edges(outline))
    if near <= one.radius + TOUCH:
        raise HardError("a round opening at the edge")
    return sum(inside_outline(outline, one.x, one.y) for outline in outlines) % 2 == 1
