"""Pads, bars, joints, letters, liners and beds, one by one: figures worked out by hand, shapes by shapely."""

import math
from dataclasses import replace

import numpy as np
import pytest
import trimesh
from jig_pieces import PIECES, jig_of
from scipy.sparse.csgraph import minimum_spanning_tree
from scipy.spatial.distance import cdist
from shapely.affinity import rotate
from shapely.geometry import Polygon, box
from shapely.ops import unary_union

from pipemodel.jigs.accuracy import check_distances, give_of
from pipemodel.jigs.base import Base, BaseBar, Pad, _drillable, along_bar, base_of, overlap, pad_of
from pipemodel.jigs.build import body_of
from pipemodel.jigs.carve import lettering, round_outline
from pipemodel.jigs.cradles import Cradle, clearance_for
from pipemodel.jigs.glyphs import strokes, width_of
from pipemodel.jigs.inserts import inserts_of
from pipemodel.jigs.labels import label_solid, lines_for, place_label, towers_to_letter
from pipemodel.jigs.layout import JigLayout, lay
from pipemodel.jigs.plan import _cut_up
from pipemodel.jigs.plates import set_out
from pipemodel.jigs.run_in_jig import axis_of
from pipemodel.jigs.split import (
    BarJoint,
    Cut,
    PartPlan,
    TooBigError,
    _clusters,
    _Cutter,
    best_turn,
    cut,
    key_outline,
    longest_gap,
)
from pipemodel.jigs.towers import Tower, TowerPlace
from pipemodel.jigs.way_up import best_first, directions, weigh
from pipemodel.job.jig import Bed, JigSettings, Tolerance

PLAIN = JigSettings(gauges=False)
EAST, NORTH = np.array([1.0, 0.0]), np.array([0.0, 1.0])


def tower(along=EAST, origin=(0.0, 0.0, 40.0), clearance=1.0):
    """A level tower 40 mm long and 24 wide."""
    place = TowerPlace(np.array(origin), along, np.array([-along[1], along[0]]), 0.0, 1.0)
    return Tower(Cradle(1, 0, 0.0, 40.0, clearance), place, (0.0, 40.0), 12.0, (0.0, 40.0, -12.0, 12.0), 7.5, 0.2)


def pads_at(centres, half=20.0, holes=True):
    square = half * np.array([(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)])
    return tuple(
        Pad(i, square + c, np.array([c + [0.0, 15.0], c - [0.0, 15.0]]) if holes else np.zeros((0, 2)), c, EAST)
        for i, c in enumerate(np.array(centres, dtype=float))
    )


def based(centres, edges, half=13.0):
    c = np.array(centres, dtype=float)
    return Base(pads_at(c), tuple(BaseBar(a, b, c[a], c[b], half) for a, b in edges), 5.0)


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
    """Screw of 4 mm: ears of 11 mm; the hole a quarter from one end, the number a quarter from the other."""
    left = np.array([-along[1], along[0]])
    stands = tower(along, (5.0, 7.0, 40.0))
    settings = replace(PLAIN, screw_mm=4.0)

    def spot(a, b):
        return np.array([5.0, 7.0]) + a * along + b * left

    pad = pad_of(0, stands, settings)
    corners = [spot(0.0, -23.0), spot(40.0, -23.0), spot(40.0, 23.0), spot(0.0, 23.0)]
    assert pad.outline == pytest.approx(np.array(corners))
    assert pad.holes == pytest.approx(np.array([spot(10.0, 17.5), spot(30.0, -17.5)]))
    assert pad.label_at == pytest.approx(spot(30.0, 17.5))
    assert pad.label_along == pytest.approx(along)
    assert pad.text_at is None
    lettered = pad_of(0, stands, settings, 60.0)
    corners = [spot(-11.5, -38.0), spot(51.5, -38.0), spot(51.5, 23.0), spot(-11.5, 23.0)]
    assert lettered.outline == pytest.approx(np.array(corners))
    assert lettered.text_at == pytest.approx(spot(20.0, -29.5))
    # A short foot is made long enough for hole and number beside each other: 2 ears and 4 mm.
    short = pad_of(0, replace(stands, foot=(10.0, 20.0, -12.0, 12.0)), settings)
    assert np.ptp(short.outline @ along) == pytest.approx(26.0)
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


