"""Which way up a piece lies in its jig, and where: figures worked out by hand."""

import math
from dataclasses import replace

import numpy as np
import pytest
from jig_pieces import PIECES, PLAIN
from shapely.affinity import rotate
from shapely.geometry import MultiPoint, Point, Polygon

from pipemodel.jigs import choose
from pipemodel.jigs.layout import JigLayout, lay
from pipemodel.jigs.run_in_jig import RunAxis, axis_of
from pipemodel.jigs.way_up import best_first, directions, steadiness, weigh
from pipemodel.job.jig import Bed, Tolerance


def test_weight_of_a_way_up_by_hand():
    """One leg, 15 mm tube: two towers and an open bar, up to where a leg is too steep.

    A tower has two flanges 16 long and a rib 31 wide, 1.2 thick, spread by 0.08 of what it stands above 30; a bar has
    two rails of 2.5, and for every 60 mm a rib as wide.
    """
    axis = axis_of(PIECES["straight"])
    leg = axis.legs[0]
    length = leg.length
    across = np.array([0.0, 0.0, 1.0])
    settings = replace(PLAIN, tolerance=Tolerance(3.0, 1.0))
    for slope in (0.0, 20.0, settings.steepest_deg + 1.0):
        up = across * math.cos(math.radians(slope)) + leg.direction * math.sin(math.radians(slope))
        rises = length * math.sin(math.radians(slope))
        talls = [settings.base_mm + 15.0 + more for more in (0.0, rises)]
        towers = sum(t * 1.2 * (2.0 * 16.0 + 31.0 + 3.0 * 0.08 * max(0.0, t - 30.0)) for t in talls)
        section = (2.0 * 2.5 + (20.0 - 2.0 * 2.5) * 2.5 / 60.0) * settings.base_mm
        plan = length * math.cos(math.radians(slope)) * section
        wanted = (towers + plan) * (1.0 + 0.3 * math.sin(math.radians(slope)) ** 2)
        found = weigh(axis, np.array([up]), replace(settings, bed=Bed(900.0, 900.0, 900.0)))[0]
        assert found == (pytest.approx(wanted) if slope <= settings.steepest_deg else np.inf)
        low = replace(settings, bed=Bed(900.0, 900.0, max(talls) - 0.1))
        assert weigh(axis, np.array([up]), low)[0] == np.inf


def test_directions_cover_the_sphere_and_the_normals_of_every_two_legs():
    axis = axis_of(PIECES["two planes"])
    ups = directions(axis)
    assert np.linalg.norm(ups, axis=1) == pytest.approx(1.0)
    asked = np.random.default_rng(4).normal(size=(300, 3))
    asked /= np.linalg.norm(asked, axis=1, keepdims=True)
    nearest = np.degrees(np.arccos(np.clip((asked @ ups.T).max(axis=1), -1.0, 1.0)))
    assert nearest.max() < 4.0
    ways = [g.direction for g in axis.legs]
    for i, a in enumerate(ways):
        for b in ways[i + 1 :]:
            normal = np.cross(a, b)
            for sign in (1.0, -1.0):
                size = np.linalg.norm(normal)
                assert size < 1e-6 or (ups @ (sign * normal / size)).max() == pytest.approx(1.0, abs=1e-12)


def test_the_best_ways_up_are_apart_and_a_flat_piece_lies_flat():
    for name in ("flat set", "two planes"):
        axis = axis_of(PIECES[name])
        best = best_first(axis, PLAIN, 10)
        assert len(best) == 10
        cosines = best @ best.T - np.eye(10)
        assert np.degrees(np.arccos(cosines.max())) > 4.999
        costs = weigh(axis, best, PLAIN)
        assert np.all(np.diff(costs) >= -1e-3)
        assert costs[0] <= weigh(axis, directions(axis), PLAIN).min() + 1e-6
    flat = best_first(axis_of(PIECES["flat set"]), PLAIN, 4)[0]
    assert abs(flat[2]) == pytest.approx(1.0, abs=1e-3)


