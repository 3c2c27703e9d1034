"""What a route measures in the room, thing by thing: against shapely, corners counted out, and points sampled."""

import math
from types import SimpleNamespace

import numpy as np
import pytest
import shapely
from routes import box, faults, pipe, route

from pipemodel.geometry.centreline import Arc, Straight
from pipemodel.geometry.rounding import rounded
from pipemodel.geometry.shapes import Box, Cylinder, Extrusion, HalfSpace, MeshFile
from pipemodel.geometry.shapes.face import inside_outline
from pipemodel.job.model import Thing
from pipemodel.job.routing.clearing import LegLine, Passing
from pipemodel.job.routing.faces import centre, extent, face_met, flat_faces
from pipemodel.job.routing.faults import ItemError, PlaceError
from pipemodel.job.routing.nearness import nearest_on, nearness_to, rise_to

AXES = np.eye(3)


def a_way(dice):
    way = dice.normal(size=3)
    return tuple(float(c) for c in way / np.linalg.norm(way))


def an_outline(dice):
    """A star-shaped outline, either way round."""
    turns = np.sort(dice.uniform(0, 2 * math.pi, int(dice.integers(3, 8))))
    far = dice.uniform(20, 90, len(turns))
    around = [(float(r * math.cos(t) + 40), float(r * math.sin(t) - 25)) for r, t in zip(far, turns, strict=True)]
    return tuple(around[:: int(dice.choice([1, -1]))])


def a_thing(dice):
    """A box, a cylinder or an extrusion at random, and points on its surface that reach farthest any way."""
    kind = int(dice.integers(3))
    if kind == 0:
        low, size = dice.uniform(-80, 40, 3), dice.uniform(5, 90, 3)
        shape = Box(tuple(map(float, low)), tuple(map(float, low + size)))
        points = np.array([[(shape.low, shape.high)[b][i] for i, b in enumerate(bits)] for bits in np.ndindex(2, 2, 2)])
    elif kind == 1:
        start, way = dice.uniform(-80, 80, 3), np.array(a_way(dice))
        finish = start + way * dice.uniform(20, 150)
        shape = Cylinder(tuple(map(float, start)), tuple(map(float, finish)), float(dice.uniform(5, 80)))
        u = np.cross(way, AXES[int(np.argmin(np.abs(way)))])
        u /= np.linalg.norm(u)
        v, turns = np.cross(way, u), np.linspace(0, 2 * math.pi, 4000)
        rim = shape.diameter / 2 * (np.cos(turns)[:, None] * u + np.sin(turns)[:, None] * v)
        points = np.concatenate([start + rim, finish + rim])
    else:
        bottom = float(dice.uniform(-60, 20))
        shape = Extrusion(an_outline(dice), bottom, bottom + float(dice.uniform(5, 90)))
        points = np.array([(x, y, z) for x, y in shape.outline for z in (shape.bottom, shape.top)])
    return Thing("t", shape), points


def to_solid(shape, p):
    """Distance from a point to a solid, below zero inside: shapely in plan, and slabs square to each other."""
    if isinstance(shape, Box):
        slabs = [max(lo - c, c - hi) for lo, c, hi in zip(shape.low, p, shape.high, strict=True)]
    elif isinstance(shape, Extrusion):
        plan, at = shapely.Polygon(shape.outline), shapely.Point(p[0], p[1])
        off = at.distance(plan.exterior) * (-1 if plan.contains(at) else 1)
        slabs = [off, abs(p[2] - (shape.bottom + shape.top) / 2) - (shape.top - shape.bottom) / 2]
    else:
        axis = np.subtract(shape.finish, shape.start)
        tall = np.linalg.norm(axis)
        on = np.dot(np.subtract(p, shape.start), axis / tall)
        off = math.sqrt(max(np.dot(np.subtract(p, shape.start), np.subtract(p, shape.start)) - on * on, 0))
        slabs = [off - shape.diameter / 2, abs(on - tall / 2) - tall / 2]
    return max(slabs) if max(slabs) <= 0 else math.hypot(*(max(s, 0) for s in slabs))


