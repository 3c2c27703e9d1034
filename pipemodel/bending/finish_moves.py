"""How the finish of a piece moves with each of its bends, its start end, first leg and first plane held still.

In closed form, on tuples: the plan of pulls asks for it, which loads no arrays.
"""

from typing import NamedTuple

from pipemodel.bending.bends import BendTable, centreline_of
from pipemodel.geometry.vectors import Vec3, along, cross, sub


class BendMoves(NamedTuple):
    """How the finish moves with one bend's start, mm per mm, and its angle and turn, mm per radian."""

    start: Vec3
    angle: Vec3
    turn: Vec3


def finish_moves(table: BendTable) -> tuple[BendMoves, ...]:
    """Return how the finish moves with each bend; the tube stays as long.

    Begun later, a bend moves all that follows along the leg before it and back along the leg after it. Bent further,
    it turns all that follows about the centre of the bend and takes its longer arc out of the leg after it. Turned
    further, it turns all that follows about the leg before it.
    """
    line = centreline_of(table)
    legs = line.straights
    return tuple(
        BendMoves(
            sub(before.direction, after.direction),
            along(cross(arc.axis, sub(line.finish, arc.centre)), after.direction, -arc.radius),
            cross(before.direction, sub(line.finish, before.finish)),
        )
        for before, arc, after in zip(legs, line.arcs, legs[1:], strict=False)
    )
