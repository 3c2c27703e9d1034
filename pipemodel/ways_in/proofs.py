"""Proofs that a finished run cannot be brought to its place through an opening; docs/ways-in.md has the arguments.

Each is a condition that any way through must meet at some moment, whatever else it does. None of them being broken says
nothing: a way may exist or not. Through an opening means that the run's axis crosses the
opening's plane within its outline only, and that all of it lies on the other side to begin with. Where things stand all
round the outline, its edges are theirs, and the tube keeps its margin off them.
"""

from collections.abc import Sequence
from math import inf

import numpy as np

from pipemodel.geometry.arrays import Floats
from pipemodel.geometry.centreline import Arc, Centreline
from pipemodel.geometry.distance.obstacle import obstacle_of
from pipemodel.geometry.shapes import Shape
from pipemodel.geometry.shapes.plan import left_of
from pipemodel.geometry.vectors import Vec3, any_normal, cross, dot, sub
from pipemodel.job.model import Opening
from pipemodel.messages.values import Count, Length, Message, Name, message
from pipemodel.ways_in.crossing import Field, GateFrame, cannot_cross, things_of
from pipemodel.ways_in.judge_room import Room
from pipemodel.ways_in.moves_in_words import plane_of
from pipemodel.ways_in.near_rows import blocks_of
from pipemodel.ways_in.passage import lacking, sides_of, weights_of

MOST_LOOKS = 2_000_000
"""Distances that are measured for one condition; where more would be needed, nothing is said."""
BALLS, MOST_BALLS = 17, 120
REACH_MM = 600.0
"""How far along the run from a bend balls are looked at."""
EDGE_MM = 0.5
"""A thing no farther than this from what lies as far outside an opening's edge, is that edge."""
STEP_MM, MOST_DEEP_MM = 5.0, 1500.0
"""How closely along its depth the sides of a passage are looked at, and how deep it is looked for."""
TURN_DEG, LEAST_MM = 10.0, 0.01
"""A bend is looked at every so many degrees for whether it has room in a passage; what lacks less is not said."""
INSIDE_MM = 1.0
"""What lies so far inside the opening's plane at its place is inside."""


def proof_of(
    line: Centreline, outside_mm: float, margin_mm: float, opening: Opening, shapes: Sequence[Shape]
) -> Message | None:
    """Return why a run cannot be brought in through an opening, with proof; None where none of the proofs holds.

    Args:
        line: the run's axis in its place.
        outside_mm: its tube's outside diameter.
        margin_mm: what it must keep off everything on its way.
        opening: what it must go through.
        shapes: the things that it may nowhere come nearer to than the margin.
    """
    keep = outside_mm / 2.0 + margin_mm
    middle, inward = plane_of(opening)

    def inside(p: Vec3) -> bool:
        return dot(sub(p, middle), inward) > INSIDE_MM

    # A file of triangles is not asked, for it is slow; fewer things prove less, but nothing false.
    edges = _Edges([shape for shape in shapes if not shape.slow])
    gate = gate_of(opening)
    gate = gate._replace(solid=edges.all_round(gate))
    name = Name(opening.name, quoted=False)
    if gate.solid and any(inside(ball) for ball in _balls(line, outside_mm)):
        widest = 2.0 * ball_radius(gate.outline)
        if widest < 2.0 * keep - 1e-6:
            need, has = Length(2.0 * keep, ".1f", "up", widest), Length(widest, ".1f", "down", 2.0 * keep)
            return message("way in.no: too small", opening=name, need=need, has=has)
    if gate.solid and (said := _too_wide(line, outside_mm, keep, gate, edges, name)) is not None:
        return said
    things = things_of(shapes)
    legs = [(leg.length, leg) for leg in _legs(line, outside_mm) if inside(leg.start) and inside(leg.finish)]
    if legs:
        size, _ = max(legs, key=lambda one: one[0])
        for into, out in ((size, 0.0), (0.0, size), (size / 2.0, size / 2.0)):
            if _stick_stuck(into, out, gate, things, keep):
                template = (
                    "way in.no: no straight way inside"
                    if out == 0.0
                    else "way in.no: no straight way outside"
                    if into == 0.0
                    else "way in.no: no straight way across"
                )
                return message(template, opening=name, leg=Length(size, ".0f"))
    for number, arc in enumerate(line.arcs, 1):
        if inside(arc.point_at(arc.length / 2.0)) and _bend_stuck(line, number, outside_mm, gate, things, keep):
            return message("way in.no: bend does not pass", opening=name, bend=Count(number))
    return None


