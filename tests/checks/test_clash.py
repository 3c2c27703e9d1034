"""The clash check: what it finds, in which words, and what it leaves alone."""

import dataclasses

import numpy as np
import pytest
from gallery import FORMER_22, NOGGING, RETURN, ROOM, STRAIGHT, TUBE_22, airing_cupboard, clashing, job, run

from pipemodel.bending.schedule import solve
from pipemodel.checks import pair_distances
from pipemodel.checks.clash import clash
from pipemodel.checks.place_words import where_on
from pipemodel.geometry.extent import Extent
from pipemodel.geometry.shapes import Box, Cylinder, Extrusion, HalfSpace, Mesh
from pipemodel.job.model import Thing
from pipemodel.messages.values import Near, message
from pipemodel.trade.fittings import Ending, Ends

LEG = ((0.0, 0.0, 0.0), (600.0, 0.0, 0.0), (600.0, 400.0, 0.0))
WALL = Thing("wall", HalfSpace((0.0, 0.0, -10.0), (0.0, 0.0, 1.0)))
"""Its face 10 from the axis of a run laid at height 0: 2.5 from the outside of a tube of 15."""


def checked(*args, **more):
    return clash(solve(job(*args, **more)))


def codes(findings):
    return [f.code for f in findings]


def test_every_run_is_measured_against_every_thing_and_every_other_run():
    runs = [run("flow"), run("return", RETURN, TUBE_22, FORMER_22, joined=(1,)), run("tail", STRAIGHT)]
    _, distances = checked("three", runs, ROOM)
    names = [thing.name for thing in ROOM]
    said = [(d.run, d.against) for d in distances]
    assert said == [
        (name, against)
        for name in ("flow", "return", "tail")
        for against in (*names, *(other for other in ("flow", "return", "tail") if other != name))
    ]


def test_two_runs_are_as_far_from_each_other_either_way_each_at_its_own_place():
    _, (one, other) = checked("two", [run("a", LEG), run("b", ((300.0, -50.0, 40.0), (300.0, 350.0, 40.0)))])
    assert one.distance_mm == other.distance_mm == pytest.approx(25.0, abs=1e-9)
    assert (one.at_mm, other.at_mm) == (pytest.approx(300.0), pytest.approx(50.0))
    assert one.point == pytest.approx((300.0, 0.0, 7.5))
    assert other.point == pytest.approx((300.0, 0.0, 32.5))


def test_all_well():
    findings, distances = clash(solve(airing_cupboard()))
    assert findings == ()
    assert distances
    assert all(d.distance_mm >= 8.0 for d in distances)


def test_a_clash_says_who_where_and_by_how_much():
    (finding,), distances = clash(solve(clashing()))
    assert (finding.code, finding.check, finding.severity) == ("C101", "clash", "error")
    assert (finding.run, finding.against, finding.required_mm) == ("flow", "nogging", 8.0)
    (row,) = (d for d in distances if d.against == "nogging")
    assert (row.distance_mm, row.at_mm, row.point) == (finding.distance_mm, finding.at_mm, finding.point)
    # The axis goes right through, along x; half way through the nogging's 50 it is 25 from where it came in.
    assert finding.distance_mm == pytest.approx(-(25.0 + 7.5), abs=1e-6)
    assert finding.message.startswith("run 'flow' passes right through 'nogging', ")
    assert "between bends 3 and 4" in finding.message
    # 15 and 8 all round; the nogging stands from x 1000 to 1050, and the leg runs along y 240, z -95.
    assert "it needs a hole of 31 mm, 50 mm long, from x 1000 mm, y 240 mm, z -95 mm to x 1050 mm" in finding.message
    assert "(8 mm all round the tube)" in finding.message
    # Up is the way out: the top of the nogging at -60 is 35 above the axis, then 7.5 and 8.
    assert finding.message.endswith("; or moving leg 4 by 50.5 mm up clears it")


@pytest.mark.parametrize(("asked", "found"), [(0.0, []), (2.4, []), (2.5, []), (2.51, ["C102"]), (40.0, ["C102"])])
def test_the_clearance_asked_for(asked, found):
    findings, _ = checked("one", [run("flow", LEG)], [WALL], asked)
    assert codes(findings) == found
    if found:
        assert findings[0].check == "clash"
        assert findings[0].distance_mm == pytest.approx(2.5)
        assert "comes within 2.5 mm of 'wall'" in findings[0].message


def test_touching_is_no_clash_and_a_hair_more_is():
    touching = Thing("wall", HalfSpace((0.0, 0.0, -7.5), (0.0, 0.0, 1.0)))
    deeper = Thing("wall", HalfSpace((0.0, 0.0, -7.49), (0.0, 0.0, 1.0)))
    assert checked("one", [run("flow", LEG)], [touching])[0] == ()
    (finding,) = checked("one", [run("flow", LEG)], [deeper])[0]
    assert (finding.code, finding.distance_mm) == ("C101", pytest.approx(-0.01))
    assert "overlap by 0.01 mm" in finding.message


