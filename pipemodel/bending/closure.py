"""Before any answer leaves: does the bend table, bent up again from the start, give the centreline asked for.

The table is what the hands go by, and everything else is made from it. So in every run each leg that it gives is held
against the points asked for, its figures along the flat tube against each other, and its end against the finish. It
costs a few products for each leg.
"""

from math import hypot, radians

from pipemodel.bending.bends import BendTable, BentCorners, centreline_of
from pipemodel.geometry.centreline import Centreline
from pipemodel.geometry.vectors import distance
from pipemodel.messages.values import Number, SaidError, message

CLOSES_MM = 1e-6
"""How far a leg or the finish may lie from what is asked for, mm."""
_ROUNDING = 4e-16
"""What double precision leaves of a coordinate at each step along the tube, in parts of it."""
_TURN_ROUNDING = 2e-11
"""A turn within a billionth of a degree of a half turn is put as one: radians, and so parts of the length after it."""


class NotClosedError(SaidError, ArithmeticError):
    """A bend table that does not give the centreline asked for: a fault of this program, never of the job."""


def closed_centreline(bent: BentCorners) -> Centreline:
    """Return the centreline that a bend table gives.

    Raises:
        NotClosedError: if any leg of it, its finish, or the table's own figures are not what was asked for.
    """
    line = centreline_of(bent.table)
    within = _allowed(bent)
    off = _most(_off_legs(bent, line), _off_flat(bent.table), distance(line.finish, bent.points[-1]))
    # Written so that a length that is no number fails too.
    if not off <= within:
        raise NotClosedError(message("fault.not closed", off=Number(off, ".3g"), within=Number(within, ".3g")))
    return line


def _allowed(bent: BentCorners) -> float:
    """Return how far off rounding alone may bring a run of this size: CLOSES_MM for all but the very largest."""
    extent = max(max(map(abs, point)) for point in bent.points) + bent.table.length_mm
    return CLOSES_MM + extent * (_ROUNDING * len(bent.points) + _TURN_ROUNDING * (bent.table.length_mm > 1e4))


def _off_legs(bent: BentCorners, line: Centreline) -> float:
    """Return how far any leg lies from the straight asked for; endless if it runs the other way or past its corners."""
    points = bent.points
    wanted = [(points[i], points[i + 1]) for i in range(len(points) - 1) if i not in bent.pairs]
    straights, arcs = line.straights, line.arcs
    radii = [bent.radii[i] for i in range(1, len(points) - 1) if i - 1 not in bent.pairs]
    if len(straights) != len(wanted) or [arc.radius for arc in arcs] != radii:
        return float("inf")
    worst = 0.0
    for (a, b), straight in zip(wanted, straights, strict=True):
        x, y, z = b[0] - a[0], b[1] - a[1], b[2] - a[2]
        size = hypot(x, y, z)
        x, y, z = x / size, y / size, z / size
        d = straight.direction
        if x * d[0] + y * d[1] + z * d[2] <= 0.0:
            return float("inf")
        for s in (0.0, straight.length):
            p, q, r = (straight.start[k] + d[k] * s - a[k] for k in range(3))
            t = x * p + y * q + z * r
            worst = _most(worst, hypot(y * r - z * q, z * p - x * r, x * q - y * p), -t, t - size)
    return worst


def _off_flat(table: BendTable) -> float:
    """Return how far the positions along the flat tube are from the straights and arcs that lie before them."""
    at = worst = 0.0
    for bend in table.bends:
        at += bend.straight_before_mm
        arc = bend.radius_mm * radians(bend.angle_deg)
        worst = _most(worst, abs(bend.start_mm - at), abs(bend.arc_mm - arc))
        at += arc
    return worst


def _most(*off: float) -> float:
    """Return the largest, endless if one is no number: `max` passes over that where it does not come first."""
    return float("inf") if any(mm != mm for mm in off) else max(off)
