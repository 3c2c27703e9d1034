"""The piece in the bender: where its two sides lie when a pull begins.

The bender's frame (docs/bending.md): origin at the centre of the former, x along the straight tube from the
stop towards the free end, y from the centre to the tube, z up. The bend begins at (0, R, 0), the held side
leaves from there along minus x, the free side along x, and the free end swings clockwise, towards minus y.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from pipemodel.bending.bends import Bend
from pipemodel.bending.plan_limits import START, FlatTube
from pipemodel.geometry.centreline import Arc, Piece, Straight
from pipemodel.geometry.vectors import Vec3, along, cross, dot, rotate, scale, sub, unit


@dataclass(frozen=True)
class Side:
    """One side of the tube, from the beginning of the pull outwards, as it lies when the pull begins.

    `straight` is the length of tube before the nearest bend already made, all of it when none is made there.
    `flat_from` and `flat_step` (1 or -1) give the place on the flat tube: flat_from + flat_step * s.
    """

    pieces: tuple[Piece, ...]
    straight: float
    flat_from: float
    flat_step: int

    @property
    def length(self) -> float:
        """Its length along the axis, in mm."""
        return sum(piece.length for piece in self.pieces)

    @property
    def bent(self) -> bool:
        """Whether a bend is made on it."""
        return len(self.pieces) > 1


def sides_of(bends: Sequence[Bend], tube: FlatTube, index: int, held: int, made: int) -> tuple[Side, Side]:
    """Return the held side and the free side for pulling bend `index` with the bends `made` already there."""
    return held_side(bends, tube, index, held, made), free_side(bends, tube, index, held, made)


def held_side(bends: Sequence[Bend], tube: FlatTube, index: int, held: int, made: int) -> Side:
    """Return the side that sits in the stop while bend `index` is pulled; only the bends made on it matter."""
    return _outwards(bends, tube, index, held, made, -1 if held == START else 1, (-1.0, 0.0, 0.0), (0.0, 0.0, 1.0))


def free_side(bends: Sequence[Bend], tube: FlatTube, index: int, held: int, made: int) -> Side:
    """Return the side that swings while bend `index` is pulled, as it lies before; only the bends made on it matter."""
    return _outwards(bends, tube, index, held, made, 1 if held == START else -1, (1.0, 0.0, 0.0), (0.0, 0.0, -1.0))


def _outwards(
    bends: Sequence[Bend], tube: FlatTube, index: int, held: int, made: int, step: int, ahead: Vec3, axis: Vec3
) -> Side:
    """Walk the tube from the pull to one end; `axis` is what the pulled bend turns about, going this way.

    A turn keeps its sign when the run is travelled the other way, so one rule serves both sides.
    """
    begins = tube.starts[index] if held == START else tube.finishes[index]
    here: Vec3 = (0.0, bends[index].radius_mm, 0.0)
    pieces: list[Piece] = []
    at, straight, turned = begins, None, 0.0
    # Beyond the outermost bend made on this side the tube is straight.
    below = made & ((1 << index) - 1)
    outermost = made.bit_length() - 1 if step > 0 else (below & -below).bit_length() - 1 if below else index
    for j in range(index + step, outermost + step, step):
        # The turn between bends j - 1 and j is written down with bend j.
        turned += bends[j if step > 0 else j + 1].turn_deg
        if not made >> j & 1:
            continue
        bend = bends[j]
        axis, turned = rotate(axis, ahead, turned), 0.0
        near, far = (tube.starts[j], tube.finishes[j]) if step > 0 else (tube.finishes[j], tube.starts[j])
        length = abs(near - at)
        straight = length if straight is None else straight
        pieces.append(Straight(here, ahead, length))
        here = along(here, ahead, length)
        spoke = scale(cross(axis, ahead), -1.0)
        arc = Arc(along(here, spoke, -bend.radius_mm), axis, spoke, bend.radius_mm, bend.angle_deg)
        pieces.append(arc)
        here, ahead = arc.finish, unit(arc.finish_direction)
        axis = unit(sub(axis, scale(ahead, dot(axis, ahead))))
        at = far
    rest = tube.length - at if step > 0 else at
    pieces.append(Straight(here, ahead, rest))
    return Side(tuple(pieces), rest if straight is None else straight, begins, step)


def swung_side(bends: Sequence[Bend], free: Side, index: int) -> Side:
    """Return the free side as it lies after bend `index` is made and let go: its arc first, then the rest.

    Args:
        bends: the bends of the run.
        free: the free side as `sides_of` gives it.
        index: the bend pulled, counted from 0.
    """
    bend = bends[index]
    first = free.pieces[0]
    arc = Arc((0.0, 0.0, 0.0), (0.0, 0.0, -1.0), (0.0, 1.0, 0.0), bend.radius_mm, bend.angle_deg)
    rest = Straight(along(first.start, first.direction, bend.arc_mm), first.direction, first.length - bend.arc_mm)

    def turned(v: Vec3) -> Vec3:
        return rotate(v, (0.0, 0.0, -1.0), bend.angle_deg)

    def moved(p: Vec3) -> Vec3:
        return turned((p[0] - bend.arc_mm, p[1], p[2]))

    pieces: list[Piece] = [arc]
    for piece in (rest, *free.pieces[1:]):
        if isinstance(piece, Straight):
            pieces.append(Straight(moved(piece.start), turned(piece.direction), piece.length))
        else:
            pieces.append(
                Arc(moved(piece.centre), turned(piece.axis), turned(piece.spoke), piece.radius, piece.angle_deg)
            )
    return Side(tuple(pieces), free.straight - bend.arc_mm, free.flat_from, free.flat_step)
