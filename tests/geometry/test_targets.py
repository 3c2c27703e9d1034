"""What a bend offers to whoever measures against it: points where planes cut it, each on it, none left out."""

import numpy as np
import pytest

from pipemodel.geometry.shapes.bends import Bends

RADIUS, BEND = 7.5, 55.0


def some_bends(dice, n):
    """Bends at all angles somewhere about (300, -200, 100), with their own axes."""
    u = dice.normal(size=(n, 3))
    u /= np.linalg.norm(u, axis=1)[:, None]
    v = np.cross(u, dice.normal(size=(n, 3)))
    v /= np.linalg.norm(v, axis=1)[:, None]
    centre = np.array([300.0, -200.0, 100.0]) + dice.uniform(-50, 50, (n, 3))
    yes = np.ones(n, dtype=bool)
    angle = dice.uniform(0.3, np.pi, n)
    return Bends(centre, u, v, np.full(n, BEND), angle, np.full(n, RADIUS), np.arange(n), yes, yes)


def axis_of(bends, k, turn):
    """Points of a bend's axis at angles about its centre."""
    return bends.centre[k] + BEND * (np.cos(turn)[:, None] * bends.u[k] + np.sin(turn)[:, None] * bends.v[k])


def test_a_plane_through_a_bend_meets_its_axis_just_where_that_crosses_it():
    """The axis laid out here in small steps: every crossing is among the points offered, and all of those are on it."""
    dice, crossings, none = np.random.default_rng(5), 0, 0
    bends = some_bends(dice, 200)
    index = np.arange(200)
    normal = dice.normal(size=(200, 3))
    normal /= np.linalg.norm(normal, axis=1)[:, None]
    through = np.array([axis_of(bends, k, np.array([dice.uniform(0.0, 2.5)]))[0] for k in index])
    offered = bends.piercings(index, through, normal)
    assert offered.shape[::2] == (200, 3)
    for k in index:
        points = offered[k][~np.isnan(offered[k]).any(axis=1)]
        assert np.abs((points - through[k]) @ normal[k]).max(initial=0.0) < 1e-9
        turn = np.linspace(0.0, bends.angle[k], 20_001)
        height = (axis_of(bends, k, turn) - through[k]) @ normal[k]
        at = np.flatnonzero(height[:-1] * height[1:] < 0.0)
        for place in axis_of(bends, k, turn[at]):
            assert np.linalg.norm(points - place, axis=1).min() < 0.02
            crossings += 1
        none += not len(at)
        # Nothing is offered that does not lie in the bend or on its skin: so far from its axis at most.
        near = np.linalg.norm(points[:, None] - axis_of(bends, k, turn[::20])[None], axis=2).min(axis=1, initial=np.inf)
        assert (near <= RADIUS + 0.01).all()
    assert crossings > 100
    assert none > 20


@pytest.mark.slow
def test_the_farthest_of_a_bend_any_way_is_among_its_extremes():
    """Against its skin laid out in small steps, flat ends and all."""
    dice = np.random.default_rng(6)
    bends = some_bends(dice, 60)
    way = dice.normal(size=(60, 3))
    way /= np.linalg.norm(way, axis=1)[:, None]
    offered = bends.extremes(np.arange(60), way)
    round_it = np.linspace(0.0, 2.0 * np.pi, 721)
    for k in range(60):
        axis = np.cross(bends.u[k], bends.v[k])
        turn = np.linspace(0.0, bends.angle[k], 361)
        spoke = np.cos(turn)[:, None] * bends.u[k] + np.sin(turn)[:, None] * bends.v[k]
        out = np.cos(round_it)[None, :, None] * spoke[:, None] + np.sin(round_it)[None, :, None] * axis
        skin = (axis_of(bends, k, turn)[:, None] + RADIUS * out) @ way[k]
        assert abs(np.nanmax(offered[k] @ way[k]) - skin.max()) < 0.01
        low, high = (corner[k] for corner in bends.rows)
        places = (axis_of(bends, k, turn)[:, None] + RADIUS * out).reshape(-1, 3)
        assert (places >= low - 1e-9).all()
        assert (places <= high + 1e-9).all()
