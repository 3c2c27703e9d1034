"""The piece with some bends made and the rest straight: one worked by hand, and others by turning matrices."""

import random
from itertools import combinations
from math import pi, sqrt

import numpy as np
import pytest
from scipy.spatial.transform import Rotation

from pipemodel.bending.part_bent import part_bent
from pipemodel.bending.schedule import solve_run
from pipemodel.job.model import Route, Run
from pipemodel.trade.fittings import Ends
from pipemodel.trade.model import Former, Tube

R = 55.0


def solved(corners, trim=20.0):
    run = Run("rise", Tube(15.0, 0.7, "15 x 0.7"), Former(R), Route(tuple(corners)), ends=Ends(trim_mm=trim))
    return solve_run(run)


@pytest.mark.parametrize("made", [(), (1,), (2,), (1, 2)])
def test_east_up_south_with_some_of_its_bends(made):
    """East 600, up 600, south 300. A square bend takes 27.5 pi of tube.

    None made: straight, 545 + 490 + 245 + 20 and two bends. Bend 1 alone: all the rest goes up. Bend 2 alone: with bend
    1 opened up flat, up becomes east and south stays south.
    """
    arc = 27.5 * pi
    finish = {
        (): (1300.0 + 2 * arc, 0.0, 0.0),
        (1,): (600.0, 0.0, R + 490.0 + arc + 265.0),
        (2,): (545.0 + arc + 490.0 + R, -320.0, 0.0),
        (1, 2): (600.0, -320.0, 600.0),
    }[made]
    run = solved([(0.0, 0.0, 0.0), (600.0, 0.0, 0.0), (600.0, 0.0, 600.0), (600.0, -300.0, 600.0)])
    piece = part_bent(run, made)
    assert piece.centreline.finish == pytest.approx(finish, abs=1e-9)
    assert piece.centreline.length == pytest.approx(1300.0 + 2 * arc)
    assert [bend.number for bend in piece.bends] == list(made)
    assert len(piece.legs) == len(piece.arcs) + 1 == len(made) + 1
    assert piece.outside_mm == 15.0


def test_some_of_many_bends_by_turning_matrices():
    """The tube is walked along in a frame that turns: a bend not made still turns the plane of those after it."""
    counted = 0
    for seed in range(6):
        dice = random.Random(seed)
        corners = [np.zeros(3)]
        for _ in range(5):
            corners.append(
                corners[-1]
                + dice.uniform(300, 500) * Rotation.random(random_state=dice.randrange(10**6)).apply([1, 0, 0])
            )
        try:
            run = solved([tuple(map(float, c)) for c in corners])
        except ValueError:
            continue
        bends, table = run.table.bends, run.table
        for made in (c for n in range(5) for c in combinations(range(1, 5), n)):
            here, frame = np.array(table.start), np.column_stack([table.direction, table.normal])
            at = 0.0
            for bend in bends:
                here = here + frame[:, 0] * (bend.start_mm - at)
                frame = Rotation.from_rotvec(frame[:, 0] * np.radians(bend.turn_deg)).apply(frame.T).T
                if bend.number in made:
                    centre = here + R * np.cross(frame[:, 1], frame[:, 0])
                    swing = Rotation.from_rotvec(frame[:, 1] * np.radians(bend.angle_deg))
                    here, frame = centre + swing.apply(here - centre), swing.apply(frame.T).T
                else:
                    here = here + frame[:, 0] * bend.arc_mm
                at = bend.finish_mm
            here = here + frame[:, 0] * (run.cut_length_mm - at)
            assert part_bent(run, made).centreline.finish == pytest.approx(here, abs=1e-6)
            counted += 1
    assert counted > 40


@pytest.mark.parametrize(("angle", "back"), [(90, 62.5), (60, 62.5 / sqrt(3)), (120, 62.5), (150, 62.5)])
def test_how_far_the_back_lies_beyond_a_leg(angle, back):
    """Radius and half the outside are 62.5; the backs of two legs at 60 meet tan 30 of that beyond."""
    a = np.radians(angle)
    run = solved([(0.0, 0.0, 0.0), (500.0, 0.0, 0.0), (500.0 + 500 * np.cos(a), 500 * np.sin(a), 0.0)])
    assert part_bent(run, {1}).back_mm(0) == pytest.approx(back)
