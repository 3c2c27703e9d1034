"""Drawings of room and runs: what they say, that it can be read, and that other programs can open them."""

import io
import re
import xml.etree.ElementTree as ElementTree
from functools import cache
from itertools import combinations
from math import cos, hypot, radians, sin

import ezdxf
import gallery
import pytest
from command_line import CUPBOARD, run
from made_once import kept
from PIL import ImageFont
from wide import few_or_many

from pipemodel import story
from pipemodel.bending.bends import corners_of
from pipemodel.bending.schedule import solve
from pipemodel.drawing.dimension import Dimension
from pipemodel.drawing.dxf import to_dxf
from pipemodel.drawing.fonts import font_file
from pipemodel.drawing.job_drawings import Drawings
from pipemodel.drawing.layout import SCALES
from pipemodel.drawing.lettering import width_of
from pipemodel.drawing.placing import overlap
from pipemodel.drawing.sheet import Line, Role, Sheet, Text
from pipemodel.drawing.svg import to_svg
from pipemodel.drawing.tape_line import tape_line
from pipemodel.geometry.vectors import distance
from pipemodel.job.drawing_fields import DrawingFields
from pipemodel.messages.units import INCHES, MM

JOBS = ("airing_cupboard", "clashing", "return_run", "straight", "unbendable_order", "two_runs")
A4 = (297.0, 210.0)
SHEETS = (((420.0, 297.0), MM), (A4, INCHES))
EACH_ON_BOTH = [(named, *sheet) for named in JOBS for sheet in SHEETS]
EACH_ONCE = [(named, *SHEETS[n % 2]) for n, named in enumerate(reversed(JOBS))]
"""By day each job on one of the sheets, by turns."""


@kept
def sheets(named, size=(420.0, 297.0), units=MM):
    """The sheets of a job of the gallery, drawn once."""
    drawings = Drawings(solve(getattr(gallery, named)()), units)
    return [drawings.of_job(size), *drawings.of_runs(size)]


KEPT_OFF = (Role.DIMENSION, Role.RUN, Role.RUN_HIDDEN, Role.ROOM, Role.ROOM_HIDDEN, Role.CUT, Role.HATCH, Role.PAPER)
"""Lines that no words lie on."""


def real_width(text, height, bold):
    """How wide DejaVu Sans really runs; capitals are 0.729 of its size (from the font itself)."""
    return face(bold).getlength(text) / 1000.0 * height / 0.729


@cache
def face(bold):
    return ImageFont.truetype(font_file(bold), 1000)


def outline(words):
    """The real room a line of text takes, less a hair."""
    wide = real_width(words.text, words.height, words.bold) - 0.1
    left = {"left": 0.05, "centre": -wide / 2.0, "right": -wide - 0.05}[words.align]
    c, s = cos(radians(words.angle)), sin(radians(words.angle))
    corners = ((left, 0.0), (left + wide, 0.0), (left + wide, words.height), (left, words.height))
    return tuple((words.at[0] + x * c - y * s, words.at[1] + x * s + y * c) for x, y in corners)


@pytest.mark.slow
@pytest.mark.parametrize(("named", "size", "units"), few_or_many(EACH_ONCE, EACH_ON_BOTH))
def test_no_words_run_into_words_dimensions_tubes_edges_or_hatching(named, size, units):
    for sheet in sheets(named, size, units):
        words = {item: outline(item) for item in sheet.primitives() if isinstance(item, Text)}
        for a, b in combinations(words, 2):
            assert not overlap(words[a], words[b]), (a.text, b.text)
        lines = [
            pair
            for item in sheet.primitives()
            if isinstance(item, Line) and item.role in KEPT_OFF
            for pair in zip(item.points, item.points[1:], strict=False)
        ]
        for item, box in words.items():
            assert not any(overlap(box, line) for line in lines), item.text


@pytest.mark.slow
@pytest.mark.parametrize("named", JOBS)
def test_everything_lies_on_the_sheet(named):
    for sheet in sheets(named):
        w, h = sheet.width, sheet.height
        # But for the marks at the middles of its sides, and the reference fields along them.
        on = [i for i in sheet.primitives() if not isinstance(i, Text) or i.role is not Role.PAPER]
        on = [i for i in on if i.role is not Role.FIELDS]
        centred = [i for i in on if isinstance(i, Line) and any(p in ((0, h / 2), (w, h / 2), (w / 2, 0), (w / 2, h))
                                                                for p in i.points)]  # fmt: skip
        assert len(centred) == 4
        for item in (i for i in on if i not in centred):
            for x, y in outline(item) if isinstance(item, Text) else getattr(item, "points", ()):
                assert 10.0 - 1e-6 <= x <= sheet.width - 10.0 + 1e-6, item
                assert 10.0 - 1e-6 <= y <= sheet.height - 10.0 + 1e-6, item


