"""Which points of a polyline are corners, and which lie on a straight or repeat another one and make no bend.

A point is left out for one of three reasons, and each leaves the last point exactly where it is:

    repeated    it lies within SAME_POINT_MM of the point before it
    in line     it lies within IN_LINE_MM of the straight that the tube then has there
    too slight  its bend would be below LEAST_BEND_DEG, which no hand can pull, and the tube passes it within
                STRAIGHTEN_MM when it goes straight on

Distances are measured to the straight between the corners that are left, from every point left out between them;
so many points, each a little off its neighbours, cannot lead the tube away from where they lie.
"""

from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import atan2, degrees, radians, tan
from typing import Literal, NamedTuple, TypeAlias

from pipemodel.geometry.vectors import Vec3, along, cross, distance, dot, length, sub

SAME_POINT_MM = 0.02
"""Points nearer than this are one: no drawing tells them apart, and no two bends are that near."""
IN_LINE_MM = 1e-3
"""A point this near the straight between its neighbours lies on it."""
BESIDE_RETURN_MM = 1e-7
"""The same beside a return bend, whose two legs must run exactly opposite ways."""
LEAST_BEND_DEG = 1.0
"""A bend below this is too small to be pulled. Common practice, no source: springback alone is more."""
STRAIGHTEN_MM = 1.0
"""A bend too small to be pulled is straightened where the tube then passes its point within this.

Common practice, no source: about what a fitter marks and measures to.
"""
_LEAST_TAN = tan(radians(LEAST_BEND_DEG * (1.0 - 1e-9)))

Reason: TypeAlias = Literal["repeated", "in line", "too slight"]


class IdlePoint(NamedTuple):
    """A point that makes no bend: which (an index), why, and how far from the tube it lies.

    `beside` are the corners it lies between; for a repeated point both are the one it repeats. `angle_deg` is the
    bend it would have been.
    """

    point: int
    reason: Reason
    aside_mm: float
    beside: tuple[int, int]
    angle_deg: float = 0.0


class TooSlight(NamedTuple):
    """A corner too slight to be pulled and too far from the straight to be left out."""

    point: int
    angle_deg: float
    aside_mm: float


@dataclass(frozen=True)
class Corners:
    """The points that are corners, as indices into the points given, the two ends among them."""

    kept: tuple[int, ...]
    left_out: tuple[IdlePoint, ...] = ()
    too_slight: tuple[TooSlight, ...] = ()


def find_corners(points: Sequence[Vec3], joined: frozenset[int] = frozenset()) -> Corners:
    """Find which points of a polyline are corners.

    Args:
        points: start, corners and finish, in order; shape (n, 3), mm.
        joined: indices i for which points i and i + 1 are the two halves of one 180 degree bend; both are kept.
    """
    held = joined | {i + 1 for i in joined}
    chain, repeated = _merged(points, held)
    clear = [_is_clear(points, chain, k) or chain[k] in held for k in range(1, len(chain) - 1)]
    if all(clear):
        return Corners(tuple(chain), tuple(repeated))
    return _straightened(points, chain, held, [True, *clear, True], repeated)


def _merged(points: Sequence[Vec3], held: frozenset[int]) -> tuple[list[int], list[IdlePoint]]:
    """Merge repeated points: of two, the earlier stays, unless the later is the finish or half of a return."""
    chain = [0]
    repeated: list[IdlePoint] = []
    last = len(points) - 1
    for i in range(1, last + 1):
        must_stay = i == last or i in held
        while (off := distance(points[chain[-1]], points[i])) <= SAME_POINT_MM:
            before = chain[-1]
            if not must_stay:
                repeated.append(IdlePoint(i, "repeated", off, (before, before)))
                break
            if len(chain) == 1 or before in held:
                # Both must stay: a leg without length, which is for whoever bends it to refuse.
                chain.append(i)
                break
            repeated.append(IdlePoint(before, "repeated", off, (i, i)))
            chain.pop()
        else:
            chain.append(i)
    return chain, sorted(repeated)


