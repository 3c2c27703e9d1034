"""Pads, bars, holes, distances and liners, one by one: figures worked out by hand, shapes by shapely."""

import math
from dataclasses import replace

import numpy as np
import pytest
import trimesh
from jig_bases import EAST, NORTH, based, tower
from jig_pieces import PLAIN, jig_of, whole
from shapely.geometry import Polygon, box

from pipemodel.jigs.accuracy import check_distances, give_of
from pipemodel.jigs.base import BaseBar, _drillable, along_bar, overlap, pad_of
from pipemodel.jigs.build import body_of
from pipemodel.jigs.carve import round_outline
from pipemodel.jigs.cradles import clearance_for
from pipemodel.jigs.inserts import inserts_of
from pipemodel.jigs.split import BarJoint, Cut, PartPlan
from pipemodel.job.jig import Bed, Tolerance


def test_joints_swing_by_their_gap_over_half_the_bar_and_carry_the_farthest_pad():
    base = based([(0.0, 0.0), (300.0, 0.0)], [(0, 1)], PLAIN.bar_mm / 2.0)
    found = give_of(base, Cut((), (BarJoint(0, 100.0), BarJoint(0, 150.0))), PLAIN)
    swing = math.atan(PLAIN.joint_gap_mm / (PLAIN.bar_mm / 2.0))
    assert found.joint_deg == pytest.approx(math.degrees(swing))
    # From the farther pad, 200 mm to one joint and 150 to the other.
    assert found.far_mm == pytest.approx(350.0 * math.sin(swing))
    assert give_of(base, Cut((), ()), PLAIN) is None


def test_distances_go_from_part_to_part_and_across_between_pads_with_both_holes():
    centres = [(0.0, 0.0), (100.0, 0.0), (200.0, 80.0), (300.0, 80.0), (420.0, 0.0)]
    base = based(centres, [])
    parts = Cut(tuple(PartPlan(t, ()) for t in ((0, 1), (2, 3), (), (4,))), ())
    found = {(d.cradle, d.other): d.distance_mm for d in check_distances(base, parts)}
    wanted = {(1, 3), (1, 4), (3, 5), (1, 5)}
    assert set(found) == wanted
    for a, b in wanted:
        assert found[a, b] == pytest.approx(math.dist(centres[a - 1], centres[b - 1]))
    pads = (replace(base.pads[0], holes=base.pads[0].holes[:1]), *base.pads[1:])
    assert (1, 3) not in {(d.cradle, d.other) for d in check_distances(replace(base, pads=pads), parts)}


@pytest.mark.parametrize("along", [EAST, NORTH, np.array([-0.6, 0.8])])
def test_a_pad_has_an_ear_each_side_with_a_hole_and_a_number_and_room_for_a_label(along):
    """Screw of 4 mm: ears of 11 mm with a hole midway; on one side at one end, with the number at the other."""
    left = np.array([-along[1], along[0]])
    stands = tower(along, (5.0, 7.0, 40.0))
    settings = replace(PLAIN, screw_mm=4.0)

    def spot(a, b):
        return np.array([5.0, 7.0]) + a * along + b * left

    pad = pad_of(0, stands, settings)
    corners = [spot(0.0, -23.0), spot(40.0, -23.0), spot(40.0, 23.0), spot(0.0, 23.0)]
    assert pad.outline == pytest.approx(np.array(corners))
    assert pad.holes == pytest.approx(np.array([spot(4.5, 17.5), spot(20.0, -17.5)]))
    assert pad.label_at == pytest.approx(spot(36.0, 17.5))
    assert pad.label_along == pytest.approx(-left)
    assert pad.text_at is None
    lettered = pad_of(0, stands, settings, 60.0)
    corners = [spot(-15.0, -31.5), spot(40.0, -31.5), spot(40.0, 31.5), spot(-15.0, 31.5)]
    assert lettered.outline == pytest.approx(np.array(corners))
    assert lettered.text_at == pytest.approx(spot(-7.5, 0.0))
    # The pad of a short foot is as long as a screw's head and a number are.
    short = pad_of(0, replace(stands, foot=(10.0, 20.0, -12.0, 12.0)), settings)
    assert np.ptp(short.outline @ along) == pytest.approx(16.0)
    assert short.outline.mean(axis=0) == pytest.approx(spot(15.0, 0.0))


def test_a_hole_under_another_tower_is_left_out():
    settings = replace(PLAIN, screw_mm=4.0)
    one = tower()
    pad = pad_of(0, one, settings)
    for y, kept in ((17.5 + 12.0 + 4.5, 2), (17.5 + 12.0 + 3.5, 1), (-17.5 - 12.0 - 3.5, 1), (-17.5 - 12.0 - 4.5, 2)):
        other = tower(origin=(0.0, y, 40.0))
        found = _drillable(pad, (one, other), settings)
        assert len(found.holes) == kept
        if kept == 1:
            assert np.sign(found.holes[0, 1]) == -np.sign(y)


def quadrilaterals(dice, count):
    for _ in range(count):
        corners = dice.uniform(-1.0, 1.0, 2) * 60.0 + dice.normal(0.0, 20.0, (7, 2))
        yield np.array(Polygon(corners).convex_hull.exterior.coords)[:-1][:: dice.choice([-1, 1])]


