"""Where on a thing a clip may be fixed, against shapely; and what a tape comes to first, against small steps."""

import random
from dataclasses import replace

import numpy as np
import pytest
import shapely

from pipemodel.bending.schedule import solve
from pipemodel.checks.flat_faces import flat_faces_of, parts_over
from pipemodel.checks.supports import plan_clips
from pipemodel.checks.tape import measures_on
from pipemodel.geometry.centreline import Straight
from pipemodel.geometry.shapes import Box, Cylinder, Extrusion, HalfSpace
from pipemodel.geometry.shapes.plan import rectangle_less
from pipemodel.geometry.shapes.plate import Plate
from pipemodel.geometry.shapes.signed_plan import Round
from pipemodel.job.model import Job, Route, Run, Thing
from pipemodel.trade.clips import ClipRule, find_spacing
from pipemodel.trade.formers import generic_former
from pipemodel.trade.tubes import find_tube


def outline(dice, n=9):
    """A closed plan that does not cross itself: points round about a middle, near and far."""
    turns = sorted(dice.uniform(0, 2 * np.pi) for _ in range(n))
    if max(b - a for a, b in zip(turns, turns[1:], strict=False)) > 3 or turns[0] + 2 * np.pi - turns[-1] > 3:
        return outline(dice, n)
    return tuple((r * np.cos(t), r * np.sin(t)) for t in turns for r in [dice.uniform(60, 500)])


def test_parts_of_a_leg_over_the_top_of_a_board_by_shapely():
    counted = 0
    for seed in range(200):
        dice = random.Random(seed)
        plan, edge = outline(dice), dice.choice([0.0, 10.0, 20.0, 45.0])
        top = next(f for f in flat_faces_of(Thing("board", Extrusion(plan, 0.0, 18.0))) if f.normal[2] > 0.5)
        turn, size = dice.uniform(0, 2 * np.pi), dice.uniform(300, 1200)
        start = np.array([dice.uniform(-500, 500), dice.uniform(-500, 500)])
        way = np.array([np.cos(turn), np.sin(turn)])
        found = parts_over(top, Straight((*map(float, start), 40.0), (*map(float, way), 0.0), size), edge)
        ground = shapely.Polygon(plan).buffer(-edge, quad_segs=64) if edge else shapely.Polygon(plan)
        cut = shapely.LineString([start, start + size * way]).intersection(ground)
        parts = [p for p in getattr(cut, "geoms", [cut]) if p.length > 0.01]
        wanted = sorted(
            tuple(sorted(float((np.array(c) - start) @ way) for c in (p.coords[0], p.coords[-1]))) for p in parts
        )
        assert [p for p in found if p[1] - p[0] > 0.01] == [pytest.approx(p, abs=0.05) for p in wanted]
        counted += len(wanted)
    assert counted > 40


def test_parts_of_a_leg_over_a_floor_with_openings_and_holes_by_shapely():
    counted = 0
    for seed in range(150):
        dice = random.Random(seed)
        cut = [((100.0, 100.0), (300.0, 260.0)), ((dice.choice([-10.0, 500.0]), 300.0), (620.0, 420.0))]
        rounds = (Round(60.0, 200.0, 25.0), Round(420.0, 90.0, dice.choice([6.0, 60.0])))
        outlines = rectangle_less((0.0, 0.0), (600.0, 500.0), cut)
        floor = Plate((0.0, 0.0, -18.0), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), 18.0, outlines, rounds)
        edge, size, turn = dice.choice([0.0, 10.0, 20.0]), dice.uniform(300, 900), dice.uniform(0, 2 * np.pi)
        start, way = np.array([dice.uniform(0, 600), dice.uniform(0, 500)]), np.array([np.cos(turn), np.sin(turn)])
        leg = Straight((*map(float, start), 20.0), (*map(float, way), 0.0), size)
        tops = [f for f in flat_faces_of(Thing("floor", floor)) if f.normal[2] > 0.5]
        found = sorted(part for top in tops for part in parts_over(top, leg, edge))
        ground = shapely.box(0, 0, 600, 500).difference(shapely.union_all([shapely.box(*a, *b) for a, b in cut]))
        ground = ground.difference(
            shapely.union_all([shapely.Point(h.x, h.y).buffer(h.radius, quad_segs=256) for h in rounds])
        )
        ground = ground.buffer(-edge, quad_segs=64) if edge else ground
        line = shapely.LineString([start, start + size * way]).intersection(ground)
        parts = [p for p in getattr(line, "geoms", [line]) if p.length > 0.01]
        wanted = sorted(
            tuple(sorted(float((np.array(c) - start) @ way) for c in (p.coords[0], p.coords[-1]))) for p in parts
        )
        assert [p for p in found if p[1] - p[0] > 0.01] == [pytest.approx(p, abs=0.05) for p in wanted]
        counted += len(wanted)
    assert counted > 150


