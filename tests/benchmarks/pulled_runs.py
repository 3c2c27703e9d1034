"""The runs whose pulls the benchmarks plan: what is bent every day, long combs, and compact shapes."""

import random
import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from made_runs import SPRINGY, made_run  # what the tests plan

from pipemodel.bending.schedule import SolvedRun

Shape = tuple[list[float], list[float], list[float]]
"""Legs, angles and the turns between the bends."""


def everyday(seed: int, bends: int) -> SolvedRun:
    """A run along walls, with now and then a set or a passover on the way; legs as a house asks for them."""
    dice = random.Random(f"everyday {seed} {bends}")
    legs, angles, turns = [dice.uniform(100, 1500)], list[float](), list[float]()
    while len(angles) < bends:
        left = bends - len(angles)
        kind = dice.choice(["corner", "corner", "set", "passover"])
        if kind == "passover" and left >= 3:
            angle = dice.choice([22.5, 30, 45])
            parts, between, flips = [angle, 2 * angle, angle], dice.uniform(80, 200), [180.0, 180.0]
        elif kind == "set" and left >= 2:
            angle = dice.choice([22.5, 30, 45, 60])
            parts, between, flips = [angle, angle], dice.uniform(60, 300), [180.0]
        else:
            parts, between, flips = [90.0], 0.0, []
        if angles:
            turns.append(dice.choice([0, 90, 180, -90]))
        angles += parts
        turns += flips
        legs += [between] * len(flips) + [dice.uniform(150, 1500)]
    return _run((legs, angles, turns))


def comb(bends: int, leg: float = 400.0, pitch: float = 40.0) -> SolvedRun:
    """Legs to and fro beside each other, as in a heated floor: two bends of 90 to each way back."""
    legs = [leg] + [pitch if i % 2 else leg for i in range(1, bends)] + [leg]
    turns = [180.0 if i % 2 else 0.0 for i in range(bends - 1)]
    return _run((legs, [90.0] * bends, turns))


def compact(seed: int, bends: int) -> SolvedRun:
    """Short legs and tight turns every way: much of it comes near itself, and some of it cannot be bent."""
    dice = random.Random(f"compact {seed} {bends}")
    legs = [dice.choice([40, 60, 80, 120, 200]) + dice.random() for _ in range(bends + 1)]
    angles = [dice.choice([45, 90, 90, 120, 180]) for _ in range(bends)]
    turns = [dice.choice([0, 0, 90, 180, -90, 30, -20]) for _ in range(bends - 1)]
    return _run((legs, angles, turns))


def _run(shape: Shape) -> SolvedRun:
    legs, angles, turns = shape
    return made_run(legs, angles, turns, hold_mm=30.0, guide_mm=10.0, springback=SPRINGY)
