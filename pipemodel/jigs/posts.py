"""What timber a jig stands on: the board, a post under every cradle that stands high, and props with a wedge."""

from dataclasses import dataclass
from itertools import pairwise
from math import inf, sqrt

import numpy as np

from pipemodel.jigs.base import Polygon, overlap, pad_of
from pipemodel.jigs.layout import JigLayout, leg_begins
from pipemodel.jigs.run_in_jig import Array, judged_part
from pipemodel.jigs.sag import stiffness_of
from pipemodel.jigs.springy import at_rest
from pipemodel.jigs.towers import GAP_MM, LEAST_POST_MM, Tower, cornerwise
from pipemodel.jigs.way_up import steadiness
from pipemodel.job.jig import JigSettings
from pipemodel.trade.model import Tube

BOARD_EDGE_MM = 30.0
"""How far the board reaches past everything on it."""
TRUE_MM = 0.5
"""How true a post is cut and a hole drilled (common practice, no source)."""
WEDGE_MM, STEEP_MM = 10.0, 20.0
"""Room for the wedge between a prop and the tube, and how much more of it a slope may ask for."""
LEAST_MARGIN_MM = 10.0
"""So far inside its supports, in plan, the weight of a piece is to fall if it can (common practice, no source)."""
EVERY_MM = 12.0
"""Places along the tube, so far apart, are tried for a prop."""
SHARE = 0.25
"""Share of the narrowest slot that tube beyond its supports, or between them, may go down by its own weight."""
MOST_PROPS = 12


@dataclass(frozen=True)
class Post:
    """A post under a cradle: its outline (4, 2) in plan, and the length it is cut to, a whole mm."""

    cradle: int
    outline: Polygon
    length_mm: float


@dataclass(frozen=True)
class Prop:
    """A post that judges nothing: a wedge is pushed in on top until it touches the tube, and lifts nothing.

    `at_mm` is along the centreline from the start. Where the tube lies low the wedge stands on the board: length 0.
    """

    number: int
    at_mm: float
    outline: Polygon
    length_mm: float

    @property
    def letter(self) -> str:
        """What it is called on plan and in lists: P1, P2 and so on."""
        return f"P{self.number}"

    @property
    def holes(self) -> Array:
        """Where its post is screwed up through the board, (2, 2): half its side apart; none where it has no post."""
        middle = self.outline.mean(axis=0)
        aside = (self.outline[1] - self.outline[0]) / 4.0
        return np.array([middle - aside, middle + aside]) if self.length_mm else np.empty((0, 2))


@dataclass(frozen=True)
class Timber:
    """All timber of a jig; the board (along x, along y) reaches from the plan's lower left corner."""

    side_mm: float
    posts: tuple[Post, ...]
    props: tuple[Prop, ...]
    board_low: Array
    board_mm: tuple[float, float]

    @property
    def batten_mm(self) -> float:
        """How much batten it takes, without what the saw takes."""
        return sum(p.length_mm for p in self.posts) + sum(p.length_mm for p in self.props)


def timber_for(layout: JigLayout, tube: Tube, settings: JigSettings) -> Timber:
    """Return the timber that a laid run stands on."""
    posts = tuple(Post(t.cradle.number, post_of(t, settings), t.seat) for t in layout.towers if t.seat)
    props = _props(layout, tube, settings)
    outlines = [*(p.outline for p in posts), *(p.outline for p in props)]
    outlines += [*(pad_of(0, t, settings).outline for t in layout.towers)]
    legs = judged_part(layout.axis, settings.bends)
    points = np.vstack([*outlines, *(leg.at(s)[None, :2] for leg in legs for s in (0.0, leg.length))])
    low = points.min(axis=0) - BOARD_EDGE_MM
    x, y = (float(np.ceil(v / 10.0) * 10.0) for v in points.max(axis=0) + BOARD_EDGE_MM - low)
    return Timber(settings.timber_mm, posts, props, low, (x, y))


def post_of(tower: Tower, settings: JigSettings) -> Polygon:
    """Return the outline in plan of the post that a cradle's plate is screwed to.

    Its sides lie along the leg, or its diagonal where the screws, which stand in a row along the leg, would come too
    near its sides.
    """
    half, middle = settings.timber_mm / 2.0, (tower.foot[0] + tower.foot[1]) / 2.0
    square = tower.rectangle(middle - half, middle + half, -half, half)
    if not cornerwise(tower, settings):
        return square
    centre = square.mean(axis=0)
    aside = square - centre
    turned: Polygon = centre + (aside + np.column_stack([-aside[:, 1], aside[:, 0]])) * sqrt(0.5)
    return turned


def supports_of(layout: JigLayout) -> Array:
    """Return the points in plan (n, 2) that a piece rests on: round tube touches a flat floor under its axis."""
    return np.array(
        [t.place.point(a, 0.0, 0.0)[:2] for t in layout.towers for a in (t.cradle.low_mm, t.cradle.high_mm)]
    )


