"""What a drawing is made of. Sheet coordinates are mm, x to the right and y up, as on paper.

A drawing says *what* a line is (its role); each writer knows how that role looks. Line widths and dash lengths
follow ISO 128-2: wide 0.5, narrow 0.25; hidden edges dashed, centre lines long-dashed dotted.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from enum import Enum
from typing import Literal, NamedTuple, TypeAlias


class Role(Enum):
    """What a line or word stands for."""

    OUTLINE = "outline"
    HIDDEN = "hidden"
    CENTRE = "centre"
    DIMENSION = "dimension"
    MARK = "mark"
    ROOM = "room"
    ROOM_HIDDEN = "room-hidden"
    PAPER = "paper"
    CLASH = "clash"


class Pen(NamedTuple):
    """Width in mm, dashes in mm (none for a full line), colour as red, green, blue from 0 to 1."""

    width: float
    dashes: tuple[float, ...]
    colour: tuple[float, float, float]


BLACK = (0.0, 0.0, 0.0)
PENS: dict[Role, Pen] = {
    Role.OUTLINE: Pen(0.5, (), BLACK),
    Role.HIDDEN: Pen(0.25, (3.0, 1.0), BLACK),
    Role.CENTRE: Pen(0.18, (6.0, 1.0, 0.5, 1.0), BLACK),
    Role.DIMENSION: Pen(0.18, (), BLACK),
    Role.MARK: Pen(0.5, (), (0.09, 0.29, 0.55)),
    Role.ROOM: Pen(0.25, (), (0.35, 0.35, 0.35)),
    Role.ROOM_HIDDEN: Pen(0.18, (2.0, 1.0), (0.5, 0.5, 0.5)),
    Role.PAPER: Pen(0.13, (), (0.4, 0.4, 0.4)),
    Role.CLASH: Pen(0.5, (), (0.63, 0.07, 0.07)),
}

Point: TypeAlias = tuple[float, float]


class Line(NamedTuple):
    """A run of straight strokes through `points`; closed back to the first, and filled, if asked."""

    points: tuple[Point, ...]
    role: Role
    closed: bool = False
    filled: bool = False


class Circle(NamedTuple):
    """A circle, or an arc of it from `start` anticlockwise to `finish`, in degrees."""

    centre: Point
    radius: float
    role: Role
    start: float = 0.0
    finish: float = 360.0
    filled: bool = False


class Words(NamedTuple):
    """A line of text: `at` is on its baseline; `height` is the height of its capitals in mm (ISO 3098)."""

    text: str
    at: Point
    height: float = 2.5
    align: Literal["left", "centre", "right"] = "left"
    angle: float = 0.0
    role: Role = Role.DIMENSION
    bold: bool = False


Item: TypeAlias = Line | Circle | Words


@dataclass
class Sheet:
    """A drawing on a sheet `width` by `height` mm. `title` names it for those who cannot see it."""

    width: float
    height: float
    title: str = ""
    items: list[Item] = field(default_factory=list)

    def line(self, points: Iterable[Sequence[float]], role: Role, closed: bool = False, filled: bool = False) -> None:
        """Draw straight strokes through some points."""
        self.items.append(Line(tuple((float(p[0]), float(p[1])) for p in points), role, closed, filled))

    def circle(
        self,
        centre: Point,
        radius: float,
        role: Role,
        start: float = 0.0,
        finish: float = 360.0,
        filled: bool = False,
    ) -> None:
        """Draw a circle, or an arc anticlockwise from `start` to `finish` degrees."""
        self.items.append(Circle(centre, radius, role, start, finish, filled))

    def words(
        self,
        text: str,
        at: Point,
        height: float = 2.5,
        align: Literal["left", "centre", "right"] = "left",
        angle: float = 0.0,
        role: Role = Role.DIMENSION,
        bold: bool = False,
    ) -> None:
        """Write a line of text."""
        self.items.append(Words(text, at, height, align, angle, role, bold))

    def arrow(self, tip: Point, toward: Point, role: Role = Role.DIMENSION, size: float = 2.5) -> None:
        """Draw a filled arrowhead at `tip`, pointing away from `toward`; closed 15 degrees (ISO 129-1)."""
        dx, dy = toward[0] - tip[0], toward[1] - tip[1]
        n = (dx * dx + dy * dy) ** 0.5 or 1.0
        dx, dy = dx / n * size, dy / n * size
        half = 0.1316  # tan 7.5 degrees
        self.line(
            [
                tip,
                (tip[0] + dx - dy * half, tip[1] + dy + dx * half),
                (tip[0] + dx + dy * half, tip[1] + dy - dx * half),
            ],
            role,
            closed=True,
            filled=True,
        )

    def dimension(self, a: Point, b: Point, away: float, text: str, height: float = 2.5) -> None:
        """Dimension the distance a to b, its line `away` mm to the left of a to b (ISO 129-1 conventions)."""
        dx, dy = b[0] - a[0], b[1] - a[1]
        n = (dx * dx + dy * dy) ** 0.5
        if n == 0.0:
            return
        ux, uy = dx / n, dy / n
        vx, vy = -uy, ux
        sign = 1.0 if away >= 0.0 else -1.0

        def off(p: Point, d: float) -> Point:
            return (p[0] + vx * d, p[1] + vy * d)

        for p in (a, b):
            self.line([off(p, sign), off(p, away + sign * 2.0)], Role.DIMENSION)
        p, q = off(a, away), off(b, away)
        wide = len(text) * height * 0.72
        if n >= 6.0:
            self.line([p, q], Role.DIMENSION)
            self.arrow(p, q)
            self.arrow(q, p)
        else:
            outside = ((p[0] - ux * 5.0, p[1] - uy * 5.0), (q[0] + ux * 5.0, q[1] + uy * 5.0))
            self.line([outside[0], p], Role.DIMENSION)
            self.line([q, outside[1]], Role.DIMENSION)
            self.arrow(p, outside[0])
            self.arrow(q, outside[1])
        from math import atan2, degrees

        angle = degrees(atan2(uy, ux))
        flip = not -90.0 < angle <= 90.0
        middle = ((p[0] + q[0]) / 2.0, (p[1] + q[1]) / 2.0)
        if n < wide + 4.0:
            # Too short to write between the arrows: beside them, on the run-out.
            middle = (q[0] + ux * (6.0 + wide / 2.0), q[1] + uy * (6.0 + wide / 2.0))
        lift = 0.8 if not flip else -0.8
        self.words(
            text,
            (middle[0] + vx * lift, middle[1] + vy * lift),
            height,
            "centre",
            angle - 180.0 if flip else angle,
        )
