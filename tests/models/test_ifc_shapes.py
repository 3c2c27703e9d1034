"""What an IFC model becomes, held against ifcopenshell's own geometry kernel: volume, bounds, points in and out.

The kernel's triangles are finer here than any that the program asks for, and trimesh tells which points lie in them.
"""

import numpy as np
import pytest
from ifc_made import MadeModel
from models.ifc_bodies import CASES
from models.ifc_read import ANY, assert_same, furnished, kernel_mesh
from wide import few_or_many

pytestmark = pytest.mark.slow

CORNERS = [(0.0, 0.0, 0.0), (700.0, 0.0, 0.0), (700.0, 500.0, 0.0), (700.0, 500.0, -400.0)]
BEND = 90.0


@pytest.fixture(scope="module")
def all_cases(tmp_path_factory):
    """Every case in one model, which is read once: the file, and of each case its kinds of shapes and its things."""
    folder, made = tmp_path_factory.mktemp("cases"), MadeModel()
    kinds, owner = {}, {}
    for case in CASES:
        before = set(owner)
        kinds[case] = case(made)
        owner.update((one.GlobalId, case) for one in made.file.by_type("IfcElement") if one.GlobalId not in before)
    model, things = furnished(made.written(folder / "model.ifc"), folder)
    assert not model.left_out
    return made.file, {
        case: (kinds[case], [thing for thing in things if owner[thing.source.guid] is case]) for case in CASES
    }


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.__name__.replace("_", " "))
def test_each_body_by_the_librarys_own_kernel(case, all_cases):
    file, cases = all_cases
    kinds, things = cases[case]
    assert {thing.shape.kind for thing in things} <= kinds
    assert_same(things, kernel_mesh(file, things[0].source.guid))


def test_a_disk_along_corners_rounded_off_by_one_radius(tmp_path):
    """The kernel makes none of it: against the disk along lines and arcs, whose corners stand square to each other."""
    m = MadeModel()
    tube = m.element([m.make("IfcSweptDiskSolidPolygonal", m.polyline(CORNERS, closed=False), 20.0, FilletRadius=BEND)])
    off = BEND * (1 - 0.5**0.5)
    spots = [(0, 0, 0), (700 - BEND, 0, 0), (700 - off, off, 0), (700, BEND, 0), (700, 500 - BEND, 0)]
    spots += [(700, 500 - off, -off), (700, 500, -BEND), (700, 500, -400)]
    points = m.make("IfcCartesianPointList3D", [list(map(float, p)) for p in spots])
    kinds = ("Line", (1, 2)), ("Arc", (2, 3, 4)), ("Line", (4, 5)), ("Arc", (5, 6, 7)), ("Line", (7, 8))
    parts = [m.make(f"Ifc{kind}Index", numbers) for kind, numbers in kinds]
    like = m.element([m.make("IfcSweptDiskSolid", m.make("IfcIndexedPolyCurve", points, parts), 20.0)])
    model, things = furnished(m.written(tmp_path / "model.ifc"), tmp_path)
    assert not model.left_out
    own = [thing for thing in things if thing.source.guid == tube.GlobalId]
    assert [thing.shape.kind for thing in own] == ["tube"]
    assert_same(own, kernel_mesh(m.file, like.GlobalId))


def test_bends_with_no_room_for_them_and_corners_without_a_radius(tmp_path):
    """450 between two bends of 300 is too short for either reading; mitred corners are the kernel's to cut."""
    m = MadeModel()
    for radius in (300.0, None):
        line = m.polyline(CORNERS, closed=False)
        m.element([m.make("IfcSweptDiskSolidPolygonal", line, 20.0, FilletRadius=radius)], name=str(radius))
    model, (mitred,) = furnished(m.written(tmp_path / "model.ifc"), tmp_path)
    assert [one.name for one in model.left_out] == ["300.0"]
    assert mitred.shape.kind == "mesh"
    assert_same([mitred], kernel_mesh(m.file, mitred.source.guid))


