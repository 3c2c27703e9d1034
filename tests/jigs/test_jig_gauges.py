"""Gauges against the tube they are for: the wedge on the back of its bend, the collar on its leg, the spacer."""

import math

import numpy as np
import pytest
import trimesh
from jig_pieces import block, rod, whole
from made_runs import made_run
from shapely.geometry import Polygon
from shapely.ops import unary_union

from pipemodel.bending.bends import bend_corners, centreline_of
from pipemodel.jigs.build import body_of
from pipemodel.jigs.gauges import BAND_MM, RELIEF_MM, THICK_MM, angle_gauge, gauges_of, spacer, turn_gauge
from pipemodel.jigs.glyphs import _STROKES, printable, stroke_of, strokes
from pipemodel.messages.say import say

PLAIN = whole()
ARM = 50.0


def bend_in_gauge_axes(angle, radius=55.0, leg=100.0):
    """A bend with its centre at zero and its middle up the y axis, at half the gauge's thickness."""
    table = made_run([leg, leg], [angle]).table
    line = centreline_of(table)
    arc = line.arcs[0]
    centre, middle = np.array(arc.centre), np.array(arc.point_at(arc.length / 2.0))
    y = (middle - centre) / radius
    x = np.cross(y, np.array(arc.axis))
    z = np.cross(x, y)
    turn = np.array([x, y, z])
    return turn, centre


def laid(angle, gap=0.0):
    turn, centre = bend_in_gauge_axes(angle)
    solid = rod(centreline_of(made_run([100.0, 100.0], [angle]).table), 15.0, 0.005)
    moved = np.column_stack([turn, -turn @ centre + [0.0, -gap, 4.0]])
    return solid.transform(moved)


@pytest.mark.slow
@pytest.mark.parametrize("angle", [15.0, 45.0, 90.0, 120.0, 170.0])
def test_angle_gauge_touches_both_legs_and_stays_off_the_bend(angle):
    """Moved back by a hair it overlaps nothing; its arms lie against the legs, and nothing else comes near."""
    solved = made_run([100.0, 100.0], [angle])
    gauge = body_of(angle_gauge(solved, angle, ARM, PLAIN).solid)
    tube = laid(angle)
    overlap = tube ^ block(gauge)
    # Flats of the tube's mesh touch the arms: no more than their sagitta.
    assert overlap.volume() < 0.5
    assert laid(angle, 0.05).min_gap(block(gauge), 5.0) < 0.06
    mesh = trimesh.Trimesh(gauge.vertices, gauge.faces)
    arc = [
        (62.5 * math.sin(a), 62.5 * math.cos(a), 4.0)
        for a in np.radians(np.linspace(-angle / 2.0 + 1.0, angle / 2.0 - 1.0, 9))
    ]
    _, off, _ = trimesh.proximity.closest_point(mesh, arc)
    assert off.min() > 1.4


def test_angle_gauge_shows_a_bend_that_is_a_degree_out():
    """A bend of 89 cannot come to lie against both arms; one of 91 lies against neither tip, and gapes as stated."""
    solved = made_run([100.0, 100.0], [90.0])
    gauge = angle_gauge(solved, 90.0, ARM, PLAIN)
    assert f"{ARM * math.tan(math.radians(1.0)):.1f} mm" in gauge.use
    body = body_of(gauge.solid)
    assert (laid(89.0) ^ block(body)).volume() > 1.0
    assert (laid(91.0) ^ block(body)).volume() == 0.0
    # Half the degree at each arm: near the tip the tube has swung away from it by the sine of that.
    mesh = trimesh.Trimesh(body.vertices, body.faces)
    line = centreline_of(made_run([100.0, 100.0], [91.0]).table)
    turn, centre = bend_in_gauge_axes(91.0)
    last = line.straights[-1]
    outward = -turn @ np.cross(last.direction, line.arcs[0].axis) * -1.0
    spot = turn @ (np.array(last.point_at(ARM - 5.0)) - centre)
    tip = spot + 7.5 * outward + [0.0, 0.0, 4.0]
    _, off, _ = trimesh.proximity.closest_point(mesh, [tip])
    assert off[0] == pytest.approx((ARM - 5.0) * math.sin(math.radians(0.5)), abs=0.02)


