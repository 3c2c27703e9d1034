"""Every place of a clash, and the move that clears it, against a program of its own that samples tube and room.

The tube is laid out here from its corners, as points along the axis and round the side; things are measured by their
textbook distance functions. None of it is the program's own.
"""

import itertools
import json
import random
from dataclasses import replace

import numpy as np
import pytest
import trimesh
from command_line import run as command
from gallery import FORMER_15, TUBE_15, job, run

from pipemodel.bending.schedule import solve
from pipemodel.checks.clash import clash
from pipemodel.checks.clash_words import move_of
from pipemodel.checks.contacts import Searched, without_doubles
from pipemodel.geometry.distance.obstacle import obstacle_of
from pipemodel.geometry.shapes import Box, Cylinder, Extrusion, HalfSpace, Mesh
from pipemodel.job.model import Thing

R, BEND = 7.5, 55.0
EVERY = 1.0
"""How closely the axis is laid out, mm."""


def laid_out(corners):
    """Points along the axis of a run with its corners rounded off, their directions, and how far along they are."""
    corners = [np.array(c, float) for c in corners]
    points, ways, last = [], [], corners[0]

    def straight(a, b):
        n = max(int(np.linalg.norm(b - a) / EVERY), 1)
        for k in range(n):
            points.append(a + (b - a) * (k + 0.5) / n)
            ways.append((b - a) / np.linalg.norm(b - a))

    for before, here, after in zip(corners, corners[1:], corners[2:], strict=False):
        u, w = (here - before) / np.linalg.norm(here - before), (after - here) / np.linalg.norm(after - here)
        angle = np.arccos(np.clip(u @ w, -1, 1))
        back = BEND * np.tan(angle / 2)
        straight(last, here - back * u)
        inward = w - (w @ u) * u
        inward /= np.linalg.norm(inward)
        centre = here - back * u + BEND * inward
        n = max(int(BEND * angle / EVERY), 1)
        for k in range(n):
            a = angle * (k + 0.5) / n
            points.append(centre + BEND * (np.sin(a) * u - np.cos(a) * inward))
            ways.append(np.cos(a) * u + np.sin(a) * inward)
        last = here + back * w
    straight(last, corners[-1])
    points, ways = np.array(points), np.array(ways)
    gaps = np.linalg.norm(np.diff(points, axis=0), axis=1)
    return points, ways, np.concatenate([[gaps[0] / 2], gaps[0] / 2 + np.cumsum(gaps)])


def skin(points, ways, first, last):
    """Points on the outside of the tube between two places, flat ends included where they are the tube's own."""
    pick = np.eye(3)[np.abs(ways).argmin(axis=1)]
    u = np.cross(ways, pick)
    u /= np.linalg.norm(u, axis=1)[:, None]
    v = np.cross(ways, u)
    turn = np.linspace(0, 2 * np.pi, 24, endpoint=False)
    ring = np.cos(turn)[None, :, None] * u[:, None] + np.sin(turn)[None, :, None] * v[:, None]
    out = [(points[:, None] + R * ring).reshape(-1, 3)]
    for k, is_end, sign in ((0, first, -1), (-1, last, 1)):
        if is_end:
            disc = points[k] + sign * EVERY / 2 * ways[k]
            out += [disc + r * ring[k] for r in (0.0, 0.3 * R, 0.6 * R, R)]
    return np.concatenate(out)


def within(axis, flat):
    """The places on the axis where a ball as wide as the tube lies in the tube, flat ends and all."""
    inset = round(R / EVERY)
    return axis[inset if flat[0] else 0 : len(axis) - inset if flat[1] else len(axis)]


def nearest_of(axis, ways, flat, away_from):
    """How far the tube is from a thing: by points on its outside, and by balls within it."""
    balls = away_from(within(axis, flat)) - R
    return min(float(away_from(skin(axis, ways, *flat)).min()), float(balls.min(initial=np.inf)))


