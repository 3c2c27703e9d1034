"""Building terms become exact shapes: held against solids that trimesh and manifold3d cut, and figures by hand."""

from math import atan2, cos, degrees, radians, sin

import jsonschema
import numpy as np
import pytest
import trimesh
import yaml

from pipemodel import story
from pipemodel.geometry.distance.obstacle import obstacle_of
from pipemodel.geometry.extent import Extent
from pipemodel.job.model import JobError
from pipemodel.job.schema import json_schema

ANY = Extent((0.0, 0.0, 0.0), (1.0, 1.0, 1.0))
HEAD = "job: x\ntube: 15\nruns: {a: {points: [[0, 0, 9000], [900, 0, 9000]]}}\nroom:\n"


def things(tmp_path, room):
    path = tmp_path / "job.yaml"
    path.write_text(HEAD + "".join(f"  {line}\n" for line in room.strip().splitlines()), encoding="utf-8")
    return {thing.name: thing for thing in story.read(path).things}


def faults(tmp_path, room):
    with pytest.raises(JobError) as error:
        things(tmp_path, room)
    return [line.split(":", 1)[1] for line in error.value.lines()]


def block(low, high):
    return trimesh.creation.box(bounds=[low, high])


def bar(start, finish, diameter):
    return trimesh.creation.cylinder(radius=diameter / 2, segment=[start, finish], sections=256)


def turned(mesh, degrees):
    mesh = mesh.copy()
    mesh.apply_transform(trimesh.transformations.rotation_matrix(radians(degrees), [0, 0, 1]))
    return mesh


def assert_is(shape, solid, near=0.6):
    """The same bounds, volume to what 256 sides to a circle leave, and every point on the same side."""
    assert np.array(shape.bounds()) == pytest.approx(solid.bounds, abs=0.05)
    assert shape.mesh(0.005, ANY).volume == pytest.approx(solid.volume, rel=1e-3)
    size = np.ptp(solid.bounds, axis=0)
    points = np.random.default_rng(3).uniform(solid.bounds[0] - 0.1 * size, solid.bounds[1] + 0.1 * size, (800, 3))
    field = obstacle_of(shape).field(points)
    sure = np.abs(field) > near
    assert np.array_equal(field[sure] < 0.0, solid.contains(points[sure]))


OPENINGS = (
    "[{at: 900, width: 762, height: 1981}, {at: 2300, width: 900, height: 1050, up: 900}, "
    "{at: 400, up: 300, diameter: 52}]"
)


@pytest.mark.slow
@pytest.mark.parametrize("facing", ["south", "north"])
@pytest.mark.parametrize("degrees", [0, 90, 33])
def test_a_wall_with_a_door_a_window_and_a_hole(tmp_path, facing, degrees):
    """Its face runs along the line, and it is solid behind it. Turned, its line and its facing turn as well."""
    sign = -1.0 if facing == "south" else 1.0
    c, s = cos(radians(degrees)), sin(radians(degrees))
    way = [-s * sign, c * sign, 0]
    room = f"""
w: {{wall: {{from: [0, 0], to: [{4000 * c!r}, {4000 * s!r}], facing: [{way[0]!r}, {way[1]!r}, 0],
      thickness: 100, height: 2400, bottom: 50, openings: {OPENINGS}}}}}
"""
    (thing,) = things(tmp_path, room).values()
    y = (0, 100) if facing == "south" else (-100, 0)
    solid = trimesh.boolean.difference(
        [
            block([0, y[0], 50], [4000, y[1], 2450]),
            block([900, -200, 40], [1662, 200, 2031]),
            block([2300, -200, 950], [3200, 200, 2000]),
            bar([400, -200, 350], [400, 200, 350], 52),
        ],
        engine="manifold",
    )
    assert_is(thing.shape, turned(solid, degrees))


