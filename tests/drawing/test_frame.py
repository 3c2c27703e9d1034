"""The frame of a drawing: reference fields as published for the sheets of ISO 5457, and how wide its lines are."""

import pytest

from pipemodel.drawing.primitives import PENS, Line, Role, Text
from pipemodel.drawing.sheet import Sheet
from pipemodel.drawing.title_block import Titles, draw_frame
from pipemodel.messages.units import MM

# Long and short side of A1, A2 and A3, and how many fields lie along them: a published summary of the standard's table.
FIELDS = {(841.0, 594.0): (16, 12), (594.0, 420.0): (12, 8), (420.0, 297.0): (8, 6)}


@pytest.mark.parametrize("size", FIELDS)
def test_a_large_sheet_has_as_many_reference_fields_as_published(size):
    sheet = Sheet(*size, "one")
    draw_frame(sheet, Titles("one"), "1:10", MM, first_angle=True)
    lines = [item for item in sheet.items if isinstance(item, Line)]
    outside = [t for t in sheet.items if isinstance(t, Text) and t.role is Role.PAPER]
    across, down = FIELDS[size]
    figures = [t.text for t in outside if t.text.isdigit()]
    letters = [t.text for t in outside if t.text.isalpha()]
    assert sorted(figures, key=int) == [str(n) for n in range(1, across + 1) for _ in range(2)]
    assert sorted(letters) == sorted(2 * "ABCDEFGHJKLM"[:down])
    # Lines between them, each 50 mm from the next, from the middle on.
    parted = [line.points[0] for line in lines if line.role is Role.FIELDS]
    assert len(parted) == 2 * (across - 1) + 2 * (down - 1)
    for x, y in parted:
        along = x - size[0] / 2.0 if y in (10.0, size[1] - 10.0) else y - size[1] / 2.0
        assert along / 50.0 == pytest.approx(round(along / 50.0))
    # The frame 20 from the left edge and 10 from the others.
    frame = next(line for line in lines if line.role is Role.FRAME and line.closed)
    assert set(frame.points) == {
        (20.0, 10.0),
        (size[0] - 10.0, 10.0),
        (size[0] - 10.0, size[1] - 10.0),
        (20.0, size[1] - 10.0),
    }
    assert (PENS[Role.FRAME].width, PENS[Role.FIELDS].width) == (0.7, 0.35)
