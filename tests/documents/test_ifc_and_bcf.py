"""job.ifc and job.bcf: read back by ifcopenshell and by a BCF library, and measured."""

import json
import random
import sys

import ifcopenshell
import ifcopenshell.geom
import ifcopenshell.util.element
import ifcopenshell.util.shape
import ifcopenshell.validate
import numpy as np
import pytest
from bcf.v2.bcfxml import BcfXml
from wide import few_or_many

from pipemodel import story
from pipemodel.documents.bcf_file import bcf_bytes
from pipemodel.documents.ifc.file import ifc_text
from pipemodel.documents.unavailable import UnavailableError

HEAD = "job: {job}\ntube: 15\nformer: {{radius: 55, springback: {{fixed: 2}}, mark: 10, hold: 20, guide: 5}}\n"


def results_of(tmp_path, runs, room=None, job="a job", stock=20000):
    rest = {"stock": {"length": stock}, "room": room or {}, "runs": runs}
    text = HEAD.format(job=json.dumps(job)) + "".join(f"{key}: {json.dumps(value)}\n" for key, value in rest.items())
    path = tmp_path / "job.yaml"
    path.write_text(text, encoding="utf-8")
    return story.results(story.load(path))


def written(results, tmp_path):
    path = tmp_path / "job.ifc"
    path.write_text(ifc_text(results), encoding="ascii")
    return ifcopenshell.open(str(path))


def random_runs(seed):
    draw, runs = random.Random(seed), {}
    for number in range(draw.randint(1, 3)):
        points, axis = [[draw.uniform(-3000, 3000) for _ in range(3)]], draw.randrange(3)
        for _ in range(draw.randint(1, 6)):
            last = list(points[-1])
            last[axis] += draw.choice((-1, 1)) * draw.uniform(200, 900)
            axis = (axis + draw.choice((1, 2))) % 3
            points.append(last)
        runs[f"run {number}"] = {"points": points}
    return runs


@pytest.fixture(scope="module", params=few_or_many((0, 6), (0, 1, 2, 3, 4, 6)))
def made(request, tmp_path_factory):
    folder = tmp_path_factory.mktemp("ifc")
    runs = random_runs(request.param)
    results = results_of(folder, runs)
    return runs, results, written(results, folder)


@pytest.mark.slow
def test_it_is_valid_by_the_schema_and_its_rules(made):
    logger = ifcopenshell.validate.json_logger()
    ifcopenshell.validate.validate(made[2], logger, express_rules=True)
    assert logger.statements == []


def test_each_run_is_one_segment_of_the_job_s_size(made):
    runs, _, file = made
    segments = {segment.Name: segment for segment in file.by_type("IfcPipeSegment")}
    assert set(segments) == set(runs)
    assert not file.by_type("IfcPipeFitting")
    for segment in segments.values():
        sizes = ifcopenshell.util.element.get_psets(segment)["Pset_PipeSegmentTypeCommon"]
        assert (sizes["OuterDiameter"], sizes["InnerDiameter"]) == pytest.approx((15.0, 13.6))
        assert ifcopenshell.util.element.get_material(segment).Name == "copper"
        assert ifcopenshell.util.element.get_container(segment).is_a("IfcBuilding")


def test_the_axis_goes_through_lines_and_arcs_of_the_radius_from_corner_to_corner(made):
    runs, _, file = made
    for segment in file.by_type("IfcPipeSegment"):
        (solid,) = segment.Representation.Representations[0].Items
        assert (solid.is_a(), solid.Radius, solid.InnerRadius) == ("IfcSweptDiskSolid", 7.5, pytest.approx(6.8))
        points = np.array(solid.Directrix.Points.CoordList)
        corners = np.array(runs[segment.Name]["points"], dtype=float)
        assert np.abs(points[0] - corners[0]).max() < 1e-9
        assert np.abs(points[-1] - corners[-1]).max() < 1e-6
        arcs = [one.wrappedValue for one in solid.Directrix.Segments if one.is_a("IfcArcIndex")]
        assert len(arcs) == len(corners) - 2
        for (a, b, c), corner in zip(arcs, corners[1:-1], strict=True):
            start, middle, finish = (points[i - 1] for i in (a, b, c))
            # The circle through three points; a square bend leaves its legs 55 before the corner.
            one, two, three = (np.linalg.norm(p) for p in (middle - start, finish - middle, finish - start))
            area = np.linalg.norm(np.cross(middle - start, finish - start)) / 2.0
            assert one * two * three / (4.0 * area) == pytest.approx(55.0, abs=1e-6)
            assert np.linalg.norm(start - corner) == pytest.approx(55.0, abs=1e-6)
            assert np.linalg.norm(finish - corner) == pytest.approx(55.0, abs=1e-6)


