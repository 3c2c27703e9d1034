"""Where what an IFC model holds comes to stand: units, far-off places, north and map, there and back."""

from itertools import pairwise
from math import pi

import ifcopenshell
import ifcopenshell.geom
import ifcopenshell.util.placement
import ifcopenshell.validate
import numpy as np
import pytest
from ifc_made import MadeModel
from models.ifc_bodies import bow
from models.ifc_read import ANY, assert_same, furnished, kernel_mesh
from wide import few_or_many

from pipemodel import story
from pipemodel.models.room import Wanted, room_of

pytestmark = pytest.mark.slow


SCHEMAS, UNITS = ("IFC2X3", "IFC4", "IFC4X3"), {"mm": 1.0, "m": 1000.0, "foot": 304.8, "cm": 10.0}
FILES = [(schema, unit) for schema in SCHEMAS for unit in UNITS]
EVERY_OTHER = [one for n, one in enumerate(FILES) if (n // 4 + n) % 2 == 0]


@pytest.mark.parametrize(("schema", "unit"), few_or_many(EVERY_OTHER, FILES))
def test_units_and_schemas(schema, unit, tmp_path):
    mm = UNITS[unit]
    made = MadeModel(schema, unit)
    made.element([made.extruded(made.rectangle(2, 3, (1, 1.5)), 4)], name="block")
    _, (block,) = furnished(made.written(tmp_path / "model.ifc"), tmp_path)
    assert block.shape.bounds()[1] == pytest.approx((2.0 * mm, 3.0 * mm, 4.0 * mm), abs=1e-6)


def test_a_far_off_model_is_moved_and_says_so(tmp_path):
    """The site stands where the map has it: half a million metres east. What is moved is taken off exactly."""
    made = MadeModel(unit="m")
    made.site.ObjectPlacement.RelativePlacement = made.axes((458657.25, 5438232.5, 113.7), x=(0.8, 0.6, 0.0))
    made.element([made.extruded(made.rectangle(2, 3), 4)], axes=made.axes((10, 0, 0)))
    model, things = furnished(made.written(tmp_path / "model.ifc"), tmp_path)
    assert model.moved_mm == pytest.approx((458657250.0, 5438232500.0, 113700.0), abs=1e-6)
    assert things[0].shape.bounds()[0][2] == pytest.approx(0.0, abs=1e-6)
    assert "the model's [458657250, 5438232500, 113700] is [0, 0, 0] here" in (tmp_path / "room.yaml").read_text()
    assert_same(things, kernel_mesh(made.file, things[0].source.guid), model.moved_mm)


def test_true_north_and_map_are_said(tmp_path):
    made = MadeModel(true_north=(0.5, 0.75**0.5))
    made.element([made.extruded(made.circle(5), 4)])
    crs = made.make("IfcProjectedCRS", "EPSG:25832")
    made.make("IfcMapConversion", made.context, crs, 458657.0, 5438232.0, 113.5)
    model, _ = furnished(made.written(tmp_path / "model.ifc"), tmp_path)
    assert model.true_north_deg == pytest.approx(30.0, abs=1e-5)
    text = (tmp_path / "room.yaml").read_text()
    assert "True north lies 30 degrees clockwise of its y" in text
    # No unit of the map is given, so it is the file's own, mm (IfcProjectedCRS, MapUnit).
    assert "eastings 458.657 m, northings 5438.232 m, height 0.1135 m" in text
    assert 'map: {eastings: 458.657, northings: 5438.232, height: 0.1135, crs: "EPSG:25832"}' in text


def test_a_tube_counts_as_filled_and_is_said_to(tmp_path):
    made = MadeModel()
    made.element([made.extruded(made.circle(30, wall=2), 500)])
    _, (tube,) = furnished(made.written(tmp_path / "model.ifc"), tmp_path)
    assert tube.shape.mesh(0.001, ANY).volume == pytest.approx(pi * 900.0 * 500.0, rel=1e-3)
    assert "1 round tubes count as filled" in (tmp_path / "room.yaml").read_text()


@pytest.mark.parametrize(("unit", "of_one"), [("RADIAN", 1.0), ("DEGREE", pi / 180.0)])
@pytest.mark.parametrize("schema", ["IFC2X3", "IFC4"])
def test_units_of_angle_and_disks_swept_from_start_to_end(schema, unit, of_one, tmp_path):
    """IFC 2x3 always says from where to where; a bow goes from angle to angle in the file's own unit."""
    made = MadeModel(schema)
    (angle,) = (one for one in made.file.by_type("IfcSIUnit") if one.UnitType == "PLANEANGLEUNIT")
    if unit == "DEGREE":
        measure = made.make("IfcMeasureWithUnit", made.make("IfcPlaneAngleMeasure", pi / 180.0), angle)
        exponents = made.make("IfcDimensionalExponents", 0, 0, 0, 0, 0, 0, 0)
        angle = made.make("IfcConversionBasedUnit", exponents, "PLANEANGLEUNIT", "DEGREE", measure)
    units = made.file.by_type("IfcUnitAssignment")[0]
    units.Units = [*(one for one in units.Units if one.UnitType != "PLANEANGLEUNIT"), angle]
    quarter = bow(made, made.axes(), 200, 0, pi / 2 / of_one)
    made.element([made.make("IfcSweptDiskSolid", quarter, 25.0, None, 0.0, pi / 2 / of_one)])
    cut = bow(made, made.axes((0, 0, 900)), 200, 0, pi / 2 / of_one)
    made.element([made.make("IfcSweptDiskSolid", cut, 25.0, None, 0.0, pi / 4 / of_one)])
    _, things = furnished(made.written(tmp_path / "model.ifc"), tmp_path)
    first, second = sorted(things, key=lambda thing: thing.shape.bounds()[0][2])
    assert (first.shape.kind, second.shape.kind) == ("tube", "mesh")
    assert first.shape.line.length == pytest.approx(100.0 * pi)


def test_bodies_written_far_off_are_moved_too(tmp_path):
    """Everything stands at zero, and the corners of the bodies are map coordinates."""
    made = MadeModel(unit="m")
    x, y, z = 458657.0, 5438232.0, 113.0
    corners = [(x + 0.4 * (k & 1), y + 0.3 * (k >> 1 & 1), z + 0.2 * (k >> 2)) for k in range(8)]
    faces = [(0, 2, 3, 1), (4, 5, 7, 6), (0, 1, 5, 4), (2, 6, 7, 3), (0, 4, 6, 2), (1, 3, 7, 5)]
    made.element([made.brep(corners, faces)])
    model, (block,) = furnished(made.written(tmp_path / "model.ifc"), tmp_path)
    assert model.moved_mm == (458657000.0, 5438232000.0, 113000.0)
    assert np.array(block.shape.bounds()) == pytest.approx(np.array([(0, 0, 0), (400, 300, 200)]), abs=1e-5)


@pytest.mark.parametrize(
    ("unit", "mm", "placed"), [("mm", 1.0, ""), ("m", 1000.0, ", at: [1200, -3400, 250], turned: 30")]
)
def test_what_goes_back_to_the_model_lands_right(unit, mm, placed, tmp_path):
    """A run from corner to corner of a block of a far-off, turned model: its ports are at those corners there."""
    from pipemodel.documents.ifc.file import ifc_text

    made = MadeModel(unit=unit, true_north=(0.6, 0.8))
    there = [c * 1000.0 / mm for c in (458657.25, 5438232.5, 113.7)]
    made.site.ObjectPlacement.RelativePlacement = made.axes(there, x=(0.8, 0.6, 0.0))
    size = [v / mm for v in (3000.0, 200.0, 2400.0)]
    block = made.element([made.extruded(made.rectangle(*size[:2], (size[0] / 2, size[1] / 2)), size[2])], "IfcWall")
    crs = made.make("IfcProjectedCRS", "EPSG:25832", MapUnit=made.make("IfcSIUnit", None, "LENGTHUNIT", None, "METRE"))
    made.make("IfcMapConversion", made.context, crs, 458657.0, 5438232.0, 113.5, 0.96, 0.28, 0.9996 * mm / 1000.0)
    source = made.written(tmp_path / "model.ifc")
    room_of(source, tmp_path / "room.yaml", Wanted())
    job = tmp_path / "job.yaml"
    head = f"job: x\ntube: 15\nroom: {{file: {{file: room.yaml{placed}}}}}\n"
    job.write_text(head + "runs: {a: {points: [[0, 0, 9000], [100, 0, 9000]]}}\n", encoding="utf-8")
    (wall,) = story.load(job).things
    plan = [(*p, z) for p in wall.shape.outline for z in (wall.shape.bottom, wall.shape.top)]
    runs = "".join(f"  r{k}: {{points: [{list(a)}, {list(b)}]}}\n" for k, (a, b) in enumerate(pairwise(plan)))
    job.write_text(head + "runs:\n" + runs, encoding="utf-8")
    (tmp_path / "job.ifc").write_text(ifc_text(story.results(story.load(job))), encoding="ascii")
    back = ifcopenshell.open(str(tmp_path / "job.ifc"))
    corners = np.unique(np.round(kernel_mesh(made.file, block.GlobalId).vertices, 3), axis=0)
    ports = {}
    for port in back.by_type("IfcDistributionPort"):
        place = ifcopenshell.util.placement.get_local_placement(port.ObjectPlacement)[:3, 3]
        ports[port.GlobalId] = place
    for place in ports.values():
        assert np.linalg.norm(corners - place, axis=1).min() < 2e-3
    assert len({tuple(np.round(place)) for place in ports.values()}) == 8
    # And on the map, and to the north, it stands as the model does.
    (said,) = back.by_type("IfcMapConversion")
    assert (said.Eastings, said.Northings, said.OrthogonalHeight) == (458657.0, 5438232.0, 113.5)
    assert (said.XAxisAbscissa, said.XAxisOrdinate) == (0.96, 0.28)
    assert said.Scale == pytest.approx(0.9996e-3)
    assert said.TargetCRS.Name == "EPSG:25832"
    north = back.by_type("IfcGeometricRepresentationContext", include_subtypes=False)[0].TrueNorth
    assert north.DirectionRatios == pytest.approx((0.6, 0.8))
    logger = ifcopenshell.validate.json_logger()
    # By its rules, which take five seconds: only in one case unless `--wide`.
    ifcopenshell.validate.validate(back, logger, express_rules=few_or_many(bool(placed), True))
    assert logger.statements == []
