"""Solids of a model as the things of a room file: boxes, cylinders, outlines carried up, plates; in mm."""

from collections.abc import Iterable, Sequence
from itertools import combinations, pairwise
from typing import Any, NamedTuple

import numpy as np

from pipemodel.geometry.arrays import Floats
from pipemodel.geometry.centreline import Centreline
from pipemodel.geometry.rounding import rounded
from pipemodel.geometry.shapes.face import MOST_OUTLINE_POINTS, Vec2, inside_outline
from pipemodel.geometry.shapes.plan import outlines_with_holes
from pipemodel.geometry.shapes.signed_plan import Round
from pipemodel.geometry.shapes.tube import Tube
from pipemodel.messages.values import message
from pipemodel.models.ifc.bent import Bent
from pipemodel.models.ifc.clipping import clipped
from pipemodel.models.ifc.cutting import CutPrism, cut
from pipemodel.models.ifc.faces import triangles_of
from pipemodel.models.ifc.frames import TOUCH, Outlined, outlined, vec2s
from pipemodel.models.ifc.mending import mended
from pipemodel.models.ifc.placing import HardError, OddError
from pipemodel.models.ifc.planes import Plane
from pipemodel.models.ifc.solids import Prism, Rod, Solid, Surface

_ALONG = 1e-9
_WAYS = ("east", "north", "up")
_DIGITS = 6
"""Decimals of a length in mm, which rounds off no more than the sums do."""


def shapes_of(solids: Iterable[Solid], openings: Iterable[Solid], unit_mm: float) -> list[Any]:
    """Return the exact shapes of placed solids less openings in mm, or, where there is none, triangles.

    Args:
        solids: an element's body, in the model's axes and the units of the file.
        openings: what is cut out of it.
        unit_mm: what one unit of the file is.

    Raises:
        HardError: if an opening leaves no plate, or an outline crosses itself.
        OddError: if something is wrong with the element.
    """
    holes = [_prism(solid, unit_mm) for solid in openings]
    found: list[Any] = []
    for solid in solids:
        if isinstance(solid, Bent):
            if holes:
                raise HardError("an opening in a round body")
            found.append(solid.scaled(unit_mm))
        elif isinstance(solid, Rod):
            rod = solid.placed(np.diag((unit_mm, unit_mm, unit_mm, 1.0)))
            if holes:
                raise HardError("an opening in a round body")
            if rod.radius < TOUCH or np.linalg.norm(rod.finish - rod.start) < TOUCH:
                raise OddError(message("odd.thickness"))
            found.append(rod)
        elif isinstance(solid, Surface):
            block = _block_of(solid, unit_mm)
            if block is None and holes:
                raise HardError("an opening in a body of faces")
            whole = Surface(solid.vertices * unit_mm, solid.faces) if block is None else block
            found.append(whole if not holes or block is None else cut(block, holes))
        else:
            body = _prism(solid, unit_mm)
            many = not holes and _corners(body) > MOST_OUTLINE_POINTS
            found.append(cut(body, holes) if holes else _in_triangles(body) if many else body)
    return found


def _corners(body: Outlined) -> int:
    return max(0 if isinstance(loop, Round) else len(loop) for loop in (body.outer, *body.inner))


def _in_triangles(body: Outlined) -> Surface:
    """Return a prism of more corners than an outline of a room may have.

    Raises:
        HardError: if it has round holes.
    """
    loops, first = [], 0
    for loop in (body.outer, *body.inner):
        if isinstance(loop, Round):
            raise HardError("very many corners, and a round hole")
        loops.append(list(range(first, first + len(loop))))
        first += len(loop)
    plan = np.concatenate([np.asarray(loop) for loop in (body.outer, *body.inner)])
    low = np.column_stack((plan, np.zeros(len(plan))))
    vertices = np.concatenate((low, low + np.array((0.0, 0.0, body.depth)))) @ body.axes + body.origin
    sides = [
        [[a, b, first + b, first + a]]
        for loop, way in zip(loops, (1, *([-1] * len(body.inner))), strict=True)
        for a, b in pairwise((*loop[::way], loop[::way][0]))
    ]
    caps = [[loop[::-1] for loop in loops], [[first + i for i in loop] for loop in loops]]
    return Surface(vertices, triangles_of(vertices, [*caps, *sides]))


