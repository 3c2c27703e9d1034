"""What is said of a clash and of a place on a run, word by word, for places given by hand."""

from dataclasses import replace

import pytest
from gallery import QUARTER, TWO_PLANES, job, run

from pipemodel.bending.schedule import solve, solve_run
from pipemodel.checks.clash import clash
from pipemodel.checks.clash_words import clashes, move_of
from pipemodel.checks.findings import Contact, Hole
from pipemodel.checks.place_words import where_on
from pipemodel.geometry.shapes import Box
from pipemodel.job.model import Thing
from pipemodel.messages.values import Count, Near, message
from pipemodel.trade.clips import ClipRule, all_spacings
from pipemodel.trade.fittings import Ending, Ends

FLOW = solve_run(run("flow", TWO_PLANES))
"""Bend 1 from 545 to 631.4, bend 2 from 921.4 to 1007.8, the finish at 1302.8."""


@pytest.mark.parametrize(
    ("at", "words"),
    [(0.0, "at the start end"), (0.5, "at the start end"), (0.6, "1 mm from the start end, before bend 1"),
     (540.0, "540 mm from the start end, before bend 1"), (600.0, "600 mm from the start end, in bend 1"),
     (546.0, "546 mm from the start end, in bend 1"), (631.0, "631 mm from the start end, in bend 1"),
     (700.0, "700 mm from the start end, between bends 1 and 2"), (1000.0, "1000 mm from the start end, in bend 2"),
     (1200.0, "1200 mm from the start end, after bend 2"), (1302.5, "at the finish end")],
)  # fmt: skip
def test_where_on_a_run(at, words):
    assert str(where_on(FLOW, at)) == words


def test_where_on_a_run_without_bends():
    assert (
        str(where_on(solve_run(run("s", ((0.0, 0.0, 0.0), (900.0, 0.0, 0.0)))), 300.0)) == "300 mm from the start end"
    )


@pytest.mark.parametrize(
    ("mm", "asked", "words"),
    [(12.34, None, "12.3 mm"), (0.96, None, "1 mm"), (0.945, None, "0.94 mm"), (0.5, None, "0.5 mm"),
     (0.123, None, "0.12 mm"), (0.004, None, "less than 0.01 mm"), (0.006, None, "0.01 mm"), (0.0, None, "0 mm"),
     (7.0, 10.0, "7 mm"), (22.5449, 22.5, "22.54 mm"), (9.9996, 10.0, "9.9996 mm"), (9.996, 10.0, "9.996 mm"),
     (9.99999996, 10.0, "10 mm")],
)  # fmt: skip
def test_lengths_for_a_sentence(mm, asked, words):
    """Beside what is asked for, as fine as it takes to tell the two apart and no finer."""
    assert str(message("length", mm=Near(mm, asked))) == words


@pytest.mark.parametrize(
    ("move", "words"),
    [((12.5, 0.0, 0.0), "12.5 mm east"), ((-12.5, 0.0, 0.0), "12.5 mm west"), ((0.0, 3.0, 0.0), "3 mm north"),
     ((0.0, -3.0, 0.0), "3 mm south"), ((0.0, 0.0, 7.0), "7 mm up"), ((0.0, 0.0, -7.01), "7.1 mm down"),
     ((9.0, 0.0, 3.0), "9 mm east and 3 mm up"), ((-9.0, 4.0, -3.0), "9 mm west, 4 mm north and 3 mm down"),
     ((10.0, 0.1, 0.0), "10 mm east"), ((10.0, 0.3, 0.0), "10 mm east and 0.3 mm north")],
)  # fmt: skip
def test_moves_in_words(move, words):
    assert str(move_of(move)) == words


def place(at=300.0, distance=-4.0, required=0.0, move=(0.0, 0.0, 11.5), insulation=0.0, hole=None, part=1):
    return Contact(
        at,
        (at, 0.0, 7.5),
        (at, 0.0, 3.5),
        distance,
        required,
        move,
        message("part.leg", leg=Count(part)),
        at,
        at,
        insulation,
        hole,
    )