def test_how_far_a_thing_reaches_any_way():
    dice = np.random.default_rng(1)
    for _ in range(150):
        thing, points = a_thing(dice)
        way = a_way(dice)
        assert extent(thing, way) == pytest.approx((np.min(points @ way), np.max(points @ way)), abs=2e-4)
        middle = (np.min(points, axis=0) + np.max(points, axis=0)) / 2
        assert centre(thing) == pytest.approx(tuple(middle), abs=2e-4)


def test_what_goes_on_for_ever_or_is_a_mesh_has_no_reach():
    wall = Thing("wall", HalfSpace((0.0, 0.0, 0.0), (0.0, 1.0, 0.0)))
    with pytest.raises(ItemError, match="'wall' is a face that goes on for ever; name a thing with an end to it"):
        extent(wall, (1.0, 0.0, 0.0))
    with pytest.raises(ItemError, match="'lump' is a mesh, which cannot be measured to here; put a box or a cylinder"):
        extent(Thing("lump", MeshFile("lump.stl")), (1.0, 0.0, 0.0))
    assert [(face.point, face.normal) for face in flat_faces(wall)] == [((0, 0, 0), (0, 1, 0))]


def test_how_near_a_point_is_to_a_thing():
    dice = np.random.default_rng(2)
    inside = 0
    for _ in range(600):
        thing, _ = a_thing(dice)
        about = np.array(centre(thing)) if dice.random() < 0.5 else np.zeros(3)
        p = tuple(map(float, about + dice.uniform(-1, 1, 3) * float(dice.choice([20, 130]))))
        expected = to_solid(thing.shape, p)
        assert nearness_to(thing).distance(p) == pytest.approx(expected, abs=1e-9)
        inside += expected < 0
    assert inside > 20
    assert not nearness_to(Thing("e", Extrusion(((0.0, 0.0), (1.0, 0.0), (0.0, 1.0)), 0.0, 1.0))).convex
    assert nearness_to(Thing("b", Box((0.0, 0.0, 0.0), (1.0, 1.0, 1.0)))).convex


@pytest.mark.slow
def test_the_least_distance_along_straights_and_arcs():
    """Sampled every hundredth of a millimetre: never below what is found by more than that, never above."""
    dice = np.random.default_rng(3)
    for _ in range(40):
        thing, _ = a_thing(dice)
        near = nearness_to(thing)
        corners = [tuple(map(float, p)) for p in np.cumsum(dice.uniform(-150, 150, (4, 3)), axis=0)]
        pieces = [p for p in rounded(corners, [3.0] * (len(corners) - 2)) if p.length > 0]
        least = min(
            near.distance(piece.point_at(s))
            for piece in pieces
            for s in np.linspace(0, piece.length, int(piece.length * 4) + 2)
        )
        found = nearest_on(pieces, near)
        assert found <= least + 1e-9
        assert found >= least - 0.25


def test_a_bend_past_a_post_is_as_near_as_its_circle():
    """A post square to the plane of the bend: its axis is | distance from the bend's centre - radius | away.

    Of posts inside the bend, outside it and on it, at random angles that the bend passes.
    """
    dice = np.random.default_rng(8)
    for _ in range(40):
        radius, turn = dice.uniform(30.0, 300.0), dice.uniform(0.2, 1.3)
        away = radius + dice.uniform(-25.0, 60.0)
        x, y = away * math.cos(turn), away * math.sin(turn)
        post = Thing("post", Cylinder((x, y, -500.0), (x, y, 500.0), 10.0))
        bend = Arc((0.0, 0.0, 0.0), (0.0, 0.0, 1.0), (1.0, 0.0, 0.0), radius, 90.0)
        assert nearest_on([bend], nearness_to(post)) == pytest.approx(abs(away - radius) - 5.0, abs=1e-7)


def test_rounded_corners_are_tangent_and_of_their_radius():
    pieces = rounded([(0.0, 0.0, 0.0), (100.0, 0.0, 0.0), (100.0, 100.0, 0.0), (200.0, 100.0, 0.0)], [20.0] * 2)
    assert [type(p) for p in pieces] == [Straight, Arc, Straight, Arc, Straight]
    assert [p.length for p in pieces] == pytest.approx([80, 10 * math.pi, 60, 10 * math.pi, 80])
    for a, b in zip(pieces, pieces[1:], strict=False):
        assert a.point_at(a.length) == pytest.approx(b.point_at(0.0))
        assert a.direction_at(a.length) == pytest.approx(b.direction_at(0.0))
    straight = rounded([(0.0, 0.0, 0.0), (50.0, 0.0, 0.0), (100.0, 0.0, 0.0)], [20.0])
    assert [p.length for p in straight] == pytest.approx([100])


