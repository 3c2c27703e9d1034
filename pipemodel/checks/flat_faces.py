"""The flat faces of a room's things that a clip can be fixed to, and which part of a leg lies over one."""

from collections.abc import Container, Iterable, Iterator
from dataclasses import replace
from math import hypot, inf, sqrt

from pipemodel.geometry.centreline import Straight, merged
from pipemodel.geometry.shapes.face import SQUARE, Face, Vec2, edges, inside_outline
from pipemodel.geometry.vectors import dot
from pipemodel.job.model import Thing


def flat_faces_of(thing: Thing) -> Iterator[Face]:
    """Yield the faces of a thing that can take a clip: those with straight edges, or with no end.

    A cylinder, a cone and a mesh have none.
    """
    for face in thing.shape.flat_faces():
        if face.radius is None:
            yield replace(face, thing=thing.name)


def flat_faces_named(things: Iterable[Thing], names: Container[str]) -> list[Face]:
    """Return those faces of the things that have one of these names."""
    return [face for thing in things if thing.name in names for face in flat_faces_of(thing)]


def parts_over(face: Face, straight: Straight, edge_mm: float) -> list[tuple[float, float]]:
    """Return the parts of a straight that lie over a face and off its edges, from and to along it; mm.

    Args:
        face: the face; the straight runs along it.
        straight: the axis of a leg.
        edge_mm: how far from the nearest edge of the face a part has to lie.
    """
    at, way = face.place_of(straight.start), (dot(straight.direction, face.across), dot(straight.direction, face.up))
    if face.outline or face.openings or face.rounds:
        return list(_within_outline(face, at, way, straight.length, edge_mm))
    low, high = 0.0, straight.length
    limits = ((face.across_from, face.across_to), (face.up_from, face.up_to))
    for here, rate, (least, most) in zip(at, way, limits, strict=True):
        least, most = least + edge_mm, most - edge_mm
        if least > most:
            return []  # narrower than an edge to either side of a screw
        if abs(rate) <= SQUARE:
            if not least <= here <= most:
                return []
        else:
            a, b = sorted(((least - here) / rate, (most - here) / rate))
            low, high = max(low, a), min(high, b)
    return [(low, high)] if low <= high else []


def _within_outline(face: Face, at: Vec2, way: Vec2, length_mm: float, edge_mm: float) -> Iterator[tuple[float, float]]:
    """Yield the parts of a line that lie on a face and at least so far from its sides, its openings and its holes."""
    (west, east), (south, north) = (face.across_from, face.across_to), (face.up_from, face.up_to)
    outline = face.outline or ((west, south), (east, south), (east, north), (west, north))
    shut = [_beside(a, b, at, way, edge_mm) for loop in (outline, *face.openings) for a, b in edges(loop)]
    shut += [_in_circle((at[0] - x, at[1] - y), way, radius + edge_mm) for x, y, radius in face.rounds]
    known = [stretch for stretch in shut if stretch is not None]
    breaks = sorted([0.0, length_mm, *(t for stretch in known for t in stretch if 0.0 < t < length_mm)])
    open_: list[tuple[float, float]] = []
    for low, high in zip(breaks, breaks[1:], strict=False):
        middle = 0.5 * (low + high)
        if high <= low or any(a < middle < b for a, b in known):
            continue
        here = at[0] + middle * way[0], at[1] + middle * way[1]
        if inside_outline(outline, *here) and not any(inside_outline(opening, *here) for opening in face.openings):
            open_.append((low, high))
    yield from merged(open_, 0.0)


def _beside(a: Vec2, b: Vec2, at: Vec2, way: Vec2, edge_mm: float) -> tuple[float, float] | None:
    """Return from where to where a line is nearer than so much to the side from a to b; None where it is not.

    What is nearer to a side than that has the shape of a slot, so that a line is in it once at most.
    """
    size = hypot(b[0] - a[0], b[1] - a[1])
    u = ((b[0] - a[0]) / size, (b[1] - a[1]) / size)
    along_, off = (_turned(at, a, u)), (_turned(way, (0.0, 0.0), u))
    found: list[float] = []
    # Between the ends: |y + t dy| < edge and 0 < x + t dx < size.
    low, high = -inf, inf
    for here, rate, least, most in ((along_[0], off[0], 0.0, size), (along_[1], off[1], -edge_mm, edge_mm)):
        if abs(rate) <= 1e-12:
            if not least <= here <= most:
                low, high = inf, -inf
        else:
            one, two = sorted(((least - here) / rate, (most - here) / rate))
            low, high = max(low, one), min(high, two)
    if low <= high:
        found += (low, high)
    for end in (0.0, size):
        found += _in_circle((along_[0] - end, along_[1]), off, edge_mm) or ()
    return (min(found), max(found)) if found else None


def _in_circle(at: Vec2, way: Vec2, radius: float) -> tuple[float, float] | None:
    """Return from where to where a line lies within a circle about the origin; None where it passes it by."""
    square = way[0] ** 2 + way[1] ** 2
    half = at[0] * way[0] + at[1] * way[1]
    root = half * half - square * (at[0] ** 2 + at[1] ** 2 - radius * radius)
    if root < 0.0 or square <= 0.0:
        return None
    return (-half - sqrt(root)) / square, (-half + sqrt(root)) / square


def _turned(p: Vec2, origin: Vec2, u: Vec2) -> Vec2:
    x, y = p[0] - origin[0], p[1] - origin[1]
    return x * u[0] + y * u[1], y * u[0] - x * u[1]
