"""Where cradles, slots, stops and joints go when there is little room: hand-made legs, every figure worked out here."""

from dataclasses import replace

import numpy as np
import pytest
import trimesh
from jig_pieces import jig_of, whole
from made_runs import made_run

from pipemodel.geometry.shapes import Mesh
from pipemodel.jigs.base import Base, BaseBar, Pad
from pipemodel.jigs.carve import _edge_lines, _ledge
from pipemodel.jigs.cores import cores, tower_plastic
from pipemodel.jigs.cradles import LEAST_MM, Cradle, usable, wanted
from pipemodel.jigs.labels import lines_for
from pipemodel.jigs.layout import _in_the_way, _slid
from pipemodel.jigs.printing import check_part
from pipemodel.jigs.run_in_jig import JigLeg, RunAxis, axis_of
from pipemodel.jigs.split import _clusters
from pipemodel.jigs.towers import Skin, Tower, TowerPlace, place_of
from pipemodel.job.jig import Bed, Print, Tolerance

SETTINGS = whole(gauges=False, tolerance=Tolerance(position_mm=2.0))
EAST, NORTH = np.array([1.0, 0.0]), np.array([0.0, 1.0])


def test_legs_know_at_which_end_they_meet_a_bend():
    ends = [(leg.bend_before, leg.bend_after) for leg in axis_of(made_run([200, 40, 200], [90, 90])).legs]
    assert ends == [(False, True), (True, True), (True, False)]
    assert [(leg.bend_before, leg.bend_after) for leg in axis_of(made_run([200], [])).legs] == [(False, False)]


def test_a_leg_too_short_for_two_cradles_gets_one_and_a_shorter_one_none():
    """Two want 2 x 16 + 6 of straight; 2 stay free beside each bend. So 40 gives one, from 2 to 38, and 10 none."""
    slots = wanted(axis_of(made_run([200, 40, 200], [90, 90])), SETTINGS)
    assert [(c.leg, c.low_mm, c.high_mm, c.stop) for c in slots.cradles] == [
        (0, 0.0, 16.0, "start"), (0, 182.0, 198.0, None), (1, 2.0, 38.0, None), (2, 2.0, 18.0, None),
        (2, 184.0, 200.0, "finish")]  # fmt: skip
    assert slots.unjudged == ()
    slots = wanted(axis_of(made_run([200, 10, 30], [90, 90])), SETTINGS)
    assert [(c.leg, c.low_mm, c.high_mm, c.stop) for c in slots.cradles] == [
        (0, 0.0, 16.0, "start"), (0, 182.0, 198.0, None), (2, 2.0, 30.0, "finish")]  # fmt: skip
    assert slots.unjudged == (1,)
    assert slots.cradles[0].stop_mm == SETTINGS.tolerance.at_start_mm
    assert slots.cradles[2].stop_mm == SETTINGS.tolerance.at_finish_mm


def level_tower(stop):
    """A level tower 40 mm long, its axis 40 high, with 1.5 to its stop and a printer's allowance of 0.2."""
    cradle = Cradle(1, 0, 0.0, 40.0, 1.0, stop=stop, stop_mm=1.5)
    place = TowerPlace(np.array((0.0, 0.0, 40.0)), EAST, NORTH, 0.0, 1.0)
    return Tower(cradle, place, (-6.0, 46.0), 12.0, (-6.0, 46.0, -12.0, 12.0), 7.5, 0.2)


@pytest.mark.parametrize(("stop", "low", "high"), [(None, -8.0, 48.0), ("start", -1.6, 48.0), ("finish", -8.0, 41.6)])
def test_a_slot_ends_at_its_stop_and_runs_out_through_the_foot_elsewhere(stop, low, high):
    points = level_tower(stop).channel()
    assert (points[:, 0].min(), points[:, 0].max()) == pytest.approx((low, high))
    # The tube fills 7.5 and 1 each way, and the printer closes a slot by 0.2.
    assert (points[:, 1].min(), points[:, 1].max()) == pytest.approx((-8.6, 8.6))
    assert points[:, 2].min() == pytest.approx(40.0 - 8.5)


