"""The heights of a model's storeys in its room file, against points of its elements and sums made here."""

import random

import pytest
import yaml
from command_line import run
from ifc_made import MadeModel

from pipemodel import story
from pipemodel.models.ifc.levels import storey_levels
from pipemodel.models.ifc.placing import Placements
from pipemodel.models.room_text import levels_of
from pipemodel.models.values import Model

UNITS = {"mm": 1.0, "m": 1000.0, "cm": 10.0, "foot": 304.8}


def made(tmp_path, storeys, unit="mm", site=None, elevations=None, schema="IFC4"):
    """A model with its two storeys so high, in mm above its building; a small block stands on each."""
    m = MadeModel(schema, unit)
    mm = UNITS[unit]
    if site is not None:
        m.site.ObjectPlacement = m.place(m.axes(tuple(v / mm for v in site)))
        m.building.ObjectPlacement = m.place(under=m.site)
    for i, (storey, (name, z)) in enumerate(zip(m.storeys, storeys, strict=True)):
        storey.Name = name
        storey.ObjectPlacement = m.place(m.axes((0, 0, z / mm)), m.building)
        if elevations is not None:
            storey.Elevation = elevations[i] / mm
        at = m.axes((1000.0 / mm, 0, 0))
        m.element([m.extruded(m.rectangle(100 / mm, 100 / mm), 50 / mm)], axes=at, name=f"block {i}", storey=i)
    path = m.written(tmp_path / "house.ifc")
    said = run("room", path, "--out", tmp_path / "room.yaml")
    assert said.code == 0, said.err
    return yaml.safe_load((tmp_path / "room.yaml").read_text())


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(4))
def test_a_level_is_where_what_is_placed_on_its_storey_has_its_foot(seed, tmp_path):
    """The block on each storey is placed at that storey's zero: its foot in the room file is the level."""
    dice = random.Random(seed)
    unit, schema = dice.choice(list(UNITS)), ["IFC2X3", "IFC4", "IFC4X3_ADD2", "IFC4"][seed]
    near = [dice.uniform(-9000.0, 9000.0) for _ in range(3)]
    site = [None, near, [6e8, 5e9, 4e5], [2e6, 0.0, 1.5e6]][seed]
    heights = dice.uniform(-3500.0, 0.0), dice.uniform(500.0, 9000.0)
    file = made(tmp_path, zip(("Ground", "First floor"), heights, strict=True), unit, site, schema=schema)
    assert list(file["levels"]) == ["Ground", "First floor"]
    for i, level in enumerate(file["levels"].values()):
        box = file["room"][f"block {i}"]["box"]
        assert min(box["from"][2], box["to"][2]) == pytest.approx(level, abs=1e-3)
    # Whether it was moved or not: in the model's own axes it is what was written, as a sum.
    moved = file["model"].get("moved", [0.0, 0.0, 0.0])[2]
    base = 0.0 if site is None else site[2]
    assert [z + moved - base for z in file["levels"].values()] == pytest.approx(heights, abs=1e-2)


@pytest.mark.slow
def test_to_level_in_a_job_ends_at_the_storey(tmp_path):
    made(tmp_path, (("Ground", 0.0), ("First floor: ${1}", 2850.0)), "m")
    job = (
        "job: x\ntube: 15\nroom: {file: room.yaml}\nruns:\n  r:\n    start: [0, 0, 300]\n    route:\n"
        "    - east: 400\n    - up: {to level: 'First floor: $ {1}'}\n"
    )
    (tmp_path / "job.yaml").write_text(job)
    job = story.load(tmp_path / "job.yaml")
    assert job.runs[0].route.corners[-1] == pytest.approx((400.0, 0.0, 2850.0))


class _Model:
    """Storeys as ifcopenshell gives them, without a file."""

    def __init__(self, *storeys):
        self.storeys = storeys

    def by_type(self, kind):
        assert kind == "IfcBuildingStorey"
        return self.storeys


def storeys_of(*rows):
    m = MadeModel()
    return [
        m.make(
            "IfcBuildingStorey",
            m.guid(),
            Name=name,
            Elevation=elevation,
            ObjectPlacement=None if z is None else m.place(m.axes((0, 0, z))),
        )
        for name, z, elevation in rows
    ], m


@pytest.mark.parametrize(
    ("rows", "levels"),
    [
        # The placement counts, whatever the elevation says: elements stand on the placement.
        ([("a", 0.0, 100.0), ("b", 2500.0, 2600.0)], [("a", 0.0), ("b", 2500.0)]),
        # All placed at one height: the elevations tell them apart.
        ([("a", 50.0, 0.0), ("b", 50.0, 2600.0)], [("a", 50.0), ("b", 2650.0)]),
        ([("a", 0.0, None), ("b", 0.0, 2600.0)], [("a", 0.0), ("b", 0.0)]),
        ([("a", None, 300.0), ("b", 2500.0, 2500.0)], [("a", 300.0), ("b", 2500.0)]),
        ([("a", None, None), ("", 1.0, 1.0), (None, 2.0, 2.0), (" c ", 3.0, None)], [("c", 3.0)]),
        ([("a", 120.0, 0.0)], [("a", 120.0)]),
        ([], []),
    ],
)
def test_placement_and_elevation(rows, levels):
    storeys, _kept = storeys_of(*rows)
    assert storey_levels(_Model(*storeys), Placements(), 1.0, 0.0) == levels
    less = storey_levels(_Model(*storeys), Placements(), 1000.0, 500.0)
    assert less == [(name, z * 1000.0 - 500.0) for name, z in levels]


def test_names_that_to_level_can_have():
    model = Model("IFC4", (), levels=(("OG", 0.0), ("OG", 2700.0), ("OG", 0.0), ("x" * 200, 1.0), ("a\n${b}", 2.0)))
    assert levels_of(model) == {"OG": 0.0, "OG (2)": 2700.0, "x" * 64: 1.0, "a $ {b}": 2.0}
    assert levels_of(Model("IFC4", (), levels=(("far", 1e12),))) == {}
    many = tuple((f"floor {n}", float(n)) for n in range(3000))
    assert len(levels_of(Model("IFC4", (), levels=many))) == 200
