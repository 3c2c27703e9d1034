"""What pieces touch, against the exact distances of each piece by itself, and against what is known in closed form."""

from dataclasses import replace

import numpy as np
import pytest
from made_runs import made_run
from scipy.stats import norm
from wide import few_or_many

from pipemodel.accuracy import touching
from pipemodel.accuracy.between_runs import centreline_of_piece, chances_of_runs
from pipemodel.accuracy.chords import chords_of
from pipemodel.accuracy.fit import run_errors
from pipemodel.accuracy.simulate import simulate
from pipemodel.accuracy.touching import HeldAgainst, HeldPieces, chance_of_thing
from pipemodel.accuracy.values import Chance
from pipemodel.bending.bends import centreline_of
from pipemodel.bending.schedule import SolvedRun
from pipemodel.geometry.distance import Surroundings, tube_distance
from pipemodel.geometry.distance.obstacle import obstacle_of
from pipemodel.geometry.shapes import Box, Cylinder, Extrusion, HalfSpace
from pipemodel.job.model import Hands

TWISTED = made_run([200, 300, 250, 300], [90, 45, 60], [90, -37])


ROUGH = Hands(2.0, 2.0, 3.0)


def tried(solved, hands=ROUGH, count=300):
    return HeldPieces(solved, simulate(solved.table, run_errors(solved, hands), count))


def as_drawn(shape):
    field = obstacle_of(shape).field
    return HeldAgainst(lambda places, _: field(places), field, np.zeros(20_000), shape.convex)


def random_run(seed, hold=60.0):
    dice = np.random.default_rng(seed)
    n = seed % 5
    legs = dice.uniform(60, 300, n + 1)
    angles = [float(a) for a in dice.choice([10, 45, 90, 135, 180], n)]
    turns = [float(t) for t in dice.choice([0, 90, 180, -63], n)][1:]
    return made_run([float(v) for v in legs], angles, turns, hold_mm=hold, guide_mm=10.0)


def at(solved, by):
    """The same run begun elsewhere."""
    table = replace(solved.table, start=tuple(float(v) for v in by))
    return SolvedRun(solved.run, table, centreline_of(table))


def exact(solved, pieces, shape):
    """How many pieces a shape reaches into, by the exact distances of each; an outline like an L is two blocks."""
    lines = [centreline_of_piece(solved, pieces.chords, i) for i in range(pieces.chords.count)]
    parts = [shape]
    if isinstance(shape, Extrusion):
        (x0, y0), (x1, _), (_, y1), (x2, _), (_, y2), _ = shape.outline
        parts = [Box((x0, y0, shape.bottom), (x, y, shape.top)) for x, y in ((x1, y1), (x2, y2))]
    return Surroundings(parts).clear(lines, [solved.tube.outside_mm] * len(lines)).count(False)


def test_a_chord_is_off_by_no_more_than_its_reach_and_holds_the_axis():
    run = TWISTED
    chords = chords_of(run, simulate(run.table, run_errors(run, Hands(3.0, 3.0, 5.0)), 40), 40)
    share = np.linspace(0.0, 1.0, 9)
    for number in range(chords.count):
        line = centreline_of_piece(run, chords, number)
        assert line.length == pytest.approx(run.centreline.length)
        assert line.finish == pytest.approx(chords.points[-1, :, number], abs=1e-6)
        for k in range(len(chords.arc_off)):
            some = np.full(len(share), k), np.full(len(share), number), share
            place, along = chords.place(*some)
            drawn = chords.drawn[k] + share[:, None] * (chords.drawn[k + 1] - chords.drawn[k])
            assert np.linalg.norm(place - drawn, axis=1).max() <= chords.reach[k, number] + 1e-9
            axis = np.array([line.point_at(s) for s in along])
            # The two go along at not quite the same pace.
            assert np.linalg.norm(place - axis, axis=1).max() <= 1.2 * chords.arc_off[k, number] + 1e-6


def test_errors_that_leave_a_leg_less_than_nothing_leave_it_none():
    run = made_run([100, 5, 100], [90, 90], [90], hold_mm=0.0, guide_mm=0.0)
    chords = chords_of(run, simulate(run.table, run_errors(run, Hands(15.0, 5.0, 5.0)), 50), 50)
    assert (np.diff(chords.at, axis=0) >= -1e-9).all()


SHAPES = [
    Box((0.0, 0.0, 0.0), (60.0, 90.0, 40.0)),
    Cylinder((0.0, 0.0, 0.0), (0.0, 200.0, 60.0), 50.0),
    Extrusion(((0.0, 0.0), (80.0, 0.0), (80.0, 20.0), (20.0, 20.0), (20.0, 80.0), (0.0, 80.0)), -20.0, 50.0),
]


def moved_shape(shape, by):
    if isinstance(shape, Box):
        return Box(*(tuple(float(v) for v in np.add(corner, by)) for corner in (shape.low, shape.high)))
    if isinstance(shape, Cylinder):
        return Cylinder(*(tuple(float(v) for v in np.add(p, by)) for p in (shape.start, shape.finish)), shape.diameter)
    outline = tuple((x + float(by[0]), y + float(by[1])) for x, y in shape.outline)
    return Extrusion(outline, shape.bottom + float(by[2]), shape.top + float(by[2]))


