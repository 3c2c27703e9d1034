"""A move in a tight place: on and on the same way, and a little aside wherever that alone does not go.

As a hand feels its way: a ladder round a corner turns and slides at once, and how much of each only the corner says.
"""

from collections.abc import Callable
from typing import TypeAlias

import numpy as np

from pipemodel.geometry.arrays import Floats
from pipemodel.ways_in.judge import Judge
from pipemodel.ways_in.turning import about, held, times

STEP_MM, LEAST_STEP_MM = 16.0, 1.0
"""No point goes farther in a step; and where nothing aside of it is clear, steps become half as long, down to that."""
MOST_STEPS, ASIDE = 60, 32
"""So many steps are gone at the most, and so many poses aside of where a step leads are looked at."""
WEIGHED, ENOUGH_MM = 4, 5.0
"""Of so many that are clear that one is taken which keeps off most, to so much."""


Way: TypeAlias = Callable[[Floats], Floats | None]
"""Of a pose, a shift and a turn about the middle, (6,), to go on with; None where it is gone."""


def glide(judge: Judge, pose: Floats, way_of: Way, rng: np.random.Generator) -> list[Floats]:
    """Return poses one after the other, each clear on the way from the one before, `pose` not among them.

    Args:
        judge: judges placements.
        pose: where it begins.
        way_of: which way to go on; by a step of one no point goes farther than the reach.
        rng: random numbers.
    """
    reach, drift, out = judge.reach_mm, np.zeros(6), list[Floats]()
    step = STEP_MM / reach
    while len(out) < MOST_STEPS and step * reach >= LEAST_STEP_MM and (way := way_of(pose)) is not None:
        went = _first(judge, pose, step * (way + drift)[None])
        if went is None:
            kept = np.outer(rng.random(ASIDE) < 0.7, step * drift)
            went = _first(judge, pose, step * way + kept + _aside(step * reach, reach, rng))
        if went is None:
            step *= 0.5
            continue
        # What went aside in this step most likely has to go on in the next.
        pose, by = went
        drift = by / step - way
        out.append(pose)
    return out


def always(way: Floats) -> Way:
    """Return one way for all poses."""
    return lambda _: way


def towards(target: Floats, reach_mm: float) -> Way:
    """Return the way to a pose, position and turn together."""

    def way(pose: Floats) -> Floats | None:
        turn = times(target[3:], pose[3:] * (1.0, -1.0, -1.0, -1.0))
        turn = turn if turn[0] >= 0.0 else -turn
        size = float(np.linalg.norm(turn[1:]))
        angle = 2.0 * float(np.arctan2(size, turn[0]))
        shift = target[:3] - pose[:3]
        far = float(np.linalg.norm(shift)) / reach_mm + angle
        if far * reach_mm < STEP_MM:
            return None
        return np.concatenate([shift, angle * turn[1:] / max(size, 1e-12)]) / far

    return way


def _first(judge: Judge, pose: Floats, steps: Floats) -> tuple[Floats, Floats] | None:
    """Return a pose that one of some steps leads to, clear all the way, and the step: what keeps off most."""
    poses = np.array([_moved(pose, one) for one in steps])
    good = np.flatnonzero(judge.clear(poses))[:WEIGHED]
    if len(good) > 1:
        good = good[np.argsort([-judge.clearance(poses[k], ENOUGH_MM)[0] for k in good], kind="stable")]
    return next(((poses[k], steps[k]) for k in good.tolist() if judge.advance(pose, poses[k]).share >= 1.0), None)


def _aside(size_mm: float, reach_mm: float, rng: np.random.Generator) -> Floats:
    """Return shifts and turns, (n, 6), the first of them none: from small to as far as a step; half turn too."""
    off = rng.normal(size=(ASIDE, 6)) * (size_mm * np.exp(-3.0 * rng.random((ASIDE, 1))))
    off[:, 3:] *= (rng.random((ASIDE, 1)) < 0.5) / reach_mm
    off[0] = 0.0
    out: Floats = off
    return out


def _moved(pose: Floats, by: Floats) -> Floats:
    """Return a pose shifted, and turned about the middle of the piece by a vector in radians."""
    angle = float(np.linalg.norm(by[3:]))
    turn = times(about(by[3:] / angle, angle), pose[3:]) if angle > 1e-12 else pose[3:]
    return held(pose[:3] + by[:3], turn)
