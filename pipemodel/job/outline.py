"""Whether a plan outline bounds a piece of ground: a closed polygon that neither touches nor crosses itself."""

from collections.abc import Sequence

from pipemodel.geometry.shapes.face import Vec2, edges, inside_outline
from pipemodel.geometry.shapes.plan import left_of, twice_area
from pipemodel.messages.values import Count, Message, message

MOST_CORNERS = 2000


def outline_fault(outline: Sequence[Vec2]) -> Message | None:
    """Return what is wrong with an outline (n, 2), or None. Its last point may repeat the first."""
    points = opened(outline)
    if len(points) < 3:
        return message("fault.outline three")
    n = len(points)
    for i in range(n):
        if points[i] == points[(i + 1) % n]:
            return message("fault.outline repeats", corner=Count(i + 1))
    if crossing := _crossing(points):
        a, b = crossing
        return message("fault.outline meets itself", one=Count(a + 1), other=Count(b + 1))
    return None


def openings_fault(outline: Sequence[Vec2], openings: Sequence[Sequence[Vec2]]) -> Message | None:
    """Return what is wrong with openings in an outline, or None: each lies within it, and they meet nowhere."""
    loops = [tuple(opened(loop)) for loop in (outline, *openings)]
    if sum(len(loop) for loop in loops) > MOST_CORNERS:
        return message("fault.outline most", most=Count(MOST_CORNERS))
    for number, loop in enumerate(loops[1:], 1):
        if not inside_outline(loops[0], *loop[0]):
            return message("fault.opening beside", number=Count(number))
        for other, before in enumerate(loops[:number]):
            if any(sides_meet(a, b, c, d) for a, b in edges(loop) for c, d in edges(before)):
                what = message("fault.opening n", n=Count(other)) if other else message("fault.the outline")
                return message("fault.opening meets", number=Count(number), what=what)
            if other and (inside_outline(before, *loop[0]) or inside_outline(loop, *before[0])):
                return message("fault.opening within", other=Count(other), number=Count(number))
    return None


def opened(outline: Sequence[Vec2]) -> list[Vec2]:
    """Return an outline without a last point that only repeats the first."""
    points = list(outline)
    return points[:-1] if len(points) > 1 and points[0] == points[-1] else points


def counter_clockwise(outline: Sequence[Vec2]) -> tuple[Vec2, ...]:
    """Return the outline, not repeated at its end, counter-clockwise as seen from above."""
    points = opened(outline)
    return tuple(points if twice_area(points) > 0.0 else reversed(points))


def _crossing(points: list[Vec2]) -> tuple[int, int] | None:
    n = len(points)
    sides = [(points[i], points[(i + 1) % n]) for i in range(n)]
    # Sweep along x: only sides that overlap in x are compared.
    order = sorted(range(n), key=lambda i: min(sides[i][0][0], sides[i][1][0]))
    active: list[int] = []
    for i in order:
        left = min(sides[i][0][0], sides[i][1][0])
        active = [j for j in active if max(sides[j][0][0], sides[j][1][0]) >= left]
        for j in active:
            if _meet(sides, i, j):
                return (min(i, j), max(i, j))
        active.append(i)
    return None


def _meet(sides: list[tuple[Vec2, Vec2]], i: int, j: int) -> bool:
    (a, b), (c, d) = sides[i], sides[j]
    n = len(sides)
    if (i + 1) % n == j:
        return _folds_back(a, b, d)
    if (j + 1) % n == i:
        return _folds_back(c, d, b)
    return sides_meet(a, b, c, d)


def sides_meet(a: Vec2, b: Vec2, c: Vec2, d: Vec2) -> bool:
    """Tell whether the sides from a to b and from c to d cross or touch."""
    if max(a[1], b[1]) < min(c[1], d[1]) or max(c[1], d[1]) < min(a[1], b[1]):
        return False
    s1, s2, s3, s4 = _side(a, b, c), _side(a, b, d), _side(c, d, a), _side(c, d, b)
    if s1 == s2 == s3 == s4 == 0:
        return max(min(a, b), min(c, d)) <= min(max(a, b), max(c, d))
    return s1 * s2 <= 0 and s3 * s4 <= 0


def _folds_back(a: Vec2, b: Vec2, c: Vec2) -> bool:
    """Tell whether the side from b to c runs back over the side from a to b."""
    ahead = (b[0] - a[0]) * (c[0] - b[0]) + (b[1] - a[1]) * (c[1] - b[1])
    return _side(a, b, c) == 0 and ahead < 0.0


def _side(a: Vec2, b: Vec2, c: Vec2) -> int:
    """Return on which side of the line from a to b the point c lies: 1 left, -1 right, 0 on it."""
    across = left_of(a, b, c)
    return (across > 0.0) - (across < 0.0)
