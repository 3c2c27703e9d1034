"""Joists, bays and storeys drawn: where things lie on the paper, against figures reckoned here by hand."""

import random
from itertools import combinations, pairwise
from math import cos, radians, sin

import numpy as np
import pytest
import trimesh
import yaml
from lxml import html
from PIL import ImageFont
from shapely.affinity import rotate, translate
from shapely.geometry import LineString, MultiLineString, Polygon, box

from pipemodel import story
from pipemodel.documents.page.page import page_html
from pipemodel.drawing.bay_section import _bay, _Cut, bay_sheet, bays
from pipemodel.drawing.cut import sliced
from pipemodel.drawing.cut_tubes import first_hit
from pipemodel.drawing.fonts import font_file
from pipemodel.drawing.hatch import hatched
from pipemodel.drawing.joist_view import alike_joists, joist_sheet
from pipemodel.drawing.layout import A4
from pipemodel.drawing.lettering import CAP_HEIGHT
from pipemodel.drawing.paper import Paper
from pipemodel.drawing.primitives import Circle, Line, Role, Text
from pipemodel.drawing.storey_plan import has_storey, storey_plan
from pipemodel.drawing.title_block import Titles
from pipemodel.geometry.shapes.mesh import Mesh
from pipemodel.geometry.view import View
from pipemodel.messages.units import INCHES
from pipemodel.results.paper_options import PaperOptions
from pipemodel.results.results import Results

JOISTS = {"first": [0, 0], "along": "east", "row": "north", "spacing": 400, "number": 6, "length": 3500,
          "size": [50, 225], "top": -20}  # fmt: skip
ROOM = {
    "joists": {"joists": JOISTS},
    "boards": {"floor": {"from": [-200, -100], "to": [3700, 2100], "top": 0, "thickness": 20}},
    "ceiling": {"face": {"at": [0, 0, -245], "facing": "up"}},
}
BUILDING = "//section[@aria-labelledby='building']//figure"
RUNS = {"flow": {"points": [[1000, -150, -132.5], [1000, 1800, -132.5], [2400, 1800, -132.5]]}}


def solved(tmp_path, runs=None, room=None, **more):
    job = {"job": "x", "tube": 15, "room": room or ROOM, "runs": runs or RUNS, **more}
    (tmp_path / "job.yaml").write_text(yaml.safe_dump(job), encoding="utf-8")
    return story.schedule(story.load(tmp_path / "job.yaml"))


def bay_sections(schedule):
    return [bay_sheet(bay, Paper((A4,), Titles)) for bay in bays(schedule)]


def joist_sheets(schedule):
    return [joist_sheet(group, schedule.job.rules, Paper((A4,), Titles)) for group in alike_joists(schedule)]


def texts(sheet):
    return [item.text for item in sheet.primitives() if isinstance(item, Text)]


def test_hatching_fills_what_is_enclosed_and_nothing_else():
    draw = random.Random(5)
    for _ in range(40):
        outer = Polygon([(draw.uniform(30, 50) * np.cos(t), draw.uniform(30, 50) * np.sin(t))
                         for t in np.linspace(0, 2 * np.pi, 9)[:-1]])  # fmt: skip
        hole = Polygon([(8, 8), (-8, 8), (-8, -8), (8, -8)])
        rings = [list(ring.exterior.coords) for ring in (outer, hole)]
        strokes = [pair for ring in rings for pair in zip(ring, ring[1:], strict=False)]
        lines = [LineString(line) for line in hatched(strokes, 1.0, draw.uniform(0, 180))]
        solid = outer.difference(hole)
        assert all(solid.buffer(1e-6).covers(line) for line in lines)
        # Lines one apart: their length is the area.
        assert sum(line.length for line in lines) == pytest.approx(solid.area, rel=0.02)


