"""Centrelines with names that tell, and random ones, for the tests of solids; exact figures to hold them to."""

import math
import random

import numpy as np

from pipemodel.bending.bends import bend_corners, centreline_of
from pipemodel.geometry.centreline import Arc

RADIUS = 55.0
FAR = 1.0e6


def line(corners, radius=RADIUS, joined=()):
    """The centreline through some corners, every bend of one radius."""
    return centreline_of(bend_corners([tuple(map(float, c)) for c in corners], radius, frozenset(joined))[0])


SPECIMENS = {
    "straight": line([(0, 0, 0), (100, 20, 5)]),
    "one 90": line([(0, 0, 0), (300, 0, 0), (300, 300, 0)]),
    "one degree": line([(0, 0, 0), (300, 0, 0), (600, 300 * math.tan(math.radians(1.0)), 0)]),
    "set": line([(0, 0, 0), (300, 0, 0), (600, 60, 0), (900, 60, 0)]),
    "two planes": line([(0, 0, 0), (300, 0, 0), (300, 300, 0), (300, 300, 300)]),
    "return bend of 180": line([(0, 0, 0), (300, 0, 0), (300, 110, 0), (0, 110, 0)], joined=[1]),
    "bends that touch": line([(0, 0, 0), (300, 0, 0), (300, 110, 0), (300, 110, 300)]),
    "bends that touch and lie back": line([(0, 0, 0), (300, 0, 0), (300, 110, 0), (500, 110, 0)]),
    "begins and ends in a bend": line([(0, 0, 0), (55, 0, 0), (55, 355, 0), (55, 355, 55)]),
    "tight": line([(0, 0, 0), (300, 0, 0), (300, 300, 0), (300, 300, 300)], radius=8.0),
    "a turn of a millionth": line([(0, 0, 0), (300, 0, 0), (300, 300, 0), (600, 300, 300e-6)]),
    "far out": line(
        [(FAR, -FAR, FAR), (FAR + 300, -FAR, FAR), (FAR + 300, 300 - FAR, FAR), (FAR + 300, 300 - FAR, FAR + 300)]
    ),
}


def random_line(seed, bends=8, radius=RADIUS):
    """A run of bends in as many planes, some of them touching; it may cross itself, which no solid minds."""
    dice = random.Random(seed)
    angles = [dice.choice([5.0, 30.0, 45.0, 90.0, dice.uniform(10.0, 140.0)]) for _ in range(bends)]
    spare = [dice.choice([0.0, dice.uniform(1.0, 200.0)]) for _ in range(bends + 1)]
    setbacks = [0.0, *(radius * math.tan(math.radians(a) / 2.0) for a in angles), 0.0]
    ahead, here = np.array([1.0, 0.0, 0.0]), np.zeros(3)
    corners = [here]
    for i in range(bends + 1):
        here = here + ahead * (setbacks[i] + setbacks[i + 1] + spare[i])
        corners.append(here)
        if i < bends:
            side = np.cross(ahead, [dice.gauss(0, 1) for _ in range(3)])
            side /= np.linalg.norm(side)
            a = math.radians(angles[i])
            ahead = ahead * math.cos(a) + side * math.sin(a)
    return line(corners, radius)


def exact_volume(centreline, outside, wall):
    """Area of the section times the way its centre goes: Pappus's second theorem."""
    outer, inner = outside / 2.0, outside / 2.0 - wall
    return math.pi * (outer**2 - inner**2) * centreline.length


def exact_centre(centreline, outside, wall):
    """Centre of mass, piece by piece.

    That of a bend lies on its bisector, off the axis of bending by the mean of (R + x) over the section weighted
    with (R + x), which is R + (second moment of area) / (area R), times sin(a/2) / (a/2).
    """
    outer, inner = outside / 2.0, outside / 2.0 - wall
    moment = np.zeros(3)
    for piece in centreline.pieces:
        if isinstance(piece, Arc):
            half = math.radians(piece.angle_deg) / 2.0
            reach = (piece.radius + (outer**2 + inner**2) / (4.0 * piece.radius)) * math.sin(half) / half
            bisector = np.subtract(piece.point_at(piece.length / 2.0), piece.centre) / piece.radius
            middle = np.array(piece.centre) + reach * bisector
        else:
            middle = np.array(piece.point_at(piece.length / 2.0))
        moment += piece.length * middle
    return moment / centreline.length


def distance_to_axis(centreline, points):
    """The distance of each point (n, 3) to the axis, measured square to it; infinite beyond both ends."""
    least = np.full(len(points), np.inf)
    for piece in centreline.pieces:
        if piece.length == 0.0:
            continue
        if isinstance(piece, Arc):
            spoke, ahead = np.array(piece.spoke), np.array(piece.direction)
            apart = points - piece.centre
            x, y, z = apart @ spoke, apart @ ahead, apart @ np.array(piece.axis)
            # Angles from the middle of the bend, so that none lies near the jump at a half turn.
            half = math.radians(piece.angle_deg) / 2.0
            along = np.arctan2(y * math.cos(half) - x * math.sin(half), x * math.cos(half) + y * math.sin(half))
            away = np.hypot(np.hypot(x, y) - piece.radius, z)
            beside = np.abs(along) <= half + 1e-6
        else:
            apart = points - piece.start
            s = apart @ np.array(piece.direction)
            away = np.linalg.norm(apart - s[:, None] * np.array(piece.direction), axis=1)
            beside = (s >= -1e-6) & (s <= piece.length + 1e-6)
        least = np.where(beside, np.minimum(least, away), least)
    return least
