"""A change of springback: found where there is one, and seldom where there is none; by simulated pieces."""

from dataclasses import replace

import numpy as np
import pytest
from former_simulator import Bender, bent
from learning_records import FORMER, OUTSIDE, WALL, records
from scipy import stats
from wide import few_or_many

from pipemodel.learning.drift import _by_chance, segments, student_95
from pipemodel.learning.learned import learned_former
from pipemodel.learning.records import FormerKey, in_pieces, order_unsure
from pipemodel.trade.model import Former, Springback

KEY = FormerKey(FORMER, OUTSIDE, WALL)
BEFORE = Former(55.0, FORMER, Springback(0.02, 0.0))
LOOKS = few_or_many(150, 400)


def changes(rows, scatter=0.7):
    return segments(rows, scatter)[1]


@pytest.mark.slow
@pytest.mark.parametrize(
    ("pieces", "bends", "piece_angle", "rate"),
    [
        (6, 3, 0.0, 0.005),
        (6, 3, 0.7, 0.005),
        (12, 3, 0.0, 0.005),
        (12, 3, 0.7, 0.005),
        (20, 1, 0.0, 0.005),
        # Of single bends at all angles, with a tube of its own each, more are said to change: docs/learning.md says so.
        (20, 1, 0.7, 0.03),
    ],
)
def test_a_former_that_stays_is_seldom_said_to_change(pieces, bends, piece_angle, rate):
    """1 in 200 at each look, whether or not each piece has a tube of its own; more have a chance of 1 in 1000."""
    bender = Bender(piece_angle=piece_angle)
    said = sum(bool(changes(records(bent(bender, pieces, bends, [seed, pieces])))) for seed in range(LOOKS))
    assert said <= stats.binom(LOOKS, rate).ppf(0.999)


@pytest.mark.slow
@pytest.mark.parametrize(("more", "pieces_after", "found"), [(2.0, 10, 0.85), (3.0, 5, 0.9), (-3.0, 10, 0.95)])
def test_a_change_is_found(more, pieces_after, found):
    """After 12 pieces of three bends each, by hands that scatter by 0.7 degrees; docs/learning.md has the table."""
    n, seen, near = few_or_many(50, 100), 0, 0
    for seed in range(n):
        rows = records(bent(Bender(), 12 + pieces_after, 3, [seed, 3], after=13, more=more))
        said = changes(rows)
        seen += bool(said) and (said[0].more.value > 0) == (more > 0)
        near += bool(said) and abs(said[0].piece - 13) <= 2
    assert seen / n >= found
    assert near / max(seen, 1) >= 0.9


def test_how_much_and_from_where_is_said_and_only_the_bends_since_then_count():
    bender = Bender(hand_angle=0.3)
    rows = records(bent(bender, 30, 4, 5, after=21, more=3.0), batches=lambda piece: "B" if piece > 20 else "A")
    [change] = changes(rows)
    assert change.piece == 21
    assert change.first.number == 21
    assert change.more.value == pytest.approx(3.0, abs=0.5)
    assert (change.batch, change.batch_before) == ("B", "A")
    found = learned_former(rows, KEY, BEFORE)
    assert (found.pieces, found.bends) == (10, 40)
    truth = bender.fixed + 90 * bender.rate + 3.0
    assert abs(found.law.at_90.value - truth) < found.law.at_90.half


@pytest.mark.parametrize("kind", ["more", "more_fixed"])
def test_how_much_is_right_whether_the_shift_is_in_proportion_or_the_same_at_every_angle(kind):
    rows = records(bent(Bender(hand_angle=0.3), 40, 4, 5, after=21, **{kind: 3.0}))
    [change] = learned_former(rows, KEY, BEFORE).changes
    assert change.more.half < 0.7
    assert abs(change.more.value - 3.0) <= change.more.half


def test_a_batch_is_named_only_where_it_begins_with_the_change():
    for batches in (lambda piece: "A", lambda piece: "", lambda piece: "AB"[piece % 2]):
        [change] = changes(records(bent(Bender(hand_angle=0.3), 30, 4, 5, after=21, more=3.0), batches=batches))
        assert not change.batch


def test_two_changes_are_both_named():
    rows = bent(Bender(hand_angle=0.3), 30, 4, 6, after=11, more=3.0)
    later = bent(Bender(hand_angle=0.3, fixed=1.2 - 3.0), 10, 4, 7)
    rows += [{**row, "piece": row["piece"] + 30} for row in later]
    said = changes(records(rows))
    assert [change.piece for change in said] == [11, 31]
    assert said[0].more.value > 2.0 > -2.0 > said[1].more.value


