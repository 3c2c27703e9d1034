"""A 3MF file: parts with names and units, each on its place on the bed; the same parts give the same bytes.

After the 3MF Core Specification, edition 1: an OPC package (a ZIP) with a content-type list, one relationship
to the model, and the model itself in XML. Written here because the writers at hand put random ids or the date in.
"""

import io
import zipfile
from collections.abc import Sequence
from dataclasses import dataclass
from xml.sax.saxutils import quoteattr

import numpy as np

from pipemodel.geometry.shapes.mesh import Mesh

_CONTENT_TYPES = (
    '<?xml version="1.0" encoding="UTF-8"?>\n'
    '<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types">'
    '<Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>'
    '<Default Extension="model" ContentType="application/vnd.ms-package.3dmanufacturing-3dmodel+xml"/></Types>\n'
)
_RELATIONSHIPS = (
    '<?xml version="1.0" encoding="UTF-8"?>\n'
    '<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">'
    '<Relationship Target="/3D/3dmodel.model" Id="rel0" '
    'Type="http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel"/></Relationships>\n'
)


@dataclass(frozen=True)
class PrintItem:
    """A part to print: its name and number, its mesh, and where it is moved to on the build plate, mm."""

    name: str
    number: str
    body: Mesh
    at: tuple[float, float, float]


def to_3mf(title: str, items: Sequence[PrintItem]) -> bytes:
    """Return a 3MF file in mm with one object per item, in the order given."""
    model = ['<?xml version="1.0" encoding="UTF-8"?>\n']
    model.append(
        '<model unit="millimeter" xml:lang="en-GB" xmlns="http://schemas.microsoft.com/3dmanufacturing/core/2015/02">\n'
    )
    model.append(f'<metadata name="Title">{quoteattr(_plain(title))[1:-1]}</metadata>\n')
    model.append('<metadata name="Application">pipemodel</metadata>\n<resources>\n')
    for i, item in enumerate(items, 1):
        name, number = quoteattr(_plain(item.name)), quoteattr(_plain(item.number))
        model.append(f'<object id="{i}" type="model" name={name} partnumber={number}><mesh><vertices>\n')
        points = np.round(item.body.vertices, 4) + 0.0
        model += [f'<vertex x="{x:.10g}" y="{y:.10g}" z="{z:.10g}"/>\n' for x, y, z in points.tolist()]
        model.append("</vertices><triangles>\n")
        model += [f'<triangle v1="{a}" v2="{b}" v3="{c}"/>\n' for a, b, c in item.body.faces.tolist()]
        model.append("</triangles></mesh></object>\n")
    model.append("</resources>\n<build>\n")
    for i, item in enumerate(items, 1):
        place = " ".join(f"{v:.10g}" for v in (1, 0, 0, 0, 1, 0, 0, 0, 1, *item.at))
        model.append(f'<item objectid="{i}" transform="{place}" partnumber={quoteattr(_plain(item.number))}/>\n')
    model.append("</build>\n</model>\n")
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as package:
        for path, text in (
            ("[Content_Types].xml", _CONTENT_TYPES),
            ("_rels/.rels", _RELATIONSHIPS),
            ("3D/3dmodel.model", "".join(model)),
        ):
            entry = zipfile.ZipInfo(path, (1980, 1, 1, 0, 0, 0))
            entry.compress_type = zipfile.ZIP_DEFLATED
            entry.external_attr = 0o644 << 16
            entry.create_system = 3
            package.writestr(entry, text.encode("utf-8"))
    return out.getvalue()


def _plain(text: str) -> str:
    """Leave out what XML cannot carry."""
    return "".join(c for c in text if c.isprintable())
