"""What the checks say at their limits, and the tables people read of it, held against figures worked by hand."""

import re
from dataclasses import replace
from math import cos, radians, sin

import pytest
from gallery import FORMER_15, TUBE_15, job, run

from pipemodel.bending.schedule import solve
from pipemodel.checks.bender import bender, pull_order
from pipemodel.checks.clash import clash
from pipemodel.checks.supports import plan_clips
from pipemodel.documents.text.check import check_text
from pipemodel.documents.text.schedule import schedule_text
from pipemodel.geometry.shapes import Box, HalfSpace
from pipemodel.job.build_bender import generic_benders
from pipemodel.job.model import Job, Route, Run, Thing
from pipemodel.lists.distances import NEAREST
from pipemodel.pulls.plan import Plan, Pull
from pipemodel.results.results import Results
from pipemodel.trade.clips import ClipRule, ClipSpacing
from pipemodel.trade.model import Former


def pulled(*order):
    """A plan of pulls in an order: (bend, end held)."""
    some = {f.name: None for f in Pull.__dataclass_fields__.values()}
    pulls = tuple(Pull(**{**some, "number": k, "bend": bend, "held": held}) for k, (bend, held) in enumerate(order, 1))
    made = object.__new__(Plan)
    object.__setattr__(made, "pulls", pulls)
    return made


@pytest.mark.parametrize(
    ("order", "words"),
    [
        ([(1, "start"), (3, "finish"), (2, "start")], "bends 1, 3, 2 in that order; 3 held by the finish side"),
        ([(2, "start"), (1, "start")], "bends 2, 1 in that order"),
        ([(2, "finish"), (1, "finish")], "bends 2, 1 in that order; all held by the finish side"),
        ([(1, "finish")], "bend 1 held by the finish side"),
        ([(3, "start"), (2, "finish"), (1, "finish")], "bends 3, 2, 1 in that order; 2, 1 held by the finish side"),
    ],
)
def test_the_order_of_pulls_in_words(order, words):
    assert str(pull_order(pulled(*order))) == words


@pytest.mark.parametrize(("share", "said"), [(0.86, False), (0.84, True), (1.14, False), (1.16, True), (1.0, False)])
def test_a_former_that_is_not_the_benders(share, said):
    """Its shapes were measured with one radius; 15 % beside it is where they are no longer trusted."""
    made = next(iter(generic_benders().values()))
    corners = ((0.0, 0.0, 0.0), (600.0, 0.0, 0.0), (600.0, 600.0, 0.0))
    one = Run("a", TUBE_15, Former(made.radius_mm * share, hold_mm=30.0), Route(corners), bender=made)
    found = bender(solve(Job("other", (one,))))
    assert ("B106" in [f.code for f in found]) == said


HOOK = ((0.0, 0.0, 0.0), (300.0, 0.0, 0.0), (300.0, 300.0, 0.0), (150.0, 300.0, 0.0), (150.0, 30.0, 0.0))
"""Its end comes back to 30 off its own first axis: 22.5 off the outside of that."""


@pytest.mark.parametrize(("thick", "found"), [(0.0, False), (8.7, False), (8.8, True)])
def test_a_run_near_itself_is_insulated_twice(thick, found):
    """22.5 between: room for 5 and twice 8.75."""
    lagged = replace(run("hook", HOOK), insulation_mm=thick)
    said = [f for f in clash(solve(job("one", [lagged], (), 5.0)))[0] if f.code == "C103"]
    assert bool(said) == found
    if found:
        assert said[0].required_mm == pytest.approx(5.0 + 2.0 * thick)
        assert f"22.6 mm is asked for, {2 * thick:g} mm of it insulation" in said[0].message


def clipped(corners, standoff=None, faces=("wall",), spacing=None, things=()):
    wall = Thing("wall", HalfSpace((0.0, 0.0, 0.0), (0.0, -1.0, 0.0)))
    spacing = spacing or ClipSpacing("water", 15.0, 500.0, 900.0, 100.0, "the test's own")
    rule = ClipRule(faces, spacing, 22.5, standoff)
    made = replace(run("rise", tuple(corners), TUBE_15, FORMER_15), clips=rule)
    return solve(job("clips", [made], (wall, *things)))


