"""Things by their thickness: outlines carried up as plates, and walls that are drawn in layers, for their chases."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import hypot
from typing import TYPE_CHECKING

from pipemodel.geometry.shapes import Extrusion, Shape
from pipemodel.geometry.shapes.face import Vec2, edges
from pipemodel.geometry.shapes.plate import Plate
from pipemodel.geometry.vectors import UP, Vec3, along, dot, sub
from pipemodel.job.build_sleeves import deepened_plate, wall_of
from pipemodel.job.building.walls import WallForm
from pipemodel.job.model import Thing

if TYPE_CHECKING:
    from pipemodel.geometry.distance.obstacle import MeasuredObstacle

_SQUARE = 1e-6


@dataclass(frozen=True)
class ThingFrame:
    """A thing by its own directions, from a corner of it: along it, up it, and through its thickness."""

    corner: Vec3
    along: Vec3
    up: Vec3
    through: Vec3

    def place(self, p: Vec3) -> Vec3:
        """Return where a point is along, up and through it, from its corner, mm."""
        to = sub(p, self.corner)
        return dot(to, self.along), dot(to, self.up), dot(to, self.through)

    def point(self, along_mm: float, up_mm: float, through_mm: float) -> Vec3:
        """Return the point of the room at a place in it."""
        return along(along(along(self.corner, self.along, along_mm), self.up, up_mm), self.through, through_mm)


def as_plate(shape: Shape, stands: bool = False) -> Shape:
    """Return an outline carried up as a plate through its least measure; any other shape as it is.

    Args:
        shape: of a thing.
        stands: whether it is a plate on edge, such as a joist, however low it is.
    """
    if not isinstance(shape, Extrusion):
        return shape
    high, outline = shape.top - shape.bottom, shape.outline
    sides = _rectangle(outline)
    least = min(sides) if sides else min(max(values) - min(values) for values in zip(*outline, strict=True))
    if not stands and high < least:
        x, y = _way_of(outline)
        own = tuple((a * x + b * y, b * x - a * y) for a, b in outline)
        return Plate((0.0, 0.0, shape.bottom), (x, y, 0.0), (-y, x, 0.0), high, (own,))
    if sides is None:
        return shape
    one, two = (0, 1) if sides[0] >= sides[1] else (1, 2)
    (x, y), (a, b) = outline[two], outline[one]
    long, thick = max(sides), min(sides)
    # Round an outline counter-clockwise, and back along it: the thickness goes into it.
    across = ((a - x) / long, (b - y) / long, 0.0)
    return Plate((x, y, shape.bottom), across, UP, thick, (((0.0, 0.0), (long, 0.0), (long, high), (0.0, high)),))


def _way_of(outline: tuple[Vec2, ...]) -> Vec2:
    """Return the way that most of an outline goes along or square to, of four the one nearest to the east."""
    lengths: dict[Vec2, float] = {}
    for (a, b), (c, d) in edges(outline):
        x, y, long = c - a, d - b, hypot(c - a, d - b)
        while long and not -x < y <= x:
            x, y = y, -x
        way = (x / long, y / long) if long else (1.0, 0.0)
        same = next((one for one in lengths if hypot(one[0] - way[0], one[1] - way[1]) < _SQUARE), way)
        lengths[same] = lengths.get(same, 0.0) + long
    return max(lengths, key=lambda way: lengths[way])


def _rectangle(outline: tuple[Vec2, ...]) -> tuple[float, float] | None:
    """Return the lengths of the first two sides of a rectangle, None for another outline."""
    if len(outline) != 4:
        return None
    (a, b), (c, d), (e, f), (g, h) = outline
    one, two = hypot(c - a, d - b), hypot(e - c, f - d)
    skew = (c - a) * (e - c) + (d - b) * (f - d)
    closes = hypot(a + e - c - g, b + f - d - h)
    return (one, two) if abs(skew) <= _SQUARE * one * two and closes <= _SQUARE * max(one, two) else None


def wall_in_layers(layers: Sequence[Thing]) -> "MeasuredObstacle":
    """Return a wall with chases to measure against, from its layers, from its face to its back.

    Where a run goes from one layer into the next it leaves nothing.
    """
    from pipemodel.geometry.distance.pocketed import pocketed  # loads numpy

    shapes, frame = [layer.shape for layer in layers], layers[0].frame
    assert frame is not None
    assert isinstance(frame.term, WallForm)
    back = shapes[-1]
    # The last layer has all openings and no chase.
    whole = deepened_plate(back, shapes) if isinstance(back, Plate) else frame.placed(frame.term.uncut())
    return pocketed(whole, [frame.placed(pocket) for pocket in frame.term.pockets()], shapes)


def in_layers(things: Iterable[Thing]) -> list[tuple[Thing, ...]]:
    """Return the things by the wall they are layers of, from its face to its back; any other by itself."""
    found: dict[str, list[Thing]] = {}
    for thing in things:
        found.setdefault(wall_of(thing), []).append(thing)
    return [tuple(layers) for layers in found.values()]