def test_a_cut_mesh_is_the_section_that_another_library_makes():
    draw = np.random.default_rng(7)
    for _ in range(20):
        body = trimesh.creation.annulus(r_min=20, r_max=40, height=draw.uniform(20, 80), sections=17)
        body.apply_transform(trimesh.transformations.random_rotation_matrix(draw.random(3)))
        eye = draw.normal(size=3)
        view, at = View("x", tuple(eye)), draw.uniform(-8, 8, 3)
        ours = sliced(Mesh(np.asarray(body.vertices), np.asarray(body.faces)), view, float(at @ view.eye))
        theirs = body.section(plane_normal=view.eye, plane_origin=at)
        assert sum(np.hypot(q[0] - p[0], q[1] - p[1]) for p, q in ours) == pytest.approx(theirs.length, abs=1e-3)


def test_how_far_it_is_to_what_is_met_first():
    draw = random.Random(3)
    for _ in range(300):
        strokes = [((draw.uniform(-9, 9), draw.uniform(-9, 9)), (draw.uniform(-9, 9), draw.uniform(-9, 9)))
                   for _ in range(4)]  # fmt: skip
        t = draw.uniform(0, 6.3)
        way = (np.cos(t), np.sin(t))
        met = LineString([(0, 0), (50 * way[0], 50 * way[1])]).intersection(MultiLineString(strokes))
        far = first_hit((0.0, 0.0), way, strokes)
        if met.is_empty:
            assert far is None
        else:
            assert far == pytest.approx(LineString([(0, 0), (1e-12, 0)]).distance(met), abs=1e-6)


def test_a_bay_is_dimensioned_from_the_outside_of_its_tube(tmp_path):
    # Bay 5 lies from y = 1625 to 1975, from the boards at -20 to the ceiling at -245; the tube of 15 at 1800, -132.5.
    schedule = solved(tmp_path)
    (bay,) = bays(schedule)
    assert bay.between == ("joists 5", "joists 6")
    (sheet,) = bay_sections(schedule)
    figures = texts(sheet)
    assert figures.count("167.5") == 2
    assert figures.count("105") == 2
    # Drawn true: the circle's width over the scale is the tube's.
    (tube,) = [item for item in sheet.primitives() if isinstance(item, Line) and item.role is Role.RUN]
    xs, ys = zip(*tube.points, strict=True)
    assert (max(xs) - min(xs)) * sheet.factor == pytest.approx(15.0, abs=0.02)
    assert (max(ys) - min(ys)) * sheet.factor == pytest.approx(15.0, abs=0.02)


def test_a_bay_between_things_above_and_below_goes_35_beyond_what_bounds_it(tmp_path):
    """Studs in plan, one north and one south of an upright leg: 45 by 95 each, the bay from y = 45 to 400."""
    schedule = solved(tmp_path)
    view = View("plan, from above", (0.0, 0.0, 1.0), (0.0, 1.0, 0.0))

    def block(low, high):
        return _Cut(
            f"stud {low[1]}",
            "stud",
            [(p, q) for p, q in pairwise([low, (high[0], low[1]), high, (low[0], high[1]), low])],
        )

    sides = block((900.0, 45.0 - 95.0), (945.0, 45.0)), block((910.0, 400.0), (955.0, 495.0))
    bay = _bay(view, (920.0, 200.0, 0.0), sides, schedule)
    assert bay.window == pytest.approx((900.0 - 35.0, 45.0 - 35.0, 955.0 + 35.0, 400.0 + 35.0))


def test_a_bay_out_of_the_axes_is_cut_square_to_its_joists(tmp_path):
    """The same bay, its room file turned: the same figures by hand. A run that goes askew to its joists is not cut."""
    (tmp_path / "floor.yaml").write_text(yaml.safe_dump({"room": ROOM}), encoding="utf-8")
    c, s = cos(radians(30)), sin(radians(30))
    points = [[x * c - y * s, x * s + y * c, z] for x, y, z in RUNS["flow"]["points"]]
    schedule = solved(tmp_path, {"flow": {"points": points}}, {"file": {"file": "floor.yaml", "turned": 30}})
    (bay,) = bays(schedule)
    assert bay.between == ("joists 5", "joists 6")
    figures = texts(bay_sheet(bay, Paper((A4,), Titles)))
    assert (figures.count("167.5"), figures.count("105")) == (2, 2)
    askew = {"flow": {"points": [[1200, 1660, -132.5], [1900, 1940, -132.5]]}}
    assert bays(solved(tmp_path, askew)) == []


