"""The room cut before the tubes, held against general libraries: trimesh for solids, shapely for flat outlines."""

import random
from dataclasses import replace

import gallery
import numpy as np
import pytest
import shapely
import trimesh
from shapely.geometry import LineString, Polygon

from pipemodel.bending.schedule import solve
from pipemodel.drawing.cut import BEFORE_MM, cut_at, plane_before
from pipemodel.drawing.hatch import hatched, strokes_of
from pipemodel.drawing.job_drawings import Drawings
from pipemodel.drawing.projection import FRONTS, PLAN, SIDES, take_views
from pipemodel.drawing.sheet import Line, Role
from pipemodel.drawing.solids import run_solids
from pipemodel.geometry.shapes.mesh import Mesh

VIEWS = (PLAN, *FRONTS, *SIDES)


def solids(seed):
    """Bodies of a general library, in places of their own: blocks, pipes, rings, and a box with a hole through it."""
    rng = random.Random(seed)
    hole = trimesh.boolean.difference(
        [trimesh.creation.box((300, 200, 100)), trimesh.creation.cylinder(radius=30, height=400)], engine="manifold"
    )
    for body in (trimesh.creation.box((200, 80, 120)), trimesh.creation.cylinder(radius=40, height=300),
                 trimesh.creation.annulus(30, 60, 90), trimesh.creation.icosphere(radius=70), hole):  # fmt: skip
        body.apply_transform(trimesh.transformations.random_rotation_matrix(np.array([rng.random() for _ in range(3)])))
        body.apply_translation([rng.uniform(-4000, 4000) for _ in range(3)])
        yield body


def _area(outline):
    """What closed strokes enclose: of the faces between them those that a ray leaves through an odd number."""
    rings = shapely.polygonize(shapely.node(shapely.MultiLineString(np.round(outline, 6).tolist())).geoms)
    inside = [ring for ring in rings.geoms if sum(_crosses(ring.representative_point(), s) for s in outline) % 2]
    return sum(Polygon(ring).area for ring in inside)


def _crosses(point, stroke):
    (x0, y0), (x1, y1) = stroke
    return (y0 > point.y) != (y1 > point.y) and x0 + (x1 - x0) * (point.y - y0) / (y1 - y0) > point.x


@pytest.mark.parametrize("seed", range(6))
def test_what_is_left_and_what_is_cut_are_those_of_another_library(seed):
    rng = random.Random(seed)
    cuts = 0
    for body in solids(seed):
        view = rng.choice(VIEWS)
        low, high = np.min(body.vertices @ view.eye), np.max(body.vertices @ view.eye)
        plane = rng.uniform(low, high)
        left = cut_at(Mesh(body.vertices, body.faces), view, plane)
        whole = trimesh.Trimesh(left.body.vertices, left.body.faces)
        wanted = body.slice_plane(np.array(view.eye) * plane, -np.array(view.eye), cap=True)
        assert whole.volume == pytest.approx(wanted.volume, rel=2e-4, abs=1.0)
        assert np.max(left.body.vertices @ view.eye) == pytest.approx(plane, abs=0.01)
        section = body.section(plane_origin=np.array(view.eye) * plane, plane_normal=view.eye)
        flat = section.to_2D()[0]
        assert _area(left.outline) == pytest.approx(flat.area, rel=2e-4, abs=0.5)
        middle = np.mean(section.vertices, axis=0)
        points = np.array(left.outline).reshape(-1, 2)
        assert np.ptp(points, axis=0) == pytest.approx(
            [np.ptp(section.vertices @ view.right), np.ptp(section.vertices @ view.upright)], abs=0.02
        )
        assert np.all(np.abs(points.mean(axis=0) - [middle @ view.right, middle @ view.upright]) < 200.0)
        cuts += len(left.outline) > 0
    assert cuts >= 5


def test_what_lies_behind_is_whole_and_what_lies_before_is_gone():
    box = trimesh.creation.box((100, 100, 100))
    mesh = Mesh(box.vertices, box.faces)
    assert cut_at(mesh, PLAN, 50.0).body is mesh
    assert cut_at(mesh, PLAN, 50.0).outline == []
    assert cut_at(mesh, PLAN, -50.0).body is None
    # A surface encloses nothing: it cannot be cut into two solids, and is kept as it is.
    sheet = Mesh(box.vertices, box.faces[:2], closed=False)
    assert cut_at(sheet, FRONTS[0], 0.0).body is sheet


@pytest.mark.parametrize("seed", range(5))
def test_a_hatching_covers_the_inside_and_nothing_else(seed):
    """Against shapely: every stroke lies inside, and their length times the step is the area, as near as steps are."""
    rng = random.Random(seed)
    outer = Polygon([(0, 0), (90 + seed, 5), (80, 60 - seed), (40, 40), (5, 70)])
    inner = shapely.Point(45 + rng.uniform(-5, 5), 20).buffer(9)
    area = outer.difference(inner)
    strokes = hatched(strokes_of([outer.exterior.coords[:-1], inner.exterior.coords[:-1]]), 1.0)
    for a, b in strokes:
        assert area.buffer(1e-6).covers(LineString([a, b]))
        assert (b[0] - a[0]) == pytest.approx(b[1] - a[1])
    assert sum(LineString(stroke).length for stroke in strokes) == pytest.approx(area.area, rel=0.02)


def test_a_wall_across_the_front_is_cut_hatched_and_named_no_more_as_left_out():
    run = gallery.run("flow", ((0.0, 0.0, 0.0), (900.0, 0.0, 0.0), (900.0, 0.0, 500.0)))
    side = gallery.Thing("side wall", gallery.Box((-200.0, -900.0, -100.0), (-100.0, 100.0, 900.0)))
    before = gallery.Thing("partition", gallery.Box((-200.0, -900.0, -100.0), (1200.0, -800.0, 900.0)))
    schedule = solve(replace(gallery.job("cupboard", [run], [side, before]), seen_from=(0.0, -1.0, 0.0)))
    (front, *_) = views = Drawings(schedule)._room
    assert [name for name, _ in front.cuts] == ["side wall"]
    assert front.without == ("partition",)
    outline = front.cuts[0][1]
    assert shapely.MultiLineString(outline).bounds == pytest.approx((-200.0, -100.0, -100.0, 900.0))
    sheet = Drawings(schedule).of_job()
    assert {Role.CUT, Role.HATCH} <= {item.role for item in sheet.items if isinstance(item, Line)}
    assert views.plan.without == ()


def test_the_plane_lies_before_every_tube():
    runs = solve(gallery.two_runs()).runs
    rods = [solid.body for solid in run_solids(runs)]
    for view in VIEWS:
        plane = plane_before(rods, view)
        nearest = max(
            view.nearness(rod.line.point_at(rod.line.length * k / 2000.0)) + rod.outside_mm / 2.0
            for rod in rods
            for k in range(2001)
        )
        assert plane == pytest.approx(nearest + BEFORE_MM, abs=3.0)
        assert plane > nearest
    assert take_views(run_solids(runs), [(0.0, 0.0, 0.0)]).front.cuts == ()
