"""The files of a jig, read back: STL, 3MF and STEP, and the papers."""

import io
import json
import re
import zipfile
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
import trimesh
from command_line import run as pipemodel
from jig_pieces import PIECES, block, in_place, jig_of, whole
from kernel_measures import listed, measured, valid
from lxml import etree, html
from pdf_lines import pages_of

from pipemodel.documents.jig.files import write_jig
from pipemodel.documents.jig.plan_sheet import plan_sheet
from pipemodel.documents.jig.threemf import PrintItem, to_3mf
from pipemodel.geometry.shapes import Mesh
from pipemodel.jigs.base import shortest_tree
from pipemodel.jigs.design import design
from pipemodel.jigs.plates import set_out
from pipemodel.job.jig import Bed
from pipemodel.solids.facets import faceted_solid, flat_regions

JOB = """\
job: return to the towel rail
tube: {outside: 15, wall: 0.7}
former: {radius: 55}
runs:
  return:
    points: [[0, 0, 0], [300, 0, 0], [300, 250, 0], [300, 250, 150]]
  set:
    points: [[0, 0, 0], [150, 0, 0], [150, 180, 0], [300, 180, 0]]
"""


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    out = tmp_path_factory.mktemp("jig")
    write_jig(jig_of("two planes", whole()), "return", out)
    return out


@pytest.mark.slow
def test_one_stl_a_part_each_a_solid_of_the_volume_reported(folder):
    jig = jig_of("two planes", whole())
    for part in (*jig.parts, *jig.gauges):
        mesh = trimesh.load(folder / f"return-jig-{part.stem}.stl")
        assert mesh.is_watertight
        assert mesh.volume == pytest.approx(part.plastic.volume_cm3 * 1000.0, rel=1e-4)
        assert mesh.bounds[0] == pytest.approx([0.0, 0.0, 0.0], abs=1e-4)
    assert len(list(folder.glob("*.stl"))) == len(jig.parts) + len(jig.gauges)


@pytest.mark.slow
def test_3mf_has_units_names_and_every_part_on_a_bed(folder):
    jig = jig_of("two planes", whole())
    bed = jig.settings.bed
    scene = trimesh.load(folder / "return-jig.3mf", file_type="3mf")
    assert scene.units == "millimeter"
    assert len(scene.geometry) == len(jig.parts) + len(jig.gauges)
    boxes = []
    for name in scene.graph.nodes_geometry:
        turn, key = scene.graph[name]
        mesh = scene.geometry[key].copy()
        assert mesh.is_watertight
        mesh.apply_transform(turn)
        low, high = mesh.bounds
        assert low[2] == pytest.approx(0.0, abs=1e-4)
        assert low[1] >= 3.0 - 1e-6
        assert high[1] <= bed.y_mm - 3.0 + 1e-6
        left = low[0] // (bed.x_mm + 30.0) * (bed.x_mm + 30.0)
        assert low[0] - left >= 3.0 - 1e-6
        assert high[0] - left <= bed.x_mm - 3.0 + 1e-6
        boxes.append((low, high))
    for i, (a, b) in enumerate(boxes):
        for c, d in boxes[i + 1 :]:
            assert a[0] >= d[0] or c[0] >= b[0] or a[1] >= d[1] or c[1] >= b[1]
    with zipfile.ZipFile(folder / "return-jig.3mf") as package:
        model = package.read("3D/3dmodel.model").decode()
    assert 'unit="millimeter"' in model
    assert f'name="two planes part 1 of {len(jig.parts)}"' in model


def test_3mf_survives_any_name():
    box = trimesh.creation.box((10, 10, 10))
    body = Mesh(box.vertices, box.faces.astype(np.int64))
    data = to_3mf('<&">\x00 管', [PrintItem('a"<b>\x07', "1", body, (0.0, 0.0, 0.0))])
    scene = trimesh.load(io.BytesIO(data), file_type="3mf")
    assert next(iter(scene.geometry.values())).volume == pytest.approx(1000.0)


