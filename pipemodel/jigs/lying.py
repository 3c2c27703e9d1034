"""How a piece lies in its slots: where each of its points belongs, and what moving the piece does to them."""

from dataclasses import dataclass, replace
from math import degrees

import numpy as np
from numpy.typing import NDArray

from pipemodel.bending.bends import BendTable, centreline_of
from pipemodel.geometry.arrays import vec3
from pipemodel.jigs.layout import JigLayout
from pipemodel.jigs.run_in_jig import Array, rotation_about

ARM_MM = 100.0
"""Turns of the piece are counted in mm at this distance, so that all unknowns are of one size."""


@dataclass(frozen=True)
class SlotRules:
    """Where points of a piece belong, `place` (n, 3), and along which `direction` (n, 3) each is judged.

    It lies `s` (n,), mm, along its `leg` (n,), which points `way` (n, 3). `end` (n,) is whether it is the run's very
    end. `clearance` (n,) is the number of what judges it: i is leg i's, the two after those of the legs are the
    stops'; `tower` (n,) says whose.
    """

    leg: NDArray[np.int_]
    s: Array
    place: Array
    direction: Array
    way: Array
    end: NDArray[np.bool_]
    clearance: NDArray[np.int_]
    tower: NDArray[np.int_]


def slot_rules(layout: JigLayout) -> SlotRules:
    """Return where points of a piece belong in a jig: both ends of each cradle, two ways, and what stands at a stop."""
    rows: list[tuple[int, float, Array, Array, Array, bool, int, int]] = []
    legs = layout.axis.legs
    for number, tower in enumerate(layout.towers):
        cradle = tower.cradle
        leg = legs[cradle.leg]
        across = np.array([*tower.place.across, 0.0])
        for s in tower.ends_mm:
            for direction in (across, np.cross(leg.direction, across)):
                rows.append((leg.index, s, leg.at(s), direction, leg.direction, False, leg.index, number))
        if cradle.stop:
            at = 0.0 if cradle.stop == "start" else leg.length
            clearance = len(legs) + (cradle.stop == "finish")
            rows.append((leg.index, at, leg.at(at), leg.direction, leg.direction, True, clearance, number))
    return SlotRules(*map(np.array, zip(*rows, strict=True)))


def clearances_of(layout: JigLayout) -> Array:
    """Return the clearance of every leg's slots, then those of the two stops; 0 where there are none."""
    legs = len(layout.axis.legs)
    out = np.zeros(legs + 2)
    for tower in layout.towers:
        cradle = tower.cradle
        out[cradle.leg] = cradle.clearance_mm
        if cradle.stop:
            out[legs + (cradle.stop == "finish")] = cradle.stop_mm
    return out


@dataclass(frozen=True)
class Pose:
    """How a piece was moved from where it is drawn: turned (3, 3) about the middle of its run, then shifted (3,)."""

    turned: Array
    shifted: Array

    def further(self, movement: Array) -> "Pose":
        """Return the pose after one more movement (6,): a shift, and a turn counted in mm at an arm's length."""
        angle = float(np.linalg.norm(movement[3:])) / ARM_MM
        if angle < 1e-12:
            return replace(self, shifted=self.shifted + movement[:3])
        turn = rotation_about(vec3(movement[3:] / (angle * ARM_MM)), degrees(angle))
        return Pose(turn @ self.turned, turn @ self.shifted + movement[:3])


AS_DRAWN = Pose(np.eye(3), np.zeros(3))
STILL = np.zeros(6)


def off_by(layout: JigLayout, rules: SlotRules, table: BendTable, pose: Pose = AS_DRAWN) -> tuple[Array, Array]:
    """Return how far and which way each rule's point lies off (n, 3), and what small movements add to that (n, 6)."""
    legs = centreline_of(table).straights
    middle = layout.axis.points.mean(axis=0)
    turned = pose.turned @ layout.rotation
    from_middle = pose.turned @ (layout.offset - middle) + pose.shifted
    starts = (np.array([leg.start for leg in legs]) @ turned.T + from_middle)[rules.leg]
    aheads = (np.array([leg.direction for leg in legs]) @ turned.T)[rules.leg]
    lengths = np.array([leg.length for leg in legs])[rules.leg]
    places = rules.place - middle
    # Where the tube as made passes through the cradle's own cross-section: it may slide along itself.
    slope = (aheads * rules.way).sum(axis=1)
    through = ((places - starts) * rules.way).sum(axis=1) / slope
    ends = np.where(rules.clearance == len(legs), 0.0, lengths)
    points = starts + aheads * np.where(rules.end, ends, through)[:, None]
    slides = np.where(rules.end, 0.0, (aheads * rules.direction).sum(axis=1) / slope)
    directions = rules.direction - rules.way * slides[:, None]
    return points - places, np.hstack([directions, np.cross(points, directions) / ARM_MM])
