"""Ways in whose answers are known without this program: by hand, or by a closed form."""

import numpy as np
import pytest
from rooms_with_openings import checked, cupboard, in_a_wall, job_text, ways
from scipy.optimize import minimize_scalar
from wide import few_or_many


def found(tmp_path, *args, **kw):
    by_run, codes = ways(tmp_path, job_text(*args, **kw))
    return by_run["r"], codes


def slot(tall):
    """An L of two legs lying flat goes edge on through a level slot as tall as its tube, and not through less."""
    boxes = in_a_wall((-2000, 2000), (-2000, 2000), (-700, 700), (-tall / 2, tall / 2), (0, 20))
    opening = ([(-700, 20, -tall / 2), (700, 20, -tall / 2), (700, 20, tall / 2), (-700, 20, tall / 2)], (0, -2000, 0))
    return boxes, opening, {"r": [(-200, 500, 0), (200, 500, 0), (200, 800, 0)]}


@pytest.mark.slow
def test_an_l_goes_through_a_slot_just_wide_enough(tmp_path):
    way, codes = found(tmp_path, *slot(19.2), margin=2.0)
    assert way["found"]
    assert way["least_mm"] == pytest.approx(2.0, abs=0.15)
    assert way["least_mm"] >= 1.999
    assert "I101" in codes


@pytest.mark.slow
def test_an_l_does_not_go_through_a_slot_too_narrow(tmp_path):
    """Of 18.8, with tube of 15 and 2 all round: refused as bad input, for nothing could ever pass."""
    done = checked(tmp_path, job_text(*slot(18.8), margin=2.0))
    assert done.code == 2
    assert "needs 19, and the opening 'hatch' is 18.8 at its least; ask for 1.9 or less" in done.err


@pytest.mark.slow
def test_a_stick_longer_than_the_room_s_diagonal_is_not_said_to_go_in_past_a_lid(tmp_path):
    """It stands half out of a hole on both sides of the room, so neither its place nor its way is shut off; with the
    second hole shut it cannot even have its place."""
    boxes, opening = cupboard(400, 300, 300, (150, 100, 100, 100))
    stick = {"r": [(200, -100, 150), (200, 290, 150)]}
    assert found(tmp_path, boxes, opening, stick)[0]["found"]
    # sqrt(400^2 + 300^2 + 300^2) = 583.1
    long = {"r": [(5, 150, 150), (595, 150, 150)]}
    way, codes = found(tmp_path, boxes, opening, long, more=", effort: 2000")
    assert not way["found"]
    assert way["impossible"]
    assert "I102" in codes


@pytest.mark.slow
def test_a_u_comes_down_over_a_beam(tmp_path):
    """Hung over a beam, between walls close beside its legs: it goes straight up and no other way."""
    boxes = [((-1000, -40, -500), (1000, 40, 100)), ((-1000, 90, -800), (1000, 400, 150))]
    boxes += [((-1000, -400, -800), (1000, -90, 150))]
    opening = ([(-900, -90, 150), (900, -90, 150), (900, 90, 150), (-900, 90, 150)], (0, 0, 2000))
    u = {"r": [(0, -65, -300), (0, -65, 130), (0, 65, 130), (0, 65, -300)]}
    way, _ = found(tmp_path, boxes, opening, u, margin=3.0, radius=45.0)
    assert way["found"]
    first = np.array(way["states"][0]["position"])
    assert first[2] > 0.0


def corridor(a, b, tall, length):
    """A right-angled corridor of widths a (running south) and b (running east), and a stick in its far arm."""
    t, far = 50.0, 3000.0
    boxes = [
        ((-far, -far, -t), (far, far, 0)),
        ((-far, -far, tall), (far, far, tall + t)),
        ((-t, -far, 0), (0, b, tall)),
        ((-t, b, 0), (far, b + t, tall)),
        ((a, -far, 0), (far, 0, tall)),
        ((far - t, 0, 0), (far, b, tall)),
    ]
    opening = ([(0, -1500, 0), (a, -1500, 0), (a, -1500, tall), (0, -1500, tall)], (a / 2, -2900, tall / 2))
    x = a + 60.0
    return boxes, opening, {"r": [(x, b / 2, tall / 2), (x + length, b / 2, tall / 2)]}


def longest(a, b, wide):
    """The longest stick of a width that goes round: at each angle held against both outer walls and the corner."""

    def at(t):
        return (a * np.cos(t) + b * np.sin(t) - wide) / (np.sin(t) * np.cos(t))

    return float(minimize_scalar(at, bounds=(0.05, np.pi / 2 - 0.05), method="bounded", options={"xatol": 1e-10}).fun)


def test_the_longest_stick_is_that_of_the_closed_form():
    """For no width, (a^(2/3) + b^(2/3))^(3/2): the ladder round the corner, a classic of calculus (from memory)."""
    assert longest(300.0, 200.0, 0.0) == pytest.approx((300 ** (2 / 3) + 200 ** (2 / 3)) ** 1.5, rel=1e-9)


LADDERS = [
    (1.02, False, few_or_many(10_000, 40_000)),
    (0.97, True, 400_000),
    (0.95, True, 400_000),
    (0.99, True, 400_000),
]
"""The search has to turn and slide at once in those of 0.97 and 0.99; what goes at 0.97 goes shorter too."""


@pytest.mark.slow
@pytest.mark.parametrize(("share", "goes", "effort"), LADDERS[: few_or_many(2, 4)])
def test_a_ladder_round_a_corner(tmp_path, share, goes, effort):
    a, b, wide, tall, margin = 300.0, 200.0, 10.0, 24.0, 1.0
    # Tilted under the ceiling it is shorter in plan by less than a millimetre.
    length = share * longest(a, b, wide + 2.0 * margin)
    boxes, opening, runs = corridor(a, b, tall, length)
    way, codes = found(tmp_path, boxes, opening, runs, margin=margin, outside=wide, more=f", effort: {effort}")
    assert way["found"] is goes
    assert not way["impossible"]
    assert ("I101" if goes else "I103") in codes