def test_a_corner_at_which_an_outline_goes_straight_on_is_no_edge():
    plan = ((0, 0), (400, 0), (1000, 0), (1000, 100), (0, 100))
    sides = [f for f in flat_faces_of(Thing("wall", Extrusion(plan, 0, 2000))) if abs(f.normal[1]) > 0.5]
    assert sorted(f.across_to - f.across_from for f in sides) == [1000, 1000]


def clips_on(thing, points, things=(), edge=None, standoff=None):
    tube = find_tube(15)
    rule = ClipRule((thing.name,), find_spacing("water", tube), 22.5, standoff)
    rule = rule if edge is None else replace(rule, edge_mm=edge)
    run = Run("tail", tube, generic_former(tube), Route(tuple(points)), clips=rule)
    solved = solve(Job("clips", (run,), (thing, *things)))
    return plan_clips(solved.runs[0], solved.job.things)


def test_a_screw_keeps_off_the_edge_and_the_job_may_say_how_far():
    joist = Thing("joist", Box((0, 0, 0), (3000, 47, 200)))
    along_the_edge = [(0, -15, 190), (3000, -15, 190)]
    near = clips_on(joist, along_the_edge)
    assert near.clips == ()
    assert "nearer to them than the 20 mm a screw needs" in near.unsupported[0].reason
    assert clips_on(joist, along_the_edge, edge=5.0).unsupported == ()
    low = clips_on(joist, [(0, -15, 150), (3000, -15, 150)])
    assert low.unsupported == ()
    assert all(clip.on_face[1] == 0 and clip.on_face[2] == 150 for clip in low.clips)
    # The cut edge of an 18 mm board takes no screw at all; a joist's 47 does, in its middle.
    board = Thing("board", Box((0, 0, 0), (3000, 18, 200)))
    assert clips_on(board, [(0, 9, 215), (3000, 9, 215)]).clips == ()
    assert clips_on(joist, [(0, 23.5, 215), (3000, 23.5, 215)]).unsupported == ()


@pytest.mark.parametrize("seed", range(12))
def test_no_screw_is_nearer_to_an_edge_than_asked_for(seed):
    dice = random.Random(seed)
    box = Box((0, 0, 0), (dice.uniform(200, 2000), dice.uniform(30, 300), dice.uniform(100, 500)))
    edge = dice.choice([5.0, 20.0, 45.0])
    y, z = dice.choice([(-15.0, dice.uniform(0, box.high[2])), (dice.uniform(0, box.high[1]), box.high[2] + 15.0)])
    made = clips_on(Thing("beam", box), [(-100, y, z), (box.high[0] + 100, y, z)], edge=edge)
    for clip in made.clips:
        off = np.sort([min(p - low, high - p) for p, low, high in zip(clip.on_face, box.low, box.high, strict=True)])
        assert off[0] == pytest.approx(0.0, abs=1e-9)  # on the face
        assert off[1] >= edge - 1e-6
    in_reach = (0 + edge <= z <= box.high[2] - edge) if y < 0 else (edge <= y <= box.high[1] - edge)
    assert bool(made.clips) == in_reach


def test_the_top_of_a_board_takes_clips():
    plan = ((0, 0), (2400, 0), (2400, 600), (1200, 600), (1200, 300), (0, 300))
    board = Thing("floorboards", Extrusion(plan, -18, 0))
    made = clips_on(board, [(100, 150, 15), (2300, 150, 15)])
    assert made.unsupported == ()
    assert {clip.face for clip in made.clips} == {"floorboards"}
    first, last = made.clips[0], made.clips[-1]
    assert str(first.across.said) == f"{first.point[0]:.0f} mm from the west edge of floorboards"
    assert str(first.up.said) == "150 mm from the south edge of floorboards"
    assert str(last.across.said) == f"{2400 - last.point[0]:.0f} mm from the east edge of floorboards"
    # Beyond the notch there is no board to screw to.
    (gap,) = clips_on(board, [(100, 450, 15), (2300, 450, 15)]).unsupported
    assert (gap.from_mm, gap.to_mm) == (0.0, pytest.approx(1200 - 100 + 20))
    # And from beneath.
    assert clips_on(board, [(100, 150, -33), (2300, 150, -33)]).unsupported == ()