def test_plain_walls_are_boxes_and_outlines(tmp_path):
    made = things(
        tmp_path,
        """
straight: {wall: {from: [0, 0], to: [4000, 0], facing: south, thickness: 100, height: 2400}}
slanting: {wall: {from: [0, 0], to: [4000, 3000], facing: south, thickness: 100, height: 2400}}
""",
    )
    assert {name: thing.shape.kind for name, thing in made.items()} == {"straight": "box", "slanting": "extrusion"}


@pytest.mark.slow
def test_floors_and_ceilings(tmp_path):
    made = things(
        tmp_path,
        """
boards: {floor: {from: [0, 0], to: [3000, 2000], top: 0, thickness: 22, openings: [{from: [100, 1900], to: [500, 2100]},
         {at: [1500, 1000], diameter: 28}]}}
ceiling: {floor: {outline: [[0, 0], [3000, 0], [3000, 1000], [1000, 1000], [1000, 2000], [0, 2000]], bottom: 2400,
          thickness: 12.5, openings: [{from: [200, 200], to: [700, 600]}]}}
""",
    )
    boards = [block([0, 0, -22], [3000, 2000, 0]), block([100, 1900, -99], [500, 2100, 99])]
    boards.append(bar([1500, 1000, -99], [1500, 1000, 99], 28))
    assert_is(made["boards"].shape, trimesh.boolean.difference(boards, engine="manifold"))
    whole = [block([0, 0, 2400], [3000, 1000, 2412.5]), block([0, 500, 2400], [1000, 2000, 2412.5])]
    ceiling = [trimesh.boolean.union(whole, engine="manifold"), block([200, 200, 2000], [700, 600, 3000])]
    assert_is(made["ceiling"].shape, trimesh.boolean.difference(ceiling, engine="manifold"))


@pytest.mark.slow
def test_joists_in_a_row_with_holes_and_notches(tmp_path):
    """47 x 195 joists at 400: the second has a hole of 28, its middle 97.5 down, and a notch of 16 x 20 at its top."""
    made = things(
        tmp_path,
        """
joists: {joists: {first: [100, 50], along: east, row: north, spacing: 400, number: 4, length: 3600, size: [47, 195],
         top: -22, holes: [{at: 900, down: 97.5, diameter: 28, of: 2}],
         notches: [{at: 500, width: 16, depth: 20, of: [2, 4]}, {at: 700, width: 30, depth: 25, in: bottom, of: 4}]}}
""",
    )
    assert list(made) == [f"joists {k}" for k in (1, 2, 3, 4)]
    assert {thing.of for thing in made.values()} == {"joists"}
    for k in range(4):
        y = 50 + 400 * k
        solids = [block([100, y - 23.5, -217], [3700, y + 23.5, -22])]
        if k in (1, 3):
            solids.append(block([600, y - 99, -42], [616, y + 99, 99]))
        if k == 3:
            solids.append(block([800, y - 99, -300], [830, y + 99, -192]))
        if k == 1:
            solids.append(bar([1000, y - 99, -119.5], [1000, y + 99, -119.5], 28))
        whole = trimesh.boolean.difference(solids, engine="manifold") if len(solids) > 1 else solids[0]
        assert_is(made[f"joists {k + 1}"].shape, whole)


@pytest.mark.slow
@pytest.mark.parametrize(("along", "row"), [("north", "east"), ("south", "west"), ("west", "north"), ("east", "south")])
def test_joists_every_way_round(tmp_path, along, row):
    made = things(
        tmp_path,
        f"""
j: {{joists: {{first: [0, 0], along: {along}, row: {row}, spacing: 400, over: 1300, length: 3000,
     size: [50, 200], top: 0, holes: [{{at: 300, down: 60, diameter: 30}}]}}}}
""",
    )
    ways = {"north": (0, 1), "south": (0, -1), "east": (1, 0), "west": (-1, 0)}
    a, r = np.array(ways[along]), np.array(ways[row])
    assert len(made) == 4
    for k, thing in enumerate(made.values()):
        ends = np.array([400 * k * r - 25 * r, 400 * k * r + 25 * r + 3000 * a])
        solid = block([*ends.min(axis=0), -200], [*ends.max(axis=0), 0])
        middle = 400 * k * r + 300 * a
        hole = bar([*(middle - 99 * r), -60], [*(middle + 99 * r), -60], 30)
        assert_is(thing.shape, trimesh.boolean.difference([solid, hole], engine="manifold"))