def _is_clear(points: Sequence[Vec3], chain: Sequence[int], k: int) -> bool:
    """Tell whether a point is a corner beyond doubt: bent enough to be pulled, and off the straight past it."""
    before, here, after = points[chain[k - 1]], points[chain[k]], points[chain[k + 1]]
    u, v = sub(here, before), sub(after, here)
    sine, cosine = length(cross(u, v)), dot(u, v)
    if cosine <= 0.0:
        return True
    return sine >= _LEAST_TAN * cosine and sine > IN_LINE_MM * distance(before, after)


def _straightened(
    points: Sequence[Vec3], chain: list[int], held: frozenset[int], clear: list[bool], repeated: list[IdlePoint]
) -> Corners:
    """Leave out what lies in line, and then what is too slight, until every corner left can be pulled."""
    fixed = {k for k, i in enumerate(chain) if i in held}
    kept = [0]
    begin = 0
    for end in range(1, len(chain)):
        if clear[end]:
            # A return bend leaves its legs no play: what lies beside one must lie in line with it.
            within = BESIDE_RETURN_MM if {begin, end} & fixed else IN_LINE_MM
            kept += [*_needed(points, chain, begin, end, within), end]
            begin = end
    in_line = set(range(len(chain))) - set(kept)
    slight: dict[int, float] = {}
    while True:
        angles = {b: _bend_deg(points, chain, a, b, c) for a, b, c in zip(kept, kept[1:], kept[2:], strict=False)}
        small = {k for k, angle in angles.items() if angle < LEAST_BEND_DEG * (1.0 - 1e-9)} - fixed
        if not small:
            break
        firm = [k for k in kept if k not in small]
        stuck: set[int] = set()
        for a, b in pairwise(firm):
            between = [k for k in kept[bisect_left(kept, a) : bisect_left(kept, b)] if k != a]
            if between and {a, b} & fixed:
                stuck |= set(between)
            else:
                # A point in line before may be what lies farthest aside now; it stands for the nearest small one.
                far = _needed(points, chain, a, b, STRAIGHTEN_MM)
                stuck |= {k if k in small else min(between, key=lambda s: abs(s - k)) for k in far}
        if stuck:
            too_slight = tuple(
                TooSlight(chain[k], angles[k], _left_out(points, chain, firm, k)[0]) for k in sorted(stuck)
            )
            return Corners(tuple(chain[k] for k in kept), tuple(repeated), too_slight)
        slight |= {k: angles[k] for k in small}
        kept = firm
    out = [IdlePoint(chain[k], "in line", *_left_out(points, chain, kept, k)) for k in in_line]
    out += [IdlePoint(chain[k], "too slight", *_left_out(points, chain, kept, k), angle) for k, angle in slight.items()]
    return Corners(tuple(chain[k] for k in kept), tuple(sorted([*repeated, *out])))


def _needed(points: Sequence[Vec3], chain: Sequence[int], begin: int, end: int, within: float) -> list[int]:
    """Return which places of a chain must stay so that all between two lie within so much of what is left."""
    needed: list[int] = []
    spans = [(begin, end)]
    while spans:
        a, b = spans.pop()
        farthest, at = max(
            ((_off_segment(points[chain[k]], points[chain[a]], points[chain[b]]), -k) for k in range(a + 1, b)),
            default=(0.0, 0),
        )
        if farthest > within:
            needed.append(-at)
            spans += [(a, -at), (-at, b)]
    return sorted(needed)


def _left_out(
    points: Sequence[Vec3], chain: Sequence[int], kept: Sequence[int], k: int
) -> tuple[float, tuple[int, int]]:
    """Return how far a place of a chain lies from the straight between the places kept beside it, and those two."""
    after = bisect_right(kept, k)
    one, other = chain[kept[after - 1 if kept[after - 1] != k else after - 2]], chain[kept[after]]
    return _off_segment(points[chain[k]], points[one], points[other]), (one, other)


def _off_segment(p: Vec3, a: Vec3, b: Vec3) -> float:
    whole = sub(b, a)
    size = dot(whole, whole)
    share = min(max(dot(sub(p, a), whole) / size, 0.0), 1.0) if size > 0.0 else 0.0
    return distance(p, along(a, whole, share))


def _bend_deg(points: Sequence[Vec3], chain: Sequence[int], a: int, b: int, c: int) -> float:
    u, v = sub(points[chain[b]], points[chain[a]]), sub(points[chain[c]], points[chain[b]])
    return degrees(atan2(length(cross(u, v)), dot(u, v)))
