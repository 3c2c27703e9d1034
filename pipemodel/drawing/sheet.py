"""A sheet of paper with a drawing on it. Coordinates are mm, x to the right and y up, as on paper.

A drawing says *what* a line is (its role); each writer knows how that role looks.
"""

from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from math import hypot
from typing import Literal, TypeAlias

from pipemodel.drawing.dimension import Dimension
from pipemodel.drawing.primitives import (
    PENS,
    Circle,
    FlatPoint,
    Line,
    Pen,
    Primitive,
    Role,
    Text,
    arrow_head,
)

__all__ = ["PENS", "Circle", "Dimension", "FlatPoint", "Item", "Line", "Pen", "Primitive", "Role", "Sheet", "Text"]

Item: TypeAlias = Primitive | Dimension


@dataclass
class Sheet:
    """A drawing on a sheet `width` by `height` mm. `title` names it for those who cannot see it.

    `factor` is the n of its scale 1:n.
    """

    width: float
    height: float
    title: str = ""
    factor: float = 1.0
    items: list[Item] = field(default_factory=list)
    owned: list[tuple[int, int, str]] = field(default_factory=list)
    """From which item to before which one they belong to a run, and its name; in order."""

    @contextmanager
    def of(self, run: str) -> Iterator[None]:
        """Let what is drawn meanwhile belong to a run."""
        begin = len(self.items)
        try:
            yield
        finally:
            if len(self.items) > begin:
                self.owned.append((begin, len(self.items), run))

    def by_owner(self) -> Iterator[tuple[Item, str]]:
        """Yield every item with the name of the run that it belongs to, "" for none."""
        names = {k: run for begin, end, run in self.owned for k in range(begin, end)}
        for k, item in enumerate(self.items):
            yield item, names.get(k, "")

    def line(self, points: Iterable[Sequence[float]], role: Role, closed: bool = False, filled: bool = False) -> None:
        """Draw straight strokes through some points."""
        self.items.append(Line(tuple((float(p[0]), float(p[1])) for p in points), role, closed, filled))

    def circle(
        self,
        centre: FlatPoint,
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
        at: FlatPoint,
        height: float = 2.5,
        align: Literal["left", "centre", "right"] = "left",
        angle: float = 0.0,
        role: Role = Role.DIMENSION,
        bold: bool = False,
    ) -> None:
        """Write a line of text; nothing if it is empty."""
        if text:
            self.items.append(Text(text, at, height, align, angle, role, bold))

    def arrow(self, tip: FlatPoint, toward: FlatPoint, role: Role = Role.DIMENSION, size: float = 2.5) -> None:
        """Draw a filled arrowhead at `tip`, pointing away from `toward`."""
        dx, dy = toward[0] - tip[0], toward[1] - tip[1]
        n = hypot(dx, dy) or 1.0
        self.items.append(arrow_head(tip, (dx / n, dy / n), size, role))

    def dimension(self, a: FlatPoint, b: FlatPoint, away: float, text: str, height: float = 2.5) -> None:
        """Dimension the distance a to b, its line `away` mm to the left of a to b (ISO 129-1 conventions)."""
        self.items.append(Dimension(a, b, away, text, height))

    def primitives(self) -> Iterator[Primitive]:
        """Yield everything as plain lines, circles and words, dimensions taken apart."""
        for item in self.items:
            if isinstance(item, Dimension):
                yield from item.drawn()
            else:
                yield item