@pytest.mark.slow
@pytest.mark.kernel
def test_step_parts_are_valid_solids_of_the_same_volume_where_they_belong(folder):
    from kernel_measures import listed
    from OCP.STEPControl import STEPControl_Reader
    from OCP.TopAbs import TopAbs_SOLID

    jig = jig_of("two planes", whole())
    reader = STEPControl_Reader()
    reader.ReadFile(str(folder / "return-jig.step"))
    reader.TransferRoots()
    found = listed(reader.OneShape(), TopAbs_SOLID)
    solids = [found.FindKey(i) for i in range(1, found.Extent() + 1)]
    assert len(solids) == len(jig.parts)
    for solid, part, (_, body) in zip(solids, jig.parts, jig.plain_parts(), strict=True):
        assert valid(solid)
        # All that is left off is the lettering: less than half a cubic centimetre a part.
        assert 0.0 <= body.volume - part.body.volume < 500.0
        middle = body.vertices.mean(axis=0)
        volume, centre = measured(solid, tuple(middle))
        mesh = trimesh.Trimesh(body.vertices, body.faces)
        assert volume == pytest.approx(body.volume, rel=1e-4)
        assert centre == pytest.approx(mesh.center_mass, abs=0.01)


@pytest.mark.slow
@pytest.mark.kernel
def test_a_tower_by_the_kernel_has_the_same_volume():
    """The kernel's own prisms, drafts and cuts, from the figures of the cradle alone."""
    from OCP.BRepAlgoAPI import BRepAlgoAPI_Cut
    from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeFace, BRepBuilderAPI_MakePolygon
    from OCP.BRepPrimAPI import BRepPrimAPI_MakeBox, BRepPrimAPI_MakePrism
    from OCP.gp import gp_Pnt, gp_Vec

    jig = jig_of("flat set")
    tower = jig.layout.towers[1]
    c, s = tower.cradle, jig.settings
    length = c.high_mm - c.low_mm
    cheek = 7.0 * s.print.nozzle_mm
    slot = 15.0 + 2.0 * c.clearance_mm + s.print.allowance_mm
    floor = jig.layout.axis.legs[c.leg].start[2] - 7.5 - c.clearance_mm
    top = floor + 15.0 + 2.0 * c.clearance_mm

    def box(x, y, z, at):
        return BRepPrimAPI_MakeBox(gp_Pnt(*at), x, y, z).Shape()

    solid = box(length, slot + 2 * cheek, top, (0.0, 0.0, 0.0))
    solid = BRepAlgoAPI_Cut(solid, box(length, slot, 99.0, (0.0, cheek, floor))).Shape()
    solid = BRepAlgoAPI_Cut(solid, box(0.4 * length, 99.0, 99.0, (0.0, -1.0, top - c.clearance_mm))).Shape()
    # Two lines in the floor, 0.8 wide and 0.6 deep, that reach the cheeks where the slot is narrow.
    inner = 7.5 - 0.4
    wide = slot / 2.0 - inner if slot / 2.0 - 7.9 < 1.6 else 0.8
    for low in (slot / 2.0 + inner, slot / 2.0 - inner - wide):
        solid = BRepAlgoAPI_Cut(solid, box(length, wide, 99.0, (0.0, cheek + low, floor - 0.6))).Shape()
    # Outside, cheeks 2.8 thick at the floor go back to 1.2 at their tops.
    for edge, inward in ((0.0, 1.6), (slot + 2.0 * cheek, -1.6)):
        corners = [(edge, floor), (edge + inward, top), (edge - inward, top), (edge - inward, floor)]
        ring = BRepBuilderAPI_MakePolygon()
        for y, z in corners:
            ring.Add(gp_Pnt(-1.0, y, z))
        ring.Close()
        face = BRepBuilderAPI_MakeFace(ring.Wire()).Face()
        wedge = BRepPrimAPI_MakePrism(face, gp_Vec(length + 2.0, 0.0, 0.0)).Shape()
        solid = BRepAlgoAPI_Cut(solid, wedge).Shape()
    from manifold3d import Manifold

    from pipemodel.jigs.build import body_of
    from pipemodel.jigs.carve import with_towers

    ours = body_of(with_towers(Manifold(), [tower], []))
    assert ours.volume == pytest.approx(measured(solid)[0], rel=1e-5)


