"""A sheet on a PDF page, as vectors, through reportlab."""

from typing import Any

from pipemodel.handover.drawing.sheet import PENS, Circle, Line, Primitive, Sheet, Words
from pipemodel.handover.pack.fonts import legible

POINT_MM = 72.0 / 25.4


def draw_on(canvas: Any, sheet: Sheet, left_mm: float, bottom_mm: float, fonts: tuple[str, str]) -> None:
    """Draw a sheet at full size with its lower left corner at a place on the page.

    Args:
        canvas: a reportlab canvas.
        sheet: what to draw.
        left_mm: from the left edge of the page.
        bottom_mm: from the bottom edge of the page.
        fonts: names of the registered plain and bold faces.
    """
    canvas.saveState()
    canvas.translate(left_mm * POINT_MM, bottom_mm * POINT_MM)
    canvas.scale(POINT_MM, POINT_MM)
    canvas.setLineCap(1)
    canvas.setLineJoin(1)
    for item in sheet.primitives():
        _draw(canvas, item, fonts)
    canvas.restoreState()


def _draw(canvas: Any, item: Primitive, fonts: tuple[str, str]) -> None:
    pen = PENS[item.role]
    canvas.setStrokeColorRGB(*pen.colour)
    canvas.setFillColorRGB(*pen.colour)
    canvas.setLineWidth(pen.width)
    canvas.setDash(list(pen.dashes) if pen.dashes else [])
    stroke, fill = int(not item.filled) if not isinstance(item, Words) else 0, 0
    if isinstance(item, Words):
        _write(canvas, item, fonts)
        return
    fill = int(item.filled)
    path = canvas.beginPath()
    if isinstance(item, Line):
        path.moveTo(*item.points[0])
        for point in item.points[1:]:
            path.lineTo(*point)
        if item.closed:
            path.close()
    else:
        _trace(path, item)
    canvas.drawPath(path, stroke=stroke, fill=fill)


def _trace(path: Any, item: Circle) -> None:
    (x, y), r = item.centre, item.radius
    if item.finish - item.start >= 360.0:
        path.circle(x, y, r)
    else:
        path.arc(x - r, y - r, x + r, y + r, item.start, item.finish - item.start)


def _write(canvas: Any, item: Words, fonts: tuple[str, str]) -> None:
    from pipemodel.handover.drawing.svg import CAP_HEIGHT

    canvas.saveState()
    canvas.translate(*item.at)
    canvas.rotate(item.angle)
    canvas.setFont(fonts[item.bold], item.height / CAP_HEIGHT)
    put = {"left": canvas.drawString, "centre": canvas.drawCentredString, "right": canvas.drawRightString}[item.align]
    put(0, 0, legible(item.text))
    canvas.restoreState()
