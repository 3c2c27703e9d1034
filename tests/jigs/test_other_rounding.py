"""Another machine rounds the last digits otherwise: no slot may hang on that."""

import numpy as np
import pytest
from jig_pieces import PIECES, PLAIN, jig_of
from wide import few_or_many

from pipemodel.jigs import verdict
from pipemodel.jigs.plan import plans

LAST_DIGITS = 2e-14


@pytest.mark.slow
@pytest.mark.parametrize("name", ["flat set", "two planes"])
def test_slots_are_the_same_whatever_the_last_digits(name, monkeypatch):
    def slots(layout):
        return [(t.cradle.clearance_mm, t.cradle.stop_mm) for t in layout.towers]

    most = verdict._most
    as_here = slots(jig_of(name).layout)
    for seed in range(few_or_many(1, 3)):
        dice = np.random.default_rng(seed)

        def rounded(values, dice=dice):
            return values * (1.0 + LAST_DIGITS * dice.standard_normal(np.shape(values)))

        def noisy(moves, slopes, above, below, greatest, given=None, rounded=rounded):
            return most(rounded(moves), rounded(slopes), rounded(above), rounded(below), greatest, given)

        monkeypatch.setattr(verdict, "_most", noisy)
        assert slots(next(plans(PIECES[name], PLAIN)).layout) == as_here
