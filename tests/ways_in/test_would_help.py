"""What would help, with a search that knows one motion only, straight out to the south, so that answers are known.

That search measures by its own arithmetic: points along the axis against boxes and other axes, no code shared.
"""

import json
import re
from dataclasses import replace
from fractions import Fraction

import numpy as np
import pytest
from rooms_with_openings import cupboard

from pipemodel import story
from pipemodel.cutting.joint_places import FreePart
from pipemodel.geometry.centreline import Arc, Centreline, Straight
from pipemodel.geometry.shapes import Box, Cylinder
from pipemodel.geometry.shapes.plate import Plate
from pipemodel.geometry.shapes.signed_plan import Round
from pipemodel.job.model import Opening, Thing
from pipemodel.job.place import Place
from pipemodel.job.read import job_of_text
from pipemodel.messages.say import say
from pipemodel.messages.units import units_for
from pipemodel.ways_in.helped import _Helped
from pipemodel.ways_in.judge_room import NOT_JOINED
from pipemodel.ways_in.larger_opening import with_larger
from pipemodel.ways_in.values import IN_PLACE, Pose, WayIn
from pipemodel.ways_in.would_help import KINDS, Other, WayAsked, help_by, with_bend_open

FAR, RADIUS = 1500.0, 7.5


def wall(wide, high):
    x, z = wide / 2.0, high / 2.0
    boxes = [
        Box((-FAR, -20.0, -FAR), (-x, 0.0, FAR)),
        Box((x, -20.0, -FAR), (FAR, 0.0, FAR)),
        Box((-x, -20.0, -FAR), (x, 0.0, -z)),
        Box((-x, -20.0, z), (x, 0.0, FAR)),
    ]
    things = tuple(Thing(f"wall {i}", box) for i, box in enumerate(boxes))
    return things, Opening("hatch", ((-x, 0.0, -z), (x, 0.0, -z), (x, 0.0, z), (-x, 0.0, z)), (0.0, -900.0, 0.0))


def points_of(line):
    return np.array([line.point_at(s) for s in np.linspace(0.0, line.length, max(int(line.length / 4.0), 2))])


def straight_out(asked: WayAsked, tries=0) -> WayIn:
    """A search by sliding to the south."""
    places = points_of(asked.line)
    keep = asked.outside_mm / 2.0 + asked.margin_mm
    clear = True
    for gone in np.arange(0.0, 700.0, 10.0):
        now = places - (0.0, gone, 0.0)
        for thing in asked.things:
            low, high = np.array(thing.shape.low), np.array(thing.shape.high)
            off = np.linalg.norm(np.maximum(np.maximum(low - now, now - high), 0.0), axis=1).min()
            clear &= bool(off >= keep)
        for other in asked.others:
            there = points_of(other.line)
            off = np.linalg.norm(now[:, None] - there[None], axis=2).min()
            clear &= bool(off >= keep + other.outside_mm / 2.0)
    states = (Pose((0.0, -700.0, 0.0)), IN_PLACE) if clear else ()
    return WayIn(asked.run, clear, False, None, asked.margin_mm, 3.0 if clear else None, states, "hatch", 1)


def level(size, x=0.0, y=200.0, z=0.0):
    return Centreline((Straight((x - size / 2.0, y, z), (1.0, 0.0, 0.0), size),))


def ell(first, last):
    """A leg to the east, a bend up on 55 mm, a leg up, about x = 0."""
    begin = -(first + 55.0) / 2.0
    return Centreline(
        (
            Straight((begin, 200.0, -60.0), (1.0, 0.0, 0.0), first),
            Arc((begin + first, 200.0, -5.0), (0.0, -1.0, 0.0), (0.0, 0.0, -1.0), 55.0, 90.0),
            Straight((begin + first + 55.0, 200.0, -5.0), (0.0, 0.0, 1.0), last),
        )
    )


def asked_of(line, wide, high, others=(), margin=2.0):
    things, opening = wall(wide, high)
    return WayAsked("return", line, 2.0 * RADIUS, margin, things, tuple(others), opening)


def swings_clear(asked, bend):
    """Every bend can be made in its place."""
    return True


