"""Jigs on timber with the fewest cradles, held against linear programs, solids and slices of their own."""

import itertools
import json
import random
from dataclasses import replace
from functools import cache

import numpy as np
import pytest
import trimesh
from gallery import FLOW, FORMER_15, TUBE_15, run
from jig_pieces import block, in_place
from jig_simulation import Jig, bent, faults, wrong
from manifold3d import Manifold
from scipy.spatial.transform import Rotation
from shapely.geometry import LineString, MultiPoint, Point
from shapely.geometry import Polygon as Outline
from test_jig_print import hanging, mesh_of

from pipemodel.bending.schedule import solve_run
from pipemodel.documents.jig.board_sheets import drill_cards
from pipemodel.documents.jig.files import package_of
from pipemodel.documents.jig.plan_sheet import plan_sheet
from pipemodel.documents.jig.record import jig_record
from pipemodel.drawing.placing import box_of
from pipemodel.drawing.sheet import Circle, Line, Role, Text
from pipemodel.jigs.build import body_of, prism
from pipemodel.jigs.choose import NARROWER, _choice, without_crowds
from pipemodel.jigs.design import design
from pipemodel.jigs.fitting_slots import fitted
from pipemodel.jigs.layout import lay
from pipemodel.jigs.plan import axis_of
from pipemodel.jigs.posts import supports_of
from pipemodel.jigs.verdict import Judge
from pipemodel.job.jig import Bed, JigSettings, Tolerance
from pipemodel.results.record import to_json
from pipemodel.trade.model import Former, Tube

TIMBER = JigSettings(gauges=False)
TUBE_22, FORMER_22 = Tube(22.0, 0.9, "22"), Former(77.0)
SHAPES = {
    # name: corners, cm3 of solid with a printed base and all cradles as measured before (None where there was no jig)
    "set": ([(0, 0, 0), (300, 0, 0), (400, 100, 0), (700, 100, 0)], 156.0),
    "passover": ([(0, 0, 0), (250, 0, 0), (310, 0, 60), (450, 0, 60), (510, 0, 0), (760, 0, 0)], 187.0),
    "two in a plane": ([(0, 0, 0), (300, 0, 0), (300, 400, 0), (600, 400, 0)], 185.0),
    "two planes": ([(0, 0, 0), (300, 0, 0), (300, 250, 0), (300, 250, 300)], 581.0),
    "compact": ([(0, 0, 0), (200, 0, 0), (200, 200, 0), (200, 200, 200), (400, 200, 200)], 423.0),
    "long": (
        [(0, 0, 0), (900, 0, 0), (900, 500, 0), (900, 500, 400), (1400, 500, 400), (1400, 1150, 400)], None,
    ),
}  # fmt: skip


@cache
def jig_on_timber(name):
    tube = (TUBE_22, FORMER_22) if name == "long" else (TUBE_15, FORMER_15)
    return design(solve_run(run(name, SHAPES[name][0], *tube)), TIMBER)


@cache
def random_jig(seed):
    rng = random.Random(seed)
    corners = [np.zeros(3)]
    way = np.array([1.0, 0.0, 0.0])
    for _ in range(rng.randint(2, 4)):
        corners.append(corners[-1] + way * rng.uniform(180.0, 420.0))
        side = np.cross(way, [rng.gauss(0, 1) for _ in range(3)])
        angle = np.radians(rng.choice([30.0, 45.0, 90.0, rng.uniform(20.0, 110.0)]))
        way = Rotation.from_rotvec(angle * side / np.linalg.norm(side)).apply(way)
    corners.append(corners[-1] + way * rng.uniform(180.0, 420.0))
    return design(solve_run(run(f"random {seed}", [tuple(map(float, c)) for c in corners], TUBE_15, FORMER_15)), TIMBER)


def rows_of(solved):
    rows = [(b.straight_before_mm, b.angle_deg, b.turn_deg) for b in solved.table.bends]
    return rows, solved.table.straight_after_mm