def test_a_second_tube_in_a_bay_bounds_the_first(tmp_path):
    runs = {**RUNS, "return": {"points": [[1100, -150, -132.5], [1100, 1700, -132.5], [2400, 1700, -132.5]]}}
    (sheet,) = bay_sections(solved(tmp_path, runs))
    # 100 from axis to axis, 15 of it tube.
    assert "85" in texts(sheet)


def test_no_bay_no_joist_no_storey_where_there_are_none(tmp_path):
    schedule = solved(tmp_path, room={"post": {"box": {"from": [0, 0, 0], "to": [9, 9, 9]}}})
    assert bay_sections(schedule) == []
    assert joist_sheets(schedule) == []
    assert not has_storey(schedule)


def test_joists_cut_alike_share_a_sheet(tmp_path):
    schedule = solved(tmp_path, rules=["NBS 670"])
    (group,) = alike_joists(schedule)
    assert group.names == tuple(f"joists {k}" for k in range(1, 6))
    (sheet,) = joist_sheets(schedule)
    figures = texts(sheet)
    # NBS 670 of a span of 3500: notches 245 to 875, holes 875 to 1400; the tube goes through the middle at 1000.
    for figure in ("245", "630", "525", "1000", "112.5", "\u230015"):
        assert figure in figures, figure
    # In its zone it is not red.
    marks = [item for item in sheet.primitives() if isinstance(item, Circle)]
    assert {item.role for item in marks} == {Role.MARK}


@pytest.mark.parametrize(("x", "role"), [(870, Role.CLASH), (880, Role.MARK), (1395, Role.MARK), (1405, Role.CLASH)])
def test_a_hole_out_of_its_zone_is_red(x, role, tmp_path):
    runs = {"flow": {"points": [[x, -150, -132.5], [x, 1800, -132.5]]}}
    (sheet,) = joist_sheets(solved(tmp_path, runs, rules=["NBS 670"]))
    whole = min((i for i in sheet.primitives() if isinstance(i, Circle)), key=lambda circle: circle.radius)
    assert whole.role is role


def test_where_hatching_lies_is_where_a_hole_may_be(tmp_path):
    (sheet,) = joist_sheets(solved(tmp_path, rules=["City and Guilds"]))
    outline = [item for item in sheet.primitives() if isinstance(item, Line) and item.role is Role.OUTLINE]
    whole = 3500 / sheet.factor
    joist = [i for i in outline if len(i.points) == 2 and abs(i.points[1][0] - i.points[0][0]) == pytest.approx(whole)]
    assert len(joist) == 2
    left = min(p[0] for p in joist[0].points)
    strokes = [item for item in sheet.primitives() if isinstance(item, Line) and item.role is Role.HATCH]
    places = sorted((p[0] - left) * sheet.factor for line in strokes for p in line.points)
    # Page 121 of the book named in the rules: notches 0.07 to 0.25, holes 0.25 to 0.4 of the span, from either end.
    assert all(244 <= place <= 1401 or 2099 <= place <= 3256 for place in places)
    assert places[0] < 260
    assert places[-1] > 3240


def test_the_plan_numbers_bays_and_names_runs_and_what_is_wrong(tmp_path):
    schedule = solved(tmp_path, {"flow": RUNS["flow"]})
    sheet = storey_plan(schedule, [("joists 3", (1000.0, 800.0, -132.5))], Paper((A4,), Titles))
    said = texts(sheet)
    assert {f"bay {n}" for n in range(1, 6)} <= set(said)
    assert "joists 3" in said
    assert {"flow, start", "flow, finish"} <= set(said)
    assert len([i for i in sheet.primitives() if isinstance(i, Line) and i.role is Role.CLASH]) == 2


