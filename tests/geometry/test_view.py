"""Where one stands for a view, and which way things then lie in it."""

import pytest

from pipemodel.geometry.view import View


@pytest.mark.parametrize(
    ("aside", "corner", "east", "north"),
    [
        (30.0, "south-east", 1, -1),
        (-30.0, "south-west", -1, -1),
        (150.0, "north-east", 1, 1),
        (-150.0, "north-west", -1, 1),
    ],
)
def test_standing_at_a_corner_of_the_room(aside, corner, east, north):
    """Degrees from south, positive towards east; the eye stands there, a quarter of the way up the sky."""
    view = View.standing(aside, 22.5)
    assert view.title == f"from the {corner} and above"
    x, y, z = view.eye
    assert (x * east > 0.0, y * north > 0.0) == (True, True)
    assert abs(x / y) == pytest.approx(0.57735 if abs(y) > abs(x) else 1.73205, rel=1e-4)
    assert z == pytest.approx(0.382683, abs=1e-6)
    # What lies that way is nearer the eye; what is higher is drawn higher; of two things a yard apart to the right
    # of someone who looks in, the one on the right is drawn on the right.
    assert view.nearness((east * 1.0, north * 1.0, 0.0)) > 0.0
    assert view.flat((0.0, 0.0, 1.0)) == (pytest.approx(0.0, abs=1e-12), pytest.approx(0.92388, abs=1e-5))
    to_the_right = (-y, x, 0.0)
    assert view.flat(to_the_right)[0] > 0.0
    assert view.flat(to_the_right)[1] == pytest.approx(0.0, abs=1e-12)
    assert view.isometric
    assert not View("from the south", (0.0, -1.0, 0.0)).isometric
