"""Random jobs, written as YAML from legs, angles and twists; the corner points in the file are the oracle.

Angles and springback are such that pulls come out in tenths of a degree, so that a figure read off a paper is the
figure meant; the pieces lie at any angle in the room.
"""

import random
from dataclasses import dataclass, field

import numpy as np

from follower.bench import Former
from follower.shape import Piece, half_turn, piece_from_corners, rotation

SIZES = {15.0: (0.7, 55.0), 22.0: (0.9, 77.0)}
ANGLES = (15, 22.5, 30, 45, 60, 90, 120)
TWISTS = (0, 90, 180, 180, -90, 37, -64.5, 135, 12.3)
JOBS_OWN = "former of the job"
SPRINGS = ((0.0, 0.0), (1.0, 0.02), (1.5, 0.0), (0.0, 0.04), (1.2, 0.06))


@dataclass(frozen=True)
class RunWanted:
    """What one run of a job asks for: its corner points, tube and former, and the former that single bends have."""

    name: str
    points: np.ndarray
    outside: float
    former: Former
    hold: float
    guide: float
    returns: tuple[int, ...] = ()
    """Bends made of a corner and the one after it: of 180 degrees, counted as they are pulled, from 0."""
    own: dict[int, Former] = field(default_factory=dict)
    """The formers of single bends, by the number of the bend."""

    def former_of(self, bend):
        """What a bend, by its number, is made round."""
        return self.own.get(bend, self.former)

    @property
    def formers(self):
        """The formers of its bends, by the names the papers give them."""
        used = {self.former_of(number) for number in range(1, len(self.points) - 1)}
        return {JOBS_OWN if f == self.former else f"former of radius {f.radius:g} mm": f for f in used}

    @property
    def radii(self):
        """The radius at each of its corner points between start and finish."""
        return [self.former_of(number).radius for number in range(1, len(self.points) - 1)]

    @property
    def piece(self):
        """The piece its corner points mean."""
        piece = piece_from_corners(self.points, self.radii)
        for n in self.returns:
            # Two square bends the same way, with nothing between them.
            angles = (*piece.angles[:n], piece.angles[n] + piece.angles[n + 1], *piece.angles[n + 2 :])
            twists, straights = (x[: n + 1] + x[n + 2 :] for x in (piece.twists, piece.straights))
            piece = Piece(straights, angles, twists, piece.radii[1:])
        return piece


@dataclass(frozen=True)
class JobWanted:
    """A job as text, and what it asks for."""

    yaml: str
    runs: tuple[RunWanted, ...]
    stock: float
    offcuts: tuple[float, ...]
    kerf: float
    stands: str = "flat"
    """How the bender stands."""


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
        f"former: {_former(former, hold, guide)}",
        f"stock: {{length: {stock:g}, offcuts: [{', '.join(f'{x:g}' for x in offcuts)}]}}",
        f"kerf: {kerf:g}",
        "runs:",
    ]
    for run in made:
        listed = ", ".join("[" + ", ".join(f"{x:.9f}" for x in point) + "]" for point in run.points)
        lines += [f"  {run.name}:", f"    points: [{listed}]"]
    return JobWanted("\n".join(lines) + "\n", tuple(made), stock, offcuts, kerf)


def mixed_job(seed):
    """Make a job of one run whose bends are made round up to three formers; odd ones are written as a route."""
    dice = random.Random(f"mixed {seed}")
    limits = dice.choice([(60.0, 45.0), (90.0, 25.0), (40.0, 70.0)])
    shared, *others = (
        Former(radius, *dice.choice(SPRINGS), dice.choice([0.0, 0.0, 12.5, 40.0, -18.0]))
        for radius in (55.0, 80.0, 110.0)
    )
    n = dice.randint(2, 5)
    own = {number: former for number in range(1, n + 1) if (former := dice.choice([None, None, *others]))}
    own[dice.randint(1, n)] = dice.choice(others)
    hold, guide = limits
    legs = [round(dice.choice([guide + 2, hold + 3, hold + guide, 160.0]) + dice.random() * 60) for _ in range(n + 1)]
    if hold > guide and dice.random() < 0.7:
        legs[0], legs[-1] = guide + 4, guide + 7
    angles = [dice.choice(ANGLES) for _ in range(n)]
    twists = [0.0, *(half_turn(dice.choice(TWISTS)) for _ in range(n - 1))]
    radii = tuple(own.get(number, shared).radius for number in range(1, n + 1))
    corners = Piece(tuple(map(float, legs)), tuple(angles), tuple(twists), radii).corners
    corners = corners @ rotation([dice.gauss(0, 1) for _ in range(3)], dice.uniform(0, 360)).T
    items = ["[" + ", ".join(f"{x:.9f}" for x in point) + "]" for point in corners]
    for number, former in own.items():
        items[number] = f"{{at: {items[number]}, former: {_former(former, hold, guide)}}}"
    if seed % 2:
        way = [f"    start: {items[0]}", f"    route: [{', '.join(f'{{corner: {item}}}' for item in items[1:])}]"]
    else:
        way = [f"    points: [{', '.join(items)}]"]
    lines = [
        f"job: mixed {seed}",
        "tube: {outside: 15, wall: 0.7}",
        f"former: {_former(shared, hold, guide)}",
        "stock: {length: 6000}",
        "runs:",
        "  run a:",
        *way,
    ]
    run = RunWanted("run a", corners, 15.0, shared, hold, guide, own=own)
    return JobWanted("\n".join(lines) + "\n", (run,), 6000.0, (), 0.0)


