"""What every drawing is made of: strokes, arcs and words, each with a role that says what it stands for.

Line widths and dash lengths follow ISO 128-2: wide 0.5, narrow 0.25; hidden edges dashed, centre lines
long-dashed dotted.
"""

from enum import Enum
from typing import Literal, NamedTuple, TypeAlias

from pipemodel.geometry.view import FlatPoint as FlatPoint


class Role(Enum):
    """What a line or word stands for."""

    FRAME = "frame"
    FIELDS = "fields"
    OUTLINE = "outline"
    RUN = "run"
    RUN_HIDDEN = "run-hidden"
    HIDDEN = "hidden"
    CENTRE = "centre"
    DIMENSION = "dimension"
    MARK = "mark"
    ROOM = "room"
    ROOM_HIDDEN = "room-hidden"
    CUT = "cut"
    HATCH = "hatch"
    PAPER = "paper"
    CLASH = "clash"
    TUBE = "tube"
    TUBE_NEW = "tube-new"
    FORMER = "former"
    GUIDE = "guide"
    LEVER = "lever"
    INSIDE = "inside"
    WAY_DASHED = "way-dashed"
    WAY_DOTTED = "way-dotted"


Ink: TypeAlias = tuple[float, float, float]
"""Red, green and blue, 0 to 1."""


class Pen(NamedTuple):
    """Width in mm, dashes in mm (none for a full line), and colour."""

    width: float
    dashes: tuple[float, ...]
    colour: Ink


BLACK, WHITE = (0.0, 0.0, 0.0), (1.0, 1.0, 1.0)
PENS: dict[Role, Pen] = {
    Role.FRAME: Pen(0.7, (), BLACK),
    Role.FIELDS: Pen(0.35, (), (0.4, 0.4, 0.4)),
    Role.OUTLINE: Pen(0.5, (), BLACK),
    Role.RUN: Pen(0.35, (), BLACK),
    Role.RUN_HIDDEN: Pen(0.25, (2.0, 0.8), BLACK),
    Role.HIDDEN: Pen(0.25, (3.0, 1.0), BLACK),
    Role.CENTRE: Pen(0.18, (6.0, 1.0, 0.5, 1.0), BLACK),
    Role.DIMENSION: Pen(0.18, (), BLACK),
    Role.MARK: Pen(0.5, (), (0.09, 0.29, 0.55)),
    Role.ROOM: Pen(0.25, (), (0.35, 0.35, 0.35)),
    Role.ROOM_HIDDEN: Pen(0.18, (2.0, 1.0), (0.5, 0.5, 0.5)),
    Role.CUT: Pen(0.5, (), (0.2, 0.2, 0.2)),
    Role.HATCH: Pen(0.13, (), (0.45, 0.45, 0.45)),
    Role.PAPER: Pen(0.13, (), (0.4, 0.4, 0.4)),
    Role.CLASH: Pen(0.5, (), (0.63, 0.07, 0.07)),
    Role.TUBE: Pen(0.25, (), (0.95, 0.84, 0.74)),
    Role.TUBE_NEW: Pen(0.25, (), (0.83, 0.55, 0.33)),
    Role.FORMER: Pen(0.25, (), (0.86, 0.88, 0.9)),
    Role.GUIDE: Pen(0.35, (), (0.2, 0.36, 0.28)),
    Role.LEVER: Pen(0.35, (), (0.36, 0.28, 0.16)),
    Role.INSIDE: Pen(0.5, (2.2, 0.9), (0.1, 0.42, 0.2)),
    Role.WAY_DASHED: Pen(0.5, (3.0, 1.2), (0.09, 0.29, 0.55)),
    Role.WAY_DOTTED: Pen(0.5, (0.5, 1.2), (0.1, 0.42, 0.2)),
}

Align: TypeAlias = Literal["left", "centre", "right"]


class Line(NamedTuple):
    """A run of straight strokes through `points`; closed back to the first, and filled, if asked.

    `ink` is given where the colour is another than the role's.
    """

    points: tuple[FlatPoint, ...]
    role: Role
    closed: bool = False
    filled: bool = False
    ink: Ink | None = None


class Circle(NamedTuple):
    """A circle, or an arc of it from `start` anticlockwise to `finish`, in degrees."""

    centre: FlatPoint
    radius: float
    role: Role
    start: float = 0.0
    finish: float = 360.0
    filled: bool = False
    ink: Ink | None = None


class Text(NamedTuple):
    """A line of text: `at` is on its baseline; `height` is the height of its capitals in mm (ISO 3098)."""

    text: str
    at: FlatPoint
    height: float = 2.5
    align: Align = "left"
    angle: float = 0.0
    role: Role = Role.DIMENSION
    bold: bool = False
    ink: Ink | None = None


Primitive: TypeAlias = Line | Circle | Text


def pen_of(item: Primitive) -> Pen:
    """Return the pen something is drawn with: that of its role, in its own ink if it has one."""
    pen = PENS[item.role]
    return pen if item.ink is None else pen._replace(colour=item.ink)


def moved(item: Primitive, by: FlatPoint) -> Primitive:
    """Return something in another place on the sheet."""
    if isinstance(item, Line):
        return item._replace(points=tuple((x + by[0], y + by[1]) for x, y in item.points))
    if isinstance(item, Circle):
        return item._replace(centre=(item.centre[0] + by[0], item.centre[1] + by[1]))
    return item._replace(at=(item.at[0] + by[0], item.at[1] + by[1]))


_HALF_HEAD = 0.1316
"""Half the width of an arrowhead of 15 degrees over its length (ISO 129-1): tan 7.5 degrees."""


def arrow_head(tip: FlatPoint, back: FlatPoint, size: float, role: Role = Role.DIMENSION) -> Line:
    """Return a filled arrowhead with its point at `tip`; `back` is the unit direction it comes from."""
    dx, dy = back[0] * size, back[1] * size
    side = (-dy * _HALF_HEAD, dx * _HALF_HEAD)
    points = (tip, (tip[0] + dx + side[0], tip[1] + dy + side[1]), (tip[0] + dx - side[0], tip[1] + dy - side[1]))
    return Line(points, role, closed=True, filled=True)