def frame_of(solved):
    """Where the run starts, its first direction, and the axis of its first bend."""
    first, arc = solved.centreline.pieces[:2]
    return np.array(first.start), np.array(first.direction), np.array(arc.axis)


def simulated(jig):
    record = json.loads(to_json(jig_record(jig)))
    rows, after = rows_of(jig.solved)
    radius, frame = jig.solved.table.bends[0].radius_mm, frame_of(jig.solved)
    return Jig(record, bent(rows, after, radius, *frame)), record, rows, after, radius, frame


@pytest.mark.slow
@pytest.mark.parametrize("name", ["set", "long"])
def test_no_line_of_a_drilling_card_or_of_the_plan_runs_through_a_number_or_words(name):
    jig = jig_on_timber(name)
    cards = list(drill_cards(jig, jig.plan.timber))
    assert len(cards) == len(jig.holes)
    crosses = [(sheet, (Role.CENTRE, Role.OUTLINE, Role.MARK)) for sheet in cards]
    for sheet, roles in [*crosses, (plan_sheet(jig), (Role.MARK,))]:
        lines = [LineString(i.points) for i in sheet.items if isinstance(i, Line) and i.role in roles]
        words = [Outline(box_of(i, 0.0)) for i in sheet.items if isinstance(i, Text)]
        assert len(words) >= 3
        assert not [w.bounds for w in words if any(line.intersects(w) for line in lines)]


@pytest.mark.slow
@pytest.mark.parametrize("which", ["two planes", "long", 1])
def test_every_single_fault_beyond_the_sheet_is_refused_and_a_true_piece_seats(which):
    """By linear programs of `jig_simulation`, which shares no code with the tool."""
    jig = jig_on_timber(which) if isinstance(which, str) else random_jig(which)
    held, record, rows, after, radius, frame = simulated(jig)
    assert held.room(bent(rows, after, radius, *frame))[0] > 0.25
    limits = {(r["of"], r["number"]): r for r in record["limits"]}
    for kind, number in faults(rows):
        limit = limits[kind, number]
        assert limit["refused_from"] is not None
        assert limit["refused_from"] <= 1.6 * limit["asked"] + 0.1 or limit["wider_than_asked"]
        for sign in (1.0, -1.0):
            out = bent(*wrong(rows, after, kind, number, sign * limit["refused_from"]), radius, *frame)
            assert held.room(out)[0] < 0.0, (kind, number)
            if limit["passes_to"] > 0.0:
                out = bent(*wrong(rows, after, kind, number, sign * limit["passes_to"]), radius, *frame)
                assert held.room(out)[0] >= 0.0, (kind, number)


@pytest.mark.slow
@pytest.mark.parametrize("name", ["set", "two planes"])
def test_no_lighter_choice_of_cradles_refuses_as_much(name):
    """Every choice tried, each by linear programs of its own: the least number is what the tool chose."""
    solved = solve_run(run(name, SHAPES[name][0], TUBE_15, FORMER_15))
    laid = without_crowds(lay(axis_of(solved), jig_on_timber(name).layout.rotation[2], TIMBER), TIMBER)
    layout = fitted(laid, solved.table, TIMBER)
    judge = Judge(layout, solved.table)
    chosen, clearances = _choice(layout, judge, TIMBER)
    rows, after = rows_of(solved)
    radius, frame = solved.table.bends[0].radius_mm, frame_of(solved)
    begins = solved.centreline.offsets
    record = {"jig_from_room": {"rotation": layout.rotation.tolist(), "offset_mm": layout.offset.tolist()}}
    legs = len(layout.axis.legs)
    every = []
    for t in layout.towers:
        c, stretch = t.cradle, t.place.stretch
        begin = begins[2 * c.leg]
        stop = clearances[legs + (c.stop == "finish")] if c.stop else None
        every.append(
            {"leg": c.leg + 1, "from_mm": begin + c.low_mm * stretch, "to_mm": begin + c.high_mm * stretch}
            | {"accepts_mm": clearances[c.leg], "stop": c.stop, "stop_mm": stop}
        )
    assert pytest.approx(0.7) == NARROWER
    perfect = bent(rows, after, radius, *frame)
    tolerance = {"angle": 1.0, "leg": 3.0}

    def refuses(choice):
        held = Jig(record | {"cradles": [every[i] for i in choice]}, perfect)
        for kind, number in faults(rows):
            asked = tolerance.get(kind)
            if kind == "turn":
                flat = min(abs(np.sin(np.radians(rows[i][1]))) for i in (number - 2, number - 1))
                asked = 1.0 / flat
            if held.room(bent(*wrong(rows, after, kind, number, 1.03 * asked), radius, *frame))[0] >= 0.0:
                return False
        return True

    assert refuses(chosen)
    for size in range(1, len(chosen)):
        for choice in itertools.combinations(range(len(every)), size):
            assert not refuses(choice), choice


