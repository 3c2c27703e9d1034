"""Holes through the things of a room, from their form to the check, the clips, the solid, the drawing and the page."""

import math

import numpy as np
import pytest
import trimesh

from pipemodel import story
from pipemodel.documents.page.room import room_parts
from pipemodel.drawing.solids import room_solids
from pipemodel.geometry.shapes.plate import Plate
from pipemodel.job.model import JobError
from pipemodel.job.read import job_of_text

JOB = """\
job: down through the floor and along the joists
tube: {outside: 15, wall: 0.7}
former: {radius: 55, hold: 60, guide: 45}
room:
  floor:
    box: {from: [-500, -500, -18], to: [1500, 500, 0]}
    holes:
      - {at: [0, 0, 0], diameter: 32}
      - {from: [900, -100, 0], to: [1300, 100, 0]}
  joist:
    box: {from: [400, -500, -218], to: [444, 500, -18]}
    holes: [{at: [0, 3, -118], diameter: 30}]
  cheek:
    plate:
      {at: [1400, -500, 0], across: north, up: up, outline: [[0, 0], [1000, 0], [1000, 900], [0, 600]], thickness: 20}
    holes: [{at: [1400, 300, 500], diameter: 40}, {from: [0, -100, 200], to: [0, 100, 400]}]
  nib:
    extrusion: {outline: [[-400, 300], [-300, 300], [-350, 400]], from: 0, to: 90}
    holes: [{at: [-350, 325, 0], diameter: 16}]
runs:
  drop:
    points: [[0, 4, 300], [0, 4, -118], [800, 4, -118]]
"""


@pytest.fixture(scope="module")
def job():
    return job_of_text(JOB, "job.yaml")


def test_a_run_through_holes_is_clear_by_the_ring_round_it(job):
    """16 - 7.5 - 4 in the floor, though 15 - 7.5 - 1 in the joist is more."""
    found = {d.against: d.distance_mm for d in story.check(job).distances if d.run == "drop"}
    assert found["floor"] == pytest.approx(4.5, abs=1e-9)
    assert found["joist"] == pytest.approx(6.5, abs=1e-9)


def test_without_its_holes_it_clashes():
    solid = "\n".join(line for line in JOB.splitlines() if "32}" not in line and "30}" not in line)
    solid = job_of_text(solid, "job.yaml")
    found = {d.against: d.distance_mm for d in story.check(solid).distances if d.run == "drop"}
    assert found["floor"] < 0.0
    assert found["joist"] < 0.0


def areas():
    """Of each thing, its plan less its holes, and how far it is carried."""
    ring = [math.pi * d * d / 4.0 for d in (32.0, 30.0, 40.0, 16.0)]
    return {
        "floor": (2000.0 * 1000.0 - ring[0] - 400.0 * 200.0) * 18.0,
        "joist": (1000.0 * 200.0 - ring[1]) * 44.0,
        "cheek": (1000.0 * 750.0 - ring[2] - 200.0 * 200.0) * 20.0,
        "nib": (100.0 * 100.0 / 2.0 - ring[3]) * 90.0,
    }


@pytest.mark.kernel
def test_its_solids_have_the_holes_cut(job):
    from OCP.BRepCheck import BRepCheck_Analyzer
    from OCP.BRepGProp import BRepGProp
    from OCP.GProp import GProp_GProps

    from pipemodel.solids.extent import job_extent
    from pipemodel.solids.room import thing_solid

    extent = job_extent(story.schedule(job), job.things)
    for thing in job.things:
        solid, props = thing_solid(thing.shape, extent).shape, GProp_GProps()
        BRepGProp.VolumeProperties_s(solid, props)
        assert props.Mass() == pytest.approx(areas()[thing.name], rel=1e-9)
        assert BRepCheck_Analyzer(solid).IsValid()


def test_it_is_drawn_and_shown_with_its_holes(job):
    solved = story.schedule(job)
    for solid, thing in zip(room_solids(solved), job.things, strict=True):
        made = trimesh.Trimesh(solid.body.vertices, solid.body.faces, process=False)
        assert made.is_watertight
        assert made.volume == pytest.approx(areas()[thing.name], rel=1e-3)
        assert made.euler_number == {"floor": -2, "joist": 0, "cheek": -2, "nib": 0}[thing.name]
    assert len(room_parts(solved)) == 4


