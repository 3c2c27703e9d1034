"""What the checks of bender, clips and stock say, sentence by sentence, for runs worked by hand."""

import math
from dataclasses import replace

import pytest
from gallery import TUBE_15, job, run

from pipemodel.bending.schedule import solve, solve_run
from pipemodel.checks.bender import bender
from pipemodel.checks.findings import Finding, Report
from pipemodel.checks.joints import judged_part, lagged_parts, not_reached
from pipemodel.checks.stock import LOOKED_AT, stock
from pipemodel.checks.supports import supports
from pipemodel.geometry.distance.obstacle import obstacle_of
from pipemodel.geometry.shapes import Box, HalfSpace
from pipemodel.job.model import Stock, Thing
from pipemodel.trade.clips import ClipRule, ClipSpacing
from pipemodel.trade.fittings import Ending, Ends, Fitting
from pipemodel.trade.model import Former, Springback

EAST = ((0.0, 0.0, 0.0), (1000.0, 0.0, 0.0))


def said(found):
    return [(f.code, f.severity, f.message) for f in found]


def test_a_pull_beyond_the_former_and_a_generic_former_are_said():
    former = Former(55.0, "small former", Springback(0.02, 1.0), max_angle_deg=92.0, generic=True)
    one = run("a", ((0.0, 0.0, 0.0), (600.0, 0.0, 0.0), (600.0, 400.0, 0.0)), former=former)
    beyond, generic = bender(solve(job("one", [one])))
    assert (beyond.code, beyond.severity, beyond.run) == ("B102", "error", "a")
    assert (beyond.distance_mm, beyond.required_mm) == (None, None)
    assert "92.8" in beyond.message
    assert "92" in beyond.message
    assert said([generic]) == [
        ("B104", "note", "run 'a' is worked out for the small former, by common practice: measure your own former "
                         "before cutting")
    ]  # fmt: skip


def test_a_leg_too_short_to_hold_is_said_with_what_there_is():
    """545 before the only bend and 345 after: a hold of 600 and a guide of 400."""
    former = Former(55.0, hold_mm=600.0, guide_mm=400.0)
    one = run("a", ((0.0, 0.0, 0.0), (600.0, 0.0, 0.0), (600.0, 400.0, 0.0)), former=former)
    found = [f for f in bender(solve(job("one", [one]))) if f.code == "B101"]
    assert found
    for one_found in found:
        assert one_found.severity == "error"
        assert one_found.distance_mm is not None
        assert one_found.required_mm is not None
        assert one_found.distance_mm < one_found.required_mm
        assert one_found.required_mm in (600.0, 400.0)
        assert one_found.distance_mm in (545.0, 345.0)


def test_where_a_straightened_corner_is():
    """0.5 aside at 700 along the second leg: 545 + 86.39 + (300 - 55) from the start."""
    points = ((0.0, 0.0, 0.0), (600.0, 0.0, 0.0), (600.5, 300.0, 0.0), (600.0, 600.0, 0.0))
    (found,) = [f for f in bender(solve(job("one", [run("a", points)]))) if f.code == "B111"]
    assert found.severity == "warning"
    assert found.message.startswith("run 'a': point 3 asks for a bend of 0.2 degrees, too small to be pulled")
    assert found.at_mm == pytest.approx(545.0 + 86.394 + 245.0, abs=0.01)
    assert found.point == pytest.approx((600.0, 300.0, 0.0), abs=1e-6)
    assert found.distance_mm == pytest.approx(0.5)


def test_joints_of_a_run_longer_than_stock():
    one = run("long", ((0.0, 0.0, 0.0), (5000.0, 0.0, 0.0)))
    said_of = {}
    for assumed in (False, True):
        (found,) = stock(solve(job("one", [one], stock=Stock(3000.0, (), assumed))))
        said_of[assumed] = found
        assert (found.code, found.severity) == ("L101", "note")
        assert (found.distance_mm, found.required_mm) == (3000.0, 5000.0)
        assert found.at_mm <= 3000.0
        assert found.at_mm >= 2000.0
        assert found.point == pytest.approx((found.at_mm, 0.0, 0.0))
        at = f"{round(found.at_mm, 1):.10g} mm"
        taken = " (taken for granted: the job names no stock)" if assumed else ""
        assert found.message == (
            f"run 'long' needs 5000.0 mm and the longest stock is 3000.0 mm{taken}: joint it into 2 pieces, at {at} "
            "along the run from its start"
        )


@pytest.mark.parametrize(("assumed", "severity"), [(True, "warning"), (False, "error")])
def test_a_run_that_cannot_be_jointed(assumed, severity):
    """Bends of 55 with 10 between them leave no straight with room for a coupling."""
    points = [(0.0, 0.0, 0.0)]
    for k in range(1, 41):
        x, y, z = points[-1]
        points.append((x + 120.0, y, z) if k % 2 else (x, y + 120.0, z))
    solved = solve(job("one", [run("stairs", tuple(points))], stock=Stock(2000.0, (), assumed)))
    (found,) = stock(solved)
    assert (found.code, found.severity) == ("L102", severity)
    assert found.distance_mm == 2000.0
    assert found.required_mm == pytest.approx(solved.runs[0].cut_length_mm)