@pytest.mark.slow
def test_studs_stand_with_their_depth_across_the_row(tmp_path):
    made = things(
        tmp_path,
        """
s: {studs: {first: [0, 0], row: east, spacing: 600, number: 3, size: [38, 89], height: 2400,
    holes: [{at: 300, diameter: 22, of: [1, 2]}, {at: 500, across: 30, diameter: 16, of: 3}]}}
""",
    )
    # Seen along the row, from the west, a stud's first side is the one to the right less its depth: north is left.
    third = made["s 3"].shape
    inside = obstacle_of(third).field(np.array([[1200.0, -44.5 + 30.0, 500.0], [1200.0, 44.5 - 30.0, 500.0]]))
    assert (inside > 0.0).sum() == 1
    hole = bar([-99, 0, 300], [99, 0, 300], 22)
    solid = trimesh.boolean.difference([block([-19, -44.5, 0], [19, 44.5, 2400]), hole], engine="manifold")
    assert_is(made["s 1"].shape, solid)


def test_a_beam_a_boxing_a_stack_and_a_pipe(tmp_path):
    made = things(
        tmp_path,
        """
beam: {beam: {from: [0, 100], to: [3000, 100], size: [100, 225], bottom: 2100}}
slanting: {beam: {from: [0, 0], to: [3000, 4000], size: [100, 225], top: 0}}
boxing: {boxing: {from: [0, 0, 0], to: [300, 200, 2400], board: 12, open: [down, north]}}
stack: {stack: {at: [500, 400], from: -200, to: 2600, diameter: 110,
        branches: [{up: 300, to: [900, 400, 320], diameter: 43}]}}
heating: {pipe: {points: [[0, 0, 0], [1000, 0, 0], [1000, 500, 0]], diameter: 22, insulation: 13}}
cable: {pipe: {points: [[0, 0, 0], [0, 0, 900]], diameter: 8}, clearance: 25}
""",
    )
    assert made["beam"].shape.bounds() == ((0.0, 50.0, 2100.0), (3000.0, 150.0, 2325.0))
    assert made["slanting"].shape.mesh(0.1, ANY).volume == pytest.approx(5000 * 100 * 225, rel=1e-9)
    assert [n for n in made if n.startswith("boxing")] == ["boxing up", "boxing south", "boxing west", "boxing east"]
    boards = [made[n].shape.mesh(0.1, ANY).volume for n in made if n.startswith("boxing")]
    # All of it less the hollow, which is open to the north and below.
    assert sum(boards) == pytest.approx(300 * 200 * 2400 - 276 * 188 * 2388, rel=1e-12)
    assert made["stack"].shape.diameter == 110.0
    assert made["stack branch 1"].shape.start == (500.0, 400.0, 300.0)
    # At a square corner each leg reaches past it by half its outside, 22 + 26.
    assert made["heating leg 1"].shape.finish == pytest.approx((1024.0, 0.0, 0.0))
    assert made["heating leg 2"].shape.start == pytest.approx((1000.0, -24.0, 0.0))
    assert made["heating leg 2"].shape.diameter == 48.0
    assert made["cable"].clearance_mm == 25.0


