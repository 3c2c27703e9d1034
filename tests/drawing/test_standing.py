"""Drawings, page and picture are seen from the open side of the wall, and no wall is drawn before the runs.

Rooms are turned about by quarter turns with a matrix of this file's own. How far the way to the eye is free is held
against ray casting by trimesh.
"""

from dataclasses import replace

import gallery
import numpy as np
import pytest
import trimesh

from pipemodel.bending.schedule import solve
from pipemodel.documents.picture.draw import framed
from pipemodel.drawing.in_place import view_in_place
from pipemodel.drawing.job_drawings import Drawings
from pipemodel.drawing.primitives import Text
from pipemodel.drawing.projection import ISOMETRICS, views_from
from pipemodel.drawing.sight import free_mm
from pipemodel.drawing.standing import where_stands
from pipemodel.geometry.shapes import Box, Cylinder, HalfSpace, Mesh
from pipemodel.geometry.view import View
from pipemodel.job.model import Thing
from pipemodel.job.read import read_job

SIDES = ("north", "west", "south", "east")
"""Each a quarter turn anticlockwise, seen from above, from the one before."""
BOTTOM = {
    "south": "plan, from above",
    "north": "plan, from above, north at the bottom",
    "east": "plan, from above, east at the bottom",
    "west": "plan, from above, west at the bottom",
}


def turned(point, quarters):
    c, s = [(1, 0), (0, 1), (-1, 0), (0, -1)][quarters % 4]
    x, y, z = point
    return (float(c * x - s * y), float(s * x + c * y), float(z))


def box(a, b, quarters=0):
    p, q = turned(a, quarters), turned(b, quarters)
    return Box(tuple(map(min, p, q)), tuple(map(max, p, q)))


def wall(kind, quarters):
    """A wall along the east axis whose face looks north, in front of the run at y = 30."""
    if kind == "face":
        return HalfSpace((0.0, 0.0, 0.0), turned((0, 1, 0), quarters))
    return box((-2000, -120, 0), (2000, 0, 2500), quarters)


def along_the_wall(quarters, *things):
    points = [(-600, 30, 100), (200, 30, 100), (200, 30, 700), (200, 400, 700)]
    run = gallery.run("rail", tuple(turned(p, quarters) for p in points))
    floor = Thing("floor", HalfSpace((0.0, 0.0, 0.0), (0.0, 0.0, 1.0)))
    return solve(gallery.job("one", [run], [floor, *things]))


@pytest.mark.slow
@pytest.mark.parametrize("kind", ["face", "box"])
@pytest.mark.parametrize("quarters", range(4))
def test_all_is_seen_from_the_open_side_of_the_wall(kind, quarters):
    schedule = along_the_wall(quarters, Thing("wall", wall(kind, quarters)))
    open_side, name = turned((0, 1, 0), quarters), SIDES[quarters]
    assert where_stands(schedule) == pytest.approx(open_side)
    front, sides, plan, corners = views_from(where_stands(schedule))
    assert front.title == f"from the {name}"
    assert plan.title == BOTTOM[name]
    # What is to the right is so in both, and the fitter's left hand is the left of the drawing.
    assert plan.right == pytest.approx(front.right)
    assert sides[0].eye == pytest.approx([-c for c in front.right])
    assert {view for view in ISOMETRICS if np.dot(view.eye, open_side) > 0.1} == set(corners)
    for view in (view_in_place(schedule, schedule.runs), framed(schedule, [])[0].view):
        assert np.dot(view.eye, open_side) > 0.1
    for sheet in (Drawings(schedule).of_job(), *Drawings(schedule).of_runs()):
        titles = {i.text for i in sheet.items if isinstance(i, Text)}
        assert {f"from the {name}", BOTTOM[name]} <= titles
        assert not any(text.startswith("without") for text in titles)


