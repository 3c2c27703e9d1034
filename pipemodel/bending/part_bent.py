"""The piece with some of its bends made and the rest of it still straight."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from functools import cached_property
from math import radians, tan

from pipemodel.bending.bends import Bend, BendTable, centreline_of
from pipemodel.bending.schedule import SolvedRun
from pipemodel.geometry.centreline import Arc, Centreline, Straight
from pipemodel.geometry.vectors import EAST, ORIGIN, UP, rotate

_TOUCH_MM = 1e-9
"""Bends that touch may overlap by what rounding does."""


@dataclass(frozen=True)
class PartBent:
    """A part-bent piece, its start end lying as it does in the finished run; `bends` are those made, in order."""

    centreline: Centreline
    bends: tuple[Bend, ...]
    outside_mm: float

    @cached_property
    def legs(self) -> tuple[Straight, ...]:
        """The straights between the bends made, tails included; one more than there are bends."""
        return self.centreline.straights

    @cached_property
    def arcs(self) -> tuple[Arc, ...]:
        """The bends' arcs."""
        return self.centreline.arcs

    def back_mm(self, index: int) -> float:
        """Return how far beyond the end of a leg the back of the bend at its end lies, measured along the leg.

        Up to 90 degrees it is where the backs of the bend's two legs would meet, which a straight-edge along the
        far leg finds; at 90 that is the far leg's back itself. Beyond 90 it is the outermost point of the bend.
        """
        outer = self.bends[index].radius_mm + self.outside_mm / 2.0
        return outer * min(1.0, tan(radians(self.bends[index].angle_deg) / 2.0))

    def with_bend(self, index: int, start_mm: float, angle_deg: float, rolled_deg: float) -> "PartBent | None":
        """Return the piece as it is when one bend came out otherwise; None where it has no straight tube for that.

        Args:
            index: which of `bends`, from 0.
            start_mm: where it begins, from the start end.
            angle_deg: how far it is bent.
            rolled_deg: how much further its inside lies round the tube, clockwise as seen from the start end.

        The piece lies somewhere in space: only what can be measured on it counts.
        """
        starts = [bend.start_mm for bend in self.bends]
        angles = [bend.angle_deg for bend in self.bends]
        turns = [bend.turn_deg for bend in self.bends]
        starts[index], angles[index] = start_mm, angle_deg
        if index:
            turns[index] += rolled_deg
        if index + 1 < len(turns):
            turns[index + 1] -= rolled_deg
        return self.with_bends(starts, angles, turns)

    def with_bends(
        self, starts_mm: Sequence[float], angles_deg: Sequence[float], turns_deg: Sequence[float]
    ) -> "PartBent | None":
        """Return the piece as it is when its bends came out otherwise; None where there is no straight tube for that.

        Args:
            starts_mm: where each bend begins, from the start end.
            angles_deg: how far each is bent.
            turns_deg: the turn of each bend's plane from that of the one before; that of the first counts for nothing.

        It lies with its start end at the origin, going east, its first bend turning in a plane with up for its normal.
        """
        bends: list[Bend] = []
        before = 0.0
        for was, start, angle, turn in zip(self.bends, starts_mm, angles_deg, turns_deg, strict=True):
            if start < before - _TOUCH_MM:
                return None
            bends.append(
                was._replace(
                    start_mm=start,
                    straight_before_mm=start - before,
                    angle_deg=angle,
                    turn_deg=turn if bends else 0.0,
                    arc_mm=was.radius_mm * radians(angle),
                )
            )
            before = bends[-1].finish_mm
        left = self.centreline.length - before
        if left < -_TOUCH_MM:
            return None
        line = centreline_of(BendTable(ORIGIN, EAST, UP, tuple(bends), left))
        return PartBent(line, tuple(bends), self.outside_mm)


def part_bent(solved: SolvedRun, made: Collection[int]) -> PartBent:
    """Return the piece with the bends numbered in `made` there, trim allowance and all."""
    table = solved.table
    kept: list[Bend] = []
    turned = before = 0.0
    normal = table.normal
    end = 0.0
    for bend in table.bends:
        turned += bend.turn_deg
        if bend.number not in made:
            continue
        if not kept:
            normal = rotate(table.normal, table.direction, turned)
        turn = turned - before if kept else 0.0
        kept.append(bend._replace(straight_before_mm=bend.start_mm - end, turn_deg=turn))
        before, end = turned, bend.finish_mm
    part = BendTable(table.start, table.direction, normal, tuple(kept), solved.cut_length_mm - end)
    return PartBent(centreline_of(part), tuple(kept), solved.tube.outside_mm)
