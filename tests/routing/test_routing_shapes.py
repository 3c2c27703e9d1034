"""Moves measured to round, hollow and near things; positions are worked out by hand or sampled, never by the tool."""

import math

import numpy as np
import pytest
from routes import TUBE, axis_points, bends_of, box, corners, faults, pipe, route, sampled, table

from pipemodel.geometry.shapes import Cylinder, Extrusion
from pipemodel.job.model import Thing
from pipemodel.trade.model import Former

HALF = TUBE.outside_mm / 2


def to_outline(points, outline, bottom, top):
    """Distances of points (n, 3) outside an upright prism, by its own edges; the points stay outside it."""
    flat = points[:, :2]
    best = np.full(len(points), np.inf)
    for a, b in zip(np.array(outline), np.roll(np.array(outline), -1, axis=0), strict=True):
        t = np.clip((flat - a) @ (b - a) / ((b - a) @ (b - a)), 0, 1)
        best = np.minimum(best, np.linalg.norm(flat - a - t[:, None] * (b - a), axis=1))
    sides = np.zeros(len(points), dtype=bool)
    for (x0, y0), (x1, y1) in zip(outline, (*outline[1:], outline[0]), strict=True):
        if y0 != y1:
            level = (y0 > flat[:, 1]) != (y1 > flat[:, 1])
            sides ^= level & (flat[:, 0] < x0 + (flat[:, 1] - y0) * (x1 - x0) / (y1 - y0))
    over = np.maximum(np.maximum(bottom - points[:, 2], points[:, 2] - top), 0.0)
    return np.hypot(np.where(sides, 0.0, best), over)


def test_a_leg_square_at_a_pipe_stops_at_its_near_side():
    """A pipe 40 through, its axis 500 on: its near side is 480 on, and the bend's outside stays 10 off."""
    made = corners({"east": {"to face of": "waste pipe", "gap": 10}}, {"up": 300}, things=[pipe(500, diameter=40)])
    assert made[1].tolist() == pytest.approx([480 - 10 - HALF, 0, 0])


def test_past_a_pipe_is_past_its_far_side():
    made = corners({"east": {"past": "waste pipe", "gap": 10}}, {"up": 300}, things=[pipe(500, diameter=40)])
    assert made[1].tolist() == pytest.approx([520 + 10 + HALF, 0, 0])


def test_past_a_pipe_that_lies_aslant():
    """A pipe 40 through and 200 long at 30 degrees to the leg reaches 100 cos 30 + 20 sin 30 past its middle."""
    a = math.radians(30)
    ends = [(700 + s * 100 * math.cos(a), s * 100 * math.sin(a), 0.0) for s in (-1, 1)]
    thing = Thing("stub", Cylinder(*ends, 40.0))
    made = corners({"east": {"past": "stub", "standoff": 5}}, {"up": 300}, things=[thing])
    assert made[1][0] == pytest.approx(700 + 100 * math.cos(a) + 20 * math.sin(a) + 5)


def test_a_rising_leg_meets_the_side_of_a_post_below_its_top():
    """At 45 degrees the axis meets the near side 10 below the top; it would leave the far side well above it."""
    post = Thing("post", Cylinder((500.0, 0.0, -200.0), (500.0, 0.0, 10.0), 40.0))
    made = corners(
        {"turn": {"bearing": 90, "rise": 45}},
        {"go": {"to face of": "post", "standoff": 0}},
        {"turn": "up"},
        {"go": 300},
        start=(0.0, 0.0, -480.0),
        things=[post],
    )
    assert made[1].tolist() == pytest.approx([480, 0, 0])


def test_a_set_with_a_negative_rise_goes_down():
    made = corners({"east": 300}, {"set": {"to": "north", "offset": 60, "rise": -40, "angle": 30}}, {"go": 300})
    assert (made[-1] - made[0])[1:].tolist() == pytest.approx([60, -40])


@pytest.mark.parametrize("first", range(8))
@pytest.mark.parametrize("flip", [1, -1])
def test_of_two_faces_ahead_the_nearer_counts(flip, first):
    """A U in plan, open to the west: on the way east its near limb is met first, whichever way its outline runs."""
    outline = [(400, -100), (440, -100), (440, 60), (700, 60), (700, -100), (740, -100), (740, 100), (400, 100)]
    outline = outline[first:] + outline[:first]
    thing = Thing("channel", Extrusion(tuple((float(x), float(y)) for x, y in outline[::flip]), -50.0, 50.0))
    made = corners({"east": {"to face of": "channel", "gap": 0}}, {"up": 300}, things=[thing])
    assert made[1][0] == pytest.approx(400 - HALF)
    inside = corners(
        {"east": {"to face of": "channel", "gap": 0}}, {"up": 300}, start=(600.0, 0.0, 0.0), things=[thing]
    )
    assert inside[1][0] == pytest.approx(700 - HALF)


