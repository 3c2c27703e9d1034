"""A sheet drawn over a picture, with a white edge round everything so that it reads on any ground."""

from functools import cache
from typing import Any

from pipemodel.drawing.fonts import font_file
from pipemodel.drawing.lettering import CAP_HEIGHT
from pipemodel.drawing.primitives import Circle, Ink, Line, Text, pen_of
from pipemodel.drawing.sheet import Sheet

HALO_MM = 0.25
_ANCHORS = {"left": "ls", "centre": "ms", "right": "rs"}


def draw_over(image: Any, sheet: Sheet, per_mm: float) -> None:
    """Draw a sheet over a PIL image as large as it, `per_mm` pixels to the mm; words lie level, and dashes are full."""
    from PIL import ImageDraw

    draw = ImageDraw.Draw(image)
    items = list(sheet.primitives())
    for item in items:
        if not isinstance(item, Text) and not item.filled:
            _stroke(draw, item, sheet.height, per_mm, 2.0 * HALO_MM, (255, 255, 255))
    for item in items:
        ink = _rgb(pen_of(item).colour)
        if isinstance(item, Text):
            font = _font(round(item.height / CAP_HEIGHT * per_mm), item.bold)
            at = (item.at[0] * per_mm, (sheet.height - item.at[1]) * per_mm)
            halo = round(HALO_MM * per_mm)
            anchor = _ANCHORS[item.align]
            draw.text(at, item.text, fill=ink, font=font, anchor=anchor, stroke_width=halo, stroke_fill="white")
        elif item.filled:
            _area(draw, item, sheet.height, per_mm, ink)
        else:
            _stroke(draw, item, sheet.height, per_mm, 0.0, ink)


def _stroke(draw: Any, item: Line | Circle, height: float, per_mm: float, wider_mm: float, ink: Any) -> None:
    width = max(round((pen_of(item).width + wider_mm) * per_mm), 1)
    if isinstance(item, Line):
        points = [*item.points, *item.points[: int(item.closed)]]
        draw.line([(x * per_mm, (height - y) * per_mm) for x, y in points], fill=ink, width=width, joint="curve")
    else:
        draw.ellipse(_box(item, height, per_mm, width / 2.0), outline=ink, width=width)


def _area(draw: Any, item: Line | Circle, height: float, per_mm: float, ink: Any) -> None:
    if isinstance(item, Line):
        draw.polygon([(x * per_mm, (height - y) * per_mm) for x, y in item.points], fill=ink)
    else:
        draw.ellipse(_box(item, height, per_mm, 0.0), fill=ink)


def _box(circle: Circle, height: float, per_mm: float, wider: float) -> tuple[float, float, float, float]:
    x, y, r = circle.centre[0] * per_mm, (height - circle.centre[1]) * per_mm, circle.radius * per_mm + wider
    return (x - r, y - r, x + r, y + r)


def _rgb(colour: Ink) -> tuple[int, int, int]:
    red, green, blue = (round(255.0 * part) for part in colour)
    return red, green, blue


@cache
def _font(size: int, bold: bool) -> Any:
    from PIL import ImageFont

    path = font_file(bold)
    return ImageFont.load_default(size) if path is None else ImageFont.truetype(path, size)
