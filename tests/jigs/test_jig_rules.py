"""The rules a jig is drawn by, one by one, each against figures worked out here."""

import math
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
import trimesh
from jig_pieces import PIECES, jig_of, whole
from made_runs import made_run
from scipy.integrate import cumulative_trapezoid, quad

from pipemodel.geometry.shapes import Mesh
from pipemodel.jigs.cradles import clearance_for
from pipemodel.jigs.design import design
from pipemodel.jigs.gauges import _angles
from pipemodel.jigs.inserts import inserts_of, liners_for
from pipemodel.jigs.plan import plans
from pipemodel.jigs.printing import check_part, plastic_for
from pipemodel.jigs.run_in_jig import JigLeg, RunAxis
from pipemodel.jigs.sag import longest_true, sags_of, stiffness_of
from pipemodel.jigs.towers import Skin, blocked
from pipemodel.jigs.way_up import steady
from pipemodel.job.jig import Bed, Print, Tolerance
from pipemodel.trade.model import Tube

ROOMY = Bed(400.0, 400.0, 400.0)
FINE = whole(bed=ROOMY, decision="fine", gauges=False)


@pytest.mark.parametrize(("span", "beyond"), [(60.0, 0.0), (110.0, 30.0), (250.0, 60.0), (420.0, 40.0), (900.0, 200.0)])
def test_fine_slots_hold_every_leg_to_half_the_angle_and_its_ends_to_the_position(span, beyond):
    """The farthest a straight rod can go in two square holes a span apart, corner to corner, by trigonometry alone."""
    c = clearance_for(span, beyond, FINE)
    lean = math.degrees(math.atan(math.hypot(2.0 * c, 2.0 * c) / span))
    # From +c at one slot to -c at the other, carried on past the slots.
    end = c + 2.0 * c / span * beyond
    if c > 0.3:
        assert max(lean / 0.5, end / 3.0) == pytest.approx(1.0, rel=1e-3)
    assert c >= 0.3


def test_no_slot_is_tighter_than_a_printer_is_true():
    assert clearance_for(16.0, 0.0, FINE) == 0.3
    assert clearance_for(16.0, 0.0, replace(FINE, decision="balanced", tolerance=Tolerance(3.0, 0.2))) == 0.3
    assert clearance_for(16.0, 0.0, replace(FINE, decision="go")) == 3.0
    short = made_run([60.0, 45.0, 60.0], [90.0, 90.0], [90.0])
    layout = next(plans(short, whole(bed=ROOMY, tolerance=Tolerance(1.0, 0.1)))).layout
    assert min(t.cradle.clearance_mm for t in layout.towers) == 0.3


@pytest.mark.slow
def test_a_leg_goes_on_past_its_cradles_by_the_longer_of_its_two_ends():
    layout = next(plans(PIECES["four bends"], whole(bed=ROOMY))).layout
    seen = 0
    for tower in layout.towers:
        mine = [t.cradle for t in layout.towers if t.cradle.leg == tower.cradle.leg]
        low = min(c.low_mm for c in mine) * tower.place.stretch
        high = max(c.high_mm for c in mine) * tower.place.stretch
        length = layout.axis.legs[tower.cradle.leg].length
        assert tower.cradle.beyond_mm == pytest.approx(max(low, length - high))
        seen += abs(low - (length - high)) > 1.0
    assert seen > 2


def test_an_angle_gauge_has_no_longer_arm_than_there_is_straight_on_either_side():
    assert dict(_angles(made_run([100.0, 30.0], [90.0]))) == {90.0: pytest.approx(28.5)}
    assert dict(_angles(made_run([30.0, 100.0], [90.0]))) == {90.0: pytest.approx(28.5)}
    assert dict(_angles(made_run([100.0, 100.0], [90.0]))) == {90.0: 50.0}


