"""A piece bent exactly by the printed figures passes the checking jig of its run.

The figures are read off the schedule as a fitter does: the mark, the end that is held, the angle to pull to, the cut
length, and the way round the tube from one inside line to the next as a distance, which is the coarsest of all. What
comes out is bent here, by springback as the job has it, and laid into the slots and stops of the jig: a linear program
of this file, over how a rigid piece may be moved.
"""

import random
from dataclasses import replace
from math import degrees, radians

import numpy as np
import pytest
from command_line import run
from follower.cards import LAY, LINE, MARK, PULL
from follower.figures import length
from follower.shape import Piece, half_turn
from follower.sheets import text_runs
from jig_pieces import whole
from scipy.optimize import linprog
from wide import few_or_many

from pipemodel.bending.schedule import solve
from pipemodel.jigs.lying import clearances_of, off_by
from pipemodel.jigs.plan import JigRefusedError, plans
from pipemodel.jigs.verdict import Judge
from pipemodel.job.read import read_job

RADII = {8: 35, 10: 40, 12: 45, 15: 55, 22: 77, 28: 114, 35: 140, 42: 180, 54: 230}
"""Radii about four times the tube: 8 to 28 as hand benders have them, the others made up."""
FIXED, SHARE = 1.0, 0.02
SIZES, SEEDS = few_or_many([8, 54], [*RADII]), range(few_or_many(2, 12))


def wanted(outside, seed):
    """A random piece of two to four bends, at round and at odd angles, turned by round and by odd angles."""
    dice = random.Random(f"{outside} {seed}")
    n = dice.randint(2, 4)
    legs = tuple(dice.uniform(5 * outside + 60, 14 * outside + 200) for _ in range(n + 1))
    angles = tuple(dice.choice([22.5, 30.0, 45.0, 90.0, dice.uniform(15.0, 110.0)]) for _ in range(n))
    turns = (dice.choice([0.0, 180.0, 90.0, -90.0, *(dice.uniform(-180.0, 180.0) for _ in range(2))]) for _ in angles)
    twists = (0.0, *(half_turn(turn) for turn in turns))[:n]
    return Piece(legs, angles, twists, (float(RADII[outside]),) * n)


def bends_made(cards, outside, by_sixteenths):
    """Bend by the cards; return by number where each bend begins, its angle, and where round the tube its inside is."""

    def mm(text, unit):
        if unit == "in" and by_sixteenths:
            text = text.partition(" (")[0]
        return length(text, unit).mm

    made, last = {}, None
    for _, bend, steps, _ in cards:
        text = " ".join("; ".join(steps).split())
        mark = mm(*MARK.search(text).groups()[:2])
        angle = (float(PULL.search(text)[1]) - FIXED) / (1.0 + SHARE)
        around = 0.0
        if last is not None:
            _, on_with, size, unit, _, way, _ = LINE.search(text).groups()
            # Half a turn is measured to the back of the tube, and needs no tape.
            turned = 0.0 if on_with else 180.0 if way is None else degrees(mm(size, unit) / (outside / 2.0))
            around = made[last][2] + (-turned if way == "anticlockwise" else turned)
        arc = RADII[outside] * radians(angle)
        start = mark if LAY.search(text)[2].lower() == "start" else mark - arc
        made[bend], last = (start, angle, around), bend
    return made


def as_made(table, made, cut, radius):
    """The bend table of the piece that was made."""
    rows, at, before = [], 0.0, 0.0
    for bend in table.bends:
        start, angle, around = made[bend.number]
        turn = bend.turn_deg if bend.number == 1 else half_turn(around - before)
        rows.append(bend._replace(straight_before_mm=start - at, angle_deg=angle, turn_deg=turn))
        at, before = start + radius * radians(angle), around
    return replace(table, bends=tuple(rows), straight_after_mm=cut - at)


def room_left(layout, perfect, table):
    """How much is left of the clearances, mm, when a piece is laid in at its best; below 0 it does not go in."""
    judge = Judge(layout, perfect)
    clearances = clearances_of(layout)[judge.which]
    astray, moves = off_by(layout, judge.rules, table)
    off = (astray * judge.rules.direction).sum(axis=1)
    one = np.ones((len(off), 1))
    above, below = np.hstack([moves, one]), np.hstack([-moves, one])
    found = linprog(
        [0.0] * 6 + [-1.0],
        A_ub=np.vstack([above, below]),
        b_ub=np.concatenate([clearances - off, clearances + off]),
        bounds=[(None, None)] * 6 + [(None, 50.0)],
    )
    assert found.status == 0
    return float(found.x[6])


@pytest.mark.slow
@pytest.mark.parametrize("outside", SIZES)
def test_the_printed_figures_are_fine_enough_for_the_jig(tmp_path, outside):
    judged = refused = 0
    for seed in SEEDS:
        piece, radius = wanted(outside, seed), RADII[outside]
        points = [[round(c, 6) for c in corner] for corner in piece.corners.tolist()]
        path = tmp_path / f"{seed}.yaml"
        path.write_text(
            f"job: p\ntube: {{outside: {outside}, wall: 1}}\nstock: {{length: 20000}}\n"
            f"former: {{radius: {radius}, springback: {{fixed: {FIXED}, per_degree: {SHARE}}}, hold: 20, guide: 10}}\n"
            f"runs: {{run a: {{points: {points}}}}}\n"
        )
        solved = solve(read_job(path)).runs[0]
        try:
            layout = next(plans(solved, whole(gauges=False))).layout
        except JigRefusedError:
            continue
        for units in ("mm", "in"):
            (read,) = text_runs(run("schedule", path, "--units", units).out, units)
            if not read.cards:
                continue
            for by_sixteenths in {False, units == "in"}:
                made = bends_made(read.cards, outside, by_sixteenths)
                table = as_made(solved.table, made, read.cut, radius)
                left = room_left(layout, solved.table, table)
                assert left >= 0.0, (outside, seed, units, by_sixteenths, left)
                judged += 1
            # And a piece whose last bend is two and a half degrees out does not go in.
            wrong = solved.table.bends[-1]
            rows = (*solved.table.bends[:-1], wrong._replace(angle_deg=wrong.angle_deg + 2.5))
            refused += room_left(layout, solved.table, replace(solved.table, bends=rows)) < 0.0
    assert judged >= 4
    assert refused >= 2