def test_what_several_rules_say_of_one_place_is_named_once(tmp_path):
    """Two rules against one hole at 300 from the support, in each of the joists that are gone through."""
    runs = {"flow": {"points": [[300, 150, -132.5], [300, 1000, -132.5]]}}
    schedule = solved(tmp_path, runs, rules=["NHBC 2020", "NBS 670"])
    wrong = [(f.against, f.point) for f in story.check(schedule.job).findings if f.code == "R102"]
    assert len(wrong) == 2
    far = [("far", (300.0, y, -132.5)) for y in (250.0, 900.0)]
    sheet = storey_plan(schedule, [*wrong, *far], Paper((A4,), Titles))
    names = [item.text for item in sheet.primitives() if isinstance(item, Text) and item.role is Role.CLASH]
    assert sorted(names) == ["far", "far", wrong[0][0]]


@pytest.mark.slow
def test_the_page_shows_them_without_frames_and_a_room_without_joists_has_none(tmp_path):
    def figures(schedule):
        page = html.fromstring(page_html(Results(schedule)))
        assert [page.text_content().count(once) for once in ("clear from the outside", "Ask the engineer")] in (
            [1, 1],
            [0, 0],
        )
        return [(f.findtext("figcaption"), f.xpath(".//svg//text()")) for f in page.xpath(BUILDING)]

    runs = {"flow": {"points": [[300, -150, -132.5], [300, 1800, -132.5], [2400, 1800, -132.5]]}}
    plan, bay, joists = figures(solved(tmp_path, runs, rules=["NBS 670"]))
    assert [plan[0], bay[0]] == ["Plan of the storey", "Section between joists 5 and joists 6"]
    assert joists[0] == "Joists 1 to 5: holes and notches"
    # The hole that the joists have not got is a clash with each, shown in the plan where it is.
    assert {f"joists {n}" for n in range(1, 6)} <= set(plan[1])
    assert bay[1].count("167.5") == 2
    assert {"245", "630", "525", "300"} <= set(joists[1])
    assert not {"owner", "scale"} & {word for _, said in (plan, bay, joists) for word in said}
    assert figures(solved(tmp_path, room={"post": {"box": {"from": [0, 0, 0], "to": [9, 9, 9]}}})) == []


def test_words_on_figures_of_the_page_stay_on_them(tmp_path):
    rules = ["NHBC 2020", "NBS 670", "City and Guilds"]
    schedule = solved(tmp_path, rules=rules, clearance=4, language="de")
    drawn = Results(schedule, paper_options=PaperOptions(language="de")).drawings.of_building([], figures=True)
    assert len(drawn) == 3
    for name, sheet in drawn:
        assert sheet.width == 100.0
        for text in (item for item in sheet.primitives() if isinstance(item, Text) and item.angle == 0.0):
            # As wide as the letters of the page's first face are, from another library.
            font = ImageFont.truetype(font_file(text.bold), 1000)
            wide = font.getlength(text.text) * text.height / CAP_HEIGHT / 1000.0
            left = text.at[0] - {"left": 0.0, "centre": 0.5, "right": 1.0}[text.align] * wide
            assert left >= -0.5, (name, text.text)
            assert left + wide <= 100.5, (name, text.text)
            assert 0.0 <= text.at[1] <= sheet.height - text.height, (name, text.text)


def test_what_a_leg_goes_through_is_no_bay(tmp_path):
    """The middle of the leg, y = 800, lies in joist 3 (775 to 825), whose own hole has wood on every side of it."""
    holes = [{"at": 1000, "down": 112.5, "diameter": 40}]
    room = {**ROOM, "joists": {"joists": {**JOISTS, "holes": holes}}}
    runs = {"flow": {"points": [[1000, -300, -132.5], [1000, 1900, -132.5]]}}
    assert bays(solved(tmp_path, runs, room)) == []


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_drawings_are_on_sheets_of_the_paper_of_the_pack(tmp_path, paper):
    """Sizes A, B, C of ASME Y14.1: 8.5 x 11, 11 x 17 and 17 x 22 in; ISO 216: A4, A3, A2."""
    sizes = {
        "A4": {(210.0, 297.0), (297.0, 420.0), (420.0, 594.0)},
        "Letter": {tuple(25.4 * inch for inch in inches) for inches in ((8.5, 11), (11, 17), (17, 22))},
    }[paper]
    drawings = Results(solved(tmp_path), paper_options=PaperOptions(paper=paper)).drawings
    sheets = [drawings.of_job(), drawings.to_set_out(), *drawings.of_runs()]
    sheets += [sheet for _, sheet in drawings.of_building([])]
    assert len(sheets) == 6
    for sheet in sheets:
        size = sorted((sheet.width, sheet.height))
        assert any(size == pytest.approx(list(one)) for one in sizes), sheet.title