def what_would_help(asked, planner, places=(), depth=0.0):
    """One of each kind at most."""
    found = (help_by(kind, asked, planner, places, depth, swings_clear) for kind in KINDS)
    return [one for one in found if one is not None]


def by_kind(asked, places=()):
    assert not straight_out(asked).found
    return {one.kind: one for one in what_would_help(asked, straight_out, places, 18.0)}


@pytest.mark.parametrize("size", [260.0, 300.0, 402.0])
def test_the_opening_is_found_as_much_larger_as_it_must_be_and_no_more_than_a_step(size) -> None:
    found = by_kind(asked_of(level(size), 200.0, 200.0))
    # A flat end has no ball's half beyond it: the search counts it as if it had.
    need = (size + 2.0 * (RADIUS + 2.0) - 200.0) / 2.0
    said = str(found["opening"].said)
    by = float(said.split(" by ")[1].split(" mm")[0])
    assert need <= by < need + 5.0
    assert found["opening"].ways[0].found
    assert "hatch" in said
    # In sixteenths of an inch it is no less than what was found to do.
    inches = re.search(r"by ([\d/ ]+) in all", say(found["opening"].said, units_for("in")))[1].split()
    assert 25.4 * float(sum(map(Fraction, inches))) >= by
    # Where less was tried in vain, the step below is named.
    assert re.findall(r"with ([\d.]+) mm no way", said) == ([f"{by - 5:g}"] if by > 5.0 else [])


@pytest.mark.parametrize(("file", "writes"), [("", True), ("rooms/hall.yaml", False)])
def test_what_to_write_for_a_larger_opening_of_the_job_itself(file, writes) -> None:
    asked = asked_of(level(300.0), 200.0, 200.0)
    # A thing beside the wall is not cut.
    things = (*asked.things, Thing("shelf", Box((-900.0, 300.0, 0.0), (900.0, 400.0, 20.0))))
    opening = replace(asked.opening, place=Place(12, 3, file))
    said = str(by_kind(replace(asked, things=things, opening=opening))["opening"].said)
    assert ("write corners: [[" in said) == writes
    if writes:
        by = float(said.split(" by ")[1].split(" mm")[0])
        written = json.loads(said.split("corners: ")[1].split(" (line 12)")[0])
        assert [max(p[i] for p in written) for i in (0, 2)] == [max(p[i] for p in opening.corners) + by for i in (0, 2)]
        assert "shelf" not in said
        assert re.search(r"and cut .* back to there", said)


def test_an_opening_in_what_is_no_block_is_left_alone() -> None:
    asked = asked_of(level(300.0), 200.0, 200.0)
    pipe = Thing("pipe", Cylinder((-FAR, -10.0, 50.0), (FAR, -10.0, 50.0), 20.0))
    assert with_larger(asked.opening, (*asked.things, pipe), 20.0) is None
    slanted = replace(asked.opening, corners=((-50.0, 0, 0), (0, 0, -50.0), (50.0, 0, 0), (0, 0, 50.0)))
    assert with_larger(slanted, asked.things, 20.0) is None


def test_an_opening_grows_over_boards_of_its_wall_but_into_no_wall_beside_it() -> None:
    """The hatch of a cupboard 400 wide stands 50 from its west wall: no larger by more than that, floor or no floor."""
    boxes, (corners, outside) = cupboard(400.0, 300.0, 600.0, (50.0, 200.0, 100.0, 100.0))
    opening = Opening("hatch", tuple(corners), tuple(outside))
    things = [Thing(f"b{i}", Box(low, high)) for i, (low, high) in enumerate(boxes)]
    assert with_larger(opening, things, 50.0) is not None
    assert with_larger(opening, things, 51.0) is None
    # The front above the hatch in two boards: the upper one is cut as well.
    ((a, b, c), (d, e, f)) = boxes[6]
    boards = [Thing("low", Box((a, b, c), (d, e, c + 20.0))), Thing("high", Box((a, b, c + 20.0), (d, e, f)))]
    larger = with_larger(opening, [*things[:6], *boards, *things[7:]], 50.0)
    assert larger is not None
    assert not any(thing.shape.distance((100.0, -10.0, 340.0)) < 0.0 for thing in larger[1])


