"""Towers, pads and bases of round figures, put together by hand for the tests of a jig's parts."""

import numpy as np

from pipemodel.jigs.base import Base, BaseBar, Pad
from pipemodel.jigs.cradles import Cradle
from pipemodel.jigs.towers import Tower, TowerPlace

EAST, NORTH = np.array([1.0, 0.0]), np.array([0.0, 1.0])


def tower(along=EAST, origin=(0.0, 0.0, 40.0), clearance=1.0):
    """A level tower 40 mm long and 24 wide."""
    place = TowerPlace(np.array(origin), along, np.array([-along[1], along[0]]), 0.0, 1.0)
    return Tower(Cradle(1, 0, 0.0, 40.0, clearance), place, (0.0, 40.0), 12.0, (0.0, 40.0, -12.0, 12.0), 7.5, 0.2)


def pads_at(centres, half=20.0, holes=True):
    square = half * np.array([(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)])
    return tuple(
        Pad(i, square + c, np.array([c + [0.0, 15.0], c - [0.0, 15.0]]) if holes else np.zeros((0, 2)), c, EAST)
        for i, c in enumerate(np.array(centres, dtype=float))
    )


def based(centres, edges, half=13.0):
    c = np.array(centres, dtype=float)
    return Base(pads_at(c), tuple(BaseBar(a, b, c[a], c[b], half) for a, b in edges), 5.0)
