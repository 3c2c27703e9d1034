"""Joints and stock planned together, against a program of the whole written down on its own and solved by scipy."""

import itertools
import math
import random

import numpy as np
import pytest
from made_runs import made_run
from scipy.optimize import Bounds, LinearConstraint, milp
from test_split import COUPLING, TUBE, divisible, solved

from pipemodel.bending.schedule import Schedule, solve
from pipemodel.cutting.cuts import plan_cutting
from pipemodel.cutting.joints_and_stock import Long, plan_together
from pipemodel.cutting.stock import Bar, StockPiece, StockPlan, plan_stock
from pipemodel.job.build_bender import bender_named
from pipemodel.job.model import Job, Route, Run, Stock
from pipemodel.pulls.plan import plan_pulls
from pipemodel.trade.model import Former, Tube

STUB = 100.0


def least(runs, stock, offcuts, kerf, fixed=()):
    """The fewest joints, and with those the least stock; each run (length, stretches where joints may lie).

    For each number of joints of each run, and each choice of stretches, a program in the positions and the choice of
    stock alone. None where nothing fits.
    """
    best = None
    counts = [range(math.ceil(length / max([stock, *offcuts])) + 2) for length, _ in runs]
    for joints in sorted(itertools.product(*counts), key=sum):
        if best is not None and sum(joints) > best[0]:
            break
        choices = [list(itertools.combinations_with_replacement(r[1], k)) for r, k in zip(runs, joints, strict=True)]
        for chosen in itertools.product(*choices):
            used = program([r[0] for r in runs], chosen, stock, offcuts, kerf, fixed)
            if used is not None and (best is None or used < best[1] - 1e-6):
                best = (sum(joints), used)
    return best


def program(lengths, chosen, stock, offcuts, kerf, fixed):
    """Least stock with the joints of each run in the stretches chosen, one after the other."""
    position, low, high = [], [], []
    for stretches in chosen:
        position.append(list(range(len(low), len(low) + len(stretches))))
        low += [a for a, _ in stretches]
        high += [b for _, b in stretches]
    joints = len(low)
    pieces = [(None, None, x) for x in fixed]
    for length, at in zip(lengths, position, strict=True):
        stops = [None, *at, None]
        pieces += [(a, b, length if b is None else 0.0) for a, b in itertools.pairwise(stops)]
    bars = [*offcuts, *([stock] * len(pieces))]
    n, m = len(pieces), len(bars)
    x, y, u = joints, joints + n * m, joints + 2 * n * m
    size = u + m
    rows, lo, hi = [], [], []

    def add(parts, a, b):
        row = np.zeros(size)
        for j, c in parts:
            row[j] += c
        rows.append(row), lo.append(a), hi.append(b)

    big = max([*lengths, *fixed, *bars])
    for i, (a, b, constant) in enumerate(pieces):
        long = [(b, 1.0)] * (b is not None) + [(a, -1.0)] * (a is not None)
        add([(x + i * m + k, 1.0) for k in range(m)], 1.0, 1.0)
        # What a length of stock gives for a piece adds up to the piece, and is nothing where it is not cut from it.
        add([(y + i * m + k, 1.0) for k in range(m)] + [(j, -c) for j, c in long], constant, constant)
        for k in range(m):
            add([(y + i * m + k, 1.0), (x + i * m + k, -big)], -np.inf, 0.0)
        if a is not None or b is not None:
            add(long, STUB - constant, np.inf)
    for k in range(m):
        load = [(y + i * m + k, 1.0) for i in range(n)] + [(x + i * m + k, kerf) for i in range(n)]
        add([*load, (u + k, -(bars[k] + kerf))], -np.inf, 0.0)
    for k in range(len(offcuts), m - 1):
        add([(u + k, 1.0), (u + k + 1, -1.0)], 0.0, np.inf)
    cost = np.zeros(size)
    cost[u:] = bars
    whole = np.ones(size)
    whole[:joints] = whole[y:u] = 0
    bounds = Bounds(
        np.concatenate([low, np.zeros(size - joints)]),
        np.concatenate([high, np.ones(n * m), np.full(n * m, big), np.ones(m)]),
    )
    found = milp(cost, constraints=LinearConstraint(np.array(rows), lo, hi), integrality=whole, bounds=bounds)
    return None if found.x is None else float(found.fun)