@pytest.mark.slow
def test_everyday_shapes_take_a_quarter_of_the_plastic_at_the_most():
    for name, (_, before) in SHAPES.items():
        volume = jig_on_timber(name).total.volume_cm3
        assert volume <= (0.25 * before if before else 100.0), name
    small = jig_on_timber("set").total
    assert small.volume_cm3 <= 30.0
    assert small.plastic_cm3 / 12.0 < 2.0
    assert jig_on_timber("long").solved.centreline.length > 2700.0


@pytest.mark.slow
def test_flat_shapes_printed_whole_take_a_quarter_of_the_plastic_too():
    for name, before in (("set", 156.0), ("two in a plane", 139.0)):
        solved = solve_run(run(name, SHAPES[name][0], TUBE_15, FORMER_15))
        whole = design(solved, replace(TIMBER, base="printed")).parts
        volume = sum(trimesh.Trimesh(p.body.vertices, p.body.faces).volume for p in whole) / 1e3
        assert volume <= 0.25 * before, name
        # All of it solid, at 12 cm3 an hour: under two hours.
        assert name != "set" or volume < 24.0


@pytest.mark.slow
def test_four_bends_in_2_8_m_of_22_mm_printed_whole_take_a_hundred_cm3_at_the_most():
    solved = solve_run(run("flow", FLOW, TUBE_22, FORMER_22))
    jig = design(solved, replace(TIMBER, base="printed", bed=Bed(400.0, 400.0, 450.0)))
    assert solved.centreline.length > 2700.0
    assert sum(trimesh.Trimesh(p.body.vertices, p.body.faces).volume for p in jig.parts) <= 100_000.0


@pytest.mark.slow
@pytest.mark.parametrize("which", ["two planes", "passover", "long", 2])
def test_tube_cradles_and_posts_stand_clear_of_each_other(which):
    """By solids: tube as thick as the slot allows touches nothing, a little thicker it does; posts touch no tube."""
    jig = jig_on_timber(which) if isinstance(which, str) else random_jig(which)
    layout = jig.layout
    cradles = [block(in_place(part)) for part in jig.parts]
    posts = [block(body_of(prism(p.outline, 0.0, p.length_mm))) for p in jig.plan.timber.posts]
    for tower, body in zip(layout.towers, cradles, strict=True):
        leg = layout.axis.legs[tower.cradle.leg]
        c = tower.cradle
        ends = [leg.at(a * tower.place.stretch) for a in (c.low_mm + 1.0, c.high_mm - 1.0)]
        assert (body ^ cylinder(*ends, tower.radius + tower.clearance - 0.02)).volume() < 0.5
        assert (body ^ cylinder(*ends, tower.radius + tower.clearance + 0.3)).volume() > 1.0
        assert float(body.bounding_box()[2]) == pytest.approx(tower.seat, abs=1e-3)
    holes = dict(jig.holes)
    for post in jig.plan.timber.posts:
        sides = Outline(post.outline)
        assert sides.area == pytest.approx(44.0**2)
        # Two diameters of a screw of 4, from its middle to the nearest side of the batten.
        assert all(sides.contains(Point(hole)) for hole in holes[str(post.cradle)])
        assert min(sides.exterior.distance(Point(hole)) for hole in holes[str(post.cradle)]) >= 8.0
    for i, post in enumerate(posts):
        for body in cradles:
            assert (post ^ body).volume() < 1e-3
        for leg in layout.axis.legs:
            for s in np.arange(0.0, leg.length, 25.0):
                end = min(leg.length, s + 25.0)
                if end - s > 1.0:
                    assert (post ^ cylinder(leg.at(s), leg.at(end), layout.axis.radius_mm)).volume() < 1e-3, i
    lengths = {p.cradle: p.length_mm for p in jig.plan.timber.posts}
    assert all(length == round(length) and 15.0 <= length <= 600.0 for length in lengths.values())