def test_a_tape_ends_at_what_stands_on_the_face():
    wall = Thing("north wall", HalfSpace((500, 1000, 200), (0.0, -1.0, 0.0)))
    floor = Thing("floor", HalfSpace((0, 0, 0), (0.0, 0.0, 1.0)))
    far = Thing("far wall", HalfSpace((-900, 0, 0), (1.0, 0.0, 0.0)))
    partition = Thing("partition", Box((-400, 0, 0), (-300, 1000, 2400)))
    skirting = Thing("skirting", Box((-300, 982, 0), (4000, 1000, 145)))
    pipe = Thing("waste pipe", Cylinder((100, 960, 0), (100, 960, 2400), 50))
    made = clips_on(wall, [(0, 985, 500), (1500, 985, 500)], (floor, far, partition, skirting, pipe))
    first = made.clips[0]
    # The far wall is behind the partition, in another room; the pipe does not end a tape.
    assert str(first.across.said) == f"{300 + first.point[0]:.0f} mm from partition"
    assert str(first.up.said) == "355 mm from skirting"


def inside(shape, p):
    if isinstance(shape, Box):
        return all(low < x < high for x, low, high in zip(p, shape.low, shape.high, strict=True))
    return float(np.dot(np.array(p) - np.array(shape.point), shape.normal)) < 0.0


@pytest.mark.slow
def test_what_a_tape_comes_to_first_by_small_steps():
    """A block as the face, other blocks and walls about it; along the face in steps of 0.5 to the first end."""
    counted = {"edge": 0, "thing": 0}
    for seed in range(80):
        dice = random.Random(seed)
        beam = Thing("beam", Box((0, 0, 0), (dice.uniform(300, 900), 60, dice.uniform(100, 300))))
        others = [Thing("wall", HalfSpace((dice.uniform(-200, 150), 0, 0), (1.0, 0.0, 0.0)))]
        for k in range(3):
            low = np.array([dice.uniform(-300, 900), dice.uniform(-40, -10), dice.uniform(-200, 300)])
            others.append(Thing(f"block {k}", Box(tuple(low), tuple(low + [60, 90, dice.uniform(10, 200)]))))
        point = (dice.uniform(20, beam.shape.high[0] - 20), 0.0, dice.uniform(20, beam.shape.high[2] - 20))
        if any(inside(t.shape, (point[0], -1.0, point[2])) for t in others):
            continue
        face = next(f for f in flat_faces_of(beam) if f.normal == (0.0, -1.0, 0.0))
        across, up = measures_on(face, point, [beam, *others], (0.0, 0.0, 0.0))

        def first(axis, sign, point=point, others=others, beam=beam):
            step = 0.0
            while True:
                step += 0.5
                p = list(point)
                p[axis] += sign * step
                p[1] = -1.0
                hit = next((t.name for t in others if inside(t.shape, p)), None)
                if hit:
                    return step, f"from {hit}"
                if not beam.shape.low[axis] - 1.0 <= p[axis] <= beam.shape.high[axis] + 1.0:
                    side = {(0, -1): "left", (0, 1): "right", (2, -1): "bottom", (2, 1): "top"}[axis, sign]
                    return step - 1.0, f"from the {side} edge of beam"

        # Facing a wall that looks south, east is on the right.
        ways = sorted((first(0, -1), first(0, 1)))
        assert across.distance_mm == pytest.approx(ways[0][0], abs=1.6)
        assert str(across.reference) in (ways[0][1], ways[1][1] if ways[1][0] - ways[0][0] < 2 else ways[0][1])
        below = first(2, -1)
        assert (up.distance_mm, str(up.reference)) == (pytest.approx(below[0], abs=1.6), below[1])
        for measure in (across, up):
            counted["edge" if "edge" in measure.reference else "thing"] += 1
    assert min(counted.values()) > 20


