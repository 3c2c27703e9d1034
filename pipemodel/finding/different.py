"""Whether two ways are truly different, and where to stand in the way of one to find another."""

from collections.abc import Sequence

import numpy as np

from pipemodel.finding.values import Way
from pipemodel.geometry.arrays import Floats
from pipemodel.geometry.centreline import Centreline
from pipemodel.geometry.vectors import Vec3, distance

DIFFERENT_MM = 60.0
DIFFERENT_SHARE = 0.05
"""Ways that are nowhere farther apart than this, or than this share of the length of the best, are one way."""
SAMPLES = 80


def middles_of(corners: Sequence[Vec3]) -> list[Vec3]:
    """Return the middles of the legs between two bends, the longest first; of a way without any its corners."""
    inner = sorted(zip(corners[1:-2], corners[2:-1], strict=True), key=lambda leg: -distance(*leg))
    if not inner:
        return list(corners[1:-1])
    return [(((a[0] + b[0]) / 2.0), (a[1] + b[1]) / 2.0, (a[2] + b[2]) / 2.0) for a, b in inner]


def different_mm(best: Way) -> float:
    """Return how far apart ways must be at one place at least to count as two."""
    return max(DIFFERENT_MM, DIFFERENT_SHARE * best.length_mm)


def apart_mm(one: Way, other: Way) -> float:
    """Return how far two ways are apart where they are farthest."""
    a, b = _spots(one.solved.centreline), _spots(other.solved.centreline)
    between = np.linalg.norm(a[:, None] - b[None], axis=2)
    return float(max(between.min(axis=1).max(), between.min(axis=0).max()))


def _spots(line: Centreline) -> Floats:
    return np.array([line.point_at(float(s)) for s in np.linspace(0.0, line.length, SAMPLES)])