class _Edges:
    """Things that may be the edges of an opening, or the sides of a passage."""

    def __init__(self, shapes: Sequence[Shape]) -> None:
        self.shapes = shapes
        self.low, self.high = blocks_of(shapes)
        self.fields = dict[int, Field]()

    def all_round(self, gate: GateFrame) -> bool:
        """Whether the edges of an opening are those of things all round, as far as is to be seen along them."""
        points = gate.edge_points(EDGE_MM)
        least = np.full(len(points), inf)
        # What is farther from all of the points is no edge.
        low, high = points.min(axis=0) - 2.0 * EDGE_MM, points.max(axis=0) + 2.0 * EDGE_MM
        for number in np.flatnonzero(np.all((self.low <= high) & (self.high >= low), axis=1)).tolist():
            least = np.minimum(least, self._field(number)(points))
        return bool((least <= EDGE_MM).all())

    def _field(self, number: int) -> Field:
        """How far points are from a thing, or a little more where it is measured by flats that may stand off it."""
        if number not in self.fields:
            field, off = obstacle_of(self.shapes[number]).field, self.shapes[number].flats_mm
            self.fields[number] = (lambda points: field(points) + off) if off else field
        return self.fields[number]


def _too_wide(
    line: Centreline, outside_mm: float, keep: float, gate: GateFrame, edges: "_Edges", name: Name
) -> Message | None:
    """Why a piece does not fit into a passage deeper than itself: however it is turned, the sides are too near."""
    axis = np.array(_axis(line, outside_mm / 2.0))
    foremost = float(((axis - gate.origin) @ gate.axes[2]).max())
    # When its foremost point first stood so far in, all of it was in the passage, if that is as deep as it is long.
    deep = float(np.linalg.norm(axis[:, None] - axis[None], axis=2).max()) + STEP_MM
    if foremost <= INSIDE_MM or deep > MOST_DEEP_MM:
        return None
    inner = min(_deep(gate, edges, min(deep, foremost), 1.0), foremost)
    if inner + _deep(gate, edges, deep - inner, -1.0) < deep:
        return None
    by = lacking(axis, hull_of(gate.outline), keep)
    return message("way in.no: too wide", opening=name, by=Length(by, ".2f", "down")) if by >= LEAST_MM else None


def _axis(line: Centreline, cut_mm: float) -> list[Vec3]:
    """Points of the axis, free ends cut back, which reach as far as all of it but for 0.4 % of a bend's radius."""
    low, high = min(cut_mm, line.length / 2.0), max(line.length - cut_mm, line.length / 2.0)
    parts = [max(int(np.ceil(piece.angle_deg / TURN_DEG)), 1) if isinstance(piece, Arc) else 1 for piece in line.pieces]
    along = [np.arange(n) * piece.length / n for n, piece in zip(parts, line.pieces, strict=True)]
    places = np.concatenate([at + own for at, own in zip(line.offsets, along, strict=False)])
    return [line.point_at(s) for s in (low, *places[(places > low) & (places < high)].tolist(), high)]


def _deep(gate: GateFrame, edges: "_Edges", most_mm: float, sign: float) -> float:
    """How far the passage goes on beyond the opening, its sides closed all round: inwards, or with sign -1 outwards."""
    depth = 0.0
    while depth < most_mm:
        there = gate._replace(origin=gate.origin + sign * (depth + STEP_MM) * gate.axes[2])
        if not edges.all_round(there):
            break
        depth += STEP_MM
    return depth


