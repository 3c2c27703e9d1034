"""`pipemodel room`: what is asked for, what is left out and why, the same bytes again, and hostile models."""

import json

import pytest
import trimesh
import yaml
from command_line import run
from ifc_made import MadeModel

from pipemodel import story
from pipemodel.models import read as reading
from pipemodel.processes.child import ChildFailedError

pytestmark = pytest.mark.slow

WEDGE = [(0, 0, 0), (500, 0, 0), (500, 300, 0), (0, 300, 0), (0, 0, 200), (0, 300, 200)]
WEDGE_FACES = [(0, 3, 2, 1), (0, 1, 4), (3, 5, 2), (0, 4, 5, 3), (1, 2, 5, 4)]


def block(m, x, **about):
    return m.element([m.extruded(m.rectangle(100, 100), 50)], axes=m.axes((x, 0, 0)), **about)


@pytest.fixture(scope="module")
def house(tmp_path_factory):
    """Walls on two storeys, a wedge, a duct in a system, and what cannot be read."""
    m = MadeModel()
    block(m, 0, kind="IfcWall", name="north wall")
    block(m, 1000, kind="IfcWall", name="north wall")
    block(m, 2000, kind="IfcColumn", name="file", storey=1)
    duct = m.element([m.extruded(m.circle(50), 800)], "IfcDuctSegment", "duct: ${no} \n'1'", m.axes((0, 5000, 0)))
    m.system("Supply air", [duct])
    m.element([m.brep(WEDGE, WEDGE_FACES)], "IfcFurniture", "wedge", m.axes((0, 700, 0)))
    m.element([], "IfcRailing", "railing")
    m.element([m.extruded(m.rectangle(100, 100), 0)], "IfcSlab", "thin")
    cross = [(0, 0), (100, 100), (100, 0), (0, 100)]
    m.element([m.extruded(m.outline(cross), 50)], "IfcSlab", "crossed")
    return m.written(tmp_path_factory.mktemp("house") / "house.ifc")


def made(house, out, *more):
    said = run("room", house, "--out", out, *more)
    assert said.code == 0, said.err
    return yaml.safe_load(out.read_text())["room"]


def test_names_classes_storeys_systems_and_guids_come_along(house, tmp_path):
    things = made(house, tmp_path / "room.yaml")
    assert set(things) >= {"north wall (1)", "north wall (2)", "file (1)", "duct: $ {no} '1'", "wedge"}
    source = things["duct: $ {no} '1'"]["source"]
    assert (source["class"], source["storey"], source["systems"]) == ("IfcDuctSegment", "Ground", ["Supply air"])
    assert source["name"] == "duct: $ {no} \n'1'"
    assert things["north wall (1)"]["source"]["guid"] < things["north wall (2)"]["source"]["guid"]
    assert things["file (1)"]["source"]["storey"] == "First"


KINDS = [
    ("IfcWallStandardCase", None, "wall"), ("IfcSlab", "FLOOR", "floor"), ("IfcSlab", "ROOF", None),
    ("IfcBeam", "JOIST", "joist"), ("IfcBeam", None, "beam"),
    ("IfcMember", "RAFTER", "rafter"), ("IfcMember", None, None),
    ("IfcCableCarrierSegment", None, "cable"), ("IfcOutlet", "POWEROUTLET", "socket"),
    ("IfcOutlet", "DATAOUTLET", None),
    ("IfcFlowMeter", "GASMETER", None), ("IfcFlowMeter", "ENERGYMETER", "meter"), ("IfcFurniture", None, None),
    ("IfcWall", "ELEMENTEDWALL", "partition"), ("IfcWallElementedCase", None, "partition"),
    ("IfcWall", "MOVABLE", "partition"), ("IfcWall", "PARTITIONING", "wall"), ("IfcProxy", None, None),
]  # fmt: skip


def test_things_say_what_they_are_to_the_rules(tmp_path):
    m = MadeModel()
    for n, (kind, predefined, _) in enumerate(KINDS):
        one = block(m, 200 * n, kind=kind, name=f"{kind} {predefined}")
        if predefined is not None:
            one.PredefinedType = predefined
    things = made(m.written(tmp_path / "model.ifc"), tmp_path / "room.yaml")
    assert {name: thing.get("is") for name, thing in things.items()} == {f"{k} {p}": said for k, p, said in KINDS}
    # What runs pass through is held against the rules: a sleeve is asked for in the wall, 50 high about 0, 0.
    runs = "{r: {points: [[0, 0, -300], [0, 0, 400]]}}"
    job = f"{{job: x, tube: 15, rules: [NBS 670], room: {{file: room.yaml}}, runs: {runs}}}"
    (tmp_path / "job.yaml").write_text(job, encoding="utf-8")
    report = story.check(story.load(tmp_path / "job.yaml"))
    assert [f.against for f in report.findings if f.code == "R108"] == ["IfcWallStandardCase None"]