def distance_to(shape):
    """The textbook signed distance of points."""
    if isinstance(shape, Box):
        low, high = np.array(shape.low), np.array(shape.high)

        def box(p):
            q = np.maximum(low - p, p - high)
            return np.linalg.norm(np.maximum(q, 0), axis=-1) + np.minimum(q.max(axis=-1), 0)

        return box
    if isinstance(shape, HalfSpace):
        return lambda p: (p - np.array(shape.point)) @ np.array(shape.normal)
    a, b = np.array(shape.start), np.array(shape.finish)
    way = (b - a) / np.linalg.norm(b - a)

    def cylinder(p):
        h = (p - a) @ way
        q = np.linalg.norm(p - a - h[..., None] * way, axis=-1) - shape.diameter / 2
        z = np.abs(h - np.linalg.norm(b - a) / 2) - np.linalg.norm(b - a) / 2
        return np.hypot(np.maximum(q, 0), np.maximum(z, 0)) + np.minimum(np.maximum(q, z), 0)

    return cylinder


def stretches(mask):
    edges = np.flatnonzero(np.diff(np.concatenate([[False], mask, [False]]).astype(int)))
    return list(zip(edges[::2], edges[1::2], strict=True))


def wandering(dice):
    while True:
        corners = [np.zeros(3)]
        for _ in range(dice.randint(1, 4)):
            way = np.array([dice.gauss(0, 1) for _ in range(3)])
            corners.append(corners[-1] + way / np.linalg.norm(way) * dice.uniform(200, 500))
        ways = np.diff(corners, axis=0)
        ways /= np.linalg.norm(ways, axis=1)[:, None]
        if all(a @ b > -0.5 for a, b in zip(ways, ways[1:], strict=False)):
            return [tuple(map(float, c)) for c in corners]


def in_the_way(dice, points):
    at = points[dice.randrange(len(points))]
    kind = dice.choice(["box", "beam", "slab", "round", "wall"])
    aside = np.array([dice.uniform(-1, 1) for _ in range(3)]) * dice.uniform(0, 30)
    if kind == "round":
        way = np.array([dice.gauss(0, 1) for _ in range(3)])
        way *= dice.uniform(20, 800) / np.linalg.norm(way)
        return Cylinder(tuple(at + aside - way * dice.random()), tuple(at + aside + way), dice.uniform(5, 120))
    if kind == "wall":
        way = np.array([dice.gauss(0, 1) for _ in range(3)])
        way /= np.linalg.norm(way)
        return HalfSpace(tuple((points @ way).min() * way + way * dice.uniform(-12, 30)), tuple(way))
    half = {"box": [60, 60, 60], "beam": [1500, 25, 100], "slab": [900, 700, 10]}[kind]
    half = np.array(dice.sample(half, 3)) * dice.uniform(0.3, 1.0)
    middle = at + aside + half * np.array([dice.uniform(-0.9, 0.9) for _ in range(3)])
    return Box(tuple(middle - half), tuple(middle + half))


def checked(corners, shape, clearance):
    solved = solve(job("one", [run("flow", corners, TUBE_15, FORMER_15)], [Thing("thing", shape)], clearance))
    return [f for f in clash(solved)[0] if f.severity == "error"]


def all_directions():
    k = np.arange(100) + 0.5
    z = 1 - 2 * k / 100
    turn = np.pi * (1 + 5**0.5) * k
    spiral = np.stack([np.sqrt(1 - z * z) * np.cos(turn), np.sqrt(1 - z * z) * np.sin(turn), z], 1)
    return np.vstack([spiral, np.eye(3), -np.eye(3)])


def leg_past(ways, value, k, required):
    """The direction of the leg that a place is on, if the tube is far enough off at both ends of the leg; else None."""
    on_leg = (ways @ ways[k]) > 1.0 - 1e-12
    a, b = next(s for s in stretches(on_leg) if s[0] <= k < s[1])
    low, high = next((s for s in stretches(value < required) if s[0] <= k < s[1]), (k, k + 1))
    return ways[k] if a + 2 <= low and high <= b - 2 and b - a > 5 else None


