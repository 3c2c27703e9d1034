"""Rests and stops on the bench, held against tubes bent here by plain rotations: nothing of the tool's is used."""

import random
from math import pi, radians

import numpy as np
import pytest
from gallery import FORMER_15, TUBE_15, run
from jig_pieces import block, rod
from jig_simulation import bent
from scipy.spatial.transform import Rotation

from pipemodel.bending.schedule import solve_run
from pipemodel.geometry.centreline import Centreline, Straight
from pipemodel.jigs.bench_rests import bench_rests
from pipemodel.jigs.build import body_of
from pipemodel.jigs.gauges import cap_for_rests
from pipemodel.job.jig import JigSettings
from pipemodel.pulls.plan import plan_pulls

BENCH = 150.0
SETTINGS = JigSettings(bench_mm=BENCH)
RADIUS = 55.0


def piece(seed):
    rng = random.Random(seed)
    corners, way = [np.zeros(3)], np.array([1.0, 0.0, 0.0])
    for _ in range(rng.randint(2, 4)):
        corners.append(corners[-1] + way * rng.uniform(200.0, 500.0))
        side = np.cross(way, [rng.gauss(0, 1) for _ in range(3)])
        way = Rotation.from_rotvec(radians(rng.choice([30, 45, 60, 90])) * side / np.linalg.norm(side)).apply(way)
    corners.append(corners[-1] + way * rng.uniform(200.0, 500.0))
    return solve_run(run(f"random {seed}", [tuple(map(float, c)) for c in corners], TUBE_15, FORMER_15))


def in_the_bender(solved, pull):
    """The legs of the piece before a pull, by the bend they follow, in the bender's axes with the bench at height 0.

    Towards the free end is x, up is z, and the bend to come begins at (0, 0, BENCH); it goes clockwise from above.
    """
    table = solved.table
    rows, numbers, at, turn = [], [], 0.0, 0.0
    begins = target = None
    for bend in table.bends:
        turn += bend.turn_deg
        starts, arc = bend.start_mm, RADIUS * radians(bend.angle_deg)
        if bend.number == pull.bend:
            begins, target = (starts if pull.held == "start" else starts + arc), (len(rows), turn)
        if bend.number in pull.made:
            rows.append((starts - at, bend.angle_deg, turn))
            numbers.append(bend.number)
            at, turn = starts + arc, 0.0
    length = solved.centreline.length
    legs = bent(rows, length - at, RADIUS)
    index, turned = target
    made_before = sum(a for a, *_ in rows[:index]) + sum(RADIUS * radians(r[1]) for r in rows[:index])
    start, way, _ = legs[index]
    # The axis about which the bend before last turned, carried along, and rolled by the turns since.
    axis = np.array([0.0, 0.0, 1.0])
    ahead = np.array([1.0, 0.0, 0.0])
    for _, angle, roll in rows[:index]:
        axis = Rotation.from_rotvec(radians(roll) * ahead).apply(axis)
        ahead = Rotation.from_rotvec(radians(angle) * axis).apply(ahead)
    axis = Rotation.from_rotvec(radians(turned) * ahead).apply(axis)
    assert ahead == pytest.approx(way)
    origin = start + way * (begins - made_before)
    x, z = (way, -axis) if pull.held == "start" else (-way, axis)
    frame = np.array([x, np.cross(z, x), z])
    lift = np.array([0.0, 0.0, BENCH])
    return [(frame @ (s - origin) + lift, frame @ d, n) for s, d, n in legs], numbers, index, begins


@pytest.mark.parametrize("seed", range(8))
def test_a_leg_in_its_rest_is_where_the_turn_wants_it(seed):
    solved = piece(seed)
    bench = bench_rests(solved, SETTINGS)
    pulls = {p.number: p for p in plan_pulls(solved).pulls}
    assert {r.pull for r in bench.rests} | set(bench.without) == {n for n, p in pulls.items() if p.made}
    cap = block(body_of(cap_for_rests(solved, SETTINGS).solid))
    for rest in bench.rests:
        legs, numbers, index, _ = in_the_bender(solved, pulls[rest.pull])
        of = numbers.index(rest.bend)
        s, d, length = legs[of + 1] if of >= index else legs[of]
        # Away from the bend: along the leg after it, back along the leg before it.
        start, way = (s, d) if of >= index else (s + d * length, -d)
        point = start + way * rest.from_bend_mm
        assert point == pytest.approx([rest.along_mm, rest.aside_mm, rest.height_mm], abs=1e-6)
        assert rest.from_bend_mm <= length
        assert rest.post_mm == round(rest.post_mm)
        # The cap, stood up under the tube: half a millimetre lower it is clear, as much higher it is not.
        level = np.array([way[0], way[1], 0.0]) / np.hypot(way[0], way[1])
        across = np.cross([0.0, 0.0, 1.0], level)
        turn = np.column_stack([across, [0.0, 0.0, 1.0], np.cross(across, [0.0, 0.0, 1.0])])
        middle = turn @ [0.0, 0.0, 5.0]
        tube = rod(Centreline((Straight(tuple(point - way * 40.0), tuple(way), 80.0),)), 15.0)
        for off, touches in ((-0.65, False), (0.65, True)):
            foot = np.array([point[0], point[1], rest.post_mm + off]) - middle
            stood = cap.transform(np.column_stack([turn, foot]))
            assert ((stood ^ tube).volume() > 1e-2) is touches, (rest, off)


@pytest.mark.parametrize("seed", range(4))
def test_a_block_at_the_held_end_sets_the_mark(seed):
    solved = piece(seed)
    pulls = {p.number: p for p in plan_pulls(solved).pulls}
    stops = bench_rests(solved, SETTINGS).stops
    assert stops
    for stop in stops:
        pull = pulls[stop.pull]
        bend = solved.table.bends[pull.bend - 1]
        assert stop.end == pull.held
        assert not [n for n in pull.made if (n < pull.bend) is (pull.held == "start")]
        ends = bend.start_mm + RADIUS * bend.angle_deg * pi / 180.0
        away = bend.start_mm if pull.held == "start" else solved.centreline.length - ends
        assert stop.from_bend_mm == pytest.approx(away, abs=1e-6)


def test_no_word_of_a_bench_no_rests():
    assert bench_rests(piece(1), JigSettings()) is None