def test_what_stands_askew_to_the_tape_is_not_measured_from():
    """A buttress with a slanted side stands to the left, nearer than the wall to the right: only the wall serves."""
    wall = Thing("north wall", HalfSpace((0, 1000, 0), (0.0, -1.0, 0.0)))
    askew = Thing("buttress", Extrusion(((-300, 900), (-100, 900), (-200, 1000), (-300, 1000)), 0, 2400))
    right = Thing("east wall", HalfSpace((2000, 0, 0), (-1.0, 0.0, 0.0)))
    first = clips_on(wall, [(0, 985, 500), (900, 985, 500)], (askew, right)).clips[0]
    assert str(first.across.said) == f"{2000 - first.point[0]:.0f} mm from east wall"


@pytest.mark.parametrize(
    ("facing", "off", "said"),
    [
        # A wall that looks south: east is on the right of someone who faces it; it has nothing below it either.
        ((0.0, -1.0, 0.0), (30.0, 0.0, 70.0), ("30 mm to the right of", "70 mm above")),
        ((0.0, -1.0, 0.0), (-30.0, 0.0, -70.0), ("30 mm to the left of", "70 mm below")),
        ((0.0, 1.0, 0.0), (30.0, 0.0, 70.0), ("30 mm to the left of", "70 mm above")),
        ((1.0, 0.0, 0.0), (0.0, 30.0, 70.0), ("30 mm to the right of", "70 mm above")),
        ((-1.0, 0.0, 0.0), (0.0, 30.0, 70.0), ("30 mm to the left of", "70 mm above")),
        ((0.0, 0.0, 1.0), (30.0, 70.0, 0.0), ("30 mm east of", "70 mm north of")),
        ((0.0, 0.0, 1.0), (-30.0, -70.0, 0.0), ("30 mm west of", "70 mm south of")),
        ((0.0, 0.0, -1.0), (-30.0, 70.0, 0.0), ("30 mm west of", "70 mm north of")),
    ],
)
def test_a_face_with_nothing_on_it_is_measured_from_where_the_run_starts(facing, off, said):
    wall = Thing("wall", HalfSpace((5.0, 6.0, 7.0), facing))
    (face,) = flat_faces_of(wall)
    start = (5.0, 6.0, 7.0)
    point = tuple(a + b for a, b in zip(start, off, strict=True))
    assert tuple(str(m.said) for m in measures_on(face, point, [wall], start)) == tuple(
        f"{words} the start of the run" for words in said
    )


@pytest.mark.parametrize(
    ("at", "said"),
    [
        ((30.0, 150.0, 18.0), ("30 mm from the west edge", "150 mm from the south edge")),
        ((970.0, 450.0, 18.0), ("30 mm from the east edge", "150 mm from the north edge")),
        ((970.0, 0.0, 5.0), ("30 mm from the right edge", "5 mm from the bottom edge")),
        ((20.0, 0.0, 15.0), ("20 mm from the left edge", "15 mm from the bottom edge")),
        ((970.0, 600.0, 5.0), ("30 mm from the left edge", "5 mm from the bottom edge")),
    ],
)
@pytest.mark.parametrize("shape", [Box((0, 0, 0), (1000, 600, 18)),
                                   Extrusion(((0, 0), (1000, 0), (1000, 600), (0, 600)), 0, 18)])  # fmt: skip
def test_edges_of_a_board_are_named_by_the_side_they_lie_on(shape, at, said):
    board = Thing("board", shape)
    faces = [f for f in flat_faces_of(board) if abs(f.height_of(at)) < 1e-9]
    assert len(faces) == 1
    found = measures_on(faces[0], at, [board], (0.0, 0.0, 0.0))
    assert tuple(str(m.said) for m in found) == tuple(f"{words} of board" for words in said)


def test_a_line_that_touches_the_tip_of_a_notch_stays_in_one_part():
    """Two notches cut right through the line, and the tip of a third touches it: three parts, not four."""
    tops = [(1000, 100), (800, 100), (790, 50), (780, 100), (620, 100), (610, 20), (600, 100), (320, 100), (310, 20),
            (300, 100), (0, 100)]  # fmt: skip
    top = next(f for f in flat_faces_of(Thing("b", Extrusion(((0, 0), (1000, 0), *tops), 0, 18))) if f.normal[2] > 0.5)
    # A notch is 20 wide at the top of 80: at 50 it is still 7.5 wide.
    found = parts_over(top, Straight((-50.0, 50.0, 30.0), (1.0, 0.0, 0.0), 1100.0), 0.0)
    assert found == [pytest.approx(p) for p in ((50, 356.25), (363.75, 656.25), (663.75, 1050))]


