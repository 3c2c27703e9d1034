"""A piece against itself during its pulls, by walking along it: shares nothing with the planner but the bend table.

A straight tube is walked in steps of two or three millimetres. Where a bend is made it curves at the finished radius;
where one is being pulled, as much of it as the groove has taken up curves at the radius it has before it springs back.
Places on the axis nearer than a diameter, and with more than two diameters of tube between them, are an overlap.
"""

import math

import numpy as np
from scipy.spatial import cKDTree

STEP_MM = 2.5


def stretches(run, made, bend, held, angle_deg, taken):
    """The tube as (length, curvature, roll of the plane) from the start end on."""
    out, at, roll = [], 0.0, 0.0
    for b in run.table.bends:
        roll += b.turn_deg
        curved = []
        if b.number in made:
            curved = [(b.start_mm, b.finish_mm, 1.0 / b.radius_mm)]
        elif b.number == bend and taken > 0.0:
            ends = (b.start_mm, b.start_mm + taken) if held == "start" else (b.finish_mm - taken, b.finish_mm)
            curved = [(*ends, math.radians(angle_deg) / taken)]
        for low, high, k in curved:
            out += [(low - at, 0.0, roll), (high - low, k, roll)]
            at = high
    return [*out, (run.cut_length_mm - at, 0.0, roll)]


def axis_points(run, made, bend=None, held="start", angle_deg=0.0, taken=0.0):
    """Points on the axis (n, 3), and how far along the tube each is."""
    here, ahead, normal, rolled = np.zeros(3), np.array([1.0, 0, 0]), np.array([0, 0, 1.0]), 0.0
    points, places, at = [here], [0.0], 0.0
    for length, k, roll in stretches(run, made, bend, held, angle_deg, taken):
        if length <= 0.0:
            continue
        if k:
            turn = math.radians(roll - rolled)
            normal = normal * math.cos(turn) + np.cross(ahead, normal) * math.sin(turn)
            rolled = roll
        n = max(1, math.ceil(length / STEP_MM))
        s = length * np.arange(1, n + 1) / n
        if k:
            left = np.cross(normal, ahead)
            points.append(here + np.outer(np.sin(k * s) / k, ahead) + np.outer((1 - np.cos(k * s)) / k, left))
            ahead = ahead * math.cos(k * length) + left * math.sin(k * length)
        else:
            points.append(here + np.outer(s, ahead))
        here = points[-1][-1]
        places.append(at + s)
        at += length
    return np.vstack(points), np.hstack(places)


def gap(run, made, bend=None, held="start", angle_deg=0.0, taken=0.0, within=18.0):
    """The least distance of two axis places that are not neighbours along the tube; `within` where none is nearer."""
    points, places = axis_points(run, made, bend, held, angle_deg, taken)
    pairs = cKDTree(points).query_pairs(within, output_type="ndarray")
    pairs = pairs[np.abs(places[pairs[:, 0]] - places[pairs[:, 1]]) > 2.0 * run.tube.outside_mm]
    if not len(pairs):
        return within
    return float(np.linalg.norm(points[pairs[:, 0]] - points[pairs[:, 1]], axis=1).min())


def least_gap(run, made, bend, held, step_deg=1.0, enough=0.0):
    """The least gap through a pull and its springing back; ends at the first below `enough`."""
    one = run.table.bends[bend - 1]
    pull = run.pull_deg(one)
    steps = [(pull * f, one.arc_mm * f) for f in np.linspace(0.0, 1.0, max(2, math.ceil(pull / step_deg) + 1))]
    steps += [(angle, one.arc_mm) for angle in np.linspace(pull, one.angle_deg, 4)]
    least = math.inf
    for angle, taken in reversed(steps):
        least = min(least, gap(run, made, bend, held, angle, taken))
        if least < enough:
            break
    return least
