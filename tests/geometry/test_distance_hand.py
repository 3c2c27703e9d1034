"""Distances that can be worked out on paper: Euclid's, nothing cleverer."""

import math

import pytest
from distance_specimens import straight_line
from test_distance_invariants import as_mesh
from tube_lines import line

from pipemodel.geometry.distance import least_distances, self_distances, tube_distance
from pipemodel.geometry.shapes import Box, Cylinder, Extrusion, HalfSpace

TUBE = straight_line((0, 0, 0), (100, 0, 0))
EXACT = {"abs": 1e-9}


def far(shape, tube=TUBE, outside=15.0):
    return least_distances(tube, outside, [shape])[0]


@pytest.mark.parametrize(
    ("gap", "radius"),
    [(40.0, 25.0), (20.0, 10.0), (17.5, 10.0), (2.0, 10.0), (0.0, 10.0)],
    ids=["clear", "near", "touching", "overlapping", "axes meet"],
)
def test_crossing_cylinders_are_their_axes_gap_less_both_radii(gap, radius):
    found = far(Cylinder((50.0, -100.0, gap), (50.0, 100.0, gap), 2 * radius))
    assert found.distance == pytest.approx(gap - 7.5 - radius, **EXACT)
    assert found.at == pytest.approx(50.0, abs=1e-6)


def test_skew_tubes():
    """Lines along x and along (0, 1, 1) through (30, 0, 40): the common perpendicular runs along (0, 1, -1)."""
    other = straight_line((30, -100, -60), (30, 100, 140))
    found = tube_distance(TUBE, 15.0, other, 22.0)
    assert found.distance == pytest.approx(40.0 / math.sqrt(2.0) - 7.5 - 11.0, **EXACT)
    assert found.at == pytest.approx(30.0, abs=1e-6)


@pytest.mark.parametrize("height", [30.0, 7.5, 4.0, -2.0, -30.0])
def test_half_space_under_a_leg(height):
    found = far(HalfSpace((0.0, 0.0, -height), (0.0, 0.0, 1.0)))
    assert found.distance == pytest.approx(height - 7.5, **EXACT)


@pytest.mark.parametrize("ahead", [12.0, 0.0, -3.0])
@pytest.mark.parametrize("shape", ["half space", "box"])
def test_square_into_a_face(ahead, shape):
    """The flat end butts: no round nose of 7.5 in front of it, and 3 in the wall is 3, not 10.5."""
    face = -ahead
    wall = HalfSpace((face, 0.0, 0.0), (1.0, 0.0, 0.0)) if shape == "half space" else None
    found = far(wall or Box((face - 50.0, -60.0, -60.0), (face, 60.0, 60.0)))
    assert found.distance == pytest.approx(ahead, **EXACT)
    assert found.at == 0.0


@pytest.mark.parametrize("slope", [1.0, 10.0, 45.0, 80.0, 89.0])
def test_slanting_at_a_face_the_rim_is_nearest(slope):
    """A flat end at `slope` to the face's normal reaches sin(slope) times its radius past its centre."""
    a = math.radians(slope)
    tube = straight_line((30.0, 0, 0), (30.0 + 200 * math.cos(a), 200 * math.sin(a), 0))
    found = far(HalfSpace((0.0, 0.0, 0.0), (1.0, 0.0, 0.0)), tube)
    assert found.distance == pytest.approx(30.0 - 7.5 * math.sin(a), **EXACT)


def test_corner_of_a_box_to_the_rim():
    found = far(Box((-50.0, 12.0, -50.0), (-4.0, 50.0, 50.0)))
    assert found.distance == pytest.approx(math.hypot(4.0, 12.0 - 7.5), **EXACT)
    assert found.point == pytest.approx((0.0, 7.5, 0.0), abs=1e-6)


def test_a_peg_ahead_of_the_disc():
    """Thinner than the tube, it meets the disc and not the rim."""
    assert far(Cylinder((-40.0, 2.0, 1.0), (-6.0, 2.0, 1.0), 3.0)).distance == pytest.approx(6.0, **EXACT)
    assert far(Cylinder((-40.0, 2.0, 1.0), (5.0, 2.0, 1.0), 3.0)).distance == pytest.approx(-5.0, **EXACT)


def test_flush_with_the_end_is_touching_not_overlapping():
    assert far(Box((-50.0, 3.0, -50.0), (0.0, 50.0, 50.0))).distance == pytest.approx(0.0, **EXACT)
    assert far(Box((-50.0, 10.0, -50.0), (0.0, 50.0, 50.0))).distance == pytest.approx(2.5, **EXACT)


def test_the_outside_of_a_bend_reaches_its_centreline_plus_the_radius():
    """A quarter bend of 55 round (245, 55): its back at 45 degrees, and the wall it backs on to."""
    quarter = line([(0, 0, 0), (300, 0, 0), (300, 300, 0)])
    s = math.sqrt(0.5)
    reach = 245.0 * s - 55.0 * s + 55.0
    found = far(HalfSpace((200.0 * s * 2, 0.0, 0.0), (-s, s, 0.0)), quarter)
    assert found.distance == pytest.approx(400.0 * s * s - reach - 7.5, **EXACT)
    assert found.at == pytest.approx(245.0 + 55.0 * math.pi / 4.0, abs=1e-6)


