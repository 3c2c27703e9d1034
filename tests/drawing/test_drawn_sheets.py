"""Whole sheets read back: items in SVG and DXF where they were put, the layout, and the general drawing."""

import io
import itertools
import re
import xml.etree.ElementTree as ElementTree

import ezdxf
import gallery
import numpy as np
import pytest
import shapely

from pipemodel.bending.schedule import solve
from pipemodel.drawing.dxf import to_dxf
from pipemodel.drawing.job_drawings import Drawings
from pipemodel.drawing.placing import box_of
from pipemodel.drawing.sheet import Circle, Dimension, Line, Role, Sheet, Text
from pipemodel.drawing.svg import to_svg
from pipemodel.drawing.title_block import Titles, draw_frame
from pipemodel.job.drawing_fields import NOTHING_GIVEN, DrawingFields
from pipemodel.messages.say import words
from pipemodel.messages.units import MM, units_for
from pipemodel.messages.values import Count, Length

SVG = "{http://www.w3.org/2000/svg}"


def some():
    """A sheet of 200 by 100 with one of each, drawn 1:5."""
    sheet = Sheet(200.0, 100.0, "some of each", factor=5.0)
    sheet.line([(10.0, 20.0), (30.0, 40.0), (50.0, 40.0)], Role.RUN_HIDDEN)
    sheet.line([(60.0, 20.0), (70.0, 20.0), (70.0, 40.0)], Role.OUTLINE, closed=True)
    sheet.line([(80.0, 20.0), (90.0, 20.0), (90.0, 40.0)], Role.MARK, closed=True, filled=True)
    sheet.circle((120.0, 50.0), 10.0, Role.ROOM)
    sheet.circle((150.0, 50.0), 10.0, Role.CLASH, 30.0, 120.0)
    sheet.circle((180.0, 50.0), 10.0, Role.CLASH, 0.0, 270.0)
    sheet.words("left", (10.0, 60.0), 3.6)
    sheet.words("centre", (60.0, 60.0), 3.6, "centre", bold=True)
    sheet.words("right & <up>", (190.0, 60.0), 3.6, "right", 90.0, Role.MARK)
    sheet.words("", (0.0, 0.0))
    return sheet


def test_an_svg_has_every_item_where_it_is_on_the_sheet():
    """y runs down in SVG: 100 less that of the sheet."""
    root = ElementTree.fromstring(to_svg(some()))
    assert (root.get("width"), root.get("height"), root.get("viewBox")) == ("200mm", "100mm", "0 0 200 100")
    assert root.find(f"{SVG}title").text == "some of each"
    assert [e.get("points") for e in root.iter(f"{SVG}polyline")] == ["10,80 30,60 50,60"]
    open_, filled = root.iter(f"{SVG}polygon")
    assert (open_.get("points"), open_.get("fill"), open_.get("stroke-width")) == ("60,80 70,80 70,60", "none", "0.5")
    assert (filled.get("points"), filled.get("fill"), filled.get("stroke")) == ("80,80 90,80 90,60", "#174a8c", None)
    (dashed,) = root.iter(f"{SVG}polyline")
    assert (dashed.get("stroke-dasharray"), dashed.get("stroke")) == ("2 0.8", "#000000")
    (circle,) = root.iter(f"{SVG}circle")
    assert (circle.get("cx"), circle.get("cy"), circle.get("r")) == ("120", "50", "10")
    # From 30 to 120 anticlockwise: from 8.66 right and 5 up of the centre to 5 left and 8.66 up; flag 0 goes that way.
    paths = [e.get("d") for e in root.iter(f"{SVG}path")]
    assert paths == ["M158.66 45A10 10 0 0 0 145 41.34", "M190 50A10 10 0 1 0 180 60"]
    texts = {e.text: e for e in root.iter(f"{SVG}text")}
    assert list(texts) == ["left", "centre", "right & <up>"]
    assert [(e.get("x"), e.get("y"), e.get("text-anchor"), e.get("font-size"), e.get("font-weight"))
            for e in texts.values()] == [("10", "40", "start", "5", None), ("60", "40", "middle", "5", "700"),
                                         ("190", "40", "end", "5", None)]  # fmt: skip
    # Anticlockwise on paper is below zero where y runs down.
    assert texts["right & <up>"].get("transform") == "rotate(-90 190 40)"


