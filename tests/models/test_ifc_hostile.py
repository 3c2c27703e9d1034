"""Models that are meant to hurt, and places on maps: read in this process, held against the library's own sums."""

import json
import random
from io import BytesIO
from math import cos, pi, sin

import ifcopenshell
import numpy as np
import pytest
import trimesh
from ifc_made import MadeModel
from ifcopenshell.util import geolocation
from models.ifc_read import furnished

from pipemodel.documents.ifc.entities import Entities
from pipemodel.job.model_place import ModelPlace, OnMap
from pipemodel.messages.values import from_data
from pipemodel.models.ifc.reading import answer


def read(path):
    """Return what is said of a model, and the corners and faces of its surfaces."""
    request = {"path": str(path), "classes": [], "storeys": []}
    stream = BytesIO(answer(json.dumps(request).encode()))
    return json.loads(stream.readline()), np.load(stream), np.load(stream)


def block(m, name, size=10.0, at=(0, 0, 0)):
    return m.element([m.extruded(m.rectangle(size, size), size)], name=name, axes=m.axes(at))


@pytest.mark.slow
def test_bodies_that_would_never_end_cost_their_element_only(tmp_path):
    m = MadeModel()
    block(m, "good")
    # A body made of itself, by way of another.
    one = m.make("IfcBooleanResult", "UNION", m.extruded(m.rectangle(5, 5), 5), m.extruded(m.rectangle(4, 4), 5))
    two = m.make("IfcBooleanResult", "UNION", one, m.extruded(m.rectangle(3, 3), 5))
    one.FirstOperand = two
    m.element([one], name="itself")
    # Twice the one before, forty times over: 2^40 bodies, were all of them made.
    body = m.extruded(m.rectangle(5, 5), 5)
    for _ in range(40):
        body = m.make("IfcBooleanResult", "UNION", body, body)
    m.element([body], name="doubled")
    # The same by mapping: 10^12.
    items = [m.extruded(m.rectangle(1, 1), 1)]
    for k in range(12):
        items = [m.mapped(items, at=(j * 10.0**k, 0, 0)) for j in range(10)]
    m.element(items, name="mapped")
    line = m.make(
        "IfcCompositeCurve", [m.make("IfcCompositeCurveSegment", "CONTINUOUS", True, m.polyline([(0, 0, 0)]))]
    )
    line.Segments[0].ParentCurve = line
    m.element([m.make("IfcSweptDiskSolid", line, 5.0, None, None, None)], "IfcPipeSegment", name="line")
    m.element([m.mapped([m.extruded(m.rectangle(5, 5), 5)], scales=0.0)], name="no scale")
    m.element([m.mapped([m.extruded(m.rectangle(5, 5), 5)], scales=(1.0, 0.0, 1.0))], name="flat")
    said, _, _ = read(m.written(tmp_path / "model.ifc"))
    assert [one["name"] for one in said["elements"]] == ["good"]
    why = {one["name"]: str(from_data(one["why"])) for one in said["left_out"]}
    assert why.pop("no scale") == why.pop("flat") == "it is mapped at a scale of 0"
    assert why["itself"] == "a part of it is made of itself"
    assert why["doubled"] == why["mapped"] == "it has more than 20000 parts"
    assert set(why) == {"itself", "doubled", "mapped", "line"}


@pytest.mark.parametrize("figure", ["NaN", "*"])
def test_a_place_with_a_figure_that_is_none_is_not_taken_for_another(figure, tmp_path):
    """The library passes it over, and the figures after it move up: the element would stand elsewhere."""
    m = MadeModel()
    block(m, "good")
    block(m, "bad", at=(77.5, 40, 50))
    path = m.written(tmp_path / "model.ifc")
    path.write_text(path.read_text().replace("77.5", figure))
    said, _, _ = read(path)
    assert [one["name"] for one in said["elements"]] == ["good"]
    assert str(from_data(said["left_out"][0]["why"])) == "a coordinate of it is no number"


def test_an_outline_of_more_corners_than_a_room_takes_is_a_surface(tmp_path):
    """A ring of 1,600 corners: its volume by the formula of regular polygons."""
    m = MadeModel()
    rings = ((1, 900, 1100), (-1, 500, 500))
    outer, inner = ([(r * cos(2 * pi * k / n), r * sin(2 * pi * k / n)) for k in range(n)] for _, r, n in rings)
    m.element([m.extruded(m.outline(outer, [inner]), 70)], axes=m.axes((1000, 2000, 0)))
    said, vertices, faces = read(m.written(tmp_path / "model.ifc"))
    ((part,),) = (one["parts"] for one in said["elements"])
    assert part["closed"]
    mesh = trimesh.Trimesh(vertices, faces)
    area = sum(s * n / 2 * r * r * sin(2 * pi / n) for s, r, n in rings)
    assert mesh.is_watertight
    assert mesh.volume == pytest.approx(70 * area)
    assert mesh.bounds == pytest.approx(np.array([(100, 1100, 0), (1900, 2900, 70)]))