@pytest.mark.parametrize("way", [1, -1])
def test_the_sides_of_a_beam_face_out_of_it_whichever_way_it_is_drawn(way):
    plan = ((0, 0), (400, 0), (400, 200), (0, 200))[::way]
    faces = list(flat_faces_of(Thing("beam", Extrusion(plan, 10, 110))))
    assert len(faces) == 6
    for face in faces:
        if not face.level:
            middle = np.array(face.point) + 0.5 * (face.across_from + face.across_to) * np.array(face.across)
            out = middle + 5.0 * np.array(face.normal)
            assert not (0 < out[0] < 400 and 0 < out[1] < 200)
            assert (face.point[2] + face.up_from, face.point[2] + face.up_to) == (10, 110)
            assert face.across_to - face.across_from in (200, 400)
            assert np.cross(face.across, face.up) == pytest.approx(face.normal)
            assert face.up == (0, 0, 1)
        else:
            assert face.point[2] == (110 if face.normal[2] > 0 else 10)
            assert (face.across_from, face.across_to, face.up_from, face.up_to) == (0, 400, 0, 200)


def test_parts_of_a_leg_over_a_rectangle_by_shapely():
    """A wall's face seen by legs at any slant, level and upright ones among them, within and across its edges."""
    counted = {"none": 0, "whole": 0, "cut": 0}
    for seed in range(250):
        dice = random.Random(seed)
        low, high = sorted(dice.uniform(-400, 900) for _ in range(2)), sorted(dice.uniform(0, 2400) for _ in range(2))
        wall = Thing("wall", Box((low[0], 0.0, high[0]), (low[1], 100.0, high[1])))
        face = next(f for f in flat_faces_of(wall) if f.normal[1] < -0.5)
        edge, size = dice.choice([0.0, 20.0]), dice.uniform(50, 1500)
        turn = dice.choice([0.0, np.pi / 2, np.pi, -np.pi / 2, dice.uniform(0, 2 * np.pi)])
        start = np.array([dice.uniform(a - 150, b + 150) for a, b in (low, high)])
        way = np.array([np.cos(turn), np.sin(turn)])
        leg = Straight((float(start[0]), -20.0, float(start[1])), (float(way[0]), 0.0, float(way[1])), size)
        found = [part for part in parts_over(face, leg, edge) if part[1] - part[0] > 0.01]
        width, height = low[1] - low[0] - 2 * edge, high[1] - high[0] - 2 * edge
        ground = shapely.box(low[0] + edge, high[0] + edge, low[1] - edge, high[1] - edge)
        cut = shapely.LineString([start, start + size * way]).intersection(ground)
        if width <= 0 or height <= 0 or cut.length <= 0.01:
            assert found == []
            counted["none"] += 1
            continue
        assert found == [pytest.approx(tuple(sorted(float((np.array(c) - start) @ way) for c in cut.coords)), abs=0.01)]
        counted["whole" if cut.length > size - 0.01 else "cut"] += 1
    assert min(counted.values()) > 10, counted


@pytest.mark.parametrize(("wide", "held"), [(39.0, False), (41.0, True)])
def test_a_leg_that_crosses_a_batten_has_a_clip_only_where_a_screw_keeps_off_both_edges(wide, held):
    """20 to either edge: a batten of 39 takes no screw, however the leg lies over it; one of 41 has 1 mm for it."""
    batten = Thing("batten", Box((0.0, 0.0, 0.0), (wide, 40.0, 2000.0)))
    face = next(f for f in flat_faces_of(batten) if f.normal[1] < -0.5)
    for way in ((1.0, 0.0, 0.0), (0.6, 0.0, 0.8), (-0.6, 0.0, 0.8)):
        start = (wide / 2.0 - 300.0 * way[0], -20.0, 1000.0 - 300.0 * way[2])
        parts = parts_over(face, Straight(start, way, 600.0), 20.0)
        assert len(parts) == held
        for low, high in parts:
            assert (high - low) * abs(way[0]) == pytest.approx(1.0)
            assert (low + high) / 2.0 == pytest.approx(300.0)