def test_letters_take_no_more_room_than_reckoned():
    texts = ["start (0, 120, 450)", "1321", "169.5", "waste pipe", "Plan, from above", "16 1/4", "MW@%", "north joist"]
    for text in texts:
        for bold in (False, True):
            assert real_width(text, 2.5, bold) <= width_of(text, 2.5, bold) * 1.03


@pytest.mark.parametrize("named", ["airing_cupboard", "return_run"])
def test_each_leg_is_dimensioned_once_corner_to_corner_in_true_length(named):
    solved = solve(getattr(gallery, named)()).runs[0]
    corners, _ = corners_of(solved.table)
    legs = [distance(a, b) for a, b in zip(corners, corners[1:], strict=False)]
    sheet = sheets(named)[1]
    dimensions = [item for item in sheet.items if isinstance(item, Dimension)]
    assert sorted(d.text for d in dimensions) == sorted(MM.short(leg) for leg in legs)
    for d in dimensions:
        drawn = hypot(d.b[0] - d.a[0], d.b[1] - d.a[1]) * sheet.factor
        assert any(drawn == pytest.approx(leg, abs=1e-6) and d.text == MM.short(leg) for leg in legs)


def test_scales_are_standard_and_the_largest_that_fits():
    # ISO 5455:1979 table 1, reductions: 1:2, 1:5, 1:10, 1:20, ... (from memory)
    assert [n for n in SCALES[:9] if n != 25] == [1, 2, 5, 10, 20, 50, 100, 200]
    sheet = sheets("airing_cupboard")[1]
    assert sheet.factor == 10.0  # 1861 long: at 1:5 the front view alone would be 372 of 384 wide, less its margins
    assert {"1:10"} <= {i.text for i in sheet.items if isinstance(i, Text)}


def test_bends_are_numbered_in_every_view_and_their_angles_given():
    sheet = sheets("airing_cupboard")[1]
    numbers = [i.text for i in sheet.items if isinstance(i, Text) and i.role == Role.MARK]
    for bend in solve(gallery.airing_cupboard()).runs[0].table.bends:
        mine = [text for text in numbers if text.split(":")[0] == str(bend.number)]
        assert len(mine) == 4
        assert sum(f"{bend.angle_deg:.0f}\u00b0" in text for text in mine) == 1


def test_corners_are_listed_with_their_coordinates():
    sheet = sheets("airing_cupboard")[1]
    texts = {i.text for i in sheet.items if isinstance(i, Text)}
    assert {"start (0, 120, 450)", "finish (1861, 240, 300)", "x", "y", "z", "420", "-95", "540"} <= texts


def test_walls_in_front_of_the_eye_are_left_out_and_named():
    sheet = sheets("airing_cupboard")[0]
    texts = [i.text for i in sheet.items if isinstance(i, Text)]
    assert "without south joist" in texts  # before the elevation
    assert "without floorboards" in texts  # over the plan


def test_svg_is_well_formed_and_says_all_of_the_sheet():
    for sheet in sheets("airing_cupboard"):
        root = ElementTree.fromstring(to_svg(sheet))
        texts = [e.text for e in root.iter("{http://www.w3.org/2000/svg}text")]
        assert texts == [i.text for i in sheet.primitives() if isinstance(i, Text)]
        assert root.get("width") == "420mm"


