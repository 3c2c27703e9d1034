"""Corners to bends and back: hand-worked figures, awkward places, and invariants as properties."""

import math

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from scipy.spatial.transform import Rotation
from wide import few_or_many

from pipemodel.bending.bends import bend_corners, centreline_of, corners_of, gain
from pipemodel.bending.corner_faults import UnbendableError
from pipemodel.bending.schedule import solve_run
from pipemodel.geometry.vectors import distance
from pipemodel.job.model import Route, Run
from pipemodel.trade.model import Former, Tube

R = 55.0


def table_of(corners, radius=R, joined=frozenset()):
    return bend_corners([tuple(map(float, c)) for c in corners], radius, joined)[0]


# ---- a run whose bends can be worked out on paper


def test_two_square_bends_in_two_planes():
    """Two 90s: setback R tan 45 = R, arc pi R / 2; east, north, then up turns the plane a quarter clockwise."""
    table = table_of([(0, 0, 0), (600, 0, 0), (600, 400, 0), (600, 400, 350)])
    one, two = table.bends
    assert (one.start_mm, one.angle_deg, one.turn_deg) == (545.0, 90.0, 0.0)
    assert one.arc_mm == pytest.approx(math.pi * R / 2, rel=1e-15)
    assert two.start_mm == pytest.approx(545 + math.pi * R / 2 + 290, rel=1e-15)
    # Seen looking north along the second leg, the first bend's inside lies to the west (it came from the west
    # and turns left); the tube must go up: from west, over, to up is a quarter clockwise.
    assert (two.angle_deg, two.turn_deg) == (90.0, 90.0)
    assert table.straight_after_mm == 295.0
    assert table.length_mm == pytest.approx(600 + 400 + 350 - 2 * gain(R, 90), rel=1e-15)


def test_a_set_turns_by_exactly_180():
    table = table_of([(0, 0, 0), (300, 0, 0), (400, 60, 0), (700, 60, 0)])
    assert [b.turn_deg for b in table.bends] == [0.0, 180.0]
    assert table.bends[0].angle_deg == pytest.approx(table.bends[1].angle_deg, abs=1e-12)


@pytest.mark.parametrize("plane", range(12))
def test_a_set_turns_by_plus_180_in_any_plane(plane):
    """Never -180: the range is half open, whatever the rounding."""
    turned = Rotation.from_euler("xyz", [17 * plane, 31 * plane, 7 * plane], degrees=True)
    corners = turned.apply([(0, 0, 0), (300, 0, 0), (400, 60, 0), (700, 60, 0)])
    assert table_of(corners).bends[1].turn_deg == pytest.approx(180.0, abs=1e-9)
    assert table_of(corners).bends[1].turn_deg > 0


@pytest.mark.parametrize("angle", [1.0, 22.5, 90.0, 150.0, 175.0])
def test_awkward_angles_come_out_to_the_last_digits(angle):
    leg = 10.0 + R * math.tan(math.radians(angle / 2))
    a = math.radians(angle)
    table = table_of([(0, 0, 0), (leg, 0, 0), (leg + leg * math.cos(a), leg * math.sin(a), 0)])
    (bend,) = table.bends
    assert bend.angle_deg == pytest.approx(angle, rel=1e-12)
    assert bend.start_mm == pytest.approx(10.0, abs=1e-9)
    assert table.straight_after_mm == pytest.approx(10.0, abs=1e-9)


def test_a_u_of_two_corners_that_just_touch():
    table = table_of([(0, 0, 0), (300, 0, 0), (300, 2 * R, 0), (0, 2 * R, 0)])
    assert [b.angle_deg for b in table.bends] == [90.0, 90.0]
    assert table.bends[1].straight_before_mm == 0.0
    assert table.length_mm == pytest.approx(2 * 245 + math.pi * R, rel=1e-15)