@pytest.mark.parametrize("name", ["flat set", "two planes", "four bends"])
def test_a_laid_run_starts_on_the_left_is_wider_than_deep_and_stands_clear_of_the_base(name):
    axis = axis_of(PIECES[name])
    seen = 0
    for up in best_first(axis, PLAIN, 6):
        laid = lay(axis, up, PLAIN)
        if not isinstance(laid, JigLayout):
            continue
        seen += 1
        assert laid.rotation @ laid.rotation.T == pytest.approx(np.eye(3), abs=1e-12)
        assert np.linalg.det(laid.rotation) == pytest.approx(1.0)
        assert laid.rotation @ up == pytest.approx([0.0, 0.0, 1.0], abs=1e-9)
        points = axis.points @ laid.rotation.T + laid.offset
        assert laid.axis.points == pytest.approx(points)
        assert points[-1, 0] >= points[0, 0] - 1e-9
        size = np.ptp(points, axis=0)
        assert size[0] >= size[1] - 1e-6
        # No turn in plan makes a smaller rectangle, by more than the three degrees it is searched in.
        hull = Polygon(points[:, :2]).convex_hull if size[1] > 1.0 else None
        if hull is not None and hull.area > 1.0:
            smallest = min(
                (b[2] - b[0]) * (b[3] - b[1]) for b in (rotate(hull, t, origin=(0, 0)).bounds for t in range(0, 90, 3))
            )
            assert size[0] * size[1] <= smallest * 1.25
        # The tube's edge at zero in plan; below it base, tolerance and 1 mm, or more where a slot's floor asks for it.
        assert points[:, :2].min(axis=0) == pytest.approx([7.5, 7.5])
        clear = points[:, 2].min() - 7.5 - PLAIN.base_mm
        assert clear >= PLAIN.tolerance.position_mm + 1.0 - 1e-9
        # The lines in the floor, 0.6 deep and 2 mm beyond the block, leave the base whole, and are no higher than that.
        floors = [
            t.place.height(a, -(7.5 + PLAIN.tolerance.position_mm)) - 0.6 - PLAIN.base_mm
            for t in laid.towers
            for a in (t.top[0] - 2.0, t.top[1] + 2.0)
        ]
        assert min(floors) >= -1e-6
        if clear > PLAIN.tolerance.position_mm + 1.001:
            assert min(floors) < 0.1  # A stop stands a little farther out the wider its slot is.
    assert seen > 2


@pytest.mark.parametrize("seed", range(8))
def test_a_weight_is_as_steady_as_the_hull_of_its_supports_says(seed):
    """By shapely: how far inside the hull the weight falls, or how far outside it, for hulls wide and narrow."""
    dice = np.random.default_rng(seed)
    axis = axis_of(PIECES["two planes"])
    lengths = np.linalg.norm(np.diff(axis.points, axis=0), axis=1)
    weight = ((axis.points[1:, :2] + axis.points[:-1, :2]) / 2.0 * lengths[:, None]).sum(axis=0) / lengths.sum()
    supports = weight + dice.normal(size=(6, 2)) * [300.0, dice.choice([2.0, 20.0, 200.0])] + dice.normal(size=2) * 30.0
    hull = MultiPoint(supports).convex_hull
    away = hull.exterior.distance(Point(weight))
    assert steadiness(axis, supports) == pytest.approx(away if hull.contains(Point(weight)) else -away, abs=1e-6)


@pytest.mark.parametrize(("aside", "kept"), [(20.0, [0, 1, 2, 4]), (-20.0, [0, 1, 2, 3])])
def test_cradles_are_added_until_the_weight_falls_ten_millimetres_inside(aside, kept, monkeypatch):
    """A level line from 0 to 400: three cradles leave its middle 5 mm inside, which does not do on a printed base.

    The fourth stands 20 or -20 mm aside: it helps only where it is beyond the others' line; the fifth helps either way.
    """
    monkeypatch.setattr(choose, "supports_of", lambda layout: np.vstack(layout.towers))
    line = np.linspace((0.0, 0.0, 10.0), (400.0, 0.0, 10.0), 101)
    axis = RunAxis(15.0, (), line, np.zeros(101, dtype=np.int64), 1.0)
    at = [(0.0, -5.0), (400.0, -5.0), (200.0, 60.0), (200.0, aside), (200.0, -15.0)]
    layout = JigLayout(axis, np.eye(3), np.zeros(3), tuple(np.array([p]) for p in at), (), ())
    assert choose._steadied(layout, [0, 1, 2]) == kept
