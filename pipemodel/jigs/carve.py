"""What is cut out of the jig: channels, ledges and lines that show where the piece belongs, screw holes, lettering."""

from collections.abc import Sequence

import numpy as np

from pipemodel.jigs.base import Base
from pipemodel.jigs.build import ManifoldSolid, hull, prism, union
from pipemodel.jigs.cores import cores
from pipemodel.jigs.glyphs import strokes
from pipemodel.jigs.run_in_jig import Array
from pipemodel.jigs.towers import LINE_DEPTH_MM as DEPTH_MM
from pipemodel.jigs.towers import REACH_MM, Tower

LINE_MM = 0.8
"""Width of an engraved line."""
LEDGE = 0.4
"""Share of a cheek's length that stands at the height of the ideal tube's top."""
LEAST_LEDGE_MM = 2.5
"""How much of it there is where room is short."""
SPARE = 4.0 / 7.0
"""How much of a cheek's thickness its top does without: tube lies against it halfway up at the most."""


def _slab(tower: Tower, a: tuple[float, float], b: tuple[float, float], h: float, up: float) -> Array:
    """Return everything between two distances along, two across, above the plane h over the axis, `up` mm high."""
    points = []
    for along in a:
        z = tower.place.height(along, h)
        points += [tower.place.point(along, across, height) for across in b for height in (z, z + up)]
    return np.array(points)


def _ledge(tower: Tower) -> Array:
    """Both cheeks, midway along, down to where the ideal tube's top would be.

    Both ends of a cheek keep their full height, so that a straightedge across them judges the tube over the whole of
    its slot. At a stop the step gives way to the lines across the cheeks.
    """
    low, high = tower.cradle.low_mm, tower.cradle.high_mm
    length = high - low
    ends = (low + (1.0 - LEDGE) / 2.0 * length, high - (1.0 - LEDGE) / 2.0 * length)
    lines = end_lines(tower)
    if lines and tower.cradle.stop == "start":
        begins = max(ends[0], max(lines) + 2.0 * LINE_MM)
        ends = (begins, max(ends[1], min(begins + LEDGE * length, high - 0.15 * length)))
    elif lines:
        finish = min(ends[1], min(lines) - 2.0 * LINE_MM)
        ends = (min(ends[0], max(finish - LEDGE * length, low + 0.15 * length)), finish)
    if ends[1] - ends[0] < LEAST_LEDGE_MM:
        # No room between the lines and the open end: the step takes the last of the cheek.
        open_end = (high - LEAST_LEDGE_MM, tower.foot[1] + REACH_MM)
        ends = open_end if tower.cradle.stop == "start" else (tower.foot[0] - REACH_MM, low + LEAST_LEDGE_MM)
    out = max(-tower.foot[2], tower.foot[3]) + REACH_MM
    return _slab(tower, ends, (-out, out), tower.radius, tower.height + 2.0 * REACH_MM)


def _tapers(tower: Tower) -> list[Array]:
    """What is taken off both cheeks outside, from nothing at the floor of the slot to `SPARE` of a cheek at its top."""
    reach = tower.radius + tower.clearance
    a = (min(tower.foot[0], tower.top[0]) - REACH_MM, max(tower.foot[1], tower.top[1]) + REACH_MM)
    out = max(-tower.foot[2], tower.foot[3]) + REACH_MM
    spare = SPARE * (tower.half - tower.slot_half)
    # Twice as far up as the cheek reaches, so that nothing of its top is left beside the cut.
    corners = [(tower.half, -reach), (tower.half - 2.0 * spare, 3.0 * reach), (out, 3.0 * reach), (out, -reach)]
    return [
        np.array([tower.place.point(x, side * b, tower.place.height(x, h)) for x in a for b, h in corners])
        for side in (-1.0, 1.0)
    ]