@pytest.mark.parametrize(("y", "moved"), [(-60.0, 35.0), (-10.0, -15.0)])
def test_a_tube_beside_a_wall_is_moved_to_its_standoff_from_either_side_of_it(y, moved):
    """The wall's south face is at y = 0 and the standoff 25: from 60 off the tube comes nearer, from 10 off away."""
    wall = box((-100.0, 0.0, -500.0), (3000.0, 100.0, 500.0), "wall")
    made = corners(
        {"east": 300},
        {"follow": {"face": "wall", "standoff": 25, "side": "south", "angle": 20, "for": 600}},
        start=(0.0, y, 0.0),
        things=[wall],
        former=Former(30.0),
    )
    assert made[-1][1] == pytest.approx(-25)
    assert made[0][1] + moved == pytest.approx(-25)


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(8))
def test_over_a_comb_the_gap_is_kept_at_its_highest_tooth(seed):
    """Teeth of different heights with hollows between: every one counts, wherever it stands under the flat."""
    dice = np.random.default_rng(seed)
    teeth = int(dice.integers(2, 6))
    outline, x = [(0.0, -60.0)], 0.0
    for height in dice.uniform(5, 60, teeth):
        wide = dice.uniform(4, 25)
        outline += [(x, height), (x + wide, height)]
        x += wide
        if len(outline) < 2 * teeth:
            hollow = dice.uniform(15, 90)
            outline += [(x, -30.0), (x + hollow, -30.0)]
            x += hollow
    outline.append((x, -60.0))
    comb = tuple((float(u) + 1200.0 - x / 2, float(v)) for u, v in outline)
    thing = Thing("comb", Extrusion(comb, -30.0, 30.0))
    items = ({"east": 2400}, {"pass over": {"thing": "comb", "gap": 8, "angle": 30, "bends": 4, "to": "north"}})
    made = route(*items, things=[thing])
    points, _ = sampled(bends_of(made), 1.0)
    assert len(bends_of(made).bends) == 4
    gap = np.min(to_outline(points, comb, -30.0, 30.0)) - HALF
    if any("higher" in note for note in made.notes):
        assert gap > 8
    else:
        assert gap == pytest.approx(8, abs=5e-3)


@pytest.mark.slow
def test_over_a_thick_pier_the_passover_stands_over_its_middle():
    """The leg runs 120 deep through the middle of a pier: both ways down lie alike about that middle."""
    outline = ((900.0, -120.0), (1100.0, -120.0), (1100.0, 120.0), (900.0, 120.0))
    thing = Thing("pier", Extrusion(outline, -200.0, 200.0))
    items = ({"east": 2400}, {"pass over": {"thing": "pier", "gap": 10, "angle": 45, "bends": 4, "to": "north"}})
    made = corners(*items, things=[thing])
    assert made[1][0] + made[4][0] == pytest.approx(2000, abs=1e-3)
    points, _ = axis_points(*items, things=[thing], step=1.0)
    assert np.max(points[:, 1]) == pytest.approx(120 + 10 + HALF, abs=1e-6)
    assert np.min(to_outline(points, outline, -200, 200)) - HALF == pytest.approx(10, abs=5e-3)


@pytest.mark.parametrize(("rise", "steep"), [(20, False), (40, True), (60, True)])
def test_a_passover_of_a_steep_leg_needs_a_side(rise, steep):
    """Above 30 degrees of rise "up" says little: the side has to be named."""
    a = math.radians(rise)
    across = pipe(1000 * math.cos(a), 0, 1000 * math.sin(a))
    bend = {"turn": {"bearing": 90, "rise": rise}}
    over = {"pass over": {"thing": "waste pipe", "gap": 10, "angle": 45}}
    if steep:
        ((item, message),) = faults(bend, {"go": 2000}, over, things=[across])
        assert item == 2
        assert "to which side" in message
    else:
        assert len(corners(bend, {"go": 2000}, over, things=[across])) == 5


@pytest.mark.parametrize(("hold", "guide"), [(90.0, 20.0), (20.0, 90.0)])
def test_the_flat_of_four_bends_is_long_enough_for_hold_and_for_guide(hold, guide):
    """Between the arcs of the two top bends lies at least what the former holds or guides, whichever is more."""
    made = table(
        {"east": 2400},
        {"pass over": {"thing": "waste pipe", "gap": 10, "angle": 45, "bends": 4}},
        things=[pipe(1000, diameter=22)],
        former=Former(55.0, hold_mm=hold, guide_mm=guide),
    )
    assert made.bends[2].straight_before_mm >= 90.0 - 1e-9


@pytest.mark.parametrize("off", [0.5, 3.0])
def test_a_corner_off_the_heading_is_refused_even_by_little(off):
    """Half a millimetre off line in 300 would be a bend of a tenth of a degree: it is not taken for straight ahead."""
    (item, message), *_ = faults({"corner": [300.0, off, 0.0]}, {"up": 300}, heading=(1.0, 0.0, 0.0))
    assert item == 0
    assert "not straight ahead" in message


def test_left_after_a_return_bend_on_an_upright_leg_is_still_known():
    """Up, back down by a return to the north, then left: facing is still counted from the last level leg, east."""
    made = route({"east": 300}, {"up": 400}, {"turn": {"back": "north"}}, {"go": 300}, {"left": 250})
    last = np.subtract(made.corners[-1], made.corners[-2])
    assert last / np.linalg.norm(last) == pytest.approx([0, 1, 0])
