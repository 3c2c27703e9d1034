"""Holes that runs need, against rays and cylinders of a general library and points taken one by one."""

import random
from math import hypot

import gallery
import numpy as np
import pytest
import trimesh

from pipemodel import story
from pipemodel.bending.schedule import solve
from pipemodel.checks.penetrations import PASSAGE_MM, STEEPEST, penetrations
from pipemodel.geometry.shapes import Box, Extrusion
from pipemodel.geometry.shapes.plate import Plate
from pipemodel.geometry.shapes.signed_plan import Round
from pipemodel.lists.holes import holes
from pipemodel.messages.say import say

ROOM_MM = 5.0


def solved(corners, things):
    job = gallery.job("holes", [gallery.run("flow", corners)], [gallery.Thing(n, s) for n, s in things.items()])
    return solve(job)


def wall(rng, near):
    """A thin box, thin along any axis, about a place."""
    k = rng.randrange(3)
    size = [rng.uniform(300.0, 1500.0) for _ in range(3)]
    size[k] = rng.uniform(12.0, 250.0)
    middle = [c + rng.uniform(-400.0, 400.0) for c in near]
    low, high = ([m + sign * s / 2.0 for m, s in zip(middle, size, strict=True)] for sign in (-1.0, 1.0))
    return Box(tuple(low), tuple(high)), k


@pytest.mark.parametrize("seed", range(12))
def test_holes_are_where_rays_along_the_axis_meet_both_faces(seed):
    """Every leg but its bends is a ray through the wall as a mesh of another library."""
    rng = random.Random(seed)
    found = 0
    for _ in range(12):
        a = np.array([rng.uniform(-600.0, 0.0), rng.uniform(0.0, 900.0), rng.uniform(0.0, 900.0)])
        b = np.array([rng.uniform(1600.0, 2200.0), rng.uniform(0.0, 900.0), rng.uniform(0.0, 900.0)])
        way = (b - a) / np.linalg.norm(b - a)
        box, k = wall(rng, a + (b - a) * rng.uniform(0.3, 0.7))
        mesh = trimesh.creation.box(bounds=[box.low, box.high])
        points, _, faces = mesh.ray.intersects_location([a], [way], multiple_hits=True)
        normals = mesh.face_normals[faces] if len(faces) else np.empty((0, 3))
        broad = len(points) == 2 and bool(np.all(np.abs(normals[:, k]) > 0.5))
        holes = list(penetrations(solved((tuple(a), tuple(b)), {"wall": box})))
        if not broad:
            # It meets the wall at an edge, or not at all; a hole may be named where its middle is in the wall.
            middle = a + way * ((box.low[k] + box.high[k]) / 2.0 - a[k]) / way[k]
            inside = all(box.low[i] <= middle[i] <= box.high[i] for i in range(3))
            inside &= bool(0.0 < (middle - a) @ way < np.linalg.norm(b - a))
            assert bool(holes) == (inside and abs(way[k]) >= STEEPEST)
            continue
        if abs(way[k]) < STEEPEST:
            assert not holes
            continue
        (hole,) = holes
        assert np.allclose(hole.point, points.mean(axis=0), atol=1e-6)
        assert hole.at_mm == pytest.approx(np.linalg.norm(points.mean(axis=0) - a), abs=1e-6)
        assert hole.drawn_mm is None
        # Where it is on the wall, from its west, south or lower ends.
        others = [i for i in range(3) if i != k]
        assert hole.along_mm == pytest.approx(hole.point[others[0]] - box.low[others[0]])
        assert hole.up_mm == pytest.approx(hole.point[others[1]] - box.low[others[1]])
        found += 1
    assert found >= 1


@pytest.mark.parametrize("seed", range(10))
def test_the_least_hole_is_the_smallest_round_one_that_the_tube_and_its_room_go_through(seed):
    """Points all over a cylinder as wide as tube and room: those within the wall, seen square, fill the circle."""
    rng = random.Random(seed)
    thick = rng.uniform(10.0, 300.0)
    box = Box((500.0, -3000.0, -3000.0), (500.0 + thick, 3000.0, 3000.0))
    b = (1400.0, rng.uniform(-900.0, 900.0), rng.uniform(-900.0, 900.0))
    schedule = solved(((-400.0, 0.0, 0.0), b), {"wall": box})
    (hole,) = penetrations(schedule)
    job = schedule.job
    wide = schedule.runs[0].tube.outside_mm + 2.0 * job.asked_of(job.runs[0])["wall"]
    a = np.array((-400.0, 0.0, 0.0))
    way = (np.array(b) - a) / np.linalg.norm(np.array(b) - a)
    u = np.cross(way, [0.3, 0.5, 0.8])
    u /= np.linalg.norm(u)
    v = np.cross(way, u)
    turns = np.linspace(0.0, 2.0 * np.pi, 721)
    ring = wide / 2.0 * (np.cos(turns)[:, None] * u + np.sin(turns)[:, None] * v)
    far = 0.0
    for face in (500.0, 500.0 + thick):
        along = (face - a[0] - ring[:, 0]) / way[0]
        points = a + along[:, None] * way + ring
        far = max(far, np.hypot(points[:, 1] - hole.point[1], points[:, 2] - hole.point[2]).max())
    assert hole.least_mm == pytest.approx(2.0 * far, rel=1e-4)


