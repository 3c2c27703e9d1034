"""What a piece's own weight can make of it while it lies in a jig: tube bends, and what was out may seat all the same.

Every cradle and prop may carry any share of the weight, upwards, as long as all of it is carried and nothing turns;
what the tube then gives, bending and twisting, comes on top of how a rigid piece lies. So much more is possible than
what comes about (a cradle that does not touch carries nothing), and a fault that is refused in all of it is refused
for certain.

Small deflections of a slender tube, by how fast it turns along itself: bending moment / E I, twisting moment / G J,
with G J = E I / (1 + nu) for a round tube (Roark's Formulas for Stress and Strain, tables of beams and of torsion;
Poisson's ratio of copper from memory). Bends are counted as stiff as legs.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from pipemodel.jigs.layout import JigLayout, leg_begins
from pipemodel.jigs.run_in_jig import Array
from pipemodel.jigs.sag import stiffness_of
from pipemodel.trade.model import Tube

POISSON = 0.34
UP = np.array([0.0, 0.0, 1.0])


@dataclass(frozen=True)
class Springs:
    """How a piece gives, point by point: `hanging` (n, 3) under its weight, (n, 3, k) under 1 N up at each support.

    All with its start held; `balance` (3, k) and `weight` (3,) say how supports carry it all and keep it from turning.
    """

    hanging: Array
    lifted: Array
    balance: Array
    weight: Array


def springs_of(layout: JigLayout, tube: Tube, props: Sequence[float], points: Array) -> Springs:
    """Return how a piece gives at `points` (n,) along its centreline; `props` stand so far along it."""
    weight, stiffness = stiffness_of(tube)
    axis = layout.axis
    steps = np.diff(axis.points, axis=0)
    long = np.linalg.norm(steps, axis=1)
    kept = long > 1e-9
    # Chords of bends are a little short: what is measured along the tube is brought to their length.
    middles, ahead = ((axis.points[1:] + axis.points[:-1]) / 2.0)[kept], (steps / np.maximum(long, 1e-9)[:, None])[kept]
    at = np.concatenate([[0.0], np.cumsum(long[kept])])
    long = long[kept]
    half, held = (at[1:] + at[:-1]) / 2.0, _supports(layout, props)
    spots = axis.at(held)
    # Moments of what lies beyond each place: weight, then 1 N up at each support.
    beyond = weight * (at[-1] - at[1:] + long / 2.0)
    firsts = (weight * long[:, None] * middles)[::-1].cumsum(axis=0)[::-1] - weight * long[:, None] * middles / 2.0
    moments = [np.cross(firsts - middles * beyond[:, None], -UP)]
    lifts = zip(held, spots, strict=True)
    moments += [np.where((s > half)[:, None], np.cross(spot - middles, UP), 0.0) for s, spot in lifts]
    turns = np.stack(moments, axis=2)
    twist = np.einsum("ij,ijk->ik", ahead, turns)
    turns = (turns + POISSON * ahead[:, :, None] * twist[:, None, :]) * (long / stiffness)[:, None, None]
    # What has turned before a point carries it: the sum of turn x (point - place).
    sums = np.concatenate([np.zeros((1, *turns.shape[1:])), np.cumsum(turns, axis=0)])
    arms = np.cross(turns, middles[:, :, None], axisa=1, axisb=1, axisc=1)
    arms = np.concatenate([np.zeros((1, *arms.shape[1:])), np.cumsum(arms, axis=0)])
    index = np.clip(np.searchsorted(half, points), 0, len(half))
    spots_of = axis.at(points)
    gives = np.cross(sums[index], spots_of[:, :, None], axisa=1, axisb=1, axisc=1) - arms[index]
    total, centre = weight * at[-1], (long[:, None] * middles).sum(axis=0) / at[-1]
    rows = np.vstack([np.ones(len(held)), spots[:, :2].T])
    return Springs(gives[:, :, 0], gives[:, :, 1:], rows, total * np.array([1.0, *centre[:2]]))


def at_rest(layout: JigLayout, tube: Tube, props: Sequence[float], points: Array) -> Array:
    """Return how high (n,), mm, a true piece lies at `points` over where a weightless one would, all supports true.

    Supports push up or not at all: those that would have to pull are let go, the hardest pulled first.
    """
    held = _supports(layout, props)
    supports = len(held)
    springs = springs_of(layout, tube, props, np.concatenate([held, points]))
    hanging, lifted = springs.hanging[:, 2], springs.lifted[:, 2]
    bears = np.ones(supports, dtype=bool)
    while True:
        rows, n = springs.balance[:, bears], int(bears.sum())
        system = np.block([[lifted[:supports][bears][:, bears], rows.T], [rows, np.zeros((3, 3))]])
        answer = np.linalg.lstsq(system, np.concatenate([-hanging[:supports][bears], springs.weight]), rcond=None)[0]
        if n <= 3 or answer[:n].min() >= 0.0:
            break
        bears[np.flatnonzero(bears)[int(np.argmin(answer[:n]))]] = False
    tilt = np.column_stack([np.ones(len(points)), layout.axis.at(points)[:, :2]])
    lies: Array = hanging[supports:] + lifted[supports:][:, bears] @ answer[:n] + tilt @ answer[n:]
    return lies


def _supports(layout: JigLayout, props: Sequence[float]) -> Array:
    """Return where along the points of the tube it may rest: at both ends of every cradle, then on props."""
    starts, scale = leg_begins(layout), layout.axis.along[-1] / layout.axis.length_mm
    cradled = (starts[t.cradle.leg] + a for t in layout.towers for a in t.ends_mm)
    return np.array([*cradled, *(p * scale for p in props)])