def test_a_face_is_met_where_a_line_first_comes_to_the_solid():
    """By small steps along the line: the face found has the point where it enters, and looks back at it."""
    dice = np.random.default_rng(4)
    met = missed = 0
    for _ in range(400):
        thing, _ = a_thing(dice)
        if isinstance(thing.shape, Cylinder):
            continue
        origin, ahead = dice.uniform(-250, 250, 3), np.array(a_way(dice))
        if dice.random() < 0.6:
            ahead = np.array(centre(thing)) + dice.uniform(-20, 20, 3) - origin
            ahead /= np.linalg.norm(ahead)
        if to_solid(thing.shape, origin) < 1:
            continue
        at, enters = 0.0, None
        while at < 1200:
            gap = to_solid(thing.shape, origin + at * ahead)
            if gap < 1e-7:
                enters = origin + at * ahead
                break
            at += max(gap, 1e-7)
        try:
            face = face_met(thing, tuple(origin), tuple(ahead))
        except PlaceError:
            assert enters is None
            missed += 1
            continue
        assert enters is not None
        assert np.dot(face.normal, ahead) < 0
        assert np.dot(np.subtract(enters, face.point), face.normal) == pytest.approx(0, abs=1e-4)
        met += 1
    assert met > 60
    assert missed > 30


@pytest.mark.parametrize(
    ("origin", "ahead", "point", "normal"),
    [
        ((0, 0, 50), (1, 0, 0), (80, 0, 0), (-1, 0, 0)),  # square at the side
        ((0, 12, 50), (1, 0, 0), (80, 0, 0), (-1, 0, 0)),  # beside the middle: the board is the same
        ((200, 0, 50), (-1, 0, 0), (120, 0, 0), (1, 0, 0)),
        ((100, 0, 200), (0, 0, -1), (100, 0, 90), (0, 0, 1)),  # down on its top
        ((100, 0, -80), (0, 0, 1), (100, 0, 0), (0, 0, -1)),
    ],
)
def test_the_board_against_a_round_thing(origin, ahead, point, normal):
    """A post 40 through, its axis at x = 100, from the floor to 90."""
    post = Thing("post", Cylinder((100.0, 0.0, 0.0), (100.0, 0.0, 90.0), 40.0))
    face = face_met(post, tuple(map(float, origin)), tuple(map(float, ahead)))
    assert face.normal == pytest.approx(normal)
    assert np.dot(np.subtract(face.point, point), normal) == pytest.approx(0)


@pytest.mark.parametrize(
    ("origin", "ahead"),
    [((0, 21, 50), (1, 0, 0)), ((0, 0, 91), (1, 0, 0)), ((0, 0, -1), (1, 0, 0)), ((0, 0, 50), (-1, 0, 0)),
     ((121, 0, 200), (0, 0, -1)), ((100, 0, 200), (0, 0, 1)), ((100, 0, 45), (1, 0, 0)), ((100, 0, 45), (0, 0, 1))],
)  # fmt: skip
def test_a_round_thing_that_is_missed_or_begun_in(origin, ahead):
    post = Thing("post", Cylinder((100.0, 0.0, 0.0), (100.0, 0.0, 90.0), 40.0))
    with pytest.raises(
        PlaceError, match="does not meet 'post': it passes beside it, runs away from it or starts inside"
    ):
        face_met(post, tuple(map(float, origin)), tuple(map(float, ahead)))


def test_inside_an_outline_by_shapely():
    dice = np.random.default_rng(5)
    inside = 0
    for _ in range(40):
        outline = an_outline(dice)
        plan = shapely.Polygon(outline)
        for x, y in dice.uniform(-60, 130, (25, 2)):
            assert inside_outline(outline, x, y) == plan.contains(shapely.Point(x, y))
            inside += inside_outline(outline, x, y)
    assert inside > 60