def _prism(solid: Solid, unit_mm: float) -> Outlined:
    if isinstance(solid, Prism):
        planes = tuple(Plane(plane.point * unit_mm, plane.kept) for plane in solid.planes)
        return clipped(outlined(solid, unit_mm), planes)
    block = _block_of(solid, unit_mm) if isinstance(solid, Surface) else None
    if block is None:
        raise HardError("an opening that is no prism")
    return block


def _block_of(surface: Surface, unit_mm: float) -> Outlined | None:
    """Return the block that a closed surface with eight corners is, None for any other."""
    corners = surface.vertices * unit_mm
    if len(corners) != 8 or len(surface.faces) != 12:
        return None
    edges = corners[1:] - corners[0]
    for picked in combinations(range(7), 3):
        sides = edges[list(picked)]
        size = np.linalg.norm(sides, axis=1)
        unit = sides / size[:, None]
        if np.abs(unit @ unit.T - np.eye(3)).max() > 1e-7:
            continue
        if np.linalg.det(unit) < 0.0:
            unit, size = unit[[0, 2, 1]], size[[0, 2, 1]]
        places = (corners - corners[0]) @ unit.T / size
        if np.abs(places - np.round(places)).max() > 1e-7 or len(np.unique(np.round(places), axis=0)) != 8:
            return None
        if not mended(corners, surface.faces)[1]:
            return None
        outer = np.array([(0.0, 0.0), (size[0], 0.0), (size[0], size[1]), (0.0, size[1])])
        return Outlined(corners[0], unit, outer, (), float(size[2]), True)
    return None


def things_of(shape: Any, moved: Floats) -> "list[Plain]":
    """Return an exact shape as a room file has it; one that openings leave in pieces as several.

    Args:
        shape: from `shapes_of`, but no triangles.
        moved: what is taken off every place, (3,) mm.

    Raises:
        HardError: if the room has no such shape.
    """
    if isinstance(shape, Rod):
        return [_cylinder(shape.start - moved, shape.finish - moved, shape.radius, shape.hollow, shape.pointed)]
    if isinstance(shape, Bent):
        return [_pipe(shape, moved)]
    if isinstance(shape, CutPrism):
        return _cut_things(shape, moved)
    origin, axes = shape.origin - moved, shape.axes
    if isinstance(shape.outer, Round):
        hollow = len(shape.inner) == 1 and isinstance(shape.inner[0], Round) and shape.inner[0][:2] == shape.outer[:2]
        if shape.inner and not hollow:
            raise HardError("a round body with openings in it")
        start = origin + shape.outer.x * axes[0] + shape.outer.y * axes[1]
        return [_cylinder(start, start + shape.depth * axes[2], shape.outer.radius, hollow)]
    if shape.block and _along_axes(axes):
        return [_box(shape, origin)]
    upright = next((side for side in shape.sides if abs(side.axes[2][2]) > 1.0 - _ALONG), None)
    if upright is not None and not upright.inner:
        return [_upright(upright, origin)]
    polygons = [vec2s(h) for h in shape.inner if not isinstance(h, Round)]
    rounds = [hole for hole in shape.inner if isinstance(hole, Round)]
    return [_plate(shape, origin, vec2s(shape.outer), polygons, rounds)]


class Plain(NamedTuple):
    """A thing as a room file has it, the block that holds it, (2, 3) mm, and whether it was a tube, now filled."""

    thing: dict[str, Any]
    block: Floats
    hollow: bool = False


def _along_axes(axes: Floats) -> bool:
    return bool(np.abs(np.abs(axes) - np.round(np.abs(axes))).max() < _ALONG)


