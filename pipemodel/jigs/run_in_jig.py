"""A run laid in the jig's own axes: z up, the way it is lifted out, and the jig's flat underside at z = 0."""

from dataclasses import dataclass, replace
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from pipemodel.bending.schedule import SolvedRun
from pipemodel.geometry.centreline import Arc
from pipemodel.geometry.vectors import EAST, NORTH, UP, Vec3, rotate

Array: TypeAlias = NDArray[np.float64]

PART_REACH_MM = 300.0
"""How much of the legs beside its outer bends a jig for a part of a piece judges, at the most."""
SAMPLE_MM = 4.0
"""Spacing of the points that stand for the tube when other parts must keep clear of it."""


@dataclass(frozen=True)
class JigLeg:
    """A leg in some axes: `start` (3,), unit `direction` (3,), `length` in mm.

    `bend_before` tells whether it begins at a bend, `bend_after` whether it ends at one.
    """

    index: int
    start: Array
    direction: Array
    length: float
    bend_before: bool
    bend_after: bool

    def at(self, s: float) -> Array:
        """Return the point of the axis s mm along the leg."""
        return self.start + self.direction * s


@dataclass(frozen=True)
class RunAxis:
    """The axis of a run in some axes: its legs, and points (n, 3) along it.

    `leg_of` (n,) tells which leg each point lies on, counted from 0; -k for a point of bend k.
    """

    outside_mm: float
    legs: tuple[JigLeg, ...]
    points: Array
    leg_of: NDArray[np.int64]
    length_mm: float

    def moved(self, rotation: Array, offset: Array) -> "RunAxis":
        """Return the same axis turned by `rotation` (3, 3), then moved by `offset` (3,)."""
        legs = tuple(
            JigLeg(g.index, rotation @ g.start + offset, rotation @ g.direction, g.length, g.bend_before, g.bend_after)
            for g in self.legs
        )
        return RunAxis(self.outside_mm, legs, self.points @ rotation.T + offset, self.leg_of, self.length_mm)

    @property
    def radius_mm(self) -> float:
        """Half the tube's outside diameter."""
        return self.outside_mm / 2.0

    @property
    def along(self) -> Array:
        """How far along each point is, (n,), by the straights between them."""
        return np.concatenate([[0.0], np.cumsum(np.linalg.norm(np.diff(self.points, axis=0), axis=1))])

    def at(self, s: Array) -> Array:
        """Return the places (m, 3) that are so far along it (m,)."""
        along = self.along
        return np.column_stack([np.interp(s, along, self.points[:, k]) for k in range(3)])


def rotation_about(axis: Vec3, angle_deg: float) -> Array:
    """Return the rotation (3, 3) about a unit vector."""
    return np.array([rotate(way, axis, angle_deg) for way in (EAST, NORTH, UP)]).T


def judged_part(axis: RunAxis, bends: tuple[int, int] | None) -> tuple[JigLeg, ...]:
    """Return the legs that a jig judges: all, or those beside the bends of a part, the outer ones cut to a reach.

    A leg that is cut short keeps its number and its end at the bend.
    """
    if bends is None:
        return axis.legs
    first, last = bends[0] - 1, min(bends[1], len(axis.legs) - 1)
    out: list[JigLeg] = []
    for leg in axis.legs[first : last + 1]:
        start, length = leg.start, leg.length
        if leg.index == first and length > PART_REACH_MM:
            start, length = leg.at(length - PART_REACH_MM), PART_REACH_MM
        elif leg.index == last and length > PART_REACH_MM:
            length = PART_REACH_MM
        out.append(replace(leg, start=start, length=length))
    return tuple(out)


def axis_of(solved: SolvedRun) -> RunAxis:
    """Return the axis of a solved run in the room's axes."""
    legs: list[JigLeg] = []
    points: list[Array] = []
    leg_of: list[int] = []
    pieces = solved.centreline.pieces
    for i, piece in enumerate(pieces):
        is_arc = isinstance(piece, Arc)
        if not is_arc:
            legs.append(
                JigLeg(
                    len(legs),
                    np.array(piece.start),
                    np.array(piece.direction),
                    piece.length,
                    i > 0,
                    i < len(pieces) - 1,
                )
            )
        step = min(SAMPLE_MM, piece.radius * 0.1) if isinstance(piece, Arc) else SAMPLE_MM
        count = max(2, int(np.ceil(piece.length / step)) + 1)
        for s in np.linspace(0.0, piece.length, count):
            points.append(np.array(piece.point_at(float(s))))
            leg_of.append(-len(legs) if is_arc else len(legs) - 1)
    return RunAxis(solved.tube.outside_mm, tuple(legs), np.array(points), np.array(leg_of), solved.centreline.length)
