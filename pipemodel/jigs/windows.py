"""Bars left open between two rails, with a rib every so often: what is left out decides nothing."""

from collections.abc import Sequence
from dataclasses import replace
from math import ceil

import numpy as np

from pipemodel.jigs.base import Base, Polygon
from pipemodel.jigs.build import ManifoldSolid, prism
from pipemodel.jigs.labels import JigLabel, length_of
from pipemodel.jigs.split import KEY_DEPTH, Cut

RAIL_MM = 2.5
"""Width of rails and ribs."""
LONGEST_MM, LEAST_MM = 60.0, 8.0
"""The longest opening between two ribs, and the least that is worth leaving out, either way."""


def windows_of(base: Base, cut: Cut, labels: Sequence[JigLabel | None]) -> list[Polygon]:
    """Return the outlines of all openings, clear of pads, other bars, joints, and what is engraved."""
    out: list[Polygon] = []
    for k, bar in enumerate(base.bars):
        inside = replace(bar, half=bar.half - RAIL_MM)
        if 2.0 * inside.half < LEAST_MM:
            continue
        deep = 2.0 * KEY_DEPTH * bar.half + 1.5
        taken = [*base.taken_along(k, 0.0), *((j.at - 1.5, j.at + deep) for j in cut.joints if j.bar == k)]
        for label in labels:
            at = float((label.middle - bar.start) @ bar.along) if label else 0.0
            if label and np.linalg.norm(bar.start + bar.along * at - label.middle) < bar.half:
                half = length_of(label.lines) / 2.0 + 1.0
                taken.append((at - half, at + half))
        at = 0.0
        for low, high in [*sorted(taken), (bar.length, bar.length)]:
            free = min(low, bar.length) - at - 2.0 * RAIL_MM
            if free >= LEAST_MM:
                n = max(1, ceil((free + RAIL_MM) / (LONGEST_MM + RAIL_MM)))
                long = (free - (n - 1) * RAIL_MM) / n
                begins = [at + RAIL_MM + i * (long + RAIL_MM) for i in range(n)]
                out += [inside.stretch(a, a + long) for a in begins]
            at = max(at, high)
    return out


def bar_mm2(bar_mm: float, thick: float) -> float:
    """Return about how much plastic a millimetre of open bar takes: two rails, and its share of the ribs."""
    return (2.0 * RAIL_MM + (bar_mm - 2.0 * RAIL_MM) * RAIL_MM / LONGEST_MM) * thick


def window_cuts(base: Base, cut: Cut, labels: Sequence[JigLabel | None]) -> list[ManifoldSolid]:
    """Return the solids that make the openings."""
    return [prism(outline, -1.0, base.thickness + 1.0) for outline in windows_of(base, cut, labels)]