@pytest.mark.slow
@pytest.mark.parametrize("named", JOBS)
def test_dxf_opens_without_a_complaint_and_measures_right(named):
    measured = 0
    for sheet in sheets(named):
        document = ezdxf.read(io.StringIO(to_dxf(sheet)))
        auditor = document.audit()
        assert not auditor.errors
        assert not auditor.fixes
        assert document.units == ezdxf.units.MM
        texts = [e.dxf.text for e in document.modelspace().query("TEXT")]
        assert texts == [i.text for i in sheet.items if isinstance(i, Text)]
        for dimension in document.modelspace().query("DIMENSION"):
            # In model space a mm is a mm: what CAD measures is the leg, and the figure is the leg rounded.
            assert float(dimension.dxf.text) == pytest.approx(dimension.get_measurement(), abs=0.25 + 1e-6)
            measured += 1
    layers = {layer.dxf.name for layer in document.layers}
    assert {role.value for role in Role} <= layers
    assert document.layers.get("run-hidden").dxf.linetype == "DASHED"
    # Every leg of these runs lies along an axis plane: each is dimensioned on the room's drawing and on the run's own.
    assert measured == 2 * sum(len(run.route.corners) - 1 for run in getattr(gallery, named)().runs)


@pytest.mark.slow
def test_dxf_shows_the_sheet_on_paper_to_scale():
    sheet = sheets("airing_cupboard")[1]
    document = ezdxf.read(io.StringIO(to_dxf(sheet)))
    viewport = document.layout("Layout1").query("VIEWPORT")[-1]
    assert viewport.dxf.view_height / viewport.dxf.height == pytest.approx(sheet.factor)


def test_inches_on_a_drawing():
    sheet = sheets("airing_cupboard", units=INCHES)[1]
    texts = [i.text for i in sheet.items if isinstance(i, Dimension)]
    assert "21 7/16" in texts  # 545 / 25.4 = 21.457, nearest sixteenth 21 7/16
    assert any("lengths in in" in i.text for i in sheet.items if isinstance(i, Text))


@pytest.mark.slow
@pytest.mark.parametrize("name", gallery.HOSTILE_NAMES)
def test_names_can_do_nothing(name):
    job = gallery.job(name, [gallery.run(name, gallery.QUARTER)], gallery.ROOM[:1])
    drawings = Drawings(solve(job), MM, DrawingFields(name, name, name, "", name, name))
    for sheet in (drawings.of_job(), *drawings.of_runs()):
        text = to_svg(sheet)
        root = ElementTree.fromstring(text.encode("utf-8", "strict"))
        assert {e.tag.split("}")[1] for e in root.iter()} <= {
            "svg", "title", "rect", "text", "polyline", "polygon", "circle", "path",
        }  # fmt: skip
        assert not re.search("[\u202a-\u202e\u2066-\u2069\x00-\x08\x1b]", text)
        document = ezdxf.read(io.StringIO(to_dxf(sheet)))
        assert not document.audit().errors


@pytest.mark.slow
def test_make_writes_them_and_twice_the_same(tmp_path):
    path = tmp_path / "cupboard.yaml"
    path.write_bytes(CUPBOARD.read_bytes())
    for out in ("a", "b"):
        assert run("make", path, "--out", tmp_path / out, "--only", "svg,dxf").code == 0
    names = sorted(p.name for p in (tmp_path / "a").iterdir() if not p.name.startswith("."))
    assert {"job.svg", "job.dxf"} < set(names)
    for name in names:
        assert (tmp_path / "a" / name).read_bytes() == (tmp_path / "b" / name).read_bytes()


def test_dimensions_are_read_from_below_or_from_the_right():
    sheet = Sheet(100.0, 100.0)
    for angle in range(0, 360, 15):
        b = (50.0 + 40.0 * cos(radians(angle)), 50.0 + 40.0 * sin(radians(angle)))
        sheet.dimension((50.0, 50.0), b, 5.0, "40")
    angles = [i.angle for i in sheet.primitives() if isinstance(i, Text)]
    assert all(-90.0 < (angle + 180.0) % 360.0 - 180.0 <= 90.0 + 1e-6 for angle in angles)


@pytest.mark.parametrize("units", [MM, INCHES], ids=["mm", "in"])
@pytest.mark.parametrize("named", JOBS)
def test_words_on_the_tape_line_keep_clear_of_each_other(named, units):
    schedule = solve(getattr(gallery, named)())
    for solved, plan in zip(schedule.runs, story.plans(schedule), strict=True):
        sheet = tape_line(solved, plan, units=units)
        words = {item: outline(item) for item in sheet.primitives() if isinstance(item, Text)}
        for a, b in combinations(words, 2):
            assert not overlap(words[a], words[b]), (a.text, b.text)
        for box in words.values():
            assert all(0.0 <= x <= sheet.width and 0.0 <= y <= sheet.height for x, y in box)