@pytest.mark.parametrize(("stop", "low", "high"), [(None, -8.0, 48.0), ("start", 0.0, 48.0), ("finish", -8.0, 40.0)])
def test_the_lines_under_the_edges_of_the_tube_end_where_the_ideal_tube_does(stop, low, high):
    lines = _edge_lines(level_tower(stop))
    assert len(lines) == 2
    boxes = []
    for line in lines:
        points = np.asarray(line)
        boxes.append((points.min(axis=0), points.max(axis=0)))
    for small, large in boxes:
        assert (small[0], large[0]) == pytest.approx((low, high), abs=1e-6)
    # One under each edge of the tube, 7.5 to either side.
    (left, right) = sorted((small[1] + large[1]) / 2.0 for small, large in boxes)
    assert -left == pytest.approx(right)
    assert right == pytest.approx(7.5, abs=0.6)


def leg_and_skin(blocked_at):
    """A level leg of 200, 40 up, and a point of other tube in the way above one place on it."""
    axis = axis_of(made_run([200], [])).moved(np.eye(3), np.array([0.0, 0.0, 40.0]))
    place = place_of(axis.legs[0])
    return axis, Skin(np.array([place.point(blocked_at, 0.0, 20.0)]), np.array([7]))


@pytest.mark.parametrize(
    ("stop", "blocked_at", "found"),
    [
        (None, 10.0, (12.0, 80.0)),
        (None, 70.0, (0.0, 68.0)),
        ("start", 70.0, (0.0, 68.0)),
        ("start", 10.0, None),
        ("finish", 10.0, (12.0, 80.0)),
        ("finish", 70.0, None),
        (None, 300.0, (0.0, 80.0)),
    ],
)
def test_a_lone_cradle_gives_way_at_the_end_that_has_no_stop(stop, blocked_at, found):
    """In steps of 4 from either end, until it is clear of the tube in its way; the end with the stop stays."""
    axis, skin = leg_and_skin(blocked_at)
    cradle = Cradle(0, 0, 0.0, 80.0, stop=stop, stop_mm=1.0)
    left = _slid(axis, [cradle], skin, SETTINGS)
    assert [(c.low_mm, c.high_mm) for c in left] == ([] if found is None else [found])
    assert found is None or found[1] - found[0] >= LEAST_MM


def test_why_a_cradle_or_a_stop_cannot_stand():
    axis, _ = leg_and_skin(10.0)
    mine = [Cradle(0, 0, 0.0, 16.0, 1.0, stop="start", stop_mm=1.0), Cradle(0, 0, 184.0, 200.0, 1.0, stop="finish")]
    settings = replace(SETTINGS, bed=Bed(200.0, 200.0, 180.0))
    crowded = (
        "stands clear of the rest of the tube within the 180 mm the bed has in height: the run passes too near itself; "
        "in two pieces, joined by a fitting, it gets two jigs"
    )
    stuck = _in_the_way(axis, mine, [], settings)
    assert (stuck.kind, str(stuck.reason)) == ("crowded", f"no cradle on leg 1 {crowded}")
    stuck = _in_the_way(axis, mine, ["start"], settings)
    assert (stuck.kind, str(stuck.reason)) == ("crowded", f"no stop on leg 1 {crowded}")
    # The cheeks end as high as the tube may reach: 40, half of 15, and 1.
    stuck = _in_the_way(axis, mine, [], replace(SETTINGS, bed=Bed(200.0, 200.0, 30.0)))
    assert (stuck.kind, stuck.measure) == ("height", pytest.approx(48.5))
    assert str(stuck.reason).startswith("on leg 1 the jig would stand 48 mm high and the bed has 30 mm: print on")


