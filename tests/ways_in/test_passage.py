"""Whether points fit into a straight passage however they are turned: known solids, and random turns by scipy."""

import numpy as np
import pytest
from scipy.optimize import linprog
from scipy.spatial.transform import Rotation
from wide import few_or_many

from pipemodel.ways_in.passage import SURE, lacking
from pipemodel.ways_in.proofs import hull_of

TETRAHEDRON = 100.0 * np.array([[1, 1, 1], [1, -1, -1], [-1, 1, -1], [-1, -1, 1]]) / np.sqrt(8.0)
BLOCK = 100.0 * np.array([[x, y, z] for x in (0, 3.0) for y in (0, 2.0) for z in (0, 0.7)])


def rectangle(wide, high):
    return np.array([[0.0, 0.0], [wide, 0.0], [wide, high], [0.0, high]])


def ring(radius, sides=48):
    turns = np.arange(sides) * 2.0 * np.pi / sides
    return radius * np.stack([np.cos(turns), np.sin(turns)], axis=1) + (30.0, -20.0)


@pytest.mark.slow
@pytest.mark.parametrize(
    ("points", "hull"),
    [
        # Worked by hand. Seen across two opposite edges of 100 it is a square of 100 / sqrt 2, its least width.
        (TETRAHEDRON, rectangle(100.0 / np.sqrt(2.0), 100.0 / np.sqrt(2.0))),
        # No side of 300 x 200 x 70 is seen smaller than by its end of 200 x 70: its least width is 70.
        (BLOCK, rectangle(900.0, 70.0)),
        # A ring that holds an end of 200 x 70 has half the diagonal.
        (BLOCK, ring(np.hypot(100.0, 35.0))),
    ],
)
def test_what_just_fits(points, hull) -> None:
    """With 2 mm kept off where there is no room for it, 1 to 2 are lacking; with sides 1 farther out, nothing."""
    assert SURE * 2.0 - 0.01 <= lacking(points, hull, 2.0) <= 2.0 + 1e-9
    assert lacking(points, hull, -1.0) == 0.0


@pytest.mark.slow
@pytest.mark.parametrize("seed", few_or_many(range(6), range(60)))
def test_no_turn_that_is_tried_has_more_room(seed: int) -> None:
    """What is lacking is no more than in the best of many random turns, by linear programming."""
    rng = np.random.default_rng(seed)
    points = rng.normal(size=(int(rng.integers(4, 12)), 3)) * (120.0, 60.0, rng.uniform(1.0, 60.0))
    hull = hull_of(rng.normal(size=(int(rng.integers(4, 30)), 2)) * rng.uniform(30.0, 90.0, size=2))
    if seed % 3 == 0:
        hull = ring(rng.uniform(30.0, 120.0))
    along = np.roll(hull, -1, axis=0) - hull
    out = np.stack([along[:, 1], -along[:, 0]], axis=1) / np.linalg.norm(along, axis=1)[:, None]
    heights = np.einsum("ij,ij->i", out, hull)
    best = np.inf
    # The long way of the points mostly along the passage, as it fits best.
    for turn in [
        *Rotation.random(60, random_state=seed),
        *(Rotation.from_rotvec(rng.normal(size=3) * 0.3) for _ in range(60)),
    ]:
        seen = turn.apply(points)[:, [1, 2]]
        reach = (seen @ out.T).max(axis=0)
        found = linprog(
            [0, 0, 1], np.column_stack([out, -np.ones(len(out))]), heights - reach, bounds=[(None, None)] * 3
        )
        best = min(best, float(found.x[2]))
    keep = float(rng.uniform(0.0, 20.0))
    assert lacking(points, hull, keep) <= max(best + keep, 0.0) + 1e-6