def assert_sound(plan, wanted, stock, offcuts, kerf):
    """Every piece once, each length of stock holding its own and the saw's."""
    assert sorted((p.name, round(p.length_mm, 4)) for bar in plan.bars for p in bar.pieces) == sorted(wanted)
    for bar in plan.bars:
        load = sum(p.length_mm for p in bar.pieces) + kerf * (len(bar.pieces) - 1)
        assert load <= bar.length_mm + 1e-5
        assert bar.left_mm == pytest.approx(max(bar.length_mm - load - kerf, 0.0), abs=1e-5)
    at_hand = list(offcuts)
    for bar in plan.bars:
        if bar.offcut:
            at_hand.remove(bar.length_mm)
        else:
            assert bar.length_mm == stock
    assert plan.used_mm == pytest.approx(sum(bar.length_mm for bar in plan.bars))


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(16))
def test_straights_come_out_as_the_program_of_the_whole_says(seed):
    dice = random.Random(seed)
    stock = dice.choice([3000.0, 2000.0])
    kerf = dice.choice([0.0, 2.0, 3.5])
    runs = [solved([(0, 0, 0), (dice.uniform(1.05, 2.4) * stock, 0, 0)]) for _ in range(dice.choice([1, 1, 2]))]
    fixed = [StockPiece(f"p{i}", float(dice.randint(150, int(stock)))) for i in range(dice.randint(0, 2))]
    offcuts = sorted(float(dice.randint(200, int(1.7 * stock))) for _ in range(dice.randint(0, 2)))
    withins = [(a := dice.uniform(0.1, 0.5) * r.table.length_mm, a + dice.choice([40.0, 300.0, 4000.0])) for r in runs]
    made = [divisible(run, within) for run, within in zip(runs, withins, strict=True)]
    stretches = [[(p.low, p.high) for p in one.places] for one in made]
    expected = least(
        [(r.table.length_mm, s) for r, s in zip(runs, stretches, strict=True)],
        stock,
        offcuts,
        kerf,
        [p.length_mm for p in fixed],
    )
    most = 4
    found = plan_together([Long(one, 0, most) for one in made], fixed, stock, offcuts, kerf)
    assert (found is None) == (expected is None)
    if found is None:
        return
    assert sum(map(len, found.joints)) == expected[0]
    assert found.stock.used_mm == pytest.approx(expected[1], abs=1e-3)
    assert found.stock.bound_mm <= expected[1] + 1e-3
    assert found.stock.proven_best
    wanted = [(p.name, round(p.length_mm, 4)) for p in fixed]
    for one, joints in zip(made, found.joints, strict=True):
        stops = [0.0, *(at for _, at in joints), one.length]
        for k, (a, b) in enumerate(itertools.pairwise(stops), 1):
            wanted.append((f"flow piece {k}" if joints else "flow", round(b - a, 4)))
            assert not joints or b - a >= STUB - 1e-5
        for place, at in joints:
            assert one.places[place].low - 1e-6 <= at <= one.places[place].high + 1e-6
    assert_sound(found.stock, wanted, stock, offcuts, kerf)


def job(runs, stock=3000.0, offcuts=(), kerf=0.0, tube=TUBE):
    made = tuple(
        Run(name, of, Former(55.0, hold_mm=60.0, guide_mm=45.0), Route(((0.0, 0.0, 0.0), (float(long), 0.0, 0.0))))
        for name, (of, long) in ((n, x if isinstance(x, tuple) else (tube, x)) for n, x in runs.items())
    )
    at_hand = tuple((of, tuple(map(float, lengths))) for of, lengths in offcuts)
    return solve(Job("job", made, kerf_mm=kerf, stock=Stock(stock, at_hand, False)))


def bars(cutting, number=0):
    return sorted((bar.length_mm, sorted(p.name for p in bar.pieces)) for bar in cutting.cuts[number].stock.bars)


def test_offcuts_longer_than_stock_serve_pieces_longer_than_stock():
    """2500 + 2250 in 4900 leaves 2020 + 2030 for 4300; each in the first that holds it, they don't fit."""
    runs = {"a": 2500, "b": 2250, "c": 2020, "d": 2030}
    cutting = plan_cutting(job(runs, 2000.0, [(TUBE, (4300, 4900))]))
    assert not any(split.joints or split.why_not for split in cutting.runs)
    assert sorted(length for length, _ in bars(cutting)) == [4300, 4900]
    plan = plan_stock([StockPiece(n, float(x)) for n, x in runs.items()], 2000.0, (4300.0, 4900.0))
    assert plan.used_mm == 9200.0


def test_an_offcut_is_used_once_and_what_it_leaves_over_is_jointed():
    cutting = plan_cutting(job({"a": 4500, "b": 4500}, 3000.0, [(TUBE, (4900,))]))
    assert sorted(len(split.joints) for split in cutting.runs) == [0, 1]
    assert cutting.cuts[0].stock.used_mm == 4900 + 6000


