"""Outlines of plates: which lie in which, and what is left of a rectangle with openings cut out."""

from bisect import bisect_left
from collections.abc import Sequence
from functools import partial
from itertools import pairwise, product
from math import dist, hypot

from pipemodel.geometry.shapes.face import Vec2, edges, inside_outline


def side_distance(a: Vec2, b: Vec2, p: Vec2) -> float:
    """Return the distance from a point to the side from a to b."""
    ex, ey = b[0] - a[0], b[1] - a[1]
    x, y = p[0] - a[0], p[1] - a[1]
    t = min(max((x * ex + y * ey) / (ex * ex + ey * ey), 0.0), 1.0)
    return hypot(x - t * ex, y - t * ey)


def left_of(a: Vec2, b: Vec2, p: Vec2) -> float:
    """Return a number above zero where a point lies to the left of the line from a to b, below zero to the right."""
    return (b[0] - a[0]) * (p[1] - a[1]) - (b[1] - a[1]) * (p[0] - a[0])


def sides_cross(a: Vec2, b: Vec2, c: Vec2, d: Vec2) -> bool:
    """Return whether the sides a to b and c to d go through each other, and do not only touch."""
    return left_of(a, b, c) * left_of(a, b, d) < 0.0 and left_of(c, d, a) * left_of(c, d, b) < 0.0


def twice_area(outline: Sequence[Vec2]) -> float:
    """Return twice the area within an outline, above zero when its corners go round counter-clockwise."""
    return sum(x0 * y1 - x1 * y0 for (x0, y0), (x1, y1) in edges(tuple(outline)))


def outlines_with_holes(
    outlines: Sequence[tuple[Vec2, ...]],
) -> list[tuple[tuple[Vec2, ...], tuple[tuple[Vec2, ...], ...]]]:
    """Return each outline round a piece of solid, with those of the openings in it; the solid to the left of all sides.

    Args:
        outlines: closed, crossing nowhere; what lies within an odd number of them is solid.
    """
    within = [
        [j for j, other in enumerate(outlines) if j != i and _holds(other, one)] for i, one in enumerate(outlines)
    ]
    found = []
    for i, outline in enumerate(outlines):
        if len(within[i]) % 2 == 0:
            holes = [
                outlines[j] for j in range(len(outlines)) if len(within[j]) == len(within[i]) + 1 and i in within[j]
            ]
            found.append((_turned(outline, 1.0), tuple(_turned(hole, -1.0) for hole in holes)))
    return found


def _holds(outer: tuple[Vec2, ...], inner: tuple[Vec2, ...]) -> bool:
    """Return whether one outline lies within another; they may touch at corners."""
    (x0, y0), (x1, y1) = inner[0], inner[1]
    return inside_outline(outer, 0.5 * (x0 + x1), 0.5 * (y0 + y1))


def _turned(outline: tuple[Vec2, ...], sign: float) -> tuple[Vec2, ...]:
    return outline if sign * twice_area(outline) > 0.0 else outline[::-1]


def less_ring(outlines: Sequence[tuple[Vec2, ...]], ring: tuple[Vec2, ...]) -> tuple[tuple[Vec2, ...], ...]:
    """Return the outlines of what is left of a plan with a convex outline cut out, which crosses some of its sides.

    Args:
        outlines: closed, crossing nowhere; what lies within an odd number of them is solid.
        ring: what is cut out, counter-clockwise, with no corner on a side and no side through a corner.
    """
    ours = [side for outer, holes in outlines_with_holes(outlines) for one in (outer, *holes) for side in edges(one)]
    theirs = list(edges(ring[::-1]))
    cut: dict[tuple[Vec2, Vec2], list[Vec2]] = {}
    for (a, b), (c, d) in product(ours, theirs):
        if sides_cross(a, b, c, d):
            from_a, from_b = left_of(c, d, a), left_of(c, d, b)
            t = from_a / (from_a - from_b)
            p = a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])
            cut.setdefault((a, b), []).append(p)
            cut.setdefault((c, d), []).append(p)
    after: dict[Vec2, Vec2] = {}
    for side in (*ours, *theirs):
        for p, q in pairwise(sorted((*side, *cut.get(side, ())), key=partial(dist, side[0]))):
            x, y = (p[0] + q[0]) / 2.0, (p[1] + q[1]) / 2.0
            of_ring = side in theirs
            if of_ring == (sum(inside_outline(one, x, y) for one in (outlines if of_ring else (ring,))) % 2 == 1):
                after[p] = q
    loops = []
    while after:
        loop = [next(iter(after))]
        while (onward := after.pop(loop[-1])) != loop[0]:
            loop.append(onward)
        loops.append(tuple(loop))
    return tuple(loops)


