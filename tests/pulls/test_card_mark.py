"""Where the mark of a pull is: from the back of a bend, and what it is brought to on the former."""

import math
import random
from dataclasses import replace

import numpy as np
import pytest
from card_cases import cards, random_cards
from made_runs import made_run, random_run

from pipemodel.bending.part_bent import part_bent
from pipemodel.checks.bender import run_findings
from pipemodel.pulls.card_mark import from_back
from pipemodel.pulls.limits import FINISH, START
from pipemodel.pulls.piece import PieceToBend
from pipemodel.pulls.plan import _pulls, plan_pulls


@pytest.mark.slow
def test_marks_from_the_back_and_from_the_end_agree():
    """Both find the same place: along the tube from the back of the bend, and from the start end less that."""
    agreed = {True: 0, False: 0}
    for run, card in random_cards(80, 4, mark_mm=30.0):
        if card.mark_from_back is None:
            continue
        made = part_bent(run, card.pull.made)
        i = [b.number for b in made.bends].index(card.mark_from_back.bend)
        if made.bends[i].angle_deg != 90:
            continue
        after = card.mark_from_back.bend < card.pull.bend
        arc = made.arcs[i]
        ahead = np.array(arc.finish_direction) if after else -np.array(arc.direction)
        mark = np.array(made.centreline.point_at(card.pull.mark_mm))
        # The back of a square bend: its far leg's centre and half a tube.
        back = np.array(arc.start if after else arc.finish)
        assert card.mark_from_back.mm == pytest.approx((mark - back) @ ahead + 7.5)
        agreed[after] += 1
    assert min(agreed.values()) >= 3, agreed


def test_a_mark_that_falls_on_a_bend_gives_way_to_where_the_bend_begins():
    """Bend 1 ends 30 before bend 2 begins, and the former's mark stands 40 short of that: on bend 1."""
    run = made_run([400, 30, 200], [90, 90], [0], hold_mm=20.0, guide_mm=20.0, mark_mm=-40.0)
    second = next(card for card in cards(run) if card.pull.bend == 2)
    assert second.pull.held == "start"
    assert second.pull.made == {1}
    begins = 400.0 + 55.0 * math.pi / 2.0 + 30.0
    assert second.pull.mark_mm == pytest.approx(begins - 40.0)
    assert second.pull.drawn_mark_mm == pytest.approx(begins)
    assert second.mark_from_back.mm == pytest.approx(30.0 + 55.0 + 7.5)
    steps = [str(step) for step in second.to_do]
    assert steps[0].startswith("mark at 516.5 mm from the start end, where the bend begins, square round the tube ")
    assert "the former's own mark would lie on or beyond bend 1, which is made already" in steps[0]
    assert "slide the tube until the mark stands at the rim's start" in steps
    [found] = [f for f in run_findings(run, plan_pulls(run)) if f.code == "B113"]
    assert found.severity == "note"
    assert "mark where the bend begins, 516.5 mm from the start end" in found.message


@pytest.mark.slow
def test_every_mark_that_hands_draw_is_on_straight_tube_and_joined_to_its_bend_by_straight_tube():
    """Bends made before laid out by their lengths alone; marks as far as four radii off either way."""
    lost = kept = finish = off_end = 0
    for seed in range(400):
        dice = random.Random(seed)
        mark = dice.choice([0.0, 55.0, 20.0, -20.0, 75.0, -75.0, 120.0, -120.0, 220.0, -220.0])
        run = random_run(seed, hold_mm=dice.choice([5.0, 30.0]), guide_mm=dice.choice([0.0, 12.0]), mark_mm=mark)
        made = []
        for pull in plan_pulls(run).pulls:
            bend = run.table.bends[pull.bend - 1]
            begins = bend.start_mm if pull.held == "start" else bend.finish_mm
            on = 1.0 if pull.held == "start" else -1.0

            def usable(at, begins=begins, made=tuple(made), length=run.cut_length_mm):
                low, high = sorted((at, begins))
                free = all(b.finish_mm <= low + 1e-6 or b.start_mm >= high - 1e-6 for b in made)
                return -1e-6 <= at <= length + 1e-6 and free

            assert pull.mark_mm == pytest.approx(begins + on * mark)
            assert usable(pull.drawn_mark_mm)
            assert pull.drawn_mark_mm == pytest.approx(begins + on * pull.past_rim_mm)
            assert pull.past_rim_mm == (mark if usable(begins + on * mark) else 0.0)
            assert (pull.mark_lost is None) == usable(begins + on * mark)
            lost, kept = lost + (pull.mark_lost is not None), kept + (pull.mark_lost is None and mark != 0.0)
            finish += pull.mark_lost is not None and pull.held == "finish"
            off_end += not 0.0 <= pull.mark_mm <= run.cut_length_mm
            made.append(bend)
    assert min(lost, kept, finish, off_end) >= 20, (lost, kept, finish, off_end)


def test_the_mark_is_checked_from_the_bend_on_the_side_that_is_held():
    """Bend 2 pulled last between two others: the tape goes from the one that lies in the stop's side."""
    run = made_run([200, 150, 150, 200], [90, 90, 90], [90, 90], hold_mm=30.0, guide_mm=10.0)
    plan = plan_pulls(run)
    for held, near in (("start", 1), ("finish", 3)):
        pull = replace(plan.pulls[1], bend=2, held=held, made=frozenset({1, 3}))
        back = from_back(pull, part_bent(run, {1, 3}))
        assert back.bend == near
        assert f"from the back of bend {near}" in str(back.how)


@pytest.mark.parametrize(
    ("bend", "held", "near", "mm"),
    [
        (1, "start", 2, 150 + 55 * math.pi / 2),
        (1, "finish", 2, 150.0),
        (2, "start", 1, 150.0),
        (2, "finish", 1, 150 + 55 * math.pi / 2),
    ],
)
def test_the_mark_is_checked_from_the_only_bend_there_is_whichever_side_is_held(bend, held, near, mm):
    """Two square bends with 150 between; the mark is where the pull begins, the back 62.5 beyond where a bend ends."""
    run = made_run([200, 150, 200], [90, 90], [0], hold_mm=30.0, guide_mm=10.0)
    steps = ((near - 1, START), (bend - 1, START if held == "start" else FINISH))
    pull = _pulls(run, PieceToBend.of(run), steps)[1]
    back = from_back(pull, part_bent(run, {near}))
    assert (back.bend, str(back.how)) == (near, f"from the back of bend {near}")
    assert back.mm == pytest.approx(mm + 62.5)