@pytest.mark.parametrize("quarters", range(4))
def test_a_wall_before_the_runs_is_left_out_and_named_and_a_pipe_is_not(quarters):
    """A board before all of the run and a post before a part of it are cut away; one looks past a pipe."""
    things = [
        Thing("back", wall("face", quarters)),
        Thing("board", box((-700, 500, 0), (700, 520, 900), quarters)),
        Thing("post", box((-500, 500, 0), (-450, 520, 900), quarters)),
        Thing("pipe", Cylinder(turned((-900, 450, 100), quarters), turned((900, 450, 100), quarters), 110.0)),
    ]
    schedule = along_the_wall(quarters, *things)
    schedule = replace(schedule, job=replace(schedule.job, seen_from=turned((0, 1, 0), quarters)))
    views = Drawings(schedule)._room
    assert views.front.without == ("board", "post")
    drawn = {solid.thing for solid in views.front.solids}
    assert {"pipe", "back"} <= drawn


def test_a_job_may_say_where_the_fitter_stands(tmp_path):
    path = tmp_path / "job.yaml"
    room = "room: {wall: {face: {at: [0, 0, 0], facing: north}}}"
    points = "[[0, 30, 100], [500, 30, 100], [500, 30, 500]]"
    for line, side in [("", (0, 1, 0)), ("seen from: west\n", (-1, 0, 0)), ("seen from: south\n", (0, -1, 0))]:
        path.write_text(f"job: j\ntube: 15\n{line}{room}\nruns: {{a: {{points: {points}}}}}\n")
        schedule = solve(read_job(path))
        assert where_stands(schedule) == pytest.approx(side)
        assert np.dot(view_in_place(schedule, schedule.runs).eye, side) > 0.1


@pytest.mark.parametrize(
    ("bearing", "front", "corners"),
    [
        (180, "south", {"south-east", "south-west"}),
        (182, "south", {"south-east", "south-west"}),
        (200, "south", {"south-west"}),
        (225, "south", {"south-west"}),
        (235, "west", {"south-west"}),
        (0, "north", {"north-east", "north-west"}),
        (95, "east", {"north-east", "south-east"}),
        (315, "west", {"north-west"}),
    ],
)
def test_elevations_are_taken_square_to_the_room(bearing, front, corners):
    stands = (np.sin(np.radians(bearing)), np.cos(np.radians(bearing)), 0.0)
    seen, _, _, isometrics = views_from(stands)
    assert seen.title == f"from the {front}"
    assert {view.title.removeprefix("isometric, from the ") for view in isometrics} == corners


def test_clips_say_it_where_the_room_leaves_it_open(tmp_path):
    """Two walls as near as each other; the clips are on one of them."""
    text = """\
job: between
tube: 15
clips: {{face: {face}, standoff: 30}}
room:
  low: {{face: {{at: [0, 0, 0], facing: north}}}}
  high: {{face: {{at: [0, 60, 0], facing: south}}}}
runs: {{a: {{points: [[0, 30, 100], [900, 30, 100], [900, 30, 700]]}}}}
"""
    path = tmp_path / "job.yaml"
    for face, side in [("low", (0, 1, 0)), ("high", (0, -1, 0))]:
        path.write_text(text.format(face=face))
        assert where_stands(solve(read_job(path))) == pytest.approx(side)


@pytest.mark.parametrize("seed", range(4))
def test_how_far_the_way_is_free(seed):
    """Random boxes and spheres, points beside and inside them; directions along the axes and askew."""
    rng = np.random.default_rng(seed)
    solid = trimesh.creation.icosphere(2, 80.0) if seed % 2 else trimesh.creation.box((100.0, 60.0, 140.0))
    solid.apply_transform(trimesh.transformations.random_rotation_matrix(rng.random(3)))
    mesh = Mesh(np.asarray(solid.vertices), np.asarray(solid.faces))
    points = [tuple(p) for p in rng.uniform(-200.0, 200.0, (200, 3)).tolist()]
    hits = 0
    for toward in [(1.0, 0.0, 0.0), (0.0, -1.0, 0.0), *map(tuple, rng.normal(size=(3, 3)).tolist())]:
        view = View("", toward)
        free = free_mm(mesh, points, view)
        place, ray, _ = solid.ray.intersects_location(points, [view.eye] * len(points), multiple_hits=True)
        right = np.full(len(points), np.inf)
        for where, i in zip(place, ray, strict=True):
            right[i] = min(right[i], np.linalg.norm(where - points[i]))
        # A ray along an edge may be counted either way.
        same = np.isclose(free, right, atol=1e-6) | (np.isinf(free) & np.isinf(right))
        assert same.mean() > 0.99
        hits += np.isfinite(free).sum()
    assert hits > 30