def test_liners_fill_the_slot_and_leave_the_fine_clearance():
    settings = whole(bed=ROOMY, inserts=True, gauges=False)
    towers = next(plans(PIECES["flat set"], settings)).layout.towers
    liners, _ = liners_for(towers, settings)
    gauges, _ = inserts_of(towers, settings)
    assert len(liners) == len(gauges) > 2
    for liner, gauge in zip(liners, gauges, strict=True):
        cradle = next(t.cradle for t in towers if t.cradle.number == liner.cradle)
        fine = clearance_for(cradle.span_mm, cradle.beyond_mm, replace(FINE, bed=ROOMY))
        mesh = gauge.solid.to_mesh64()
        body = trimesh.Trimesh(np.asarray(mesh.vert_properties)[:, :3], np.asarray(mesh.tri_verts))
        low, high = body.bounds
        assert high[2] - low[2] == pytest.approx(cradle.high_mm - cradle.low_mm)
        # From the slot's floor up to where the fine cheek would end.
        assert low[1] == pytest.approx(-7.5 - 3.0)
        assert high[1] == pytest.approx(7.5 + fine)
        rings = body.section(plane_origin=[0, 0, 8.0], plane_normal=[0, 0, 1]).discrete
        outline = np.vstack(rings)[:, :2]
        inside = np.abs(outline[(outline[:, 1] > 0.0), 0])
        assert inside.max() == pytest.approx(7.5 + 3.0 + 0.1 - 0.15, abs=1e-3)
        assert inside.min() == pytest.approx(7.5 + fine + 0.1, abs=1e-3)
        floor = outline[np.abs(outline[:, 0]) < inside.min() + 1e-3, 1]
        assert np.unique(np.round(floor[floor < 0.0], 3))[:2] == pytest.approx([-10.5, -7.5 - fine], abs=1e-3)


def test_overhangs_are_found_by_degrees():
    """Blocks that spread upwards: 40 degrees from upright print, 55 do not."""
    for lean, prints in ((40.0, True), (55.0, False), (70.0, False)):
        out = 12.0 * math.tan(math.radians(lean))
        points = [(x, y, 0.0) for x in (out, out + 30.0) for y in (out, out + 30.0)]
        points += [(x, y, 12.0) for x in (0.0, 2.0 * out + 30.0) for y in (0.0, 2.0 * out + 30.0)]
        shape = trimesh.convex.convex_hull(np.array(points))
        found = check_part(Mesh(np.asarray(shape.vertices), shape.faces.astype(np.int64)), ROOMY, Print())
        assert found.overhang_deg == pytest.approx(lean, abs=0.01)
        assert (not found.faults) is prints


def test_plastic_and_time_of_a_block():
    box = trimesh.creation.box((40.0, 30.0, 20.0), trimesh.transformations.translation_matrix((20.0, 15.0, 10.0)))
    found = plastic_for(Mesh(np.asarray(box.vertices), box.faces.astype(np.int64)), Print())
    # Skin 1.2 mm on 5200 mm2, the rest of 24000 mm3 at 15 %; 12 cm3 an hour, or 8 to 20.
    plastic = 6240.0 + 0.15 * (24000.0 - 6240.0)
    assert found.volume_cm3 == pytest.approx(24.0)
    assert found.plastic_cm3 == pytest.approx(plastic / 1000.0)
    assert found.mass_g == pytest.approx(plastic / 1000.0 * 1.24)
    assert found.hours == pytest.approx(plastic / 12000.0)
    assert (found.quick_hours, found.slow_hours) == pytest.approx((plastic / 20000.0, plastic / 8000.0))


def level_axis(points):
    p = np.array(points, dtype=float)
    legs = (JigLeg(0, p[0], (p[-1] - p[0]) / np.linalg.norm(p[-1] - p[0]), 1.0, False, False),)
    return RunAxis(15.0, legs, p, np.zeros(len(p), dtype=np.int64), 1.0)


def test_a_piece_topples_when_its_weight_falls_outside_its_supports():
    line = level_axis([(x, 0.0, 10.0) for x in np.linspace(0.0, 400.0, 101)])
    both = np.array([(0.0, -7.0), (0.0, 7.0), (250.0, -7.0), (250.0, 7.0)])
    assert steady(line, both)
    assert not steady(line, both * [0.7, 1.0])
    assert not steady(line, both + [0.0, 20.0])