@pytest.mark.parametrize("more", [5.0, 37.0])
def test_what_bounds_a_larger_opening_is_what_was_there_less_the_opening(more) -> None:
    asked = asked_of(level(300.0), 200.0, 120.0)
    opening, things = with_larger(asked.opening, asked.things, more)
    rng = np.random.default_rng(1)
    points = rng.uniform((-300, -30, -300), (300, 10, 300), size=(4000, 3))

    def within(things):
        boxes = [thing.shape for thing in things]
        return np.any([((points > b.low) & (points < b.high)).all(axis=1) for b in boxes], axis=0)

    hole = (np.abs(points[:, 0]) < 100.0 + more) & (np.abs(points[:, 2]) < 60.0 + more)
    assert (within(things) == (within(asked.things) & ~hole)).all()
    assert {abs(p[0]) for p in opening.corners} == {100.0 + more}


@pytest.mark.parametrize(("more", "goes"), [(15.0, True), (41.0, False)])
def test_a_wall_with_a_hole_is_cut_back_too_as_far_as_it_goes(more, goes) -> None:
    """A wall from -140 to 140, its hole as wide as the opening, 200, and a round one 90 above its middle."""
    outside = ((-140.0, -300.0), (140.0, -300.0), (140.0, 300.0), (-140.0, 300.0))
    hole = ((-100.0, -60.0), (100.0, -60.0), (100.0, 60.0), (-100.0, 60.0))
    plate = Plate((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0), 20.0, (outside, hole), (Round(0.0, 90.0, 10.0),))
    _, opening = wall(200.0, 120.0)
    made = with_larger(opening, (Thing("wall", plate),), more)
    assert (made is not None) is goes
    if made is not None:
        (cut,) = made[1]
        rng = np.random.default_rng(2)
        for x, z in rng.uniform((-160, -160), (160, 160), size=(300, 2)):
            solid = abs(x) < 140.0 and not (abs(x) < 115.0 and abs(z) < 75.0) and np.hypot(x, z - 90.0) > 10.0
            assert (cut.shape.distance((x, -10.0, z)) < 0.0) == solid


def test_a_hole_that_would_meet_another_is_left_alone() -> None:
    outside = ((-400.0, -300.0), (400.0, -300.0), (400.0, 300.0), (-400.0, 300.0))
    holes = [tuple((x + a, b) for a, b in ((-100, -60), (100, -60), (100, 60), (-100, 60))) for x in (0.0, 240.0)]
    plate = Plate((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0), 20.0, (outside, *holes))
    _, opening = wall(200.0, 120.0)
    assert with_larger(opening, (Thing("wall", plate),), 30.0) is not None
    assert with_larger(opening, (Thing("wall", plate),), 40.0) is None


def test_no_joint_helps_what_lies_beside_the_hatch_all_along() -> None:
    line = level(380.0)
    places = [FreePart(0, at, at, 0.0, 380.0, (0.0, -1.0, 0.0), "wall") for at in (40.0, 150.0, 190.0, 300.0)]
    found = by_kind(asked_of(line, 300.0, 200.0), places)
    # No piece by itself passes where it lies: straight out, what lies beside the hatch stays beside it.
    assert "joint" not in found
    tall = Centreline((Straight((0.0, 200.0, -100.0), (0.0, 0.0, 1.0), 380.0),))
    assert "joint" not in by_kind(asked_of(tall, 300.0, 200.0), places)


def test_the_fewest_joints_are_taken_and_the_one_that_parts_it_best_first() -> None:
    asked = asked_of(level(380.0), 300.0, 200.0)

    def short_ones(one: WayAsked, tries=0) -> WayIn:
        found = one.line.length < 240.0
        return WayIn(one.run, found, False, None, 2.0, 3.0 if found else None, (IN_PLACE,) if found else (), "hatch", 1)

    places = [FreePart(0, at, at, 0.0, 380.0) for at in (60.0, 170.0, 250.0)]
    one = next(h for h in what_would_help(asked, short_ones, places, 18.0) if h.kind == "joint")
    assert str(one.said) == "with 1 joint it can be brought in piece by piece: 170 mm from the start, in leg 1"
    assert len(one.ways) == 2
    longer = replace(asked, line=level(650.0))
    places = [FreePart(0, at, at, 0.0, 650.0) for at in (60.0, 215.0, 430.0)]
    two = next(h for h in what_would_help(longer, short_ones, places, 18.0) if h.kind == "joint")
    assert "with 2 joints" in str(two.said)
    assert len(two.ways) == 3
    assert not [h for h in what_would_help(longer, short_ones, places[:1], 18.0) if h.kind == "joint"]


