"""Frame and title block of a drawing.

Margins, frame, centring marks and reference fields are those of ISO 5457 (but for the height of their letters, 3.5
there: the foot of a page stands below them), the data fields those of ISO 7200, the symbol of first angle projection
that of ISO 5456-2. How many fields there are, and the lines between them, are from a published summary of ISO 5457, all
else from memory of the standards. A field that the job does not give stays empty: nothing is made up.
"""

from dataclasses import dataclass
from typing import Protocol

from pipemodel.drawing.clipping import ClipWindow
from pipemodel.drawing.lettering import fitting, width_of, wrapped
from pipemodel.drawing.primitives import FlatPoint, Role
from pipemodel.drawing.sheet import Sheet
from pipemodel.job.drawing_fields import NOTHING_GIVEN, DrawingFields
from pipemodel.messages.say import words
from pipemodel.messages.units import Units
from pipemodel.messages.values import Count, Name, Word
from pipemodel.wording.cautions import short_caution
from pipemodel.wording.safe_text import shown

EDGE, BINDING = 10.0, 20.0
"""Margins: all round, and at the left, where sheets are filed."""
INSIDE = 3.0
"""Between the frame and what is drawn."""
BLOCK_MM, ROW_MM = 180.0, 7.0
FOOT = 3.0 * ROW_MM
LABEL_MM, VALUE_MM, LARGE_MM = 1.5, 2.2, 2.7
NOTE_HEIGHTS = (2.0, 1.8, 1.6)
"""Of the notes beside the block: the first with which they stay within the frame."""
BESIDE_MM, OVER_MM = 40.0, 10.0
"""How wide the notes are at least beside the block, and how high over it, on a sheet where that is not to be had."""
CENTRING_MM = 2.5
"""How far a centring mark reaches into the frame: no farther than where drawing begins."""
_GRID_FROM = 400.0
"""Sheets at least as wide as this have reference fields."""
_FIELD_MM, DIVISION_MM = 50.0, 3.3
_LETTERS = "ABCDEFGHJKLMNPQRSTUVWXYZ"


@dataclass(frozen=True)
class Titles:
    """What the title block says: what is drawn, of which job, what the job gives for it, and which sheet it is."""

    title: str
    job: str = ""
    given: DrawingFields = NOTHING_GIVEN
    sheet: int = 1
    sheets: int = 1
    note: str = ""
    """What is to be known of the drawing besides."""


class Titled(Protocol):
    """Returns what the title block of the next sheet says: a title, what is drawn (the job if left out), and a note."""

    def __call__(self, title: str, drawn: str = "", note: str = "") -> Titles:
        """Take the next number."""


def drawing_area(size: FlatPoint) -> ClipWindow:
    """Return what of a sheet is free for drawing: within the frame, over the title block and notes over that, mm."""
    width, height = size
    low = EDGE + FOOT + INSIDE + (OVER_MM if _is_narrow(width) else 0.0)
    return ClipWindow(BINDING + INSIDE, low, width - EDGE - INSIDE, height - EDGE - INSIDE)


def _is_narrow(width: float) -> bool:
    return width - BINDING - EDGE - BLOCK_MM < BESIDE_MM


def has_fields(width: float) -> bool:
    """Tell whether a sheet so wide, mm, has reference fields along its edges."""
    return width >= _GRID_FROM


def draw_frame(sheet: Sheet, titles: Titles, scale: str, units: Units, first_angle: bool) -> None:
    """Draw the frame and the title block of a sheet.

    Args:
        sheet: what is drawn on.
        titles: what the block says.
        scale: of the views that have no other beside their name, such as "1:10".
        units: what lengths are read in.
        first_angle: whether the views take the places of first angle projection; else each only says from where it is.
    """
    w, h = sheet.width, sheet.height
    corners = [(BINDING, EDGE), (w - EDGE, EDGE), (w - EDGE, h - EDGE), (BINDING, h - EDGE)]
    sheet.line(corners, Role.FRAME, closed=True)
    _centring_marks(sheet)
    right, top = w - EDGE, EDGE + FOOT
    left = max(right - BLOCK_MM, BINDING)
    sheet.line([(left, EDGE), (left, top), (right, top)], Role.OUTLINE)
    given = titles.given
    rows: tuple[tuple[tuple[str, str, float], ...], ...] = (
        (("owner", given.owner, 65.0), ("drawn by", given.drawn_by, 40.0), ("checked by", given.checked_by, 40.0),
         ("scale", scale, 35.0)),
        (("title", titles.title, 105.0), ("number", given.number, 55.0), ("revision", given.revision, 20.0)),
        (("of job", titles.job, 85.0), ("projection", "", 20.0), ("date", given.date, 30.0),
         ("lengths in", units.said, 20.0), ("sheet", "", 25.0)),
    )  # fmt: skip
    for number, row in enumerate(rows):
        low, x = top - ROW_MM * (number + 1), left
        if number:
            sheet.line([(left, low + ROW_MM), (right, low + ROW_MM)], Role.ROOM)
        for key, value, wide in row:
            if x > left:
                sheet.line([(x, low), (x, low + ROW_MM)], Role.ROOM)
            # A cell is named in the reader's language; its key is part of the template's name.
            sheet.words(words(units, "drawing.field", field=Word(key)), (x + 1.0, low + ROW_MM - 2.1), LABEL_MM)
            if key == "sheet":
                value = words(units, "drawing.sheet", sheet=Count(titles.sheet), sheets=Count(titles.sheets))
            if key == "projection":
                if first_angle:
                    _projection_symbol(sheet, (x + wide / 2.0 + 1.5, low + 2.4))
            else:
                large = key in ("title", "scale", "number")
                _value(sheet, value, (x + 1.0, low + 1.2), wide - 2.0, LARGE_MM if large else VALUE_MM, large)
            x += wide
    notes = ClipWindow(BINDING + INSIDE, EDGE, left - 2.0, top)
    if _is_narrow(w):
        notes = ClipWindow(BINDING + INSIDE, top, right - INSIDE, top + OVER_MM)
    _notes(sheet, notes, titles.note, units)


