"""What the planning of pulls needs to know of a piece of tube: its bends, where they lie, and the former."""

from dataclasses import dataclass
from functools import cached_property
from math import pi

from pipemodel.bending.bends import Bend
from pipemodel.bending.schedule import SolvedRun
from pipemodel.pulls.limits import FINISH, FlatTube, Limits
from pipemodel.trade.model import Former, Tube

SAME_SIDE_DEG = 0.5
"""Two sides up that differ by less than this are the same side to a fitter."""
COPPER_KG_PER_MM3 = 8.9e-6
"""Density of copper, 8900 kg/m3 (EN 1057 makers' tables); serves where the tube's mass is not known."""


@dataclass(frozen=True)
class PieceToBend:
    """A straight tube with the bends it is to have; lengths in mm, mass in kg per mm."""

    bends: tuple[Bend, ...]
    tube: FlatTube
    formers: tuple[Former, ...]
    """What each bend is made round."""
    outside: float
    kg_per_mm: float

    @classmethod
    def of(cls, solved: SolvedRun) -> "PieceToBend":
        """Return the piece that a solved run is bent from."""
        return cls(
            solved.table.bends,
            FlatTube.of(solved),
            solved.formers,
            solved.tube.outside_mm,
            kg_per_mm(solved.tube),
        )

    @cached_property
    def limits(self) -> Limits:
        """What the former of each bend asks of its straights."""
        guides = tuple(
            former.guide_needed_mm(bend.angle_deg) for bend, former in zip(self.bends, self.formers, strict=True)
        )
        return Limits(self.tube, tuple(former.hold_mm for former in self.formers), guides)

    def pull_deg(self, index: int) -> float:
        """Return how far a bend (counted from 0) is pulled round its own former."""
        return self.formers[index].springback.pull_deg(self.bends[index].angle_deg)

    @property
    def former_numbers(self) -> list[int]:
        """Number each bend's former, so that the same one has the same number; empty where there is only one."""
        numbers = {former: number for number, former in enumerate(dict.fromkeys(self.formers))}
        return [numbers[former] for former in self.formers] if len(numbers) > 1 else []

    def lengthened(self, leg: int, more: float) -> "PieceToBend":
        """Return the piece with one leg `more` mm longer."""
        return self._with(self.bends, self.formers, self.tube.lengthened(leg, more))

    def parted(self, leg: int) -> tuple["PieceToBend", "PieceToBend"]:
        """Return the two pieces it makes when it is jointed in the middle of a leg."""
        tube = self.tube
        at = (tube.finishes[leg - 1] if leg else 0.0) + tube.leg(leg) / 2.0
        return self._cut(0, leg, 0.0, at), self._cut(leg, len(self.bends), at, tube.length)

    def between(self, first: int, beyond: int) -> "PieceToBend":
        """Return the tube from the bend before bend `first` to bend `beyond`, neither included, counted from 0."""
        tube = self.tube
        begin = tube.finishes[first - 1] if first else 0.0
        end = tube.starts[beyond] if beyond < len(self.bends) else tube.length
        return self._cut(first, beyond, begin, end)

    def _cut(self, first: int, beyond: int, begin: float, end: float) -> "PieceToBend":
        starts, finishes = self.tube.starts[first:beyond], self.tube.finishes[first:beyond]
        tube = FlatTube(tuple(s - begin for s in starts), tuple(f - begin for f in finishes), end - begin)
        return self._with(self.bends[first:beyond], self.formers[first:beyond], tube)

    def _with(self, bends: tuple[Bend, ...], formers: tuple[Former, ...], tube: FlatTube) -> "PieceToBend":
        return PieceToBend(bends, tube, formers, self.outside, self.kg_per_mm)

    def sides_up(self) -> list[tuple[int, int]]:
        """Number the planes of the bends, and say which way up each lies when held by start and by finish."""
        planes: list[float] = []
        sides: list[tuple[int, int]] = []
        round_so_far = 0.0
        for bend in self.bends:
            round_so_far += bend.turn_deg
            aways = [within_half_turn(round_so_far - plane) for plane in planes]
            near = [i for i, away in enumerate(aways) if min(abs(away), 180.0 - abs(away)) <= SAME_SIDE_DEG]
            if not near:
                near, aways = [len(planes)], [*aways, 0.0]
                planes.append(round_so_far)
            over = int(abs(aways[near[0]]) > 90.0)
            sides.append((2 * near[0] + over, 2 * near[0] + 1 - over))
        return sides

    def swinging_kg(self) -> list[tuple[float, float]]:
        """Return the mass of the free side at each bend, when held by start and by finish."""
        tube = self.tube
        return [
            (self.kg_per_mm * (tube.length - finish), self.kg_per_mm * start)
            for start, finish in zip(tube.starts, tube.finishes, strict=True)
        ]


def kg_per_mm(tube: Tube) -> float:
    """Return the mass of a mm of tube, by its table row or else as copper."""
    if tube.mass_kg_per_m is not None:
        return tube.mass_kg_per_m / 1000.0
    return pi * (tube.outside_mm - tube.wall_mm) * tube.wall_mm * COPPER_KG_PER_MM3


def side_up_deg(bends: tuple[Bend, ...], number: int, held: int) -> float:
    """Return which side of the tube faces up when bend `number` is pulled, in (-180, 180] degrees.

    0 is the side that faces up for bend 1 held by its start side; positive is clockwise seen from the start end.
    Held by the finish side the tube lies the other way round, and the same bend needs the opposite side up.
    """
    return within_half_turn(sum(b.turn_deg for b in bends[:number]) + (180.0 if held == FINISH else 0.0))


def within_half_turn(angle: float) -> float:
    """Return an angle in degrees brought into (-180, 180]."""
    angle = angle % 360.0
    return angle - 360.0 if angle > 180.0 else angle
