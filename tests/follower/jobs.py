"""Random jobs, written as YAML from legs, angles and twists; the corner points in the file are the oracle.

Angles and springback are such that pulls come out in tenths of a degree, so that a figure read off a paper is the
figure meant; the pieces lie at any angle in the room.
"""

import random
from dataclasses import dataclass

import numpy as np

from follower.bench import Former
from follower.shape import Piece, half_turn, piece_from_corners, rotation

SIZES = {15.0: (0.7, 55.0), 22.0: (0.9, 77.0)}
ANGLES = (15, 22.5, 30, 45, 60, 90, 120)
TWISTS = (0, 90, 180, 180, -90, 37, -64.5, 135, 12.3)
SPRINGS = ((0.0, 0.0), (1.0, 0.02), (1.5, 0.0), (0.0, 0.04), (1.2, 0.06))


@dataclass(frozen=True)
class RunWanted:
    """What one run of a job asks for: its corner points, tube and former."""

    name: str
    points: np.ndarray
    outside: float
    former: Former
    hold: float
    guide: float

    @property
    def piece(self):
        """The piece its corner points mean."""
        return piece_from_corners(self.points, self.former.radius)


@dataclass(frozen=True)
class JobWanted:
    """A job as text, and what it asks for."""

    yaml: str
    runs: tuple[RunWanted, ...]
    stock: float
    offcuts: tuple[float, ...]
    kerf: float


def random_job(seed, runs=None, jointed=False):
    """Make a job of one or two runs; a jointed one is longer than its stock."""
    dice = random.Random(seed)
    made = []
    outside = dice.choice([15.0, 15.0, 22.0])
    wall, radius = SIZES[outside]
    fixed, per_degree = dice.choice(SPRINGS)
    former = Former(radius, fixed, per_degree, dice.choice([0.0, 0.0, 12.5, 40.0, -18.0]))
    hold, guide = dice.choice([(60.0, 45.0), (90.0, 25.0), (40.0, 70.0)])
    for number in range(runs or dice.choice([1, 1, 2])):
        made.append(
            RunWanted(f"run {'abc'[number]}", _points(dice, radius, hold, guide, jointed), outside, former, hold, guide)
        )
    stock = 1500.0 if jointed else 6000.0
    offcuts = () if jointed else tuple(sorted(dice.sample([900.0, 1300.0, 1750.0, 2400.0], dice.choice([0, 2]))))
    kerf = dice.choice([0.0, 2.0])
    lines = [
        f"job: piece {seed}",
        f"tube: {{outside: {outside:g}, wall: {wall}}}",
        f"former: {{radius: {radius:g}, springback: {{fixed: {fixed}, per_degree: {per_degree}}}, "
        f"mark: {former.mark:g}, hold: {hold:g}, guide: {guide:g}}}",
        f"stock: {{length: {stock:g}, offcuts: [{', '.join(f'{x:g}' for x in offcuts)}]}}",
        f"kerf: {kerf:g}",
        "runs:",
    ]
    for run in made:
        listed = ", ".join("[" + ", ".join(f"{x:.9f}" for x in point) + "]" for point in run.points)
        lines += [f"  {run.name}:", f"    points: [{listed}]"]
    return JobWanted("\n".join(lines) + "\n", tuple(made), stock, offcuts, kerf)


def _points(dice, radius, hold, guide, long):
    """Corner points of a random piece; legs are about as long as the former needs, so that ends and order matter."""
    n = dice.randint(2, 5) if long else dice.randint(1, 5)
    tight = [guide + 2, hold + 3, hold + guide, 160.0, 240.0]
    legs = [round((dice.choice(tight) + dice.random() * 30 + (350 if long else 0)) * 2) / 2 for _ in range(n + 1)]
    if hold > guide and n > 1 and dice.random() < 0.4:
        # Tails that can be guided and not held: the tube has to be turned end for end on the way.
        legs[0], legs[-1] = guide + 4.0, guide + 7.5
    angles = [dice.choice(ANGLES) for _ in range(n)]
    twists = [0.0, *(half_turn(dice.choice(TWISTS)) for _ in range(n - 1))]
    corners = Piece(tuple(legs), tuple(angles), tuple(twists), (radius,) * n).corners
    ways = np.array([dice.gauss(0, 1) for _ in range(3)])
    turn = rotation(ways, dice.uniform(0, 360))
    # Away from anything else in the room: there is nothing else.
    return corners @ turn.T + np.array([dice.uniform(-2000, 2000) for _ in range(3)])