def test_faces_of_a_block_are_found_whole():
    box = trimesh.creation.box((30, 20, 10)).subdivide()
    assert len(flat_regions(box.vertices, box.faces.astype(np.int64))) == 6


@pytest.mark.slow
@pytest.mark.kernel
def test_a_block_of_small_facets_has_the_edges_of_a_block():
    """Each of its sides was cut up: twelve edges and eight corners are left, all where a block has them."""
    from OCP.TopAbs import TopAbs_EDGE, TopAbs_FACE, TopAbs_VERTEX

    box = trimesh.creation.box((30, 20, 10)).subdivide()
    solid = faceted_solid(box.vertices, box.faces.astype(np.int64))
    assert valid(solid)
    assert [listed(solid, kind).Extent() for kind in (TopAbs_FACE, TopAbs_EDGE, TopAbs_VERTEX)] == [6, 12, 8]
    assert measured(solid)[0] == pytest.approx(6000.0)


@pytest.mark.slow
@pytest.mark.kernel
def test_facets_with_holes_and_steps_make_the_same_solid():
    jig = jig_of("straight")
    for part in jig.parts:
        solid = faceted_solid(part.body.vertices, part.body.faces)
        assert valid(solid)
        assert measured(solid, (50.0, 50.0, 10.0))[0] == pytest.approx(part.body.volume, rel=1e-4)


@pytest.mark.slow
def test_the_record_says_what_each_slot_accepts_and_where_parts_go(folder):
    jig = jig_of("two planes", whole())
    record = json.loads((folder / "return-jig.json").read_text())
    assert record["format"] == "pipemodel.jig/1"
    assert [c["number"] for c in record["cradles"]] == list(range(1, 7))
    for cradle in record["cradles"]:
        assert cradle["slot_printed_mm"] == pytest.approx(15.0 + 2.0 * cradle["accepts_mm"])
        assert cradle["slot_drawn_mm"] == pytest.approx(cradle["slot_printed_mm"] + 0.2)
    # The parts as filed, put where the record says, are the jig; the run, put there too, lies in it.
    for part, said in zip(jig.parts, record["parts"], strict=True):
        mesh = trimesh.load(folder / f"return-jig-{part.stem}.stl")
        turn, move = np.array(said["jig_from_part"]["rotation"]), np.array(said["jig_from_part"]["offset_mm"])
        there = mesh.vertices @ turn.T + move
        assert np.allclose(there.min(axis=0), in_place(part).vertices.min(axis=0), atol=1e-3)
    turn, move = np.array(record["jig_from_room"]["rotation"]), np.array(record["jig_from_room"]["offset_mm"])
    assert np.allclose(turn @ turn.T, np.eye(3), atol=1e-7)
    assert np.allclose(turn @ np.array(jig.solved.centreline.start) + move, jig.layout.axis.legs[0].start, atol=1e-5)


@pytest.mark.slow
def test_the_record_carries_no_last_digits_of_a_library(folder):
    """What is written stands for itself: no number has more than eight decimals, and there are many."""
    found = re.findall(r"-?\d+\.\d+(?:e-?\d+)?", (folder / "return-jig.json").read_text())
    assert len(found) > 100
    assert all(float(text) == round(float(text), 8) for text in found)
    assert "-0.0," not in (folder / "return-jig.json").read_text()