def test_a_tube_through_a_hole_in_a_joist_is_clear_by_the_ring(tmp_path):
    """A hole of 28 in the middle, tube of 15: 6.5 all round. A hole 3 aside leaves 3.5."""
    path = tmp_path / "job.yaml"
    path.write_text(
        """
job: x
tube: 15
room:
  j: {joists: {first: [0, 0], along: east, row: north, spacing: 400, number: 2, length: 1000, size: [50, 200], top: 0,
      holes: [{at: 500, down: 100, diameter: 28, of: 1}, {at: 500, down: 103, diameter: 28, of: 2}]}}
runs:
  a: {points: [[500, -200, -100], [500, 700, -100]]}
"""
    )
    found = {d.against: d.distance_mm for d in story.check(story.load(path)).distances}
    assert found == pytest.approx({"j 1": 6.5, "j 2": 3.5}, abs=1e-6)


def test_a_row_of_anything(tmp_path):
    made = things(
        tmp_path,
        """
post: {cylinder: {from: [0, 0, 0], to: [0, 0, 90], diameter: 20}, repeat: {number: 3, by: [100, 10, 0]}}
plank: {box: {from: [0, 0, 0], to: [90, 90, 9]}, holes: [{at: [45, 45, 0], diameter: 20}],
        repeat: {number: 2, by: [0, 0, 50]}}
bay: {joists: {first: [0, 0], along: east, row: north, spacing: 400, number: 2, length: 900, size: [50, 200], top: 0},
      repeat: {number: 2, by: [1000, 0, 0]}}
socket: {box: {from: {bay: 1, of: bay 2, along: 100, down: 50}, to: [2000, 2000, 2000]}}
""",
    )
    assert [n for n in made if n.startswith("post")] == ["post 1", "post 2", "post 3"]
    assert made["post 3"].shape.start == (200.0, 20.0, 0.0)
    low, high = made["plank 2"].shape.bounds()
    assert (low, high) == (pytest.approx((0, 0, 50)), pytest.approx((90, 90, 59)))
    assert made["plank 2"].shape.distance((45.0, 45.0, 55.0)) == pytest.approx(10.0)
    assert [n for n in made if n.startswith("bay")] == ["bay 1 1", "bay 1 2", "bay 2 1", "bay 2 2"]
    assert made["bay 2 2"].shape.bounds()[0] == (1000.0, 375.0, -200.0)
    assert made["socket"].shape.bounds()[0] == pytest.approx((1100.0, 200.0, -50.0))
    assert any("would all stand in one place" in f for f in faults(tmp_path, "x: {repeat: {number: 2, by: [0, 0, 0]}}"))
    assert any("number is 2 or more, not 1" in f for f in faults(tmp_path, "x: {repeat: {number: 1, by: [0, 0, 1]}}"))


WALL = "wall: {from: [0, 0], to: [900, 0], facing: north, thickness: 9, height: 99, openings: ["
JOISTS = (
    "joists: {first: [0, 0], along: east, row: north, spacing: 400, number: 2, length: 900, size: [50, 200], top: 0, "
)


