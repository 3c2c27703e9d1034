"""Least widths of known solids, and of random points by the faces and edges of scipy's hulls."""

from itertools import combinations

import numpy as np
import pytest
from scipy.spatial import ConvexHull

from pipemodel.ways_in.least_width import least_width

TETRAHEDRON = np.array([[1, 1, 1], [1, -1, -1], [-1, 1, -1], [-1, -1, 1]]) / np.sqrt(8.0)
OCTAHEDRON = np.concatenate([np.eye(3), -np.eye(3)]) / np.sqrt(2.0)
CUBE = np.array([[x, y, z] for x in (0, 1) for y in (0, 1) for z in (0, 1)], float)


@pytest.mark.parametrize(
    ("points", "width"),
    [
        # Edge 1: between opposite edges, 1 / sqrt 2; between opposite faces, sqrt(2/3); worked by hand.
        (TETRAHEDRON, np.sqrt(0.5)),
        (OCTAHEDRON, np.sqrt(2.0 / 3.0)),
        (CUBE, 1.0),
        (CUBE * (3.0, 2.0, 0.7), 0.7),
        (np.array([[0.0, 0, 0], [1, 0, 0], [0, 1, 0]]), 0.0),
    ],
)
def test_known_solids(points, width) -> None:
    low, high = least_width(100.0 * points)
    assert low <= 100.0 * width + 1e-9
    assert high >= 100.0 * width - 1e-9
    assert high - low <= 0.05 + 1e-9


@pytest.mark.parametrize("seed", range(12))
def test_the_width_is_reached_on_a_face_or_between_two_edges_of_the_hull(seed: int) -> None:
    """Every face's normal and every pair of edges is asked (Houle and Toussaint's condition, from memory)."""
    rng = np.random.default_rng(seed)
    points = rng.normal(size=(int(rng.integers(4, 14)), 3)) * (300.0, 150.0, rng.uniform(10.0, 200.0))
    hull = ConvexHull(points)
    ways = [row[:3] for row in hull.equations]
    edges = {tuple(sorted(pair)) for simplex in hull.simplices for pair in combinations(simplex.tolist(), 2)}
    for (a, b), (c, d) in combinations(edges, 2):
        way = np.cross(points[b] - points[a], points[d] - points[c])
        if np.linalg.norm(way) > 1e-9:
            ways.append(way / np.linalg.norm(way))
    true = min(np.ptp(points @ way) for way in ways)
    low, high = least_width(points)
    assert low <= true + 1e-9
    assert true <= high + 1e-9
    assert high - low <= 0.05 + 1e-9
