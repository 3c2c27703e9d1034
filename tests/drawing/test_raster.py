"""A sheet drawn over a picture, read back dot by dot: 40 by 20 mm, ten dots to the millimetre, on a blue ground."""

import numpy as np
import pytest
from PIL import Image

from pipemodel.drawing.primitives import Circle, Line, Text
from pipemodel.drawing.raster import draw_over
from pipemodel.drawing.sheet import Role, Sheet

GROUND, BLACK, WHITE, RED = (0, 0, 200), (0, 0, 0), (255, 255, 255), (161, 18, 18)


def drawn(*items):
    image = Image.new("RGB", (400, 200), GROUND)
    sheet = Sheet(40.0, 20.0)
    sheet.items.extend(items)
    draw_over(image, sheet, 10.0)
    return image


def at(image, x, y):
    """The colour at a place of the sheet, mm from its lower left corner."""
    return image.getpixel((round(x * 10.0), round((20.0 - y) * 10.0)))


def test_a_stroke_is_as_wide_as_its_pen_with_white_beside_it():
    """0.5 wide, with 0.25 of white on either side."""
    image = drawn(Line(((5.0, 5.0), (35.0, 5.0)), Role.OUTLINE))
    for off, colour in ((0.0, BLACK), (0.15, BLACK), (0.4, WHITE), (-0.4, WHITE), (0.8, GROUND), (-0.8, GROUND)):
        assert at(image, 20.0, 5.0 + off) == colour, off
    assert at(image, 20.0, 15.0) == GROUND  # the other way up it would lie there
    assert at(image, 3.0, 5.0) == at(image, 37.0, 5.0) == GROUND
    dashed = drawn(Line(((5.0, 5.0), (35.0, 5.0)), Role.RUN_HIDDEN))
    assert {at(dashed, x, 5.0) for x in np.arange(6.0, 34.0, 0.3)} == {BLACK}  # on a picture all are full


def test_white_lies_under_all_ink():
    image = drawn(Line(((5.0, 5.0), (35.0, 5.0)), Role.OUTLINE), Line(((20.0, 1.0), (20.0, 9.0)), Role.OUTLINE))
    assert at(image, 20.0, 5.0) == at(image, 19.6, 5.0) == at(image, 20.4, 5.0) == BLACK


def test_a_closed_line_goes_back_to_where_it_began_and_an_open_one_does_not():
    corner = ((5.0, 5.0), (25.0, 5.0), (25.0, 15.0))
    assert at(drawn(Line(corner, Role.OUTLINE, closed=True)), 15.0, 10.0) == BLACK
    assert at(drawn(Line(corner, Role.OUTLINE)), 15.0, 10.0) == GROUND


def test_an_area_is_filled_in_its_ink_and_has_no_white_round_it():
    image = drawn(Line(((5.0, 5.0), (25.0, 5.0), (25.0, 15.0)), Role.CLASH, closed=True, filled=True))
    assert at(image, 22.0, 8.0) == RED
    assert at(image, 8.0, 12.0) == GROUND
    assert WHITE not in {color for _, color in image.getcolors(maxcolors=100000)}
    image = drawn(Circle((20.0, 12.0), 3.0, Role.CLASH, filled=True, ink=(0.0, 1.0, 0.0)))
    assert at(image, 20.0, 12.0) == at(image, 22.5, 12.0) == (0, 255, 0)
    assert at(image, 23.5, 12.0) == at(image, 20.0, 8.0) == GROUND


def test_a_circle_is_drawn_about_its_centre_with_white_on_both_sides():
    """Its pen is 0.5 wide and lies on the circle, half to either side, the white a quarter beyond."""
    image = drawn(Circle((12.0, 8.0), 5.0, Role.CLASH))
    for dx, dy in ((1.0, 0.0), (-1.0, 0.0), (0.0, 1.0), (0.0, -1.0)):
        assert at(image, 12.0 + 5.0 * dx, 8.0 + 5.0 * dy) == RED
        assert at(image, 12.0 + 4.2 * dx, 8.0 + 4.2 * dy) == GROUND
        assert at(image, 12.0 + 5.8 * dx, 8.0 + 5.8 * dy) == GROUND
    assert at(image, 12.0, 8.0) == GROUND
    row = [at(image, x, 8.0) for x in np.arange(16.0, 18.0, 0.1)]
    assert row.count(RED) in (4, 5, 6)
    assert 3 <= row.count(WHITE) <= 7


@pytest.mark.parametrize("bold", [False, True])
@pytest.mark.parametrize(("align", "share"), [("left", 0.0), ("centre", 0.5), ("right", 1.0)])
def test_words_stand_on_their_line_as_high_as_they_say(align, share, bold):
    """Their baseline is where they are put; a letter has a little white of its own before and after it."""
    image = np.asarray(drawn(Text("HH", (20.0, 6.0), 5.0, align, bold=bold, ink=(1.0, 0.0, 0.0)))).astype(int)
    ink = (image[..., 0] > 200) & (image[..., 1] < 60) & (image[..., 2] < 60)
    rows, columns = np.nonzero(ink)
    assert (rows.max() + 1) / 10.0 == pytest.approx(20.0 - 6.0, abs=0.15)
    assert (rows.max() + 1 - rows.min()) / 10.0 == pytest.approx(5.0, abs=0.2)
    left, right = columns.min() / 10.0, (columns.max() + 1) / 10.0
    assert 20.0 - share * (right - left) == pytest.approx(left, abs=0.9)
    strokes = np.diff(np.flatnonzero(np.diff(ink[(rows.min() + rows.max()) // 2 - 15].astype(int))))[0] / 10.0
    assert bool(strokes > 1.0) is bold
    # A quarter of a millimetre of white round the letters.
    above = image[rows.min() - 2, columns.min() + 3]
    assert above.tolist() == list(WHITE)
    assert image[rows.min() - 6, columns.min() + 3].tolist() == list(GROUND)