@pytest.mark.slow
@pytest.mark.parametrize("seed", few_or_many(range(6), range(120)))
def test_things_are_touched_as_each_piece_by_itself_has_it(seed):
    dice = np.random.default_rng(seed)
    solved = random_run(seed)
    pieces = tried(solved)
    line = solved.centreline
    beside = np.array(line.point_at(float(dice.choice([0.0, 1.0, dice.uniform()])) * line.length))
    shape = moved_shape(SHAPES[seed % 3], beside + dice.normal(0.0, 30.0, 3) - 20.0)
    found = chance_of_thing(pieces, as_drawn(shape), 0.0)
    # Places round the ends, and the last 0.02 mm, are all that may tell the two apart.
    assert abs(found.hits - exact(solved, pieces, shape)) <= 2
    assert found.pieces == 300


@pytest.mark.parametrize("gap", [2.0, -2.0])
def test_an_end_that_faces_a_wall_is_flat(gap):
    straight = made_run([300], [])
    wall = HalfSpace((300.0 + gap, 0.0, 0.0), (-1.0, 0.0, 0.0))
    found = chance_of_thing(tried(straight), as_drawn(wall), gap)
    assert found.value == float(gap < 0.0)


@pytest.mark.slow
@pytest.mark.parametrize("seed", few_or_many(range(3), range(100)))
def test_runs_touch_as_each_pair_by_itself_has_it(seed):
    dice = np.random.default_rng(seed)
    one, other = random_run(seed), random_run(seed + 1)
    places = [
        s.centreline.point_at(float(dice.choice([0.0, 1.0, 0.5, 0.7])) * s.centreline.length) for s in (one, other)
    ]
    other = at(other, np.subtract(*places) + np.array(other.start) + dice.normal(0.0, 20.0, 3))
    a, b = tried(one), tried(other)
    (found,) = chances_of_runs([(a, b)], 300)
    right = 0
    for i in range(300):
        lines = [centreline_of_piece(t.solved, t.chords, i) for t in (a, b)]
        right += tube_distance(lines[0], 15.0, lines[1], 15.0).distance < -1e-6
    assert found.hits == right


def test_the_chance_of_touching_a_wall_is_a_plain_normal_figure():
    # A bend of 90 whose mark alone is out: the second leg lies x mm further on, x normal, and touches a wall before it.
    solved = made_run([300, 300], [90])
    pieces = tried(solved, Hands(2.0, 0.0, 0.0), 20_000)
    wall = as_drawn(Box((355.0 + 7.5 + 3.0, -500.0, -500.0), (900.0, 900.0, 500.0)))
    chance = chance_of_thing(pieces, wall, 3.0)
    assert chance.pieces == 1000
    assert chance.low < norm.sf(3.0 / 2.0) < chance.high
    # The wall itself is known to 2 mm as well.
    doubt = np.random.default_rng(1).normal(0.0, 2.0, 20_000)
    doubtful = HeldAgainst(lambda places, piece: wall.drawn(places) - doubt[piece], wall.drawn, doubt)
    chance = chance_of_thing(pieces, doubtful, 3.0)
    assert chance.low < norm.sf(3.0 / 8**0.5) < chance.high


def test_what_no_piece_reaches_is_touched_by_none():
    solved = made_run([300, 300], [90])
    far = Box((800.0, -500.0, -500.0), (900.0, 900.0, 500.0))
    assert chance_of_thing(tried(solved, Hands(1.0, 0.0, 0.0)), as_drawn(far), 437.5) == Chance(0, 300)


@pytest.mark.slow
def test_a_long_leg_beside_a_wall_takes_no_more_memory_than_a_short_one(monkeypatch):
    """No more places are asked for in one go than are said, and the answer is that of all at once."""
    asked = []
    for length in (2_000.0, 8_000.0):
        # The second leg keeps its direction and comes out nearer to the wall or farther off by its mark.
        solved = made_run([200.0, length], [90.0])
        one = tried(solved, Hands(1.0, 1e-4, 0.0), 200)
        field = obstacle_of(HalfSpace((200.0 + 55.0 + 7.5 + 2.0, 0.0, 0.0), (-1.0, 0.0, 0.0))).field

        def noting(places, _, field=field):
            asked.append(len(places))
            return field(places)

        near = HeldAgainst(noting, field, np.zeros(20_000))
        chances = []
        for most in (10_000_000, 2_000):
            monkeypatch.setattr(touching, "AT_ONCE", most)
            asked.clear()
            chances.append(chance_of_thing(one, near, 2.0))
        assert chances[0] == chances[1]
        assert 0 < chances[0].hits < 100
        assert sum(asked) > 4_000
        # But for the outsides of the ends, once, which are as many however long the leg is.
        assert sorted(asked)[-2] <= 2_000


def test_a_long_leg_beside_a_wall_is_settled_by_few_places():
    """A hundred metres of leg 9 mm off a box: the box is not followed along them."""
    run = made_run([100_000.0, 300.0], [90.0], [])
    wall = Box((-100.0, 20.0, -100.0), (99_000.0, 120.0, 100.0))
    near, measured = as_drawn(wall), []

    def counted(places, piece):
        measured.append(len(places))
        return near.field(places, piece)

    # Each piece stands somewhat nearer than the one before.
    moved = np.outer([0.0, 1.0, 0.0], np.linspace(0.3, 25.0, 20))
    pieces = HeldPieces(run, simulate(run.table, run_errors(run, Hands(0.02, 0.02, 0.02)), 20), moved)
    found = chance_of_thing(pieces, near._replace(field=counted), 12.5, 20)
    assert found.hits == exact(run, pieces, wall)
    assert 0 < found.hits < 20
    assert sum(measured) < 20_000
