"""What records say of a former and of hands, held against formers and hands that are known.

The pieces are bent by `former_simulator`, which shares no code with the tool. How often an interval holds the truth
over many of them is what it has to be honest about.
"""

from dataclasses import replace
from functools import cache
from itertools import product

import numpy as np
import pytest
from former_simulator import Bender, Meter, bent
from learning_records import FORMER, OUTSIDE, WALL, records
from wide import few_or_many

from pipemodel.learning.learned import learned_former, learned_hands
from pipemodel.learning.records import FormerKey
from pipemodel.learning.summary import summary
from pipemodel.trade.model import Former, Springback

KEY = FormerKey(FORMER, OUTSIDE, WALL)
BEFORE = Former(55.0, FORMER, Springback(0.02, 0.0))


def learned(rows, before=BEFORE, **more):
    return learned_former(records(rows, **more), KEY, before)


@pytest.mark.parametrize("held", [0.0, 0.5, 1.0])
def test_exact_readings_of_still_hands_give_the_former_itself(held):
    still = Bender(hand_mark=0.0, hand_angle=0.0, hand_turn=0.0)
    meter = Meter(1e-3, 1e-3, 1e-3)
    rows = bent(still, 12, 4, 1, meter, finish_held=held)
    found = learned(rows, meter=meter)
    assert found.law.fixed_deg == pytest.approx(still.fixed, abs=0.02)
    assert found.law.per_degree == pytest.approx(still.rate, abs=3e-4)
    assert found.mark.value == pytest.approx(still.mark, abs=0.05)
    if held:
        assert found.radius.value == pytest.approx(still.radius, abs=0.1)
    else:
        assert found.radius is None
    hands = learned_hands(records(rows, meter=meter))
    assert max(one.value for one in (hands.mark, hands.angle, hands.turn)) < 0.1


HAVE, HANDS = [(2, 3), (5, 3), (12, 4)], [0.3, 0.8, 1.6]
"""Pieces and the bends of each; how much hands scatter. By day each of them once."""


@pytest.mark.slow
@pytest.mark.parametrize(("have", "hand"), few_or_many(list(zip(HAVE, HANDS, strict=True)), list(product(HAVE, HANDS))))
def test_intervals_hold_the_truth_nineteen_times_in_twenty(have, hand):
    """150 formers each; 17 in 20 to all of them is what chance leaves of 19 in 20, and a prior near the truth adds."""
    (pieces, bends), n, held = have, 150, np.zeros(6)
    bender = Bender(hand_mark=hand, hand_angle=hand, hand_turn=hand)
    for seed in range(n):
        own = replace(bender, fixed=bender.fixed + 0.01 * seed, mark=bender.mark - 0.1 * seed)
        rows = records(bent(own, pieces, bends, [seed, pieces], finish_held=0.4))
        found, hands = learned_former(rows, KEY, BEFORE), learned_hands(rows)
        held += (
            abs(found.law.at_90.value - own.fixed - 90 * own.rate) <= found.law.at_90.half,
            found.radius is None or abs(found.radius.value - own.radius) <= found.radius.half,
            abs(found.mark.value - own.mark) <= found.mark.half,
            *(one.low <= hand <= one.high for one in (hands.mark, hands.angle, hands.turn)),
        )
    assert np.all(held / n >= 0.87), held / n


@cache
def halves(pieces):
    """Half of each figure's interval, by as many pieces, five times over."""
    found = [learned(bent(Bender(), pieces, 4, [seed, 5], finish_held=0.5)) for seed in range(5)]
    return [{"springback": f.law.at_90.half, "radius": f.radius.half, "mark": f.mark.half} for f in found]


@pytest.mark.slow
@pytest.mark.parametrize("figure", ["springback", "radius", "mark"])
def test_intervals_narrow_with_the_root_of_the_readings(figure):
    few, many = (np.mean([half[figure] for half in halves(pieces)]) for pieces in (40, 160))
    assert few / many == pytest.approx(2.0, rel=0.15)


def test_a_measured_former_counts_by_its_interval():
    """What was calibrated well moves little for one bad piece, what was taken by common practice most of the way."""
    rows = bent(Bender(fixed=4.0, hand_angle=0.1), 1, 3, 3)
    sure = replace(BEFORE, springback=Springback(0.045, 1.2, 0.2, 0.002, -0.5))
    unsure = replace(BEFORE, springback=Springback(0.045, 1.2))
    near = learned(rows, before=sure).law.at_90.value - (1.2 + 90 * 0.045)
    far = learned(rows, before=unsure).law.at_90.value - (1.2 + 90 * 0.045)
    assert 0.0 < near < 0.3
    assert far > 1.5


def test_another_tube_or_former_says_nothing():
    rows = records(bent(Bender(), 2, 3, 1))
    for other in (KEY._replace(former="other"), KEY._replace(wall_mm=1.0), KEY._replace(temper="R220")):
        assert learned_former(rows, other, BEFORE) is None
    assert learned_former(rows, KEY._replace(former=" Mine "), BEFORE) is not None  # the same, written otherwise


def test_each_persons_hands_are_their_own():
    steady = records(bent(Bender(hand_angle=0.2, hand_mark=0.2), 20, 4, 1), by="steady")
    rough = records(bent(Bender(hand_angle=3.0, hand_mark=3.0), 20, 4, 2), by="rough")
    both = summary((*steady, *rough))
    assert set(both.hands) == {None, "rough", "steady"}
    assert both.hands["steady"].angle.high < 1.0 < both.hands["rough"].angle.low
    assert both.hands["steady"] == learned_hands(steady)
    assert both.hands["steady"].mark.value < both.hands[None].mark.value < both.hands["rough"].mark.value


def test_without_readings_hands_are_those_of_common_practice():
    """The median of what is taken before any reading is the tool's default."""
    rows = tuple(replace(one, got_deg=None, start_mm=None, turned_deg=None) for one in records(bent(Bender(), 1, 2, 1)))
    hands = learned_hands(rows)
    for scatter in (hands.mark, hands.angle, hands.turn):
        assert scatter.value == pytest.approx(1.0, rel=0.01)
        assert scatter.low == pytest.approx(0.257, rel=0.03)  # 1 / 2 ** 1.96
        assert scatter.readings == 0


@pytest.mark.slow
def test_ten_times_as_many_records_say_the_same_more_surely():
    few, many = (learned(bent(Bender(), pieces, 5, 9, finish_held=0.3)) for pieces in (60, 600))
    assert many.law.at_90.value == pytest.approx(few.law.at_90.value, abs=few.law.at_90.half)
    assert many.law.at_90.half < few.law.at_90.half / 2.5
