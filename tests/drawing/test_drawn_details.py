"""Small parts of drawings held to figures worked by hand and to the standards: pens, arrows, rings, arcs in PDF,
layouts, what of the room is shown.
"""

import io
from math import cos, radians, sin

import gallery
import numpy as np
import pytest
from pdf_lines import pages_of
from reportlab.pdfgen.canvas import Canvas

from pipemodel.bending.schedule import solve
from pipemodel.drawing.general import shown_room, shown_window
from pipemodel.drawing.labels import Label
from pipemodel.drawing.pdf import draw_on
from pipemodel.drawing.primitives import PENS, WHITE, arrow_head, moved
from pipemodel.drawing.projection import FRONTS, PLAN, SIDES
from pipemodel.drawing.sheet import Circle, Line, Role, Sheet, Text

ISO_WIDTHS = (0.13, 0.18, 0.25, 0.35, 0.5, 0.7, 1.0, 1.4, 2.0)
"""ISO 128-2, line widths; from memory."""
HELVETICA = ("Helvetica", "Helvetica-Bold")


def test_pens_are_of_the_standards_widths_and_what_matters_is_the_widest():
    assert {pen.width for pen in PENS.values()} <= set(ISO_WIDTHS)
    assert PENS[Role.PAPER].width == min(pen.width for pen in PENS.values())
    for role in (Role.OUTLINE, Role.MARK, Role.CLASH):
        assert PENS[role].width == max(pen.width for kind, pen in PENS.items() if kind is not Role.FRAME)
    # What is hidden is dashed, and thinner than what is seen; an axis is long-dashed dotted.
    for hidden, seen in ((Role.RUN_HIDDEN, Role.RUN), (Role.ROOM_HIDDEN, Role.ROOM)):
        assert PENS[hidden].dashes
        assert not PENS[seen].dashes
        assert PENS[hidden].width < PENS[seen].width
    dash, gap, dot, again = PENS[Role.CENTRE].dashes
    assert dash > gap == again > dot
    # Marks are blue and clashes red, darker than the light tube by far.
    red, green, blue = PENS[Role.MARK].colour
    assert blue > green > red
    red, green, blue = PENS[Role.CLASH].colour
    assert red > 3.0 * max(green, blue)


@pytest.mark.parametrize("angle", range(0, 360, 30))
def test_an_arrowhead_is_a_slim_triangle_whichever_way_it_points(angle):
    back = (cos(radians(angle)), sin(radians(angle)))
    tip, one, other = (np.array(p) for p in arrow_head((10.0, 5.0), back, 4.0).points)
    assert tip.tolist() == [10.0, 5.0]
    assert (one + other) / 2.0 == pytest.approx(tip + 4.0 * np.array(back))
    assert (one - other) @ np.array(back) == pytest.approx(0.0, abs=1e-9)
    assert np.linalg.norm(one - other) == pytest.approx(2.0 * 4.0 * 0.1316, abs=1e-3)  # tan 7.5 degrees


def test_things_are_moved_as_they_are():
    assert moved(Line(((1.0, 2.0), (3.0, 5.0)), Role.RUN), (10.0, 20.0)).points == ((11.0, 22.0), (13.0, 25.0))
    assert moved(Circle((1.0, 2.0), 3.0, Role.RUN), (10.0, 20.0)).centre == (11.0, 22.0)
    assert moved(Text("a", (1.0, 2.0)), (10.0, 20.0)).at == (11.0, 22.0)


def test_a_ring_on_paper_is_white_within_and_another_in_its_colour():
    """Its near edge is where the label begins; the number in its middle."""
    for ring, ground in ((Role.PAPER, WHITE), (Role.FORMER, None)):
        area, rim, words = Label("7", 3.0, bold=True, ring=ring).drawn((50.0, 40.0), (1.0, 0.0))
        assert (area.filled, area.ink, area.role) == (True, ground, ring)
        assert (rim.filled, rim.centre, rim.radius) == (False, area.centre, area.radius)
        assert area.centre == (pytest.approx(50.0 + 3.24 - 1.5), 40.0)
        assert (words.text, words.align, words.bold) == ("7", "centre", True)
        assert words.at == (area.centre[0], pytest.approx(40.0 - 1.5))


@pytest.mark.parametrize(("way", "align"), [((1.0, 0.0), "left"), ((-1.0, 0.0), "right"), ((0.0, 1.0), "centre")])
def test_a_label_runs_away_from_what_it_names_and_its_second_line_is_under_the_first(way, align):
    one, two = Label("finish", 2.2, under="300 more").drawn((50.0, 40.0), way)
    assert (one.text, one.align, two.text, two.align) == ("finish", align, "300 more", align)
    assert one.at[0] == two.at[0] == 50.0
    assert one.at[1] - two.at[1] == pytest.approx(1.36 * 2.2)
    assert two.height < one.height
    if way == (0.0, 1.0):  # above: even the lower line is
        assert two.at[1] > 40.0 - 2.2