def test_a_wall_of_several_bodies_is_none_to_the_rules_and_that_is_said(tmp_path):
    m = MadeModel()
    layers = [m.extruded(m.rectangle(12, 1000, at=(x, 0)), 1000) for x in (0.0, 12.0)]
    m.element(layers, "IfcWall", "plastered")
    m.element(list(layers), "IfcOutlet", "socket")
    things = made(m.written(tmp_path / "model.ifc"), tmp_path / "room.yaml")
    assert {name: thing.get("is") for name, thing in things.items()} == {
        "plastered, part 1": None, "plastered, part 2": None, "socket, part 1": "socket", "socket, part 2": "socket",
    }  # fmt: skip
    said = [line for line in (tmp_path / "room.yaml").read_text().splitlines() if "several bodies" in line]
    assert len(said) == 1
    assert "plastered" in said[0]


def test_in_ifc_2x3_the_type_says_what_a_terminal_is(tmp_path):
    m = MadeModel("IFC2X3")
    one = block(m, 0, kind="IfcFlowTerminal", name="socket")
    type_ = m.make("IfcOutletType", m.guid(), Name="outlet", PredefinedType="POWEROUTLET")
    m.make("IfcRelDefinesByType", m.guid(), RelatedObjects=[one], RelatingType=type_)
    block(m, 500, kind="IfcFlowTerminal", name="basin")
    things = made(m.written(tmp_path / "model.ifc"), tmp_path / "room.yaml")
    assert {name: thing.get("is") for name, thing in things.items()} == {"socket": "socket", "basin": None}


def test_what_was_left_out_is_listed_with_why(house, tmp_path):
    made(house, tmp_path / "room.yaml")
    lines = (tmp_path / "room.yaml").read_text().splitlines()
    why = {line.split()[1:3][1]: line.split(": ", 1)[1] for line in lines if line.startswith("#   Ifc")}
    assert why["railing"] == "it has no body"
    assert why["thin"] == "it has no thickness"
    assert why["crossed"] == "its outline crosses itself"
    assert set(why) == {"railing", "thin", "crossed"}


def test_the_surfaces_stand_beside_it_as_trimesh_reads_them(house, tmp_path):
    """glTF has metres with y up; volume by hand: a wedge of 500 x 300 x 200 / 2."""
    made(house, tmp_path / "room.yaml")
    scene = trimesh.load(tmp_path / "room.glb")
    wedge = scene.geometry["wedge"]
    assert wedge.is_watertight
    assert wedge.volume * 1e9 == pytest.approx(500 * 300 * 200 / 2, rel=1e-6)
    assert scene.bounds * 1000 == pytest.approx(scene.bounds * 1000)
    low, high = (wedge.copy().apply_transform(scene.graph["wedge"][0]).bounds * 1000).tolist()
    assert low == pytest.approx([0, 0, -1000], abs=1e-3)
    assert high == pytest.approx([500, 200, -700], abs=1e-3)


def test_classes_and_storeys(house, tmp_path):
    out = tmp_path / "room.yaml"
    assert set(made(house, out, "--class", "IfcWall")) == {"north wall (1)", "north wall (2)"}
    assert set(made(house, out, "--class", "IfcWall,ifccolumn", "--storey", "FIRST")) == {"file (1)"}
    assert set(made(house, out, "--class", "IfcDistributionElement")) == {"duct: $ {no} '1'"}
    assert not (tmp_path / "room.glb").exists()


@pytest.mark.parametrize(
    ("options", "said"),
    [
        (["--class", "IfcWal"], "there is no class 'IfcWal' in IFC4; did you mean 'IfcWall'?"),
        (["--storey", "Attic"], "there is no storey 'Attic'; the model has 'Ground', 'First'"),
        (["--within", "200"], "--near JOB.yaml"),
    ],
)
def test_what_is_not_there_to_ask_for(house, tmp_path, options, said):
    answer = run("room", house, "--out", tmp_path / "room.yaml", *options)
    assert (answer.code, answer.out) == (2, "")
    assert said in answer.err
    assert not list(tmp_path.iterdir())


JOB = """\
job: past the duct
tube: 15
clearance: 5
room: {{file: {file}}}
runs:
  rise: {{points: [[{x}, 5000, 0], [{x}, 5000, 700]]}}
"""