@pytest.mark.slow
def test_the_3mf_is_read_by_its_own_consortium_s_strict_reader(tmp_path):
    """lib3mf, the 3MF Consortium's library, strict: no warning; parts by name, in millimetres, of full volume."""
    lib3mf = pytest.importorskip("lib3mf")
    jig = jig_on_timber("two planes")
    (tmp_path / "jig.3mf").write_bytes(package_of(jig))
    model = lib3mf.get_wrapper().CreateModel()
    reader = model.QueryReader("3mf")
    reader.SetStrictModeActive(True)
    reader.ReadFromFile(str(tmp_path / "jig.3mf"))
    assert reader.GetWarningCount() == 0
    assert model.GetUnit() == lib3mf.ModelUnit.MilliMeter
    meshes = model.GetMeshObjects()
    for part in jig.parts:
        assert meshes.MoveNext()
        mesh = meshes.GetCurrentMeshObject()
        assert mesh.IsManifoldAndOriented()
        assert mesh.GetName() == f"{jig.solved.name} {part.name}"
        points = np.array([v.Coordinates for v in mesh.GetVertices()])
        corners = np.array([t.Indices for t in mesh.GetTriangleIndices()])
        assert trimesh.Trimesh(points, corners).volume / 1e3 == pytest.approx(part.plastic.volume_cm3, rel=1e-4)
    assert not meshes.MoveNext()


@pytest.mark.slow
def test_a_jig_of_three_bends_amid_three_metres_judges_those_and_no_end():
    """By the linear programs of `jig_simulation`: bends, turns and inner legs are judged, the ends are not."""
    corners = [(0, 0, 0), (1200, 0, 0), (1200, 260, 0), (1200, 260, 260), (2400, 260, 260)]
    jig = design(solve_run(run("feed", corners, TUBE_22, FORMER_22)), JigSettings(gauges=False, bends=(1, 3)))
    assert jig.total.volume_cm3 < 40.0
    assert all(t.cradle.stop is None for t in jig.layout.towers)
    held, record, rows, after, radius, frame = simulated(jig)
    ends = [c[k] for c in record["cradles"] for k in ("from_mm", "to_mm")]
    assert min(ends) >= rows[0][0] - 300.0 - 1e-6
    assert max(ends) <= jig.solved.centreline.length - after + 300.0 + 1e-6
    limits = {(r["of"], r["number"]): r for r in record["limits"]}
    for kind, number in faults(rows):
        limit = limits[kind, number]
        if kind == "leg" and number in (1, 4):
            assert limit["refused_from"] is None
            assert held.room(bent(*wrong(rows, after, kind, number, 0.0), radius, *frame))[0] > 0.25
            continue
        assert limit["refused_from"] <= 1.1 * limit["asked"] + 0.1
        for sign in (1.0, -1.0):
            out = bent(*wrong(rows, after, kind, number, sign * limit["refused_from"]), radius, *frame)
            assert held.room(out)[0] < 0.0, (kind, number)


def cylinder(a, b, radius):
    way = np.asarray(b) - a
    length = float(np.linalg.norm(way))
    turn = trimesh.geometry.align_vectors([0, 0, 1], way / length)[:3, :3]
    return Manifold.cylinder(length, radius, radius, 96).transform(np.column_stack([turn, a]))