def painted(sheet):
    out = io.BytesIO()
    canvas = Canvas(out, pagesize=(300.0, 300.0), pageCompression=0)
    draw_on(canvas, sheet, 10.0, 20.0, HELVETICA)
    canvas.showPage()
    canvas.save()
    return pages_of(out.getvalue())[0], out.getvalue()


@pytest.mark.parametrize(("start", "finish"), [(30.0, 120.0), (0.0, 270.0), (-30.0, 90.0), (90.0, 90.5)])
def test_an_arc_on_a_pdf_page_goes_anticlockwise_from_its_start_to_its_finish(start, finish):
    sheet = Sheet(80.0, 60.0)
    sheet.circle((40.0, 30.0), 10.0, Role.CLASH, start, finish)
    (path,) = painted(sheet)[0].paths
    middle = np.array([50.0, 50.0])  # 10 to the right and 20 up
    reach = path.points - middle
    assert np.hypot(*reach.T) == pytest.approx(np.full(len(reach), 10.0), abs=0.01)
    for place, angle in ((reach[0], start), (reach[-1], finish)):
        assert place == pytest.approx([10.0 * cos(radians(angle)), 10.0 * sin(radians(angle))], abs=0.01)
    turned = np.degrees(np.unwrap(np.arctan2(reach[:, 1], reach[:, 0])))
    assert turned[-1] - turned[0] == pytest.approx(finish - start, abs=0.1)
    assert np.diff(turned).min() > 0.0


def test_lines_on_a_pdf_page_have_round_ends_as_wide_as_their_pen_and_their_dashes():
    sheet = Sheet(80.0, 60.0)
    sheet.line([(0.0, 0.0), (30.0, 40.0)], Role.RUN_HIDDEN)
    sheet.line([(5.0, 5.0), (15.0, 5.0), (15.0, 9.0)], Role.MARK, closed=True, filled=True)
    page, raw = painted(sheet)
    one, two = page.paths
    assert one.points.tolist() == [pytest.approx([10.0, 20.0]), pytest.approx([40.0, 60.0])]
    assert (one.filled, one.closed, round(one.width, 3)) == (False, False, 0.25)
    assert (two.filled, two.closed) == (True, True)
    assert b"1 J" in raw  # ISO 32000-1, 8.4.3.3: 1 is a round cap, and 1 j a round join
    assert b"1 j" in raw
    assert b"[2 .8] 0 d" in raw


def test_words_on_a_pdf_page_stand_where_they_are_put():
    sheet = Sheet(80.0, 60.0)
    for align in ("left", "centre", "right"):
        sheet.words(align, (40.0, 30.0), 3.6, align)
    sheet.words("up", (20.0, 10.0), 3.6, angle=90.0, bold=True)
    _, raw = painted(sheet)
    # The font's size over the capitals' height is that of DejaVu Sans; 3.6 / 0.72 = 5 mm.
    assert raw.count(b"/F1 5 Tf") >= 1
    assert b"/F2 5 Tf" in raw or b"/F3 5 Tf" in raw
    assert b"(up)" in raw
    from reportlab.pdfbase.pdfmetrics import stringWidth

    for align, share in (("left", 0.0), ("centre", 0.5), ("right", 1.0)):
        at = 40.0 - share * stringWidth(align, "Helvetica", 5.0)
        (line,) = [text for text in raw.split(b"\n") if b"(" + align.encode() + b")" in text]
        assert float(line.split(b" Tm")[0].split()[-2]) == pytest.approx(at, abs=0.01)
        assert float(line.split(b" Tm")[0].split()[-1]) == pytest.approx(30.0, abs=0.01)


def test_of_the_room_what_is_near_the_runs_is_shown_and_no_more():
    """600 by 400 flat: the tube's 15 about it, and no more than 0.15 of 630 and two tubes beyond; views share it."""
    run = solve(gallery.job("one", [gallery.run("flow", gallery.QUARTER)])).runs[0]

    def window(view, bounds):
        return shown_window(view, shown_room([run], bounds), [run])

    assert window(PLAN, ()) == pytest.approx((-15.0, -15.0, 615.0, 415.0))
    reach = 0.15 * 630.0 + 30.0
    far = [(-9000.0, -9000.0, -9000.0), (9000.0, 9000.0, 9000.0)]
    assert window(PLAN, far) == pytest.approx((-15.0 - reach, -15.0 - reach, 615.0 + reach, 415.0 + reach))
    near = [(-40.0, -50.0, 0.0), (650.0, 430.0, 0.0)]
    assert window(PLAN, near) == pytest.approx((-55.0, -65.0, 665.0, 445.0))
    # From the south, east is to the right and up is up; up, where the run is flat, 150 at most is shown.
    assert window(FRONTS[0], [(0.0, 0.0, 30.0)]) == pytest.approx((-15.0, -15.0, 615.0, 45.0))
    (left, _, right, _), (_, low, _, high) = window(PLAN, far), window(SIDES[0], far)
    front = window(FRONTS[0], far)
    assert (front.left, front.low, front.right, front.high) == pytest.approx((left, low, right, high))
    assert reach < 150.0