MAPS = {
    "conversion": ("IFC4", "IfcMapConversion", (458657.0, 5438232.0, 113.5, 0.96, 0.28, None)),
    "scaled": ("IFC4X3_ADD2", "IfcMapConversionScaled", (4586.0, 5438.0, 113.5, -0.6, 0.8, None, *[0.9996] * 3)),
    "axis left out": ("IFC4", "IfcMapConversion", (458657.0, 5438232.0, 113.5, None, None, None)),
}  # fmt: skip


@pytest.mark.parametrize("unit", ["mm", "m", "foot"])
@pytest.mark.parametrize("case", MAPS)
def test_what_is_written_lands_on_the_map_where_the_model_has_it(case, unit, tmp_path):
    """Points of a model by the library, by its map and its context's axes; and of ours, whose context has none."""
    schema, kind, values = MAPS[case]
    mm = {"mm": 1.0, "m": 1000.0, "foot": 304.8}[unit]
    m = MadeModel(schema, unit)
    block(m, "good")
    metre = m.make("IfcSIUnit", None, "LENGTHUNIT", None, "METRE")
    m.make(kind, m.context, m.make("IfcProjectedCRS", "EPSG:25832", MapUnit=metre), *values).Scale = mm / 1000.0
    m.context.WorldCoordinateSystem = m.axes((300, -70, 12), x=(0.8, 0.6, 0.0))
    said, _, _ = read(m.written(tmp_path / "model.ifc"))
    assert said["map"].pop("even")
    ours = Entities(ifcopenshell.file(schema="IFC4"), "x", ModelPlace(on_map=OnMap(**said["map"])))
    ours.project()
    dice = random.Random(1)
    for _ in range(9):
        p = [dice.uniform(-1e4, 1e4) for _ in range(3)]
        there = geolocation.auto_xyz2enh(m.file, *p)
        here = geolocation.auto_xyz2enh(ours.file, *(c * mm for c in p))
        assert here == pytest.approx(there, abs=1e-6)


def test_a_map_that_stretches_unevenly_is_said(tmp_path):
    m = MadeModel("IFC4X3_ADD2", "m")
    block(m, "good")
    crs = m.make("IfcProjectedCRS", "EPSG:25832")
    m.make("IfcMapConversionScaled", m.context, crs, 1.0, 2.0, 3.0, 1.0, 0.0, 1.0, 0.9996, 0.9996, 1.0)
    said, _, _ = read(m.written(tmp_path / "model.ifc"))
    assert not said["map"]["even"]
    assert said["map"]["scale"] == pytest.approx(0.9996)


@pytest.mark.slow
@pytest.mark.parametrize(
    ("eastings", "scale", "said"),
    [(1.0, 1000.0, "takes 1 m of the model for 1000000 m"), (1.0, 0.001, None), (1.0, 0.0009996, None),
     (1.0, -5.0, "a map was left out"), (1.0, 2000.0, "a map was left out"), (1e20, 0.001, "a map was left out")],
)  # fmt: skip
def test_a_map_that_cannot_be_is_said_and_the_room_file_can_be_read(eastings, scale, said, tmp_path):
    m = MadeModel()
    block(m, "good")
    crs = m.make("IfcProjectedCRS", "EPSG:25832")
    crs.MapUnit = m.make("IfcSIUnit", None, "LENGTHUNIT", None, "METRE")
    m.make("IfcMapConversion", m.context, crs, eastings, 2.0, 3.0, 1.0, 0.0, scale)
    _, things = furnished(m.written(tmp_path / "model.ifc"), tmp_path)
    assert [thing.name for thing in things] == ["good"]
    text = (tmp_path / "room.yaml").read_text(encoding="utf-8")
    assert ("a map was left out" in text, "takes 1 m" in text) == (said == "a map was left out", "1 m" in (said or ""))
    assert said is None or said in text


def test_a_rigid_move_to_the_map(tmp_path):
    m = MadeModel("IFC4X3_ADD2", "m")
    block(m, "good")
    crs = m.make("IfcProjectedCRS", "EPSG:25832")
    lengths = [m.make("IfcLengthMeasure", v) for v in (458657.0, 5438232.0)]
    m.make("IfcRigidOperation", m.context, crs, *lengths, 113.5)
    said, _, _ = read(m.written(tmp_path / "model.ifc"))
    keys = ("eastings_m", "northings_m", "height_m", "x_axis", "scale")
    assert [said["map"][key] for key in keys] == [458657.0, 5438232.0, 113.5, [1.0, 0.0], 1.0]
