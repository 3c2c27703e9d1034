"""How stretches of tube move through a pull, place by place."""

import math
import random

import pytest

from pipemodel.pulls.motion import MovingStretch, Swing, TubePart, sector_of


@pytest.mark.parametrize("part", [TubePart.HELD, TubePart.FREE])
def test_the_sector_of_a_stretch_holds_every_place_of_it_all_through_the_swing(part):
    """Seen from the free side while it turns: the held side turns the other way, the free side slides by 60."""
    dice, counted = random.Random(8), 0
    swing = Swing(taken=60.0, groove=50.0, axis=5.0, turned=1.6, leaves=0.0, room=0.0)
    for _ in range(300):
        a, b = (tuple(dice.uniform(-200, 200) for _ in range(3)) for _ in range(2))
        found = sector_of(MovingStretch(part, 0.0, math.dist(a, b), a, b, 0.0, 0.0, None), swing)
        assert 0.0 <= found.span <= math.pi + 1.6 + 1e-9
        for i in range(11):
            x, y, z = (p + (q - p) * i / 10 for p, q in zip(a, b, strict=True))
            assert found.low - 1e-9 <= z <= found.high + 1e-9
            for j in range(7):
                turned, slid = (1.6 * j / 6, 0.0) if part is TubePart.HELD else (0.0, 60.0 * j / 6)
                out = math.hypot(x - slid, y - 5.0)
                assert found.near - 1e-9 <= out <= found.far + 1e-9
                # Of the free side the angles are those of its middle; the rest is room.
                if part is TubePart.FREE and j != 3:
                    continue
                assert out >= found.bare - 1e-9
                on = (math.atan2(y - 5.0, x - slid) + turned - found.start) % math.tau
                assert min(on, math.tau - on) <= 1e-9 or on <= found.span + 1e-9
                counted += 1
    assert counted > 3000
