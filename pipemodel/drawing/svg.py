"""A sheet as SVG: self-contained text, true to size when printed at 100 %."""

from html import escape
from math import cos, radians, sin

from pipemodel.drawing.lettering import CAP_HEIGHT
from pipemodel.drawing.primitives import Circle, Line, Pen, Primitive, Text, pen_of
from pipemodel.drawing.sheet import Sheet


def to_svg(sheet: Sheet, unit: str = "mm") -> str:
    """Return the sheet as an SVG document; one unit is one mm, or "" for a sheet set in another document."""
    w, h = _n(sheet.width), _n(sheet.height)
    body = "".join(_item(item, sheet.height) for item in sheet.primitives())
    title = f"<title>{escape(_clean(sheet.title))}</title>" if sheet.title else ""
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{w}{unit}" height="{h}{unit}" viewBox="0 0 {w} {h}" '
        f'role="img" font-family="DejaVu Sans, Arial, sans-serif">{title}'
        f'<rect width="{w}" height="{h}" fill="#fff"/>{body}</svg>'
    )


def _item(item: Primitive, height: float) -> str:
    pen = pen_of(item)
    if isinstance(item, Text):
        return _words(item, height, pen)
    stroke = "" if item.filled else _stroke(pen)
    fill = _colour(pen) if item.filled else "none"
    if isinstance(item, Line):
        points = " ".join(f"{_n(x)},{_n(height - y)}" for x, y in item.points)
        tag = "polygon" if item.closed else "polyline"
        return f'<{tag} points="{points}" fill="{fill}"{stroke}/>'
    return _circle(item, height, fill, stroke)


def _circle(item: Circle, height: float, fill: str, stroke: str) -> str:
    x, y, r = item.centre[0], height - item.centre[1], item.radius
    sweep = item.finish - item.start
    if sweep >= 360.0:
        return f'<circle cx="{_n(x)}" cy="{_n(y)}" r="{_n(r)}" fill="{fill}"{stroke}/>'
    a, b = radians(item.start), radians(item.finish)
    p, q = (x + r * cos(a), y - r * sin(a)), (x + r * cos(b), y - r * sin(b))
    large = int(sweep > 180.0)
    return f'<path d="M{_n(p[0])} {_n(p[1])}A{_n(r)} {_n(r)} 0 {large} 0 {_n(q[0])} {_n(q[1])}" fill="{fill}"{stroke}/>'


def _words(item: Text, height: float, pen: Pen) -> str:
    x, y = _n(item.at[0]), _n(height - item.at[1])
    anchor = {"left": "start", "centre": "middle", "right": "end"}[item.align]
    turn = f' transform="rotate({_n(-item.angle)} {x} {y})"' if item.angle else ""
    weight = ' font-weight="700"' if item.bold else ""
    size = _n(item.height / CAP_HEIGHT)
    text = escape(_clean(item.text))
    look = f'font-size="{size}" text-anchor="{anchor}" fill="{_colour(pen)}"'
    return f'<text x="{x}" y="{y}" {look}{weight}{turn}>{text}</text>'


def _stroke(pen: Pen) -> str:
    dashes = f' stroke-dasharray="{" ".join(_n(d) for d in pen.dashes)}"' if pen.dashes else ""
    ends = 'stroke-linecap="round" stroke-linejoin="round"'
    return f' stroke="{_colour(pen)}" stroke-width="{_n(pen.width)}" {ends}{dashes}'


def _colour(pen: Pen) -> str:
    return "#" + "".join(f"{round(c * 255):02x}" for c in pen.colour)


def _n(x: float) -> str:
    text = f"{x:.3f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def _clean(text: str) -> str:
    return "".join(c if c.isprintable() else " " for c in text)
