"""Reader of drawings in SVG: lines, circles and words, in mm with y upwards from the foot of the sheet."""

import re
from typing import NamedTuple

import numpy as np
from lxml import etree

BLUE, NEW_TUBE = "#174a8c", "#d48c54"
"""Marks, and what was bent last, as the key of colours has them."""


class Line(NamedTuple):
    """A line or an area: points (n, 2), whether closed, colours of stroke and area ("" for none), width, dashes."""

    points: np.ndarray
    closed: bool
    stroke: str
    area: str
    width: float
    dashes: str


class Circle(NamedTuple):
    """A circle: its centre, radius and the colour of its area."""

    centre: np.ndarray
    radius: float
    area: str


class Words(NamedTuple):
    """Words: where they stand (the left end, middle or right end of their foot, as `anchor` says), their colour."""

    text: str
    at: np.ndarray
    anchor: str
    colour: str


class Sheet(NamedTuple):
    """A drawing: width, height, title, and all that is on it in the order it was drawn."""

    width: float
    height: float
    title: str
    items: list

    def of(self, kind):
        """Return the items of a kind."""
        return [item for item in self.items if isinstance(item, kind)]


def sheets(data):
    """Read every drawing of an SVG file given as bytes: itself, or those set one under the other in it."""
    root = etree.fromstring(data)
    inner = [e for e in root.iter("{*}svg") if e is not root]
    return [_sheet(e) for e in inner or [root]]


def _sheet(root):
    wide, high = (float(x) for x in root.get("viewBox").split()[2:])
    items, title = [], ""
    for e in root:
        tag = etree.QName(e).localname
        colours = [c if c and c != "none" else "" for c in (e.get("stroke"), e.get("fill"))]
        if tag == "title":
            title = e.text or ""
        elif tag in ("polyline", "polygon"):
            points = np.array([[float(x) for x in pair.split(",")] for pair in e.get("points").split()])
            points[:, 1] = high - points[:, 1]
            look = (float(e.get("stroke-width") or 0), e.get("stroke-dasharray") or "")
            items.append(Line(points, tag == "polygon", *colours, *look))
        elif tag == "circle":
            centre = np.array([float(e.get("cx")), high - float(e.get("cy"))])
            items.append(Circle(centre, float(e.get("r")), colours[1]))
        elif tag == "text":
            at = np.array([float(e.get("x")), high - float(e.get("y"))])
            items.append(Words(e.text or "", at, e.get("text-anchor"), colours[1]))
        elif tag not in ("rect", "path"):
            raise ValueError(f"{tag} is not read")
    return Sheet(wide, high, title, items)


def polyline_gap(points, line):
    """Return how far each of some points (n, d) lies from a line through points (m, d)."""
    points, line = np.asarray(points, float), np.asarray(line, float)
    a, way = line[:-1], np.diff(line, axis=0)
    size = np.maximum((way**2).sum(axis=1), 1e-18)
    t = np.clip(((points[:, None] - a) * way).sum(axis=2) / size, 0, 1)
    return np.linalg.norm(points[:, None] - a - t[:, :, None] * way, axis=2).min(axis=1)


def number_of(text):
    """Return the number of a bend that stands before a colon or alone, None of other words."""
    found = re.match(r"(\d+)(?::|$)", text)
    return int(found[1]) if found else None