def test_points_by_trimesh(job):
    """Signed distances to the drawn triangles, which stand no farther off the true holes than 0.2 mm."""
    dice = np.random.default_rng(3)
    for thing in job.things:
        mesh = thing.shape.mesh(0.01, None)
        made = trimesh.Trimesh(mesh.vertices, mesh.faces, process=False)
        low, high = made.bounds
        points = dice.uniform(low - 30.0, high + 30.0, (150, 3))
        expected = -trimesh.proximity.signed_distance(made, points)
        assert [thing.shape.distance(tuple(p)) for p in points.tolist()] == pytest.approx(expected.tolist(), abs=0.02)
        assert (expected < 0.0).any()


def test_a_plate_lies_behind_the_side_it_is_seen_from(job):
    """Seen with north to the right and up upwards one looks west, so it lies west of the points given."""
    cheek = next(t for t in job.things if t.name == "cheek")
    assert isinstance(cheek.shape, Plate)
    low, high = cheek.shape.bounds()
    assert low == pytest.approx((1380.0, -500.0, 0.0))
    assert high == pytest.approx((1400.0, 500.0, 900.0))


FLOOR = "floor: {box: {from: [0, 0, 0], to: [400, 300, 18]}, holes: ["
NIB = "nib: {extrusion: {outline: [[0, 0], [100, 0], [50, 100]], from: 0, to: 9}, holes: ["
ROUND = "{at: [100, 150, 0], diameter: 30}"


@pytest.mark.parametrize(
    ("thing", "said"),
    [
        (FLOOR + "{at: [10, 150, 0], diameter: 30}]}", "a side of the thing: its middle is 10.0"),
        (FLOOR + "{at: [-50, 150, 0], diameter: 30}]}", "lies beside the thing"),
        (FLOOR + ROUND + ", {at: [120, 150, 0], diameter: 30}]}", "runs into one before it by 10.0"),
        # The first crosses the opening, the second only the first.
        (FLOOR + "{from: [110, 50, 0], to: [200, 250, 0]}, " + ROUND + ", {at: [80, 150, 0], diameter: 20}]}",
         "runs into one before it by 5.0"),
        (FLOOR + "{from: [100, 100, 0], to: [100, 200, 18]}]}", "has no size"),
        (FLOOR + "{from: [-10, -10, 0], to: [500, 400, 0]}]}", "leave nothing"),
        (FLOOR + "{from: [50, 50, 0], to: [90, 90, 0]}, {from: [90, 90, 0], to: [120, 120, 0]}]}", "touch at a corner"),
        (FLOOR + "{at: [100, 150, 0]}]}", "with 'at' and 'diameter', or"),
        (FLOOR + "{at: [100, 150, 0], diameter: 30, to: [1, 2, 3]}]}", "with 'at' and 'diameter', or"),
        (FLOOR + "{at: [100, 150, 0], diameter: 30, through: sideways}]}", "a hole goes through east"),
        (FLOOR + "{at: [0, 9, 9], diameter: 3, through: east}, {at: [9, 9, 9], diameter: 3, through: up}]}", "same"),
        ("cube: {box: {from: [0, 0, 0], to: [150, 150, 150]}, holes: [" + ROUND + "]}", "east or north or up"),
        ("duct: {cylinder: {from: [0, 0, 0], to: [50, 0, 0], diameter: 50}, holes: [" + ROUND + "]}", "only a box, an"),
        (NIB + "{from: [40, 20, 0], to: [95, 30, 0]}]}", "reaches the outline"),
        (NIB + "{at: [40, 20, 0], diameter: 3, through: north}]}", "go up and down"),
        ("nib: {plate: {at: [0, 0, 0], across: east, up: [1, 0, 1], outline: [[0, 0], [1, 0], [0, 1]], thickness: 2}}",
         "square to each other"),
    ],
)  # fmt: skip
def test_holes_that_cannot_be(thing, said):
    text = f"job: x\ntube: 15\nroom:\n  {thing}\nruns:\n  a: {{points: [[0, 0, 500], [900, 0, 500]]}}\n"
    with pytest.raises(JobError) as caught:
        job_of_text(text, "job.yaml")
    (fault,) = caught.value.faults
    assert said in fault.message
    assert fault.place.line == 4
    assert fault.place.column > 1


def test_a_door_reaches_down_to_the_floor():
    wall = "wall: {box: {from: [0, 0, 0], to: [3000, 100, 2400]}, holes: [{from: [900, 0, 0], to: [1700, 100, 2000]}]}"
    text = f"job: x\ntube: 15\nroom:\n  {wall}\nruns:\n  a: {{points: [[1300, -300, 1000], [1300, 500, 1000]]}}\n"
    (found,) = story.check(job_of_text(text, "job.yaml")).distances
    assert found.distance_mm == pytest.approx(400.0 - 7.5, abs=1e-9)
