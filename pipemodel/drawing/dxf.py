"""A sheet as DXF in mm, through ezdxf: full size in model space, and a layout that shows it on paper to scale.

A layer for each role with the line types and widths of ISO 128-2. Dimensions are dimensions, so that a reader can
measure and move them; their figures are those of the other papers.
"""

import io
from collections.abc import Iterator
from configparser import ConfigParser
from contextlib import contextmanager
from typing import Any

from pipemodel.drawing.dimension import ARROW_MM, BEYOND_MM, GAP_MM, Dimension
from pipemodel.drawing.primitives import PENS, Circle, FlatPoint, Line, Role, Text
from pipemodel.drawing.sheet import Sheet

_LINE_TYPES = {Role.CENTRE: "CENTER", Role.HIDDEN: "DASHED", Role.ROOM_HIDDEN: "DASHED", Role.RUN_HIDDEN: "DASHED"}
_WIDTHS = (13, 15, 18, 20, 25, 30, 35, 40, 50, 53, 60, 70)
"""Line widths that DXF knows, hundredths of a mm."""
_STYLE = "sheet"


def to_dxf(sheet: Sheet) -> str:
    """Return the sheet as DXF text; the same sheet gives the same text."""
    with _own_settings():
        from ezdxf import filemanagement
        from ezdxf._options import options

    before = options.write_fixed_meta_data_for_testing
    options.write_fixed_meta_data_for_testing = True  # no clock and no random id in a file
    try:
        document = filemanagement.new("R2010", setup=["linetypes"], units=4)
        _prepare(document, sheet.factor)
        writer = _Writer(document.modelspace(), sheet.factor)
        for item in sheet.items:
            writer.draw(item)
        _lay_on_paper(document, sheet)
        for kind in sorted(document.entitydb.dxf_types_in_use()):
            document.classes.add_class(kind)  # left to itself, the writer takes them in the order of a set
        out = io.StringIO()
        document.write(out)
        return out.getvalue()
    finally:
        options.write_fixed_meta_data_for_testing = before


@contextmanager
def _own_settings() -> Iterator[None]:
    """Let ezdxf load with the settings it comes with: it would read an `ezdxf.ini` of the current folder."""
    read = ConfigParser.read
    ConfigParser.read = lambda *_, **__: []  # type: ignore[method-assign]
    try:
        yield
    finally:
        ConfigParser.read = read  # type: ignore[method-assign]


def _prepare(document: Any, factor: float) -> None:
    document.header["$LTSCALE"] = factor * 0.25
    document.styles.add(_STYLE, font="DejaVuSans.ttf")
    for role in Role:
        layer = document.layers.add(role.value)
        layer.dxf.lineweight = min(_WIDTHS, key=lambda w: abs(w - PENS[role].width * 100))
        layer.dxf.linetype = _LINE_TYPES.get(role, "CONTINUOUS")
        red, green, blue = (round(c * 255) for c in PENS[role].colour)
        layer.rgb = (red, green, blue)
    style = document.dimstyles.add(_STYLE)
    style.dxf.dimtxsty = _STYLE
    style.dxf.dimscale = factor
    style.dxf.dimasz = ARROW_MM
    style.dxf.dimexo = GAP_MM
    style.dxf.dimexe = BEYOND_MM
    style.dxf.dimgap = GAP_MM
    style.dxf.dimtad = 1  # the figure above the line
    style.dxf.dimtih = style.dxf.dimtoh = 0  # and along it


class _Writer:
    """Puts what is on a sheet into a layout of a DXF document, `factor` times as large."""

    def __init__(self, space: Any, factor: float) -> None:
        self.space, self.factor = space, factor

    def draw(self, item: Line | Circle | Text | Dimension) -> None:
        """Add one item."""
        if isinstance(item, Dimension):
            self._dimension(item)
        elif isinstance(item, Line):
            self._line(item)
        elif isinstance(item, Circle):
            self._circle(item)
        else:
            self._words(item)

    def _at(self, p: FlatPoint) -> FlatPoint:
        return (p[0] * self.factor, p[1] * self.factor)

    def _line(self, item: Line) -> None:
        on, points = {"layer": item.role.value}, [self._at(p) for p in item.points]
        if item.filled:
            hatch = self.space.add_hatch(dxfattribs={**on, "color": 256})
            hatch.paths.add_polyline_path(points, is_closed=True)
        else:
            self.space.add_lwpolyline(points, close=item.closed, dxfattribs=on)

    def _circle(self, item: Circle) -> None:
        on, centre, radius = {"layer": item.role.value}, self._at(item.centre), item.radius * self.factor
        if item.filled:
            hatch = self.space.add_hatch(dxfattribs={**on, "color": 256})
            hatch.paths.add_edge_path().add_arc(centre, radius, item.start, item.finish)
        elif item.finish - item.start >= 360.0:
            self.space.add_circle(centre, radius, dxfattribs=on)
        else:
            self.space.add_arc(centre, radius, item.start, item.finish, dxfattribs=on)

    def _words(self, item: Text) -> None:
        from ezdxf.enums import TextEntityAlignment

        aligned = {
            "left": TextEntityAlignment.LEFT,
            "centre": TextEntityAlignment.CENTER,
            "right": TextEntityAlignment.RIGHT,
        }
        text = "".join(c if c.isprintable() else " " for c in item.text).replace("%%", "% %")
        attributes = {"layer": item.role.value, "style": _STYLE}
        entity = self.space.add_text(text, height=item.height * self.factor, rotation=item.angle, dxfattribs=attributes)
        entity.set_placement(self._at(item.at), align=aligned[item.align])

    def _dimension(self, item: Dimension) -> None:
        a, b, away = self._at(item.a), self._at(item.b), item.away * self.factor
        if b[0] < a[0] or (b[0] == a[0] and b[1] < a[1]):
            a, b, away = b, a, -away  # so that the figure is read from below or from the right
        dimension = self.space.add_aligned_dim(
            p1=a,
            p2=b,
            distance=away,
            text=item.text,
            dimstyle=_STYLE,
            override={"dimtxt": item.height},
            dxfattribs={"layer": Role.DIMENSION.value},
        )
        dimension.render()


def _lay_on_paper(document: Any, sheet: Sheet) -> None:
    """The sheet as it is printed: model space seen through a window to scale."""
    layout = document.layout("Layout1")
    layout.page_setup(size=(sheet.width, sheet.height), margins=(0, 0, 0, 0), units="mm")
    layout.add_viewport(
        center=(sheet.width / 2.0, sheet.height / 2.0),
        size=(sheet.width, sheet.height),
        view_center_point=(sheet.width * sheet.factor / 2.0, sheet.height * sheet.factor / 2.0),
        view_height=sheet.height * sheet.factor,
    )