def test_a_key_is_a_dovetail_that_points_on_along_the_bar_and_its_slot_is_wider_all_round():
    base = based([(10.0, 5.0), (10.0, 305.0)], [(0, 1)])
    # Bar 26 wide, northwards: neck 0.18, head 0.27, depth 0.34 of that.
    rear = 4.68 - 2.34 / 8.84
    wanted = [(10 + rear, 104.0), (10 + 7.02, 113.84), (10 - 7.02, 113.84), (10 - rear, 104.0)]
    assert key_outline(base, BarJoint(0, 100.0)) == pytest.approx(np.array(wanted))
    wide = key_outline(base, BarJoint(0, 100.0), 0.2)
    assert wide[1:3] == pytest.approx(np.array([(10 + 7.22, 114.04), (10 - 7.22, 114.04)]))
    assert Polygon(wide).exterior.distance(Polygon(wanted).exterior.intersection(box(0, 105, 99, 999))) > 0.7 * 0.2


def test_a_part_is_turned_to_where_it_fits_the_bed():
    """A strip longer than the bed's sides lies cornerwise, and no longer than the corner; sizes by shapely."""
    bed = Bed(220.0, 180.0, 200.0)
    for size, fits in (((200.0, 150.0), True), ((150.0, 200.0), True), ((240.0, 20.0), True), ((275.0, 20.0), False)):
        strip = np.array(box(0.0, 0.0, *size).exterior.coords)
        turn, found, within = best_turn(strip, bed)
        low_x, low_y, high_x, high_y = rotate(Polygon(strip), turn, origin=(0.0, 0.0)).bounds
        assert found == pytest.approx((high_x - low_x, high_y - low_y))
        assert within is fits
        assert within is (found[0] <= 214.0 and found[1] <= 174.0)
    assert best_turn(np.array(box(0.0, 0.0, 150.0, 200.0).exterior.coords), bed)[0] == 90.0
    # What fits as it lies is not turned.
    assert best_turn(np.array(box(0.0, 0.0, 200.0, 150.0).exterior.coords), bed)[0] == 0.0


def test_the_longest_gap_is_the_longest_stretch_nothing_takes():
    dice = np.random.default_rng(9)
    none = 0
    for _ in range(60):
        starts = dice.integers(-20, 110, dice.integers(0, 7))
        taken = [(float(a), float(a + dice.integers(1, 60))) for a in starts]
        free = [not any(a <= k < b for a, b in taken) for k in range(100)]
        runs = [len(r) for r in "".join("x" if f else " " for f in free).split()]
        found = longest_gap(0.0, 100.0, taken)
        none += found is None
        assert (0.0 if found is None else found[1] - found[0]) == max(runs, default=0)
        assert found is None or all(free[int(found[0]) : int(found[1])])
    assert 0 < none < 50


def cut_or_size(base, bed):
    try:
        return cut(base, bed)
    except TooBigError as error:
        return error.size


def part_shape(base, part):
    outlines = [base.pads[t].outline for t in part.towers]
    outlines += [base.bars[k].stretch(a, b) for k, a, b in part.stretches]
    return unary_union([Polygon(o) for o in outlines])


