"""The whole run with the bends made as they probably are, and the rest as it may be bent: where its finish lands."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from math import radians
from typing import NamedTuple

from pipemodel.bending.bends import Bend, BendTable, centreline_of, gain
from pipemodel.bending.schedule import SolvedRun
from pipemodel.correction.made import Aim, planned_aims
from pipemodel.correction.values import BentBend
from pipemodel.geometry.vectors import ORIGIN, Vec3, add, angle_deg, dot, length, scale, sub
from pipemodel.pulls.piece import within_half_turn
from pipemodel.trade.fittings import Within

DIRECTION_DEG = 3.0
"""How far off the direction of the last leg may be: what is asked of a square bend in a college practical."""


class Miss(NamedTuple):
    """How far a finish is off: in the room; square to its last leg, and along it with too far on above 0; mm."""

    off: Vec3
    sideways_mm: float
    along_mm: float
    direction_deg: float

    def share(self, within: Within, trim_mm: float) -> float:
        """Return how much of what may be off is used up: 1 and less fits.

        What is left on to be trimmed is cut where it has to end, so there too long is no fault, and too short none up
        to that.
        """
        along = self.along_mm if self.along_mm < 0.0 or trim_mm <= 0.0 else 0.0
        return max(
            self.sideways_mm / within.sideways_mm if self.sideways_mm > EDGE else 0.0,
            abs(along) / (within.along_mm + trim_mm) if abs(along) > EDGE else 0.0,
            self.direction_deg / DIRECTION_DEG,
        )


EDGE = 1e-9


@dataclass(frozen=True)
class Whole:
    """All bends of a run: where each begins, mm, its angle and the plane it lies in round the tube, degrees."""

    solved: SolvedRun
    starts: tuple[float, ...]
    angles: tuple[float, ...]
    planes: tuple[float, ...]

    @property
    def table(self) -> BendTable:
        """The bend table, the first bend's plane as drawn and the tube as long as it was cut."""
        was = self.solved.table
        rows: list[Bend] = []
        before, last = 0.0, self.planes[0]
        for bend, start, angle, plane in zip(was.bends, self.starts, self.angles, self.planes, strict=True):
            rows.append(
                bend._replace(
                    start_mm=start,
                    straight_before_mm=start - before,
                    angle_deg=angle,
                    turn_deg=within_half_turn(plane - last),
                    arc_mm=bend.radius_mm * radians(angle),
                    gain_mm=gain(bend.radius_mm, angle),
                )
            )
            before, last = rows[-1].finish_mm, plane
        return replace(was, bends=tuple(rows), straight_after_mm=was.length_mm - before)

    @property
    def run(self) -> SolvedRun:
        """The run as it comes out."""
        table = self.table
        return replace(self.solved, table=table, centreline=centreline_of(table))

    def changed(self, bend: int, start: float = 0.0, angle: float = 0.0, plane: float = 0.0) -> "Whole":
        """Return it with one bend, counted from 0, changed by so much."""
        rows = (self.starts, self.angles, self.planes)
        starts, angles, planes = (
            (*row[:bend], row[bend] + by, *row[bend + 1 :]) for row, by in zip(rows, (start, angle, plane), strict=True)
        )
        return Whole(self.solved, starts, angles, planes)

    def miss(self) -> Miss:
        """Return how far the finish is off where it is drawn."""
        return self.moved_miss(ORIGIN)

    def moved_miss(self, by: Vec3) -> Miss:
        """Return how far the finish is off once the whole piece is moved."""
        line, drawn = centreline_of(self.table), self.solved.centreline
        off, leg = add(sub(line.finish, drawn.finish), by), drawn.straights[-1].direction
        along = dot(off, leg)
        return Miss(off, length(sub(off, scale(leg, along))), along, angle_deg(line.straights[-1].direction, leg))


def whole_with(
    solved: SolvedRun, made: Sequence[BentBend], aims: Mapping[int, Aim], last: int, rest: SolvedRun
) -> Whole:
    """Return the run with the bends made as they probably are, and all others as `rest` has them.

    Args:
        solved: the run as drawn.
        made: the bends made, along the tube.
        aims: what the hands went for at these.
        last: the bend pulled last, from whose inside line the planes of those to come are set out.
        rest: the run as it is to be bent.
    """
    bent, to_be = {bend.number: bend for bend in made}, planned_aims(rest)
    planes: dict[int, float] = {}
    turned = 0.0
    for bend in made:
        turned += within_half_turn(bend.turn_deg.value - bend.aim_turn_deg)
        planes[bend.number] = aims[bend.number].plane_deg + turned
    numbers = [row.number for row in solved.table.bends]
    by = planes[last] - to_be[last].plane_deg
    return Whole(
        solved,
        tuple(bent[n].start_mm.value if n in bent else to_be[n].start_mm for n in numbers),
        tuple(bent[n].angle_deg.value if n in bent else to_be[n].angle_deg for n in numbers),
        tuple(planes.get(n, to_be[n].plane_deg + by) for n in numbers),
    )