def test_joints_that_leave_a_piece_with_one_in_it_that_was_stuck_are_not_tried() -> None:
    """Nothing with the first 100 mm in it comes in: one joint anywhere is tried once, and then no row of joints."""
    asked, sizes = asked_of(level(380.0), 300.0, 200.0), []

    def none(one: WayAsked, tries=0) -> WayIn:
        sizes.append(one.line.length)
        return WayIn(one.run, False, False, None, 2.0, None, (), "hatch", 1)

    places = [FreePart(0, at, at, 0.0, 380.0) for at in (190.0, 250.0, 330.0)]
    assert help_by("joint", asked, none, places, 18.0, lambda *_: False) is None
    assert sizes == [190.0]


def test_a_piece_that_is_in_stands_in_the_way_of_the_next_but_for_the_joint() -> None:
    asked = asked_of(level(200.0), 300.0, 200.0)
    seen = []

    def note(one: WayAsked, tries=0) -> WayIn:
        seen.append(one)
        return WayIn(one.run, True, False, None, 2.0, 3.0, (IN_PLACE,), "hatch", 1)

    what_would_help(asked, note, [FreePart(0, 100.0, 100.0, 0.0, 200.0)], 18.0)
    pieces = [one for one in seen if one.line.length < 150.0 and one.others]
    (there,) = pieces[0].others
    assert there.line.length == pytest.approx(100.0 - 18.0 - 2.0 - 1.0)
    assert there.line.start == asked.line.start


def test_the_bend_that_may_be_left_to_the_end() -> None:
    # Its leg up is higher than the hatch; left straight it lies level, and slides out.
    found = by_kind(asked_of(ell(150.0, 200.0), 900.0, 200.0))
    assert found["bend"].said.template == "way in.help bend"
    assert "bend 1" in str(found["bend"].said)


def test_a_bend_left_straight_keeps_the_tube_and_the_other_side() -> None:
    line = Centreline((*ell(150.0, 200.0).pieces, *_on(ell(150.0, 200.0))))
    last, first = with_bend_open(line, 2), with_bend_open(line, 1)
    for one in (first, last):
        assert one.length == pytest.approx(line.length)
        assert len(one.arcs) == 1
    assert last.start == line.start
    assert np.allclose(last.point_at(300.0), line.point_at(300.0))
    assert np.allclose(first.finish, line.finish)
    assert np.allclose(first.point_at(400.0), line.point_at(400.0))
    with pytest.raises(ValueError, match="first and the last"):
        with_bend_open(Centreline((*line.pieces, *_on(line))), 2)


def _on(line):
    """A bend to the north and a leg, on from the finish of a line that runs up or north."""
    ahead = np.array(line.pieces[-1].direction)
    side = np.array([0.0, 1.0, 0.0]) if abs(ahead[2]) > 0.5 else np.array([1.0, 0.0, 0.0])
    at = np.array(line.finish)
    centre = at + 55.0 * side
    axis = np.cross(ahead, side)
    arc = Arc(tuple(centre.tolist()), tuple(axis.tolist()), tuple((-side).tolist()), 55.0, 90.0)
    return arc, Straight(arc.finish, arc.finish_direction, 130.0)


@pytest.mark.slow
def test_the_runs_it_must_go_in_before() -> None:
    before = Other("flow", level(600.0, y=100.0), 15.0)
    beside = Other("cold", level(600.0, y=100.0, z=70.0), 15.0)
    found = by_kind(asked_of(level(150.0), 200.0, 200.0, others=[before, beside]))
    assert str(found["order"].said) == "it can be brought in before 'flow'"