def test_cut_up_bases_are_all_there_fit_the_bed_and_touch_at_joints_only():
    """Random pads on random trees, some with bars that run over other pads."""
    parts = made = over = 0
    for seed in range(40):
        dice = np.random.default_rng(seed)
        centres = dice.uniform(0.0, 420.0, (int(dice.integers(2, 7)), 2))
        tree = np.argwhere(minimum_spanning_tree(cdist(centres, centres)).toarray())
        if seed % 2:
            # Not the shortest: in a star, bars pass over pads and each other.
            tree = np.array([(0, i) for i in range(1, len(centres))])
        base = based(centres, [tuple(int(i) for i in e) for e in tree], 9.0)
        bed = Bed(*[[200.0, 180.0, 200.0], [300.0, 200.0, 200.0]][seed % 3 > 0])
        found = cut_or_size(base, bed)
        if not isinstance(found, Cut):
            assert max(found) > min(bed.x_mm, bed.y_mm) - 6.0
            continue
        made += 1
        assert sorted(t for p in found.parts for t in p.towers) == list(range(len(centres)))
        for k, bar in enumerate(base.bars):
            pieces = sorted((a, b) for p in found.parts for i, a, b in p.stretches if i == k)
            ends = [0.0, *(b for _, b in pieces)]
            assert [a for a, _ in pieces] == pytest.approx(ends[:-1])
            assert ends[-1] == pytest.approx(bar.length)
            assert sorted(j.at for j in found.joints if j.bar == k) == pytest.approx(ends[1:-1])
            line = Polygon(bar.stretch(0.0, bar.length))
            over += any(line.intersects(Polygon(p.outline)) for p in base.pads if p.tower not in (bar.a, bar.b))
        for j in range(len(found.joints)):
            # Just one part has the key, and just one the slot.
            assert sum(j in p.keys for p in found.parts) == sum(j in p.slots for p in found.parts) == 1
        for i, part in enumerate(found.parts):
            shape = part_shape(base, part)
            assert shape.geom_type == "Polygon"
            corners = [np.array(shape.exterior.coords), *(key_outline(base, found.joints[j]) for j in part.keys)]
            assert best_turn(np.vstack(corners), bed)[2]
            for other in found.parts[i + 1 :]:
                shared = set(part.keys) & set(other.slots) | set(part.slots) & set(other.keys)
                apart = shape.distance(part_shape(base, other))
                assert (apart < 1e-6) if shared else (apart > 0.5), seed
            parts += 1
    assert made > 15
    assert parts > 2 * made
    assert over > 3


def test_letters_stand_upright_in_reading_order():
    """An L six high, so that a step of the grid is a millimetre: upright on the left, foot along the line."""
    for along in (EAST, NORTH, np.array([-0.6, 0.8])):
        up = np.array([-along[1], along[0]])
        upright, foot, dot = strokes("L.", 6.0, np.array([30.0, 20.0]), along)
        # 2 signs: 4 + 5.6 mm from the first column to the last.
        middles = [(s.mean(axis=0) - [30.0, 20.0]) @ np.array([along, up]).T for s in (upright, foot, dot)]
        assert middles[0] == pytest.approx([-4.8, 0.0])
        assert middles[1] == pytest.approx([-2.8, -3.0])
        assert middles[2] == pytest.approx([-4.8 + 5.6 + 2.0, -2.5])
        assert np.ptp(upright @ along) == pytest.approx(0.96)
        assert np.ptp(upright @ up) == pytest.approx(6.96)
        assert np.ptp(foot @ along) == pytest.approx(4.96)
    assert width_of("L.", 6.0) == pytest.approx(9.6 + 0.96)
    assert width_of("L.", 3.0) == pytest.approx((9.6 + 0.96) / 2.0)


def test_letters_are_cut_six_tenths_deep_and_two_lines_stand_one_above_the_other():
    body = body_of(lettering("H", 5.0, np.array([3.0, 4.0]), EAST, 8.0))
    assert body.vertices[:, 2].min() == pytest.approx(7.4)
    assert body.vertices[:, 2].max() > 8.0
    base = based([(0.0, 0.0), (300.0, 0.0)], [(0, 1)], 13.0)
    label = place_label(base, Cut((), ()), PartPlan((0, 1), ((0, 0.0, 300.0),)), ("III", "A"))
    assert label.middle == pytest.approx([150.0, 0.0])
    body = body_of(label_solid(label, 5.0))
    upper = body.vertices[body.vertices[:, 1] > 0.0]
    lower = body.vertices[body.vertices[:, 1] < 0.0]
    # Lines 7.5 apart, the longer name above.
    assert (upper[:, 1].max() + upper[:, 1].min()) / 2.0 == pytest.approx(3.75, abs=0.01)
    assert (lower[:, 1].max() + lower[:, 1].min()) / 2.0 == pytest.approx(-3.75, abs=0.01)
    assert np.ptp(upper[:, 0]) > 2.0 * np.ptp(lower[:, 0])