@pytest.mark.parametrize(
    ("term", "said"),
    [
        ("wall: {from: [0, 0], to: [0, 0], facing: east, thickness: 1, height: 1}", "the wall has no length"),
        ("wall: {from: [0, 0], to: [9, 0], facing: east, thickness: 1, height: 1}", "a wall faces to one side"),
        ("wall: {from: [0, 0], to: [9, 0], facing: north, thickness: 0, height: 1}", "0 must be a length of more"),
        (f"{WALL}{{at: 500, width: 500, height: 9}}]}}",
         "opening 1 ends 1000 along the wall, which is 900 that way"),
        (f"{WALL}{{at: 500, width: 5}}]}}",
         "an opening has 'width' and 'height'"),
        (f"{WALL}{{at: 5, up: 50, diameter: 20}}]}}",
         "this hole breaks through a side"),
        ("floor: {from: [0, 0], to: [900, 900], thickness: 9}", "'top' or with 'bottom'"),
        ("floor: {from: [0, 0], outline: [[0, 0], [9, 0], [9, 9]], top: 1, thickness: 9}", "with 'from' and 'to', or"),
        ("floor: {outline: [[0, 0], [9, 9], [9, 0], [0, 9]], top: 1, thickness: 9}", "crosses or touches itself"),
        ("joists: {first: [0, 0], along: east, row: east, spacing: 400, number: 4, length: 1, size: [50, 200], top: 0}",
         "joists that go east stand in a row to a side of that"),
        ("joists: {first: [0, 0], along: east, row: north, spacing: 40, number: 4, length: 1, size: [50, 200], top: 0}",
         "they overlap"),
        ("joists: {first: [0, 0], along: east, row: north, spacing: 400, length: 1, size: [50, 200], top: 0}",
         "'number', or how far with 'over'"),
        ("joists: {first: [0, 0], along: up, row: north, spacing: 400, number: 2, length: 1, size: [50, 200], top: 0}",
         "north, south, east, west"),
        ("joists: {first: [0, 0], along: east, row: north, spacing: 1, over: 1e6, length: 1, size: [0.5, 200], top: 0}",
         "at most 500 stand in one row"),
        (f"{JOISTS}holes: [{{at: 99, down: 50, diameter: 9, of: 3}}]}}", "hole 1 is in number 3; there are 2"),
        (f"{JOISTS}notches: [{{at: 99, width: 50, depth: 200}}]}}", "notch 1 is as deep as the joist"),
        ("boxing: {from: [0, 0, 0], to: [20, 100, 100]}", "this boxing has no room"),
        ("boxing: {from: [0, 0, 0], to: [200, 100, 100], open: left}", "not 'left'"),
        ("stack: {at: [0, 0], from: 0, to: 9, diameter: 110, branches: [{up: 10, to: [9, 9, 9], diameter: 5}]}",
         "branch 1 is 10 up a stack"),
        ("pipe: {points: [[0, 0, 0], [0, 0, 0]], diameter: 5}", "points 1 and 2 are the same"),
        ("beam: {from: [0, 0], to: [9, 0], size: [5, 5], top: 1}, holes: [{at: [0, 0, 0], diameter: 1}]",
         "what is cut out of a beam stands within it"),
        ("beam: {from: [0, 0], to: [9, 0], size: [5, 5], top: 1}, box: {from: [0, 0, 0], to: [1, 1, 1]}",
         "this has box and beam"),
    ],
)  # fmt: skip
def test_what_cannot_stand_is_said_at_its_line(tmp_path, term, said):
    lines = faults(tmp_path, f"x: {{{term}}}")
    assert any(said in line and line.startswith("5:") for line in lines), lines


def test_a_run_that_names_all_joists_is_pointed_to_one(tmp_path):
    path = tmp_path / "job.yaml"
    path.write_text(
        """
job: x
tube: 15
room:
  joists: {joists: {first: [500, 0], along: north, row: east, spacing: 400, number: 2, length: 1000,
           size: [50, 200], top: 0}}
runs:
  a: {start: [0, 50, 50], route: [{east: {past: joists, gap: 5}}]}
"""
    )
    with pytest.raises(JobError, match=r"did you mean 'joists [12]'"):
        story.read(path)


def test_terms_stand_in_the_schema():
    schema = jsonschema.Draft202012Validator(json_schema())
    good = {
        "wall": {"from": [0, 0], "to": [9, 0], "facing": "north", "thickness": 1, "height": "2.4 m"},
        "floor": {"from": [0, 0], "to": [9, 9], "top": 0, "thickness": 1, "openings": [{"at": [1, 1], "diameter": 1}]},
        "beam": {"from": [0, 0], "to": [9, 0], "size": [5, 5], "top": 1},
        "pipe": {"points": [[0, 0, 0], [9, 0, 0]], "diameter": 5},
        "boxing": {"from": [0, 0, 0], "to": [99, 99, 99], "open": ["down"]},
    }
    job = yaml.safe_load(HEAD.replace("room:\n", ""))
    for name, form in good.items():
        assert schema.is_valid({**job, "room": {"x": {name: form}}}), name
        assert not schema.is_valid({**job, "room": {"x": {name: {**form, "other": 1}}}}), name


