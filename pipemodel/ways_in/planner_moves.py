"""What a hand does with a bent piece: slide it along a leg, thread it round a bend, turn it about an end, tip it."""

from collections.abc import Sequence

import numpy as np

from pipemodel.geometry.arrays import Floats
from pipemodel.geometry.centreline import Arc, Centreline
from pipemodel.ways_in.turning import held, matrix, turn_between, turned_about

STEP_DEG = 6.0
"""A turn about a point goes in steps no larger than this: between them the middle goes straight."""


class Moves:
    """The moves of one piece, in terms of its own legs and bends.

    Args:
        line: the axis of the piece in its place.
        middle: the middle of the piece, from which poses are measured.
        size_mm: how far a slide goes at the most.
        ways: further directions in the room to slide along, unit vectors.
    """

    def __init__(self, line: Centreline, middle: Floats, size_mm: float, ways: Sequence[Floats]) -> None:
        legs = [piece for piece in line.straights if piece.length > 1.0]
        self.legs = np.array([leg.direction for leg in legs]).reshape(-1, 3)
        arcs = [piece for piece in line.pieces if isinstance(piece, Arc)]
        self.centres = np.array([arc.centre for arc in arcs]).reshape(-1, 3) - middle
        self.axes = np.array([arc.axis for arc in arcs]).reshape(-1, 3)
        # What a hand holds stands first: the ends and the bends.
        points = [line.start, line.finish, *(arc.point_at(arc.length / 2.0) for arc in arcs)]
        self.held = len(points)
        points += [p for arc in arcs for p in (arc.start, arc.finish)]
        self.pivots = np.concatenate([np.array(points) - middle, np.zeros((1, 3))])
        self.size_mm = size_mm
        self.ways = np.array([*np.eye(3), *ways])

    def any_from(self, pose: Floats, rng: np.random.Generator) -> list[Floats]:
        """Return the poses of some move, one after the other, from the first one after `pose` on."""
        kind = rng.random()
        if kind < 0.4:
            return [self.slide(pose, rng)]
        if kind < 0.5:
            return [self.turn(self.slide(pose, rng), rng)[-1]]
        if kind < 0.65 and len(self.axes):
            k, spin = int(rng.integers(len(self.axes))), matrix(pose)
            return self._turn(pose, pose[:3] + spin @ self.centres[k], spin @ self.axes[k] * _sign(rng), rng)
        return self.turn(pose, rng)

    def aligned(self, low: Floats, high: Floats, count: int, rng: np.random.Generator) -> Floats:
        """Return poses anywhere in a block with some leg along a direction of the room, rolled anyhow: (n, 7)."""
        each, out = max(count // max(2 * len(self.legs) * len(self.ways), 1), 1), []
        for leg in self.legs:
            for way in (*self.ways, *-self.ways):
                first = turn_between(leg, way)
                half = np.pi * rng.random((each, 1))
                w, v = np.cos(half), np.sin(half) * way
                turns = np.concatenate(
                    [w * first[0] - v @ first[1:, None], w * first[1:] + first[0] * v + np.cross(v, first[1:])], axis=1
                )
                out.append(np.concatenate([rng.uniform(low, high, (each, 3)), turns], axis=1))
        return np.concatenate(out) if out else np.zeros((0, 7))

    def slide(self, pose: Floats, rng: np.random.Generator) -> Floats:
        """Return a pose slid along a leg, or along a direction of the room."""
        if rng.random() < 0.6 and len(self.legs):
            way = matrix(pose) @ self.legs[rng.integers(len(self.legs))]
        else:
            way = self.ways[rng.integers(len(self.ways))]
        far = self.size_mm * float(np.exp(-5.0 * rng.random()))
        return held(pose[:3] + _sign(rng) * far * way, pose[3:])

    def steady(self, pose: Floats, reach_mm: float, rng: np.random.Generator) -> Floats:
        """Return a turn about the middle by a radian or a slide by the reach, to go on with: shift and turn, (6,).

        About, or along, a leg, the axis of a bend or a direction of the room.
        """
        ways = np.concatenate([self.legs @ matrix(pose).T, self.axes @ matrix(pose).T, self.ways])
        way = _sign(rng) * ways[rng.integers(len(ways))]
        none = np.zeros(3)
        return np.concatenate([none, way] if rng.random() < 0.6 else [reach_mm * way, none])

    def turn(self, pose: Floats, rng: np.random.Generator) -> list[Floats]:
        """Return the poses of a turn about an end, a bend or the middle, step by step."""
        spin = matrix(pose)
        pivot = pose[:3] + spin @ self.pivots[rng.integers(len(self.pivots))]
        choice = rng.random()
        if choice < 0.35 and len(self.legs):
            axis = spin @ self.legs[rng.integers(len(self.legs))]
        elif choice < 0.6 and len(self.axes):
            axis = spin @ self.axes[rng.integers(len(self.axes))]
        elif choice < 0.85:
            axis = self.ways[rng.integers(len(self.ways))]
        else:
            axis = rng.normal(size=3)
            axis /= np.linalg.norm(axis)
        return self._turn(pose, pivot, axis * _sign(rng), rng)

    def _turn(self, pose: Floats, pivot: Floats, axis: Floats, rng: np.random.Generator) -> list[Floats]:
        angle = np.pi * float(np.exp(-4.5 * rng.random()))
        steps = int(np.ceil(np.degrees(angle) / STEP_DEG))
        return [turned_about(pose, pivot, axis, angle * (k + 1) / steps) for k in range(steps)]


def _sign(rng: np.random.Generator) -> float:
    return 1.0 if rng.random() < 0.5 else -1.0