def test_a_label_goes_where_bar_and_joints_leave_most_room():
    base = based([(0.0, 0.0), (300.0, 0.0)], [(0, 1)], 13.0)
    plan, lines = PartPlan((0,), ((0, 0.0, 200.0),)), ("AB", "1/2 A UP")
    # Pad up to 20 (and 1 mm clear), then the joint with its key, 0.34 x 26 and 1.5 mm beyond it.
    first = place_label(base, Cut((), (BarJoint(0, 120.0),)), plan, lines)
    assert first.middle == pytest.approx([(21.0 + 118.5) / 2.0, 0.0])
    second = place_label(base, Cut((), (BarJoint(0, 60.0),)), plan, lines)
    assert second.middle == pytest.approx([(60.0 + 8.84 + 1.5 + 200.0) / 2.0, 0.0])
    assert second.lines == lines
    narrow = based([(0.0, 0.0), (300.0, 0.0)], [(0, 1)], 8.5)
    assert place_label(narrow, Cut((), ()), plan, lines) is None
    # A plain bar too short for all of it carries less; a part with a tower gets a larger pad instead.
    short = PartPlan((), ((0, 60.0, 105.0),))
    assert place_label(base, Cut((), ()), short, ("A VERY LONG NAME", "1/2 A UP")).lines == ("A VERY L", "1/2 A UP")
    assert place_label(base, Cut((), ()), PartPlan((), ((0, 60.0, 85.0),)), ("ABCDEFGHIJ", "1/2 A UP")).lines == (
        "",
        "1/2",
    )
    assert place_label(base, Cut((), ()), PartPlan((1,), ((0, 60.0, 80.0),)), lines) is None
    asked = towers_to_letter(base, Cut((PartPlan((1,), ((0, 60.0, 80.0),)),), ()), "AB", PLAIN)
    assert asked == {1: pytest.approx(width_of("1/1 A UP0", 5.0))}
    assert lines_for("a name of more than fourteen", 2, 3, "b") == ("A NAME OF MORE", "2/3 B UP")


def test_screw_holes_are_drawn_round_the_screw():
    ring = Polygon(round_outline(np.array([4.0, 5.0]), 4.4))
    assert (ring.centroid.x, ring.centroid.y) == pytest.approx((4.0, 5.0))
    assert ring.exterior.distance(ring.centroid) == pytest.approx(2.2)


def test_parts_are_set_out_in_rows_deepest_first_and_on_the_next_bed_when_full():
    bed = Bed(220.0, 220.0, 200.0)

    def spots(*sizes):
        return [(s.bed, s.x_mm, s.y_mm) for s in set_out(sizes, bed)]

    assert spots((100.0, 50.0), (100.0, 60.0), (30.0, 20.0)) == [(0, 108.0, 3.0), (0, 3.0, 3.0), (0, 3.0, 68.0)]
    assert spots((150.0, 140.0), (100.0, 100.0)) == [(0, 3.0, 3.0), (1, 3.0, 3.0)]
    # To the very edge, 3 mm kept free.
    assert spots((104.5, 60.0), (104.5, 60.0)) == [(0, 3.0, 3.0), (0, 112.5, 3.0)]
    assert spots((104.6, 60.0), (104.6, 60.0)) == [(0, 3.0, 3.0), (0, 3.0, 68.0)]
    assert spots((200.0, 104.5), (200.0, 104.5)) == [(0, 3.0, 3.0), (0, 3.0, 112.5)]
    assert spots((200.0, 104.6), (200.0, 104.6)) == [(0, 3.0, 3.0), (1, 3.0, 3.0)]


@pytest.mark.slow
def test_a_liner_too_thin_to_print_is_left_out_with_its_thickness():
    jig = jig_of("flat set")
    settings = JigSettings(inserts=True, tolerance=Tolerance(1.0, 0.05))
    towers = [replace(t, cradle=replace(t.cradle, clearance_mm=1.0)) for t in jig.layout.towers]
    made, left_out = inserts_of(towers, settings)
    assert made == ()
    # Slots of 1 mm, the finest 0.3: liners of 0.7, and the nozzle draws two lines of 0.4.
    assert str(left_out[0]) == "no liner for cradle 1: it would be 0.70 mm thick, and the nozzle needs 0.8"
    assert len(left_out) == len(towers)
    same = [replace(t, cradle=replace(t.cradle, clearance_mm=0.3)) for t in jig.layout.towers]
    assert inserts_of(same, settings) == ((), ())