@pytest.mark.slow
def test_a_pipe_bent_to_a_radius_is_what_trimesh_sweeps(tmp_path):
    """A quarter turn of 60 between legs of 140 and 190: cylinders and a quarter torus of trimesh."""
    pipe = "{points: [[0, 0, 0], [200, 0, 0], [200, 250, 0]], diameter: 22, insulation: 9, radius: 60}"
    found = things(tmp_path, f"p: {{pipe: {pipe}}}")["p"].shape
    assert found.reach((1.0, 0.0, 0.0)) == pytest.approx((0.0, 220.0))
    ring = trimesh.creation.torus(60.0, 20.0, 256, 128)
    ring.apply_translation([140.0, 60.0, 0.0])
    legs = [bar([0, 0, 0], [140, 0, 0], 40.0), bar([200, 60, 0], [200, 250, 0], 40.0)]
    assert found.mesh(0.005, ANY).volume == pytest.approx(ring.volume / 4 + sum(leg.volume for leg in legs), rel=1e-3)
    points = np.random.default_rng(3).uniform((-20, -30, -30), (230, 260, 30), (800, 3))
    field = obstacle_of(found).field(points)
    quarter = ring.contains(points) & (points[:, 0] >= 140.0) & (points[:, 1] <= 60.0)
    inside = quarter | legs[0].contains(points) | legs[1].contains(points)
    sure = np.abs(field) > 0.1
    assert inside.sum() > 50
    assert np.array_equal(field[sure] < 0.0, inside[sure])


@pytest.mark.parametrize(
    ("pipe", "said"),
    [
        ("points: [[0, 0, 0], [100, 0, 0], [100, 90, 0]], radius: 7", "tighter than half of 15 outside"),
        ("points: [[0, 0, 0], [100, 0, 0], [100, 90, 0]], radius: 95", "leg 2 is 90 long, and its bends take 95"),
        ("points: [[0, 0, 0], [100, 0, 0], [100, 90, 0]], radius: [30, 30]", "radii: 2, corners: 1"),
        ("points: [[0, 0, 0], [100, 0, 0], [10, 0, 0]], radius: 30", "corner 1 turns right back"),
    ],
)
def test_a_pipe_that_cannot_be_bent_so_is_refused(tmp_path, pipe, said):
    assert said in "".join(faults(tmp_path, f"p: {{pipe: {{diameter: 15, {pipe}}}}}"))


CHASES = (
    "[{from: [300, 200], to: [300, 1200], width: 60, depth: 30}, "
    "{from: [300, 1170], to: [2500, 1170], width: 40, depth: 45}]"
)


@pytest.mark.slow
@pytest.mark.parametrize(("facing", "y"), [("north", -1.0), ("south", 1.0)])
def test_chases_are_what_a_wall_less_their_blocks_is(tmp_path, facing, y):
    """An upright chase 30 deep that a level one 45 deep runs into, and a door: cut by manifold3d, from either side."""
    rounds = "{at: 1800, up: 1170, diameter: 30}, {at: 2600, up: 400, diameter: 50}"
    openings = f"[{{at: 1000, width: 762, height: 1100}}, {rounds}]"
    wall = f"from: [0, 0], to: [3000, 0], facing: {facing}, thickness: 100, height: 2400"
    made = things(tmp_path, f"w: {{wall: {{{wall}, openings: {openings}, chases: {CHASES}}}}}")
    assert set(made) == {"w", "w behind", "w behind 2"}

    def from_face(x, z, depth):
        (a, b), (c, d), (p, q) = x, z, sorted((0.0, y * depth))
        return block((a, p, c), (b, q, d))

    solid = from_face((0, 3000), (0, 2400), 100)
    cutters = [from_face((270, 330), (200, 1200), 30), from_face((300, 2500), (1150, 1190), 45)]
    cutters += [from_face((1000, 1762), (0, 1100), 100)]
    cutters += [bar([x, -200, z], [x, 200, z], d) for x, z, d in ((1800, 1170, 30), (2600, 400, 50))]
    solid = trimesh.boolean.difference([solid, *cutters], engine="manifold")
    assert sum(part.shape.mesh(0.005, ANY).volume for part in made.values()) == pytest.approx(solid.volume, rel=1e-4)
    dice = np.random.default_rng(3)
    points = np.vstack(
        [
            dice.uniform((0, min(0, y * 100), 0), (3000, max(0, y * 100), 2400), (500, 3)),
            dice.uniform((260, min(0, y * 60), 150), (2550, max(0, y * 60), 1250), (500, 3)),
        ]
    )
    fields = np.array([obstacle_of(part.shape).field(points) for part in made.values()])
    sure = np.abs(fields).min(axis=0) > 0.6
    assert np.array_equal((fields < 0.0).any(axis=0)[sure], solid.contains(points[sure]))


