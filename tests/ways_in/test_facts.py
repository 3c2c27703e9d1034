"""The facts of a way in, counted by hand for one that was laid by hand."""

from dataclasses import replace

from way_jobs import results_with_way

from pipemodel.ways_in.facts import facts_of


def test_the_facts_of_a_way() -> None:
    (one,) = results_with_way().ways_shown
    facts = facts_of(one.solved.centreline, one.way, joints=1)
    # In, a turn about the finish, along, a roll about the first leg, to the wall.
    assert (facts.motions, facts.turns, facts.joints) == (5, 2, 1)
    assert facts.found
    assert not facts.impossible
    assert abs(facts.spare_mm - 16.4) < 1e-9
    none = facts_of(one.solved.centreline, replace(one.way, found=False, states=(), least_mm=None))
    assert (none.found, none.spare_mm, none.motions) == (False, None, 0)