def test_readings_follow_from_lever_arms():
    """A degree at a bend, seen at a cradle on the next leg: the distance to the bend's centre line times its sine."""
    jig = jig_of("flat set")
    from pipemodel.jigs.reading import readings

    first = readings(jig.solved.table, jig.layout)[0]
    tower = jig.layout.towers[2]
    along = (tower.cradle.low_mm + tower.cradle.high_mm) / 2.0
    # The leg swings about the bend's centre of curvature as the arc grows: by its distance along the leg only.
    expected = along * np.sin(np.radians(1.0))
    near = next(s for s in first.angle if s.cradle == 3)
    assert near.size_mm == pytest.approx(expected, rel=0.01, abs=0.01)
    assert near.up_mm == pytest.approx(0.0, abs=1e-9)


@pytest.mark.slow
def test_the_plan_is_full_size():
    """Holes on the sheet lie as far apart as holes in the parts."""
    jig = jig_of("flat set")
    sheet = plan_sheet(jig)
    from pipemodel.drawing.sheet import Circle

    drawn = np.array([i.centre for i in sheet.items if isinstance(i, Circle)])
    holes = np.vstack([p.holes for p in jig.plan.base.pads])
    assert drawn - drawn[0] == pytest.approx(holes - holes[0], abs=1e-9)
    whole = block(jig.whole)
    for x, y in holes:
        assert whole.slice(2.0).area() > 0.0
        mesh = trimesh.Trimesh(jig.whole.vertices, jig.whole.faces)
        assert not mesh.contains([[x, y, 2.0]])[0]


@pytest.mark.slow
def test_both_drawings_carry_the_caution_on_the_paper_and_stay_full_size(folder):
    """Read as any XML is: words inside the drawing's edges, one unit to the mm, the plan moved by nothing."""
    jig = jig_of("two planes", whole())
    for end, sheet in (("", None), ("-plan", plan_sheet(jig))):
        root = etree.parse(folder / f"return-jig{end}.svg").getroot()
        width, height = (float(root.get(side).removesuffix("mm")) for side in ("width", "height"))
        assert [float(n) for n in root.get("viewBox").split()] == pytest.approx([0.0, 0.0, width, height])
        words = " ".join(root.itertext())
        for said in ("measure on site before cutting", "licensed hands only", "local codes come first"):
            assert said in " ".join(words.split())
        if sheet is not None:
            assert width == pytest.approx(sheet.width)
            inner = root[1][0]
            # Written to a thousandth of a millimetre.
            written = [float(n) for n in inner.get("viewBox").split()][2:]
            assert written == pytest.approx([sheet.width, sheet.height], abs=5.01e-4)
            assert inner.get("width") == f"{sheet.width:g}"
            assert root[1].get("transform") == "translate(0 0)"


def test_set_out_keeps_parts_apart_and_on_beds():
    sizes = [(100.0, 90.0), (100.0, 50.0), (200.0, 100.0), (30.0, 20.0), (30.0, 214.0)] * 3
    spots = set_out(sizes, Bed(220.0, 220.0, 200.0))
    boxes = [(s.bed, s.x_mm, s.y_mm, s.x_mm + w, s.y_mm + d) for s, (w, d) in zip(spots, sizes, strict=True)]
    for i, a in enumerate(boxes):
        assert min(a[1:]) >= 3.0
        assert max(a[1:]) <= 217.0
        for b in boxes[i + 1 :]:
            # Five millimetres of bed between any two.
            gaps = (b[1] - a[3], a[1] - b[3], b[2] - a[4], a[2] - b[4])
            assert a[0] != b[0] or max(gaps) >= 5.0 - 1e-6


def test_shortest_tree_is_as_short_as_another_library_finds():
    from scipy.sparse.csgraph import minimum_spanning_tree
    from scipy.spatial.distance import cdist

    points = np.random.default_rng(5).uniform(0.0, 500.0, (17, 2))
    edges = shortest_tree(points)
    assert len(edges) == 16
    ours = sum(np.linalg.norm(points[a] - points[b]) for a, b in edges)
    assert ours == pytest.approx(minimum_spanning_tree(cdist(points, points)).sum())