def test_near_the_runs_of_a_job_that_names_the_file_before_it_is_there(house, tmp_path):
    job, out = tmp_path / "job.yaml", tmp_path / "room.yaml"
    job.write_text(JOB.format(file="room.yaml", x=60))
    assert set(made(house, out, "--near", job, "--within", "30 cm")) == {"duct: $ {no} '1'"}
    assert "Left out for being further than asked for from every run: 4" in out.read_text()
    (finding,) = [f for f in json.loads(run("check", job, "--format", "json").out)["findings"] if f["check"] == "clash"]
    assert finding["source"]["class"] == "IfcDuctSegment"
    assert finding["source"]["systems"] == ["Supply air"]
    assert finding["distance_mm"] == pytest.approx(60 - 50 - 7.5, abs=1e-9)


def test_near_in_the_place_that_the_job_gives_the_file(house, tmp_path):
    """Turned by 90 degrees and moved, the duct at y = 5000 stands at x = -5000 + 9000."""
    job, out = tmp_path / "job.yaml", tmp_path / "room.yaml"
    job.write_text(JOB.format(file="{file: room.yaml, at: [9000, 5000, 0], turned: 90}", x=4060))
    assert set(made(house, out, "--near", job, "--within", "300")) == {"duct: $ {no} '1'"}
    job.write_text(JOB.format(file="[]", x=4060))
    assert "nothing in the model" in run("room", house, "--out", out, "--near", job, "--within", "300").out
    assert yaml.safe_load(out.read_text())["room"] == {}


def test_written_again_it_is_the_same_and_what_was_changed_is_left_alone(house, tmp_path):
    out, beside = tmp_path / "room.yaml", tmp_path / "room.glb"
    made(house, out)
    before = out.read_bytes(), beside.read_bytes()
    out.unlink()
    beside.unlink()
    made(house, out)
    assert (out.read_bytes(), beside.read_bytes()) == before
    for path in (out, beside):
        whole = path.read_bytes()
        path.write_bytes(whole + b" ")
        answer = run("room", house, "--out", out)
        assert answer.code == 2
        assert "nothing was overwritten" in answer.err
        assert path.read_bytes() == whole + b" "
        path.write_bytes(whole)
    assert sorted(p.name for p in tmp_path.iterdir()) == ["room.glb", "room.yaml"]


def test_the_same_model_is_not_read_twice(house, tmp_path, monkeypatch):
    """But another choice, a changed model, or a file of surfaces that is gone is read."""
    out, model, asked = tmp_path / "room.yaml", tmp_path / "model.ifc", []
    ask = reading.Child.ask
    monkeypatch.setattr(reading.Child, "ask", lambda child, request: asked.append(1) or ask(child, request))
    model.write_bytes(house.read_bytes())

    def read(*more):
        asked.clear()
        made(model, out, *more)
        return bool(asked)

    assert [read(), read(), read("--class", "IfcElement"), read()] == [True, False, True, True]
    (tmp_path / "room.glb").unlink()
    assert [read(), read()] == [True, False]
    model.write_text(model.read_text().replace("'wedge'", "'wedges'"))
    assert read()
    assert "up to date" in run("room", model, "--out", out).out


def test_the_room_file_is_read_like_any_other(house, tmp_path):
    made(house, tmp_path / "room.yaml")
    (tmp_path / "job.yaml").write_text(JOB.format(file="room.yaml", x=60))
    job = story.furnish(story.load(tmp_path / "job.yaml"))
    wedge = next(thing for thing in job.things if thing.name == "wedge")
    assert wedge.shape.closed
    assert wedge.shape.bounds()[1] == pytest.approx((500.0, 1000.0, 200.0), abs=1e-3)
    text = (tmp_path / "room.yaml").read_text()
    (tmp_path / "room.yaml").write_text(text.replace("part: wedge", "part: wedg"))
    answer = run("check", tmp_path / "job.yaml")
    assert answer.code == 2
    assert "has no part 'wedg'; did you mean 'wedge'?" in answer.err
    assert str(tmp_path / "room.yaml:") in answer.err


def test_german(house, tmp_path):
    said = run("room", house, "--out", tmp_path / "room.yaml", "--language", "de")
    assert "Bauteile (" in said.out
    assert "ausgelassen" in said.out


@pytest.mark.parametrize(("language", "said"), [("en", "1 element (1 cone)"), ("de", "1 Bauteil (1 Kegel)")])
def test_a_model_with_a_cone_is_said_to_have_one(language, said, tmp_path):
    m = MadeModel()
    m.element([m.make("IfcCsgSolid", m.make("IfcRightCircularCone", m.axes(), 500.0, 80.0))])
    done = run("room", m.written(tmp_path / "m.ifc"), "--out", tmp_path / "room.yaml", "--language", language)
    assert (done.code, done.err) == (0, "")
    assert said in done.out