@pytest.mark.parametrize("turn", [90.0, -90.0, 180.0, 37.0, -150.0])
def test_turn_gauge_points_where_the_next_leg_goes(turn):
    """The collar on the middle leg, lettering towards the start: one arm along the first leg, one along the last."""
    solved = made_run([100.0, 120.0, 100.0], [90.0, 90.0], [turn])
    body = body_of(turn_gauge(solved, turn, PLAIN).solid)
    first, middle, last = solved.centreline.straights
    away = -np.array(middle.direction)
    before = -np.array(first.direction)
    after = np.array(last.direction)
    # As printed: z up is towards the start, and arm A lies along y.
    y = before - away * (before @ away)
    y /= np.linalg.norm(y)
    x = np.cross(y, away)
    tip = np.array([after @ x, after @ y])
    tip /= np.linalg.norm(tip)
    reach = 15.0 / 2 + 0.1 + 3.0 + 35.0
    top = body.vertices[np.argmax(body.vertices[:, :2] @ tip)]
    assert top[:2] == pytest.approx(tip * reach, abs=0.01)
    assert body.vertices[:, 1].max() == pytest.approx(reach, abs=0.01)


def test_turn_gauge_snaps_on_and_holds():
    """The bore takes the tube, the mouth is narrower than it, and the ring opens with a hundredth of strain at most."""
    solved = made_run([100.0, 120.0, 100.0], [90.0, 90.0], [90.0])
    body = body_of(turn_gauge(solved, 90.0, PLAIN).solid)
    radii = np.linalg.norm(body.vertices[:, :2], axis=1)
    assert radii.min() >= 7.5
    inner = body.vertices[radii < 7.8][:, :2]
    angles = np.sort(np.arctan2(inner[:, 1], inner[:, 0]))
    gap = np.max(np.diff(np.append(angles, angles[0] + 2.0 * np.pi)))
    mouth = 2.0 * 7.5 * math.sin(gap / 2.0)
    opens = 15.0 - mouth
    assert 0.3 < opens < 2.5
    # Thin curved beam, from first principles: strain t d / (3 pi r^2) for an opening d.
    assert 3.0 * opens / (3.0 * math.pi * 9.0**2) < 0.0105


def test_spacer_holds_the_axis_at_its_standoff():
    solved = made_run([200.0, 200.0], [90.0])
    body = body_of(spacer(solved, 25.0, PLAIN).solid)
    line = centreline_of(bend_corners([(0.0, 25.0, -5.0), (0.0, 25.0, 25.0)], 55.0)[0])
    tube = rod(line, 15.0, 0.005)
    assert (tube ^ block(body)).volume() == pytest.approx(0.0, abs=1e-6)
    assert tube.min_gap(block(body), 5.0) == pytest.approx(PLAIN.print.allowance_mm / 2.0, abs=0.03)


def test_gauges_come_once_for_each_angle_and_turn():
    solved = made_run([100.0, 120.0, 120.0, 100.0], [90.0, 45.0, 90.0], [180.0, 180.0])
    gauges, left_out = gauges_of(solved, whole(standoff_mm=5.0))
    assert [g.stem for g in gauges] == ["angle-45", "angle-90", "turn-180-clockwise"]
    assert len(left_out) == 1
    assert "5" in left_out[0]


def test_no_straight_beside_a_bend_no_gauge():
    gauges, left_out = gauges_of(made_run([5.0, 5.0], [90.0]), PLAIN)
    assert gauges == ()
    assert "straight" in left_out[0]