@pytest.mark.parametrize("titles", [Titles, None])
@pytest.mark.parametrize("long", [900, 1500, 2500, 3500, 5000])
def test_figures_over_a_joist_stand_clear_of_each_other(long, titles, tmp_path):
    """Each figure a box as wide as its letters: none over another, though narrow zones have theirs beside arrows."""
    room = {"joists": {"joists": {**JOISTS, "length": long}}}
    runs = {"flow": {"points": [[0.35 * long, -150, -132.5], [0.35 * long, 1800, -132.5]]}}
    schedule = solved(tmp_path, runs, room, rules=["NHBC 2020", "NBS 670"])
    for group in alike_joists(schedule):
        said = joist_sheet(group, schedule.job.rules, Paper((A4,), titles)).primitives()
        level = [i for i in said if isinstance(i, Text) and i.align in ("left", "centre") and i.angle == 0.0]
        boxes = []
        for i in level:
            wide = ImageFont.truetype(font_file(), 1000).getlength(i.text) / 1000 * i.height / CAP_HEIGHT
            left = i.at[0] - (wide / 2 if i.align == "centre" else 0)
            boxes.append((i.text, box(left, i.at[1], left + wide, i.at[1] + i.height)))
        for (one, a), (other, b) in combinations(boxes, 2):
            assert a.intersection(b).area < 0.05, (one, other)


@pytest.mark.parametrize("figures", [True, False])
def test_figures_of_details_in_inches_stand_clear_of_each_other(figures, tmp_path):
    """Fractions of an inch are wider than the wood above and below a hole is drawn: upright ones are looked at too."""
    runs = {**RUNS, "gas": {"points": [[2900, -150, -120], [2900, 1800, -120]]}}
    schedule = solved(tmp_path, runs, rules=["NBS 670"], units="in")
    options = PaperOptions(INCHES, language="de")
    drawn = dict(Results(schedule, paper_options=options).drawings.of_building([], figures=figures))
    (sheet,) = [sheet for name, sheet in drawn.items() if "joists" in name]
    boxes = []
    for text in (item for item in sheet.primitives() if isinstance(item, Text)):
        wide = ImageFont.truetype(font_file(text.bold), 1000).getlength(text.text) / 1000 * text.height / CAP_HEIGHT
        left = -wide * {"left": 0.0, "centre": 0.5, "right": 1.0}[text.align]
        lies = translate(rotate(box(left, 0, left + wide, text.height), text.angle, origin=(0, 0)), *text.at)
        boxes.append((text.text, lies))
    assert sum("/16" in said for said, _ in boxes) > 4
    for (one, a), (other, b) in combinations(boxes, 2):
        assert a.intersection(b).area < 0.05, (one, other)


@pytest.mark.parametrize(("apart", "role"), [(60, Role.MARK), (40, Role.CLASH)])
def test_holes_too_near_to_each_other_are_red(apart, role, tmp_path):
    """NBS 670: three diameters from middle to middle, 45 mm for tube of 15 with no clearance."""
    runs = {name: {"points": [[x, -150, -132.5], [x, 1800, -132.5]]} for name, x in (("a", 1000), ("b", 1000 + apart))}
    (sheet,) = joist_sheets(solved(tmp_path, runs, rules=["NBS 670"]))
    circles = sorted((i for i in sheet.primitives() if isinstance(i, Circle)), key=lambda circle: circle.radius)
    assert [circle.role for circle in circles[:2]] == [role, role]
