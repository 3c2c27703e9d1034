"""How the tube lies in the bender, in the words of the cards, against the piece put there by rotation alone."""

import itertools
import math

import numpy as np
import pytest
from card_cases import WAYS, before_the_pull, cards, leg_index, lying, turning_runs
from made_runs import made_run, random_run
from scipy.spatial.transform import Rotation

from pipemodel.bending.part_bent import part_bent
from pipemodel.messages.say import say
from pipemodel.pulls.card_level import stands
from pipemodel.pulls.cards import cards_of
from pipemodel.pulls.limits import FINISH, START
from pipemodel.pulls.piece import PieceToBend
from pipemodel.pulls.plan import Plan, _pulls


@pytest.mark.slow
def test_rolls_and_levels_describe_how_the_tube_really_lies():
    """Put the part-bent piece into the bender by rotation alone, and look which way things face."""
    levels = faced = 0
    made_cards = [(run, cards(run)) for run in (random_run(s, 3, hold_mm=20.0, guide_mm=10.0) for s in range(60))]
    for run, last, card in ((run, *pair) for run, page in made_cards for pair in itertools.pairwise((None, *page))):
        made = part_bent(run, card.pull.made)
        turned = {b.number: sum(x.turn_deg for x in run.table.bends[: b.number]) for b in run.table.bends}
        # On the straight part the pulled bend lies on, its axis is the first one's turned about the tube.
        near = max((n for n in card.pull.made if n < card.pull.bend), default=None)
        if near is None:
            ahead = np.array(run.table.direction)
            axis = Rotation.from_rotvec(math.radians(turned[card.pull.bend]) * ahead).apply(run.table.normal)
        else:
            arc = made.arcs[[b.number for b in made.bends].index(near)]
            ahead = np.array(arc.finish_direction)
            by = math.radians(turned[card.pull.bend] - turned[near])
            axis = Rotation.from_rotvec(by * ahead).apply(arc.axis)
        # Held by the start side the tube goes along x and bends about minus z; by the finish side, the other way.
        along = np.array([1.0, 0, 0]) if card.left_end == "start" else np.array([-1.0, 0, 0])
        about = np.array([0, 0, -1.0]) if card.left_end == "start" else np.array([0, 0, 1.0])
        here = np.stack([ahead, axis, np.cross(ahead, axis)])
        there = np.stack([along, about, np.cross(along, about)])
        lie = there.T @ here
        if card.level is not None:
            leg = made.legs[leg_index(made, str(card.level.leg))]
            out = (lie @ leg.direction) * (-1 if before_the_pull(made, card) else 1)
            assert math.sin(math.radians(card.level.above_level_deg)) == pytest.approx(out[2], abs=1e-6)
            levels += 1
        if last is not None:
            by = math.radians(turned[last.pull.bend] - turned[card.pull.bend])
            inside = np.cross(Rotation.from_rotvec(by * ahead).apply(axis), ahead)
            faces = lie @ inside
            for words, way in {"faces up": (0, 0, 1), "faces down": (0, 0, -1), "faces you": (0, -1, 0)}.items():
                if str(card.roll).endswith(words):
                    assert faces == pytest.approx(way, abs=0.02)
                    faced += 1
            if str(card.roll).endswith("faces away from you"):
                assert faces == pytest.approx((0, 1, 0), abs=0.02)
                faced += 1
    assert levels >= 20
    assert faced >= 15


@pytest.mark.slow
def test_the_words_for_the_leg_beyond_point_where_it_points():
    seen = {}
    for run in turning_runs():
        for card in cards(run):
            if card.level is None or not (str(card.level.stands).startswith(("lies level, pointing", "points"))):
                continue
            made, lie, _ = lying(run, card)
            out = lie @ made.legs[leg_index(made, str(card.level.leg))].direction
            out = out * (-1 if before_the_pull(made, card) else 1)
            way = next(w for w in WAYS if w in card.level.stands)
            flat = np.array([out[0], out[1], 0.0])
            assert np.dot(flat, WAYS[way]) >= np.linalg.norm(flat) * math.sqrt(0.5) - 1e-6
            seen[way] = seen.get(way, 0) + 1
    assert min(seen.get(way, 0) for way in ("towards you", "away from you")) >= 5


