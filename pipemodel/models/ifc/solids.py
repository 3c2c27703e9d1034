"""The items of an element's body: prisms, rods and surfaces, in the units of the file until they are placed."""

from dataclasses import dataclass, replace
from itertools import pairwise
from math import inf
from typing import Any, TypeAlias

import numpy as np

from pipemodel.geometry.arrays import Floats, Ints
from pipemodel.geometry.centreline import Arc
from pipemodel.geometry.shapes.signed_plan import Round
from pipemodel.geometry.vectors import angle_deg
from pipemodel.messages.values import Count, message
from pipemodel.models.ifc.bent import KINK_DEG, Bent, bent_of, filleted, revolved
from pipemodel.models.ifc.directrix import parameters_of, pieces_of
from pipemodel.models.ifc.faces import faceted
from pipemodel.models.ifc.placing import SQUARE, HardError, OddError, axes3, mapped, stretch
from pipemodel.models.ifc.planes import Plane, plane_of
from pipemodel.models.ifc.profiles import Loop, profile_of

DEEPEST = 20
"""Mapped items within mapped items, and so on."""
MOST_ITEMS = 20_000


@dataclass(frozen=True)
class Prism:
    """An outline with openings, carried along z from 0 to `depth`, in axes of its own; `matrix` (4, 4) places it.

    `planes` cut it off; they are in the axes that it is placed in.
    """

    matrix: Floats
    outer: Loop
    inner: tuple[Loop, ...]
    depth: float
    planes: tuple[Plane, ...] = ()

    def placed(self, matrix: Floats) -> "Prism":
        """Return it in further axes."""
        planes = tuple(plane.placed(matrix) for plane in self.planes)
        return Prism(matrix @ self.matrix, self.outer, self.inner, self.depth, planes)

    @property
    def corners(self) -> Floats:
        """Corners of a block that holds it, (8, 3), in the axes that it is placed in."""
        if isinstance(self.outer, Round):
            x, y, r = self.outer
            low, high = np.array((x - r, y - r)), np.array((x + r, y + r))
        else:
            low, high = self.outer.min(axis=0), self.outer.max(axis=0)
        ends = [(x, y, z) for x in (low[0], high[0]) for y in (low[1], high[1]) for z in (0.0, self.depth)]
        return np.array(ends) @ self.matrix[:3, :3].T + self.matrix[:3, 3]

    def evened(self) -> "Prism":
        """Return it with axes that are unit vectors, right-handed and square.

        Raises:
            HardError: if it is stretched so that it is no prism any more, or a round one not round.
            OddError: if it has no thickness.
        """
        size = stretch(self.matrix)
        rounded = any(isinstance(loop, Round) for loop in (self.outer, *self.inner))
        if rounded and abs(size[0] - size[1]) > SQUARE * size[0]:
            raise HardError("a circle that is stretched")
        matrix = self.matrix.copy()
        matrix[:3, :3] /= size
        depth = float(self.depth * size[2])
        if np.linalg.det(matrix[:3, :3]) < 0.0:
            # A mirrored one is the same seen from its other end.
            matrix[:3, 3] += depth * matrix[:3, 2]
            matrix[:3, 2] *= -1.0
        if not 0.0 < depth < inf:
            raise OddError(message("odd.thickness"))
        outer, *inner = (_stretched(loop, size) for loop in (self.outer, *self.inner))
        return Prism(matrix, outer, tuple(inner), depth, self.planes)


@dataclass(frozen=True)
class Rod:
    """A straight round bar between two points; `hollow` if it is a tube, which counts as filled.

    `pointed`: a cone, which tapers from the radius at its start to a point.
    """

    start: Floats
    finish: Floats
    radius: float
    hollow: bool = False
    pointed: bool = False

    def placed(self, matrix: Floats) -> "Rod":
        """Return it in further axes.

        Raises:
            HardError: if it is stretched so that it is not round any more.
        """
        size = stretch(matrix)
        if np.ptp(size) > SQUARE * size[0]:
            raise HardError("a bar that is stretched")
        start, finish = (matrix[:3, :3] @ end + matrix[:3, 3] for end in (self.start, self.finish))
        return replace(self, start=start, finish=finish, radius=float(self.radius * size[0]))


@dataclass(frozen=True)
class Surface:
    """Triangles: corners (n, 3), in the units of the file or as a shape of the room in mm, and faces (m, 3)."""

    vertices: Floats
    faces: Ints

    def placed(self, matrix: Floats) -> "Surface":
        """Return it in further axes."""
        vertices = self.vertices @ matrix[:3, :3].T + matrix[:3, 3]
        if not np.all(np.isfinite(vertices)):
            raise OddError(message("odd.coordinate"))
        mirrored = np.linalg.det(matrix[:3, :3]) < 0.0
        return Surface(vertices, self.faces[:, ::-1] if mirrored else self.faces)


Solid: TypeAlias = Prism | Rod | Bent | Surface


def corner_of(solid: Solid) -> Floats:
    """Return a point of a solid, (3,), in the axes that it is placed in."""
    if isinstance(solid, Prism):
        return np.asarray(solid.corners[0])
    if isinstance(solid, Surface):
        return np.asarray(solid.vertices[0])
    return np.asarray(solid.start if isinstance(solid, Rod) else solid.points[0])