def _value(sheet: Sheet, text: str, at: FlatPoint, room: float, height: float, bold: bool) -> None:
    """Write a value as large as goes into its cell, and shorten what is too long for the least letters."""
    text = shown(text, 90)
    while height > VALUE_MM - 0.4 and width_of(text, height, bold) > room:
        height -= 0.2
    sheet.words(fitting(text, height, room, bold), at, height, bold=bold)


def _notes(sheet: Sheet, area: ClipWindow, note: str, units: Units) -> None:
    """Write the caution, and what is dimensioned, beside the title block, or over it where there is no room beside."""
    unit = Name(units.said, quoted=False)
    texts = (short_caution(units), words(units, "drawing.lengths", unit=unit), note)
    height, lines = 2.0, list[str]()
    for height in NOTE_HEIGHTS:
        lines = [line for text in texts for line in wrapped(text, height, area.width)]
        if 4.0 + 1.5 * height * (len(lines) - 1) <= area.height:
            break
    for k, line in enumerate(lines):
        sheet.words(line, (area.left, area.high - 3.2 - 1.5 * height * k), height)


def _centring_marks(sheet: Sheet) -> None:
    """Draw the marks at the middles of the sheet's sides, and on a large one letters and figures along them."""
    w, h = sheet.width, sheet.height
    for a, b in (
        ((0.0, h / 2.0), (BINDING + CENTRING_MM, h / 2.0)),
        ((w, h / 2.0), (w - EDGE - CENTRING_MM, h / 2.0)),
        ((w / 2.0, h), (w / 2.0, h - EDGE - CENTRING_MM)),
        ((w / 2.0, 0.0), (w / 2.0, EDGE)),
    ):
        sheet.line([a, b], Role.FRAME)
    if not has_fields(w):
        return
    # From the middle on, 50 mm each; what is left over goes to those at the corners.
    across, down = round(w / 2.0 / _FIELD_MM) * 2, round(h / 2.0 / _FIELD_MM) * 2
    for k in range(across):
        x = w / 2.0 + (k - across / 2.0 + 0.5) * _FIELD_MM
        for y, out in ((EDGE, -1.0), (h - EDGE, 1.0)):
            sheet.words(str(k + 1), (x, y - 3.3 if out < 0.0 else y + 1.5), 2.5, "centre", role=Role.PAPER)
            _division(sheet, k, (x - _FIELD_MM / 2.0, y), (0.0, out))
    for k in range(down):
        y = h / 2.0 + (down / 2.0 - k - 0.5) * _FIELD_MM
        for x, out in ((BINDING, -1.0), (w - EDGE, 1.0)):
            sheet.words(_LETTERS[k], (x + 4.0 * out, y - 1.2), 2.5, "centre", role=Role.PAPER)
            _division(sheet, k, (x, y + _FIELD_MM / 2.0), (out, 0.0))


def _division(sheet: Sheet, k: int, at: FlatPoint, out: FlatPoint) -> None:
    """Draw the line before the reference field of a number, from the frame outwards; none before the first."""
    if k:
        sheet.line([at, (at[0] + DIVISION_MM * out[0], at[1] + DIVISION_MM * out[1])], Role.FIELDS)


def _projection_symbol(sheet: Sheet, middle: FlatPoint) -> None:
    """Draw a cut cone from the front and, to the right of it, from its small end at the left."""
    (x, y), r = middle, 1.5
    a, b, c = x - 2.0 * r - 1.6, x - 1.6, x + r + 0.6
    sheet.line([(a, y - r / 2.0), (b, y - r), (b, y + r), (a, y + r / 2.0)], Role.ROOM, closed=True)
    for radius in (r, r / 2.0):
        sheet.circle((c, y), radius, Role.ROOM)
    sheet.line([(a - 0.8, y), (b + 0.8, y)], Role.CENTRE)
    sheet.line([(c - r - 0.8, y), (c + r + 0.8, y)], Role.CENTRE)
    sheet.line([(c, y - r - 0.5), (c, y + r + 0.5)], Role.CENTRE)