def test_runs_that_fit_and_very_many_that_do_not():
    short = run("short", EAST)
    assert stock(solve(job("one", [short], stock=Stock(1000.0)))) == ()
    long = [run(f"r{k}", ((0.0, 0.0, 50.0 * k), (1500.0, 0.0, 50.0 * k))) for k in range(LOOKED_AT + 2)]
    found = stock(solve(job("many", [short, *long], stock=Stock(1000.0, (), False))))
    assert len(found) == LOOKED_AT + 1
    assert [f.run for f in found[:2]] == ["r0", "r1"]
    assert (
        found[-1].message
        == "2 more runs are longer than new stock, 1000.0 mm; where they can be jointed was not looked at"
    )


def test_a_run_too_long_for_new_lengths_and_not_for_an_offcut():
    whole = Stock(900.0, ((TUBE_15, (1200.0,)),), False)
    assert stock(solve(job("one", [run("a", EAST)], stock=whole))) == ()


def clipped(points, faces=("wall",), things=(), ends=None, **rule):
    spacing = ClipSpacing("water", 15.0, 500.0, 900.0, 100.0, "the test's own")
    wall = Thing("wall", HalfSpace((0.0, 0.0, 0.0), (0.0, -1.0, 0.0)))
    made = replace(run("rise", points), clips=ClipRule(faces, spacing, 22.5, **rule), ends=ends or Ends())
    return supports(solve(job("clips", [made], (wall, *things))))


def test_clips_in_a_sentence():
    """Level, 400 up, 600 long: one within 100 of either end and 500 or less between."""
    floor = Thing("floor", HalfSpace((0.0, 0.0, 0.0), (0.0, 0.0, 1.0)))
    (found,) = clipped(((0.0, -15.0, 400.0), (600.0, -15.0, 400.0)), things=(floor,))
    assert found.basis == "the test's own"
    assert said([found]) == [
        ("S102", "note", "run 'rise': clips 1: 100 mm along the tube, on wall 100 mm to the right of the start of the "
                         "run and 400 mm from floor; 2: 500 mm along the tube, on wall 500 mm to the right of the "
                         "start of the run and 400 mm from floor")
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("points", "more", "reason"),
    [
        (((0.0, -100.0, 400.0), (600.0, -100.0, 400.0)), {}, "the axis of leg 1 stands 100.0 mm off wall, and a clip "
                                                             "reaches 60 mm"),
        (((0.0, -25.0, 400.0), (600.0, -25.0, 400.0)), {"standoff_mm": 15.0}, "the axis of leg 1 stands 25.0 mm off "
                                                                              "wall, and the clip holds 15 mm"),
        (((0.0, -15.0, 400.0), (0.0, -615.0, 400.0)), {}, "leg 1 lies along no face of wall"),
        (((0.0, -15.0, 400.0), (0.0, -615.0, 400.0)), {"faces": ("wall", "door")}, "leg 1 lies along no face of wall "
                                                                                   "or door"),
    ],
)  # fmt: skip
def test_why_no_clip_can_hold_a_run(points, more, reason):
    (found,) = clipped(points, **more)
    assert said([found]) == [
        ("S101", "error", "run 'rise': 600 mm without a clip, from 0 mm to 600 mm along the tube, where at most 100 mm "
                          f"is allowed: {reason}")
    ]  # fmt: skip
    assert found.at_mm == 300.0
    assert found.point == pytest.approx(tuple((a + b) / 2 for a, b in zip(*points, strict=True)))


def test_a_leg_without_room_between_its_fittings():
    """40 long with 10 in a fitting at either end: 20 are left, and a clip keeps 22.5 off a bend on either side."""
    deep = Ending(Fitting("capillary", 10.0, 5.0))
    points = ((0.0, -15.0, 0.0), (200.0, -15.0, 0.0))
    assert [f.code for f in clipped(points, ends=Ends(deep, deep))] == ["S102"]
    (found,) = clipped(((0.0, -15.0, 0.0), (40.0, -15.0, 0.0)), ends=Ends(deep, deep))
    assert found.message.endswith(": leg 1, 40 mm long, leaves no room for a clip clear of bends and fittings")


def ended(**ends):
    return solve_run(replace(run("tail", EAST), ends=Ends(**ends), insulation_mm=9.0))


BLOCK = obstacle_of(Box((-50.0, -50.0, -50.0), (120.0, 50.0, 50.0)))
FAR = obstacle_of(Box((900.0, -50.0, -50.0), (1200.0, 50.0, 50.0)))


