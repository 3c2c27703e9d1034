"""Corners rounded to bends: the straights and arcs of a tube through them."""

from collections.abc import Sequence
from math import radians, tan

from pipemodel.geometry.centreline import Arc, LinePiece, Straight
from pipemodel.geometry.vectors import Vec3, along, angle_deg, cross, distance, dot, scale, sub, unit

STRAIGHT_DEG = 1e-9
"""What turns by less than this makes no bend."""


def rounded(corners: Sequence[Vec3], radii: Sequence[float]) -> list[LinePiece]:
    """Return the straights and arcs of a tube through some corners; no two that follow each other are the same.

    Args:
        corners: its start, corners and finish, mm; none turns it by 180 degrees.
        radii: the centreline radius at each corner between the first and the last, mm; a corner of 0 stays sharp.
    """
    pieces: list[LinePiece] = []
    here, ahead = corners[0], unit(sub(corners[1], corners[0]))
    for corner, beyond, radius in zip(corners[1:-1], corners[2:], radii, strict=True):
        direction = unit(sub(beyond, corner))
        angle = angle_deg(ahead, direction)
        if angle < STRAIGHT_DEG:
            continue
        back = radius * tan(radians(angle) / 2.0)
        begins = along(corner, ahead, -back)
        pieces.append(Straight(here, ahead, max(dot(sub(begins, here), ahead), 0.0)))
        if radius > 0.0:
            axis = unit(cross(ahead, direction))
            spoke = scale(cross(axis, ahead), -1.0)
            pieces.append(Arc(along(begins, spoke, -radius), axis, spoke, radius, angle))
        here, ahead = along(corner, direction, back), direction
    pieces.append(Straight(here, ahead, distance(here, corners[-1])))
    return pieces