@pytest.mark.parametrize(
    ("chase", "said"),
    [
        ("{from: [300, 200], to: [400, 900], width: 60, depth: 30}", "a chase goes level or upright"),
        ("{from: [20, 200], to: [20, 900], width: 60, depth: 30}", "chase 1 reaches past the wall"),
        ("{from: [300, 200], to: [300, 900], width: 60, depth: 100}", "chase 1 goes through the wall"),
    ],
)
def test_chases_that_cannot_be(tmp_path, chase, said):
    wall = "from: [0, 0], to: [3000, 0], facing: north, thickness: 100, height: 2400"
    assert said in "".join(faults(tmp_path, f"w: {{wall: {{{wall}, chases: [{chase}]}}}}"))


def test_an_opening_goes_across_a_chase_that_it_is_wider_than(tmp_path):
    wall = "from: [0, 0], to: [3000, 0], facing: north, thickness: 100, height: 2400, "
    wall += "chases: [{from: [300, 200], to: [300, 900], width: 40, depth: 30}]"
    square = "{at: 270, up: 570, width: 60, height: 60}"
    (tmp_path / "job.yaml").write_text(
        f"job: x\ntube: 15\nroom:\n  w: {{wall: {{{wall}, openings: [{square}]}}}}\n"
        "runs:\n  a: {points: [[300, -300, 600], [300, 300, 600]]}\n",
        encoding="utf-8",
    )
    layers = [thing.shape for thing in story.load(tmp_path / "job.yaml").things]
    # 30 from the middle to either side of the opening, in the chase and behind it.
    assert [layer.distance((300, y, 600)) for layer, y in zip(layers, (-15, -65), strict=True)] == [30, 30]


JOISTS = "first: [0, 0], along: east, row: north, spacing: 400, number: 4, length: 3000, size: [50, 200], top: 0"


@pytest.mark.parametrize("turned", [0, 90])
def test_a_bay_is_a_void_by_its_number(turned, tmp_path):
    """By the measures of the joists: bay 2 lies between 425 and 775 of their row, as long and deep as they are."""
    (tmp_path / "floor.yaml").write_text(f"room:\n  j: {{joists: {{{JOISTS}}}}}\n", encoding="utf-8")
    room = f"  file: {{file: floor.yaml, at: [100, 0, 0], turned: {turned}}}\n"
    inside = "[[500, 500, -50], [2000, 500, -50]]" if turned == 0 else "[[-500, 500, -50], [-500, 2000, -50]]"
    room += "  bay: {void: {bay: 2, of: j, open: up}}\n"
    text = f"job: x\ntube: 15\nroom:\n{room}runs:\n  a: {{points: {inside}}}\n"
    (tmp_path / "job.yaml").write_text(text, encoding="utf-8")
    voids = [thing for thing in story.load(tmp_path / "job.yaml").things if thing.role == "void"]
    sides = {thing.name.removeprefix("bay "): thing.shape.point for thing in voids}
    # Turned a quarter about its own zero, then moved 100 east: (x, y) comes to (100 - y, x).
    low, high = ((100, 425, -200), (3100, 775)) if turned == 0 else ((-675, 0, -200), (-325, 3000))
    assert set(sides) == {"west", "south", "down", "east", "north"}
    assert (sides["west"][0], sides["south"][1], sides["down"][2]) == pytest.approx(low)
    assert (sides["east"][0], sides["north"][1]) == pytest.approx(high)


