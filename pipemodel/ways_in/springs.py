"""A bent piece sprung by hand: how far an end leg opens or closes elastically, and what the piece then looks like.

The piece is held at the far side of its first or last bend, and the end beyond is pushed square to its leg, in the
plane of the bend. All of the leg and the bend flexes: at a place the moment is the push times its arm, L - x along the
leg and L + R sin t round the bend, t from the leg on. Deflections by Castigliano's theorem (A. Castigliano 1879; in any
handbook of strength), the leg alone being the cantilever with an end load, P L^3 / 3 E I.

Fibres on the inside of a bend are shorter, and so strained more: by R / (R - c) at most, c half the outside diameter.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import ceil, cos, degrees, inf, pi, radians, sin

from pipemodel.geometry.centreline import Arc, Centreline, LinePiece, Straight, backwards
from pipemodel.geometry.vectors import add, along, cross, scale
from pipemodel.job.model import Spread
from pipemodel.trade.materials import find_material
from pipemodel.trade.model import Tube
from pipemodel.ways_in.values import End, SprungEnd

LEG_PARTS = 6
"""A sprung leg is so many arcs, each of even curvature: off by less than 0.5 % of how far it is sprung."""
BEND_DEG = 15.0
"""And the bend as arcs of no more than so much."""
LEAST_MM = 0.5
"""An end that can be sprung by less is left alone."""
LEAST_DEG = 1e-7
"""What bends less is straight."""


@dataclass(frozen=True)
class Lever:
    """An end leg with its bend: length of the leg, radius and angle of the bend, the tube's outside diameter."""

    leg_mm: float
    radius_mm: float
    angle_deg: float
    outside_mm: float

    @property
    def arc_mm(self) -> float:
        """How much tube the bend takes."""
        return self.radius_mm * radians(self.angle_deg)

    @property
    def give(self) -> float:
        """How far its end goes for a curvature of 1 per mm and mm of arm, mm."""
        length, r, a = self.leg_mm, self.radius_mm, radians(self.angle_deg)
        bend = a * length**2 + 2.0 * length * r * (1.0 - cos(a)) + r**2 * (a / 2.0 - sin(2.0 * a) / 4.0)
        return length**3 / 3.0 + r * bend

    @property
    def strains(self) -> float:
        """The strain of its worst fibre for the same."""
        arm = self.leg_mm + self.radius_mm * sin(min(radians(self.angle_deg), pi / 2.0))
        half = self.outside_mm / 2.0
        return arm * half * self.radius_mm / (self.radius_mm - half)

    def strain_of(self, by_mm: float) -> float:
        """Return what its worst fibre is strained by when the end is sprung so far."""
        return abs(by_mm) / self.give * self.strains

    def travel_mm(self, by_mm: float) -> float:
        """Return what no point goes farther than while the end is sprung so far: it turns as one, far out."""
        length, r, a = self.leg_mm, self.radius_mm, radians(self.angle_deg)
        turns = length * a * r + r**2 * (1.0 - cos(a)) + length**2 / 2.0
        return abs(by_mm) / self.give * turns * (length + a * r)

    def reach_mm(self, strain: float) -> float:
        """Return how far the end may be sprung within a strain."""
        return strain / self.strains * self.give


def sprung_ends(line: Centreline, outside_mm: float, spread: Spread) -> tuple[SprungEnd, ...]:
    """Return the ends that may be sprung, each as far open as it may be; none where that is next to nothing."""
    out = []
    ends: tuple[End, ...] = ("finish", "start") if len(line.arcs) > 1 else ("finish",)
    for end in ends:
        lever = lever_at(line, outside_mm, end)
        by = 0.0 if lever is None else min(lever.reach_mm(spread.strain), spread.at_most_mm or inf)
        if by >= LEAST_MM:
            out.append(SprungEnd(end, by, bend_at(line, end)))
    return tuple(out)


def pushed(end: SprungEnd, line: Centreline, tube: Tube) -> SprungEnd:
    """Return a sprung end with the push that holds it: its curvature per arm times E I of a thin or thick ring."""
    lever, material = lever_at(line, tube.outside_mm, end.end), find_material(tube.material)
    if lever is None or material is None:
        return end
    second_moment = pi / 64.0 * (tube.outside_mm**4 - tube.bore_mm**4)
    return replace(end, push_n=abs(end.by_mm) / lever.give * material.elastic_n_mm2 * second_moment)


def bend_at(line: Centreline, end: End) -> int:
    """Return the number of the bend beside an end."""
    return 1 if end == "start" else len(line.arcs)


def lever_at(line: Centreline, outside_mm: float, end: End) -> Lever | None:
    """Return the lever at an end; None where the run has no bend."""
    if not line.arcs:
        return None
    arc, leg = (line.arcs[0], line.straights[0]) if end == "start" else (line.arcs[-1], line.straights[-1])
    return Lever(leg.length, arc.radius, arc.angle_deg, outside_mm)


def sprung_line(line: Centreline, end: End, by_mm: float) -> Centreline:
    """Return the axis of a piece with an end sprung open by so much, closed where it is below zero.

    The other side of the bend stays where it is.
    """
    if end == "start":
        return backwards(sprung_line(backwards(line), "finish", by_mm))
    lever = lever_at(line, 0.0, "finish")
    arc, leg = line.pieces[-2:]
    assert lever is not None
    assert isinstance(arc, Arc)
    assert isinstance(leg, Straight)
    curve = -by_mm / lever.give
    parts = ceil(arc.angle_deg / BEND_DEG)
    stretches: list[tuple[float, float]] = []
    for k in range(parts):
        # The mean arm between two places of the bend, by the angle that is left of it to the leg.
        high, low = (radians(arc.angle_deg) * (parts - i) / parts for i in (k, k + 1))
        arm = leg.length + arc.radius * (cos(low) - cos(high)) / (high - low)
        stretches.append((arc.length / parts, 1.0 / arc.radius + curve * arm))
    for k in range(LEG_PARTS):
        arm = leg.length * (1.0 - (k + 0.5) / LEG_PARTS)
        stretches.append((leg.length / LEG_PARTS, curve * arm))
    return Centreline((*line.pieces[:-2], *_bent(arc, stretches)))


def _bent(first: Arc, stretches: Sequence[tuple[float, float]]) -> list[LinePiece]:
    """Return arcs, each of a length and a curvature, on from where an arc starts, and in its plane."""
    made: list[LinePiece] = []
    at, ahead, straight = first.start, first.direction, 0.0
    for long, curvature in stretches:
        if degrees(long * abs(curvature)) < LEAST_DEG:
            straight += long
            continue
        if made:
            made.append(Straight(at, ahead, straight))
        axis = first.axis if curvature > 0.0 else scale(first.axis, -1.0)
        spoke, radius = cross(ahead, axis), 1.0 / abs(curvature)
        start = along(at, ahead, straight)
        arc = Arc(add(start, scale(spoke, -radius)), axis, spoke, radius, degrees(long / radius))
        made.append(arc)
        at, ahead, straight = arc.finish, arc.finish_direction, 0.0
    return [*made, Straight(at, ahead, straight)]