def shorter_move(axis, ways, flat, away_from, required, length, leg=None):
    """A clear move shorter than `length`, looked for in all directions and at many lengths; None if there is none."""
    directions = all_directions()
    if leg is not None:
        directions = directions - (directions @ leg)[:, None] * leg
        size = np.linalg.norm(directions, axis=1)
        directions = directions[size > 0.01] / size[size > 0.01, None]
    some = within(axis, flat)
    some = some[away_from(some) < R + required + length][::3]
    for far in np.linspace(0.0, length, 11)[1:]:
        at = some[:, None] + far * directions[None]
        gap = away_from(at.reshape(-1, 3)).reshape(at.shape[:2]).min(axis=0, initial=np.inf) - R
        for move in far * directions[gap >= required + 0.1][:10]:
            if nearest_of(axis + move, ways, flat, away_from) >= required + 0.1:
                return move
    return None


def judge(corners, shape, required, contacts, counted):
    axis, ways, along = laid_out(corners)
    away_from = distance_to(shape)
    value = away_from(axis) - R
    for contact in contacts:
        counted["contacts"] += 1
        k = int(np.abs(along - contact.at_mm).argmin())
        assert np.linalg.norm(axis[k] - np.array(contact.point)) < R + 1.5
        assert abs(float(away_from(np.array(contact.other_point)[None])[0])) < 1e-3 or contact.distance_mm < 0
        if contact.distance_mm > 0:
            gap = np.array(contact.point) - np.array(contact.other_point)
            assert np.linalg.norm(gap) == pytest.approx(contact.distance_mm, abs=1e-6)
        inside = (along >= contact.from_mm) & (along <= contact.to_mm)
        flat = contact.from_mm <= 0.0, contact.to_mm >= along[-1]
        assert contact.move is not None
        clear = nearest_of(axis[inside] + np.array(contact.move), ways[inside], flat, away_from)
        assert clear == pytest.approx(required, abs=0.15)
        assert clear >= required - 0.02
        size = float(np.linalg.norm(contact.move))
        leg = leg_past(ways, value, k, required)
        if leg is not None:
            counted["legs"] += 1
            assert abs(float(np.array(contact.move) @ leg)) < 1e-6 * max(size, 1.0)
        if size > 1.0:
            counted["least"] += 1
            assert shorter_move(axis[inside], ways[inside], flat, away_from, required, 0.97 * size - 0.3, leg) is None
    # Every stretch that is too near holds a place, and each overlap of its own within it.
    ends = {0, len(axis)}
    for a, b in stretches(value < required - 0.02):
        if {a, b} & ends and (a < 10 or b > len(axis) - 10):
            continue  # at a flat end balls say too much
        counted["stretches"] += 1
        overlaps = [o for o in stretches(value < -0.02) if a <= o[0] < b]
        here = [c for c in contacts if along[a] - 2 <= c.at_mm <= along[b - 1] + 2]
        assert len(here) >= max(1, len(overlaps))
    for contact in contacts:
        near = np.abs(along - contact.at_mm) <= 2.0 * EVERY
        assert value[near].min() < required + 0.1


@pytest.mark.slow
def test_every_place_and_the_least_move_on_random_cases():
    counted = {"contacts": 0, "least": 0, "stretches": 0, "cases": 0, "legs": 0}
    for seed in range(28):
        dice = random.Random(seed)
        corners = wandering(dice)
        shape = in_the_way(dice, laid_out(corners)[0])
        required = dice.choice([0.0, 5.0, 20.0])
        found = checked(corners, shape, required)
        contacts = found[0].contacts if found else ()
        counted["cases"] += bool(found)
        judge(corners, shape, required, contacts, counted)
    assert counted["cases"] > 22
    assert counted["least"] > 22
    assert counted["stretches"] > 16
    assert counted["legs"] > 6


def boards(top=20.0):
    return Box((-1000.0, -1000.0, 300.0), (3000.0, 1000.0, 300.0 + top))


THRICE = ((0, 0, 0), (200, 0, 0), (200, 0, 600), (500, 0, 600), (500, 0, 0), (800, 0, 0), (800, 0, 600))


