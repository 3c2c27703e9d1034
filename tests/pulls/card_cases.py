"""What the tests of the cards share: the cards of runs, the skin of a piece, and how a piece lies in the bender."""

import math

import numpy as np
from made_runs import made_run, random_run
from scipy.spatial.transform import Rotation

from pipemodel.bending.part_bent import part_bent
from pipemodel.pulls.cards import cards_of
from pipemodel.pulls.offered import offered as all_offered
from pipemodel.pulls.plan import plan_pulls


def cards(run):
    return cards_of(run, plan_pulls(run))


def measures_after(piece, number):
    """Every measure that could be taken of a bend just pulled."""
    index = [bend.number for bend in piece.bends].index(number)
    return [one.measure for one in all_offered(piece, index)]


def offered(run, card):
    """Every measure that could be taken after a pull."""
    return measures_after(part_bent(run, card.pull.made | {card.pull.bend}), card.pull.bend)


def measured(run):
    """What each kind of measure reads after the last pull of a run."""
    return {m.kind: m.value for m in reversed(offered(run, cards(run)[-1]))}


def stations(line):
    """Places along a centreline, its very end included."""
    return np.append(np.arange(0, line.length, 4.0), line.length)


def skin(line, outside):
    """Points on the outside of a tube: a ring of 72 at each station."""
    rings = []
    for s in stations(line):
        ahead = np.array(line.direction_at(s))
        side = np.cross(ahead, [0.31, -0.52, 0.79])
        side /= np.linalg.norm(side)
        up = np.cross(ahead, side)
        angles = np.linspace(0, 2 * np.pi, 72, endpoint=False)[:, None]
        rings.append(np.array(line.point_at(s)) + outside / 2 * (np.cos(angles) * side + np.sin(angles) * up))
    return np.concatenate(rings)


def random_cards(seeds, bends, **former):
    """The cards of random runs, each with its run."""
    for seed in range(seeds):
        run = random_run(seed, bends, hold_mm=20.0, guide_mm=10.0, **former)
        yield from ((run, card) for card in cards(run))


def leg_index(made, name):
    numbers = [b.number for b in made.bends]
    if "start tail" in name:
        return 0
    if "finish tail" in name:
        return len(numbers)
    words = [int(w) for w in name.split() if w.isdigit()]
    before = [n for n in numbers if n <= words[0]]
    return len(before)


def before_the_pull(made, card):
    """Whether the leg of the level check lies towards the start from the pull."""
    return leg_index(made, str(card.level.leg)) <= sum(b.number < card.pull.bend for b in made.bends) - 1


def lying(run, card):
    """How the part-bent piece lies in the bender at the beginning of a pull, by rotation alone: legs, and the inside.

    Returns the directions of the legs, and of the inside of every bend on the straight that the pulled bend lies on.
    """
    made = part_bent(run, card.pull.made)
    turned = {b.number: sum(x.turn_deg for x in run.table.bends[: b.number]) for b in run.table.bends}
    near = max((n for n in card.pull.made if n < card.pull.bend), default=None)
    if near is None:
        ahead, axis, rolled = np.array(run.table.direction), np.array(run.table.normal), 0.0
    else:
        arc = made.arcs[[b.number for b in made.bends].index(near)]
        ahead, axis, rolled = np.array(arc.finish_direction), np.array(arc.axis), turned[near]

    def axis_of(number):
        return Rotation.from_rotvec(math.radians(turned[number] - rolled) * ahead).apply(axis)

    from_start = card.left_end == "start"
    along, about = np.array([1.0 if from_start else -1.0, 0, 0]), np.array([0, 0, -1.0 if from_start else 1.0])
    own = axis_of(card.pull.bend)
    here = np.stack([ahead, own, np.cross(ahead, own)])
    lie = np.stack([along, about, np.cross(along, about)]).T @ here
    return made, lie, lambda number: lie @ np.cross(axis_of(number), ahead)


WAYS = {
    "towards you": (0, -1, 0),
    "away from you": (0, 1, 0),
    "right": (1, 0, 0),
    "left": (-1, 0, 0),
    "up": (0, 0, 1),
    "down": (0, 0, -1),
}


def turning_runs():
    """Runs with square turns; the short start tails of every other one are held by the finish side."""
    for seed in range(80):
        dice = np.random.default_rng(seed)
        n = int(dice.integers(2, 5))
        legs = [float(dice.choice([25.0, 150.0, 260.0])) if seed % 2 else 200.0, *dice.choice([90.0, 160.0], n)]
        angles, turns = dice.choice([90.0, 60.0, 45.0], n), dice.choice([90.0, -90.0, 180.0, 45.0], n - 1)
        yield made_run([float(x) for x in legs], [*map(float, angles)], [*map(float, turns)], hold_mm=30, guide_mm=20)
