"""The base in plan: a pad under every tower with ears for screws, and a tree of bars that ties the pads together.

The bars are the shortest tree over the towers. Such a tree never crosses itself and its branches meet at sixty
degrees or more, so the parts it is later cut into never lie over each other.
"""

from dataclasses import dataclass, replace
from functools import cached_property
from typing import TypeAlias

import numpy as np

from pipemodel.jigs.layout import JigLayout
from pipemodel.jigs.run_in_jig import Array
from pipemodel.jigs.towers import Tower
from pipemodel.job.jig import JigSettings

Polygon: TypeAlias = Array
"""A convex outline in plan (n, 2), anticlockwise."""

LABEL_HIGH_MM = 15.0
"""Room for the two lines of a part's label."""
NUMBER_MM = 8.0
"""Room for a cradle's number, beside the screw of an ear."""


@dataclass(frozen=True)
class Pad:
    """What carries one tower: its outline (4, 2) in plan, and the screw holes (m, 2) in its ears."""

    tower: int
    outline: Polygon
    holes: Array
    label_at: Array
    """Where the cradle's number is engraved: the middle of a free patch (2,)."""
    label_along: Array
    """The direction in which that number reads (2,)."""
    text_at: Array | None = None
    """The middle of the room for the part's label (2,), where the pad has any."""
    seat: float = 0.0
    """The height of its underside: 0, or the top of the post it is screwed to."""
    number_mm: float = 6.0
    """Height of the cradle's number."""


@dataclass(frozen=True)
class BaseBar:
    """A bar between the towers `a` and `b` (indices), `half` wide to each side of the line between their centres."""

    a: int
    b: int
    start: Array
    finish: Array
    half: float

    @cached_property
    def length(self) -> float:
        """From centre to centre, mm."""
        return float(np.linalg.norm(self.finish - self.start))

    @cached_property
    def along(self) -> Array:
        """Unit direction from a to b, (2,)."""
        out: Array = (self.finish - self.start) / self.length
        return out

    def stretch(self, low: float, high: float) -> Polygon:
        """Return the outline of the bar between two distances from its start."""
        e = self.along
        n = np.array([-e[1], e[0]]) * self.half
        p, q = self.start + e * low, self.start + e * high
        return np.array([p - n, q - n, q + n, p + n])


@dataclass(frozen=True)
class Base:
    """Pads in the order of the towers, bars of the tree between them, and how thick it all is."""

    pads: tuple[Pad, ...]
    bars: tuple[BaseBar, ...]
    thickness: float

    @cached_property
    def outlines(self) -> tuple[Polygon, ...]:
        """Every pad, then every bar from centre to centre."""
        return (*(p.outline for p in self.pads), *(b.stretch(0.0, b.length) for b in self.bars))

    @cached_property
    def _boxes(self) -> Array:
        return np.array([[*o.min(axis=0), *o.max(axis=0)] for o in self.outlines])

    def near(self, i: int, gap: float) -> list[int]:
        """Return which outlines lie near outline i, by their bounding boxes, itself left out."""
        low, high = self._boxes[:, :2] - gap, self._boxes[:, 2:] + gap
        meet = np.all((low <= self._boxes[i, 2:]) & (high >= self._boxes[i, :2]), axis=1)
        return [int(k) for k in np.flatnonzero(meet) if k != i]

    def taken_along(self, k: int, gap: float) -> list[tuple[float, float]]:
        """Return the stretches of bar k that other outlines take up, or come nearer to than `gap`."""
        bar = self.bars[k]
        spans = (along_bar(bar, self.outlines[i], gap) for i in self.near(len(self.pads) + k, gap))
        return [span for span in spans if span]


def pad_of(index: int, tower: Tower, settings: JigSettings, lettered: float = 0.0) -> Pad:
    """Return the pad of a tower: its foot and an ear on each side, across the leg, for a screw; one has a number too.

    `lettered` is the length of a line of text that it is to have room for, two lines high across the leg; 0 for none.
    """
    if tower.ear:
        return _plate_of(index, tower, settings)
    ear = 2.0 * settings.screw_mm + 3.0
    low, high, left, right = tower.foot
    middle, short = (low + high) / 2.0, max(0.0, settings.screw_mm + 4.0 + NUMBER_MM - (high - low)) / 2.0
    low, high = low - short, high + short
    spots = ((low + settings.screw_mm + 0.5, right + ear / 2.0), (middle, left - ear / 2.0))
    holes = np.array([tower.place.point(a, b, 0.0)[:2] for a, b in spots])
    label = np.array(tower.place.point(high - NUMBER_MM / 2.0, right + ear / 2.0, 0.0)[:2])
    left, right = left - ear, right + ear
    line = None
    if lettered:
        wider = max(0.0, lettered + 3.0 - (right - left)) / 2.0
        left, right = left - wider, right + wider
        line = np.array(tower.place.point(low - LABEL_HIGH_MM / 2.0, (left + right) / 2.0, 0.0)[:2])
    outline = tower.rectangle(low - (LABEL_HIGH_MM if lettered else 0.0), high, left, right)
    return Pad(index, outline, holes, label, -tower.place.across, line)