def test_a_dxf_has_every_item_at_full_size():
    """1:5: five times as large as on the sheet."""
    document = ezdxf.read(io.StringIO(to_dxf(some())))
    space = document.modelspace()
    open_, closed = space.query("LWPOLYLINE")
    assert [tuple(p[:2]) for p in open_] == [(50, 100), (150, 200), (250, 200)]
    assert (open_.closed, closed.closed) == (False, True)
    assert (open_.dxf.layer, closed.dxf.layer) == ("run-hidden", "outline")
    (circle,) = space.query("CIRCLE")
    assert (tuple(circle.dxf.center)[:2], circle.dxf.radius, circle.dxf.layer) == ((600, 250), 50, "room")
    arcs = space.query("ARC")
    assert [(a.dxf.start_angle, a.dxf.end_angle, a.dxf.radius) for a in arcs] == [(30, 120, 50), (0, 270, 50)]
    assert len(space.query("HATCH")) == 1
    left, centre, right = space.query("TEXT")
    assert [t.dxf.text for t in (left, centre, right)] == ["left", "centre", "right & <up>"]
    assert (left.dxf.halign, centre.dxf.halign, right.dxf.halign) == (0, 1, 2)
    assert tuple(left.dxf.insert)[:2] == (50, 300)
    assert tuple(centre.dxf.align_point)[:2] == (300, 300)
    assert tuple(right.dxf.align_point)[:2] == (950, 300)
    assert (left.dxf.height, left.dxf.rotation, right.dxf.rotation) == (18, 0, 90)
    viewport = document.layout("Layout1").query("VIEWPORT")[-1]
    assert tuple(viewport.dxf.center)[:2] == (100, 50)
    assert tuple(viewport.dxf.view_center_point)[:2] == (500, 250)
    assert (viewport.dxf.width, viewport.dxf.height, viewport.dxf.view_height) == (200, 100, 500)


def sheet_of(*runs, units=MM, given=NOTHING_GIVEN):
    return Drawings(solve(gallery.job("two planes", list(runs))), units, given)


def texts(sheet):
    return [item.text for item in sheet.items if isinstance(item, Text)]


@pytest.mark.parametrize("language", ["en", "de"])
def test_what_is_said_beside_the_title_block_stays_within_the_frame(language):
    units = units_for("in", language)
    note = words(units, "paper.far", n=Count(12_345), far=Length(300.0))
    sheet = Sheet(297.0, 210.0, "a")
    draw_frame(sheet, Titles("a", "b", note=note), "1:10", units, first_angle=True)
    said = [item for item in sheet.items if isinstance(item, Text) and item.at[0] < 100.0]
    assert "12345" in " ".join(item.text for item in said)
    # The frame's foot is at 10 mm; what hangs below a line of letters is about a third of their height.
    assert min(item.at[1] - item.height / 3.0 for item in said) > 10.0


def test_the_title_block_says_what_it_is_and_to_which_scale():
    given = DrawingFields("Hill Fitters", "H-12", "B", "2026-11-25", "A. Bender", "C. Checker")
    sheet = sheet_of(gallery.run("flow", gallery.TWO_PLANES), given=given).of_runs()[0]
    block = {item.text: item for item in sheet.items if isinstance(item, Text) and item.at[1] < 31.0}
    # ISO 7200 (from memory): a block of 180 at the right, each field with its name over it in the same cell.
    fields = {
        "owner": "Hill Fitters", "drawing number": "H-12", "revision": "B", "date": "2026-11-25",
        "drawn by": "A. Bender", "checked by": "C. Checker", "title": "flow", "what is drawn": "two planes",
        "scale": f"1:{sheet.factor:g}", "sheet": "3 of 3", "lengths in": "mm",
    }  # fmt: skip
    for name, value in fields.items():
        over, under = block[name], block[value]
        assert under.at[0] == pytest.approx(over.at[0])
        assert 0.3 < over.at[1] - under.at[1] - under.height < 4.0, name
        assert sheet.width - 190.0 <= under.at[0] < sheet.width - 10.0
    assert block["flow"].bold
    caution = " ".join(item.text for item in sheet.items if isinstance(item, Text) and 10.0 < item.at[1] < 31.0
                       and item.at[0] < sheet.width - 190.0)  # fmt: skip
    assert "licensed hands only" in caution
    assert "lengths in mm, legs corner to corner of the centreline, x east, y north, z up" in caution
    room = sheet_of(gallery.run("flow", gallery.TWO_PLANES)).of_job()
    assert {"two planes", "plan, elevations and isometric"} <= set(texts(room))
    frame = next(item for item in sheet.items if isinstance(item, Line) and item.closed and item.role is Role.FRAME)
    low, high = np.min(frame.points, axis=0), np.max(frame.points, axis=0)
    # ISO 5457 (from memory): 20 at the left, 10 at the other sides.
    assert (*low, *((sheet.width, sheet.height) - high)) == pytest.approx((20.0, 10.0, 10.0, 10.0))
    empty = sheet_of(gallery.run("flow", gallery.TWO_PLANES)).of_runs()[0]
    said = {item.text for item in empty.items if isinstance(item, Text) and item.role is not Role.PAPER}
    assert "drawn by" in said
    assert not said & set(fields.values()) - {"flow", "two planes", "mm", "3 of 3", f"1:{empty.factor:g}"}


