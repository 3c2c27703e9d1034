"""A sheet as DXF, in mm, with a layer for each role and the line types of ISO 128, through ezdxf."""

import io

from pipemodel.handover.drawing.sheet import PENS, Circle, Line, Role, Sheet, Words


def to_dxf(sheet: Sheet) -> str:
    """Return the sheet as DXF text; the same sheet gives the same text."""
    from ezdxf import filemanagement
    from ezdxf._options import options
    from ezdxf.enums import TextEntityAlignment

    before = options.write_fixed_meta_data_for_testing
    options.write_fixed_meta_data_for_testing = True  # no clock and no random id in a file
    try:
        document = filemanagement.new("R2010", setup=True, units=4)
        for role in Role:
            layer = document.layers.add(role.value)
            layer.dxf.lineweight = _weight(PENS[role].width)
            layer.dxf.linetype = {Role.CENTRE: "CENTER", Role.HIDDEN: "DASHED", Role.ROOM_HIDDEN: "DASHED"}.get(
                role, "CONTINUOUS"
            )
            red, green, blue = (round(c * 255) for c in PENS[role].colour)
            layer.rgb = (red, green, blue)
        space = document.modelspace()
        aligned = {
            "left": TextEntityAlignment.LEFT,
            "centre": TextEntityAlignment.CENTER,
            "right": TextEntityAlignment.RIGHT,
        }
        for item in sheet.items:
            on = {"layer": item.role.value}
            if isinstance(item, Line):
                if item.filled:
                    space.add_solid([*item.points[:3], item.points[-1]], dxfattribs=on)
                else:
                    space.add_lwpolyline(item.points, close=item.closed, dxfattribs=on)
            elif isinstance(item, Circle):
                if item.finish - item.start >= 360.0:
                    space.add_circle(item.centre, item.radius, dxfattribs=on)
                else:
                    space.add_arc(item.centre, item.radius, item.start, item.finish, dxfattribs=on)
            elif isinstance(item, Words):
                text = "".join(c if c.isprintable() else " " for c in item.text)
                entity = space.add_text(text, height=item.height, rotation=item.angle, dxfattribs=on)
                entity.set_placement(item.at, align=aligned[item.align])
        out = io.StringIO()
        document.write(out)
        return out.getvalue()
    finally:
        options.write_fixed_meta_data_for_testing = before


def _weight(width_mm: float) -> int:
    """Hundredths of a mm, as DXF counts line widths; the nearest it knows."""
    known = (13, 15, 18, 20, 25, 30, 35, 40, 50, 53, 60, 70)
    return min(known, key=lambda w: abs(w - width_mm * 100))
