"""Ways out of a run without an order of pulls: the proposals, drawn by hand with plain vectors, can be pulled.

The changed run is laid here from what the sentence says: a set's offset and angle by the right triangle that every
handbook of the trade gives (slope = offset / sin, advance = offset / tan), and not by what the program says it drew.
"""

import math
import random
import re

import pytest
from made_runs import made_run
from wide import few_or_many

from pipemodel.job.build_bender import bender_named
from pipemodel.pulls.offsets import offsets_of
from pipemodel.pulls.other_ways import ways_out
from pipemodel.pulls.plan import plan_pulls

VICE = "15 mm hand bender in a vice"
R = 55.0


def setback(angle):
    return R * math.tan(math.radians(angle) / 2.0)


def slope(offset, angle):
    """The straight between the two bends of a set, by its triangle."""
    return offset / math.sin(math.radians(angle)) - 2.0 * setback(angle)


def offset_of(straight, angle):
    return (straight + 2.0 * setback(angle)) * math.sin(math.radians(angle))


def a_set(before, offset, angle, after, **more):
    """A set with its corners `before` and `after` from the ends along the tube."""
    legs = [before - setback(angle), slope(offset, angle), after - setback(angle)]
    return made_run(legs, [angle, angle], [180], **more)


def a_passover(before, offset, angle, after, **more):
    """A passover of three bends."""
    beside = slope_of_three(offset, angle)
    legs = [before - setback(angle), beside, beside, after - setback(angle)]
    return made_run(legs, [angle, 2 * angle, angle], [180, 180], **more)


def slope_of_three(offset, angle):
    return offset / math.sin(math.radians(angle)) - setback(angle) - setback(2.0 * angle)


def test_sets_and_passovers_are_known_by_their_bends():
    one = a_set(300.0, 60.0, 45.0, 300.0)
    ((kind, first, last, angle, offset),) = [tuple(vars(o).values()) for o in offsets_of(one)]
    assert (kind, first, last) == ("set", 1, 2)
    assert (angle, offset) == (pytest.approx(45.0), pytest.approx(60.0))
    over = a_passover(300.0, 90.0, 30.0, 300.0)
    ((kind, first, last, angle, offset),) = [tuple(vars(o).values()) for o in offsets_of(over)]
    assert (kind, first, last) == ("passover", 1, 3)
    assert (angle, offset) == (pytest.approx(30.0), pytest.approx(90.0))
    # Four equal bends, up and down again; and two bends that turn the same way, or out of the plane, are neither.
    four = made_run([200, 30, 90, 30, 200], [45] * 4, [180, 0, 180])
    assert [(o.kind, o.last) for o in offsets_of(four)] == [("passover", 4)]
    assert offsets_of(made_run([200, 30, 200], [45, 45], [0])) == ()
    assert offsets_of(made_run([200, 30, 200], [45, 45], [90])) == ()
    assert offsets_of(made_run([200, 30, 200], [45, 40], [180])) == ()


def blocked(dice):
    """A random run of one set or passover that cannot be pulled, with what it is drawn with; None when it can be."""
    draw, steepest = dice.choice([(a_set, 60), (a_passover, 45)])
    angle = dice.choice([a for a in (30, 45, 60) if a <= steepest])
    offset = dice.uniform(10.0, 110.0)
    room = slope(offset, angle) if draw is a_set else slope_of_three(offset, angle)
    if room <= 0.0:
        return None
    more = {"hold_mm": dice.choice([30.0, 60.0]), "guide_mm": dice.choice([10.0, 45.0])}
    more["bender"] = dice.choice([None, bender_named(VICE)])
    before, after = dice.uniform(150.0, 400.0), dice.uniform(150.0, 400.0)
    run = draw(before, offset, angle, after, **more)
    plan = plan_pulls(run)
    return None if plan.possible else (draw, before, offset, angle, after, more, run, plan)


@pytest.mark.slow
def test_what_is_proposed_can_be_pulled_when_it_is_drawn_again_from_the_sentence():
    """And the set's middle, the passover's top and both ends stay where they were, as the sentence lets one believe."""
    tried = {"angle": 0, "offset": 0}
    for seed in range(few_or_many(60, 600)):
        found = blocked(random.Random(seed))
        if found is None:
            continue
        draw, before, offset, angle, after, more, run, plan = found
        for way in ways_out(run, plan):
            said = str(way.said)
            if way.kind in ("leg", "place"):
                continue
            new_angle, new_offset = angle, offset
            # Three bends go by the angle of the one on top, twice that of the other two.
            if angled := re.search(r" (at|with) ([\d.]+)\u00b0 (?:on top )?instead of ([\d.]+)\u00b0", said):
                share = 1.0 if draw is a_set else 2.0
                assert angled[1] == ("at" if draw is a_set else "with")
                new_angle = float(angled[2]) / share
                assert float(angled[3]) / share == angle
                assert (f", with its offset of {round(offset, 1):g} mm as it is" in said) == (draw is a_passover)
            else:
                sized = re.search(r" with an offset of (\d+) mm instead of ([\d.]+) mm", said)
                new_offset = float(sized[1])
                assert float(sized[2]) == pytest.approx(offset, abs=0.051)
                assert new_offset % 5.0 == 0.0
            # What it takes along the tube, from the outer corner to the middle, comes off the legs beside it.
            share = 2.0 if draw is a_set else 1.0
            now = new_offset / math.tan(math.radians(new_angle)) / share
            less = now - offset / math.tan(math.radians(angle)) / share
            again = draw(before - less, new_offset, new_angle, after - less, **more)
            assert plan_pulls(again).possible, (said, seed)
            assert again.table.length_mm == pytest.approx(way.run.table.length_mm, abs=1e-6)
            moved = new_offset - offset if draw is a_set else 0.0
            assert way.finish_moves_mm == pytest.approx(moved, abs=1e-6)
            assert ("the finish end then moves" in said) == (moved > 0.05)
            tried[way.kind] += 1
    assert min(tried.values()) >= 10, tried