def test_the_order_of_the_records_says_nothing():
    rows = records(bent(Bender(), 24, 3, 8, after=13, more=3.0))
    mixed = tuple(rows[i] for i in np.random.default_rng(1).permutation(len(rows)))
    assert changes(mixed) == changes(rows)
    assert [p[0].number for p in in_pieces(mixed)] == list(range(1, 25))


def test_dates_give_the_order_where_every_piece_has_one():
    rows = records(bent(Bender(), 3, 2, 1))
    dated = tuple(replace(row, date=f"2026-03-{9 - row.number:02}") for row in rows)
    assert [piece[0].number for piece in in_pieces(dated)] == [3, 2, 1]
    some = tuple(replace(row, date="" if row.number == 2 else row.date) for row in dated)
    assert [piece[0].number for piece in in_pieces(some)] == [1, 2, 3]


def test_an_order_that_is_not_known_is_said_to_be():
    rows = records(bent(Bender(), 3, 2, 1))
    assert not order_unsure(rows)
    other = tuple(replace(row, run="another") for row in rows)
    assert order_unsure((*rows, *other))
    assert not order_unsure([replace(row, date=f"2026-03-0{i % 9 + 1}") for i, row in enumerate(rows)])


@pytest.mark.parametrize("pieces", [0, 1, 2, 5])
def test_few_pieces_say_nothing(pieces):
    """Nor does one bad piece at the end, however bad."""
    rows = records(bent(Bender(hand_angle=0.1), pieces, 4, 1, after=pieces // 2 + 1, more=9.0))
    assert not changes(rows)
    one_bad = records(bent(Bender(hand_angle=0.3), 12, 4, 1, after=12, more=20.0))
    assert not [change for change in changes(one_bad) if change.piece == 12]


def test_what_chance_explains_is_what_plain_draws_explain():
    """The same share of squares, from whole readings drawn one by one."""
    random = np.random.default_rng(4)
    n, places = 9, (2, 4, 6)
    level = np.full(n, 1 / np.sqrt(n))
    shifts = np.stack([np.where(np.arange(n) >= p, 1.0, 0.0) for p in places], axis=1)
    shifts = shifts - np.outer(level, level @ shifts)
    shifts /= np.linalg.norm(shifts, axis=0)
    drawn = random.normal(size=(20_000, n))
    drawn -= drawn.mean(axis=1, keepdims=True)
    plain = ((drawn @ shifts) ** 2).max(axis=1) / (drawn**2).sum(axis=1)
    found = _by_chance(shifts, n - 1)
    for p in (0.5, 0.9, 0.99):
        assert np.quantile(found, p) == pytest.approx(np.quantile(plain, p), abs=0.02)


@pytest.mark.parametrize("freedom", [4, 5, 8, 20, 1000])
def test_students_quantile_is_scipys(freedom):
    assert student_95(freedom) == pytest.approx(stats.t(freedom).ppf(0.975), rel=0.01)


@pytest.mark.slow
def test_what_wears_steadily_on_is_said_of_its_next_piece():
    """2.5 degrees at 90 over 24 pieces, whether or not a change was named."""
    held, of = 0, few_or_many(15, 100)
    for seed in range(of):
        rows = []
        for piece in range(24):
            worn = replace(Bender(), rate=Bender.rate + 2.5 / 90.0 * piece / 23.0)
            rows += [{**row, "piece": piece + 1} for row in bent(worn, 1, 3, seed * 1000 + piece)]
        at_90 = learned_former(records(rows), KEY, BEFORE).law.at_90
        held += abs(at_90.value - (Bender.fixed + Bender.rate * 90.0 + 2.5 * 24.0 / 23.0)) <= at_90.half
    assert held >= 0.8 * of


def test_a_change_at_once_is_no_wear():
    """What is said of the next piece is that of the pieces since, and none of the half of a change to come."""
    found = learned_former(records(bent(Bender(), 22, 3, 5, after=13, more=3.0)), KEY, BEFORE)
    assert found.changes
    assert abs(found.law.at_90.value - (Bender.fixed + Bender.rate * 90.0 + 3.0)) < found.law.at_90.half < 1.1