def test_three_times_through_the_boards_are_three_holes():
    (finding,) = checked(THRICE, boards(), 5.0)
    assert [str(c.part) for c in finding.contacts] == ["leg 2", "leg 4", "leg 6"]
    for contact, x, up in zip(finding.contacts, (200, 500, 800), (True, False, True), strict=True):
        assert contact.hole.diameter_mm == 25.0
        assert contact.hole.length_mm == pytest.approx(20.0, abs=1e-4)
        ends = ((x, 0, 300), (x, 0, 320)) if up else ((x, 0, 320), (x, 0, 300))
        assert contact.hole.start == pytest.approx(ends[0], abs=1e-4)
        assert contact.hole.finish == pytest.approx(ends[1], abs=1e-4)
    assert "in 3 places" in finding.message
    assert finding.message.count("it needs a hole of 25 mm, 20 mm long") == 3
    counted = {"contacts": 0, "least": 0, "stretches": 0, "legs": 0}
    judge([tuple(map(float, c)) for c in THRICE], boards(), 5.0, finding.contacts, counted)
    assert counted == {"contacts": 3, "least": 3, "stretches": 3, "legs": 3}


@pytest.mark.slow
@pytest.mark.parametrize("as_kind", ["box", "outline", "mesh"])
def test_through_a_wall_it_says_the_hole_and_not_a_depth(as_kind):
    box = Box((300.0, -900.0, -900.0), (400.0, 900.0, 1500.0))
    plan = tuple((x, y) for x, y in ((300.0, -900.0), (400.0, -900.0), (400.0, 900.0), (300.0, 900.0)))
    solid = trimesh.creation.box(bounds=[box.low, box.high])
    shape = {
        "box": box,
        "outline": Extrusion(plan, -900.0, 1500.0),
        "mesh": Mesh(np.array(solid.vertices), np.array(solid.faces, np.int64), True, "wall.stl"),
    }[as_kind]
    (finding,) = checked(((0, 0, 0), (800, 0, 0), (800, 0, 400)), shape, 8.0)
    assert "passes right through 'thing'" in finding.message
    assert "a hole of 31 mm, 100 mm long, from x 300 mm, y 0 mm, z 0 mm to x 400 mm, y 0 mm, z 0 mm" in finding.message
    assert "overlap" not in finding.message
    (contact,) = finding.contacts
    # Not along the leg, which would go through all the same: past an edge of the wall, the tube's radius and 8 beyond.
    assert np.linalg.norm(contact.move) == pytest.approx(900.0 + R + 8.0, abs=0.01)


@pytest.mark.parametrize("corners", [((0, 0, 0), (900, 0, 0)), ((0, 0, 0), (800, 0, 0), (800, 600, 0))])
def test_a_leg_through_a_wall_is_not_slid_along_itself(corners):
    """To the wall's own edge and off it, however much nearer its own end is: along itself it still goes through."""
    wall = Box((100.0, -700.0, -2000.0), (150.0, 400.0, 2000.0))
    [contact] = checked(corners, wall, 5.0)[0].contacts
    assert contact.hole is not None
    assert contact.move == pytest.approx((0.0, 400.0 + R + 5.0, 0.0), abs=1e-3)


def test_an_end_in_a_wall_is_drawn_back():
    [contact] = checked(((0, 0, 0), (900, 0, 0)), Box((890.0, -700.0, -2000.0), (990.0, 400.0, 2000.0)), 5.0)[
        0
    ].contacts
    assert contact.move == pytest.approx((-15.0, 0.0, 0.0), abs=1e-3)


def test_on_a_slant_the_hole_is_as_long_as_the_slant():
    (finding,) = checked(((0, 0, 0), (600, 0, 600)), boards(), 0.0)
    (contact,) = finding.contacts
    assert contact.hole.length_mm == pytest.approx(20.0 * 2**0.5, abs=1e-3)
    assert contact.hole.diameter_mm == 15.0