@pytest.mark.parametrize(
    ("corners", "note"),
    [
        ([(0, 0, 0), (300, 0, 0), (300, 110, 0), (0, 110, 0)], "one of 180 degrees, and written as a return bend"),
        ([(0, 0, 0), (300, 0, 0), (300, 110, 0), (0, 110.01, 0)], None),
        ([(0, 0, 0), (300, 0, 0), (300, 110.01, 0), (0, 110.01, 0)], None),
        ([(0, 0, 0), (300, 0, 0), (300, 110, 0), (600, 110, 0)], None),
    ],
)
def test_a_u_that_could_be_one_pull_is_said(corners, note):
    notes = solve_run(Run("u", Tube(15.0, 0.7, "15 x 0.7"), Former(55.0), Route(tuple(corners)))).notes
    assert (note is None and notes == ()) or note in notes[0]


def test_the_same_u_as_one_bend_of_180():
    corners = [(0.0, 0.0, 0.0), (300.0, 0.0, 0.0), (300.0, 2 * R, 0.0), (0.0, 2 * R, 0.0)]
    table = table_of(corners, joined=frozenset({1}))
    (bend,) = table.bends
    assert bend.angle_deg == 180.0
    assert table.length_mm == pytest.approx(2 * 245 + math.pi * R, rel=1e-15)
    back, joined = corners_of(table)
    assert joined == {1}
    assert np.allclose(back, corners, atol=1e-9)


def test_a_turn_after_a_bend_of_180():
    corners = [(0, 0, 0), (300, 0, 0), (300, 2 * R, 0), (0, 2 * R, 0), (0, 2 * R, 200)]
    one, two = table_of(corners, joined=frozenset({1})).bends
    # Travelling west after a left-hand return: the first plane's normal is up, the last bend's is north.
    assert (one.turn_deg, two.turn_deg) == (0.0, 90.0)


def test_a_straight_run_has_no_bends():
    table = table_of([(1, 2, 3), (1, 2, 1003)])
    assert table.bends == ()
    assert table.length_mm == 1000.0


def test_corners_in_line_are_merged_with_a_note():
    table, notes, *_ = bend_corners([(0.0, 0, 0), (100, 0, 0), (250, 0, 0), (600, 0, 0), (600, 300, 0)], R)
    assert len(table.bends) == 1
    assert [note.corner for note in notes] == [1, 2]
    assert all("in line" in note.said for note in notes)


def test_a_repeated_point_is_merged_with_a_note():
    table, notes, *_ = bend_corners([(0.0, 0, 0), (300, 0, 0), (300, 0, 0), (300, 300, 0), (300, 300, 0)], R)
    assert len(table.bends) == 1
    assert table.straight_after_mm == 245.0
    assert [note.corner for note in notes] == [2, 3]


def test_far_from_the_origin_nothing_changes():
    """A tenth of a nanometre is what double precision leaves at 1e6 mm."""
    corners = np.array([(0, 0, 0), (600, 0, 0), (600, 400, 0), (500, 400, 350), (900, 450, 350)], float)
    near, far = table_of(corners), table_of(corners + [1e6, -1e6, 1e6])
    for a, b in zip(near.bends, far.bends, strict=True):
        assert a == pytest.approx(b, abs=1e-8)


# ---- what cannot be bent


def test_corners_too_near_say_how_much_is_missing():
    with pytest.raises(UnbendableError) as caught:
        table_of([(0, 0, 0), (300, 0, 0), (300, 100, 0), (600, 100, 0)])
    (fault,) = caught.value.faults
    assert "10.0000 is missing" in fault.said  # two setbacks of 55 against a leg of 100


def test_every_fault_is_given_at_once():
    with pytest.raises(UnbendableError) as caught:
        table_of([(0, 0, 0), (30, 0, 0), (30, 300, 0), (30, 300, 40)])
    one, other = (str(fault.said) for fault in caught.value.faults)
    assert "25.0000 is missing" in one
    assert "15.0000 is missing" in other