def test_every_letter_is_drawn_and_no_two_alike():
    shapes = {sign: frozenset(drawn.split(",")) for sign, drawn in _STROKES.items()}
    assert len(set(shapes.values())) == len(shapes)
    assert set("ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789") <= set(shapes)
    for height in (4.0, 5.0, 6.0):
        assert stroke_of(height) >= 1.5 * PLAIN.print.nozzle_mm
        for sign in shapes:
            for outline in strokes(sign, height, np.zeros(2), np.array([1.0, 0.0])):
                assert np.abs(outline).max() <= height / 2.0 + 0.55 * stroke_of(height)


def test_any_name_can_be_engraved():
    assert printable("Rücklauf ½ é") == "RUCKLAUF 1?2 E"
    assert printable("管 😀") == "? ?"


def letters(*texts):
    """What lettering of 5 mm takes up."""
    return sum(
        unary_union([Polygon(s) for s in strokes(t, 5.0, np.zeros(2), np.array([1.0, 0.0]))]).area for t in texts
    )


@pytest.mark.parametrize("angle", [30.0, 90.0, 150.0])
def test_an_angle_gauge_is_a_band_round_the_back_with_an_arm_along_each_leg_and_its_words_on_them(angle):
    """Cut through half way up: shapes laid out by shapely. At the top the letters are missing, whole ones."""
    gauge = angle_gauge(made_run([100.0, 100.0], [angle]), angle, ARM, PLAIN)
    solid, back, half = block(body_of(gauge.solid)), 55.0 + 7.5, math.radians(angle) / 2.0
    turns = np.linspace(-half, half, 400)
    rays = np.column_stack([np.sin(turns), np.cos(turns)])
    shapes = [Polygon(np.vstack([(back + RELIEF_MM) * rays, (back + BAND_MM) * rays[::-1]]))]
    for sign, ray in ((-1.0, rays[0]), (1.0, rays[-1])):
        along = sign * np.array([ray[1], -ray[0]])
        for low, a, b in ((0.0, RELIEF_MM, RELIEF_MM + ARM), (RELIEF_MM, 0.0, RELIEF_MM)):
            corners = [(low, a), (low, b), (BAND_MM, b), (BAND_MM, a)]
            shapes.append(Polygon([ray * (back + out) + along * on for out, on in corners]))
    middle = solid.slice(THICK_MM / 2.0).area()
    assert middle == pytest.approx(unary_union([shape.buffer(1e-6) for shape in shapes]).area, rel=0.01)
    gone = middle - solid.slice(THICK_MM - 0.3).area()
    assert gone == pytest.approx(letters(f"{angle:g}°", "D15"), abs=0.3)
    assert f"touches along both when the bend is {angle:g} degrees" in gauge.use
    # 50 mm of arm out by the 1 degree of the tolerance: 0.87.
    assert "a gap of more than 0.9 mm at the tip of the other is more than 1° out" in gauge.use


@pytest.mark.parametrize(("turn", "way"), [(90.0, "clockwise"), (-37.0, "anticlockwise")])
def test_a_turn_gauge_says_which_arm_goes_where(turn, way):
    """Arm A lies along y as printed, to the leg already there, which comes from the start; the other is turned on."""
    gauge = turn_gauge(made_run([100.0, 120.0, 100.0], [90.0, 90.0], [turn]), turn, PLAIN)
    assert say(gauge.use) == (
        "Clip it on the leg before bend 2, lettering towards the start, and turn arm A to the leg before that. "
        f"The other arm, {abs(turn):g} degrees {way} seen from the start, points to where the tube goes after the "
        "bend. Set it by whichever of the two bends is made, and pull the other to it."
    )
    solid = block(body_of(gauge.solid))
    gone = solid.slice(5.0).area() - solid.slice(9.7).area()
    assert gone == pytest.approx(letters("A", f"{abs(turn):g}°"), abs=0.3)
