"""How near the axis of the tube comes to a thing: just enough to place a passover before there is a run to check.

The clash check measures finished runs; this measures a few straights and arcs while their place is still sought.
"""

from collections.abc import Callable, Sequence
from heapq import heappop, heappush
from itertools import count
from math import inf, sqrt

from pipemodel.geometry.centreline import Arc, LinePiece, Straight
from pipemodel.geometry.shapes.base import Shape
from pipemodel.job.model import Thing
from pipemodel.job.routing.faults import ItemError
from pipemodel.messages.values import Name, message

_STEP_MM = 2.0
_MOST_STEPS = {Straight: 4096, Arc: 256}
"""A piece is looked at no finer than in so many steps, so that a slip of the pen by a kilometre costs no more."""
_LEVEL_MM = 1e-11
"""A stretch that stays this level has no low point to look for."""
_GOLDEN = (sqrt(5.0) - 1.0) / 2.0


def nearness_to(thing: Thing) -> Shape:
    """Return the shape of a thing, to be measured to from points.

    Raises:
        ItemError: if the thing is a mesh or a face that goes on for ever, which no passover gets over.
    """
    if thing.shape.measurable and thing.shape.facing is None:
        return thing.shape
    raise ItemError(message("fault.not passed over", name=Name(thing.name)))


def nearest_on(pieces: Sequence[LinePiece], near: Shape) -> float:
    """Return the least distance from the axis of some straights and arcs to a thing, mm.

    Past a convex thing a straight has one low point. Otherwise, distance changes by no more than the step along the
    tube, so a stretch is halved only while it could hold the least, down to a couple of millimetres, where it has
    one low point.
    """
    of = near.distance
    best = inf
    waiting: list[tuple[float, int, LinePiece, float, float, float, float]] = []

    def wait(piece: LinePiece, a: float, b: float, fa: float, fb: float) -> None:
        heappush(waiting, ((fa + fb - (b - a)) / 2.0, next(ticket), piece, a, b, fa, fb))

    ticket = count()
    for piece in pieces:
        if piece.length > 0.0:
            fa, fb = of(piece.point_at(0.0)), of(piece.point_at(piece.length))
            best = min(best, fa, fb)
            if near.convex and isinstance(piece, Straight):
                best = min(best, _lowest(lambda s, piece=piece: of(piece.point_at(s)), 0.0, piece.length))  # type: ignore[misc]
            else:
                wait(piece, 0.0, piece.length, fa, fb)
    while waiting:
        least, _, piece, a, b, fa, fb = heappop(waiting)
        if least >= best:
            break
        middle = (a + b) / 2.0
        fm = of(piece.point_at(middle))
        best = min(best, fm)
        if b - a <= max(_STEP_MM, piece.length / _MOST_STEPS[type(piece)]):
            if abs(fa - fm) > _LEVEL_MM or abs(fb - fm) > _LEVEL_MM:
                best = min(best, _lowest(lambda s, piece=piece: of(piece.point_at(s)), a, b))  # type: ignore[misc]
            continue
        wait(piece, a, middle, fa, fm)
        wait(piece, middle, b, fm, fb)
    return best


def _lowest(f: Callable[[float], float], a: float, b: float) -> float:
    """Golden section search for the least value of f between a and b."""
    c, d = b - _GOLDEN * (b - a), a + _GOLDEN * (b - a)
    fc, fd = f(c), f(d)
    # Far along a huge piece the numbers lie too far apart to go on.
    while b - a > 1e-7 and a < c < d < b:
        if fc < fd:
            b, d, fd = d, c, fc
            c = b - _GOLDEN * (b - a)
            fc = f(c)
        else:
            a, c, fc = c, d, fd
            d = a + _GOLDEN * (b - a)
            fd = f(d)
    return min(fc, fd)


def rise_to(f: Callable[[float], float], low: float, high: float) -> float:
    """Return where a never falling function rises to zero, given f(low) < 0 <= f(high); f of it is not below zero.

    Regula falsi with the Illinois step, to 1e-9; the bracket is halved whenever that does not halve it.
    """
    fl, fh = f(low), f(high)
    halve, side = False, 0
    while high - low > 1e-9 and fh > 1e-11:
        width = high - low
        x = low + width * fl / (fl - fh)
        if halve or not low < x < high:
            x = (low + high) / 2.0
        fx = f(x)
        if fx >= 0.0:
            high, fh = x, fx
            fl = fl / 2.0 if side == 1 else fl
            side = 1
        else:
            low, fl = x, fx
            fh = fh / 2.0 if side == -1 else fh
            side = -1
        if not low < (low + high) / 2.0 < high:
            break
        halve = high - low > width / 2.0
    return high