def test_where_a_rising_function_comes_to_zero():
    for root, power in ((3.0, 1), (0.2, 3), (9.99, 5), (5.0, 9)):
        found = rise_to(
            lambda x, root=root, power=power: math.copysign(abs(x - root) ** (1 / power), x - root), 0.0, 10.0
        )
        assert found == pytest.approx(root, abs=2e-9)
        assert found >= root - 1e-12
    assert rise_to(lambda x: -1.0 if x < 4.0 else 1.0, 0.0, 10.0) == pytest.approx(4.0, abs=2e-9)


def test_the_lowest_point_of_a_valley_that_is_not_round():
    near = SimpleNamespace(distance=lambda p: 5.0 + max(-2.0 * (p[0] - 37.25), 0.3 * (p[0] - 37.25)), convex=True)
    assert nearest_on([Straight((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), 100.0)], near) == pytest.approx(5.0, abs=1e-6)


def test_the_stretch_in_the_way_by_hand():
    """A pipe 40 through, 10 above the line, 300 on: a 15 tube with a gap of 5 is too near within 32.5 of its axis."""
    line = LegLine((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0))
    passing = Passing(line, pipe(300, z=10.0, diameter=40.0), 5.0, 15.0, 55.0)
    half = math.sqrt(32.5**2 - 10**2)
    assert passing.in_the_way() == pytest.approx((300 - half, 300 + half), abs=1e-6)
    assert passing.clear_offset() == pytest.approx(10 + 32.5, abs=1e-6)
    assert Passing(LegLine(line.origin, line.ahead, (0.0, 0.0, -1.0)), pipe(300, z=10.0, diameter=40.0), 5.0, 15.0, 55.0
                   ).clear_offset() == pytest.approx(22.5, abs=1e-6)  # fmt: skip
    assert line.at(3.0, 4.0) == (3, 0, 4)
    over = Passing(line, pipe(300, z=60.0, diameter=40.0), 5.0, 15.0, 55.0)
    with pytest.raises(PlaceError, match=r"clears it by 32\.5 already"):
        over.in_the_way()


def test_a_run_follows_the_face_that_looks_its_way():
    """A pier 100 square: along its north side and its south, and before two faces at once a side is asked for."""
    pier = box((200.0, -50.0, -500.0), (300.0, 50.0, 500.0), "pier")

    def along(y, *more):
        return route({"east": 100}, {"follow": {"face": "pier", "standoff": 20, "angle": 30, "for": 400, **dict(more)}},
                     start=(0.0, y, 0.0), things=[pier])  # fmt: skip

    assert along(200.0).corners[-1][1] == pytest.approx(70)
    assert along(-200.0).corners[-1][1] == pytest.approx(-70)
    assert along(200.0, ("side", "north")).corners[-1][1] == pytest.approx(70)
    room = {"start": (0.0, 200.0, 600.0), "things": [pier]}
    ((_, message),) = faults({"east": 100}, {"follow": {"face": "pier", "standoff": 20, "angle": 30}}, **room)
    assert "in front of several faces of 'pier', looking north, up: say which by `side`" in message
    ((_, message),) = faults(
        {"east": 100}, {"follow": {"face": "pier", "standoff": 20, "for": 400}}, start=(0.0, 80.0, 0.0), things=[pier]
    )
    assert "the tube runs 10 farther from 'pier' than the standoff; say the `angle`" in message
    ((_, message),) = faults(
        {"east": 100}, {"follow": {"face": "pier", "standoff": 20, "for": 400}}, start=(0.0, 60.0, 0.0), things=[pier]
    )
    assert "the tube runs 10 nearer to 'pier' than the standoff" in message
    ((_, message),) = faults({"east": 100}, {"follow": {"face": "pier", "standoff": 20, "turn": "up", "for": 400}},
                             {"east": 9}, start=(0.0, 200.0, 0.0), things=[pier])  # fmt: skip
    assert "does not meet 'pier'" in message
    turned = route({"turn": "east"}, {"follow": {"face": "pier", "standoff": 80, "turn": "south", "for": 400}},
                   things=[pier])  # fmt: skip
    assert turned.corners[1:] == ((120, 0, 0), (120, -400, 0))
    ((_, message),) = faults(
        {"turn": "east"}, {"follow": {"face": "pier", "standoff": 20, "turn": "west"}}, things=[pier]
    )
    assert "west does not run along that face of 'pier', which looks west" in message
