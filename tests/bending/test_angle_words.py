"""Angles in words, against decimal arithmetic and the rules written out by hand."""

from decimal import ROUND_HALF_UP, Decimal

import pytest
from made_runs import made_run

from pipemodel.bending.angle_words import plane_turn, roll_turn, way_round
from pipemodel.drawing.templates import angle_cards
from pipemodel.messages.angles import deg, rounded_deg


def test_tenths_are_rounded_as_decimals_are_on_both_sides_of_zero():
    """Halves go away from 0: the decimal module's half-up rule, by the printed figures and not by floats."""
    counted = 0
    for i in range(-1500, 1500, 7):
        value = Decimal(i) / 100
        right = value.quantize(Decimal("0.1"), rounding=ROUND_HALF_UP)
        assert rounded_deg(float(value)) == float(right)
        counted += right < 0
    assert counted > 200


@pytest.mark.parametrize(
    ("value", "said"),
    [(90, "90"), (22.5, "22.5"), (-22.5, "-22.5"), (-90, "-90"), (0, "0"), (0.04, "0.04"), (-0.04, "-0.04"),
     (0.05, "0.1"), (-0.05, "-0.1"), (1e-12, "0")],
)  # fmt: skip
def test_angles_for_reading(value, said):
    assert deg(value) == said


def test_ways_round_are_by_the_sign():
    assert str(plane_turn(45)) == "45 clockwise"
    assert str(plane_turn(-45)) == "45 anticlockwise"
    assert str(plane_turn(-180)) == str(plane_turn(180)) == "180, the other way"
    assert str(plane_turn(0)) == "0, the same way again"
    assert str(plane_turn(45, first=True)) == "first bend"
    assert str(roll_turn(30)) == "30 clockwise"
    assert str(roll_turn(-30)) == "30 anticlockwise"
    assert (str(roll_turn(0.5)), str(roll_turn(-0.5))) == ("0.5 clockwise", "0.5 anticlockwise")
    assert (way_round(0.2).key, way_round(-0.2).key) == ("clockwise", "anticlockwise")
    assert str(roll_turn(45, first=False)) == "45 clockwise"
    assert str(roll_turn(0)) == "0, the same side up"
    assert str(roll_turn(-180)) == str(roll_turn(180)) == "180, half a turn"
    assert str(roll_turn(30, end_for_end=True)) == "end for end, 30 clockwise"
    assert str(roll_turn(30, end_for_end=True, first=True)) == "first pull: any side up"


@pytest.mark.parametrize(("angle", "said"), [(22.25, "22.3"), (44.95, "45"), (89.85, "89.9")])
def test_the_angle_card_of_a_bend_has_the_figure_that_its_bend_has(angle, said):
    """A bend halfway between two tenths is named by the same one in the list of bends and on its card."""
    run = made_run([200, 200], [angle])
    (card,) = angle_cards([run])
    assert deg(run.table.bends[0].angle_deg) == said
    assert f"{said}\u00b0" in [item.text for item in card.items if hasattr(item, "text")]