HOLE = Hole(33.02, (100.0, -0.04, 0.0), (150.25, 0.0, -12.5), 50.25)


@pytest.mark.parametrize(
    ("contact", "words"),
    [
        (place(), "run 'flow' clashes with 'post': they overlap by 4 mm, 300 mm from the start end, before bend 1; "
                  "moving leg 1 by 11.5 mm up clears it"),
        (place(required=5.0, insulation=2.0), "run 'flow' clashes with 'post': they overlap by 4 mm, 300 mm from the "
         "start end, before bend 1; 5 mm is asked for, 2 mm of it insulation; moving leg 1 by 11.5 mm up clears it"),
        (place(distance=3.0, required=5.0), "run 'flow' comes within 3 mm of 'post', 300 mm from the start end, before "
         "bend 1; 5 mm is asked for; moving leg 1 by 11.5 mm up clears it"),
        (place(distance=0.0, required=5.0, move=None), "run 'flow' comes within 0 mm of 'post', 300 mm from the start "
         "end, before bend 1; 5 mm is asked for; no move of leg 1 was found that clears it"),
        (place(hole=HOLE), "run 'flow' passes right through 'post', 300 mm from the start end, before bend 1: it needs "
         "a hole of 33.1 mm, 50.2 mm long, from x 100 mm, y 0 mm, z 0 mm to x 150.2 mm, y 0 mm, z -12.5 mm; or moving "
         "leg 1 by 11.5 mm up clears it"),
        (place(hole=HOLE, required=9.0), "run 'flow' passes right through 'post', 300 mm from the start end, before "
         "bend 1: it needs a hole of 33.1 mm, 50.2 mm long, from x 100 mm, y 0 mm, z 0 mm to x 150.2 mm, y 0 mm, "
         "z -12.5 mm (9 mm all round the tube); or moving leg 1 by 11.5 mm up clears it"),
        (place(hole=HOLE, required=9.0, insulation=4.0), "run 'flow' passes right through 'post', 300 mm from the "
         "start end, before bend 1: it needs a hole of 33.1 mm, 50.2 mm long, from x 100 mm, y 0 mm, z 0 mm to "
         "x 150.2 mm, y 0 mm, z -12.5 mm (9 mm all round the tube, 4 mm of it insulation); or moving leg 1 by "
         "11.5 mm up clears it"),
    ],
)  # fmt: skip
def test_one_place_in_words(contact, words):
    assert str(clashes(FLOW, "post", [contact])) == words


def test_many_places_in_words():
    near = place(at=700.0, distance=2.5, required=5.0, part=2, move=(-2.5, 0.0, 0.0))
    assert str(clashes(FLOW, "post", [near, place(hole=HOLE), place()])) == (
        "run 'flow' clashes with 'post' in 3 places: (1) 700 mm from the start end, between bends 1 and 2: 2.5 mm "
        "apart; 5 mm is asked for; moving leg 2 by 2.5 mm west clears it; (2) 300 mm from the start end, before bend "
        "1: it needs a hole of 33.1 mm, 50.2 mm long, from x 100 mm, y 0 mm, z 0 mm to x 150.2 mm, y 0 mm, z -12.5 mm; "
        "or moving leg 1 by 11.5 mm up clears it; (3) 300 mm from the start end, before bend 1: they overlap by 4 mm; "
        "moving leg 1 by 11.5 mm up clears it"
    )
    said = str(clashes(FLOW, "post", [near] * 8))
    assert said.startswith("run 'flow' comes too near to 'post' in 8 places: (1) ")
    assert "(6) " in said
    assert said.endswith("; and 2 more")
    assert str(clashes(FLOW, "post", [near] * 6)).count("apart") == 6


def lying(end, name, joins=""):
    """A run one of whose ends lies at 600, 400; that one, or the one named, is to join a block or a run."""
    ends = Ends(**{joins or end: Ending(joins=name)})
    return replace(run("tail", QUARTER if end == "finish" else QUARTER[::-1]), ends=ends)