@pytest.mark.parametrize(("apart", "clusters"), [(60.0, [[0, 1]]), (70.0, [[0], [1]])])
def test_a_bar_with_no_room_for_a_joint_keeps_its_pads_together(apart, clusters):
    """Pads of 40 leave 20 or 30 of bar, less half a mm at each; a joint in a bar of 26 wants 11.84 to either side."""
    square = 20.0 * np.array([(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)])
    places = [np.array((300.0 + apart * i, 0.0)) for i in range(2)]
    pads = tuple(Pad(i, square + c, np.zeros((0, 2)), c, EAST) for i, c in enumerate(places))
    base = Base(pads, (BaseBar(0, 1, places[0], places[1], 13.0),), 5.0)
    assert 19.0 < 2.0 * (0.34 * 26.0 + 3.0) < 29.0
    tree = _clusters(base)
    assert tree.clusters == clusters
    assert list(tree.free) == ([] if len(clusters) == 1 else [0])


@pytest.mark.slow
def test_the_plastic_of_a_tower_is_weighed_about_as_it_prints():
    """Hull less pockets by another library; three lines of 0.4 all round, and 15 % of what is inside."""
    seen = 0
    for name in ("flat set", "two planes", "four bends"):
        for tower in jig_of(name).layout.towers:
            body = trimesh.convex.convex_hull(tower.body())
            for core in cores(tower):
                body = trimesh.boolean.difference([body, trimesh.convex.convex_hull(core)], engine="manifold")
                seen += 1
            shell = min(body.volume, 1.2 * body.area)
            assert 0.6 < tower_plastic(tower, Print()) / (shell + 0.15 * (body.volume - shell)) < 1.7
    assert seen > 6


def test_a_mesh_that_does_not_close_is_a_fault():
    stem = trimesh.creation.box((40, 40, 10), trimesh.transformations.translation_matrix((0, 0, 5)))
    open_box = Mesh(np.asarray(stem.vertices), stem.faces[:-1].astype(np.int64))
    found = check_part(open_box, Bed(), Print())
    assert not found.closed
    assert "its mesh does not close" in map(str, found.faults)


def test_a_long_name_is_cut_to_fourteen_letters():
    assert lines_for("abcdefghijklmnopqr", 1, 2, "A") == ("ABCDEFGHIJKLMN", "1/2 A UP")


@pytest.mark.parametrize(("rise", "beside"), [(0.6, 7.3), (-0.6, 7.3), (0.0, 2.0), (0.8, 8.8)])
def test_a_slot_on_a_slope_stays_on_straight_tube_top_and_bottom(rise, beside):
    """2 mm along the leg beside a bend, and 9.5 above and below the axis, leaning: 2 x 0.8 + 9.5 x 0.6 in plan."""
    level = (1.0 - rise * rise) ** 0.5
    for before, after in ((True, True), (True, False), (False, True), (False, False)):
        leg = JigLeg(0, np.zeros(3), np.array([level, 0.0, rise]), 100.0, before, after)
        low, high = usable(RunAxis(15.0, (leg,), np.zeros((0, 3)), np.zeros(0, np.int64), 100.0), leg, SETTINGS)
        assert low == pytest.approx(beside if before else 0.0)
        assert high == pytest.approx(100.0 * level - (beside if after else 0.0))


@pytest.mark.parametrize("stop_mm", [1.5, 14.0])
def test_the_step_in_the_cheeks_gives_way_to_the_lines_at_a_stop_and_keeps_its_share(stop_mm):
    """Seen from the stop the same at either end: the whole step beyond the lines, and some of the cheek beyond that."""
    made = {}
    for stop in ("start", "finish", None):
        tower = level_tower(stop)
        tower = replace(tower, cradle=replace(tower.cradle, stop_mm=stop_mm if stop else 0.0))
        points = np.asarray(_ledge(tower))
        made[stop] = points[:, 0].min(), points[:, 0].max()
        assert points[:, 2].min() == pytest.approx(40.0 + 7.5)
    low, high = made["start"]
    assert made["finish"] == pytest.approx((40.0 - high, 40.0 - low))
    assert low > stop_mm
    # At least what it is without a stop, or up to the last 15 % of the cheek.
    size = made[None][1] - made[None][0]
    assert made[None][0] == pytest.approx(40.0 - made[None][1])
    assert high == pytest.approx(max(made[None][1], min(low + size, 34.0)))
