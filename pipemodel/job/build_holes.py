"""Things with holes through them, from their forms to plates."""

from collections.abc import Sequence
from dataclasses import replace
from math import acos, ceil, cos, hypot, inf, pi, sin

from pipemodel.geometry.shapes import Box, Extrusion, Shape
from pipemodel.geometry.shapes.face import Vec2, edges, inside_outline
from pipemodel.geometry.shapes.plan import less_ring, outlines_with_holes, rectangle_less, side_distance
from pipemodel.geometry.shapes.plate import Plate
from pipemodel.geometry.shapes.signed_plan import Round
from pipemodel.geometry.vectors import EAST, NORTH, UP, Vec3, dot, scale, sub
from pipemodel.job.faults import Faults
from pipemodel.job.hole_forms import THROUGH, HoleForm
from pipemodel.job.outline import sides_meet
from pipemodel.job.yaml_tree import YamlPath
from pipemodel.messages.values import Message, Name, Number, Word, message

LEAST_MM = 0.1
"""So much at least is left between a round hole and the next, or a side of the thing; thinner is nothing."""
FLATS_MM = 0.02
_AXES = (EAST, NORTH, UP)
_IN_PLANE = ((NORTH, UP), (UP, EAST), (EAST, NORTH))
"""Across and up of a box's plate, for holes along each axis of the room."""


class _FaultyError(Exception):
    """A hole that cannot be: which one (None for all of them), and why."""

    def __init__(self, hole: int | None, why: Message) -> None:
        self.hole, self.why = hole, why


class _BesideError(_FaultyError):
    """A round hole whose middle lies beside the thing, or in an opening of it."""


class HoleError(Exception):
    """A hole that cannot be; the message says why."""


def pierced(shape: Shape, at: Vec3, diameter: float) -> Plate | None:
    """Return a box, an extrusion or a plate with one more round hole; None where the hole's middle lies beside it.

    Args:
        shape: the thing with the holes it has.
        at: a point of the hole's axis.
        diameter: of the hole.

    Raises:
        HoleError: if it cannot have this hole.
    """
    hole = HoleForm(at=at, diameter=diameter)
    try:
        return _less_rounds(_solid(shape, [hole]), [hole])
    except _BesideError:
        return None
    except _FaultyError as error:
        raise HoleError(error.why) from None


def with_holes(
    shape: Shape, holes: Sequence[HoleForm], path: YamlPath, faults: Faults, places: Sequence[YamlPath] = ()
) -> Shape | None:
    """Return a thing's shape with holes through it; None, with the fault noted, where it cannot have them.

    Args:
        shape: the thing without its holes.
        holes: their forms; none leaves the shape as it is.
        path: where the thing stands in the job.
        faults: where what is wrong is noted.
        places: where each hole stands in the job; if left out, in the thing's `holes`.
    """
    if not holes:
        return shape
    try:
        plate = _solid(shape, holes)
        return _less_rounds(_less_openings(plate, holes), holes)
    except _FaultyError as error:
        if error.hole is None:
            faults.at((*path, "holes"), error.why)
        else:
            faults.at(places[error.hole] if places else (*path, "holes", error.hole), error.why)
        return None


def _solid(shape: Shape, holes: Sequence[HoleForm]) -> Plate:
    """Return the thing as a plate without holes, its thickness along them."""
    ways = {THROUGH[hole.through] for hole in holes if hole.through is not None}
    if len(ways) > 1:
        raise _FaultyError(None, message("fault.holes same way"))
    if isinstance(shape, Box):
        size = sub(shape.high, shape.low)
        thin = [k for k in range(3) if size[k] <= min(size) * (1.0 + 1e-9)]
        if not ways and len(thin) > 1:
            raise _FaultyError(None, message("fault.box thin", thin=Name(_thin_names(thin), quoted=False)))
        axis = ways.pop() if ways else thin[0]
        across, up = _IN_PLANE[axis]
        outline = rectangle_less(_flat(shape.low, across, up), _flat(shape.high, across, up), [])
        return Plate(scale(_AXES[axis], shape.low[axis]), across, up, size[axis], outline)
    if isinstance(shape, Extrusion) and ways <= {THROUGH["up"]}:
        return Plate(scale(UP, shape.bottom), EAST, NORTH, shape.top - shape.bottom, (shape.outline,))
    if isinstance(shape, Plate) and not ways:
        return shape
    if isinstance(shape, Extrusion | Plate):
        way = Word("up" if isinstance(shape, Extrusion) else "thickness")
        raise _FaultyError(None, message("fault.holes go", way=way))
    raise _FaultyError(None, message("fault.holes in"))


