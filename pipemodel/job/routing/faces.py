"""The flat faces of the things in the room, as a tape finds them: the face met ahead, the extent along a heading."""

from collections.abc import Iterator
from math import inf, sqrt
from typing import NamedTuple

from pipemodel.geometry.shapes import Box, Cylinder, Extrusion, HalfSpace
from pipemodel.geometry.vectors import Vec3, along, cross, dot, length, scale, sub, unit
from pipemodel.job.model import Thing
from pipemodel.job.routing.faults import ItemError, PlaceError

_TINY = 1e-9


class Face(NamedTuple):
    """A flat face: a point of it, and its unit normal out of the thing."""

    point: Vec3
    normal: Vec3


def face_met(thing: Thing, origin: Vec3, ahead: Vec3) -> Face:
    """Return the face that a straight line from `origin` along `ahead` meets first.

    A round thing has no flat face; what counts is the flat that touches its near side, square to the heading as
    seen along its axis, as if a board were held against it.

    Raises:
        ItemError: if the line misses the thing or starts inside it, or the thing is a mesh.
    """
    shape = thing.shape
    if isinstance(shape, Cylinder):
        return _round_face_met(thing, shape, origin, ahead)
    best, found = inf, None
    for face in flat_faces(thing):
        closing = -dot(ahead, face.normal)
        if closing <= _TINY:
            continue
        at = dot(sub(origin, face.point), face.normal) / closing
        if -1e-6 <= at < best and _within(thing, face, along(origin, ahead, at)):
            best, found = at, face
    if found is None:
        raise _missed(thing)
    return found


def _missed(thing: Thing) -> PlaceError:
    if isinstance(thing.shape, HalfSpace):
        return PlaceError(f"this leg does not run towards {thing.name!r}, or starts behind its face")
    return PlaceError(
        f"the axis of this leg does not meet {thing.name!r}: it passes beside it, runs away from it or starts inside it"
    )


def flat_faces(thing: Thing) -> Iterator[Face]:
    """Yield the flat faces of a thing.

    Raises:
        ItemError: if it is a mesh.
    """
    shape = thing.shape
    if isinstance(shape, HalfSpace):
        yield Face(shape.point, shape.normal)
    elif isinstance(shape, Box):
        for axis in range(3):
            out = tuple(1.0 if i == axis else 0.0 for i in range(3))
            yield Face(shape.high, (out[0], out[1], out[2]))
            yield Face(shape.low, scale((out[0], out[1], out[2]), -1.0))
    elif isinstance(shape, Cylinder):
        axis_ = unit(sub(shape.finish, shape.start))
        yield Face(shape.finish, axis_)
        yield Face(shape.start, scale(axis_, -1.0))
    elif isinstance(shape, Extrusion):
        yield Face((*shape.outline[0], shape.top), (0.0, 0.0, 1.0))
        yield Face((*shape.outline[0], shape.bottom), (0.0, 0.0, -1.0))
        turn = 1.0 if _area(shape.outline) > 0.0 else -1.0
        for (x0, y0), (x1, y1) in _edges(shape.outline):
            yield Face((x0, y0, shape.bottom), unit((turn * (y1 - y0), -turn * (x1 - x0), 0.0)))
    else:
        raise _no_face(thing)


def _no_face(thing: Thing) -> ItemError:
    return ItemError(
        f"{thing.name!r} is a mesh, which has no flat face to measure to; "
        "put a face or a box in the room where the measure is taken"
    )


def _within(thing: Thing, face: Face, p: Vec3) -> bool:
    shape = thing.shape
    if isinstance(shape, Box):
        return all(abs(face.normal[i]) > 0.5 or shape.low[i] - 1e-9 <= p[i] <= shape.high[i] + 1e-9 for i in range(3))
    if isinstance(shape, Extrusion):
        if abs(face.normal[2]) > 0.5:
            return inside_outline(shape.outline, p[0], p[1])
        if not shape.bottom - 1e-9 <= p[2] <= shape.top + 1e-9:
            return False
        for (x0, y0), (x1, y1) in _edges(shape.outline):
            if (x0, y0) == face.point[:2]:
                t = ((p[0] - x0) * (x1 - x0) + (p[1] - y0) * (y1 - y0)) / ((x1 - x0) ** 2 + (y1 - y0) ** 2)
                return -1e-12 <= t <= 1.0 + 1e-12
    return True


