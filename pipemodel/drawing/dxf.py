"""A sheet as DXF in mm, through ezdxf: full size in model space, and a layout that shows it on paper to scale.

A layer for each role, and of what belongs to a run one for each role and run, with the line types and widths of ISO
128-2. Colours are those of the layers, so that a reader can change them; each shows on white paper and on a dark
screen: colour 7 is black on the one and white on the other. Dimensions are dimensions, so that a reader can measure and
move them; their figures are those of the other papers.
"""

import io
import re
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
_BY_LAYER = 256
BLACK_OR_WHITE = 7
"""The colour that is black on white paper, and white on a dark screen."""
COLOURS = {
    Role.ROOM: 8,
    Role.ROOM_HIDDEN: 8,
    Role.HATCH: 8,
    Role.PAPER: 8,
    Role.FIELDS: 8,
    Role.MARK: 150,
    Role.CLASH: 1,
    Role.TUBE: 33,
    Role.TUBE_NEW: 20,
    Role.FORMER: 8,
    Role.INSIDE: 92,
}
"""Of the layers, as DXF counts colours: greys, blue, red and copper that stand out from white and from black alike."""
_NO_LAYER = re.compile(r"[<>/\\\":;?*|=`,\x00-\x1f\x7f-\x9f\u2028\u2029\ud800-\udfff]")
"""What the name of a layer cannot have."""
_LONGEST_LAYER = 200


def to_dxf(sheet: Sheet) -> str:
    """Return the sheet as DXF text; the same sheet gives the same text."""
    with _own_settings():
        from ezdxf import filemanagement
        from ezdxf._options import options

    before = options.write_fixed_meta_data_for_testing
    options.write_fixed_meta_data_for_testing = True  # no clock and no random id in a file
    try:
        document = filemanagement.new("R2010", setup=["linetypes"], units=4)
        _prepare(document, sheet)
        writer = _Writer(document.modelspace(), sheet.factor)
        for item, run in sheet.by_owner():
            writer.draw(item, run)
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


def layer_name(role: Role, run: str = "") -> str:
    """Return the name of the layer for what has a role and belongs to a run, or to none."""
    return f"{role.value} {_NO_LAYER.sub('_', run)}"[:_LONGEST_LAYER].strip() if run else role.value


def _prepare(document: Any, sheet: Sheet) -> None:
    factor = sheet.factor
    document.header["$LTSCALE"] = factor * 0.25
    _set_extents(document, sheet)
    document.styles.add(_STYLE, font="DejaVuSans.ttf")
    layers = [(role, "") for role in Role]
    layers += sorted({(item.role if not isinstance(item, Dimension) else Role.DIMENSION, run)
                      for item, run in sheet.by_owner() if run}, key=lambda one: (one[0].value, one[1]))  # fmt: skip
    for role, run in layers:
        name = layer_name(role, run)
        if name in document.layers:
            continue  # two runs whose names a layer cannot tell apart
        layer = document.layers.add(name, color=COLOURS.get(role, BLACK_OR_WHITE))
        layer.dxf.lineweight = min(_WIDTHS, key=lambda w: abs(w - PENS[role].width * 100))
        layer.dxf.linetype = _LINE_TYPES.get(role, "CONTINUOUS")
    style = document.dimstyles.add(_STYLE)
    style.dxf.dimtxsty = _STYLE
    style.dxf.dimscale = factor
    style.dxf.dimasz = ARROW_MM
    style.dxf.dimexo = GAP_MM
    style.dxf.dimexe = BEYOND_MM
    style.dxf.dimgap = GAP_MM
    style.dxf.dimtad = 1  # the figure above the line
    style.dxf.dimtih = style.dxf.dimtoh = 0  # and along it


def _set_extents(document: Any, sheet: Sheet) -> None:
    """Say how far the drawing reaches, and let a reader open on all of it."""
    wide, high = sheet.width * sheet.factor, sheet.height * sheet.factor
    space = document.modelspace()
    space.reset_extents((0.0, 0.0, 0.0), (wide, high, 0.0))
    space.reset_limits((0.0, 0.0), (wide, high))
    # The library takes a corner at the origin for none given, and would leave these as they are.
    document.header["$EXTMIN"], document.header["$EXTMAX"] = (0.0, 0.0, 0.0), (wide, high, 0.0)
    document.set_modelspace_vport(height=high * 1.05, center=(wide / 2.0, high / 2.0))


class _Writer:
    """Puts what is on a sheet into a layout of a DXF document, `factor` times as large."""

    def __init__(self, space: Any, factor: float) -> None:
        self.space, self.factor, self.run = space, factor, ""

    def draw(self, item: Line | Circle | Text | Dimension, run: str = "") -> None:
        """Add one item, which may belong to a run."""
        self.run = run
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
        on, points = {"layer": layer_name(item.role, self.run)}, [self._at(p) for p in item.points]
        if item.filled:
            hatch = self.space.add_hatch(color=_BY_LAYER, dxfattribs=on)
            hatch.paths.add_polyline_path(points, is_closed=True)
        else:
            self.space.add_lwpolyline(points, close=item.closed, dxfattribs=on)

    def _circle(self, item: Circle) -> None:
        on, centre, radius = (
            {"layer": layer_name(item.role, self.run)},
            self._at(item.centre),
            item.radius * self.factor,
        )
        if item.filled:
            hatch = self.space.add_hatch(color=_BY_LAYER, dxfattribs=on)
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
        attributes = {"layer": layer_name(item.role, self.run), "style": _STYLE}
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
            dxfattribs={"layer": layer_name(Role.DIMENSION, self.run)},
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