def test_the_table_of_one_run_has_its_corners_and_that_of_two_their_ends():
    flow = gallery.run("flow", gallery.TWO_PLANES)
    said = texts(sheet_of(flow).of_runs()[0])
    row = said.index("bend 2")
    assert said[row : row + 7] == ["bend 2", "600", "400", "0", "400", "90\u00b0", "pull 2: 90 anticlockwise"]
    row = said.index("bend 1")
    assert said[row : row + 7] == ["bend 1", "600", "0", "0", "600", "90\u00b0", "pull 1"]
    other = gallery.run("tail", ((0.0, 0.0, 900.0), (500.0, 0.0, 900.0)))
    both = texts(sheet_of(flow, other).of_job())
    row = both.index("tail")
    assert both[row : row + 5] == ["tail", gallery.TUBE_15.name, "0, 0, 900", "500, 0, 900", "500"]
    row = both.index("flow")
    assert both[row + 2 : row + 4] == ["0, 0, 0", "600, 400, 350"]


def test_ends_are_named_where_they_lie_once_with_coordinates():
    """In the plan the finish of east 600, north 400 lies to the right of the start and above it."""
    sheet = sheet_of(gallery.run("flow", gallery.TWO_PLANES)).of_runs()[0]
    named = [item for item in sheet.items if isinstance(item, Text) and re.match(r"(start|finish)( \(|$)", item.text)
             and item.role is Role.DIMENSION and item.height == 2.2]  # fmt: skip
    with_place = sorted(item.text for item in named if "(" in item.text)
    assert with_place == ["finish (600, 400, 350)", "start (0, 0, 0)"]
    start, finish = (next(item for item in named if item.text.startswith(name + " (")) for name in ("start", "finish"))
    assert start.at[0] < finish.at[0]
    assert start.at[1] < finish.at[1]
    both = sheet_of(
        gallery.run("flow", gallery.TWO_PLANES), gallery.run("tail", ((0.0, 0.0, 900.0), (500.0, 0.0, 900.0)))
    ).of_job()
    assert "tail start" in texts(both)
    assert "flow finish" in texts(both)


def test_each_bend_says_its_angle_once_and_its_number_in_every_view():
    """60 in the plan: seen true from above, and stated nowhere else."""
    corners = ((0.0, 0.0, 0.0), (600.0, 0.0, 0.0), (800.0, 346.4101615, 0.0))
    sheet = sheet_of(gallery.run("flow", corners)).of_runs()[0]
    marks = [item.text for item in sheet.items if isinstance(item, Text) and item.role is Role.MARK]
    assert sorted(marks) == ["1", "1", "1", "1: 60\u00b0"]
    legs = sorted(item.text for item in sheet.items if isinstance(item, Dimension))
    assert legs == ["400", "600"]


def test_a_dimension_lies_outside_the_corner_it_goes_to():
    """East and then north: the corner is at the lower right, so the first leg's is below, the second's on the right."""
    sheet = sheet_of(gallery.run("flow", gallery.QUARTER)).of_runs()[0]
    first, second = (next(i for i in sheet.items if isinstance(i, Dimension) and i.text == t) for t in ("600", "400"))
    for item, out in ((first, (0.0, -1.0)), (second, (1.0, 0.0))):
        along = np.subtract(item.b, item.a) / np.linalg.norm(np.subtract(item.b, item.a))
        side = np.array([-along[1], along[0]]) * item.away
        assert along @ np.array(out) == pytest.approx(0.0, abs=1e-6)
        assert side @ np.array(out) > 5.0


def test_a_thing_of_the_room_is_drawn_in_its_own_line_and_named():
    block = gallery.Thing("block", gallery.Box((200.0, -300.0, -200.0), (400.0, -200.0, 300.0)))
    schedule = solve(gallery.job("one", [gallery.run("flow", gallery.QUARTER)], [block]))
    roles = {item.role for item in Drawings(schedule, MM).of_job().items if isinstance(item, Line | Circle)}
    assert {Role.RUN, Role.ROOM, Role.OUTLINE} <= roles
    assert "block" in texts(Drawings(schedule, MM).of_job())


@pytest.mark.parametrize("units", [MM, units_for("mm", "de")], ids=["en", "de"])
@pytest.mark.parametrize("finish", [(300.0, 60.0, 140.0), (240.0, 60.0, 900.0), (2100.0, 300.0, 300.0)])
def test_no_title_of_a_view_runs_into_another(units, finish):
    """However small a view comes out, and however long the words are that say from where it is seen."""
    x, y, z = finish
    corners = ((0.0, 0.0, 0.0), (x, 0.0, 0.0), (x, y + 200.0, 0.0), (x, y + 200.0, z))
    sheet = Drawings(solve(gallery.job("small", [gallery.run("rail", corners)])), units).of_job((297.0, 210.0))
    titles = [shapely.Polygon(box_of(item, 0.0)) for item in sheet.primitives() if isinstance(item, Text) and item.bold]
    assert len(titles) >= 5
    assert not any(a.intersects(b) for a, b in itertools.combinations(titles, 2))