def test_offcuts_are_of_the_size_they_are_listed_under():
    other = Tube(22.0, 0.9, "22 x 0.9")
    cutting = plan_cutting(job({"thick": (other, 800), "a": 700}, 3000.0, [(TUBE, (750,)), (other, (900, 720))]))
    assert bars(cutting, 0) == [(900.0, ["thick"])]
    assert bars(cutting, 1) == [(750.0, ["a"])]
    # A size by its measures is the same size by its name.
    named = plan_cutting(job({"a": (Tube(15.0, 0.7, "15 x 0.7 copper", "copper"), 700)}, 3000.0, [(TUBE, (750,))]))
    assert bars(named) == [(750.0, ["a"])]


def test_the_saw_can_cost_a_length_of_stock():
    """4500 and 1500 are two lengths of 3000 to the last mm; with a kerf there are three."""
    for kerf, used in ((0.0, 6000.0), (2.0, 9000.0)):
        assert plan_cutting(job({"a": 4500, "b": 1500}, kerf=kerf)).cuts[0].stock.used_mm == used


def test_a_run_within_stock_that_no_bender_takes_whole_is_jointed():
    """Bent all in one it would run into its bender; the former's limits have nothing against it."""
    bender = bender_named("15 mm hand bender in a vice")
    run = made_run([100.0] * 4, [120.0, 120.0, 90.0], [0.0, 0.0], bender=bender, hold_mm=30.0, guide_mm=10.0)
    assert not plan_pulls(run).possible
    assert run.cut_length_mm < 3000.0
    (split,) = plan_cutting(Schedule(Job("job", (run.run,)), (run,))).runs
    assert len(split.joints) == 1
    assert all(plan.possible for plan in split.plans)
    assert sum(piece.cut_length_mm for piece in split.pieces) == pytest.approx(run.cut_length_mm)


def test_many_runs_are_jointed_and_cut_too():
    schedule = job({f"run {i}": 3100 + 37 * i for i in range(30)}, kerf=2.0)
    cutting = plan_cutting(schedule)
    assert all(len(split.joints) == 1 for split in cutting.runs)
    stock = cutting.cuts[0].stock
    assert stock.bound_mm <= stock.used_mm
    wanted = [(p.name, round(p.cut_length_mm, 4)) for split in cutting.runs for p in split.pieces]
    assert_sound(stock, wanted, 3000.0, (), 2.0)


def test_a_hundred_metres_take_as_many_lengths_as_fit_into_them():
    cutting = plan_cutting(job({"main": 100_000}))
    (split,) = cutting.runs
    lengths = [piece.cut_length_mm for piece in split.pieces]
    assert len(lengths) == len(cutting.cuts[0].stock.bars) == math.ceil(100_000 / 3000)
    assert max(lengths) <= 3000.0 + 1e-6
    assert sum(lengths) == pytest.approx(100_000)


def test_worked_out_once():
    schedule = job({"a": 700})
    assert isinstance(schedule, Schedule)
    assert plan_cutting(schedule) is plan_cutting(schedule)


@pytest.mark.parametrize(("used", "bound", "proven"), [(6000.0, 6000.0, True), (6000.0, 5999.0, False)])
def test_a_plan_is_the_best_only_at_its_bound(used, bound, proven):
    assert StockPlan((Bar(6000.0, False, (), 0.0),), used, bound).proven_best is proven


def test_the_kerf_counts_to_the_half_millimetre_and_never_less():
    """Two of 1000 and a kerf of 2.3: 2002.2 does not hold them."""
    assert len(plan_stock([StockPiece("a", 1000.0), StockPiece("b", 1000.0)], 2002.0, kerf_mm=2.3).bars) == 2
    assert COUPLING.depth_mm == 10.6


def test_two_runs_that_need_the_one_offcut_there_is():
    """Legs of 120 round bends of 55 take no coupling; each run is longer than new stock, and one offcut holds one."""
    points = [(0.0, 0.0, 0.0)]
    for k in range(1, 13):
        x, y, z = points[-1]
        points.append((x + 120.0, y, z) if k % 2 else (x, y + 120.0, z))
    runs = tuple(Run(name, TUBE, Former(55.0), Route(tuple(points))) for name in "ab")
    cutting = plan_cutting(solve(Job("job", runs, stock=Stock(1000.0, ((TUBE, (1400.0,)),), False))))
    made = [split for split in cutting.runs if not split.why_not]
    (not_made,) = [split for split in cutting.runs if split.why_not]
    assert len(made) == 1
    assert not made[0].joints
    (name,) = {"a", "b"} - {made[0].pieces[0].name}
    assert str(not_made.why_not).startswith(
        f"run {name!r} needs pieces longer than new stock, 1000 mm, and no offcut is left for them; run {name!r} "
    )


def test_a_size_without_a_coupling_in_the_table_says_so():
    (found,) = plan_cutting(job({"a": (Tube(13.1, 0.8, "13.1 x 0.8"), 4500)})).runs
    why = "how far a 13.1 mm tube goes into a capillary fitting stands in no table: give its depth"
    assert str(found.why_not) == why
