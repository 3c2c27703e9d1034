"""A dimension of a straight distance, drawn to ISO 129-1: extension lines, a line with arrows, the figure above it."""

from math import atan2, degrees, dist, hypot
from typing import NamedTuple

from pipemodel.drawing.lettering import width_of
from pipemodel.drawing.primitives import FlatPoint, Line, Role, Text, arrow_head

BEYOND_MM = 1.5
"""How far an extension line runs past the dimension line."""
GAP_MM = 0.8
"""Between an extension line and the point it comes from, and between a figure and its line."""
ARROW_MM = 2.5
ARROWS_INSIDE_MM = 3.0 * ARROW_MM
"""Below this distance the arrows point inwards from outside."""


class Dimension(NamedTuple):
    """The distance from `a` to `b`, its line `away` mm to the left of a to b (to the right when below zero)."""

    a: FlatPoint
    b: FlatPoint
    away: float
    text: str
    height: float = 2.5

    @property
    def between(self) -> bool:
        """Whether there is room for the figure between the extension lines, above the arrows; else it stands beside."""
        return dist(self.a, self.b) >= width_of(self.text, self.height) + 2.0 * GAP_MM

    def drawn(self) -> tuple[Line | Text, ...]:
        """Return the lines and the figure it is drawn with; none if `a` and `b` are one point."""
        n = hypot(self.b[0] - self.a[0], self.b[1] - self.a[1])
        if n == 0.0:
            return ()
        u = ((self.b[0] - self.a[0]) / n, (self.b[1] - self.a[1]) / n)
        v = (-u[1], u[0])
        side = 1.0 if self.away >= 0.0 else -1.0
        out: list[Line | Text] = []
        for p in (self.a, self.b):
            out.append(_line(_off(p, v, side * GAP_MM), _off(p, v, self.away + side * BEYOND_MM)))
        p, q = _off(self.a, v, self.away), _off(self.b, v, self.away)
        wide = width_of(self.text, self.height)
        outside = n < ARROWS_INSIDE_MM
        if outside:
            out += [_line(_off(p, u, -2.0 * ARROW_MM), p), _line(q, _off(q, u, 2.0 * ARROW_MM))]
            out += [arrow_head(p, (-u[0], -u[1]), ARROW_MM), arrow_head(q, u, ARROW_MM)]
            if self.between:
                out.append(_line(p, q))
        else:
            out += [_line(p, q), arrow_head(p, u, ARROW_MM), arrow_head(q, (-u[0], -u[1]), ARROW_MM)]
        middle = ((p[0] + q[0]) / 2.0, (p[1] + q[1]) / 2.0)
        if not self.between:
            # No room between the extension lines: beside them, on the run-out of the line.
            start = 2.0 * ARROW_MM if outside else 0.0
            end = _off(q, u, start + wide + 2.0 * GAP_MM)
            out.append(_line(q, end))
            middle = _off(q, u, start + GAP_MM + wide / 2.0)
        angle = degrees(atan2(u[1], u[0]))
        # A figure is read from below or from the right.
        turned = not -90.0 + 1e-6 < angle <= 90.0 + 1e-6
        at = _off(middle, v, -GAP_MM if turned else GAP_MM)
        out.append(Text(self.text, at, self.height, "centre", angle - 180.0 if turned else angle))
        return tuple(out)


def _off(p: FlatPoint, v: FlatPoint, d: float) -> FlatPoint:
    return (p[0] + v[0] * d, p[1] + v[1] * d)


def _line(a: FlatPoint, b: FlatPoint) -> Line:
    return Line((a, b), Role.DIMENSION)