def test_a_hole_that_is_drawn_is_named_a_door_is_none_and_a_notch_beside_is_not():
    outline = ((0.0, 0.0), (3000.0, 0.0), (3000.0, 2400.0), (0.0, 2400.0))
    door = ((200.0, 10.0), (1000.0, 10.0), (1000.0, 2000.0), (200.0, 2000.0))
    slot = ((2000.0, 100.0), (2090.0, 100.0), (2090.0, 190.0), (2000.0, 190.0))
    east, up, rounds = (1.0, 0.0, 0.0), (0.0, 0.0, 1.0), (Round(1500.0, 400.0, 30.0),)
    plate = Plate((0.0, 500.0, 0.0), east, up, 100.0, (outline, door, slot), rounds)
    for x, z, drawn in ((1500.0, 400.0, 60.0), (1520.0, 410.0, 60.0), (1600.0, 400.0, None), (2040.0, 150.0, None)):
        (hole,) = penetrations(solved(((x, -300.0, z), (x, 1000.0, z)), {"wall": plate}))
        assert hole.drawn_mm == drawn, (x, z)
        assert (hole.along_mm, hole.up_mm) == (pytest.approx(x), pytest.approx(z))
        assert hole.point == pytest.approx((x, 450.0, z))
        assert hypot(*hole.low_end) == pytest.approx(1.0)
    assert min(800.0, 1990.0) > PASSAGE_MM
    assert not list(penetrations(solved(((600.0, -300.0, 800.0), (600.0, 1000.0, 800.0)), {"wall": plate})))
    assert not list(penetrations(solved(((3500.0, -300.0, 800.0), (3500.0, 1000.0, 800.0)), {"wall": plate})))


def test_a_bend_within_a_wall_still_goes_through():
    box = Box((500.0, -3000.0, -3000.0), (900.0, 3000.0, 3000.0))
    corners = ((0.0, 0.0, 0.0), (700.0, 0.0, 0.0), (1200.0, 500.0, 0.0))
    (hole,) = penetrations(solved(corners, {"wall": box}))
    assert hole.point[0] == pytest.approx(700.0, abs=1e-6)
    assert 0.0 < hole.point[1] < 30.0


@pytest.mark.parametrize(("apart", "met"), [(18.8, True), (19.2, False)])
def test_holes_that_run_into_each_other_are_said_in_the_list(apart, met, tmp_path):
    """Tube of 15 with 2 all round takes holes of 19: they meet where their middles are nearer than that."""
    text = "job: x\ntube: 15\nclearance: 2\nroom:\n  boards: {box: {from: [0, 0, -20], to: [900, 900, 0]}}\nruns:\n"
    for name, x in (("a", 300), ("b", 300 + apart), ("c", 600)):
        text += f"  {name}: {{points: [[{x}, 300, -300], [{x}, 300, 300]]}}\n"
    (tmp_path / "job.yaml").write_text(text, encoding="utf-8")
    table = holes(story.results(story.load(tmp_path / "job.yaml"))).table
    if not met:
        assert "with" not in [column.head for column in table.columns]
        return
    place = [column.head for column in table.columns].index("with")
    assert [row[place] for row in table.rows] == ["b", "a", ""]


CORNERED = ((0, 0), (3000, 0), (3000, 1000), (1200, 1000), (1200, 2000), (0, 2000))


@pytest.mark.parametrize(
    ("turned", "west", "south"),
    [(0, 800, 500), (12.5, 800, 500), (45, 800, 500), (90, 2000 - 500, 800), (-50, 500, 3000 - 800)],
)
@pytest.mark.parametrize("outline", [((0, 0), (3000, 0), (3000, 2000), (0, 2000)), CORNERED], ids=["square", "L"])
def test_a_hole_in_a_turned_floor_is_measured_from_the_floor_s_own_edges(outline, turned, west, south):
    """A tape lies along the floor; which of its edges is the west one goes by how it is turned."""
    way = np.exp(1j * np.radians(turned))
    placed = tuple((p.real, p.imag) for p in (complex(*q) * way for q in outline))
    at = complex(800.0, 500.0) * way
    run = gallery.run("flow", ((at.real, at.imag, -300.0), (at.real, at.imag, 300.0)))
    job = gallery.job("holes", [run], [gallery.Thing("floor", Extrusion(placed, -22.0, 0.0))])
    ((_, _, _, _, _, _, _, along, end, across, edge, *_),) = holes(story.results(job)).table.rows
    assert (along, across) == pytest.approx((west, south))
    assert (say(end), say(edge)) == ("west", "south")