def test_solids_of_constructive_geometry(tmp_path):
    """A block and a cylinder, which the kernel makes by themselves only as outlines carried up."""
    m = MadeModel()
    axes = {"axes": m.axes((10, 20, 30), z=(0, 0.6, 0.8), x=(1, 0, 0))}
    made = {
        "box": (m.make("IfcBlock", m.axes(), 300.0, 200.0, 100.0), m.extruded(m.rectangle(300, 200, (150, 100)), 100)),
        "cylinder": (m.make("IfcRightCircularCylinder", m.axes(), 500.0, 80.0), m.extruded(m.circle(80), 500)),
    }
    pairs = {}
    for kind, (solid, like) in made.items():
        place = {} if kind == "box" else axes
        pairs[kind] = (
            m.element([m.make("IfcCsgSolid", solid)], **place).GlobalId,
            m.element([like], **place).GlobalId,
        )
    model, things = furnished(m.written(tmp_path / "model.ifc"), tmp_path)
    assert not model.left_out
    for kind, (guid, like) in pairs.items():
        own = [thing for thing in things if thing.source.guid == guid]
        assert [thing.shape.kind for thing in own] == [kind]
        assert_same(own, kernel_mesh(m.file, like))


def test_a_cone_of_constructive_geometry(tmp_path):
    """Where its base and its point are by hand, and the block that holds a disc and a point; the kernel makes none."""
    m = MadeModel()
    axes = m.axes((10, 20, 30), z=(0, 0.6, 0.8), x=(1, 0, 0))
    cone = m.make("IfcCsgSolid", m.make("IfcRightCircularCone", m.axes((0, 0, 100)), 500.0, 80.0))
    m.element([cone], axes=axes)
    model, (thing,) = furnished(m.written(tmp_path / "model.ifc"), tmp_path)
    assert not model.left_out
    assert thing.shape.kind == "cone"
    assert np.allclose((thing.shape.start, thing.shape.finish), [[10.0, 80.0, 110.0], [10.0, 380.0, 510.0]])
    assert thing.shape.diameters == (160.0, 0.0)
    assert np.allclose(thing.shape.bounds(), [[-70.0, 16.0, 62.0], [90.0, 380.0, 510.0]])


@pytest.mark.parametrize("unit", ["mm", "foot"])
def test_what_the_kernel_cannot_make_is_not_lost_beside_what_it_can(unit, tmp_path):
    """It makes a leaning bar and leaves out a cylinder beside it; both are there, each where it is by hand."""
    m = MadeModel(unit=unit)
    mm = {"mm": 1.0, "foot": 304.8}[unit]
    leaning = m.extruded(m.rectangle(200 / mm, 100 / mm), 300 / mm, way=(0.6, 0.0, 0.8))
    round_bar = m.make("IfcRightCircularCylinder", m.axes((0, 0, 1000 / mm)), 500 / mm, 80 / mm)
    axes = m.axes((100 / mm, 20 / mm, 0), x=(0, 1, 0))
    m.element([leaning, m.make("IfcCsgSolid", round_bar)], axes=axes)
    model, (bar, surface) = furnished(m.written(tmp_path / "model.ifc"), tmp_path)
    assert not model.left_out
    assert np.allclose(bar.shape.bounds(), [[20, -60, 1000], [180, 100, 1500]], atol=1e-4)
    assert bar.shape.kind == "cylinder"
    # Along the bar's own x it goes 0.6 of 300, which is north; up it goes 0.8 of 300.
    assert np.allclose(surface.shape.bounds(), [[50, -80, 0], [150, 300, 240]], atol=0.01)


def test_a_body_of_which_the_kernel_cannot_make_all_and_that_has_an_opening_is_left_out(tmp_path):
    m = MadeModel()
    round_bar = m.make("IfcCsgSolid", m.make("IfcRightCircularCylinder", m.axes((0, 0, 1000)), 500.0, 80.0))
    host = m.element([m.extruded(m.rectangle(200, 100), 300, way=(0.6, 0, 0.8)), round_bar], name="both")
    m.opening(host, [m.extruded(m.rectangle(20, 300), 300)])
    model, things = furnished(m.written(tmp_path / "model.ifc"), tmp_path)
    assert not things
    assert [str(one.why) for one in model.left_out] == ["a part of its body cannot be made"]