def test_a_bay_of_joists_turned_out_of_the_axes_is_a_void(tmp_path):
    """At 3 along to 4 through: each point is worked out by hand from the joists' own, along x and across y."""
    turned = degrees(atan2(3.0, 4.0))
    (tmp_path / "floor.yaml").write_text(f"room:\n  j: {{joists: {{{JOISTS}}}}}\n", encoding="utf-8")
    room = f"  file: {{file: floor.yaml, at: [100, 0, 0], turned: {turned}}}\n  bay: {{void: {{bay: 2, of: j}}}}\n"
    text = f"job: x\ntube: 15\nroom:\n{room}runs:\n  a: {{points: [[0, 0, 0], [100, 0, 0]]}}\n"
    (tmp_path / "job.yaml").write_text(text, encoding="utf-8")
    voids = [thing for thing in story.load(tmp_path / "job.yaml").things if thing.role == "void"]
    assert {thing.name for thing in voids} == {"bay up", "bay down", "bay side"}
    for x, y, z, free in (
        (1500, 600, -60, 60), (1500, 430, -100, 5), (1500, 770, -100, 5), (5, 600, -100, 5), (2990, 600, -100, 10),
        (1500, 600, -190, 10), (1500, 420, -100, -5), (1500, 780, -100, -5), (1500, 600, 7, -7), (3005, 600, -100, -5),
    ):  # fmt: skip
        p = (100 + 0.8 * x - 0.6 * y, 0.6 * x + 0.8 * y, z)
        assert min(thing.shape.distance(p) for thing in voids) == pytest.approx(free)


@pytest.mark.parametrize(
    ("void", "says"),
    [
        ("{bay: 4, of: j}", "there is no bay 4; between 4 joists there are 3"),
        ("{bay: 2, of: jj}", "there is no row of joists in the room called 'jj'; did you mean 'j'?"),
        ("{bay: 2}", "the void of a bay lacks 'of'"),
        ("{bay: 2, of: j, opn: up}", "unknown key 'opn'; did you mean 'open'?"),
        ("{of: j}", "or a 'bay' and 'of'"),
        ("{bay: 2, of: j, from: [0, 0, 0], to: [1, 1, 1]}", "or a 'bay' and 'of'"),
    ],
)
def test_faults_of_a_bay(void, says, tmp_path):
    (fault,) = faults(tmp_path, f"j: {{joists: {{{JOISTS}}}}}\nbay: {{void: {void}}}")
    assert says in fault


def test_what_is_kept_free_says_why(tmp_path):
    (fault,) = faults(tmp_path, "x: {box: {from: [0, 0, 0], to: [1, 1, 1]}, keep free: }")
    assert "say why it is kept free" in fault


def test_holes_beyond_the_end_of_joists_are_refused(tmp_path):
    (fault,) = faults(tmp_path, f"j: {{joists: {{{JOISTS}, holes: [{{at: 2990, down: 100, diameter: 30}}]}}}}")
    assert "hole 1 is at 2990, and they end at 3000" in fault


def test_a_sleeve_in_a_wall_with_a_fault_of_its_own_is_not_said_to_be_in_none(tmp_path):
    wall = "{wall: {from: [0, 0], to: [900, 0], facing: south, thickness: 100, height: 900, bottom: low}}"
    (one,) = faults(tmp_path, f"w: {wall}\npast: {{sleeve: {{in: w, at: [300, 0, 300], diameter: 40, for: [a]}}}}")
    assert "low" in one
