"""The piece in the bender: where its two sides lie when a pull begins.

The bender's frame (docs/bending.md): origin at the centre of the former, x along the straight tube from the
stop towards the free end, y from the centre to the tube, z up. The bend begins at (0, R, 0), the held side
leaves from there along minus x, the free side along x, and the free end swings clockwise, towards minus y.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, NamedTuple

from pipemodel.bending.bends import Bend
from pipemodel.geometry.centreline import Arc, LinePiece, Straight, carried
from pipemodel.geometry.vectors import Vec3, add, along, cos_deg, cross, dot, rotate, scale, sin_deg, sub, unit
from pipemodel.pulls.limits import FINISH, START, FlatTube

if TYPE_CHECKING:
    from pipemodel.pulls.plan import Pull


@dataclass(frozen=True)
class Side:
    """One side of the tube, from the beginning of the pull outwards, as it lies when the pull begins.

    `straight` is the length of tube before the nearest bend already made, all of it when none is made there.
    `flat_from` and `flat_step` (1 or -1) give the place on the flat tube: flat_from + flat_step * s.
    """

    pieces: tuple[LinePiece, ...]
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


def sides_of(bends: Sequence[Bend], tube: FlatTube, pull: "Pull") -> tuple[Side, Side]:
    """Return the held side and the free side as a pull begins."""
    index, held, made = pull.bend - 1, START if pull.held == "start" else FINISH, sum(1 << (n - 1) for n in pull.made)
    return held_side(bends, tube, index, held, made), free_side(bends, tube, index, held, made)


def held_side(bends: Sequence[Bend], tube: FlatTube, index: int, held: int, made: int) -> Side:
    """Return the side that sits in the stop while bend `index` is pulled; only the bends made on it matter."""
    return _outwards(bends, tube, Walk.begun(bends, tube, index, held, free=False), made)


def free_side(bends: Sequence[Bend], tube: FlatTube, index: int, held: int, made: int) -> Side:
    """Return the side that swings while bend `index` is pulled, as it lies before; only the bends made on it matter."""
    return _outwards(bends, tube, Walk.begun(bends, tube, index, held, free=True), made)


def _outwards(bends: Sequence[Bend], tube: FlatTube, walk: "Walk", made: int) -> Side:
    begins, step, pieces, straight = walk.at, walk.step, list[LinePiece](), None
    for j in range(walk.bend + 1, len(bends)) if step > 0 else range(walk.bend - 1, -1, -1):
        if made >> j & 1:
            leg, arc, walk = walk.round(bends, tube, j)
            straight = leg.length if straight is None else straight
            pieces += [leg, arc]
    pieces.append(walk.to_the_end(tube))
    return Side(tuple(pieces), pieces[0].length if straight is None else straight, begins, step)


class Walk(NamedTuple):
    """How far the tube has been walked from a pull towards one end, bend by bend of those made.

    `bend` is the last one walked round, at first the one pulled; `at` is where on the flat tube, `step` which way
    (1 or -1); `here` and `ahead` are place and direction, and `axis` is what that bend turns about, going this way.
    """

    bend: int
    step: int
    at: float
    here: Vec3
    ahead: Vec3
    axis: Vec3

    @classmethod
    def begun(cls, bends: Sequence[Bend], tube: FlatTube, index: int, held: int, free: bool) -> "Walk":
        """Begin where the pull of bend `index` begins, along the held side or the free one."""
        begins = tube.starts[index] if held == START else tube.finishes[index]
        way = 1.0 if free else -1.0
        step = 1 if (held == START) == free else -1
        return cls(index, step, begins, (0.0, bends[index].radius_mm, 0.0), (way, 0.0, 0.0), (0.0, 0.0, -way))

    def round(self, bends: Sequence[Bend], tube: FlatTube, j: int) -> tuple[Straight, Arc, "Walk"]:
        """Walk on to the far end of bend `j`, the next one made: its leg, its arc, and the walk from there.

        A turn keeps its sign when the run is travelled the other way, so one rule serves both sides.
        """
        last, step, at, here, ahead, axis = self
        bend, radius = bends[j], bends[j].radius_mm
        # The turn between bends j - 1 and j is written down with bend j.
        turns = bends[last + 1 : j + 1] if step > 0 else bends[j + 1 : last + 1]
        axis = rotate(axis, ahead, sum(b.turn_deg for b in turns))
        near, far = (tube.starts[j], tube.finishes[j]) if step > 0 else (tube.finishes[j], tube.starts[j])
        leg = Straight(here, ahead, abs(near - at))
        spoke = scale(cross(axis, ahead), -1.0)
        centre = along(leg.finish, spoke, -radius)
        arc = Arc(centre, axis, spoke, radius, bend.angle_deg)
        # Both by one sine and cosine, for this is asked many thousand times.
        c, s = cos_deg(bend.angle_deg), sin_deg(bend.angle_deg)
        here = add(centre, add(scale(spoke, radius * c), scale(ahead, radius * s)))
        ahead = unit(sub(scale(ahead, c), scale(spoke, s)))
        axis = unit(sub(axis, scale(ahead, dot(axis, ahead))))
        return leg, arc, Walk(j, step, far, here, ahead, axis)

    def to_the_end(self, tube: FlatTube) -> Straight:
        """Return the rest of the tube, straight to its end."""
        return Straight(self.here, self.ahead, tube.length - self.at if self.step > 0 else self.at)


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

    pieces = (arc, *carried((rest, *free.pieces[1:]), moved, turned))
    return Side(pieces, free.straight - bend.arc_mm, free.flat_from, free.flat_step)