def _cut_things(shape: CutPrism, moved: Floats) -> list[Plain]:
    body, origin = shape.body, shape.body.origin - moved
    pieces = outlines_with_holes(shape.outlines)
    if shape.square is not None and _along_axes(body.axes) and len(pieces) == 1:
        plain = _box(body, origin)
        holes: list[dict[str, Any]] = []
        for low, high in shape.square:
            ends = np.sort([(*low, 0.0) @ body.axes + origin, (*high, body.depth) @ body.axes + origin], axis=0)
            holes.append({"from": _mm(ends[0]), "to": _mm(ends[1])})
        for x, y, radius in shape.rounds:
            holes.append({"at": _mm((x, y, 0.0) @ body.axes + origin), "diameter": _number(2.0 * radius)})
        way = _WAYS[int(np.argmax(np.abs(body.axes[2])))]
        if holes:
            plain.thing["holes"] = [{**hole, "through": way} for hole in holes]
        return [plain]
    found = []
    for outline, openings in pieces:
        within = [h for h in shape.rounds if inside_outline(outline, h.x, h.y)]
        found.append(_plate(body, origin, outline, [opening[::-1] for opening in openings], within))
    return found


def _box(body: Outlined, origin: Floats) -> Plain:
    reach = body.axes.T @ (*np.asarray(body.outer)[2], body.depth)
    ends = np.sort([origin, origin + reach], axis=0)
    return Plain({"box": {"from": _mm(ends[0]), "to": _mm(ends[1])}}, ends)


def _upright(body: Outlined, origin: Floats) -> Plain:
    plan = (body.outer @ body.axes[:2] + origin)[:, :2]
    ends = np.sort([origin[2], origin[2] + body.depth * np.sign(body.axes[2][2])])
    block = np.column_stack([np.array([plan.min(axis=0), plan.max(axis=0)]), ends])
    low, high = _mm(ends)
    return Plain({"extrusion": {"outline": [_mm(p) for p in plan], "from": low, "to": high}}, block)


def _cylinder(start: Floats, finish: Floats, radius: float, hollow: bool, pointed: bool = False) -> Plain:
    way = (finish - start) / np.linalg.norm(finish - start)
    reach = radius * np.sqrt(np.maximum(1.0 - way * way, 0.0))
    if pointed:
        block = np.array([np.minimum(start - reach, finish), np.maximum(start + reach, finish)])
        return Plain(
            {"cone": {"from": _mm(start), "to": _mm(finish), "diameters": [_number(2.0 * radius), 0.0]}}, block
        )
    block = np.array([np.minimum(start, finish) - reach, np.maximum(start, finish) + reach])
    cylinder = {"from": _mm(start), "to": _mm(finish), "diameter": _number(2.0 * radius)}
    return Plain({"cylinder": cylinder}, block, hollow)


def _pipe(bent: Bent, moved: Floats) -> Plain:
    points, radii = [_mm(p) for p in bent.points - moved], [_number(r) for r in bent.radii]
    line = Centreline(tuple(rounded([(x, y, z) for x, y, z in points], radii)))
    block = np.array(Tube(line, 2.0 * bent.radius).bounds())
    radius: Any = radii if len(set(radii)) > 1 else radii[0]
    pipe = {"points": points, "diameter": _number(2.0 * bent.radius), "radius": radius}
    return Plain({"pipe": pipe}, block, bent.hollow)


def _plate(
    body: Outlined,
    origin: Floats,
    outline: Sequence[Vec2],
    openings: Sequence[Sequence[Vec2]],
    rounds: Sequence[Round],
) -> Plain:
    front = origin + body.depth * body.axes[2]
    flat = np.array(outline) @ body.axes[:2]
    whole = np.concatenate([flat + origin, flat + front])
    thing: dict[str, Any] = {
        "at": _mm(front),
        "across": [round(float(v), 15) + 0.0 for v in body.axes[0]],
        "up": [round(float(v), 15) + 0.0 for v in body.axes[1]],
        "outline": [_mm(p) for p in outline],
        "thickness": _number(body.depth),
    }
    if openings:
        thing["openings"] = [[_mm(p) for p in opening] for opening in openings]
    holes = [{"at": _mm((h.x, h.y) @ body.axes[:2] + front), "diameter": _number(2.0 * h.radius)} for h in rounds]
    block = np.array([whole.min(axis=0), whole.max(axis=0)])
    return Plain({"plate": thing, **({"holes": holes} if holes else {})}, block)


def _number(value: float) -> float:
    return round(float(value), _DIGITS) + 0.0


def _mm(values: Any) -> list[float]:
    return [_number(value) for value in values]
