"""Clips: spacings from the tables, kept off bends and near ends, as few as can be, and measured on the wall."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from wide import few_or_many

from pipemodel.bending.schedule import Schedule, solve
from pipemodel.checks.clip_places import ClipLeg, ClipStretch, place_clips
from pipemodel.checks.supports import ClipPlan, plan_clips, supports
from pipemodel.geometry.centreline import Straight
from pipemodel.geometry.shapes import Box, Extrusion, HalfSpace
from pipemodel.geometry.shapes.face import Face
from pipemodel.geometry.vectors import EAST, UP
from pipemodel.job.model import Job, Route, Run, Thing
from pipemodel.trade.clips import ClipRule, ClipSpacing, find_spacing
from pipemodel.trade.fittings import Ending, Ends, Fitting
from pipemodel.trade.formers import generic_former
from pipemodel.trade.tubes import find_tube

WALL = Thing("north wall", HalfSpace((500, 1000, 200), (0.0, -1.0, 0.0)))
WEST = Thing("west wall", HalfSpace((-400, 0, 0), (1.0, 0.0, 0.0)))
EAST_WALL = Thing("east wall", HalfSpace((5000, 0, 0), (-1.0, 0.0, 0.0)))
FLOOR = Thing("floor", HalfSpace((0, 0, 0), (0.0, 0.0, 1.0)))
CEILING = Thing("ceiling", HalfSpace((0, 0, 2400), (0.0, 0.0, -1.0)))
ROOM = (WALL, WEST, EAST_WALL, FLOOR, CEILING)
Y = 985.0  # 15 off the wall: City & Guilds Plumbing Book 1 (2019), its own worked case of 15 mm tube.


def solved(points, size=15, things=ROOM, service="water", standoff=15.0, ends=None, faces=("north wall",)) -> Schedule:
    tube = find_tube(size)
    rule = ClipRule(faces, find_spacing(service, tube), 1.5 * tube.outside_mm, standoff)
    run = Run("rise", tube, generic_former(tube), Route(tuple(points)), ends=ends or Ends(), clips=rule)
    return solve(Job("clips", (run,), things))


def plan(*args, **kwargs) -> ClipPlan:
    schedule = solved(*args, **kwargs)
    made = plan_clips(schedule.runs[0], schedule.job.things)
    assert made is not None
    return made


def places(made: ClipPlan) -> list[float]:
    return [clip.at_mm for clip in made.clips]


def test_a_level_length_of_15_mm_water():
    # 1.2 m level (BS EN 806-4 / BS 8558, from memory), 300 mm from the ends (water-mist guide, table 2).
    made = plan([(0, Y, 500), (3000, Y, 500)])
    assert places(made) == pytest.approx([300, 1500, 2700])
    assert made.unsupported == ()


def test_the_same_length_upright_needs_one_less():
    # 1.8 m upright; 300 + 1800 + 300 is the longest riser with two.
    assert places(plan([(0, Y, 0), (0, Y, 2400)])) == pytest.approx([300, 2100])
    assert len(plan([(0, Y, 0), (0, Y, 2401)]).clips) == 3


def test_gas_spacings_are_wider():
    # 1.5 m level for 15 mm gas (BS 6891, from memory).
    assert len(plan([(0, Y, 500), (3600, Y, 500)], service="gas").clips) == 3
    assert len(plan([(0, Y, 500), (3600, Y, 500)]).clips) == 4


def test_a_slope_counts_as_level_and_a_leaning_riser_as_upright():
    assert len(plan([(0, Y, 0), (1300, Y, 1300)]).clips) == 3
    assert len(plan([(0, Y, 0), (400, Y, 1800)]).clips) == 2


def test_clips_keep_off_bends_and_within_their_spacing():
    points = [(0, Y, 100), (900, Y, 100), (900, Y, 1400), (1700, Y, 1400), (1700, Y, 1550)]
    schedule = solved(points)
    run = schedule.runs[0]
    made = plan_clips(run, schedule.job.things)
    assert made.unsupported == ()
    at = places(made)
    assert at[0] <= 300
    assert at[-1] >= run.centreline.length - 300
    for clip in made.clips:
        for bend in run.table.bends:
            assert clip.at_mm <= bend.start_mm - 22.5 + 1e-6 or clip.at_mm >= bend.finish_mm + 22.5 - 1e-6
        assert clip.point == pytest.approx(run.centreline.point_at(clip.at_mm))
        assert clip.on_face[1] == 1000
    assert max(b - a for a, b in zip(at, at[1:], strict=False)) <= 1800


def test_measured_from_the_corner_of_the_room():
    clip = plan([(0, Y, 500), (3000, Y, 500)]).clips[0]
    # x 300: 700 from the west wall (at -400), which is nearer than the east wall; heights are from the floor.
    assert (clip.across.distance_mm, str(clip.across.reference)) == (pytest.approx(700), "from west wall")
    assert (clip.up.distance_mm, str(clip.up.reference)) == (pytest.approx(500), "from floor")
    high = plan([(4000, Y, 2000), (4900, Y, 2000)]).clips[-1]
    assert str(high.across.reference) == "from east wall"
    assert str(high.up.reference) == "from floor"
    no_floor = plan([(0, Y, 500), (3000, Y, 500)], things=(WALL, WEST, CEILING)).clips[0]
    assert (no_floor.up.distance_mm, str(no_floor.up.reference)) == (pytest.approx(1900), "from ceiling")


def test_with_nothing_to_tape_from_it_is_the_start_of_the_run():
    alone = plan([(0, Y, 500), (3000, Y, 500), (3000, Y, 1500)], things=(WALL,)).clips
    # One facing the wall has east on the right. That the wall was given by the point (500, 1000, 200) is of no use.
    assert str(alone[0].across.said) == "300 mm to the right of the start of the run"
    assert str(alone[-1].across.said) == "3000 mm to the right of the start of the run"
    assert str(alone[-1].up.said) == "700 mm above the start of the run"
    for clip in alone:
        assert "point given" not in clip.said


def test_a_wall_that_is_a_block_is_measured_from_its_edges():
    block = Thing("north wall", Box((-100, 1000, 0), (2600, 1100, 2000)))
    made = plan([(0, Y, 500), (2500, Y, 500)], things=(block,))
    assert str(made.clips[0].across.reference) == "from the left edge of north wall"
    assert made.clips[0].across.distance_mm == pytest.approx(100 + made.clips[0].at_mm)
    assert str(made.clips[-1].across.reference) == "from the right edge of north wall"
    assert str(made.clips[0].up.said) == "500 mm from the bottom edge of north wall"


def test_a_short_wall_leaves_the_rest_hanging():
    block = Thing("north wall", Box((0, 1000, 0), (1000, 1100, 2000)))
    made = plan([(0, Y, 500), (3000, Y, 500)], things=(block,))
    (gap,) = made.unsupported
    # The last clip is a screw's 20 off the edge.
    assert (gap.from_mm, gap.to_mm) == (pytest.approx(980), pytest.approx(3000))
    assert gap.allowed_mm == 300


def test_an_outline_is_a_wall_too_whichever_way_round():
    outline = ((-100, 1000), (-100, 1100), (2600, 1100), (2600, 1000))
    for turned in (outline, outline[::-1]):
        wall = Thing("north wall", Extrusion(turned, 0, 2000))
        made = plan([(0, Y, 500), (2500, Y, 500)], things=(wall,))
        assert made.unsupported == ()
        assert str(made.clips[0].across.reference) == "from the left edge of north wall"


def test_floors_and_ceilings_take_clips():
    on_floor = plan([(0, 0, 15), (2000, 0, 15)], faces=("floor",))
    assert on_floor.unsupported == ()
    assert str(on_floor.clips[0].across.reference) == "from west wall"
    assert str(on_floor.clips[0].up.said) == "1000 mm from north wall"


def test_what_stands_wrong_is_said_with_its_measure():
    (gap,) = plan([(0, 960, 500), (3000, 960, 500)]).unsupported
    assert "leg 1 stands 40.0 mm off north wall, and the clip holds 15 mm" in gap.reason
    (gap,) = plan([(0, 0, 500), (0, 900, 500)]).unsupported
    assert "leg 1 lies along no face of north wall" in gap.reason
    (gap,) = plan([(0, 900, 500), (3000, 900, 500)], standoff=None).unsupported
    assert "stands 100.0 mm off north wall, and a clip reaches 60 mm" in gap.reason
    (gap,) = plan([(0, 1040, 500), (3000, 1040, 500)]).unsupported
    assert "leg 1 lies behind the face of north wall" in gap.reason
    assert plan([(0, 960, 500), (3000, 960, 500)], standoff=None).unsupported == ()


def test_the_middle_leg_away_from_the_wall():
    # Out from the wall and back: the leg in between runs free, 1.5 m of it where 1.2 m is allowed.
    points = [(0, Y, 500), (500, Y, 500), (500, Y - 400, 500), (2000, Y - 400, 500), (2000, Y, 500), (2500, Y, 500)]
    schedule = solved(points)
    errors = [f for f in supports(schedule) if f.severity == "error"]
    assert [f.code for f in errors] == ["S101"]
    assert "leg 3 stands 415.0 mm off north wall" in errors[0].message
    assert "at most 1200 mm is allowed" in errors[0].message
    assert 500 < errors[0].at_mm < schedule.runs[0].centreline.length - 500


def test_fittings_are_counted_from_their_mouths():
    socket = Ending(Fitting("capillary", 20.0), "mouth")
    made = plan([(0, Y, 500), (640, Y, 500)], ends=Ends(socket, socket))
    # Within 300 of either mouth, and clear of the fittings; one clip can do both.
    assert places(made) == pytest.approx([320])
    assert len(plan([(0, Y, 500), (641, Y, 500)], ends=Ends(socket, socket)).clips) == 2


def test_too_short_for_any_clip():
    (gap,) = plan([(0, Y, 500), (40, Y, 500)]).unsupported
    assert "leaves no room" in gap.reason


def test_more_clips_than_anyone_would_fix():
    (gap,) = plan([(0, Y, 500), (1e9, Y, 500)]).unsupported
    assert "more than 5000 clips" in gap.reason


def test_findings_only_when_asked():
    schedule = solved([(0, Y, 500), (3000, Y, 500)])
    (said,) = supports(schedule)
    assert (said.code, said.severity) == ("S102", "note")
    assert "700 mm from west wall and 500 mm from floor" in said.message
    bare = replace(schedule.job, runs=(replace(schedule.job.runs[0], clips=None),))
    assert supports(solve(bare)) == ()
    assert plan_clips(solve(bare).runs[0], ROOM) is None


def test_the_jobs_own_spacing():
    schedule = solved([(0, Y, 500), (3000, Y, 500)])
    run = schedule.job.runs[0]
    rule = replace(run.clips, spacing=ClipSpacing("water", 15, 500, 800, 100, "spacings of the job"))
    made = plan_clips(solve(replace(schedule.job, runs=(replace(run, clips=rule),))).runs[0], ROOM)
    at = places(made)
    assert len(at) == 7
    assert at[0] <= 100
    assert max(b - a for a, b in zip(at, at[1:], strict=False)) <= 500 + 1e-6


@st.composite
def chains(draw):
    """Whole-millimetre legs with gaps between them for bends, each with a part where clips may lie."""
    legs, stretches, at = [], [], 0
    for number in range(1, draw(st.integers(1, 4)) + 1):
        size = draw(st.integers(5, 40))
        leg = ClipLeg(number, at, at + size, draw(st.integers(8, 20)), Straight((at, 0, 0), EAST, size))
        legs.append(leg)
        low = draw(st.integers(0, size))
        high = draw(st.integers(0, size))
        if low <= high:
            stretches.append(ClipStretch(leg, at + low, at + high, Face((0, 0, 0), UP, EAST, (0, 1, 0), thing="w")))
        at += size + draw(st.integers(0, 6))
    return legs, stretches, legs[-1].high, draw(st.integers(1, 15)), draw(st.integers(1, 15))


def allowed(legs, a: float, b: float) -> bool:
    """Whether two clips may stand next to each other: by the least spacing of any leg between them."""
    between = [leg.limit for leg in legs if leg.high > a + 1e-6 and leg.low < b - 1e-6]
    return not between or b - a <= min(between) + 1e-6


def fewest(legs, stretches, length, near_start, near_finish) -> int | None:
    """The least number of clips on whole millimetres, step by step over every place there is."""
    spots = sorted({x for s in stretches for x in range(int(s.low), int(s.high) + 1)})
    reached = {x for x in spots if x <= near_start}
    count = 1
    seen = set(reached)
    while reached:
        if any(x >= length - near_finish for x in reached):
            return count
        reached = {y for x in reached for y in spots if y > x and y not in seen and allowed(legs, x, y)}
        seen |= reached
        count += 1
    return None


@pytest.mark.slow
@settings(max_examples=few_or_many(100, 300))
@given(chains())
def test_as_few_clips_as_enumeration_finds(chain):
    legs, _, length, near_start, near_finish = chain
    placed, gaps = place_clips(*chain)
    best = fewest(*chain)
    assert (best is None) == bool(gaps)
    if best is None:
        return
    at = [a for a, _ in placed]
    assert len(at) == best
    assert at[0] <= near_start + 1e-6
    assert at[-1] >= length - near_finish - 1e-6
    assert all(allowed(legs, a, b) for a, b in zip(at, at[1:], strict=False))
    assert all(s.low - 1e-6 <= a <= s.high + 1e-6 for a, s in placed)


def test_clips_are_spread_evenly():
    assert places(plan([(0, Y, 500), (2000, Y, 500)])) == pytest.approx([300, 1000, 1700])
    assert places(plan([(0, Y, 500), (400, Y, 500)])) == pytest.approx([200])


@pytest.mark.parametrize(
    ("stretches", "at", "gaps"),
    [
        # 100 to the start, 300 between, 150 to the finish, on a leg of 1000.
        ([], [], [(0, 1000, 100)]),
        ([(0, 400)], [100, 400], [(400, 1000, 150)]),
        ([(0, 200), (700, 1000)], [100, 200, 700, 1000], [(200, 700, 300)]),
        ([(250, 1000)], [250, 550, 850], [(0, 250, 100)]),
    ],
)
def test_where_no_clip_can_stand_the_gap_is_from_clip_to_clip_with_what_is_allowed_there(stretches, at, gaps):
    leg = ClipLeg(1, 0, 1000, 300, Straight((0, 0, 0), EAST, 1000))
    face = Face((0, 0, 0), UP, EAST, (0, 1, 0), thing="w")
    placed, found = place_clips([leg], [ClipStretch(leg, a, b, face) for a, b in stretches], 1000, 100, 150)
    assert [position for position, _ in placed] == pytest.approx(at)
    assert [tuple(gap) for gap in found] == [pytest.approx(gap) for gap in gaps]