def test_which_part_of_a_run_is_judged_against_what_it_joins():
    """It leaves the block at 120, or enters it at 900; twice what is asked for and the diameter, 25, are left out."""
    assert judged_part(ended(), "tank", BLOCK, 5.0) == (0.0, 1000.0)
    assert judged_part(ended(start=Ending(joins="tank")), "tank", BLOCK, 5.0) == pytest.approx(
        (145.0, 1000.0), abs=1e-3
    )
    assert judged_part(ended(finish=Ending(joins="tank")), "tank", FAR, 5.0) == pytest.approx((0.0, 875.0), abs=1e-3)
    # The end that joins it does not lie in it: only what is beside that end is left out.
    assert judged_part(ended(finish=Ending(joins="tank")), "tank", BLOCK, 5.0) == pytest.approx((0.0, 975.0))
    assert judged_part(ended(start=Ending(joins="tank")), "tank", FAR, 5.0) == pytest.approx((25.0, 1000.0))
    deep = Fitting("capillary", 300.0, 5.0)
    assert judged_part(ended(start=Ending(deep, joins="tank")), "tank", BLOCK, -5.0) == (315.0, 1000.0)
    assert judged_part(ended(finish=Ending(deep, joins="tank")), "tank", FAR, 0.0) == (0.0, 685.0)


def test_where_insulation_begins_and_ends():
    bare = ended(start=Ending(bare_mm=50.0), finish=Ending(bare_mm=200.0))
    assert list(lagged_parts(bare, 0.0, 1000.0)) == [(0.0, 50.0, False), (50.0, 800.0, True), (800.0, 1000.0, False)]
    assert list(lagged_parts(bare, 100.0, 700.0)) == [(100.0, 700.0, True)]
    assert list(lagged_parts(bare, 10.0, 60.0)) == [(10.0, 50.0, False), (50.0, 60.0, True)]
    all_bare = ended(start=Ending(bare_mm=600.0), finish=Ending(bare_mm=500.0))
    assert list(lagged_parts(all_bare, 0.0, 1000.0)) == [(0.0, 1000.0, False)]


@pytest.mark.parametrize(("gap", "found"), [(4.9, False), (5.1, True), (30.0, True)])
def test_an_end_that_does_not_reach_what_it_joins(gap, found):
    at = obstacle_of(Box((1000.0 + gap, -50.0, -50.0), (1200.0, 50.0, 50.0)))
    before = obstacle_of(Box((-200.0, -50.0, -50.0), (-gap, 50.0, 50.0)))
    for end, obstacle, where in (("finish", at, 1000.0), ("start", before, 0.0)):
        findings = list(not_reached(ended(**{end: Ending(joins="tank")}), "tank", obstacle))
        assert bool(findings) == found
        for one in findings:
            assert said([one]) == [
                ("C107", "warning", f"run 'tail': its {end} is to join 'tank' and ends {gap:.1f} mm from it")
            ]
            assert (one.at_mm, one.point) == (where, (where, 0.0, 0.0))
            assert one.distance_mm == pytest.approx(gap)
    # An elbow reaches as far as its own centre.
    elbow = Ending(Fitting("elbow", 10.0, 40.0), joins="tank")
    assert not list(not_reached(ended(finish=elbow), "tank", at))


def test_only_an_error_makes_the_verdict_fail():
    for severities, verdict in (((), "pass"), (("note", "warning"), "pass"), (("note", "error", "note"), "fail")):
        report = Report(tuple(Finding("X1", "x", severity, "x") for severity in severities))
        assert report.verdict == verdict


def test_a_bend_wider_than_the_spacing_is_said_without_blaming_a_leg():
    """Clips stand 22.5 off the bend at either end: 86.4 and 45 where 100 is allowed, and both legs hold clips."""
    points = ((0.0, -15.0, 400.0), (600.0, -15.0, 400.0), (600.0, -15.0, 900.0))
    wall = Thing("wall", HalfSpace((0.0, 0.0, 0.0), (0.0, -1.0, 0.0)))
    rule = ClipRule(("wall",), ClipSpacing("water", 15.0, 100.0, 100.0, 100.0, "the test's own"), 22.5)
    (gap,) = [
        f for f in supports(solve(job("c", [replace(run("rise", points), clips=rule)], [wall]))) if f.code == "S101"
    ]
    assert gap.message == (
        "run 'rise': 131 mm without a clip, from 522 mm to 654 mm along the tube, where at most 100 mm is allowed: "
        "the faces and bends leave no nearer place for a clip"
    )
    # Half way along the bend.
    assert gap.at_mm == pytest.approx(545.0 + 55.0 * math.pi / 4.0)
    assert gap.point == pytest.approx((545.0 + 55.0 * 2**-0.5, -15.0, 455.0 - 55.0 * 2**-0.5))