def test_outlines_overlap_as_another_library_finds_and_a_gap_is_kept_on_the_safe_side():
    dice = np.random.default_rng(7)
    met = clear = 0
    shapes = list(quadrilaterals(dice, 60))
    for p, q in zip(shapes[::2], shapes[1::2], strict=True):
        apart = Polygon(p).distance(Polygon(q))
        assert overlap(p, q) is (apart == 0.0)
        for gap in (1.0, 8.0):
            if apart < gap:
                assert overlap(p, q, gap)
            elif apart > 1.5 * gap:
                clear += not overlap(p, q, gap)
        met += apart == 0.0
    assert met > 5
    assert clear > 5


def test_what_an_outline_takes_up_of_a_bar_is_what_lies_within_its_strip():
    dice = np.random.default_rng(8)
    taken = 0
    for outline in quadrilaterals(dice, 40):
        start = dice.uniform(-50.0, 50.0, 2)
        angle = dice.uniform(0.0, 2.0 * math.pi)
        bar = BaseBar(0, 1, start, start + 120.0 * np.array([math.cos(angle), math.sin(angle)]), 13.0)
        assert bar.length == pytest.approx(120.0)
        for gap in (0.0, 2.0):
            turned = np.array([[math.cos(angle), math.sin(angle)], [-math.sin(angle), math.cos(angle)]])
            inside = Polygon((outline - start) @ turned.T).intersection(box(-999.0, -13.0 - gap, 999.0, 13.0 + gap))
            found = along_bar(bar, outline, gap)
            if inside.is_empty:
                assert found is None
            else:
                taken += 1
                assert found == pytest.approx((inside.bounds[0] - gap, inside.bounds[2] + gap))
    assert taken > 20


def test_outlines_near_each_other_are_found_by_their_boxes():
    base = based([(0.0, 0.0), (200.0, 0.0), (0.0, 300.0)], [(0, 1)])
    # Pads 0, 1, 2 and the bar, number 3.
    assert base.near(0, 1.0) == [3]
    assert base.near(2, 1.0) == []
    assert base.near(0, 270.0) == [1, 2, 3]
    assert base.taken_along(0, 0.5) == [pytest.approx((-20.5, 20.5)), pytest.approx((179.5, 220.5))]


def test_screw_holes_are_drawn_round_the_screw():
    ring = Polygon(round_outline(np.array([4.0, 5.0]), 4.4))
    assert (ring.centroid.x, ring.centroid.y) == pytest.approx((4.0, 5.0))
    assert ring.exterior.distance(ring.centroid) == pytest.approx(2.2)


@pytest.mark.slow
def test_a_liner_too_thin_to_print_is_left_out_with_its_thickness():
    jig = jig_of("flat set")
    settings = whole(inserts=True, tolerance=Tolerance(1.0, 0.05))
    towers = [replace(t, cradle=replace(t.cradle, clearance_mm=1.0)) for t in jig.layout.towers]
    made, left_out = inserts_of(towers, settings)
    assert made == ()
    # Slots of 1 mm, the finest 0.3: liners of 0.7, and the nozzle draws two lines of 0.4.
    assert str(left_out[0]) == "no liner for cradle 1: it would be 0.70 mm thick, and the nozzle needs 0.8"
    assert len(left_out) == len(towers)
    same = [replace(t, cradle=replace(t.cradle, clearance_mm=0.3)) for t in jig.layout.towers]
    assert inserts_of(same, settings) == ((), ())


@pytest.mark.slow
def test_a_liner_is_a_u_with_a_lip_that_reaches_six_millimetres_out_past_its_slot():
    """Slot of 3 mm a side, liner up to the fine one: areas of two slices, worked out as rectangles."""
    settings = whole(bed=Bed(400.0, 400.0, 400.0), inserts=True, gauges=False)
    jig = jig_of("flat set", settings)
    stands = jig.layout.towers[1]
    made, _ = inserts_of([stands], settings)
    body = body_of(made[0].solid)
    mesh = trimesh.Trimesh(body.vertices, body.faces)
    fine = clearance_for(
        stands.cradle.span_mm, stands.cradle.beyond_mm, replace(settings, inserts=False, decision="fine")
    )
    half, gap = 7.5 + 3.0 + 0.1 - 0.15, 7.5 + fine + 0.1
    low, high, thick = -10.5, 7.5 + fine, 3.0 - fine
    floor = 2.0 * gap * thick
    for z, out in ((1.5, half + 6.0), (8.0, half)):
        cut_at = mesh.section(plane_origin=[0, 0, z], plane_normal=[0, 0, 1])
        shape = Polygon(np.asarray(max(cut_at.discrete, key=len))[:, :2]).buffer(0)
        if z > 3.0:
            assert shape.area == pytest.approx(2.0 * (out - gap) * (high - low) + floor, rel=1e-3)
        assert shape.bounds == pytest.approx((-out, low, out, high), abs=1e-3)


@pytest.mark.parametrize("corner", [(1, 1), (1, -1), (-1, 1), (-1, -1)])
def test_a_hole_keeps_its_square_clear_at_all_four_corners(corner):
    """A foot of 40 x 24 whose corner reaches into the square of the screw's size round the hole, or stays outside."""
    settings = replace(PLAIN, screw_mm=4.0)
    one = tower()
    pad = pad_of(0, one, settings)
    for hole in pad.holes:
        for off, kept in ((3.2, 1), (4.8, 2)):
            x, y = hole + off * np.array(corner)
            other = tower(origin=(x if corner[0] > 0 else x - 40.0, y + 12.0 * corner[1], 40.0))
            alone = replace(pad, tower=7)  # the pad's own tower is in nobody's way
            found = _drillable(alone, (other,), settings).holes
            assert len(found) == kept
            if kept == 1:
                assert not np.allclose(found[0], hole)