class Items:
    """The solids of the representations of a file; one that is mapped often is read once.

    Args:
        radians_per_unit: what one unit of angle of the file is.
    """

    def __init__(self, radians_per_unit: float = 1.0) -> None:
        self._angle = radians_per_unit
        self._known: dict[int, list[Solid] | HardError | OddError] = {}

    def of(self, items: Any, level: int = 0) -> list[Solid]:
        """Return the solids of representation items, in the axes and units of their representation.

        Raises:
            HardError: if one of them is not read here.
            OddError: if something is wrong with one of them.
        """
        found: list[Solid] = []
        for item in items:
            if item.is_a("IfcMappedItem"):
                matrix = mapped(item)
                inner = self._mapped(item.MappingSource.MappedRepresentation, level)
                found += [solid.placed(matrix) for solid in inner]
            else:
                found += solids_of(item, self._angle)
            if len(found) > MOST_ITEMS:
                raise OddError(message("odd.parts", n=Count(MOST_ITEMS)))
        return found

    def _mapped(self, representation: Any, level: int) -> list[Solid]:
        if level > DEEPEST:
            raise OddError(message("odd.circle"))
        number = representation.id()
        if number not in self._known:
            try:
                self._known[number] = self.of(representation.Items, level + 1)
            except (HardError, OddError) as error:
                self._known[number] = error
        known = self._known[number]
        if isinstance(known, list):
            return known
        raise known


def solids_of(item: Any, radians_per_unit: float, level: int = 0) -> list[Solid]:
    """Return the solids of one item that maps no other.

    Raises:
        HardError: if it is not read here.
        OddError: if something is wrong with it.
    """
    kind = item.is_a()
    if kind == "IfcExtrudedAreaSolid":
        return [_extruded(item)]
    if kind in ("IfcSweptDiskSolid", "IfcSweptDiskSolidPolygonal"):
        return _swept(item, radians_per_unit)
    if kind == "IfcCsgSolid":
        return solids_of(item.TreeRootExpression, radians_per_unit, level)
    if kind == "IfcBlock":
        return [_block(item)]
    if kind == "IfcRightCircularCylinder":
        return [Prism(axes3(item.Position), Round(0.0, 0.0, float(item.Radius)), (), float(item.Height))]
    if kind == "IfcRightCircularCone":
        matrix, base, height = axes3(item.Position), float(item.BottomRadius), float(item.Height)
        return [Rod(matrix[:3, 3], matrix[:3, 3] + height * matrix[:3, 2], base, pointed=True)]
    if kind == "IfcRevolvedAreaSolid":
        return [revolved(item, radians_per_unit)]
    if kind == "IfcBoundingBox":
        return []
    if kind in ("IfcBooleanClippingResult", "IfcBooleanResult"):
        return [_clipped(item, radians_per_unit, level)]
    return [Surface(*faceted(item))]


def _clipped(item: Any, radians_per_unit: float, level: int) -> Prism:
    if level > DEEPEST:
        raise HardError("cut off again and again")
    if item.Operator != "DIFFERENCE" or not item.SecondOperand.is_a("IfcHalfSpaceSolid"):
        raise HardError("a body made of two")
    (body,) = solids_of(item.FirstOperand, radians_per_unit, level + 1)
    if not isinstance(body, Prism):
        raise HardError("a body of faces that is cut off")
    plane = plane_of(item.SecondOperand, body.corners)
    return body if plane is None else replace(body, planes=(*body.planes, plane))


def _extruded(item: Any) -> Prism:
    way = np.array(item.ExtrudedDirection.DirectionRatios, dtype=np.float64)
    size = float(np.linalg.norm(way))
    if not size > 0.0:
        raise OddError(message("odd.direction"))
    if np.hypot(way[0], way[1]) > SQUARE * size:
        raise HardError("an extrusion that leans")
    profile = profile_of(item.SweptArea)
    matrix = axes3(item.Position)
    if way[2] < 0.0:
        matrix[:3, 3] -= item.Depth * matrix[:3, 2]
    for loop in (profile.outer, *profile.inner):
        if (loop.radius if isinstance(loop, Round) else len(loop) - 2) <= 0:
            raise OddError(message("odd.outline"))
    return Prism(matrix, profile.outer, profile.inner, float(item.Depth))


def _block(item: Any) -> Prism:
    x, y = float(item.XLength), float(item.YLength)
    return Prism(axes3(item.Position), np.array([(0.0, 0.0), (x, 0.0), (x, y), (0.0, y)]), (), float(item.ZLength))


def _swept(item: Any, radians_per_unit: float) -> list[Solid]:
    _see_whole(item)
    pieces = pieces_of(item.Directrix, radians_per_unit)
    hollow = bool(item.InnerRadius)
    if not pieces:
        raise OddError(message("odd.length"))
    if fillet := getattr(item, "FilletRadius", None):
        pieces = filleted([pieces[0].start, *(piece.finish for piece in pieces)], float(fillet))
    if any(isinstance(piece, Arc) for piece in pieces):
        return [bent_of(pieces, float(item.Radius), hollow)]
    if any(angle_deg(a.direction, b.direction) > KINK_DEG for a, b in pairwise(pieces)):
        raise HardError("a bar that is mitred")
    return [Rod(np.array(a.start), np.array(a.finish), float(item.Radius), hollow) for a in pieces]


def _see_whole(item: Any) -> None:
    """See that a disk is swept along all of its line: IFC 2x3 always says from where to where."""
    start, end = item.StartParam, item.EndParam
    if start is None and end is None:
        return
    whole = parameters_of(item.Directrix)
    if start or whole is None or (end is not None and abs(end - whole) > SQUARE * max(whole, 1.0)):
        raise HardError("a swept disk that is cut short")


def _stretched(loop: Loop, size: Floats) -> Loop:
    if isinstance(loop, Round):
        return Round(float(loop.x * size[0]), float(loop.y * size[1]), float(loop.radius * size[0]))
    return np.asarray(loop * size[:2])