@pytest.mark.parametrize(
    ("off_plumb", "upright"), [(0.0, True), (20.0, True), (29.5, True), (30.5, False), (90.0, False)]
)
def test_within_thirty_degrees_of_plumb_is_upright(off_plumb, upright):
    lean = radians(off_plumb)
    end = (2000.0 * sin(lean), -15.0, 2000.0 * cos(lean))
    solved = clipped([(0.0, -15.0, 0.0), end])
    made = plan_clips(solved.runs[0], solved.job.things)
    at = [clip.at_mm for clip in made.clips]
    # From 100 to 1900: 1800 takes 2 spans of 900, or 4 of 500.
    assert len(at) == (3 if upright else 5)


@pytest.mark.parametrize(
    ("stands", "held"), [(15.0, True), (15.9, True), (14.1, True), (16.1, False), (13.9, False), (25.0, False)]
)
def test_a_clip_of_a_set_standoff_has_a_millimetre_of_play(stands, held):
    solved = clipped([(0.0, -stands, 500.0), (900.0, -stands, 500.0)], standoff=15.0)
    made = plan_clips(solved.runs[0], solved.job.things)
    assert bool(made.clips) == held
    assert bool(made.unsupported) == (not held)


def test_clips_as_people_read_them():
    things = (
        Thing("west wall", HalfSpace((-700.0, 0.0, 0.0), (1.0, 0.0, 0.0))),
        Thing("floor", HalfSpace((0.0, 0.0, 0.0), (0.0, 0.0, 1.0))),
    )
    solved = clipped([(0.0, -15.0, 400.0), (700.0, -15.0, 400.0)], things=things)
    text = schedule_text(Results(solved))
    said = " ".join(text.split())
    assert "at most 500 apart on level tube and 900 on upright, along the bent tube from its start end" in said
    rows = re.findall(
        r"^ +(\d) +([\d.]+) +(\d) +wall: ([\d.]+) from west wall, ([\d.]+) from floor", text, re.MULTILINE
    )
    # Within 100 of both ends and at most 500 between; the wall stands 700 west of the start, the tube 400 up.
    assert [(row[0], row[2]) for row in rows] == [("1", "1"), ("2", "1")]
    for _, at, _, across, up in rows:
        assert (float(across), up) == (700.0 + float(at), "400")
    assert [float(row[1]) for row in rows] == [100.0, 600.0]


def test_least_distances_as_people_read_them():
    """Blocks beneath a straight run, each deeper and further on than the one before; nearest first, no more than 12."""
    blocks = [
        Thing(f"block {k}", Box((50.0 * k, -30.0, -300.0), (50.0 * k + 10.0, 30.0, -17.5 - 7.0 * k))) for k in range(15)
    ]
    some = [blocks[k] for k in (7, 3, 14, 0, 11, 5, 9, 1, 13, 2, 8, 4, 12, 6, 10)]
    schedule = solve(job("blocks", [run("tail", ((0.0, 0.0, 0.0), (1000.0, 0.0, 0.0)))], some, 4.0))
    text = check_text(Results(schedule))
    rows = re.findall(r"^ +(-?[\d.]+) +([\d.]+) +([\d.]+)  (block \d+)$", text, re.MULTILINE)
    assert [row[3] for row in rows] == [f"block {k}" for k in range(NEAREST)]
    for k, (near, asked, at, _) in enumerate(rows):
        # 7.5 of the tube are taken from 17.5 and 7 more each.
        assert float(near) == pytest.approx(10.0 + 7.0 * k)
        assert asked == "4.0"
        assert 50.0 * k - 0.1 <= float(at) <= 50.0 * k + 10.1
    assert "and 3 more, all further off" in text