@pytest.mark.slow
def test_its_solid_is_where_the_run_is_and_as_large(made):
    _, results, file = made
    settings = ifcopenshell.geom.settings()
    settings.set("use-world-coords", True)
    for solved in results.schedule.runs:
        (segment,) = (one for one in file.by_type("IfcPipeSegment") if one.Name == solved.name)
        shape = ifcopenshell.geom.create_shape(settings, segment)
        vertices = np.array(shape.geometry.verts).reshape(-1, 3) * 1000.0
        line = solved.centreline
        axis = np.array([line.point_at(s) for s in np.linspace(0.0, line.length, 2000)])
        far = np.sqrt(((vertices[:, None] - axis[None]) ** 2).sum(axis=2).min(axis=1))
        assert far.min() > 6.8 - 0.3
        assert far.max() < 7.5 + 0.3
        metal = np.pi / 4.0 * (15.0**2 - 13.6**2) * line.length
        assert ifcopenshell.util.shape.get_volume(shape.geometry) * 1e9 == pytest.approx(metal, rel=0.06)


def test_ports_stand_at_both_ends_and_look_out(made):
    _, results, file = made
    for solved in results.schedule.runs:
        (segment,) = (one for one in file.by_type("IfcPipeSegment") if one.Name == solved.name)
        ports = {port.Name: port for rel in segment.IsNestedBy for port in rel.RelatedObjects}
        line = solved.centreline
        for end, at, way in (("start", line.start, line.direction_at(0.0)), ("finish", line.finish, None)):
            place = ports[end].ObjectPlacement.RelativePlacement
            assert place.Location.Coordinates == pytest.approx(at)
            out = np.array(place.Axis.DirectionRatios)
            along = np.array(way if way is not None else line.direction_at(line.length))
            assert out @ along == pytest.approx(-1.0 if end == "start" else 1.0)


def test_what_the_hands_go_by_stands_with_it(made):
    _, results, file = made
    for solved, plan in zip(results.schedule.runs, results.plans, strict=True):
        (segment,) = (one for one in file.by_type("IfcPipeSegment") if one.Name == solved.name)
        said = ifcopenshell.util.element.get_psets(segment)["pipemodel_Schedule"]
        assert said["CutLength"] == pytest.approx(solved.cut_length_mm)
        for bend in solved.bends:
            inner = said[f"Bend {bend.number}"]["properties"]
            assert inner["Mark"] == pytest.approx(bend.mark_mm)
            assert inner["PullAngle"] == pytest.approx(92.0)
        assert sum(name.startswith("Pull ") for name in said) == len(plan.pulls)


def test_guids_are_of_job_and_run_whatever_else_changes(tmp_path):
    runs = random_runs(3)
    one = ifc_text(results_of(tmp_path, runs))
    assert one == ifc_text(results_of(tmp_path, runs))
    first = {s.Name: s.GlobalId for s in written(results_of(tmp_path, runs), tmp_path).by_type("IfcPipeSegment")}
    del runs["run 0"]["points"][-1]
    runs["another"] = {"points": [[0, 0, 0], [500, 0, 0]]}
    then = {s.Name: s.GlobalId for s in written(results_of(tmp_path, runs), tmp_path).by_type("IfcPipeSegment")}
    assert {name: then[name] for name in first} == first
    other = written(results_of(tmp_path, runs, job="another job"), tmp_path).by_type("IfcPipeSegment")
    assert not {s.GlobalId for s in other} & set(then.values())
    all_of = [e.GlobalId for e in written(results_of(tmp_path, runs), tmp_path).by_type("IfcRoot")]
    assert len(all_of) == len(set(all_of))


def test_names_of_any_letters_come_back(tmp_path):
    runs = {"Rücklauf 1": {"points": [[0, 0, 0], [500, 0, 0]]}, "x'y": {"points": [[0, 90, 0], [500, 90, 0]]}}
    file = written(results_of(tmp_path, runs, job="Bad „oben“ 'A'"), tmp_path)
    assert {s.Name for s in file.by_type("IfcPipeSegment")} == set(runs)
    assert file.by_type("IfcProject")[0].Name == "Bad „oben“ 'A'"


ROOM = {
    "beam": {"box": {"from": [200, -100, -50], "to": [260, 100, 50]}, "source": {"guid": "2O2Fr$t4X7Zf8NOew3FLOH",
             "class": "IfcBeam"}},
    "pipe": {"cylinder": {"from": [400, -90, 9], "to": [400, 90, 9], "diameter": 20}},
    "far": {"box": {"from": [900, 900, 900], "to": [950, 950, 950]}},
}  # fmt: skip
CLASHING = {"L": {"points": [[0, 0, 0], [600, 0, 0], [600, 400, 0]]}, "M": {"points": [[100, 5, 0], [100, 400, 0]]}}