@pytest.mark.slow
def test_the_words_of_a_roll_say_where_top_and_inside_line_go():
    """Both ways of holding it, and also where the tube is turned end for end before it is rolled."""
    rolled, turned_round = 0, 0
    pages = [(run, cards(run)) for run in turning_runs()]
    for first, turn in itertools.product((START, FINISH), (90, -90)):
        run = made_run([300, 200, 300], [90, 90], [turn])
        steps = ((0, first), (1, START + FINISH - first))
        pages.append((run, cards_of(run, Plan(_pulls(run, PieceToBend.of(run), steps)))))
    for run, page in pages:
        for last, card in itertools.pairwise(page):
            if "its top" not in card.roll:
                continue
            _, _, inside = lying(run, card)
            now = inside(last.pull.bend)
            # The inside line faced the fitter; turned end for end about an upright axis, it faces away.
            before = np.array([0.0, 1.0 if card.pull.turn_round else -1.0, 0.0])
            by = math.atan2(np.cross(before, now)[0], np.dot(before, now))
            # A roll about x that takes the top (z) away from the fitter (y) goes the left-handed way about x.
            assert ("its top away from you" in card.roll) == (by < 0.0)
            for way in ("up", "down"):
                if str(card.roll).endswith(f"faces {way}"):
                    assert now == pytest.approx(WAYS[way], abs=0.02)
                    turned_round += card.pull.turn_round
            rolled += 1
    assert rolled >= 30
    assert turned_round >= 4


@pytest.mark.parametrize("turn", [0, 180])
@pytest.mark.parametrize("helds", list(itertools.product((START, FINISH), repeat=2)))
def test_with_no_roll_or_half_a_roll_the_inside_line_faces_where_it_says(turn, helds):
    """Held by either end, turned end for end between the pulls or not; the fitter stands in the south of the bench."""
    run = made_run([300, 200, 300], [90, 90], [turn])
    last, card = cards_of(run, Plan(_pulls(run, PieceToBend.of(run), ((0, helds[0]), (1, helds[1])))))
    _, _, inside = lying(run, card)
    way = inside(last.pull.bend)
    faces = "you" if way[1] < 0.0 else "away from you"
    assert abs(way[1]) == pytest.approx(1.0)
    # Before the roll it faced the fitter; turned end for end about an upright axis, it faces away.
    rolled = (faces == "you") == card.pull.turn_round
    assert card.pull.turn_round == (helds[0] != helds[1])
    before = (
        "roll the tube half a turn; the inside line of bend 1 then faces "
        if rolled
        else ("the same side up as before: the inside line of bend 1 faces ")
    )
    assert str(card.roll) == before + faces


@pytest.mark.parametrize(
    ("direction", "above", "said"),
    [
        ((0.0, -1.0, 0.0), 0.0, "lies level, pointing towards you"),
        ((0.0, 1.0, 0.0), 0.0, "lies level, pointing away from you"),
        ((1.0, 0.3, 0.0), 0.0, "lies level, pointing right"), ((-1.0, -0.3, 0.0), 0.0, "lies level, pointing left"),
        ((0.0, 0.0, 1.0), 90.0, "stands plumb, upwards"), ((0.0, 0.0, -1.0), -90.0, "hangs plumb, downwards"),
        ((0.0, 1.0, 1.0), 45.0, "away from you"), ((0.0, -1.0, -1.0), -45.0, "towards you"),
    ],
)  # fmt: skip
def test_which_way_tube_beyond_a_bend_lies_for_whoever_stands_in_the_south(direction, above, said):
    assert said in say(stands(direction, above))


def test_where_bends_touch_the_tube_beyond_both_is_named():
    """A U of two bends without a straight between them, then one out of its plane: nobody sees how no tube stands."""
    run = made_run([200, 0, 150, 200], [90, 90, 90], [0, 90], hold_mm=20.0, guide_mm=0.0)
    of_bend = {card.pull.bend: card for card in cards(run) if card.pull.made >= {1, 2}}
    level = of_bend[3].level
    assert level.bend == 1
    # Bend 3 goes off square to the plane of the U, whose far leg then stands as the near one lies: level.
    assert abs(level.above_level_deg) < 1e-6