def _edge_lines(tower: Tower) -> list[Array]:
    """Two grooves in the floor, under the edges of the ideal tube."""
    floor = -(tower.radius + tower.clearance)
    beyond = tower.ear + REACH_MM
    ends = (tower.foot[0] - beyond, tower.foot[1] + beyond)
    if tower.cradle.stop == "start":
        ends = (tower.cradle.low_mm, ends[1])
    if tower.cradle.stop == "finish":
        ends = (ends[0], tower.cradle.high_mm)
    half = LINE_MM / 2.0
    inner, outer = tower.radius - half, tower.radius + half
    if tower.slot_half - outer < 2.0 * LINE_MM:
        # No sliver between line and cheek: the line's inner border still shows the edge.
        outer = tower.slot_half
    depth = floor - DEPTH_MM / tower.place.stretch
    return [_slab(tower, ends, across, depth, 2.0 * tower.radius) for across in ((-outer, -inner), (inner, outer))]


def end_lines(tower: Tower) -> list[float]:
    """Return where lines cross the cheeks at a stop, mm along in plan: how short or long the piece may be, its end.

    Each lies where a plane square to the leg cuts the tops of the cheeks, to be read looking square to the leg. How
    long the piece may be needs a line only where the stop stands upright, and so is not square to the leg. Where the
    lines would stand too near each other to print, the one for the ideal end is left out.
    """
    cradle, place = tower.cradle, tower.place
    if cradle.stop is None:
        return []
    sign = 1.0 if cradle.stop == "finish" else -1.0
    level = 1.0 / place.stretch
    end = cradle.high_mm if sign > 0 else cradle.low_mm
    beyond = [-cradle.stop_mm, cradle.stop_mm] if tower.stop_upright else [-cradle.stop_mm]
    if cradle.stop_mm * level >= 2.5 * LINE_MM:
        beyond.append(0.0)
    lid = tower.radius + tower.clearance
    return [end + sign * more * level - lid * place.slope * level for more in beyond]


def _end_lines(tower: Tower) -> list[Array]:
    """Grooves across the cheeks at a stop."""
    half, out = LINE_MM / 2.0, max(-tower.foot[2], tower.foot[3]) + REACH_MM
    depth = tower.radius + tower.clearance - DEPTH_MM / tower.place.stretch
    high = tower.height + 2.0 * REACH_MM
    return [_slab(tower, (a - half, a + half), (-out, out), depth, high) for a in end_lines(tower)]


def hole_cuts(base: Base, hole_mm: float) -> list[ManifoldSolid]:
    """Return the solids to cut out of the base for its screws."""
    return [
        prism(round_outline(h, hole_mm), pad.seat - 1.0, pad.seat + base.thickness + 1.0)
        for pad in base.pads
        for h in pad.holes
    ]


def number_cuts(base: Base) -> list[ManifoldSolid]:
    """Return the solids that engrave the number of every cradle into the base."""
    return [
        lettering(str(pad.tower + 1), pad.number_mm, pad.label_at, pad.label_along, pad.seat + base.thickness)
        for pad in base.pads
    ]


def round_outline(centre: Array, diameter: float, sides: int = 24) -> Array:
    """Return a circle about a point in plan as a polygon (sides, 2) drawn round it, so that a rod fits."""
    k = np.arange(sides) * 2.0 * np.pi / sides
    radius = diameter / 2.0 / np.cos(np.pi / sides)
    out: Array = np.asarray(centre) + radius * np.column_stack([np.cos(k), np.sin(k)])
    return out


def lettering(text: str, height: float, middle: Array, along: Array, top: float) -> ManifoldSolid:
    """Return a line of text as a solid that engraves it into a level face at height `top`."""
    return union([prism(s, top - DEPTH_MM, top + 1.0) for s in strokes(text, height, middle, along)])


def with_towers(base: ManifoldSolid, towers: Sequence[Tower], cuts: Sequence[ManifoldSolid]) -> ManifoldSolid:
    """Return a base with holes and lettering cut out of it and then its towers put on, channels and all.

    In this order a tower that stands over its neighbour's letter fills it, and hangs over nothing; only channels are
    cut through everything, up to the sky.
    """
    out = [(_ledge(t), *_tapers(t), *_edge_lines(t), *_end_lines(t), *cores(t)) for t in towers]
    shapes = [hull(t.body()) - union([hull(points) for points in cut]) for t, cut in zip(towers, out, strict=True)]
    return union([base - union(cuts), *shapes]) - union([hull(tower.channel()) for tower in towers])