@pytest.fixture(scope="module")
def topics(tmp_path_factory):
    folder = tmp_path_factory.mktemp("bcf")
    results = results_of(folder, CLASHING, ROOM)
    path = folder / "job.bcf"
    path.write_bytes(bcf_bytes(results))
    assert bcf_bytes(results) == path.read_bytes()
    with BcfXml.load(path) as packed:
        yield results, written(results, folder), packed, dict(packed.topics)


def test_every_place_of_a_clash_is_a_topic(topics):
    results, _, packed, found = topics
    assert packed.version.version_id == "2.1"
    clashes = [f for f in results.report.findings if f.contacts]
    assert {name for f in clashes for name in (f.run, f.against)} == {"beam", "pipe", "L", "M"}
    assert len(found) == sum(len(f.contacts) for f in clashes) >= 3
    messages = {f.message for f in clashes}
    assert {topic.topic.description for topic in found.values()} == messages
    assert {topic.topic.topic_type for topic in found.values()} == {"Clash"}


def test_a_viewpoint_shows_the_place_and_the_two_elements(topics):
    results, file, _, found = topics
    segments = {segment.GlobalId: segment.Name for segment in file.by_type("IfcPipeSegment")}
    places = {tuple(c.point) for f in results.report.findings for c in f.contacts}
    for topic in found.values():
        (view,) = topic.viewpoints.values()
        info = view.visualization_info
        chosen = [component.ifc_guid for component in info.components.selection.component]
        assert any(guid in segments for guid in chosen)
        if "beam" in topic.topic.title:
            assert ROOM["beam"]["source"]["guid"] in chosen
        camera = info.perspective_camera
        eye, way, up = (
            np.array([v.x, v.y, v.z])
            for v in (camera.camera_view_point, camera.camera_direction, camera.camera_up_vector)
        )
        assert np.linalg.norm(way) == pytest.approx(1.0, abs=1e-6)
        assert way @ up == pytest.approx(0.0, abs=1e-6)
        # The ray of the eye, in metres, meets one of the places.
        off = min(np.linalg.norm(np.cross(np.array(place) / 1000.0 - eye, way)) for place in places)
        assert off < 1e-6


def test_a_job_without_clashes_has_no_topics(tmp_path):
    path = tmp_path / "job.bcf"
    path.write_bytes(bcf_bytes(results_of(tmp_path, {"L": CLASHING["L"]})))
    with BcfXml.load(path) as packed:
        assert dict(packed.topics) == {}


def test_neither_is_written_unless_named_and_the_library_may_be_missing(tmp_path, monkeypatch):
    results = results_of(tmp_path, CLASHING)
    story.make(results.schedule.job, tmp_path / "named", only=["ifc", "bcf"])
    assert {path.name for path in (tmp_path / "named").glob("job.*")} == {"job.ifc", "job.bcf"}
    story.make(results.schedule.job, tmp_path / "json", only=["json"])
    assert not list((tmp_path / "json").glob("job.ifc"))
    monkeypatch.setitem(sys.modules, "ifcopenshell", None)
    with pytest.raises(UnavailableError, match=r"pipemodel\[models\]"):
        story.make(results.schedule.job, tmp_path / "without", only=["ifc"])
    assert not (tmp_path / "without").exists()


@pytest.mark.slow
def test_read_in_again_as_a_room_the_runs_are_the_exact_tubes_they_are(made, tmp_path):
    """What one job bends is what the next one finds there: every bend comes back where it was, nothing as triangles."""
    from pipemodel.models.room import Wanted, room_of

    _, results, _ = made
    (tmp_path / "job.ifc").write_text(ifc_text(results), encoding="ascii")
    room_of(tmp_path / "job.ifc", tmp_path / "room.yaml", Wanted())
    path = tmp_path / "next.yaml"
    path.write_text("job: n\ntube: 15\nroom: {file: room.yaml}\nruns: {a: {points: [[0, 0, 9000], [90, 0, 9000]]}}\n")
    things = {thing.name: thing for thing in story.load(path).things}
    for solved in results.schedule.runs:
        tube = things[solved.name].shape
        line = solved.centreline
        assert (tube.kind, tube.diameter) == ("tube" if solved.bends else "cylinder", pytest.approx(15.0))
        if not solved.bends:
            assert (tube.start, tube.finish) == (pytest.approx(line.start), pytest.approx(line.finish))
            continue
        assert tube.line.length == pytest.approx(line.length, abs=1e-4)
        for s in np.linspace(0.0, line.length, 50):
            assert np.linalg.norm(np.subtract(tube.line.point_at(s), line.point_at(s))) < 1e-4


