"""Which way up a run lies: all directions searched for one that is low, light, steady, and open to lay into."""

from math import radians, sin

import numpy as np
from numpy.typing import NDArray

from pipemodel.jigs.cores import RIB_MM
from pipemodel.jigs.cradles import USUAL_MM
from pipemodel.jigs.run_in_jig import Array, RunAxis
from pipemodel.jigs.towers import MOST_POST_MM
from pipemodel.jigs.windows import bar_mm2
from pipemodel.job.jig import JigSettings

TIMBER_MM2 = 20.0
"""Plastic, mm3, that a post shorter by 1 mm is worth."""
DIRECTIONS = 3000
"""Directions over the whole sphere that are weighed, about two degrees apart."""


def directions(axis: RunAxis) -> Array:
    """Return unit vectors (n, 3) worth trying as up: the normals of every two legs, and a sphere full besides."""
    d = np.array([g.direction for g in axis.legs])
    special: list[Array] = []
    for i in range(len(d)):
        for j in range(i + 1, len(d)):
            normal = np.cross(d[i], d[j])
            size = np.linalg.norm(normal)
            if size > 1e-6:
                special += [normal / size, -normal / size]
    spread = axis.points - axis.points.mean(axis=0)
    _, _, principal = np.linalg.svd(spread, full_matrices=False)
    for row in principal:
        special += [row, -row]
    k = np.arange(DIRECTIONS)
    z = 1.0 - (2.0 * k + 1.0) / DIRECTIONS
    turn = k * np.pi * (3.0 - np.sqrt(5.0))
    r = np.sqrt(1.0 - z * z)
    sphere = np.column_stack([r * np.cos(turn), r * np.sin(turn), z])
    return np.vstack([np.array(special), sphere])


def weigh(axis: RunAxis, ups: Array, settings: JigSettings) -> Array:
    """Return roughly how much plastic (mm3) each direction asks for, infinite where it will not do.

    It will not where a leg would be too steep, or stand higher all along than the bed. Towers count by their height
    and a foot that widens with it, the base by its length in plan.
    """
    d = np.array([g.direction for g in axis.legs])
    sine = np.abs(ups @ d.T)
    steep = np.any(sine > sin(radians(settings.steepest_deg)), axis=1)
    tall = _heights(axis, ups, settings)
    wide = axis.outside_mm + 2.0 * settings.tolerance.position_mm + 10.0
    if settings.base == "timber":
        return _weigh_timber(tall, sine, wide, steep)
    spread = 0.08 * np.maximum(tall - 30.0, 0.0)
    towers = (tall * RIB_MM * (2.0 * USUAL_MM + wide + 3.0 * spread)).sum(axis=1)
    chords = np.array([g.direction * g.length for g in axis.legs])
    level = np.sqrt(np.maximum((chords**2).sum(axis=1) - (ups @ chords.T) ** 2, 0.0)).sum(axis=1)
    cost: Array = towers + level * bar_mm2(settings.bar_mm, settings.plate_mm)
    # A slope asks the hand to hold the piece to its line: between equals, the flatter way up is the better.
    cost = cost * (1.0 + 0.3 * (sine**2).max(axis=1))
    cost[steep | (_needed(tall) > settings.bed.z_mm)] = np.inf
    return cost


def _weigh_timber(tall: Array, sine: Array, wide: float, steep: NDArray[np.bool_]) -> Array:
    """Weigh directions for cradles on posts: plastic by how steep a cradle is, timber by a share of its height."""
    slope = np.repeat(np.tan(np.arcsin(np.minimum(sine, 0.99))), 2, axis=1)
    cradles = USUAL_MM * wide * (10.0 + USUAL_MM * slope)
    cost: Array = (cradles + TIMBER_MM2 * tall).sum(axis=1)
    cost[steep | (_needed(tall) > MOST_POST_MM)] = np.inf
    return cost