@pytest.mark.slow
def test_command_writes_the_jig_of_each_run(tmp_path):
    (tmp_path / "job.yaml").write_text(JOB)
    out = tmp_path / "out"
    done = pipemodel("jig", str(tmp_path / "job.yaml"), "--out", str(out))
    assert done.code == 0
    # The set lies flat: a template tells all of it, and its checks stand in place of a jig.
    assert [p.name for p in sorted(out.glob("set*"))] == ["set-jig.json", "set-jig.txt"]
    assert "its template at full size" in (out / "set-jig.txt").read_text()
    assert "run 'set': Not worth printing" in done.err
    # What all of it takes, held against the files themselves.
    total = json.loads((out / "jigs.json").read_text())["total"]
    meshes = [trimesh.load(path) for path in out.glob("*.stl")]
    assert total["parts"] + total["gauges"] == len(meshes)
    assert total["all"]["volume_cm3"] == pytest.approx(sum(m.volume for m in meshes) / 1000.0, rel=1e-4)
    assert total["sheets"] == sum(len(pages_of(path.read_bytes())) for path in out.glob("*.pdf"))
    assert total["without_a_jig"] == ["set"]
    assert f"{total['sheets']} sheets of paper" in " ".join((out / "jigs.txt").read_text().split())
    assert f"{total['sheets']} sheets of paper" in done.err
    only = tmp_path / "only"
    assert pipemodel("jig", str(tmp_path / "job.yaml"), "--run", "set", "--anyway", "--out", str(only)).code == 0
    assert not list(only.glob("return*"))


@pytest.mark.slow
def test_a_run_that_gets_no_jig_says_why_and_leaves_the_others_theirs(tmp_path):
    jig = "jig: {bed: [220, 220, 60], base: printed, when: always}"
    (tmp_path / "job.yaml").write_text(JOB.replace("runs:", f"{jig}\nruns:"))
    out = tmp_path / "out"
    done = pipemodel("jig", str(tmp_path / "job.yaml"), "--out", str(out))
    assert done.code == 1
    assert "'return' gets no jig" in done.err
    assert "taller printer" in done.err
    assert (out / "set-jig.3mf").exists()
    assert not list(out.glob("return*"))


@pytest.mark.slow
def test_no_jig_at_all_writes_nothing(tmp_path):
    jig = "jig: {bed: [60, 60, 60], base: printed, when: always}"
    (tmp_path / "job.yaml").write_text(JOB.replace("runs:", f"{jig}\nruns:"))
    out = tmp_path / "out"
    done = pipemodel("jig", str(tmp_path / "job.yaml"), "--out", str(out))
    assert done.code == 1
    assert "need a bed of" in done.err or "taller printer" in done.err
    assert not out.exists()


def test_a_run_that_is_not_there_is_bad_input(tmp_path):
    (tmp_path / "job.yaml").write_text(JOB)
    done = pipemodel("jig", str(tmp_path / "job.yaml"), "--run", "flow", "--out", str(tmp_path / "out"))
    assert done.code == 2
    assert "there are 'return', 'set'" in done.err
    assert not (tmp_path / "out").exists()


@pytest.mark.parametrize(
    ("jig", "words"),
    [
        ("{tolerance: {position: 0}}", "more than 0"),
        ("{tolerance: {position: 0.1}}", "0.3 or more"),
        ("{tolerance: {position: 20}}", "more than the tube is thick"),
        ("{tolerance: {angle: 40}}", "0.05 to 20"),
        ("{bed: [10, 200, 200]}", "from 60 to 2000"),
        ("{bed: vast}", "one of mini, small, medium"),
        ("{nozzle: 5}", "from 0.1 to 1.5"),
        ("{timber: 25}", "job.yaml:4:15: timber is 25; it must be from 30 to 100: the side of a square batten"),
        ("{bends: [2, 9]}", "job.yaml:4:14: there is no bend 9: the run with the most bends has 2"),
        ("{layer: 0.39, nozzle: 0.4}", "at most 0.8"),
        ("{revision: 'far too long'}", "up to six"),
        ("{decision: strict}", "fine"),
        ("{inserts: 3}", "inserts is true or false, not 3"),
    ],
)
def test_nonsense_is_refused_with_what_would_be_right(tmp_path, jig, words):
    (tmp_path / "job.yaml").write_text(JOB.replace("runs:", f"jig: {jig}\nruns:"))
    done = pipemodel("jig", str(tmp_path / "job.yaml"), "--out", str(tmp_path / "out"))
    assert done.code == 2
    assert "job.yaml:4:" in done.err
    assert words in done.err
    assert not (tmp_path / "out").exists()


