"""Moves by name, bearing and angle: against scipy's Rotation, and against what the words mean."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from routes import corners, faults, route, table
from scipy.spatial.transform import Rotation

from pipemodel.job.routing.directions import COMPASS, Heading, bearing_vector, bent
from pipemodel.trade.model import Former

AXES = ("north", "south", "east", "west", "up", "down")
angles = st.floats(1.0, 179.0)


def test_go_600_east_turn_up_go_400():
    expected = [(0, 0, 0), (600, 0, 0), (600, 0, 400)]
    assert corners({"go": 600}, {"turn": "up"}, {"go": 400}, heading=COMPASS["east"]).tolist() == [
        list(p) for p in expected
    ]
    assert corners({"turn": "east"}, {"go": 600}, {"turn": "up"}, {"go": 400}).tolist() == [list(p) for p in expected]
    assert corners({"east": 600}, {"up": 400}).tolist() == [list(p) for p in expected]


@pytest.mark.parametrize(
    ("word", "way"), [("north east", 45), ("north west", 135), ("south west", 225), ("south east", 315)]
)
def test_a_direction_between_two_takes_a_distance_as_the_others_do(word, way):
    at = math.radians(way)
    end = [400 * math.cos(at), 400 * math.sin(at), 300]
    assert corners({"up": 300}, {word: 400})[-1].tolist() == pytest.approx(end)
    assert corners({"up": 300}, {"turn": word}, {"go": 400})[-1].tolist() == pytest.approx(end)


def test_units_may_be_mixed():
    assert corners({"east": "60 cm"}, {"up": "11 13/16 in"})[-1].tolist() == pytest.approx([600, 0, 300.0375])


def test_legs_in_line_add_up():
    assert corners({"east": 200}, {"go": 100}, {"east": 50}, {"up": 90}).tolist() == [
        [0, 0, 0],
        [350, 0, 0],
        [350, 0, 90],
    ]


@pytest.mark.parametrize(
    ("heading", "left"), [("north", "west"), ("west", "south"), ("south", "east"), ("east", "north")]
)
def test_left_is_a_quarter_turn_anticlockwise_on_the_level(heading, left):
    facing = Heading.along(COMPASS[heading])
    assert facing.named("left") == COMPASS[left]
    assert facing.named("right") == tuple(-c for c in COMPASS[left])
    assert np.allclose(Rotation.from_euler("z", 90, degrees=True).apply(COMPASS[heading]), COMPASS[left])


@pytest.mark.parametrize(
    ("word", "expected"), [("left", (0, 1, 0)), ("right", (0, -1, 0)), ("ahead", (1, 0, 0)), ("back", (-1, 0, 0))]
)
def test_an_upright_leg_keeps_the_level_heading_it_came_with(word, expected):
    last = corners({"east": 300}, {"up": 300}, {"turn": word}, {"go": 100})
    assert (last[-1] - last[-2]).tolist() == pytest.approx([100 * c for c in expected])


def test_left_means_nothing_before_there_is_a_level_heading():
    ((item, message),) = faults({"up": 300}, {"turn": "left"}, {"go": 100})
    assert item == 1
    assert "no" not in message.split()[0]
    assert "last level heading" in message
    assert "north" in message


@given(st.sampled_from(AXES), st.sampled_from(AXES), angles)
def test_a_bend_by_an_angle_is_a_rotation_towards_the_side(ahead, towards, angle):
    a, b = np.array(COMPASS[ahead]), np.array(COMPASS[towards])
    if abs(a @ b) > 0.5:
        return
    turned = Rotation.from_rotvec(math.radians(angle) * np.cross(a, b)).apply(a)
    made = corners({ahead: 7000.0}, {"turn": {"to": towards, "angle": angle}}, {"go": 7000.0})
    assert np.allclose(made[2] - made[1], 7000.0 * turned, atol=1e-8)


@given(st.floats(-180, 360), st.floats(-89, 89), angles, st.sampled_from(["left", "right"]))
def test_left_and_right_of_a_sloping_leg_are_level(bearing, rise, angle, side):
    ahead = bearing_vector(bearing, rise)
    flat = bearing_vector(bearing - 90 if side == "left" else bearing + 90)
    made = corners({"go": 7000.0}, {"turn": {"to": side, "angle": angle}}, {"go": 7000.0}, heading=ahead)
    turned = Rotation.from_rotvec(math.radians(angle) * np.cross(ahead, flat)).apply(ahead)
    assert np.allclose(made[2] - made[1], 7000.0 * turned, atol=1e-7)


@given(st.floats(-360, 360), st.floats(-90, 90))
def test_a_bearing_is_clockwise_from_north_and_a_rise_above_level(bearing, rise):
    tilted = Rotation.from_euler("X", rise, degrees=True).apply((0, 1, 0))
    expected = Rotation.from_euler("Z", -bearing, degrees=True).apply(tilted)
    assert np.allclose(bearing_vector(bearing, rise), expected, atol=1e-12)


def test_square_bends_leave_no_dust():
    assert bent(COMPASS["east"], COMPASS["up"], 90.0) == (0.0, 0.0, 1.0)
    for name, bearing in (("north", 0), ("east", 90), ("south", 180), ("west", 270)):
        assert bearing_vector(bearing) == COMPASS[name]


def test_a_bend_has_the_angle_it_was_given_and_turns_that_way():
    made = table(
        {"east": 400},
        {"turn": {"to": "up", "angle": 30}},
        {"go": 400},
        {"turn": {"to": "left", "angle": 22.5}},
        {"go": 300},
    )
    assert [b.angle_deg for b in made.bends] == pytest.approx([30, 22.5])
    # Seen along the tube, up is above and left is a quarter turn anticlockwise from it.
    assert made.bends[1].turn_deg == pytest.approx(-90.0)


@pytest.mark.parametrize("side", ["up", "left", "right"])
def test_a_return_bend_is_one_bend_of_180_between_two_corners_two_radii_apart(side):
    items = ({"east": 400}, {"turn": {"back": side}}, {"go": 300})
    made = route(*items)
    assert made.joined == {1}
    bends = table(*items).bends
    assert [b.angle_deg for b in bends] == [180.0]
    across = np.subtract(made.corners[2], made.corners[1])
    assert np.linalg.norm(across) == pytest.approx(110.0)
    assert np.subtract(made.corners[3], made.corners[2]).tolist() == [-300.0, 0.0, 0.0]


def test_a_wider_return_is_two_square_bends():
    items = ({"east": 400}, {"turn": {"back": "north", "apart": 200}}, {"go": 300})
    assert corners(*items).tolist() == [[0, 0, 0], [400, 0, 0], [400, 200, 0], [100, 200, 0]]
    assert [b.angle_deg for b in table(*items).bends] == [90.0, 90.0]


@pytest.mark.parametrize(("aside", "apart", "fits"), [(5e-4, 200, True), (5e-4, 110, False), (0.0, 110, True)])
def test_a_corner_after_a_return_lies_in_line_to_a_thousandth_or_exactly(aside, apart, fits):
    """Two square bends take up a thousandth of a millimetre; the legs of one bend of 180 run exactly opposite ways."""
    items = ({"east": 400}, {"turn": {"back": "north", "apart": apart}}, {"corner": [100, apart + aside, 0]})
    if fits:
        assert corners(*items)[-1].tolist() == [100, apart + aside, 0]
    else:
        ((item, message),) = faults(*items)
        assert item == 2
        assert "is not straight ahead" in message


def test_a_return_on_an_upright_leg_keeps_the_level_heading():
    """Left is still counted from north, the last level heading, when the tube comes down again."""
    made = corners({"north": 300}, {"up": 400}, {"turn": {"back": "left"}}, {"go": 300}, {"left": 200})
    assert made[-2:].tolist() == [[-110, 300, 100], [-310, 300, 100]]


def test_a_corner_beside_the_heading_is_no_corner_straight_ahead():
    start = ({"east": 300}, {"turn": "up"})
    assert corners(*start, {"corner": [300, 0.0009, 400]})[-1].tolist() == [300, 0.0009, 400]
    assert "not straight ahead" in faults(*start, {"corner": [300, 0.0011, 400]})[0][1]
    # The two legs of a return bend run exactly opposite ways, or it is none.
    back = ({"east": 300}, {"turn": {"back": "north"}})
    assert corners(*back, {"corner": [0, 110, 0]})[-1].tolist() == [0, 110, 0]
    assert "not straight ahead" in faults(*back, {"corner": [0, 110.0009, 0]})[0][1]


def test_a_named_move_along_the_tube_is_no_turn_whatever_the_rounding():
    """Turned by thirds of a square, the tube heads north but for the last digit."""
    for turns in ([4, 6, 80], [37, 6, 47], [7, 40, 43], [25, 22, 43]):
        items = [item for angle in turns for item in ({"go": 300}, {"turn": {"to": "left", "angle": angle}})]
        made = corners(*items, {"go": 200}, {"north": 300}, heading=COMPASS["east"])
        assert len(made) == len(turns) + 2
        assert made[-1] - made[-2] == pytest.approx([0, 500, 0], abs=1e-9)


def test_points_may_be_mixed_in():
    made = corners(
        {"corner": [0, 0, -95]}, {"turn": "east"}, {"go": 420}, {"by": [120, 120, 0]}, {"east": 300},
        {"corner": [840, 120, 300]}, start=(0.0, 0.0, 450.0),
    )  # fmt: skip
    assert made.tolist() == [[0, 0, 450], [0, 0, -95], [420, 0, -95], [540, 120, -95], [840, 120, -95], [840, 120, 300]]


def test_an_xyz_list_of_a_mathematics_forum():
    """A public mathematics forum (XYZ point set): leg lengths 6.7940, 3.6259, 3.3680; bends of 90; rotation 180."""
    start = (38.5202, -14.0264, 0.0)
    made = corners(
        {"corner": [45.3142, -14.0264, 0]}, {"by": [0, -3.4950, 0.9654]}, {"corner": [48.6822, -17.5214, 0.9654]},
        start=start, former=Former(0.5),
    )  # fmt: skip
    legs = np.linalg.norm(np.diff(made, axis=0), axis=1)
    assert legs == pytest.approx([6.7940, 3.6259, 3.3680], abs=1e-4)


@pytest.mark.parametrize(
    ("items", "item", "words"),
    [
        ([{"east": 300}, {"turn": "east"}, {"go": 100}], 1, "heads east already"),
        ([{"east": 300}, {"turn": "west"}, {"go": 100}], 1, "turn: {back: left}"),
        ([{"east": 300}, {"turn": {"to": "east", "angle": 30}}, {"go": 100}], 1, "lies along the tube"),
        ([{"east": 300}, {"turn": "up"}, {"turn": "north"}, {"go": 100}], 2, "no leg between"),
        ([{"east": 300}, {"turn": "up"}], 1, "ends in a bend"),
        ([{"turn": "up"}], 0, "goes nowhere"),
        ([{"go": 300}], 0, "no heading yet"),
        (
            [{"right": 600}],
            0,
            "no heading yet to count 'right' from; begin with a direction, such as east: 600, or",
        ),
        ([{"turn": "left"}, {"go": 600}], 0, "on which side you stand, such as seen from: south"),
        ([{"east": 300}, {"turn": {"back": "up", "apart": 90}}, {"go": 100}], 1, "tighter than the former"),
        ([{"east": 300}, {"corner": [300, 0, 0]}, {"go": 100}], 1, "where the run is already"),
        ([{"east": 300}, {"corner": [100, 0, 0]}], 1, "straight back"),
        ([{"east": 300}, {"turn": "up"}, {"corner": [400, 0, 300]}], 2, "not straight ahead"),
        ([{"east": 100}, {"up": 60}, {"north": 200}], 1, "50.0 is missing"),
        ([{"east": -100}], 0, "lies behind it"),
    ],
)
def test_what_cannot_be_done_names_the_item_and_the_way_out(items, item, words):
    (fault,) = faults(*items)
    assert fault[0] == item
    assert words in fault[1]


def test_a_run_that_sets_out_with_a_bend_is_refused():
    ((item, message),) = faults({"turn": "up"}, {"go": 100}, heading=COMPASS["east"])
    assert item == 0
    assert "starts with a leg" in message


def test_every_fault_of_a_run_comes_in_one_go():
    found = faults({"east": 10}, {"up": 20}, {"turn": {"to": "up", "angle": 30}}, {"go": 100})
    assert [item for item, _ in found] == [0, 2]