@pytest.mark.parametrize(("inside_mm", "found"), [(3.0, ["C101"]), (1e-3, ["C101"]), (-1e-3, [])])
@pytest.mark.parametrize("kind", ["box", "outline", "surface"])
def test_an_end_slantwise_in_a_block_is_a_clash_in_whatever_way_it_is_written(inside_mm, found, kind):
    """The way runs 0.8 along and 0.6 towards the wall, so that the rim reaches 0.8 of the radius over the axis."""
    face = 0.8 * 7.5 - inside_mm
    low, high = (-60.0, face, -100.0), (100.0, 100.0, 100.0)
    shapes = {
        "box": Box(low, high),
        "outline": Extrusion(((-60.0, face), (100.0, face), (100.0, 100.0), (-60.0, 100.0)), -100.0, 100.0),
        "surface": Box(low, high).mesh(0.0, Extent(low, high)),
    }
    tube = run("end", ((-240.0, -180.0, 0.0), (0.0, 0.0, 0.0)))
    findings, (distance,) = checked("end", [tube], [Thing("wall", shapes[kind])])
    assert codes(findings) == found
    assert distance.distance_mm == pytest.approx(-inside_mm, abs=2e-3)


def test_a_things_own_clearance_wins_either_way():
    near, far = dataclasses.replace(WALL, clearance_mm=0.0), dataclasses.replace(WALL, clearance_mm=25.0)
    assert checked("one", [run("flow", LEG)], [near], 10.0)[0] == ()
    (finding,) = checked("one", [run("flow", LEG)], [far])[0]
    assert finding.required_mm == 25.0


def test_runs_too_near_each_other_are_given_once():
    beside = tuple((x, y, z + 20.0) for x, y, z in LEG)
    (finding,), distances = checked("two", [run("flow", LEG), run("return", beside)], clearance=6.0)
    assert (finding.code, finding.run, finding.against) == ("C102", "flow", "return")
    assert [d.distance_mm for d in distances] == [pytest.approx(5.0)] * 2


def test_a_run_into_itself():
    hook = ((0, 0, 0), (300, 0, 0), (300, 300, 0), (150, 300, 0), (150, 5, 0))
    (finding,), distances = checked("one", [run("hook", tuple(tuple(map(float, c)) for c in hook))])
    assert (finding.code, finding.run, finding.against) == ("C103", "hook", "hook")
    assert finding.distance_mm < 0.0
    assert "runs into itself" in finding.message
    assert distances == ()


def test_a_run_too_near_itself():
    hook = ((0, 0, 0), (300, 0, 0), (300, 300, 0), (150, 300, 0), (150, 10, 0))
    (finding,), _ = checked("one", [run("hook", tuple(tuple(map(float, c)) for c in hook))], clearance=4.0)
    assert (finding.code, finding.distance_mm) == ("C103", pytest.approx(2.5))
    assert "comes within 2.5 mm of itself" in finding.message
    assert "4 mm is asked for" in finding.message
    (contact,) = finding.contacts
    assert contact.move == pytest.approx((0.0, -1.5, 0.0), abs=1e-6)
    assert "moving leg 1 there by 1.5 mm south clears it" in finding.message


def test_an_open_mesh_and_flats_are_given_as_notes():
    corners = np.array([[0.0, 0.0, 100.0], [600.0, 0.0, 100.0], [0.0, 400.0, 100.0]])
    sheet = Mesh(corners, np.array([[0, 1, 2]]), closed=False, source="sheet.stl")
    dome = dataclasses.replace(sheet, closed=True, flats_mm=0.005)
    findings, _ = checked("one", [run("flow", LEG)], [Thing("sheet", sheet), Thing("dome", dome)])
    assert [(f.code, f.severity, f.against) for f in findings] == [("C104", "note", "sheet"), ("C105", "note", "dome")]


def test_very_many_pairs_leave_far_ones_out_and_say_so(monkeypatch):
    monkeypatch.setattr(pair_distances, "MOST_PAIRS", 2)
    runs = [run(f"run {i}", tuple((x, y + 400.0 * i, z) for x, y, z in STRAIGHT)) for i in range(4)]
    findings, distances = checked("four", runs)
    assert codes(findings) == ["C106"]
    assert {(d.run, d.against) for d in distances} == {
        (f"run {i}", f"run {j}") for i in range(4) for j in range(4) if abs(i - j) == 1
    }


