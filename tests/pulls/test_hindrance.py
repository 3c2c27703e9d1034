"""What hinders every order of pulls, in its words and figures, worked out by hand for each case."""

import math
from dataclasses import replace

import pytest
from made_runs import made_run

from pipemodel.messages.values import Length, message
from pipemodel.pulls.hindrance import hindrances_of, leg_called, place_called
from pipemodel.pulls.limits import FlatTube
from pipemodel.pulls.piece import PieceToBend
from pipemodel.pulls.way_out import _after
from pipemodel.trade.model import Springback

SQUARE_ARC = 55.0 * math.pi / 2.0


def only(run):
    (found,) = hindrances_of(PieceToBend.of(run))
    return found


def test_the_tail_that_lacks_least_is_the_one_to_lengthen():
    """60 to hold, 20 to guide: the start tail of 30 lacks 30; of 25 and 40 the finish tail lacks only 20."""
    found = only(made_run([30, 30], [90], hold_mm=60.0, guide_mm=20.0))
    assert found.message == (
        "start tail is 30.0 mm; 60.0 mm is needed to hold the pull beside it: 30.0 mm longer "
        "(it can be cut off after bending)"
    )
    assert (found.kind, found.leg, found.bend, found.has, found.needs) == ("straight", 0, None, 30.0, 60.0)
    assert found.at_mm == pytest.approx(15.0)
    found = only(made_run([25, 40], [90], hold_mm=60.0, guide_mm=20.0))
    assert found.message == (
        "finish tail is 40.0 mm; 60.0 mm is needed to hold the pull beside it: 20.0 mm longer "
        "(it can be cut off after bending)"
    )
    assert (found.leg, found.needs) == (1, pytest.approx(60.0))
    assert found.at_mm == pytest.approx(25.0 + SQUARE_ARC + 20.0)


def test_a_leg_between_two_bends_is_not_said_to_be_cut_off():
    found = only(made_run([200, 31.2, 200], [90, 90]))
    assert found.message == (
        "leg between bends 1 and 2 is 31.2 mm; 45.0 mm is needed to guide the pull beside it: 13.8 mm longer"
    )
    assert (found.leg, found.needs) == (1, pytest.approx(45.0))
    assert found.at_mm == pytest.approx(200.0 + SQUARE_ARC + 15.6)


def test_a_tail_that_is_held_together_with_tube_not_bent_yet():
    """The second bend's former holds 300 and has 20, the arc of bend 1 and 100: 93.606 too little.

    Held by the finish tail of 50 it lacks 250; so the start tail has to have 113.606.
    """
    piece = PieceToBend.of(made_run([20, 100, 50], [90, 90], hold_mm=100.0, guide_mm=20.0))
    first, second = piece.formers
    (found,) = hindrances_of(replace(piece, formers=(first, replace(second, hold_mm=300.0))))
    assert found.message == (
        "start tail is 20.0 mm; 113.7 mm is needed for the former to hold 300 mm and guide 20 mm, tube not bent yet "
        "included: 93.7 mm longer (it can be cut off after bending)"
    )
    assert found.needs == pytest.approx(300.0 - SQUARE_ARC - 100.0)


def test_a_springback_below_nothing_says_what_it_should_be():
    """30 degrees less 40 is a pull of -10; the middle of bend 2 lies half its arc of 28.80 on."""
    found = only(made_run([300, 300, 300], [90, 30], springback=Springback(0.0, -40.0)))
    assert found.message == (
        "bend 2 of 30 degrees would be pulled to -10, which bends nothing: tube springs open, so the springback of -40 "
        "there should be above 0"
    )
    assert (found.kind, found.bend, found.has, found.needs) == ("angle", 2, -10.0, pytest.approx(30.0))
    assert found.at_mm == pytest.approx(600.0 + SQUARE_ARC + 55.0 * math.radians(30.0) / 2.0)


def test_a_pull_beyond_the_former_is_at_the_middle_of_its_bend():
    """120 and 2 % is 122.4, more than 100; 90 and 2 % is 91.8 and is not."""
    found = only(made_run([300, 300, 300], [90, 120], springback=Springback(0.02), max_angle_deg=100.0))
    assert found.message == "bend 2 of 120 degrees has to be pulled to 122.4; the former goes no further than 100"
    assert (found.kind, found.bend, found.has) == ("angle", 2, 100.0)
    assert found.needs == pytest.approx(122.4)
    assert found.at_mm == pytest.approx(600.0 + SQUARE_ARC + 55.0 * math.radians(120.0) / 2.0)


def test_places_along_the_flat_tube_are_named():
    tube = FlatTube((100.0, 300.0), (150.0, 400.0), 500.0)
    named = [str(place_called(tube, at)) for at in (0.0, 99.0, 100.0, 150.0, 151.0, 299.0, 350.0, 400.0, 401.0, 500.0)]
    between = "leg between bends 1 and 2"
    assert named == ["start tail"] * 2 + ["bend 1"] * 2 + [between] * 2 + ["bend 2"] * 2 + ["finish tail"] * 2
    assert [str(leg_called(leg, 3)) for leg in range(4)] == [
        "start tail",
        between,
        "leg between bends 2 and 3",
        "finish tail",
    ]
    assert str(leg_called(0, 0)) == "tube"


def test_bends_made_before_are_listed():
    assert [str(_after(made)) for made in ([], [4], [1, 3], [1, 2, 5])] == [
        "", " after bend 4", " after bends 1 and 3", " after bends 1, 2 and 5"]  # fmt: skip


def test_a_length_that_must_not_be_undercut_is_rounded_up():
    lengths = [Length(mm, ".1f", rounded="up") for mm in (13.8, 13.800001, 13.81, 93.606, 0.0, 20.0)]
    said = [str(message("length", mm=length)) for length in lengths]
    assert said == ["13.8 mm", "13.8 mm", "13.9 mm", "93.7 mm", "0.0 mm", "20.0 mm"]
