"""Where a sheet is still white: a rectangle with nothing on it, near to a place."""

from collections.abc import Iterable
from itertools import accumulate
from math import ceil, hypot

from pipemodel.drawing.clipping import ClipWindow
from pipemodel.drawing.placing import box_of
from pipemodel.drawing.primitives import Circle, FlatPoint, Primitive, Text

CELL_MM = 4.0
"""White space is looked for in squares of this size."""


class WhiteSpace:
    """What of an area of a sheet is taken, in squares."""

    def __init__(self, area: ClipWindow) -> None:
        self.area = area
        self.wide, self.high = int(area.width / CELL_MM), int(area.height / CELL_MM)
        self._taken = [[False] * self.wide for _ in range(self.high)]

    def take(self, items: Iterable[Primitive]) -> None:
        """Take the squares that lines, circles and words lie on."""
        for item in items:
            if isinstance(item, Text):
                self.take_box(ClipWindow.around(box_of(item)))
            elif isinstance(item, Circle):
                (x, y), r = item.centre, item.radius
                self.take_box(ClipWindow(x - r, y - r, x + r, y + r))
            else:
                for a, b in zip(item.points, item.points[1:], strict=False):
                    steps = int(max(abs(b[0] - a[0]), abs(b[1] - a[1])) / CELL_MM) + 1
                    for k in range(steps):
                        ends = [
                            (a[0] + (b[0] - a[0]) * t / steps, a[1] + (b[1] - a[1]) * t / steps) for t in (k, k + 1)
                        ]
                        self.take_box(ClipWindow.around(ends))

    def take_box(self, box: ClipWindow) -> None:
        """Take the squares of a rectangle."""
        rows = range(max(self._row(box.low), 0), min(self._row(box.high) + 1, self.high))
        columns = range(max(self._column(box.left), 0), min(self._column(box.right) + 1, self.wide))
        for i in rows:
            for j in columns:
                self._taken[i][j] = True

    def room(self, size: FlatPoint, near: FlatPoint) -> ClipWindow | None:
        """Return a white rectangle of some width and height as near a place as there is, None where there is none."""
        wide, high = (ceil(mm / CELL_MM) + 1 for mm in size)
        sums = [[0] * (self.wide + 1)]
        for row in self._taken:
            line = [0, *accumulate(row)]
            sums.append([before + now for before, now in zip(sums[-1], line, strict=True)])
        best: tuple[float, ClipWindow] | None = None
        for i in range(self.high - high + 1):
            low, top = sums[i], sums[i + high]
            for j in range(self.wide - wide + 1):
                if top[j + wide] - top[j] - low[j + wide] + low[j]:
                    continue
                x = self.area.left + (j + wide / 2.0) * CELL_MM
                y = self.area.low + (i + high / 2.0) * CELL_MM
                far = hypot(x - near[0], y - near[1])
                if best is None or far < best[0]:
                    half = size[0] / 2.0, size[1] / 2.0
                    best = far, ClipWindow(x - half[0], y - half[1], x + half[0], y + half[1])
        return None if best is None else best[1]

    def _row(self, y: float) -> int:
        return int((y - self.area.low) // CELL_MM)

    def _column(self, x: float) -> int:
        return int((x - self.area.left) // CELL_MM)
