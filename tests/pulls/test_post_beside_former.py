"""Posts beside the former of a described bender, against the tube laid out step by step by plain trigonometry.

Nothing of the sweep is used: at each step of the pull the tube is the straight that is held, the arc that the groove
has taken up, and the rest of it as a straight off that arc; a post is as far off as the nearest of the three.
"""

import math
import random

import numpy as np
from made_runs import made_run

from pipemodel.geometry.shapes import Cylinder
from pipemodel.pulls.clear_of_bender import InBender
from pipemodel.pulls.piece import PieceToBend
from pipemodel.trade.benders import Bender, BenderPart

RADIUS, TUBE = 55.0, 7.5


def off_straight(post, begin, finish):
    way = finish - begin
    share = np.clip(((post - begin) @ way) / (way @ way), 0.0, 1.0)
    return np.linalg.norm(post - begin - share * way)


def nearest(post, angle, pull, before, after):
    """How near the tube's axis comes to a place beside the former, whose middle is the origin."""
    top = np.array([0.0, RADIUS])
    arc, least = RADIUS * angle, off_straight(post, np.array([-before, RADIUS]), top)
    for share in np.linspace(0.0, 1.0, 200):
        turned = share * pull
        end = RADIUS * np.array([math.sin(turned), math.cos(turned)])
        ahead = np.array([math.cos(turned), -math.sin(turned)])
        least = min(least, off_straight(post, end, end + (arc * (1.0 - share) + after) * ahead))
        if 0.0 <= math.atan2(post[0], post[1]) <= turned:
            least = min(least, abs(np.linalg.norm(post) - RADIUS))
    return least


def test_a_post_beside_the_former_is_hit_when_the_tube_comes_by_it_and_not_otherwise():
    dice, seen = random.Random(77), []
    while len(seen) < 40:
        angle, thick = dice.choice([30, 45, 90, 120, 150]), dice.choice([6.0, 10.0, 20.0])
        before, after = dice.choice([60.0, 150.0, 300.0]), dice.choice([100.0, 300.0])
        turn = dice.uniform(0.0, 2.0 * math.pi)
        far = dice.choice([dice.uniform(20.0, 48.0), dice.uniform(60.0, 95.0), dice.uniform(60.0, 300.0)])
        x, y = far * math.cos(turn), far * math.sin(turn)
        part = BenderPart("post", Cylinder((x, y, -100.0), (x, y, 100.0), thick))
        bender = Bender("post", RADIUS, room=(part,))
        piece = PieceToBend.of(made_run([before, after], [angle], hold_mm=10.0, bender=bender))
        axis = nearest(np.array([x, y]), math.radians(angle), math.radians(piece.pull_deg(0)), before, after)
        gap = axis - TUBE - thick / 2.0
        if abs(gap) > 1.0:
            assert InBender(piece, bender).clear(0, 0, 0) == (gap > 0.0), (angle, x, y, gap)
            seen.append(gap > 0.0)
    assert 5 < sum(seen) < 35