def _round_face_met(thing: Thing, shape: Cylinder, origin: Vec3, ahead: Vec3) -> Face:
    axis = unit(sub(shape.finish, shape.start))
    radius, tall = shape.diameter / 2.0, length(sub(shape.finish, shape.start))
    across = sub(ahead, scale(axis, dot(ahead, axis)))
    to = sub(origin, shape.start)
    level = dot(to, axis)
    aside = sub(to, scale(axis, level))
    size = length(across)
    if size > _TINY:
        # Where the line meets the round side: |aside + t across| = radius.
        b, c = dot(aside, across), dot(aside, aside) - radius * radius
        root = b * b - size * size * c
        if c >= -1e-9 and root >= 0.0:
            at = (-b - sqrt(root)) / (size * size)
            if at >= -1e-6 and -1e-9 <= level + at * dot(ahead, axis) <= tall + 1e-9:
                normal = scale(across, -1.0 / size)
                return Face(along(shape.start, normal, radius), normal)
    for face in flat_faces(thing):
        closing = -dot(ahead, face.normal)
        if closing > _TINY:
            at = dot(sub(origin, face.point), face.normal) / closing
            if at >= -1e-6 and length(sub(along(origin, ahead, at), face.point)) <= radius + 1e-9:
                return face
    raise _missed(thing)


def extent(thing: Thing, direction: Vec3) -> tuple[float, float]:
    """Return how far a thing reaches along `direction` (a unit vector): least and greatest of point . direction.

    Raises:
        ItemError: if the thing is a mesh file, or a face that goes on for ever.
    """
    shape = thing.shape
    if isinstance(shape, Box):
        low = sum(min(a * d, b * d) for a, b, d in zip(shape.low, shape.high, direction, strict=True))
        return low, sum(max(a * d, b * d) for a, b, d in zip(shape.low, shape.high, direction, strict=True))
    if isinstance(shape, Cylinder):
        axis = unit(sub(shape.finish, shape.start))
        half = shape.diameter / 2.0 * length(cross(axis, direction))
        ends = dot(shape.start, direction), dot(shape.finish, direction)
        return min(ends) - half, max(ends) + half
    if isinstance(shape, Extrusion):
        plan = [x * direction[0] + y * direction[1] for x, y in shape.outline]
        tall = shape.bottom * direction[2], shape.top * direction[2]
        return min(plan) + min(tall), max(plan) + max(tall)
    if isinstance(shape, HalfSpace):
        raise ItemError(f"{thing.name!r} is a face that goes on for ever; name a thing with an end to it")
    raise ItemError(f"{thing.name!r} is a mesh, which cannot be measured to here; put a box or a cylinder round it")


def centre(thing: Thing) -> Vec3:
    """Return the middle of a thing: halfway along each axis of the room."""
    reach = [extent(thing, axis) for axis in ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))]
    x, y, z = ((low + high) / 2.0 for low, high in reach)
    return (x, y, z)


def _edges(
    outline: tuple[tuple[float, float], ...],
) -> Iterator[tuple[tuple[float, float], tuple[float, float]]]:
    return zip(outline, (*outline[1:], outline[0]), strict=True)


def _area(outline: tuple[tuple[float, float], ...]) -> float:
    return sum(x0 * y1 - x1 * y0 for (x0, y0), (x1, y1) in _edges(outline)) / 2.0


def inside_outline(outline: tuple[tuple[float, float], ...], x: float, y: float) -> bool:
    """Return whether a point of the plan lies inside a closed outline (even-odd rule)."""
    odd = False
    for (x0, y0), (x1, y1) in _edges(outline):
        if (y0 > y) != (y1 > y) and x < x0 + (y - y0) * (x1 - x0) / (y1 - y0):
            odd = not odd
    return odd