# Models that are no models, or bad ones


def refused(path, tmp_path):
    out = tmp_path / "out" / "room.yaml"
    out.parent.mkdir(exist_ok=True)
    answer = run("room", path, "--out", out)
    assert (answer.code, answer.out) == (2, "")
    assert answer.err.startswith(f"{path}:1:1: ")
    assert not list(out.parent.iterdir())
    return answer.err


def test_a_model_that_is_cut_short(house, tmp_path):
    path = tmp_path / "cut.ifc"
    path.write_bytes(house.read_bytes()[: house.stat().st_size // 2])
    assert "cut short" in refused(path, tmp_path)


@pytest.mark.parametrize(
    ("name", "data", "said"),
    [
        ("empty.ifc", b"", "empty"),
        ("other.ifc", b"solid x\nendsolid x\n", "no IFC file"),
        ("zip.ifc", b"PK\x03\x04 and so on", "no IFC file"),
        ("house.ifczip", b"PK\x03\x04 and so on", "ends in .ifc"),
        ("head.ifc", b"ISO-10303-21;\nEND-ISO-10303-21;\n", "damaged"),
        ("schema.ifc", b"ISO-10303-21;HEADER;FILE_SCHEMA(('IFC9'));ENDSEC;DATA;ENDSEC;END-ISO-10303-21;", "damaged"),
    ],
)  # fmt: skip
def test_files_that_are_no_models(name, data, said, tmp_path):
    path = tmp_path / name
    path.write_bytes(data)
    assert said in refused(path, tmp_path)


def test_no_such_file_a_folder_and_one_too_large(house, tmp_path, monkeypatch):
    assert "there is no such file" in refused(tmp_path / "gone.ifc", tmp_path)
    assert "folder" in refused(tmp_path, tmp_path)
    monkeypatch.setattr(reading, "MOST_BYTES", 100)
    assert "too large" in refused(house, tmp_path)


def test_too_slow_a_model_is_given_up(house, tmp_path, monkeypatch):
    monkeypatch.setattr(reading, "LIMITS", reading.ChildLimits(seconds=0.05))
    assert "takes more than" in refused(house, tmp_path)


def broken(house, tmp_path, old, new):
    text = house.read_text()
    assert old in text
    path = tmp_path / "broken.ifc"
    path.write_text(text.replace(old, new))
    return path


def test_placements_in_a_circle_and_references_to_nothing_cost_their_element_only(tmp_path):
    m = MadeModel()
    block(m, 0, name="good")
    one, two = block(m, 100, name="ring"), block(m, 200, name="ring")
    one.ObjectPlacement.PlacementRelTo, two.ObjectPlacement.PlacementRelTo = two.ObjectPlacement, one.ObjectPlacement
    lost = block(m, 300, name="lost")
    solid = lost.Representation.Representations[0].Items[0]
    path = m.written(tmp_path / "model.ifc")
    text = path.read_text()
    line = next(line for line in text.splitlines() if line.startswith(f"#{solid.id()}="))
    path.write_text(text.replace(line, line.replace(f"#{solid.SweptArea.id()},", "#999999,")))
    things = made(path, tmp_path / "room.yaml")
    assert set(things) == {"good"}
    text = (tmp_path / "room.yaml").read_text()
    assert text.count("its placement stands on itself") == 2
    assert "lost" in text


def test_numbers_that_are_none(tmp_path):
    m = MadeModel()
    block(m, 0, name="good")
    bad = block(m, 0, name="bad")
    bad.ObjectPlacement.RelativePlacement.Location.Coordinates = (1e308, 1e308, 0.0)
    items = bad.Representation.Representations[0].Items
    items[0].Depth = 1e308
    things = made(m.written(tmp_path / "model.ifc"), tmp_path / "room.yaml")
    assert set(things) == {"good"}
    (tmp_path / "job.yaml").write_text(JOB.format(file="room.yaml", x=60))
    assert run("check", tmp_path / "job.yaml").code in (0, 1)


def test_without_the_library_the_error_says_how_to_have_it(house, tmp_path, monkeypatch):
    def ask(child, request):
        raise ChildFailedError("ModuleNotFoundError", "No module named 'ifcopenshell'")

    monkeypatch.setattr(reading.Child, "ask", ask)
    answer = run("room", house, "--out", tmp_path / "room.yaml")
    assert (answer.code, answer.out) == (2, "")
    assert "pip install 'pipemodel[models]'" in answer.err