@pytest.mark.slow
@pytest.mark.parametrize("which", ["two planes", 1])
def test_cradles_print_without_supports(which):
    """Sliced by trimesh: each one closed body, flat underneath, every layer on the one below."""
    jig = jig_on_timber(which) if isinstance(which, str) else random_jig(which)
    for part in jig.parts:
        mesh = mesh_of(part.body)
        assert mesh.is_watertight
        assert len(mesh.split(only_watertight=True)) == 1
        assert hanging(mesh, 5.0) < 0.05
        assert max(part.body.size[:2]) <= 174.0


@pytest.mark.slow
def test_a_long_leg_gets_a_prop_and_the_weight_falls_inside():
    """Weight between supports by shapely, droop by Roark's beams, both worked out here."""
    corners = [(0, 0, 0), (1500, 0, 0), (1500, 300, 0)]
    jig = design(solve_run(run("long leg", corners, TUBE_15, FORMER_15)), TIMBER)
    timber = jig.plan.timber
    held = sorted(
        [(c["from_mm"] + c["to_mm"]) / 2.0 for c in json.loads(to_json(jig_record(jig)))["cradles"]]
        + [p.at_mm for p in timber.props]
    )
    inertia = np.pi / 64.0 * (15.0**4 - 13.6**4)
    weight = np.pi / 4.0 * (15.0**2 - 13.6**2) * 8940e-9 * 9.81
    narrow = min(t.clearance for t in jig.layout.towers)
    for gap in np.diff(held):
        assert 5.0 * weight * gap**4 / (384.0 * 115_000.0 * inertia) <= 0.26 * narrow
    for end in (held[0], jig.solved.centreline.length - held[-1]):
        assert weight * end**4 / (8.0 * 115_000.0 * inertia) <= 0.26 * narrow
    assert timber.props
    # Every post of a prop is screwed up through two holes, and its card shows them on its outline.
    cards = {sheet.title.split(", ")[1]: sheet for sheet in drill_cards(jig, timber)}
    for prop in timber.props:
        items = cards[prop.letter].items
        outline = next(i for i in items if isinstance(i, Line) and i.role is Role.OUTLINE)
        drilled = [Point(i.centre) for i in items if isinstance(i, Circle) and i.role is Role.MARK]
        assert len(drilled) == (2 if prop.length_mm else 0)
        assert all(Outline(outline.points).buffer(-8.0).contains(hole) for hole in drilled)
    points = [Outline(pad.outline).centroid for pad in jig.plan.base.pads]
    points += [Outline(p.outline).centroid for p in timber.props]
    s = np.linspace(0.0, jig.solved.centreline.length, 4001)
    room = np.array([jig.solved.centreline.point_at(float(at)) for at in s])
    middle = (room @ jig.layout.rotation.T + jig.layout.offset).mean(axis=0)
    assert MultiPoint(points).convex_hull.buffer(8.0).contains(Point(middle[:2]))


@pytest.mark.slow
@pytest.mark.parametrize("name", ["two planes", "compact", "long"])
def test_round_tube_rests_on_the_line_under_its_axis(name):
    """Whether it topples goes by where a round tube touches a flat floor, not by how wide it is."""
    layout = jig_on_timber(name).layout
    axis = LineString(layout.axis.points[:, :2])
    supports = supports_of(layout)
    assert len(supports) == 2 * len(layout.towers)
    assert max(axis.distance(Point(p)) for p in supports) < 1e-6


def test_a_tolerance_wider_than_any_slot_tells_nothing_wrong():
    """`go`: every slot is as wide as the position tolerance, whatever is left out."""
    settings = JigSettings(gauges=False, decision="go", tolerance=Tolerance(2.0, 1.0))
    jig = design(solve_run(run("set", SHAPES["set"][0], TUBE_15, FORMER_15)), settings)
    assert {t.clearance for t in jig.layout.towers} == {2.0}
    assert len(jig.layout.towers) < 6