@pytest.mark.parametrize("deep", [600, 170])
def test_an_opening_of_a_wall_goes_through_its_layers(deep, tmp_path):
    """Two layers of 100 and 150, the opening that of the whole; one of 170 is a recess in the second."""
    m = MadeModel()
    wall = m.element(None, "IfcWall")
    layers = [
        m.element(
            [m.extruded(m.rectangle(3000, thick, (1500, y + thick / 2)), 2400)], "IfcBuildingElementPart", under=wall
        )
        for y, thick in ((0, 100), (100, 150))
    ]
    m.make("IfcRelAggregates", m.guid(), RelatingObject=wall, RelatedObjects=layers)
    m.opening(wall, [m.extruded(m.rectangle(900, deep, (1500, deep / 2 - 10)), 1200)], m.axes((0, 0, 800)))
    model, things = furnished(m.written(tmp_path / "model.ifc"), tmp_path)
    assert not model.left_out
    kinds = [thing.shape.kind for thing in things]
    assert kinds == ["plate", "plate" if deep == 600 else "mesh"]
    for thing in things:
        assert thing.shape.closed
        assert_same([thing], kernel_mesh(m.file, thing.source.guid))


@pytest.mark.parametrize(
    "noise_mm", few_or_many([0.0, 1e-8, 1e-5], [0.0, 1e-10, 1e-8, 3e-7, 1e-6, 2e-6, 1e-5, 1e-4, 1e-3])
)
def test_openings_that_end_on_a_side_or_on_each_other_leave_no_slivers(noise_mm, tmp_path):
    """A door to the floor, a window beside it and one up to the top, as near as a file in metres has them."""
    rng = np.random.default_rng(4)
    m = MadeModel(unit="m")
    volumes = {}
    for number, ways in enumerate([{}, {"x": (0.8, 0.6, 0)}, {"z": (0.3, -0.4, 0.9), "x": (1, 0.2, -0.1)}]):
        wall = m.element(
            [m.extruded(m.rectangle(3, 0.2, (1.5, 0)), 2.4)], "IfcWall", axes=m.axes((7.1, number, 0.3), **ways)
        )
        off = rng.uniform(-noise_mm, noise_mm, 6) / 1000
        for x, z, wide, tall in (
            (0.9 + off[0], off[1], 0.6, 1.1),
            (1.4 + off[2], 0.8 + off[3], 0.4, 0.3),
            (2.75 + off[4], 1.8 + off[5], 0.5, 0.6),
        ):
            m.opening(wall, [m.extruded(m.rectangle(wide, 0.4, (x, 0)), tall)], m.axes((0, 0, z)))
        volumes[wall.GlobalId] = (3 * 2.4 - 0.6 * 1.1 - 0.4 * 0.3 - 0.5 * 0.6) * 0.2 * 1e9
    model, things = furnished(m.written(tmp_path / "model.ifc"), tmp_path)
    assert not model.left_out
    found = dict.fromkeys(volumes, 0.0)
    for thing in things:
        assert thing.shape.kind == "plate"
        found[thing.source.guid] += thing.shape.mesh(0.01, ANY).volume
    # Two sides of at most 3 m by 0.2 m moved by the noise and by what counts as none.
    assert found == pytest.approx(volumes, abs=1.0 + 6.0 * 3000.0 * 200.0 * (noise_mm + 1e-6))


def test_a_projection_of_a_wall_is_a_thing_on_the_storey_of_its_wall(tmp_path):
    """A pier of 300 on a wall of 100 (IfcRelProjectsElement): a tube along the wall would meet it."""
    m = MadeModel()
    wall = m.element([m.extruded(m.rectangle(2000, 100), 2400)], "IfcWall")
    solid = m.extruded(m.rectangle(300, 300, (0, 200)), 2400)
    pier = m.make(
        "IfcProjectionElement", m.guid(), Name="pier", ObjectPlacement=m.place(), Representation=m.body([solid])
    )
    m.make("IfcRelProjectsElement", m.guid(), RelatingElement=wall, RelatedFeatureElement=pier)
    model, things = furnished(m.written(tmp_path / "model.ifc"), tmp_path)
    assert not model.left_out
    (thing,) = [one for one in things if one.name == "pier"]
    assert_same([thing], kernel_mesh(m.file, pier.GlobalId))
    assert thing.source.storey
