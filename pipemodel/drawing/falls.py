"""Legs that fall, as drawn: an arrow down the slope beside the tube, the ratio over it (common practice, no source)."""

from collections.abc import Iterator, Sequence
from math import atan2, degrees, hypot

from pipemodel.bending.schedule import SolvedRun
from pipemodel.drawing.panel import Panel
from pipemodel.drawing.placing import Choice
from pipemodel.drawing.primitives import FlatPoint, Line, Role, Text, arrow_head
from pipemodel.geometry.vectors import Vec3
from pipemodel.messages.say import words
from pipemodel.messages.units import Units
from pipemodel.messages.values import Number

ARROW_MM, HEAD_MM, LETTER_MM = 9.0, 2.2, 2.2
SHARES = (0.5, 0.35, 0.65, 0.2, 0.8)
"""Where along a leg the arrow may stand."""


def mark_falls(panels: Sequence[Panel], run: SolvedRun, units: Units) -> None:
    """Draw how each leg that is meant to fall does, once, in the first view that has room for it."""
    route = run.run.route
    for i, fall in enumerate(route.falls):
        high, low = route.corners[i], route.corners[i + 1]
        drop = high[2] - low[2]
        plan = hypot(high[0] - low[0], high[1] - low[1])
        if fall is None or drop == 0.0 or plan < abs(drop):
            continue
        if drop < 0.0:
            high, low = low, high
        over = plan / abs(drop)
        text = words(units, "falls.drawn", over=Number(over, ".3g" if over < 100.0 else ".0f"))
        for panel in panels:
            drawn = panel.placer.place(_places(panel, run, high, low, text))
            if drawn is not None:
                panel.sheet.items.extend(drawn)
                break


def _places(panel: Panel, run: SolvedRun, high: Vec3, low: Vec3, text: str) -> Iterator[tuple[float, Choice]]:
    """Yield places for the arrow beside a leg, each with how bad it is by itself, the best first."""
    (x, y), (u, v) = panel.at(high), panel.at(low)
    n = hypot(u - x, v - y)
    if n < 1.5 * ARROW_MM:
        return
    along = ((u - x) / n, (v - y) / n)
    # Over the leg as it is read: to the left of a reader who goes along it to the right or upwards.
    backwards = along[0] < -1e-9 or (abs(along[0]) <= 1e-9 and along[1] < 0.0)
    ahead = (-along[0], -along[1]) if backwards else along
    up = (-ahead[1], ahead[0])
    angle = degrees(atan2(ahead[1], ahead[0]))
    half = run.tube.outside_mm * panel.k / 2.0
    ranked = [
        (0.4 * i + 1.2 * j, share, off) for i, share in enumerate(SHARES) for j, off in enumerate((2.5, -5.5, 5.0))
    ]
    for by_itself, share, off in sorted(ranked):
        far = off + (half if off > 0.0 else -half)
        middle = (x + (u - x) * share + up[0] * far, y + (v - y) * share + up[1] * far)
        yield by_itself, _arrow(middle, along, up, angle, text)


def _arrow(middle: FlatPoint, along: FlatPoint, up: FlatPoint, angle: float, text: str) -> Choice:
    back, tip = ((middle[0] + along[0] * s, middle[1] + along[1] * s) for s in (-ARROW_MM / 2.0, ARROW_MM / 2.0))
    words = Text(text, (middle[0] + up[0] * 0.8, middle[1] + up[1] * 0.8), LETTER_MM, "centre", angle)
    head = arrow_head(tip, (-along[0], -along[1]), HEAD_MM)
    return Line((back, tip), Role.DIMENSION), head, words