def test_no_order_helps_past_a_run_that_does_not_go_in_past_this_one_either() -> None:
    flow = Other("flow", level(600.0, y=100.0), 15.0, stays=True)
    cold = Other("cold", level(600.0, y=50.0), 15.0)
    aside = replace(flow, line=level(600.0, y=100.0, z=70.0))
    for others, said in (([flow], None), ([flow, cold], None), ([aside, cold], "it can be brought in before 'cold'")):
        found = help_by(
            "order", asked_of(level(150.0), 200.0, 200.0, others=others), straight_out, (), 0.0, swings_clear
        )
        assert (None if found is None else str(found.said)) == said


BETWEEN = """
job: between two that are there
tube: 15
former: {radius: 55}
bring in: {effort: 1}
runs:
  drain: {points: [[0, 0, 0], [1000, 0, 0], [1000, 400, 0]]}
  above: {points: [[500, -300, 20], [500, 300, 20]]}
  below: {points: [[500, -300, -20], [500, 300, -20]]}
"""


@pytest.mark.slow
def test_no_joint_is_proposed_where_runs_that_are_there_keep_hand_and_torch_off() -> None:
    schedule = story.schedule(job_of_text(BETWEEN, "job.yaml"))
    _, *rest = schedule.runs
    way = WayIn("drain", False, False, None, 0.0, None, (), None, 0, past=("above", "below"))
    helped = _Helped(schedule, way, lambda *_: (NOT_JOINED, NOT_JOINED))
    places, _ = helped._joint_places([Other(run.name, run.centreline, 15.0) for run in rest])
    # The two stand 12.5 mm off the tube's middle line; a hand wants 25 beyond a coupling that is 9 from there.
    assert places
    assert not [part for part in places if part.low < 500.0 + 7.5 + 9.0 and part.high > 500.0 - 7.5 - 9.0]
    nobody, _ = helped._joint_places([])
    assert [part for part in nobody if part.low < 500.0 < part.high]


SWUNG = """
job: bent in its place
tube: 15
former: {{radius: 55}}
bring in: {{margin: 2}}
room:
  block: {{box: {{from: [{x}, -50, {z}], to: [{u}, 50, {w}]}}}}
  floor: {{face: {{at: [0, 0, -30], facing: up}}}}
runs:
  drain: {{points: [[0, 0, 0], [400, 0, 0], [400, 0, 400]]}}
"""


@pytest.mark.parametrize(("far", "clear"), [(200.0, False), (400.0, False), (470.0, True)])
def test_a_bend_is_left_only_where_its_leg_swings_up_clear_of_everything(far, clear) -> None:
    """The leg, 431 long with its bend, goes a quarter round: half way its end is 427 from where the bend begins."""
    x, z = 345.0 + far * np.cos(np.pi / 4.0), far * np.sin(np.pi / 4.0)
    text = SWUNG.format(x=float(x - 10.0), z=float(z - 10.0), u=float(x + 10.0), w=float(z + 10.0))
    schedule = story.schedule(job_of_text(text, "job.yaml"))
    way = WayIn("drain", False, False, None, 2.0, None, (), None, 0)
    helped = _Helped(schedule, way, lambda *_: (NOT_JOINED, NOT_JOINED))
    (run,) = schedule.runs
    asked = WayAsked("drain", run.centreline, 15.0, 2.0, schedule.job.things, (), None)
    assert helped.swings(asked, 1) is clear
    # By points of the leg as it swings, no code shared.
    places = np.linspace(0.0, 1.0, 400)
    arc, tail = 55.0 * np.pi / 2.0, 345.0
    off = np.inf
    for share in places:
        turn, rest = share * np.pi / 2.0, (1.0 - share) * arc + tail
        at = np.array([345.0 + 55.0 * np.sin(turn), 55.0 * (1.0 - np.cos(turn))])
        leg = at + np.linspace(0.0, rest, 300)[:, None] * np.array([np.cos(turn), np.sin(turn)])
        gap = np.maximum(np.maximum((x - 10.0, z - 10.0) - leg, leg - (x + 10.0, z + 10.0)), 0.0)
        off = min(off, np.linalg.norm(gap, axis=1).min())
    assert bool(off > 7.5 + 2.0) is clear