def test_no_smaller_offset_of_the_steps_and_no_nearer_angle_would_do():
    run = a_set(300.0, 45.0, 45.0, 300.0, hold_mm=60.0, guide_mm=20.0)
    plan = plan_pulls(run)
    assert not plan.possible
    ways = {way.kind: way for way in ways_out(run, plan)}
    # By the triangle: the slope has to give 20 to guide: at 45 that is (20 + 2 * 55 tan 22.5) sin 45 = 46.4, so 50.
    assert offset_of(20.0, 45.0) == pytest.approx(46.36, abs=0.01)
    assert ways["offset"].to == 50.0
    # 60 degrees leaves less slope than 45, and 30 leaves 45 / sin 30 - 2 * 55 tan 15 = 60.5.
    assert slope(45.0, 60.0) < 0.0
    assert slope(45.0, 30.0) == pytest.approx(60.5, abs=0.05)
    assert ways["angle"].to == 30.0
    assert str(ways["angle"].said) == "the set of bends 1 to 2 at 30\u00b0 instead of 45\u00b0"
    assert str(ways["offset"].said) == (
        "the set of bends 1 to 2 with an offset of 50 mm instead of 45 mm; the finish end then moves by 5 mm"
    )


def test_a_larger_offset_is_the_least_of_all_steps():
    """Every multiple of 5 below it, drawn by the triangle, is tried; 45 degrees and a slope of 60 to hold need 86.6."""
    tried = 0
    for offset in (58.0, 41.0, 27.0):
        more = {"hold_mm": 60.0, "guide_mm": 60.0}
        run = a_set(300.0, offset, 45.0, 300.0, **more)
        plan = plan_pulls(run)
        (way,) = [way for way in ways_out(run, plan) if way.kind == "offset"]
        assert way.to == math.ceil(offset_of(60.0, 45.0) / 5.0) * 5.0
        for less in range(int(offset) // 5 * 5 + 5, int(way.to), 5):
            if slope(less, 45.0) > 0.0:
                again = a_set(300.0 + (offset - less) / 2.0, less, 45.0, 300.0 + (offset - less) / 2.0, **more)
                assert not plan_pulls(again).possible
                tried += 1
    assert tried >= 6


def test_a_run_with_an_order_has_nothing_to_be_proposed():
    run = made_run([300, 300], [90])
    assert ways_out(run, plan_pulls(run)) == ()


def test_what_would_run_into_the_room_is_left_out():
    run = a_set(300.0, 45.0, 45.0, 300.0, hold_mm=60.0, guide_mm=20.0)
    plan = plan_pulls(run)
    assert [way.kind for way in ways_out(run, plan, fits=lambda other: other.finish == pytest.approx(run.finish))] == [
        "angle"
    ]
    assert ways_out(run, plan, fits=lambda _: False) == ()


def test_a_set_too_near_to_another_bend_may_be_drawn_further_on():
    """20 are left between a square bend and a set, and 30 are asked for; 10 more before it, and 10 less after, do."""

    def drawn(before):
        legs = [300.0, before, slope(120.0, 45.0), 320.0 - before]
        return made_run(legs, [90.0, 45.0, 45.0], [90, 180], hold_mm=60.0, guide_mm=30.0)

    run, by_hand = drawn(20.0), drawn(30.0)
    plan = plan_pulls(run)
    assert not plan.possible
    assert not plan_pulls(drawn(10.0)).possible
    assert plan_pulls(by_hand).possible
    (place,) = [way for way in ways_out(run, plan) if way.kind == "place"]
    assert str(place.said).startswith("the set of bends 2 to 3 drawn 10 mm further from the start")
    assert (place.was, place.to, place.finish_moves_mm) == (pytest.approx(20.0), pytest.approx(30.0), 0.0)
    assert place.run.finish == pytest.approx(run.finish, abs=1e-6)
    assert [b.start_mm for b in place.run.table.bends] == pytest.approx([b.start_mm for b in by_hand.table.bends])