def test_a_run_without_straight_enough_for_two_stops_is_refused():
    from pipemodel.bending.schedule import solve_run
    from pipemodel.jigs.plan import JigRefusedError

    short = replace(PIECES["straight"].run.route, corners=((0.0, 0.0, 0.0), (20.0, 0.0, 0.0)))
    with pytest.raises(JigRefusedError, match="lengthen"):
        design(solve_run(replace(PIECES["straight"].run, route=short)), whole())


@pytest.mark.slow
def test_the_page_on_jigs_and_the_example_are_worked_out(tmp_path):
    """The job on the page is read and gets its jig; so does the example, through `make`, since it asks for it."""
    root = Path(__file__).parents[2]
    said = re.search(r"```yaml\n(.*?)```", (root / "docs/jig.md").read_text(encoding="utf-8"), re.DOTALL)
    (tmp_path / "job.yaml").write_text(said[1], encoding="utf-8")
    assert pipemodel("jig", str(tmp_path / "job.yaml"), "--out", str(tmp_path / "page")).code == 0
    example = str(root / "examples/towel-rail-with-a-jig.yaml")
    done = pipemodel("make", example, "--only", "jig,html,lists,pdf", "--out", str(tmp_path / "made"))
    assert done.code == 0
    assert (tmp_path / "made" / "return-jig.3mf").exists()
    assert "Checking jigs" in (tmp_path / "made" / "job.html").read_text(encoding="utf-8")
    # The list of them is the same wherever it stands, and the same as the jig's own record says.
    cradles = json.loads((tmp_path / "made" / "return-jig.json").read_text())["cradles"]
    listed = (tmp_path / "made" / "jigs.csv").read_text(encoding="utf-8-sig").splitlines()
    assert [line.split(",")[:3] for line in listed[1:]] == [
        ["return", str(c["number"]), str(c["leg"])] for c in cradles
    ]
    (table,) = html.fromstring((tmp_path / "made" / "job.html").read_text(encoding="utf-8")).xpath(
        "//section[@aria-labelledby='jigs']//table[.//th[normalize-space()='cradle']]"
    )
    rows = [
        [" ".join(cell.text_content().split()) for cell in row.xpath("th|td")] for row in table.xpath(".//tbody/tr")
    ]
    assert [[float(x) for x in row[2:4]] for row in rows] == [
        pytest.approx([c["from_mm"], c["to_mm"]], abs=0.051) for c in cradles
    ]
    pack = pages_of((tmp_path / "made" / "job.pdf").read_bytes())
    sheet = next(page.text for page in pack if "accepts \u00b1" in page.text)
    for row in rows:
        assert row[2] in sheet
        assert row[3] in sheet


def test_make_writes_no_jig_unless_asked(tmp_path):
    (tmp_path / "job.yaml").write_text(JOB)
    done = pipemodel("make", str(tmp_path / "job.yaml"), "--only", "jig", "--out", str(tmp_path / "out"))
    assert done.code == 2
    assert "write jig: in it" in done.err
    assert not (tmp_path / "out").exists()


def test_figures_beyond_what_every_build_of_a_library_agrees_on_are_not_written():
    from pipemodel.documents.jig.record import settled

    spoilt = {"a": [1234.5678901230001, -1e-16], "b": (0.1 + 0.2, 3), "c": {"d": 1e-13, "e": 1234567.891234567}}
    assert settled(spoilt) == {"a": [1234.56789012, 0.0], "b": [0.3, 3], "c": {"d": 0.0, "e": 1234567.891235}}
    assert str(settled(-1e-16)) == "0.0"