@pytest.mark.parametrize("end", ["start", "finish"])
def test_an_end_may_lie_deep_in_what_it_joins(end):
    """400 in, 300 deep: not judged, however deep; but for an end that joins something else it is a clash."""
    tank = Thing("tank", Box((400.0, 100.0, -100.0), (800.0, 700.0, 100.0)))
    assert [f.code for f in clash(solve(job("one", [lying(end, "tank")], [tank], 5.0)))[0]] == []
    assert [f.code for f in clash(solve(job("one", [lying(end, "floor")], [tank], 5.0)))[0]] == ["C101"]
    other = "finish" if end == "start" else "start"
    assert "C101" in [f.code for f in clash(solve(job("one", [lying(end, "tank", joins=other)], [tank], 5.0)))[0]]


@pytest.mark.parametrize("order", [1, -1])
@pytest.mark.parametrize("end", ["start", "finish"])
def test_a_branch_touches_the_run_it_joins(end, order):
    """It ends on the other's axis; 22.5 + 7.5 short of that, and beyond 2 x 5 + 15, it is judged like any other."""
    main = run("main", ((0.0, 400.0, 0.0), (1200.0, 400.0, 0.0)))
    found = clash(solve(job("tee", [main, lying(end, "main")][::order], (), 5.0)))[0]
    assert [f.code for f in found] == []
    found = clash(solve(job("tee", [main, lying(end, "another")][::order], (), 5.0)))[0]
    assert [f.code for f in found] == ["C101"]


@pytest.mark.slow
@pytest.mark.parametrize("order", [1, -1])
@pytest.mark.parametrize(("its", "own"), [(40.0, 0.0), (0.0, 40.0), (20.0, 20.0)])
def test_insulation_of_either_run_is_let_meet_where_one_joins_the_other(its, own, order):
    """Beside the joint twice what is asked for, insulation of both and all, is left alone; farther off it is not."""
    main = replace(run("main", ((0.0, 400.0, 0.0), (1200.0, 400.0, 0.0))), insulation_mm=its)
    branch = replace(lying("finish", "main"), insulation_mm=own)
    assert [f.code for f in clash(solve(job("tee", [main, branch][::order])))[0]] == []
    # The far leg runs beside the main one, 50 from axis to axis: 35 between them, and 40 is asked for.
    beside = run("tail", ((0.0, 350.0, 0.0), (600.0, 350.0, 0.0), (600.0, 200.0, 0.0), (900.0, 200.0, 0.0),
                          (900.0, 400.0, 0.0)))  # fmt: skip
    near = replace(beside, ends=Ends(finish=Ending(joins="main")), insulation_mm=own)
    assert [f.code for f in clash(solve(job("tee", [main, near][::order])))[0]] == ["C102"]


@pytest.mark.parametrize(
    ("insulation", "clearance", "near", "words"),
    [
        (0.0, 25.0, 12.5, "ask for a standoff of 32.5 mm or more, or for a clearance of 12.5 mm or less"),
        (13.0, 12.0, 12.5, "ask for a standoff of 32.5 mm or more"),
        (5.0, 20.0, 12.1, "ask for a standoff of 32.5 mm or more, or for a clearance of 7.1 mm or less"),
        (0.0, 25.0, 9.0, "moving leg 1 by 1 mm up clears it"),
        (0.0, 25.0, 14.0, "moving leg 1 by 1 mm up clears it"),
    ],
)
def test_clips_that_hold_it_too_near_are_named_in_place_of_a_move(insulation, clearance, near, words):
    held = replace(FLOW.run, clips=ClipRule(("wall",), all_spacings()[0], 50.0, 20.0))
    contact = place(distance=near, required=clearance + insulation, move=(0.0, 0.0, 1.0), insulation=insulation)
    said = str(clashes(replace(FLOW, run=held), "wall", [contact]))
    assert said.endswith("; " + words if "moving" in words else "; the clips hold its axis 20 mm off 'wall': " + words)
    assert "clips" not in str(clashes(replace(FLOW, run=held), "floor", [contact]))
    several = str(clashes(replace(FLOW, run=held), "wall", [contact, contact]))
    assert several.count(words) == 2
