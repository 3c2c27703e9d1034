"""How deep, against points sampled closely on axis, side and flat ends, by the formula for a point in a box."""

import numpy as np
import pytest
from distance_specimens import rng, straight_line, stub, wandering
from test_distance_invariants import as_mesh

from pipemodel.geometry.distance import least_distances
from pipemodel.geometry.shapes import Box, Extrusion, HalfSpace

SPOKES = 90


def sampled(line, outside):
    """Points on the axis, and on the outside, flat ends and all."""
    along = np.linspace(0.0, line.length, 801)
    axis = np.array([line.point_at(s) for s in along])
    ways = np.array([line.direction_at(s) for s in along])
    u = np.cross(ways, np.eye(3)[np.abs(ways).argmin(axis=1)])
    u /= np.linalg.norm(u, axis=1)[:, None]
    v = np.cross(ways, u)
    turn = np.linspace(0.0, 2.0 * np.pi, SPOKES, endpoint=False)
    ring = np.cos(turn)[None, :, None] * u[:, None] + np.sin(turn)[None, :, None] * v[:, None]
    radius = outside / 2.0
    discs = [axis[k] + share * radius * ring[k] for k in (0, -1) for share in np.linspace(0.0, 1.0, 12)]
    return axis, np.concatenate([(axis[:, None] + radius * ring).reshape(-1, 3), *discs])


def depth_in(box, points):
    return np.minimum(points - np.array(box.low), np.array(box.high) - points).min(axis=-1)


@pytest.mark.slow
def test_wholly_within_it_is_the_axis_at_its_deepest_and_the_radius():
    counted = 0
    for seed in range(60):
        dice = rng(seed)
        line, outside = stub(dice) if seed % 3 else (wandering(dice, 1), 15.0)
        axis, skin = sampled(line, outside)
        low, high = (
            end + sign * np.array([dice.uniform(1.0, 80.0) for _ in range(3)])
            for end, sign in ((skin.min(axis=0), -1.0), (skin.max(axis=0), 1.0))
        )
        box = Box(tuple(map(float, low)), tuple(map(float, high)))
        (found,) = least_distances(line, outside, [box])
        wanted = float(depth_in(box, axis).max()) + outside / 2.0
        between = line.length / 800.0
        assert -found.distance == pytest.approx(wanted, abs=between)
        assert -found.distance >= wanted - 1e-6
        # The place is where it says, and the surface as far from it as the axis lies deep.
        assert depth_in(box, np.array(line.point_at(found.at))) == pytest.approx(wanted - outside / 2.0, abs=between)
        assert depth_in(box, np.array(found.other)) == pytest.approx(0.0, abs=1e-6)
        counted += wanted > float(depth_in(box, skin).max()) + 1.0
        if seed % 3 == 1:
            (x0, y0, z0), (x1, y1, z1) = box.low, box.high
            outline = Extrusion(((x0, y0), (x1, y0), (x1, y1), (x0, y1)), z0, z1)
            for other in least_distances(line, outside, [as_mesh(box), outline]):
                assert other.distance == pytest.approx(found.distance, abs=2e-3)
    assert counted > 20


@pytest.mark.slow
def test_no_point_of_the_outside_lies_deeper_than_is_said():
    counted = 0
    for seed in range(50):
        dice = rng(seed)
        line, outside = stub(dice) if seed % 3 else (wandering(dice, 1), 15.0)
        axis, skin = sampled(line, outside)
        half = np.array([dice.choice([3.0, 10.0, 40.0, 100.0]) * dice.uniform(0.5, 1.5) for _ in range(3)])
        at_end = dice.random() < 0.5
        middle = axis[dice.choice([0, -1]) if at_end else dice.randrange(801)]
        middle = middle + np.array([dice.uniform(-1.0, 1.0) for _ in range(3)]) * (half if at_end else outside)
        box = Box(tuple(map(float, middle - half)), tuple(map(float, middle + half)))
        deepest = float(depth_in(box, skin).max())
        if deepest > 0.05:
            counted += 1
            assert -least_distances(line, outside, [box])[0].distance >= deepest - 1e-6
    assert counted > 40


@pytest.mark.parametrize("deep", [0.5, 3.0, 20.0])
def test_an_end_in_a_wall_is_as_deep_as_it_went_in(deep):
    wall = HalfSpace((100.0 - deep, 0.0, 0.0), (-1.0, 0.0, 0.0))
    (found,) = least_distances(straight_line((0, 0, 0), (100, 0, 0)), 15.0, [wall])
    assert found.distance == pytest.approx(-deep, abs=1e-9)