@pytest.mark.slow
def test_a_tower_is_blocked_by_tube_that_crosses_it_and_by_none_beside_it():
    jig = jig_of("flat set")
    tower = jig.layout.towers[2]
    middle = (tower.cradle.low_mm + tower.cradle.high_mm) / 2.0
    height = tower.height / 2.0
    for across, stands in ((0.0, False), (tower.half - 1.0, False), (tower.half + 60.0, True)):
        point = np.array([tower.place.point(middle, across, height / 2.0)])
        other = Skin(point, np.array([tower.cradle.leg + 1]))
        assert blocked(tower, other, jig.settings) is not stands
    own = Skin(np.array([tower.place.point(middle, 0.0, tower.height - 3.0)]), np.array([tower.cradle.leg]))
    assert not blocked(tower, own, jig.settings)


def bent_down(weight, stiffness, length, cantilever):
    """Deflection by integrating the curvature M / (E I) twice along the beam."""
    x = np.linspace(0.0, length, 4001)
    if cantilever:
        moment = weight * (length - x) ** 2 / 2.0
        slope = cumulative_trapezoid(moment / stiffness, x, initial=0.0)
        return cumulative_trapezoid(slope, x, initial=0.0)[-1]
    moment = weight * x * (length - x) / 2.0
    slope = cumulative_trapezoid(moment / stiffness, x, initial=0.0)
    down = cumulative_trapezoid(slope, x, initial=0.0)
    # Turned so that both ends lie on their supports.
    return -(down - down[-1] * x / length).min()


@pytest.mark.parametrize("outside", [8.0, 15.0, 22.0, 28.0])
def test_a_tube_is_as_stiff_and_as_heavy_as_its_section_makes_it(outside):
    tube = Tube(outside, 0.9, "test")
    weight, stiffness = stiffness_of(tube)
    outer, inner = outside / 2.0, outside / 2.0 - 0.9
    inertia = quad(lambda r: math.pi * r**3, inner, outer)[0]
    assert stiffness == pytest.approx(115_000.0 * inertia)
    assert weight == pytest.approx(8.94e-6 * math.pi * (outer**2 - inner**2) * 9.81)
    # Given its mass, it goes by that; stainless is stiffer.
    assert stiffness_of(replace(tube, mass_kg_per_m=0.5))[0] == pytest.approx(0.5 * 9.81 / 1000.0)
    assert stiffness_of(replace(tube, material="stainless"))[1] > 1.5 * stiffness


@pytest.mark.slow
def test_weight_hides_what_a_beam_of_the_leg_bends_by():
    piece = made_run([900.0, 250.0], [90.0])
    jig = design(piece, whole(bed=ROOMY, gauges=False))
    weight, stiffness = stiffness_of(piece.tube)
    assert all(abs(g.direction[2]) < 1e-9 for g in jig.layout.axis.legs), "it lies flat"
    found = sags_of(jig.layout, piece.tube)
    assert [s.leg for s in found] == [1, 2]
    for sag in found:
        mine = [t.cradle for t in jig.layout.towers if t.cradle.leg == sag.leg - 1]
        leg = jig.layout.axis.legs[sag.leg - 1]
        free = mine[1].low_mm - mine[0].high_mm
        reach = max(mine[1].high_mm, leg.length - mine[0].low_mm)
        assert sag.free_mm == pytest.approx(free)
        assert sag.hides_mm == pytest.approx(bent_down(weight, stiffness, reach, True), rel=1e-4)
        assert sag.sags_mm == pytest.approx(bent_down(weight, stiffness, free, False), rel=1e-4)
        assert sag.hides_deg == pytest.approx(math.degrees(math.atan(sag.hides_mm / reach)))
        slot = mine[0].clearance_mm
        assert sag.matters is (max(sag.hides_mm, sag.sags_mm) > slot / 4.0)
        longest = longest_true(piece.tube, slot)
        assert bent_down(weight, stiffness, longest, True) == pytest.approx(slot / 4.0, rel=1e-4)
    assert found[0].matters
    assert not found[1].matters
    for a, b in pairwise(sorted(found, key=lambda s: s.free_mm)):
        assert a.hides_mm < b.hides_mm
