"""A passover held by its outer legs alone may be rolled in its jig: what it then passes, by arithmetic on one line.

Its outer legs lie in one line, held at four stretches in slots of clearance c across and up. A middle leg too long by d
moves all after it by d sin(angle) aside and by d cos(angle) along. Across, the most that a straight line through the
slots can step aside between them is a linear program of three unknowns; with the step halfway between across and up it
is sqrt(2) times that. Along, both stops give way.
"""

from functools import cache
from math import cos, radians, sin, sqrt, tan

import numpy as np
import pytest
from gallery import run
from scipy.optimize import linprog

from pipemodel.bending.schedule import solve_run
from pipemodel.jigs.design import design
from pipemodel.jigs.rolls import free_roll, rolled_halfway
from pipemodel.job.jig import JigSettings

PASSOVER = ((0, 0, 0), (250, 0, 0), (330, 0, 80), (470, 0, 80), (550, 0, 0), (820, 0, 0))


@cache
def jig():
    return design(solve_run(run("passover", PASSOVER)), JigSettings())


def most_aside(towers):
    """The most that what a line does beyond the middle may step aside, all ends of slots kept to; mm."""
    rows, limits = [], []
    for tower in towers:
        for low in (tower.cradle.low_mm, tower.cradle.high_mm):
            # The last bend takes 55 tan(22.5 degrees) of the last leg.
            last = tower.cradle.leg > 0
            x, beyond = low + (550.0 + 55.0 * tan(radians(22.5)) if last else 0.0), float(last)
            rows += [[1.0, x, beyond], [-1.0, -x, -beyond]]
            limits += [tower.cradle.clearance_mm] * 2
    return linprog([0.0, 0.0, -1.0], A_ub=rows, b_ub=limits, bounds=[(None, None)] * 3).x[2]


@pytest.mark.slow
def test_a_leg_of_a_passover_is_judged_as_it_lies_rolled_with_most_out():
    towers = jig().layout.towers
    assert {tower.cradle.leg for tower in towers} == {0, 4}
    aside = sqrt(2.0) * most_aside(towers) / sin(radians(45.0))
    along = sum(t.cradle.stop_mm for t in towers) / cos(radians(45.0))
    limit = next(one for one in jig().limits if (one.fault.kind, one.fault.number) == ("leg", 2))
    true = min(aside, along)
    assert aside < along
    assert limit.passes_to <= true <= limit.refused_from
    assert limit.refused_from - limit.passes_to <= 0.05 * true + 0.2


def test_only_what_lies_in_one_line_rolls():
    """Points on a line, judged across it and up: free about it; a point aside, judged upwards, stops that."""
    along, across, up = np.eye(3)

    def row(point, way):
        return [*way, *(np.cross(point, way) / 100.0)]

    line = [row(x * along, way) for x in (-300.0, -80.0, 90.0, 310.0) for way in (across, up)]
    line.append(row(-300.0 * along, along))
    assert np.abs(free_roll(np.array(line))) == pytest.approx(along)
    assert free_roll(np.array([*line, row(60.0 * across, up)])) is None
    for off in (across, up, across - 2.0 * up, [0.4, 0.0, -1.0]):
        x, y, z = rolled_halfway(np.array([off]), (1.0, 0.0, 0.0)) @ off
        assert (x, abs(y)) == (pytest.approx(off[0]), pytest.approx(abs(z)))
