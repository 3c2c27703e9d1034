"""Runs written down as their legs, angles and turns, for the tests of the plan of pulls."""

import math
import random
from dataclasses import replace

from pipemodel.bending.bends import Bend, BendTable, centreline_of, corners_of, gain
from pipemodel.bending.schedule import SolvedRun
from pipemodel.job.model import Route, Run
from pipemodel.trade.model import Former, Springback, Tube

TUBE = Tube(15.0, 0.7, "15 x 0.7")


def made_run(legs, angles, turns=None, tube=TUBE, bender=None, **former):
    """A solved run: n + 1 legs (tails included), n angles, n - 1 turns; `former` are the fields of a Former."""
    former = Former(**{"radius_mm": 55.0, "hold_mm": 60.0, "guide_mm": 45.0, **former})
    turns = [0.0, *(turns or [0.0] * (len(angles) - 1))][: len(angles)]
    bends, at = [], 0.0
    for number, (leg, angle, turn) in enumerate(zip(legs, angles, turns, strict=False), 1):
        at += leg
        arc = former.radius_mm * math.radians(angle)
        bends.append(Bend(number, at, leg, angle, turn, former.radius_mm, arc, gain(former.radius_mm, angle)))
        at += arc
    table = BendTable((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0), tuple(bends), legs[-1])
    corners, joined = corners_of(table)
    return SolvedRun(Run("made", tube, former, Route(corners, joined), bender=bender), table, centreline_of(table))


def random_run(seed, bends=None, bender=None, **former):
    """A run of up to five bends with legs about the length that a former needs: some can be bent, some not."""
    dice = random.Random(seed)
    n = bends or dice.randint(1, 5)
    legs = [dice.choice([15, 30, 50, 58, 70, 100, 180]) + dice.random() for _ in range(n + 1)]
    angles = [dice.choice([15, 30, 45, 90, 120]) for _ in range(n)]
    turns = [dice.choice([0, 90, 180, 180, -90, 37]) for _ in range(n - 1)]
    return made_run(legs, angles, turns, bender=bender, **former)


SPRINGY = Springback(0.05, 1.5)


def standing(run, stands):
    """The run with its bender standing so."""
    return replace(run, run=replace(run.run, stance=stands))
