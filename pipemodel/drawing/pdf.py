"""A sheet on a PDF page, as vectors, through reportlab."""

from typing import Any

from pipemodel.drawing.lettering import CAP_HEIGHT
from pipemodel.drawing.pdf_fonts import legible
from pipemodel.drawing.primitives import Circle, Line, Text, pen_of
from pipemodel.drawing.sheet import Sheet

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
    pen = None
    for item in sheet.primitives():
        if pen_of(item) != pen:
            pen = pen_of(item)
            canvas.setStrokeColorRGB(*pen.colour)
            canvas.setFillColorRGB(*pen.colour)
            canvas.setLineWidth(pen.width)
            canvas.setDash(list(pen.dashes) if pen.dashes else [])
        if isinstance(item, Text):
            _write(canvas, item, fonts)
        else:
            path = canvas.beginPath()
            _trace(path, item)
            canvas.drawPath(path, stroke=int(not item.filled), fill=int(item.filled))
    canvas.restoreState()


def _trace(path: Any, item: Line | Circle) -> None:
    if isinstance(item, Line):
        path.moveTo(*item.points[0])
        for point in item.points[1:]:
            path.lineTo(*point)
        if item.closed:
            path.close()
        return
    (x, y), r = item.centre, item.radius
    if item.finish - item.start >= 360.0:
        path.circle(x, y, r)
    else:
        path.arc(x - r, y - r, x + r, y + r, item.start, item.finish - item.start)


def _write(canvas: Any, item: Text, fonts: tuple[str, str]) -> None:
    put = {"left": canvas.drawString, "centre": canvas.drawCentredString, "right": canvas.drawRightString}[item.align]
    canvas.setFont(fonts[item.bold], item.height / CAP_HEIGHT)
    text = legible(item.text)
    if not item.angle:
        put(*item.at, text)
        return
    canvas.saveState()
    canvas.translate(*item.at)
    canvas.rotate(item.angle)
    put(0, 0, text)
    canvas.restoreState()