def gate_of(opening: Opening) -> GateFrame:
    """Return an opening in its own frame."""
    middle, inward = plane_of(opening)
    across = any_normal(inward)
    axes = np.array([across, cross(inward, across), inward])
    outline = (np.array(opening.corners) - np.array(middle)) @ axes.T
    return GateFrame(np.array(middle), axes, np.ascontiguousarray(outline[:, :2]))


def _balls(line: Centreline, outside_mm: float) -> list[Vec3]:
    """Middles of balls as wide as the tube that lie wholly within it, one on each straight that is long enough."""
    return [leg.point_at(leg.length / 2.0) for leg in line.straights if leg.length >= outside_mm]


def _legs(line: Centreline, outside_mm: float) -> list["Straightened"]:
    """The parts of the straights all along which such a ball lies within the tube: a free end is cut back."""
    out = []
    last = len(line.straights) - 1
    for number, leg in enumerate(line.straights):
        low = outside_mm / 2.0 if number == 0 else 0.0
        high = leg.length - (outside_mm / 2.0 if number == last else 0.0)
        if high - low >= outside_mm:
            out.append(Straightened(leg.point_at(low), leg.point_at(high), high - low))
    return out


class Straightened:
    """Part of a leg: its ends and its length, mm."""

    def __init__(self, start: Vec3, finish: Vec3, size: float) -> None:
        self.start, self.finish, self.length = start, finish, size


def _stick_stuck(into: float, out: float, gate: GateFrame, things: Room, keep: float) -> bool:
    """Whether a straight that reaches so far in and so far out has no place in an opening.

    At the last moment at which an end of a leg is in the plane, all of the leg lies inside, from the opening on; at the
    first, all of it lies outside; and at some moment its middle is in the plane.
    """
    # Nothing that the leg runs through lies between two balls that are so close.
    count = min(int(np.ceil((into + out) / (1.5 * keep))) + 1, MOST_BALLS)
    points = np.zeros((count + 1, 3))
    points[1:, 0] = np.linspace(-out, into, count)
    return cannot_cross(points, gate, things, keep, looks_in=True, most=MOST_LOOKS)


def _bend_stuck(line: Centreline, number: int, outside_mm: float, gate: GateFrame, things: Room, keep: float) -> bool:
    """Whether the piece has no place with the middle of a bend in an opening."""
    index = 2 * number - 1
    arc = line.pieces[index]
    assert isinstance(arc, Arc)
    at = line.offsets[index] + arc.length / 2.0
    low, high = outside_mm / 2.0, line.length - outside_mm / 2.0
    steps = REACH_MM * np.linspace(0.0, 1.0, BALLS // 2 + 1)[1:] ** 1.6
    places = [at, *(s for step in steps for s in (at - step, at + step) if low <= s <= high)]
    points = np.array([line.point_at(s) for s in places])
    ahead = line.direction_at(at)
    second = cross(arc.axis, ahead)
    frame = np.array([ahead, second, arc.axis])
    return cannot_cross((points - points[0]) @ frame.T, gate, things, keep, most=MOST_LOOKS)


def ball_radius(outline: Floats) -> float:
    """Return the radius of the largest circle within the convex hull of an outline, (n, 2): none is larger in itself.

    Exact: the largest circle touches three edges, or two that are parallel, so that what any three edges allow bounds
    it, and the least of these bounds is reached. With many edges only pairs of opposite supports are asked.
    """
    hull = hull_of(outline)
    normals, heights = sides_of(hull)
    if len(hull) > 40:
        # Half of the least width: the hull lies between parallel lines so far apart.
        return float((heights + (hull @ -normals.T).max(axis=0)).min()) / 2.0
    return float((weights_of(normals) @ heights).min())


def hull_of(points: Floats) -> Floats:
    """Return the convex hull of points in a plane, (n, 2), anticlockwise."""
    rows = sorted({(float(x), float(y)) for x, y in points})

    def half(side: list[tuple[float, float]]) -> list[tuple[float, float]]:
        out: list[tuple[float, float]] = []
        for p in side:
            while len(out) > 1 and left_of(out[-2], out[-1], p) <= 1e-12:
                out.pop()
            out.append(p)
        return out[:-1]

    return np.array(half(rows) + half(rows[::-1]))