LONG = {"long": {"points": [[0, 0, 0], [2200, 0, 0], [2200, 2000, 0], [2200, 2000, 1500]]}}


@pytest.mark.slow
def test_a_jointed_run_is_its_pieces_and_couplings_with_their_ports_connected(tmp_path):
    """Tube comes in threes: 5.7 m of run are two pieces at least, each a segment, with a coupling between."""

    room = {"post": {"box": {"from": [2150, 1950, 700], "to": [2250, 2050, 760]}}}
    results = results_of(tmp_path, LONG, room, stock=3000)
    (split,) = results.cutting.runs
    assert split.joints
    file = written(results, tmp_path)
    logger = ifcopenshell.validate.json_logger()
    ifcopenshell.validate.validate(file, logger, express_rules=True)
    assert logger.statements == []
    segments, fittings = file.by_type("IfcPipeSegment"), file.by_type("IfcPipeFitting")
    assert (len(segments), len(fittings)) == (len(split.pieces), len(split.joints))
    assert {fitting.PredefinedType for fitting in fittings} == {"CONNECTOR"}
    (whole,) = file.by_type("IfcElementAssembly")
    assert whole.Name == "long"
    assert {*segments, *fittings} == {*whole.IsDecomposedBy[0].RelatedObjects}
    # From the first port to the last, one connection after the other, at one place each time and facing each other.
    links = file.by_type("IfcRelConnectsPorts")
    assert len(links) == 2 * len(fittings)
    for link in links:
        one, other = (port.ObjectPlacement.RelativePlacement for port in (link.RelatingPort, link.RelatedPort))
        assert one.Location.Coordinates == pytest.approx(other.Location.Coordinates, abs=1e-6)
        assert np.dot(one.Axis.DirectionRatios, other.Axis.DirectionRatios) == pytest.approx(-1.0)
    connected = {port for link in links for port in (link.RelatingPort, link.RelatedPort)}
    loose = [port for port in file.by_type("IfcDistributionPort") if port not in connected]
    at = {tuple(np.round(port.ObjectPlacement.RelativePlacement.Location.Coordinates)) for port in loose}
    assert at == {(0.0, 0.0, 0.0), (2200.0, 2000.0, 1500.0)}
    length = sum(solved.centreline.length for solved in split.pieces)
    assert length == pytest.approx(results.schedule.runs[0].centreline.length)
    # The clash is with the piece that passes the post.
    (topic,) = [f for f in results.report.findings if f.against == "post"]
    text = bcf_bytes(results)
    path = tmp_path / "job.bcf"
    path.write_bytes(text)
    with BcfXml.load(path) as packed:
        (found,) = dict(packed.topics).values()
        (view,) = found.viewpoints.values()
        chosen = [component.ifc_guid for component in view.visualization_info.components.selection.component]
    named = {segment.GlobalId: segment.Name for segment in segments}
    assert [named[guid] for guid in chosen] == [split.pieces[-1].name]
    assert topic.contacts


def test_nothing_stands_between_the_eye_and_the_place(tmp_path):
    """Boards above, walls to the south and to the west: by the inequalities of their blocks, a point at a time."""
    low, high = np.array([-400, -400, 90]), np.array([900, 900, 110])
    blocks = {
        "beam": ((200, -20, -20), (260, 20, 20)),
        "boards": (low, high),
        "south wall": ((-400, -140, -900), (900, -120, 110)),
        "west wall": ((-60, -400, -900), (-40, 900, 110)),
    }
    room = {n: {"box": {"from": [int(v) for v in a], "to": [int(v) for v in b]}} for n, (a, b) in blocks.items()}
    path = tmp_path / "job.bcf"
    path.write_bytes(bcf_bytes(results_of(tmp_path, {"L": {"points": [[0, 0, 0], [600, 0, 0]]}}, room)))
    with BcfXml.load(path) as packed:
        (topic,) = packed.topics.values()
        (view,) = topic.viewpoints.values()
        camera = view.visualization_info.perspective_camera
        eye, way, up = (
            np.array([v.x, v.y, v.z])
            for v in (camera.camera_view_point, camera.camera_direction, camera.camera_up_vector)
        )
    assert up[2] > 0.0
    line = eye * 1000.0 + np.linspace(0.0, 899.0, 2000)[:, None] * way
    assert np.abs(line[-1] - (230, 0, 0)).max() < 40.0
    for name, (a, b) in blocks.items():
        assert name == "beam" or not np.any(np.all((line > a) & (line < b), axis=1)), name
