"""The check that gains most, against pieces of the other program: each reading drawn with its error, then put right."""

import hands_simulator
import numpy as np
import pytest
from bent_and_read import Hands as HandsMade
from bent_and_read import Made
from made_runs import made_run
from test_landing import record_of
from wide import few_or_many

from pipemodel.accuracy.fit import parts_of, run_errors
from pipemodel.accuracy.readings import best_reading
from pipemodel.job.model import Hands
from pipemodel.pulls.check_ids import check_id

COUNT = 4000
CARD = 0.7
"""Degrees that an angle card is read to, 19 times in 20."""
RUNS = {
    "one far out": made_run([300, 300, 600], [90, 90], [90]),
    "one that hardly matters": made_run([300, 700, 150], [60, 30], [0]),
    "three": made_run([300, 400, 200, 500], [90, 45, 120], [90, -60]),
    "two ways": made_run([200, 200, 900], [30, 30], [180]),
}


def left_by_cards(solved, hands):
    """What of the mean square is left when the angle card of each bend alone is read, and put right at the end."""
    run = record_of(solved)
    dice = np.random.default_rng(9)
    n = len(run["bends"])
    held = {pull["bend"] - 1: pull["held"] for pull in run["plan"]["pulls"]}
    right = [[np.radians(b[key]) for b in run["bends"]] for key in ("angle_deg", "turn_deg")]
    starts = [b["start_mm"] for b in run["bends"]]
    off, errors = [], np.radians(dice.normal(0.0, hands.angle_deg, (COUNT, n)))
    for angles in errors:
        begin = [
            s - (b["radius_mm"] * a if held[i] == "finish" else 0.0)
            for i, (s, b, a) in enumerate(zip(starts, run["bends"], angles, strict=True))
        ]
        off.append(hands_simulator.finish_of(run["bends"], run["centreline_mm"], begin, right[0] + angles, right[1]))
    off = np.array(off) - run["finish"]
    out = {}
    for bend in range(n):
        read = errors[:, bend] + np.radians(dice.normal(0.0, CARD / 2.0, COUNT))
        # What a reading tells is what goes with it: a straight line through the pieces.
        fitted = np.outer(read, read @ off / (read @ read))
        out[bend + 1] = ((off - fitted) ** 2).sum() / (off**2).sum()
    return out


@pytest.mark.slow
@pytest.mark.parametrize("name", RUNS)
def test_no_card_leaves_less_and_a_card_leaves_what_it_says(name):
    solved, hands = RUNS[name], Hands(0.0, 1.0, 0.0)
    errors = run_errors(solved, hands)
    best = best_reading(solved, parts_of(solved, None), errors)
    cards = left_by_cards(solved, hands)
    bends = {pull.number: pull.bend for _, plan in parts_of(solved, None) for pull in plan.pulls}
    assert best.left <= min(cards.values()) + 0.02
    if best.measure.unit == "deg":
        assert best.left == pytest.approx(cards[bends[best.pull]], abs=0.02)


def test_some_of_them_are_cards():
    errors = [run_errors(solved, Hands(0.0, 1.0, 0.0)) for solved in RUNS.values()]
    found = [best_reading(s, parts_of(s, None), e) for s, e in zip(RUNS.values(), errors, strict=True)]
    assert sum(best.measure.unit == "deg" for best in found) >= 2


def left_by_checks(solved, hands, count):
    """What of the mean square each measured check of the cards leaves, on pieces of the tests' own bench."""
    run, random = record_of(solved), np.random.default_rng(5)
    pulls, bends = run["plan"]["pulls"], len(run["bends"])
    checks = [(k, c) for k, pull in enumerate(pulls) for c in pull["checks"] if c["unit"] != "look" and c["within"]]
    made = [[p["bend"] for p in pulls[: k + 1]] for k in range(len(pulls))]
    right = Made(run)
    right.follow(pulls, HandsMade(random, bends, 0.0, 0.0, 0.0))
    drawn, off, read = right.finish()[0], [], []
    for _ in range(count):
        piece = Made(run)
        piece.follow(pulls, HandsMade(random, bends, hands.mark_mm, hands.angle_deg, hands.turn_deg))
        off.append(piece.finish()[0] - drawn)
        read.append([piece.read(c, made[k], random) - right.read(c, made[k]) for k, c in checks])
    off, read = np.array(off), np.array(read).T
    left = [((off - np.outer(r, r @ off / (r @ r))) ** 2).sum() / (off**2).sum() for r in read]
    return {c["id"]: one for (_, c), one in zip(checks, left, strict=True)}


@pytest.mark.slow
@pytest.mark.parametrize("name", RUNS)
def test_no_check_of_any_kind_leaves_less_and_the_best_leaves_what_it_says(name):
    """Marks, angles and rolls all err; lengths, heights and stand-offs are read as well as angle cards.

    What lies flat reads the same to either side, so no straight line goes through it: such a check is never better.
    """
    solved, hands = RUNS[name], Hands(0.5, 0.5, 0.5)
    best = best_reading(solved, parts_of(solved, None), run_errors(solved, hands))
    left = left_by_checks(solved, hands, few_or_many(500, 4000))
    allowed = few_or_many(0.08, 0.03)
    assert best.left <= min(left.values()) + allowed
    assert best.left == pytest.approx(left[check_id(best.pull, best.place)], abs=allowed)


def test_what_the_room_adds_no_reading_takes_away():
    solved = RUNS["three"]
    errors = run_errors(solved, Hands(0.0, 1.0, 0.0))
    plain, with_room = (best_reading(solved, parts_of(solved, None), errors, other) for other in (0.0, 1000.0))
    gained = [1.0 - best.left for best in (plain, with_room)]
    assert gained[1] < gained[0]