def test_a_notch_in_an_edge_or_an_end_in_a_wall_is_no_hole():
    (corner,) = checked(((0, 0, 0), (600, 0, 0)), Box((300.0, -3.0, -400.0), (900.0, 500.0, 400.0)), 0.0)
    assert corner.contacts[0].hole is None
    (edge,) = checked(((0, 0, 0), (600, 600, 0)), Box((300.0, -400.0, -400.0), (900.0, 310.0, 400.0)), 0.0)
    assert edge.contacts[0].hole is None
    (wall,) = checked(((0, 0, 0), (600, 0, 0)), HalfSpace((590.0, 0.0, 0.0), (-1.0, 0.0, 0.0)), 2.0)
    assert wall.contacts[0].hole is None
    assert wall.contacts[0].move == pytest.approx((-12.0, 0.0, 0.0), abs=1e-5)


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(3))
def test_turned_meshes(seed):
    """A block turned any way, as a mesh; measured here by turning the points back."""
    dice = random.Random(seed)
    corners = wandering(dice)
    box = Box((-40.0, -60.0, -15.0), (50.0, 70.0, 15.0))
    turn = trimesh.transformations.random_rotation_matrix(np.array([dice.random() for _ in range(3)]))
    axis = laid_out(corners)[0]
    at = axis[dice.randrange(60, len(axis) - 60)] + np.array([dice.uniform(-20, 20) for _ in range(3)])
    solid = trimesh.creation.box(bounds=[box.low, box.high])
    solid.apply_transform(turn)
    solid.apply_translation(at)
    mesh = Mesh(np.array(solid.vertices), np.array(solid.faces, np.int64), True, "block.stl")
    (finding,) = checked(corners, mesh, 5.0)
    away_from = distance_to(box)

    def from_block(p):
        return away_from((p - at) @ turn[:3, :3])

    points, ways, along = laid_out(corners)
    for contact in finding.contacts:
        inside = (along >= contact.from_mm) & (along <= contact.to_mm)
        flat = contact.from_mm <= 0.0, contact.to_mm >= along[-1]
        placed = points[inside] + np.array(contact.move)
        assert nearest_of(placed, ways[inside], flat, from_block) == pytest.approx(5.0, abs=0.15)
        size = float(np.linalg.norm(contact.move))
        assert shorter_move(points[inside], ways[inside], flat, from_block, 5.0, 0.9 * size - 0.5) is None


def test_another_run_crossed_twice_is_two_places():
    hairpin = ((0, -300, 20), (0, 300, 20), (160, 300, 20), (160, -300, 20))
    solved = solve(job("two", [run("flow", ((-300, 0, 0), (500, 0, 0))), run("return", hairpin)], (), 10.0))
    (finding,) = clash(solved)[0]
    assert [round(c.at_mm) for c in finding.contacts] == [300, 460]
    for contact in finding.contacts:
        # Their axes are 20 apart: 5 between them, 10 asked for.
        assert contact.distance_mm == pytest.approx(5.0, abs=1e-9)
        assert contact.move == pytest.approx((0.0, 0.0, -5.0), abs=0.05)
        assert contact.other_point[2] == pytest.approx(12.5)
    assert "in 2 places" in finding.message


def test_moves_in_words_are_never_rounded_down():
    assert str(move_of((0.0, 0.0, 12.5))) == "12.5 mm up"
    assert str(move_of((-8.01, 0.0, -3.0))) == "8.1 mm west and 3 mm down"
    assert str(move_of((1.0, -2.0, 2.04))) == "1 mm east, 2 mm south and 2.1 mm up"
    assert str(move_of((0.0, 5.00001, 0.0))) == "5 mm north"