def test_inside_of_a_bend_round_a_post():
    """A post standing at the bend's own centre is the bend's radius less both half diameters away, all along."""
    quarter = line([(0, 0, 0), (300, 0, 0), (300, 300, 0)])
    found = far(Cylinder((245.0, 55.0, -100.0), (245.0, 55.0, 100.0), 60.0), quarter)
    assert found.distance == pytest.approx(55.0 - 7.5 - 30.0, **EXACT)


def test_an_outline_with_a_notch():
    """The tube passes through the notch of a U-shaped plan: 20 wide, walls at y 12.5 either side."""
    plan = ((20.0, -40.0), (80.0, -40.0), (80.0, -12.5), (20.0, -12.5))
    u = Extrusion(
        (*plan[:2], (80.0, 40.0), (20.0, 40.0), (20.0, 12.5), (70.0, 12.5), (70.0, -12.5), (20.0, -12.5)), -50, 50
    )
    assert far(u, straight_line((-100, 0, 0), (60, 0, 0))).distance == pytest.approx(5.0, **EXACT)
    assert far(u, straight_line((-100, 0, 0), (68, 0, 0))).distance == pytest.approx(2.0, **EXACT)
    assert far(Extrusion(plan, -50.0, 50.0)).distance == pytest.approx(5.0, **EXACT)


def test_a_run_wholly_inside_a_thing_overlaps_it():
    for shape in (
        Box((-500.0, -500.0, -500.0), (500.0, 500.0, 500.0)),
        Cylinder((-500.0, 0.0, 0.0), (500.0, 0.0, 0.0), 300.0),
        Extrusion(((-500.0, -500.0), (500.0, -500.0), (500.0, 500.0), (-500.0, 500.0)), -500.0, 500.0),
    ):
        assert far(shape).distance < -100.0


def test_a_thing_wholly_inside_the_tube_overlaps_it():
    assert far(Box((20.0, -1.0, -1.0), (22.0, 1.0, 1.0))).distance < 0.0


# ---- a run against itself


def test_a_tail_that_comes_back_on_its_own_first_leg():
    """The tail stops 40 short of the first leg's axis: square on it, less one radius."""
    hook = line([(0, 0, 0), (300, 0, 0), (300, 300, 0), (150, 300, 0), (150, 40, 0)])
    assert self_distances([hook], [15.0])[0].distance == pytest.approx(40.0 - 7.5, **EXACT)


def test_a_loop_that_crosses_itself():
    """Round in a square and over its own first leg, 20 above it at the crossing: the legs cross square."""
    loop = line([(0, 0, 0), (400, 0, 0), (400, 300, 0), (150, 300, 0), (150, 300, 20), (150, -200, 20)], radius=10.0)
    found = self_distances([loop], [15.0])[0]
    assert found.distance == pytest.approx(20.0 - 15.0, **EXACT)
    assert found.at == pytest.approx(150.0, abs=1e-6)


def test_two_returns_that_close_a_ring():
    ring = line([(0, 0, 0), (300, 0, 0), (300, 110, 0), (150, 110, 0), (150, 0, 0), (400, 0, 0)], joined=[1, 3])
    assert self_distances([ring], [15.0])[0].distance == pytest.approx(-15.0, **EXACT)


@pytest.mark.parametrize(
    ("corners", "joined"),
    [
        ([(0, 0, 0), (300, 0, 0), (300, 300, 0)], []),
        ([(0, 0, 0), (300, 0, 0), (400, 60, 0), (700, 60, 0)], []),
        ([(0, 0, 0), (300, 0, 0), (300, 110, 0), (0, 110, 0)], [1]),
        ([(0, 0, 0), (900, 0, 0), (100, 160, 0)], []),
        ([(0, 0, 0), (300, 0, 0), (300, 300, 0), (300, 300, 300), (600, 300, 300)], []),
    ],
    ids=["quarter", "set", "return bend", "hairpin", "three planes"],
)
def test_what_joins_on_a_little_further_along_is_not_near(corners, joined):
    assert self_distances([line(corners, joined=joined)], [15.0])[0] is None


def test_legs_of_a_u_of_two_bends():
    u = line([(0, 0, 0), (300, 0, 0), (300, 140, 0), (0, 140, 0)])
    assert self_distances([u], [15.0])[0].distance == pytest.approx(140.0 - 15.0, **EXACT)


@pytest.mark.parametrize("kind", ["box", "mesh"])
def test_an_end_flush_with_the_face_of_a_thing_that_goes_on_beside_the_tube(kind):
    """The thing begins where the tube begins and reaches 5 into its side; or it ends there, and touches nothing."""
    for low, high, expected in ((0.0, 100.0, -5.0), (-100.0, 0.0, 0.0)):
        box = Box((low, 2.5, -50.0), (high, 60.0, 50.0))
        thing = as_mesh(box) if kind == "mesh" else box
        assert far(thing, straight_line((0, 0, 0), (2000, 0, 0))).distance == pytest.approx(expected, abs=2e-3)
        assert far(thing, straight_line((-2000, 0, 0), (0, 0, 0))).distance == pytest.approx(-5.0 - expected, abs=2e-3)
