"""What is said of corners that make no bend and of corners that cannot be bent, by figures worked by hand."""

import pytest

from pipemodel.bending.bends import bend_corners
from pipemodel.bending.corner_faults import UnbendableError

R = 55.0


def bent(*corners, joined=frozenset(), radius=R):
    return bend_corners([tuple(map(float, corner)) for corner in corners], radius, joined)


def faults(*corners, **more):
    with pytest.raises(UnbendableError) as caught:
        bent(*corners, **more)
    assert str(caught.value) == "; ".join(str(fault.said) for fault in caught.value.faults)
    return [(fault.corner, str(fault.said)) for fault in caught.value.faults]


def test_what_is_said_of_points_that_make_no_bend():
    idle = bent((0, 0, 0), (100, 0, 0), (250, 0, 0), (600, 0, 0), (600, 0, 0), (600.015, 0, 0), (600, 300, 0)).idle
    assert [(i.corner, str(i.said), i.slight) for i in idle] == [
        (1, "point 2 is in line with points 1 and 4: no bend there", False),
        (2, "point 3 is in line with points 1 and 4: no bend there", False),
        (4, "point 5 repeats point 4 and is merged with it", False),
        (5, "point 6 lies 0.015 mm from point 4 and is merged with it", False),
    ]


def test_a_corner_too_slight_to_be_pulled_is_passed_by():
    """1 aside over 2 x 100: atan(0.005) twice is 0.573 degrees; straight on, the tube passes at 0.5."""
    (idle,) = bent((0, 0, 0), (100, 0.5, 0), (200, 0, 0), (200, 300, 0)).idle
    assert idle.slight
    assert idle.aside_mm == pytest.approx(0.5)
    assert str(idle.said) == (
        "point 2 asks for a bend of 0.6 degrees, too small to be pulled (the least is 1): the tube goes straight "
        "from point 1 to point 3 and passes it at 0.5 mm; the finish stays where it is given"
    )


def test_a_slight_corner_too_far_aside_is_refused():
    """5 aside over 2 x 1000, and the same beside a return bend."""
    assert faults((0, 0, 0), (1000, 5, 0), (2000, 0, 0)) == [
        (1, "point 2 asks for a bend of 0.573 degrees, too small to be pulled (the least is 1); straight on, the tube "
            "would pass it at 5 mm, and no more than 1 mm is straightened: put the point in line, or bend more")
    ]  # fmt: skip
    ((corner, said),) = faults((0, 0, 0), (300, 0, 0), (300, 110, 0), (200, 110, 0), (0, 111, 0), joined=frozenset({1}))
    assert corner == 3
    assert said.endswith("; and beside a return bend nothing is straightened: put the point in line, or bend more")


@pytest.mark.parametrize(
    ("corners", "off"),
    [
        # 120 apart for 2 x 55; a leg after that leans 30 in 300; legs that run the same way.
        (((0, 0, 0), (300, 0, 0), (300, 120, 0), (0, 120, 0)), "10"),
        (((0, 0, 0), (300, 0, 0), (300, 110, 0), (0, 110, 30)), "30"),
        (((0, 0, 0), (300, 0, 0), (300, 110, 0), (600, 110, 0)), "0"),
        (((0, 30, 0), (300, 0, 0), (300, 110, 0), (0, 110, 0)), "30"),
    ],
)
def test_two_corners_that_are_no_return_bend(corners, off):
    assert faults(*corners, joined=frozenset({1})) == [
        (1, "points 2 and 3 are no return bend: it needs two corners 110 apart, and legs square to the line between "
            f"them that run exactly opposite ways; this is {off} mm off")
    ]  # fmt: skip


def test_the_points_of_a_leg_too_short_are_named_at_either_end_and_between():
    """Legs of 30, 300 and 40; then one leg of 100 in the middle; a return of radius 55 with 20 behind it."""
    assert faults((0, 0, 0), (30, 0, 0), (30, 300, 0), (30, 300, 40)) == [
        (1, "points 1 and 2 are 30.0000 apart, but their bends need 55.0000 between them: 25.0000 is missing"),
        (3, "points 3 and 4 are 40.0000 apart, but their bends need 55.0000 between them: 15.0000 is missing"),
    ]
    assert faults((0, 0, 0), (300, 0, 0), (300, 100, 0), (600, 100, 0)) == [
        (2, "points 2 and 3 are 100.0000 apart, but their bends need 110.0000 between them: 10.0000 is missing")
    ]
    around = ((0, 0, 0), (300, 0, 0), (300, 110, 0), (260, 110, 0), (260, 110, 400))
    assert faults(*around, joined=frozenset({1})) == [
        (3, "points 3 and 4 are 40.0000 apart, but their bends need 110.0000 between them: 70.0000 is missing")
    ]


def test_a_corner_that_doubles_back_says_how_a_return_is_written():
    assert faults((0, 0, 0), (300, 0, 0), (100, 0, 0)) == [
        (1, "point 2 doubles back on itself (a bend of 180 degrees at one corner); a return bend needs two corners "
            "110 apart")
    ]  # fmt: skip
    assert len(bent((0, 0, 0), (40000, 0, 0), (0, 75, 0), radius=20.0).table.bends) == 1  # 179.89


def test_bends_that_just_touch_are_no_fault():
    bent((0, 0, 0), (R, 0, 0), (R, 2 * R - 9e-8, 0), (2 * R, 2 * R - 9e-8, 0))
    faults((0, 0, 0), (R, 0, 0), (R, 2 * R - 2e-7, 0), (2 * R, 2 * R - 2e-7, 0))


def test_which_corner_each_bend_is_made_at():
    """A point in line, a return, a repeated point, a corner."""
    made = bent(
        (0, 0, 0), (100, 0, 0), (300, 0, 0), (300, 110, 0), (0, 110, 0), (0, 110, 0), (0, 600, 0),
        joined=frozenset({2}),
    )  # fmt: skip
    assert made.made_at == (2, 4)
    assert made.pairs == {1}
    assert made.points == ((0, 0, 0), (300, 0, 0), (300, 110, 0), (0, 110, 0), (0, 600, 0))
    assert made.radii == (R,) * 5


@pytest.mark.parametrize(
    ("corners", "at", "need"),
    [
        # The two corners of a return in one place; its first at the start; its second at the finish; two in a row.
        (((0, 0, 0), (300, 0, 0), (300, 0, 0), (0, 0, 0)), 2, 110),
        (((300, 0, 0), (300, 0, 0), (300, 110, 0), (0, 110, 0)), 1, 55),
        (((0, 0, 0), (300, 0, 0), (300, 110, 0), (300, 110, 0)), 3, 55),
    ],
)
def test_a_return_needs_a_diameter_across_and_a_radius_on_either_side(corners, at, need):
    assert faults(*corners, joined=frozenset({1})) == [
        (at, f"points {at} and {at + 1} are 0.0000 apart, but their bends need {need}.0000 between them: "
             f"{need}.0000 is missing")
    ]  # fmt: skip


def test_two_returns_without_a_leg_between_need_both_radii():
    around = ((0, 0, 0), (300, 0, 0), (300, 110, 0), (300, 110, 0), (300, 220, 0), (0, 220, 0))
    said = faults(*around, joined=frozenset({1, 3}))
    assert said == [
        (3, "points 3 and 4 are 0.0000 apart, but their bends need 110.0000 between them: 110.0000 is missing")
    ]