def test_weight_of_a_way_up_by_hand():
    """One leg of 400 mm, 15 mm tube: two towers 16 by 31 mm and a base, up to where a leg is too steep."""
    axis = axis_of(PIECES["straight"])
    leg = axis.legs[0]
    length = leg.length
    across = np.array([0.0, 0.0, 1.0])
    settings = replace(PLAIN, tolerance=Tolerance(3.0, 1.0))
    for slope in (0.0, 20.0, settings.steepest_deg + 1.0):
        up = across * math.cos(math.radians(slope)) + leg.direction * math.sin(math.radians(slope))
        rises = length * math.sin(math.radians(slope))
        talls = [settings.base_mm + 15.0 + more for more in (0.0, rises)]
        towers = sum(
            t * (16.0 + 0.1 * max(0.0, t - 30.0)) * (15.0 + 6.0 + 10.0 + 0.1 * max(0.0, t - 30.0)) for t in talls
        )
        plan = length * math.cos(math.radians(slope)) * settings.bar_mm * settings.base_mm
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
        # The tube's edge at zero in plan; below it base, tolerance and 3 mm, or more where a slot's floor asks for it.
        assert points[:, :2].min(axis=0) == pytest.approx([7.5, 7.5])
        clear = points[:, 2].min() - 7.5 - PLAIN.base_mm
        assert clear >= PLAIN.tolerance.position_mm + 3.0 - 1e-9
        floors = [
            t.place.height(a, -(7.5 + PLAIN.tolerance.position_mm)) - PLAIN.base_mm for t in laid.towers for a in t.top
        ]
        assert min(floors) >= 1.0 - 0.2
        if clear > PLAIN.tolerance.position_mm + 3.001:
            assert min(floors) < 1.5
    assert seen > 2


@pytest.mark.slow
def test_a_liner_is_a_u_with_a_lip_that_reaches_six_millimetres_out_past_its_slot():
    """Slot of 3 mm a side, liner up to the fine one: areas of two slices, worked out as rectangles."""
    settings = JigSettings(bed=Bed(400.0, 400.0, 400.0), inserts=True, gauges=False)
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


@pytest.mark.slow
def test_a_pad_that_fits_no_bed_says_which_bed_it_needs():
    jig = jig_of("two planes", JigSettings(base="board", gauges=False))
    small = replace(jig.settings, bed=Bed(60.0, 60.0, 400.0))
    stuck = _cut_up(jig.solved, jig.layout, small)
    need = sorted(float(x) for x in str(stuck.reason).split("need a bed of ")[1].split(" mm")[0].split(" x "))
    pads = base_of(jig.layout, small)
    alone = cut(pads, Bed(400.0, 400.0, 400.0)).parts
    sizes = [best_turn(part_outline(pads, p), small.bed)[1] for p in alone]
    # Three millimetres of bed kept free along every edge.
    assert any(need == pytest.approx(sorted((a + 6.0, b + 6.0)), abs=0.51) for a, b in sizes)
    assert stuck.kind == "bed"
    assert "or put towers on a board (base: board)" in stuck.reason
    assert stuck.measure == pytest.approx(max(need) - 6.0, abs=0.51)


def part_outline(base, part):
    return np.vstack([base.pads[t].outline for t in part.towers])


@pytest.mark.slow
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


@pytest.mark.parametrize(("bed", "half"), [((220.0, 180.0), 9.0), ((150.0, 150.0), 20.0), ((300.0, 120.0), 13.0)])
def test_the_longest_bar_is_the_longest_that_lies_on_the_bed_at_any_turn(bed, half):
    """3 mm stay free all round; the strip's corners at every tenth of a degree."""
    turn = np.radians(np.arange(0.1, 89.95, 0.1))
    x, y = bed[0] - 6.0, bed[1] - 6.0
    long = np.minimum((x - 2.0 * half * np.sin(turn)) / np.cos(turn), (y - 2.0 * half * np.cos(turn)) / np.sin(turn))
    base = based([(0.0, 0.0), (100.0, 0.0)], [(0, 1)])
    cutter = _Cutter(base, Bed(*bed, 200.0), _clusters(base))
    found = cutter._longest_bar(half) + cutter.stub
    assert max(long.max(), x) - 6.0 < found < max(long.max(), x) + 1e-6