def rectangle_less(low: Vec2, high: Vec2, openings: Sequence[tuple[Vec2, Vec2]]) -> tuple[tuple[Vec2, ...], ...]:
    """Return the outlines of what is left of a rectangle with rectangles cut out of it; empty when nothing is.

    Openings may overlap each other, and reach to the rectangle's sides or past them: then they are notches.

    Args:
        low: the rectangle's least corner.
        high: its greatest.
        openings: least and greatest corners of what is cut out.
    """
    xs = _cuts(low[0], high[0], [x for a, b in openings for x in (a[0], b[0])])
    ys = _cuts(low[1], high[1], [y for a, b in openings for y in (a[1], b[1])])
    solid = [[True] * (len(ys) - 1) for _ in xs[1:]]
    for a, b in openings:
        for i in range(bisect_left(xs, a[0]), bisect_left(xs, b[0])):
            for j in range(bisect_left(ys, a[1]), bisect_left(ys, b[1])):
                if i < len(xs) - 1 and j < len(ys) - 1:
                    solid[i][j] = False
    return tuple(
        tuple((xs[i], ys[j]) for i, j in _corners_only(loop)) for loop in _loops(solid, len(xs) - 1, len(ys) - 1)
    )


def _cuts(low: float, high: float, at: Sequence[float]) -> list[float]:
    return sorted({low, high, *(x for x in at if low < x < high)})


def _loops(solid: list[list[bool]], across: int, up: int) -> list[list[tuple[int, int]]]:
    """Return the closed loops of grid points round solid cells, the solid to the left."""

    def at(i: int, j: int) -> bool:
        return 0 <= i < across and 0 <= j < up and solid[i][j]

    after: dict[tuple[int, int], list[tuple[int, int]]] = {}
    for i in range(across):
        for j in range(up):
            if at(i, j):
                sides = (
                    (at(i, j - 1), (i, j), (i + 1, j)),
                    (at(i + 1, j), (i + 1, j), (i + 1, j + 1)),
                    (at(i, j + 1), (i + 1, j + 1), (i, j + 1)),
                    (at(i - 1, j), (i, j + 1), (i, j)),
                )
                for beside, a, b in sides:
                    if not beside:
                        after.setdefault(a, []).append(b)
    loops = []
    while after:
        start = here = min(after)
        came: tuple[int, int] | None = None
        loop = []
        while True:
            ways = after[here]
            # Where two pieces meet at a corner, the sharpest turn to the left stays with the same piece.
            onward = ways[0] if came is None or len(ways) == 1 else max(ways, key=lambda to: _left(came, here, to))
            ways.remove(onward)
            if not ways:
                del after[here]
            loop.append(here)
            came, here = here, onward
            if here == start:
                break
        loops.append(loop)
    return loops


def _left(a: tuple[int, int] | None, b: tuple[int, int], c: tuple[int, int]) -> int:
    assert a is not None
    return (b[0] - a[0]) * (c[1] - b[1]) - (b[1] - a[1]) * (c[0] - b[0])


def _corners_only(loop: list[tuple[int, int]]) -> list[tuple[int, int]]:
    """Leave out grid points at which a loop goes straight on."""
    n = len(loop)
    return [p for k, p in enumerate(loop) if _left(loop[k - 1], p, loop[(k + 1) % n]) != 0]
