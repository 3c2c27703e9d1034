"""Letters and labels on the parts of a jig: figures worked out by hand."""

import numpy as np
import pytest
from jig_bases import EAST, NORTH, based
from jig_pieces import PLAIN

from pipemodel.jigs.build import body_of
from pipemodel.jigs.carve import lettering
from pipemodel.jigs.glyphs import strokes, width_of
from pipemodel.jigs.labels import label_solid, lines_for, place_label, towers_to_letter
from pipemodel.jigs.split import BarJoint, Cut, PartPlan


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