def _thin_names(axes: Sequence[int]) -> str:
    """Return the words for the axes a hole may go along."""
    return " or ".join(next(word for word, axis in THROUGH.items() if axis == k) for k in axes)


def _flat(p: Vec3, across: Vec3, up: Vec3) -> Vec2:
    return dot(p, across), dot(p, up)


def _less_openings(plate: Plate, holes: Sequence[HoleForm]) -> Plate:
    """Return a plate less its openings with square corners; on a rectangle they may reach its sides and past them."""
    cut: list[tuple[Vec2, Vec2]] = []
    for i, hole in enumerate(holes):
        if hole.at is None:
            (a, b), (c, d) = map(plate.place_of, hole.corners())
            if a == c or b == d:
                raise _FaultyError(i, message("fault.opening flat"))
            cut.append(((min(a, c), min(b, d)), (max(a, c), max(b, d))))
    if not cut:
        return plate
    if len(plate.outlines) > 1:
        raise _FaultyError(None, message("fault.plate openings"))
    (outline,) = plate.outlines
    (west, east), (south, north) = ((min(values), max(values)) for values in zip(*outline, strict=True))
    if len(outline) == 4 and all(a[0] == b[0] or a[1] == b[1] for a, b in edges(outline)):
        left = rectangle_less((west, south), (east, north), cut)
    else:
        reach = 1.0 + max(max(west - a[0], b[0] - east, south - a[1], b[1] - north, 0.0) for a, b in cut)
        _, *inner = rectangle_less((west - reach, south - reach), (east + reach, north + reach), cut)
        for loop in inner:
            if not inside_outline(outline, *loop[0]) or any(
                sides_meet(a, b, c, d) for a, b in edges(loop) for c, d in edges(outline)
            ):
                raise _FaultyError(None, message("fault.opening edge"))
        left = (outline, *inner)
    if not left:
        raise _FaultyError(None, message("fault.nothing left"))
    corners = [corner for loop in left for corner in loop]
    if len(set(corners)) < len(corners):
        raise _FaultyError(None, message("fault.openings touch"))
    return replace(plate, outlines=left)


def _less_rounds(plate: Plate, holes: Sequence[HoleForm]) -> Plate:
    """Return a plate less its round holes, which touch neither its outer sides nor each other.

    One that crosses an opening, such as a chase, is cut in flats, so that less is taken out by up to `FLATS_MM`.
    """
    made, crossing, outlines = list(plate.rounds), list[Round](), plate.outlines
    for i, hole in enumerate(holes):
        if hole.at is None or hole.diameter is None:
            continue
        x, y = plate.place_of(hole.at)
        radius = hole.diameter / 2.0
        pieces = outlines_with_holes(plate.outlines)
        round_it = [(outer, inner) for outer, inner in pieces if inside_outline(outer, x, y)]
        outer_side, inner_side = (
            min((side_distance(a, b, (x, y)) for one in some for a, b in edges(one)), default=inf)
            for some in ([outer for outer, _ in pieces], [hole for _, inner in pieces for hole in inner])
        )
        in_opening = any(inside_outline(opening, x, y) for _, inner in round_it for opening in inner)
        if not round_it or (in_opening and inner_side > radius - LEAST_MM):
            raise _BesideError(i, message("fault.hole beside"))
        if outer_side - radius < LEAST_MM:
            raise _FaultyError(
                i,
                message("fault.hole breaks", side=Number(outer_side, ".1f"), radius=Number(radius, ".1f")),
            )
        near = min(((hypot(x - h.x, y - h.y) - h.radius, h) for h in (*made, *crossing)), default=None)
        if near is not None and near[0] - radius < LEAST_MM:
            raise _FaultyError(i, message("fault.hole runs", near=Number(radius - near[0], ".1f")))
        (crossing if inner_side - radius < LEAST_MM else made).append(Round(x, y, radius))
        if inner_side - radius < LEAST_MM:
            n = ceil(pi / acos(max(1.0 - FLATS_MM / radius, 0.0)))
            # Turned a little, so that no corner comes to lie on a side.
            turns = [2.0 * pi * (k + 0.2137) / n for k in range(n)]
            outlines = less_ring(outlines, tuple((x + radius * cos(t), y + radius * sin(t)) for t in turns))
    return replace(plate, rounds=tuple(made), outlines=outlines)
