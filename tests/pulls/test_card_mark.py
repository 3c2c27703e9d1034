"""Where the mark of a pull is: from the back of a bend, and what it is brought to on the former."""

import math
from dataclasses import replace

import numpy as np
import pytest
from card_cases import cards, random_cards
from made_runs import made_run

from pipemodel.bending.part_bent import part_bent
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


def test_a_mark_that_falls_on_a_bend_is_not_given_from_its_back():
    """Bend 1 ends 30 before bend 2 begins, and the former's mark stands 40 short of that: on bend 1."""
    run = made_run([400, 30, 200], [90, 90], [0], hold_mm=20.0, guide_mm=20.0, mark_mm=-40.0)
    second = next(card for card in cards(run) if card.pull.bend == 2)
    assert second.pull.held == "start"
    assert second.pull.made == {1}
    assert second.mark_from_back is None


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
