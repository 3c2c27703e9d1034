"""What is written on the picture: numbers, names, clashes, title and axes; kept off each other and off the runs."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from typing import Any, TypeAlias

import numpy as np
from numpy.typing import NDArray

Pixel: TypeAlias = tuple[float, float]
Rect: TypeAlias = tuple[float, float, float, float]
"""Left, top, right and bottom in pixels."""

_RINGS = (26.0, 44.0, 70.0, 105.0, 150.0, 210.0)
_AROUND = 16
_OVER_LABEL = 120.0
_OVER_RUN = 8.0
_OUTSIDE = 400.0
_CELL_PX = 3.0


@dataclass
class Board:
    """Where there is still room on a picture: what is taken, and the points of the runs to keep clear of."""

    size: tuple[int, int]
    runs: NDArray[np.float64]
    taken: list[Rect] = field(default_factory=list)

    def __post_init__(self) -> None:
        # Points closer together than a few pixels cost time and tell nothing more.
        cells = np.unique(np.floor(self.runs / _CELL_PX), axis=0, return_index=True)[1]
        self.runs = self.runs[np.sort(cells)]

    def place(self, anchors: Sequence[Pixel], width: float, height: float) -> tuple[Pixel, Rect]:
        """Find the best free place for a label that points to one of several anchors, and take it.

        Args:
            anchors: points it may belong to, (x, y) pixels; at least one.
            width: of the label.
            height: of the label.

        Returns:
            The anchor taken, and where the label goes.
        """
        best: tuple[float, Pixel, Rect] | None = None
        for at in anchors:
            here = self._cost((at[0] - 3.0, at[1] - 3.0, at[0] + 3.0, at[1] + 3.0)) if len(anchors) > 1 else 0.0
            for ring in _RINGS:
                if best is not None and here + ring >= best[0]:
                    break
                for i in range(_AROUND):
                    angle = 2.0 * np.pi * (i + 0.5) / _AROUND
                    # The label's nearest edge stands off by the ring, whatever the label's width.
                    x = at[0] + np.cos(angle) * (ring + width / 2.0)
                    y = at[1] + np.sin(angle) * (ring + height / 2.0)
                    rect = (x - width / 2.0, y - height / 2.0, x + width / 2.0, y + height / 2.0)
                    cost = here + ring + self._cost(rect)
                    if best is None or cost < best[0] - 1e-9:
                        best = (cost, at, rect)
        assert best is not None
        self.taken.append(best[2])
        return best[1], best[2]

    def _cost(self, rect: Rect) -> float:
        left, top, right, bottom = rect[0] - 4.0, rect[1] - 3.0, rect[2] + 4.0, rect[3] + 3.0
        cost = 0.0
        if self.taken:
            others = np.array(self.taken)
            wide = np.minimum(right, others[:, 2]) - np.maximum(left, others[:, 0])
            tall = np.minimum(bottom, others[:, 3]) - np.maximum(top, others[:, 1])
            over = (wide > 0.0) & (tall > 0.0)
            cost += float(np.sum(_OVER_LABEL + wide[over] * tall[over] / 20.0))
        inside = (
            (self.runs[:, 0] > left) & (self.runs[:, 0] < right) & (self.runs[:, 1] > top) & (self.runs[:, 1] < bottom)
        )
        cost += _OVER_RUN * float(np.count_nonzero(inside))
        if left < 0.0 or top < 0.0 or right > self.size[0] or bottom > self.size[1]:
            cost += _OUTSIDE
        return cost


class Pen:
    """Draws words and marks on an image with a white edge round them, so that they read on anything.

    Lines are drawn at once; what has to stay readable over them waits until `finish`.
    """

    def __init__(self, image: Any) -> None:
        from PIL import ImageDraw

        self.draw = ImageDraw.Draw(image)
        self._fonts: dict[tuple[int, bool], Any] = {}
        self._waiting: list[Callable[[], None]] = []

    def finish(self) -> None:
        """Draw what has waited, in the order it came."""
        for draw in self._waiting:
            draw()
        self._waiting.clear()

    def font(self, size: int, bold: bool = False) -> Any:
        """Return the face in a size of pixels."""
        from PIL import ImageFont

        from pipemodel.drawing.fonts import font_file

        if (size, bold) not in self._fonts:
            path = font_file(bold)
            self._fonts[size, bold] = ImageFont.load_default(size) if path is None else ImageFont.truetype(path, size)
        return self._fonts[size, bold]

    def measure(self, text: str, size: int, bold: bool = False) -> tuple[float, float]:
        """Return width and height of a line of text in pixels."""
        return float(self.draw.textlength(text, self.font(size, bold))), size * 1.2

    def words(self, text: str, at: Pixel, size: int, colour: str, bold: bool = False) -> None:
        """Write a line with its middle at a point."""
        font = self.font(size, bold)
        self._waiting.append(
            lambda: self.draw.text(at, text, fill=colour, font=font, anchor="mm", stroke_width=2, stroke_fill="white")
        )

    def leader(self, a: Pixel, rect: Rect, colour: str, dot: float = 3.0) -> None:
        """Draw a thin line from a point to the nearest edge of a label."""
        x, y = min(max(a[0], rect[0]), rect[2]), min(max(a[1], rect[1]), rect[3])
        self.draw.line([a, (x, y)], fill="white", width=5)
        self.draw.line([a, (x, y)], fill=colour, width=2)
        if dot:
            self.draw.ellipse([a[0] - dot, a[1] - dot, a[0] + dot, a[1] + dot], fill=colour, outline="white")

    def disc(self, at: Pixel, radius: float, text: str, colour: str) -> None:
        """Draw a white disc with a number in it."""
        box = [at[0] - radius, at[1] - radius, at[0] + radius, at[1] + radius]
        font = self.font(int(radius * 1.2), True)
        self._waiting.append(lambda: self.draw.ellipse(box, fill="white", outline=colour, width=3))
        self._waiting.append(lambda: self.draw.text(at, text, fill="black", font=font, anchor="mm"))

    def cross(self, at: Pixel, reach: float, colour: str) -> None:
        """Draw a cross in a ring, the mark of what is wrong."""
        self._waiting.append(lambda: self._cross(at, reach, colour))

    def _cross(self, at: Pixel, reach: float, colour: str) -> None:
        x, y = at
        d = reach * 0.62
        for wide, shade in ((9, "white"), (5, colour)):
            self.draw.ellipse([x - reach, y - reach, x + reach, y + reach], outline=shade, width=wide - 2)
            for sign in (1.0, -1.0):
                self.draw.line([(x - d, y - d * sign), (x + d, y + d * sign)], fill=shade, width=wide)