@pytest.mark.slow
def test_the_record_holds_every_place(tmp_path):
    path = tmp_path / "job.yaml"
    text = "job: boards\ntube: 15\nformer: {radius: 55}\nclearance: 5\nroom:\n"
    text += "  boards: {box: {from: [-1000, -1000, 300], to: [3000, 1000, 320]}}\n"
    path.write_text(text + f"runs:\n  a: {{points: {json.dumps(THRICE)}}}\n", encoding="utf-8")
    record = json.loads(command("check", path, "--format", "json").out)
    (finding,) = (f for f in record["findings"] if f["check"] == "clash")
    assert len(finding["contacts"]) == 3
    for contact in finding["contacts"]:
        assert {"at_mm", "point", "other_point", "distance_mm", "move"} <= set(contact)
        assert contact["hole"]["diameter_mm"] == 25.0
        assert [len(contact[key]) for key in ("point", "other_point", "move")] == [3, 3, 3]
    assert finding["distance_mm"] == min(c["distance_mm"] for c in finding["contacts"])


@pytest.mark.slow
def test_very_many_places_still_get_their_moves():
    """A rack of bars: more is said in the record than in the sentence."""
    bars = trimesh.util.concatenate(
        [trimesh.creation.box(bounds=[(30.0 * k, -50, -3), (30.0 * k + 5, 50, 2)]) for k in range(10)]
    )
    rack = Mesh(np.array(bars.vertices), np.array(bars.faces, np.int64), True, "rack.stl")
    (finding,) = checked(((-50, 0, 8), (350, 0, 8)), rack, 0.0)
    assert len(finding.contacts) == 10
    assert all(c.move is not None and c.move[2] == pytest.approx(1.5, abs=0.2) for c in finding.contacts)
    assert "and 4 more" in finding.message


@pytest.mark.slow
def test_of_doubles_the_one_that_lacks_most_stays_whichever_comes_first():
    """At 100: 3 apart where 5 is asked for lacks 2, 6 apart where 20 is asked for lacks 14; at 300 there is one."""
    (finding,) = checked(THRICE, boards(), 5.0)
    some = finding.contacts[0]
    slight = replace(some, at_mm=100.0, distance_mm=3.0, required_mm=5.0)
    grave = replace(some, at_mm=100.0005, distance_mm=6.0, required_mm=20.0)
    other = replace(some, at_mm=300.0, distance_mm=1.0, required_mm=5.0)
    for order in itertools.permutations((slight, grave, other)):
        kept = without_doubles(order)
        assert [(c.distance_mm, c.required_mm) for c in kept] == [(6.0, 20.0), (1.0, 5.0)]
    apart = replace(grave, at_mm=100.01)
    assert without_doubles([apart, slight]) == [slight, apart]


@pytest.mark.parametrize(("shape", "most"), [("box", 200), ("mesh", 20)])
def test_so_many_places_are_gone_into_all_round(shape, most):
    solid = trimesh.creation.box(extents=(100, 100, 100))
    mesh = Mesh(np.array(solid.vertices), np.array(solid.faces, np.int64), True, "block.stl")
    obstacle = obstacle_of(mesh if shape == "mesh" else Box((0.0, 0.0, 0.0), (1.0, 1.0, 1.0)))
    other = obstacle_of(Box((0.0, 0.0, 0.0), (1.0, 1.0, 1.0)) if shape == "mesh" else mesh)
    searched = Searched()
    assert [searched.thorough(obstacle) for _ in range(most + 3)] == [True] * most + [False] * 3
    assert searched.thorough(other)


@pytest.mark.parametrize("end", ["start", "finish"])
def test_an_end_that_half_faces_a_block_is_moved_straight_back_from_it(end):
    """The end is flat: 1 mm short of the block and 5 mm asked for, it moves by 4, whichever end it is."""
    block = Box((301.0, 3.0, -40.0), (400.0, 40.0, 40.0))
    if end == "start":
        block = Box((-100.0, 3.0, -40.0), (-1.0, 40.0, 40.0))
    straight = run("rail", ((0.0, 0.0, 0.0), (300.0, 0.0, 0.0)))
    (finding,) = clash(solve(job(runs=[straight], things=[Thing("block", block)], clearance=5.0)))[0]
    way = "west" if end == "finish" else "east"
    assert str(finding.said).endswith(f"at the {end} end; 5 mm is asked for; moving leg 1 by 4 mm {way} clears it")
