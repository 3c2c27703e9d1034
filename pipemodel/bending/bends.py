"""Corners to bends and back: angles, turns between planes, straights, gains and the developed length.

Everything here is a closed formula on tuples. The bend's angle comes from both the vector product and the
scalar product of its legs, so it is as accurate at 0.5 as at 90 and 179.5 degrees; the turn follows the
usual torsion formula atan2(v . (n1 x n2), n1 . n2) with v a unit vector.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import atan2, degrees, hypot, pi, radians, tan
from typing import NamedTuple

from pipemodel.bending.corner_faults import (
    TOUCH_MM,
    CornerFault,
    Idle,
    UnbendableError,
    idle,
    no_return,
    too_near,
    too_slight,
)
from pipemodel.geometry.centreline import Arc, Centreline, LinePiece, Straight
from pipemodel.geometry.straighten import SAME_POINT_MM, find_corners
from pipemodel.geometry.vectors import (
    Vec3,
    along,
    any_normal,
    cos_deg,
    cross,
    distance,
    dot,
    rotate,
    scale,
    sin_deg,
    sub,
    unit,
)
from pipemodel.messages.values import Count, Number, message

ROUNDING = 1e-15
"""What double precision leaves of the difference of two coordinates, in parts of the larger."""
STRAIGHT_BACK_DEG = 179.9
"""A single corner sharper than this doubles back; a bend of 180 degrees is written as a joined pair."""


class Bend(NamedTuple):
    """One bend as made: where it begins on the flat tube, how far it bends, and which way it turns."""

    number: int
    start_mm: float
    straight_before_mm: float
    angle_deg: float
    turn_deg: float
    radius_mm: float
    arc_mm: float
    gain_mm: float

    @property
    def finish_mm(self) -> float:
        """Where the bend ends on the flat tube, from its start end."""
        return self.start_mm + self.arc_mm


@dataclass(frozen=True)
class BendTable:
    """The bends of one run, with what is needed to put it back in its place.

    `direction` is the unit direction of the first leg and `normal` the unit axis of the first bend (the tube
    bends right-handed about it); with no bends, `normal` is any direction square to the tube.
    """

    start: Vec3
    direction: Vec3
    normal: Vec3
    bends: tuple[Bend, ...]
    straight_after_mm: float

    @property
    def length_mm(self) -> float:
        """Length of the centreline, end to end."""
        last = self.bends[-1].finish_mm if self.bends else 0.0
        return last + self.straight_after_mm


class BentCorners(NamedTuple):
    """The bend table of a run, the points that make no bend, and the centreline asked for.

    That is `points`, the corners left, with `pairs`, each i for which i and i + 1 are one return, and `radii`.
    `made_at` says which of the corners given each bend is made at.
    """

    table: BendTable
    idle: tuple[Idle, ...]
    points: tuple[Vec3, ...]
    pairs: frozenset[int]
    radii: tuple[float, ...]
    made_at: tuple[int, ...]


def bend_corners(
    corners: Sequence[Vec3], radius: float | Sequence[float], joined: frozenset[int] = frozenset()
) -> BentCorners:
    """Return the bend table for a run through `corners`, and what was asked for.

    Args:
        corners: start, corners and finish, in order; shape (n, 3) with n at least 2, mm.
        radius: finished centreline radius, mm: of every bend, or one for each of `corners`.
        joined: indices i for which corners i and i + 1 are the two halves of one 180 degree bend.

    >>> (bend,) = bend_corners([(0, 0, 0), (600, 0, 0), (600, 400, 0)], 55).table.bends
    >>> bend.start_mm, bend.angle_deg, round(bend.arc_mm, 2)
    (545.0, 90.0, 86.39)

    Raises:
        UnbendableError: if neighbouring bends need more straight than there is, a corner doubles back or is too
            slight to be pulled, or the run has no length; every such place is in its `faults`.
    """
    found = find_corners(corners, joined)
    kept = found.kept
    n = len(kept)
    points = [corners[i] for i in kept]
    radii = [radius] * n if isinstance(radius, int | float) else [radius[i] for i in kept]
    if n == 2 and distance(*points) <= SAME_POINT_MM:
        raise UnbendableError([CornerFault(0, message("corner.no length"))])
    legs = [sub(points[i + 1], points[i]) for i in range(n - 1)]
    sizes = [hypot(*leg) for leg in legs]
    pairs = frozenset(i for i in range(1, n - 2) if kept[i] in joined)
    slack = TOUCH_MM + ROUNDING * max(max(map(abs, point)) for point in points)
    faults = [too_slight(corner) for corner in found.too_slight]
    faults += [fault for i in pairs if (fault := no_return(kept[i], legs[i - 1 : i + 2], radii[i], slack))]
    if any(size <= SAME_POINT_MM for size in sizes):
        # Only beside or within a return do two points so near both stay.
        for i, size in enumerate(sizes):
            if size <= SAME_POINT_MM:
                halves = 2 * (i in pairs) + (i - 1 in pairs) + (i + 1 in pairs)
                faults.append(too_near(kept[i], kept[i + 1], size, halves * radii[i], halves * radii[i] - size))
        raise UnbendableError(faults)

    rows: list[tuple[float, float, float, float]] = []  # angle, turn, straight before, radius
    made_at: list[int] = []
    first_normal: Vec3 | None = None
    normal: Vec3 = (0.0, 0.0, 0.0)
    setback_before, at_before = 0.0, 0
    i = 1
    while i < n - 1:
        u, v = legs[i - 1], legs[i]
        lu, lv = sizes[i - 1], sizes[i]
        w = cross(u, v)
        sine, cosine = hypot(*w), dot(u, v)
        corner, radius = kept[i], radii[i]
        if i in pairs:
            angle, setback, step = 180.0, radius, 2
        else:
            angle, step = degrees(atan2(sine, cosine)), 1
            if angle > STRAIGHT_BACK_DEG:
                faults.append(
                    CornerFault(
                        corner,
                        message(
                            "corner.doubles back",
                            point=Count(corner + 1),
                            angle=Number(angle, ".4g"),
                            apart=Number(2 * radius),
                        ),
                    )
                )
                setback, w = 0.0, normal if first_normal else cross(u, any_normal(u))
            else:
                # tan(angle / 2) without the half angle: as good at 0.5 degrees as at 179.
                setback = radius * sine / (lu * lv + cosine)
        spare = lu - setback_before - setback
        if spare < -slack:
            faults.append(too_near(at_before, corner, lu, setback_before + setback, -spare))
        turn = 0.0
        if first_normal is None:
            first_normal = unit(w)
        else:
            turn = degrees(atan2(dot(u, cross(normal, w)) / lu, dot(normal, w)))
            if turn <= -180.0 + 1e-9:
                turn = 180.0
        rows.append((angle, turn + 0.0, max(spare, 0.0), radius))
        made_at.append(corner)
        normal = w
        setback_before, at_before = setback, kept[i + step - 1]
        i += step
    after = sizes[-1] - setback_before
    if after < -slack:
        faults.append(too_near(at_before, kept[-1], sizes[-1], setback_before, -after))
    if faults:
        raise UnbendableError(faults)

    bends: list[Bend] = []
    at = 0.0
    for number, (angle, turn, before, radius) in enumerate(rows, 1):
        arc = radius * radians(angle)
        at += before
        bends.append(Bend(number, at, before, angle, turn, radius, arc, gain(radius, angle)))
        at += arc
    direction = unit(legs[0])
    table = BendTable(points[0], direction, first_normal or any_normal(direction), tuple(bends), max(after, 0.0))
    return BentCorners(table, tuple(map(idle, found.left_out)), tuple(points), pairs, tuple(radii), tuple(made_at))


def gain(radius: float, angle: float) -> float:
    """Return what a bend saves against its two legs measured to the corner: 2 R tan(a/2) - R a, in mm.

    At 180 degrees there is no corner; the bend is measured to the two corners of a U, which makes it
    4 R - pi R.

    >>> round(gain(55, 90), 1)
    23.6
    """
    if angle >= 180.0:
        return (4.0 - pi) * radius
    a = radians(angle)
    return radius * (2.0 * tan(a / 2.0) - a)


def centreline_of(table: BendTable) -> Centreline:
    """Bend the straight tube by the table and return the centreline it then has."""
    pieces: list[LinePiece] = []
    here, ahead, normal = table.start, table.direction, table.normal
    for bend in table.bends:
        if bend.turn_deg:
            normal = rotate(normal, ahead, bend.turn_deg)
        pieces.append(Straight(here, ahead, bend.straight_before_mm))
        here = along(here, ahead, bend.straight_before_mm)
        # The tube bends right-handed about the normal, so the centre lies to the left: normal x ahead.
        spoke = scale(cross(normal, ahead), -1.0)
        centre = along(here, spoke, -bend.radius_mm)
        pieces.append(Arc(centre, normal, spoke, bend.radius_mm, bend.angle_deg))
        c, s = cos_deg(bend.angle_deg), sin_deg(bend.angle_deg)
        here = along(along(centre, spoke, bend.radius_mm * c), ahead, bend.radius_mm * s)
        ahead = unit(along(scale(ahead, c), spoke, -s))
        # Square the normal up again, so that a long run does not drift.
        normal = unit(along(normal, ahead, -dot(normal, ahead)))
    pieces.append(Straight(here, ahead, table.straight_after_mm))
    return Centreline(tuple(pieces))


def corners_of(table: BendTable) -> tuple[tuple[Vec3, ...], frozenset[int]]:
    """Return start, corners and finish of a bend table, and which corners are joined into one 180 bend.

    The inverse of `bend_corners`.
    """
    line = centreline_of(table)
    corners: list[Vec3] = [table.start]
    joined: set[int] = set()
    for arc in line.arcs:
        if arc.angle_deg >= 180.0:
            joined.add(len(corners))
            corners.append(along(arc.start, arc.direction, arc.radius))
            corners.append(along(arc.finish, arc.direction, arc.radius))
        else:
            corners.append(along(arc.start, arc.direction, arc.radius * tan(radians(arc.angle_deg) / 2.0)))
    corners.append(line.finish)
    return tuple(corners), frozenset(joined)