def _plate_of(index: int, tower: Tower, settings: JigSettings) -> Pad:
    """Return the plate of a cradle on timber: an ear at both ends of its block, along the leg, under the tube.

    The number stands beside the screw on the ear towards the start, to be read from the start.
    """
    low, high, left, right = tower.foot
    outline = tower.rectangle(low - tower.ear, high + tower.ear, left, right)
    spots = ((low - tower.ear / 2.0, 0.0), (high + tower.ear / 2.0, 0.0))
    holes = np.array([tower.place.point(a, b, 0.0)[:2] for a, b in spots])
    beside = (right + settings.screw_mm / 2.0) / 2.0
    label = np.array(tower.place.point(low - tower.ear / 2.0, beside, 0.0)[:2])
    return Pad(index, outline, holes, label, -tower.place.across, seat=tower.seat, number_mm=7.0)


def base_of(layout: JigLayout, settings: JigSettings, lettered: dict[int, float] | None = None) -> Base:
    """Return the base of a laid run, bars and all; where towers go on a board it has pads only.

    `lettered` names the towers whose pads carry a part's label, with the length of its longest line.
    """
    text = lettered or {}
    pads = tuple(
        _drillable(pad_of(i, t, settings, text.get(i, 0.0)), layout.towers, settings)
        for i, t in enumerate(layout.towers)
    )
    bars: tuple[BaseBar, ...] = ()
    if settings.base == "printed":
        centres = np.array([t.centre for t in layout.towers])
        bars = tuple(BaseBar(a, b, centres[a], centres[b], settings.bar_mm / 2.0) for a, b in shortest_tree(centres))
    return Base(pads, bars, settings.plate_mm)


def _drillable(pad: Pad, towers: tuple[Tower, ...], settings: JigSettings) -> Pad:
    """Return a pad without the holes that another tower stands on."""
    feet = [t.rectangle(*t.foot) for i, t in enumerate(towers) if i != pad.tower]
    reach = settings.screw_mm * np.array([(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)])
    free = [not any(overlap(hole + reach, foot) for foot in feet) for hole in pad.holes]
    return replace(pad, holes=pad.holes[free])


def shortest_tree(points: Array) -> list[tuple[int, int]]:
    """Return the edges (low index, high index) of the shortest tree over points (n, 2), by Prim's method.

    Not `scipy.sparse.csgraph`: towers often stand evenly apart, and there it leaves to its sort which of two edges of
    one length it takes. Here it is the one of the lower index, so that the same job gives the same jig.
    """
    n = len(points)
    if n < 2:
        return []
    gaps = np.linalg.norm(points[:, None] - points[None, :], axis=2)
    near, to = gaps[0].copy(), np.zeros(n, dtype=int)
    out = {0}
    edges: list[tuple[int, int]] = []
    while len(out) < n:
        i = min((k for k in range(n) if k not in out), key=lambda k: (round(float(near[k]), 9), k))
        edges.append((min(i, int(to[i])), max(i, int(to[i]))))
        out.add(i)
        closer = gaps[i] < near
        near[closer], to[closer] = gaps[i][closer], i
    return sorted(edges)


def overlap(p: Polygon, q: Polygon, gap: float = 0.0) -> bool:
    """Tell whether two convex outlines come nearer than `gap` (by the axes of their sides, so on the safe side)."""
    if gap == 0.0 and (np.any(p.min(axis=0) > q.max(axis=0)) or np.any(q.min(axis=0) > p.max(axis=0))):
        return False
    for one in (p, q):
        sides = np.roll(one, -1, axis=0) - one
        normals = np.column_stack([sides[:, 1], -sides[:, 0]])
        normals /= np.linalg.norm(normals, axis=1, keepdims=True)
        a, b = p @ normals.T, q @ normals.T
        if np.any(a.min(axis=0) > b.max(axis=0) + gap) or np.any(b.min(axis=0) > a.max(axis=0) + gap):
            return False
    return True


def along_bar(bar: BaseBar, outline: Polygon, gap: float) -> tuple[float, float] | None:
    """Return from where to where a convex outline takes up a bar, coming nearer than `gap`; None if it does not."""
    n = np.array([-bar.along[1], bar.along[0]])
    q = np.column_stack([(outline - bar.start) @ bar.along, (outline - bar.start) @ n])
    limit = bar.half + gap
    for sign in (1.0, -1.0):
        inside = limit - sign * q[:, 1]
        kept: list[Array] = []
        for i in range(len(q)):
            a, b, fa, fb = q[i], q[(i + 1) % len(q)], inside[i], inside[(i + 1) % len(q)]
            if fa >= 0.0:
                kept.append(a)
            if fa * fb < 0.0:
                kept.append(a + (b - a) * fa / (fa - fb))
        if not kept:
            return None
        q = np.array(kept)
    return float(q[:, 0].min()) - gap, float(q[:, 0].max()) + gap