def test_very_many_things_leave_far_ones_out_and_say_so(monkeypatch):
    """Small boxes so far below a level run, one all round it, and one far off."""
    off = (100.0, 300.0, 499.0, 501.0, 800.0, 1900.0)
    boxes = [Thing(f"box {k}", Box((200.0, 0.0, -20.0 - d), (210.0, 10.0, -7.5 - d))) for k, d in enumerate(off)]
    round_it = Thing("hall", Box((-9000.0, -9000.0, -9000.0), (9000.0, 9000.0, 9000.0)))
    far = Thing("shed", Box((5000.0, 0.0, 0.0), (5100.0, 100.0, 100.0)))
    things = [*boxes, round_it, far]
    _, every = checked("all", [run("flow", LEG)], things)
    monkeypatch.setattr(pair_distances, "MOST_PAIRS", 2)
    findings, near = checked("near", [run("flow", LEG)], things)
    assert [d.against for d in near] == ["box 0", "box 1", "box 2", "hall"]
    assert list(near) == [d for d in every if d.distance_mm <= 500.0]
    assert codes(findings) == ["C101", "C108"]
    assert findings[-1].message == (
        "there are 8 pairs of a run and a thing: those more than 500 mm apart are left out of the distances; "
        "4 things are that far from every run"
    )
    wide = [dataclasses.replace(thing, clearance_mm=900.0) if thing.name == "box 4" else thing for thing in things]
    _, more = checked("wide", [run("flow", LEG)], wide)
    assert [d.against for d in more] == [*(f"box {k}" for k in range(5)), "hall"]


def test_of_very_many_things_what_an_end_joins_is_measured_however_far_off(monkeypatch):
    monkeypatch.setattr(pair_distances, "MOST_PAIRS", 2)
    boxes = [Thing(f"box {k}", Box((k, 0.0, -3000.0), (k + 0.5, 10.0, -2900.0))) for k in range(4)]
    joined = dataclasses.replace(run("flow", LEG), ends=Ends(finish=Ending(joins="box 2")))
    findings, distances = checked("joined", [joined], boxes)
    assert codes(findings) == ["C107", "C108"]
    assert [d.against for d in distances] == ["box 2"]


@pytest.mark.parametrize(
    ("at", "words"),
    [
        (0.0, "at the start end"),
        (100.0, "100 mm from the start end, before bend 1"),
        (510.0, "510 mm from the start end, in bend 1"),
        (700.0, "700 mm from the start end, between bends 1 and 2"),
        (1e9, "at the finish end"),
    ],
)
def test_where_in_words(at, words):
    assert str(where_on(solve(airing_cupboard()).runs[0], at)) == words


def test_where_on_a_straight_piece():
    assert str(where_on(solve(job("one", [run("tail", STRAIGHT)])).runs[0], 250.0)) == "250 mm from the start end"


@pytest.mark.parametrize(
    ("mm", "words"), [(12.34, "12.3 mm"), (8.0, "8 mm"), (0.123, "0.12 mm"), (1e-4, "less than 0.01 mm"), (0.0, "0 mm")]
)
def test_lengths_in_words(mm, words):
    assert str(message("length", mm=Near(mm))) == words


@pytest.mark.parametrize(("mm", "words"), [(4.96, "4.96 mm"), (4.9999, "4.9999 mm"), (4.9, "4.9 mm"), (0.5, "0.5 mm")])
def test_what_is_too_little_is_never_given_as_what_is_asked(mm, words):
    assert str(message("length", mm=Near(mm, 5.0))) == words


def test_the_same_job_gives_the_same_answer():
    room = (*ROOM, NOGGING, Thing("post", Cylinder((50.0, 60.0, -400.0), (50.0, 60.0, 900.0), 30.0)))
    again = [checked("one", [run("flow"), run("tail", STRAIGHT)], room, 8.0) for _ in range(2)]
    assert again[0] == again[1]


def test_what_is_said_is_plain_python():
    """No array types leak into findings, so that they can be written as JSON."""
    findings, distances = checked("one", [run("flow")], [*ROOM, Thing("block", Box((0.0, 0.0, 0.0), (9.0, 9.0, 9.0)))])
    for row in (*findings, *distances):
        assert type(row.distance_mm) is float
        assert [type(x) for x in row.point] == [float] * 3


@pytest.mark.parametrize(("off", "code"), [(7.5, "C102"), (7.5 + 5e-7, "C102"), (7.5 - 5e-7, "C102"), (7.499, "C101")])
def test_touching_where_more_is_asked_for_is_too_near_and_no_overlap(off, code):
    wall = Thing("wall", HalfSpace((0.0, 0.0, -off), (0.0, 0.0, 1.0)))
    (finding,) = checked("one", [run("flow", LEG)], [wall], 5.0)[0]
    assert finding.code == code


@pytest.mark.parametrize("deep", [1.0, 6.0])
def test_how_far_a_run_that_runs_into_itself_moves(deep):
    """Its finish is to stand 4 off the first leg and stands `deep` inside it: the first leg moves south by both."""
    hook = ((0, 0, 0), (300, 0, 0), (300, 300, 0), (150, 300, 0), (150, 7.5 - deep, 0))
    (finding,) = checked("one", [run("hook", tuple(tuple(map(float, c)) for c in hook))], clearance=4.0)[0]
    (contact,) = finding.contacts
    assert contact.distance_mm == pytest.approx(-deep)
    assert contact.move == pytest.approx((0.0, -(deep + 4.0), 0.0), abs=1e-6)