def _heights(axis: RunAxis, ups: Array, settings: JigSettings) -> Array:
    """Return how high a tower at each end of each leg would stand, for each direction; never too much."""
    ends = np.array([g.at(s) for g in axis.legs for s in (0.0, g.length)])
    floor = (ups @ axis.points.T).min(axis=1, keepdims=True)
    out: Array = ups @ ends.T - floor + settings.plate_mm + axis.outside_mm
    return out


def _needed(tall: Array) -> Array:
    """Return the height a bed must have at the least: every leg's lower end, and both ends of the run, must fit."""
    pairs = tall.reshape(len(tall), -1, 2).min(axis=2)
    out: Array = np.maximum(pairs.max(axis=1), np.maximum(tall[:, 0], tall[:, -1]))
    return out


def lowest_height(axis: RunAxis, settings: JigSettings) -> float:
    """Return the least height of a jig over all directions that keep every leg from being too steep; else infinite."""
    ups = directions(axis)
    sine = np.abs(ups @ np.array([g.direction for g in axis.legs]).T)
    flat = np.all(sine <= sin(radians(settings.steepest_deg)), axis=1)
    return float(_needed(_heights(axis, ups[flat], settings)).min()) if np.any(flat) else float("inf")


def best_first(axis: RunAxis, settings: JigSettings, many: int) -> Array:
    """Return the most promising directions (m, 3), m at most `many`, best first and no two within five degrees."""
    ups = directions(axis)
    cost = weigh(axis, ups, settings)
    top = _polished(axis, ups[np.argsort(cost, kind="stable")[:6]], settings)
    ups = np.vstack([ups, top])
    cost = np.concatenate([cost, weigh(axis, top, settings)])
    chosen: list[Array] = []
    for i in np.argsort(np.round(cost, 3), kind="stable"):
        if not np.isfinite(cost[i]) or len(chosen) >= many:
            break
        if all(float(ups[i] @ c) < np.cos(radians(5.0)) for c in chosen):
            chosen.append(ups[i])
    return np.array(chosen).reshape(-1, 3)


def _polished(axis: RunAxis, ups: Array, settings: JigSettings) -> Array:
    """Return each direction moved downhill in weight, by ever smaller steps round it."""
    for step in (1.0, 0.5, 0.25, 0.1):
        ring = radians(step) * np.array([(np.cos(t), np.sin(t)) for t in np.arange(8) * np.pi / 4.0])
        for _ in range(3):
            around: list[Array] = []
            for up in ups:
                x = np.cross(up, np.eye(3)[int(np.argmin(np.abs(up)))])
                x /= np.linalg.norm(x)
                near = np.vstack([up, up + ring @ np.array([x, np.cross(up, x)])])
                near /= np.linalg.norm(near, axis=1, keepdims=True)
                around.append(near[int(np.argmin(weigh(axis, near, settings)))])
            ups = np.array(around)
    return ups


def steady(axis: RunAxis, supports: Array) -> bool:
    """Tell whether the piece rests without toppling: its weight falls between its supports (n, 2) in plan."""
    return steadiness(axis, supports) >= -1e-6


def steadiness(axis: RunAxis, supports: Array) -> float:
    """Return how far inside its supports (n, 2) in plan the weight of a piece falls, mm; below zero it topples."""
    weights = np.linalg.norm(np.diff(axis.points, axis=0), axis=1)
    middles = (axis.points[1:, :2] + axis.points[:-1, :2]) / 2.0
    at = (middles * weights[:, None]).sum(axis=0) / weights.sum()
    # Inside the hull of the supports when no direction leaves the weight beyond all of them: none square to a line
    # through two of them, and none from one of them to the weight.
    one, two = np.triu_indices(len(supports), 1)
    lines = supports[two] - supports[one]
    square = np.column_stack([-lines[:, 1], lines[:, 0]])
    rays = np.vstack([square, -square, at - supports])
    long = np.linalg.norm(rays, axis=1)
    rays = rays[long > 1e-9] / long[long > 1e-9, None]
    return float(((supports @ rays.T).max(axis=0) - rays @ at).min())
