"""The flat faces of a room's things that a clip can be fixed to, and what to measure from on them."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import inf

from pipemodel.geometry.shapes import Box, Extrusion, HalfSpace
from pipemodel.geometry.vectors import EAST, NORTH, UP, Vec3, along, cross, dot, length, scale, sub, unit
from pipemodel.job.model import Thing

SQUARE = 1e-3
"""Faces and tubes this far from square or parallel (as the cosine of the angle between) still count as such."""


@dataclass(frozen=True)
class FlatFace:
    """A rectangle of a thing's surface, or the whole plane of a face without end.

    `origin` is a point of it and `normal` its unit normal out of the thing. `across` and `up` are unit vectors in
    the face: on a wall, to the right as one faces it, and upwards; on a floor or ceiling, east and north.
    `across_from`, `across_to`, `up_from` and `up_to` are its edges, measured from `origin`; infinite without end.
    """

    thing: str
    origin: Vec3
    normal: Vec3
    across: Vec3
    up: Vec3
    across_from: float = -inf
    across_to: float = inf
    up_from: float = -inf
    up_to: float = inf

    @property
    def level(self) -> bool:
        """Whether it is a floor or a ceiling."""
        return abs(self.normal[2]) > 1.0 - SQUARE

    def height_of(self, p: Vec3) -> float:
        """Return how far a point stands off the plane of the face."""
        return dot(sub(p, self.origin), self.normal)

    def place_of(self, p: Vec3) -> tuple[float, float]:
        """Return where a point lies on the face: across and up, from `origin`."""
        to = sub(p, self.origin)
        return dot(to, self.across), dot(to, self.up)


@dataclass(frozen=True)
class Measure:
    """One measure on a face, as a tape finds it: how far, and from what."""

    distance_mm: float
    reference: str

    @property
    def in_words(self) -> str:
        """The measure for a sentence, in whole millimetres."""
        return f"{self.distance_mm:.0f} mm {self.reference}"


def flat_faces_of(thing: Thing) -> Iterator[FlatFace]:
    """Yield the faces of a thing that can take a clip: of a half-space, a box, or the sides of an extrusion.

    A cylinder and a mesh have none, nor have the top and bottom of an extrusion.
    """
    shape = thing.shape
    if isinstance(shape, HalfSpace):
        yield _face(thing.name, shape.point, shape.normal)
    elif isinstance(shape, Box):
        size = sub(shape.high, shape.low)
        middle = along(shape.low, size, 0.5)
        for axis in (EAST, NORTH, UP):
            half = dot(size, axis) / 2.0
            for normal in (axis, scale(axis, -1.0)):
                face = _face(thing.name, along(middle, normal, half), normal)
                yield _limited(face, abs(dot(size, face.across)) / 2.0, abs(dot(size, face.up)) / 2.0)
    elif isinstance(shape, Extrusion):
        outline = shape.outline
        twice_area = sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(outline, (*outline[1:], outline[0]), strict=True))
        turn = 1.0 if twice_area > 0.0 else -1.0
        height = shape.top - shape.bottom
        for (x0, y0), (x1, y1) in zip(outline, (*outline[1:], outline[0]), strict=True):
            side = (x1 - x0, y1 - y0, 0.0)
            middle = ((x0 + x1) / 2.0, (y0 + y1) / 2.0, shape.bottom + height / 2.0)
            face = _face(thing.name, middle, unit((turn * side[1], -turn * side[0], 0.0)))
            yield _limited(face, length(side) / 2.0, height / 2.0)


def measures_on(face: FlatFace, point: Vec3, things: Sequence[Thing]) -> tuple[Measure, Measure]:
    """Return where a point lies on a face, as measured from a corner of the room: across, and up.

    The corner is where the nearest other wall, and the floor or else the ceiling, meet the face. Where the room has
    none, it is the face's own edge; and of a face without end, the point that was given for it.
    """
    planes = [(t.name, t.shape) for t in things if isinstance(t.shape, HalfSpace) and t.name != face.thing]
    return _measure(face, point, planes, up=False), _measure(face, point, planes, up=True)


def _measure(face: FlatFace, point: Vec3, planes: list[tuple[str, HalfSpace]], up: bool) -> Measure:
    way = face.up if up else face.across
    found: list[tuple[bool, float, str]] = []
    for name, plane in planes:
        facing = dot(plane.normal, way)
        off = dot(sub(point, plane.point), plane.normal)
        if length(cross(plane.normal, way)) <= SQUARE and off >= 0.0:
            # On a wall, heights are taken from the floor where there is one.
            from_above = up and not face.level and facing < 0.0
            found.append((from_above, off, f"from {name}"))
    if found:
        _, off, reference = min(found)
        return Measure(off, reference)
    at = face.place_of(point)[up]
    low, high = (face.up_from, face.up_to) if up else (face.across_from, face.across_to)
    low_name, high_name = _EDGES[face.level, up]
    if low == -inf:
        return Measure(abs(at), f"{_BESIDE[high_name if at >= 0.0 else low_name]} the point given for {face.thing}")
    if not up and high - at < at - low:
        return Measure(high - at, f"from the {high_name} edge of {face.thing}")
    return Measure(at - low, f"from the {low_name} edge of {face.thing}")


_EDGES = {
    (False, False): ("left", "right"),
    (False, True): ("bottom", "top"),
    (True, False): ("west", "east"),
    (True, True): ("south", "north"),
}
"""The edges of a face: of a wall or of a floor, across or up."""
_BESIDE = {
    "left": "to the left of",
    "right": "to the right of",
    "bottom": "below",
    "top": "above",
    "west": "west of",
    "east": "east of",
    "south": "south of",
    "north": "north of",
}


def _face(name: str, origin: Vec3, normal: Vec3) -> FlatFace:
    if abs(normal[2]) > 1.0 - SQUARE:
        return FlatFace(name, origin, normal, EAST, NORTH)
    # To the right of someone who faces the wall: against its normal, with up on top.
    across = unit(cross(UP, normal))
    return FlatFace(name, origin, normal, across, cross(normal, across))


def _limited(face: FlatFace, half_across: float, half_up: float) -> FlatFace:
    return FlatFace(
        face.thing, face.origin, face.normal, face.across, face.up, -half_across, half_across, -half_up, half_up
    )