def long_job(seed):
    """Make a job of one run of many bends, whose ends are mostly out of reach, in tube up to 28; odd ones upright."""
    dice = random.Random(f"long {seed}")
    outside, wall, radius = dice.choice([(15.0, 0.7, 55.0), (22.0, 0.9, 77.0), (28.0, 0.9, 114.0)])
    former = Former(radius, *dice.choice(SPRINGS), dice.choice([0.0, 12.5, -18.0, 40.0]))
    n = dice.randint(8, 11)
    legs = [round(dice.uniform(140, 340)) + 0.0 for _ in range(n + 1)]
    angles = [float(dice.choice((30, 45, 60, 90))) for _ in range(n)]
    twists = [0.0, *(float(half_turn(dice.choice((0, 180, 90, -90, 37, -140)))) for _ in range(n - 1))]
    corners = Piece(tuple(legs), tuple(angles), tuple(twists), (radius,) * n).corners
    run = RunWanted("run a", corners, outside, former, 60.0, 45.0)
    listed = ", ".join("[" + ", ".join(f"{x:.9f}" for x in point) + "]" for point in corners)
    stands = ("flat", "upright")[seed % 2]
    yaml = f"""\
job: long {seed}
tube: {{outside: {outside:g}, wall: {wall}}}
former: {_former(former, 60.0, 45.0)}
bender stands: {stands}
stock: {{length: 9000}}
runs:
  run a: {{points: [{listed}]}}
"""
    return JobWanted(yaml, (run,), 9000.0, (), 0.0, stands)


def _former(former, hold, guide):
    return (
        f"{{radius: {former.radius:g}, springback: {{fixed: {former.fixed}, per_degree: {former.per_degree}}}, "
        f"mark: {former.mark:g}, hold: {hold:g}, guide: {guide:g}}}"
    )


WAYS = {"up": (0, 0, 1), "down": (0, 0, -1), "north": (0, 1, 0), "south": (0, -1, 0)}
"""Across a run that heads east."""


def flat_job(seed):
    """Make a job of two runs for what is drawn: one with a return bend of 180, one that lies all but flat.

    Of the second some bends lie in the plane of the one before and some a few degrees off it; a leg may be very long.
    """
    dice = random.Random(f"flat {seed}")
    former = Former(55.0, 1.5, 0.0, dice.choice([0.0, 12.5, -18.0]))
    a, b, c = (round(dice.uniform(180, 420)) for _ in range(3))
    back, on = dice.choice(list(WAYS)), dice.choice(["up", "down", "north", "south"])
    across = 2 * former.radius * np.array(WAYS[back])
    way = np.array({"up": (0, 0, 1), "down": (0, 0, -1), "north": (0, 1, 0), "south": (0, -1, 0)}[on])
    first = np.array(
        [(0, 0, 0), (a, 0, 0), (a, 0, 0) + across, (a - b, 0, 0) + across, (a - b, 0, 0) + across + c * way]
    )
    n = dice.randint(2, 4)
    legs = [float(dice.choice([170, 230, 640])) for _ in range(n + 1)]
    twists = [0.0, *(float(dice.choice([0, 180, 4, -176, 180, -3])) for _ in range(n - 1))]
    angles = [float(dice.choice([30, 45, 60, 90])) for _ in range(n)]
    second = Piece(tuple(legs), tuple(angles), tuple(twists), (former.radius,) * n).corners + [0, 3000, 0]
    runs = (
        RunWanted("run a", first.astype(float), 15.0, former, 60.0, 45.0, (0,)),
        RunWanted("run b", second, 15.0, former, 60.0, 45.0),
    )
    listed = ", ".join("[" + ", ".join(f"{x:.9f}" for x in point) + "]" for point in second)
    yaml = f"""\
job: flat {seed}
tube: {{outside: 15, wall: 0.7}}
former: {{radius: 55, springback: {{fixed: 1.5, per_degree: 0.0}}, mark: {former.mark:g}, hold: 60, guide: 45}}
stock: {{length: 6000}}
runs:
  run a:
    start: [0, 0, 0]
    route: [{{east: {a}}}, {{turn: {{back: {back}}}}}, {{go: {b}}}, {{{on}: {c}}}]
  run b:
    points: [{listed}]
"""
    return JobWanted(yaml, runs, 6000.0, (), 0.0)


def crowded_job(seed):
    """Make a job of one long run with a small set in it, whose bends crowd where all of it is drawn."""
    dice = random.Random(f"crowded {seed}")
    former = Former(55.0, 1.5, 0.0, 0.0)
    long, on = (float(dice.randint(1200, 1500)) for _ in range(2))
    piece = Piece((long, 30.0, on, 200.0), (30.0, 30.0, 90.0), (0.0, 180.0, dice.choice([0.0, 90.0])), (55.0,) * 3)
    run = RunWanted("run a", piece.corners, 15.0, former, 20.0, 20.0)
    listed = ", ".join("[" + ", ".join(f"{x:.9f}" for x in point) + "]" for point in piece.corners)
    yaml = f"""\
job: crowded {seed}
tube: {{outside: 15, wall: 0.7}}
former: {{radius: 55, springback: {{fixed: 1.5, per_degree: 0.0}}, hold: 20, guide: 20}}
stock: {{length: 6000}}
runs:
  run a: {{points: [{listed}]}}
"""
    return JobWanted(yaml, (run,), 6000.0, (), 0.0)


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