def _props(layout: JigLayout, tube: Tube, settings: JigSettings) -> tuple[Prop, ...]:
    """Return props, one after the other where each helps most, until the piece neither topples nor sags out of true."""
    points, along, ahead = _places(layout)
    outlines = [_square(p, d, settings.timber_mm / 2.0) for p, d in zip(points, ahead, strict=True)]
    taken = [pad_of(0, t, settings).outline for t in layout.towers]
    taken += [post_of(t, settings) for t in layout.towers if t.seat]
    tops = [_prop_top(layout, points[i], float(along[i]), settings.timber_mm) for i in range(len(points))]
    free = [i for i in range(len(points)) if _stands_free(layout, points[i], tops[i], outlines[i], taken)]
    supports, held = supports_of(layout), _held(layout)
    props: list[Prop] = []
    while free and len(props) < MOST_PROPS:
        margin = steadiness(layout.axis, supports)
        if margin < LEAST_MARGIN_MM:
            gains = [steadiness(layout.axis, np.vstack([supports, points[i][None, :2]])) for i in free]
            best = free[int(np.argmax(np.round(gains, 6)))]
            if max(gains) <= margin + 1e-6:
                break
        else:
            where, within = _where_it_sags(layout, tube, props, held, free, along)
            if not within:
                break
            best = min(within, key=lambda i: (round(abs(float(along[i]) - where), 6), i))
        length = float(np.floor(_prop_mm(tops[best])))
        props.append(Prop(len(props) + 1, float(along[best]), outlines[best], length))
        supports = np.vstack([supports, points[best][None, :2]])
        held = sorted([*held, float(along[best])])
        taken.append(outlines[best])
        free = [i for i in free if not overlap(outlines[i], outlines[best], 2.0)]
    return tuple(props)


def _where_it_sags(
    layout: JigLayout, tube: Tube, props: list[Prop], held: list[float], free: list[int], along: Array
) -> tuple[float, list[int]]:
    """Return where along the tube a prop would help, and the places beside it that are free: none where none is needed.

    First each stretch by itself, then the piece as a whole: a stretch that goes round a bend also twists and tips.
    """
    most = SHARE * min(t.clearance for t in layout.towers)
    for one in _sagging(layout, held, tube, most):
        if within := [i for i in free if one.low < along[i] < one.high]:
            return one.where, within
    off = at_rest(layout, tube, [p.at_mm for p in props], along)
    where = float(along[int(np.argmin(np.round(off, 9)))])
    if float(np.abs(off).max()) <= most:
        return where, []
    ends = [0.0, *held, float(along[-1])]
    return where, [i for i in free if any(a <= where <= b and a < along[i] < b for a, b in pairwise(ends))]


def _places(layout: JigLayout) -> tuple[Array, Array, Array]:
    """Return places along the tube (n, 3), how far along they are (n,), and which way it goes there in plan (n, 2)."""
    length = layout.axis.along[-1]
    at = np.linspace(0.0, length, max(2, int(length / EVERY_MM)))
    points = layout.axis.at(at)
    ahead = np.gradient(points[:, :2], axis=0)
    return points, at, ahead / np.maximum(np.linalg.norm(ahead, axis=1, keepdims=True), 1e-9)


def _square(middle: Array, along: Array, half: float) -> Polygon:
    across = np.array([-along[1], along[0]])
    corners = ((-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0))
    return np.array([middle[:2] + half * (a * along + b * across) for a, b in corners])


def _prop_top(layout: JigLayout, point: Array, at: float, side: float) -> float:
    """Return how high a prop under a point of the tube may reach: room for the wedge under all tube over it.

    Minus infinity where the tube is so steep that no wedge fills the gap.
    """
    p = layout.axis.points
    over = (np.abs(layout.axis.along - at) < side) & (np.linalg.norm(p[:, :2] - point[:2], axis=1) < side * sqrt(0.5))
    lowest = float(p[over, 2].min(initial=float(point[2])))
    return lowest - layout.axis.radius_mm - WEDGE_MM if point[2] - lowest <= STEEP_MM else -inf


def _stands_free(layout: JigLayout, point: Array, top: float, outline: Polygon, taken: list[Polygon]) -> bool:
    """Tell whether a prop under this point of the tube would stand clear of all other tube, and of what is there."""
    if top == -inf:
        return False
    top = _prop_mm(top)
    if any(overlap(outline, other, 2.0) for other in taken):
        return False
    reach = layout.axis.radius_mm + GAP_MM
    half = float(np.linalg.norm(outline[0] - outline[2])) / 2.0 + reach
    near = np.linalg.norm(layout.axis.points[:, :2] - point[:2], axis=1) < half
    return bool(np.all(layout.axis.points[near, 2] - reach > top))


def _prop_mm(top: float) -> float:
    """Return how long a prop is that may reach so high, 0 where it would be too short to stand."""
    return top if top >= LEAST_POST_MM else 0.0


def _held(layout: JigLayout) -> list[float]:
    """Return where along the centreline cradles hold the tube: the middle of each."""
    begins = leg_begins(layout)
    return sorted(
        begins[t.cradle.leg] + (t.cradle.low_mm + t.cradle.high_mm) / 2.0 * t.place.stretch for t in layout.towers
    )


@dataclass(frozen=True)
class _Stretch:
    """Tube between supports, or beyond the last, from `low` to `high` along it: a prop helps at `where`."""

    sags_mm: float
    where: float
    low: float
    high: float


def _sagging(layout: JigLayout, held: list[float], tube: Tube, most: float) -> list[_Stretch]:
    """Return the stretches that go down by more than `most` under their own weight, the worst first.

    Counted as if each were straight and level: beyond the last support a cantilever, w L^4 / 8 E I, between two a
    simple beam, 5 w L^4 / 384 E I (Roark's Formulas for Stress and Strain, table of beams).
    """
    weight, stiffness = stiffness_of(tube)
    length = layout.axis.length_mm
    last = length - held[-1]
    found = [
        _Stretch(weight * held[0] ** 4 / (8.0 * stiffness), 0.3 * held[0], 0.0, held[0]),
        _Stretch(weight * last**4 / (8.0 * stiffness), length - 0.3 * last, held[-1], length),
    ]
    for a, b in zip(held, held[1:], strict=False):
        found.append(_Stretch(5.0 * weight * (b - a) ** 4 / (384.0 * stiffness), (a + b) / 2.0, a, b))
    return sorted((s for s in found if s.sags_mm > most), key=lambda s: -round(s.sags_mm, 9))