def test_doubling_back_is_refused():
    with pytest.raises(UnbendableError, match="doubles back"):
        table_of([(0, 0, 0), (300, 0, 0), (100, 0, 0)])


def test_a_run_without_length_is_refused():
    with pytest.raises(UnbendableError, match="no length"):
        table_of([(5, 5, 5), (5, 5, 5)])


# ---- properties

step = st.tuples(*[st.floats(-500, 500)] * 3).filter(lambda v: math.hypot(*v) > 50)


@st.composite
def bendable(draw):
    """Corners that a small radius can join, and their table."""
    steps = draw(st.lists(step, min_size=2, max_size=9))
    corners = [tuple(map(float, p)) for p in np.cumsum([(0, 0, 0), *steps], axis=0)]
    radius = draw(st.floats(1, 20))
    try:
        table, notes, *_ = bend_corners(corners, radius)
    except UnbendableError:
        assume(False)
    assume(not notes)
    return corners, radius, table


@pytest.mark.slow
@given(bendable())
@settings(max_examples=few_or_many(100, 300))
def test_points_to_bends_to_points_closes(case):
    corners, _, table = case
    back, joined = corners_of(table)
    assert not joined
    assert max(distance(a, b) for a, b in zip(corners, back, strict=True)) < 1e-6


@pytest.mark.slow
@given(bendable())
def test_the_centreline_is_tangent_and_as_long_as_the_table_says(case):
    _, _, table = case
    line = centreline_of(table)
    assert line.length == pytest.approx(table.length_mm, rel=1e-12)
    for a, b in zip(line.pieces, line.pieces[1:], strict=False):
        assert distance(a.point_at(a.length), b.start) < 1e-8
        assert distance(a.direction_at(a.length), b.direction_at(0.0)) < 1e-8


@pytest.mark.slow
@given(bendable(), st.tuples(*[st.floats(-180, 180)] * 3), st.tuples(*[st.floats(-1e4, 1e4)] * 3))
def test_moving_and_turning_the_job_changes_no_mark(case, euler, offset):
    corners, radius, table = case
    moved = Rotation.from_euler("xyz", euler, degrees=True).apply(corners) + offset
    other = table_of(moved, radius)
    assert len(other.bends) == len(table.bends)
    for a, b in zip(table.bends, other.bends, strict=True):
        assert b.start_mm == pytest.approx(a.start_mm, abs=1e-6)
        assert b.angle_deg == pytest.approx(a.angle_deg, abs=1e-6)
        difference = (b.turn_deg - a.turn_deg + 180) % 360 - 180
        assert difference * math.sin(math.radians(min(a.angle_deg, 180 - a.angle_deg))) == pytest.approx(0, abs=1e-5)


@pytest.mark.slow
@given(bendable())
def test_travelling_the_other_way_mirrors_the_marks(case):
    corners, radius, table = case
    back = table_of(corners[::-1], radius)
    assert back.length_mm == pytest.approx(table.length_mm, rel=1e-9)
    for a, b in zip(table.bends, reversed(back.bends), strict=True):
        assert a.start_mm + b.finish_mm == pytest.approx(table.length_mm, rel=1e-9, abs=1e-6)
        assert b.angle_deg == pytest.approx(a.angle_deg, abs=1e-9)


@pytest.mark.slow
@given(bendable())
def test_turns_agree_with_scipy_rotations(case):
    """Turning the bend axis about the leg by the turn must give the next bend's axis (scipy's Rotation)."""
    corners, _, table = case
    legs = np.diff(corners, axis=0)
    axes = [np.cross(a, b) / np.linalg.norm(np.cross(a, b)) for a, b in zip(legs, legs[1:], strict=False)]
    for i in range(1, len(axes)):
        leg = legs[i] / np.linalg.norm(legs[i])
        turned = Rotation.from_rotvec(leg * table.bends[i].turn_deg, degrees=True).apply(axes[i - 1])
        assert turned == pytest.approx(axes[i], abs=1e-5)
