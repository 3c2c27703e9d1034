"""The piece as it may really be: each bend made has errors of mark, angle and turn, and these are to be found."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from math import radians, sqrt
from typing import NamedTuple

from pipemodel.accuracy.values import WHATS, What
from pipemodel.bending.part_bent import PartBent, part_bent
from pipemodel.bending.schedule import SolvedRun
from pipemodel.job.model import Hands
from pipemodel.pulls.plan import Pull


class Unknown(NamedTuple):
    """One error that is to be found: of which bend, and of what; mm for a mark, else degrees."""

    bend: int
    what: What


class Aim(NamedTuple):
    """What the hands went for at one bend: its start, mm, its angle and the plane round the tube, degrees."""

    start_mm: float
    angle_deg: float
    plane_deg: float


class MadeBends(NamedTuple):
    """Of all bends made, along the tube: where each begins, mm, its angle, and its plane round the tube, degrees."""

    starts: list[float]
    angles: list[float]
    planes: list[float]


def planned_aims(solved: SolvedRun) -> dict[int, Aim]:
    """Return what the cards of a run ask for at each of its bends, by number; planes from that of bend 1."""
    plane = 0.0
    aims: dict[int, Aim] = {}
    for bend in solved.table.bends:
        plane += bend.turn_deg
        aims[bend.number] = Aim(bend.start_mm, bend.angle_deg, plane)
    return aims


@dataclass(frozen=True)
class MadePiece:
    """The bends made so far, `numbers` along the tube, and the errors that each may have.

    An error of a turn goes from the bend made before it along the tube; the first has none. Where bends in between are
    still to come, the error is that of as many turns, as in `accuracy.errors`.
    """

    solved: SolvedRun
    pulls: tuple[Pull, ...]
    aims: Mapping[int, Aim]
    numbers: tuple[int, ...]
    unknowns: tuple[Unknown, ...]
    sd: tuple[float, ...]
    right: Mapping[int, PartBent]
    """By pull, the piece after it as it should be."""

    @classmethod
    def of(cls, solved: SolvedRun, pulls: Sequence[Pull], aims: Mapping[int, Aim], hands: Hands) -> "MadePiece":
        """Return the piece after some pulls in the order made."""
        numbers = tuple(sorted(pull.bend for pull in pulls))
        unknowns: list[Unknown] = []
        sd: list[float] = []
        for before, number in zip((None, *numbers), numbers, strict=False):
            unknowns += [Unknown(number, "mark"), Unknown(number, "angle")]
            sd += [hands.mark_mm, hands.angle_deg]
            if before is not None:
                unknowns.append(Unknown(number, "turn"))
                sd.append(hands.turn_deg * sqrt(number - before))
        right = {pull.number: part_bent(solved, pull.made | {pull.bend}) for pull in pulls}
        return cls(solved, tuple(pulls), aims, numbers, tuple(unknowns), tuple(max(s, LEAST_SD) for s in sd), right)

    def place(self, bend: int, what: What) -> int | None:
        """Return where an error stands among the unknowns; None for the turn of the first bend."""
        return next((i for i, one in enumerate(self.unknowns) if one == (bend, what)), None)

    def figures(self, errors: Sequence[float]) -> MadeBends:
        """Return the bends that come of errors, in the order of `unknowns`."""
        out = MadeBends([], [], [])
        table, held = self.solved.table.bends, {pull.bend: pull.held for pull in self.pulls}
        at, off = 0, 0.0
        for place, number in enumerate(self.numbers):
            mark, angle = errors[at], errors[at + 1]
            at += 2
            if place:
                off += errors[at]
                at += 1
            aim = self.aims[number]
            # Held by its finish side a bend ends where its mark says: bent further, it begins earlier.
            earlier = table[number - 1].radius_mm * radians(angle) if held[number] == "finish" else 0.0
            out.starts.append(aim.start_mm + mark - earlier)
            out.angles.append(aim.angle_deg + angle)
            out.planes.append(aim.plane_deg + off)
        return out

    @cached_property
    def apart(self) -> tuple[float, ...]:
        """Errors with which no bend begins before the one before it ends: 0 where what the hands went for is such.

        Bends to come are corrected for those made as they came out, and may overlap with what was asked for there.
        """
        errors, before = [0.0] * len(self.unknowns), 0.0
        for number in self.numbers:
            aim, place = self.aims[number], self.unknowns.index(Unknown(number, "mark"))
            errors[place] = max(0.0, before - aim.start_mm)
            radius = self.solved.table.bends[number - 1].radius_mm
            before = aim.start_mm + errors[place] + radius * radians(aim.angle_deg)
        return tuple(errors)

    @cached_property
    def _errors_of(self) -> dict[int, list[tuple[int, int, list[int], float]]]:
        """By pull and bend made then: its mark's and its angle's error, and those of turns since the bend before."""
        held = {pull.bend: pull.held for pull in self.pulls}
        out: dict[int, list[tuple[int, int, list[int], float]]] = {}
        for pull, right in self.right.items():
            before: int | None = None
            out[pull] = []
            for bend in right.bends:
                turns = [n for n in self.numbers if before is not None and before < n <= bend.number]
                mark, angle, *of_turns = (
                    self.unknowns.index(Unknown(n, what))
                    for n, what in ((bend.number, WHATS[0]), (bend.number, WHATS[1]), *((n, WHATS[2]) for n in turns))
                )
                earlier = radians(bend.radius_mm) if held[bend.number] == "finish" else 0.0
                out[pull].append((mark, angle, of_turns, earlier))
                before = bend.number
        return out

    def put(self, row: list[float], pull: int, what: int, bend: int, by: float) -> None:
        """Add a slope by mark (0), angle (1) or turn (2) of a bend, by mm or radian, to those by each error.

        Args:
            row: the slopes by each error, mm or degrees.
            pull: the piece is that after it.
            what: 0, 1 or 2.
            bend: of the piece, from 0.
            by: the slope.
        """
        mark, angle, turns, earlier = self._errors_of[pull][bend]
        if what == 0:
            row[mark] += by
            row[angle] -= earlier * by
        for place in ((), (angle,), turns)[what]:
            row[place] += radians(by)

    def pieces(self, errors: Sequence[float], after: Sequence[int]) -> dict[int, PartBent | None]:
        """Return by pull the piece as it was after it; None where no tube has bends like these."""
        figures = self.figures(errors)
        made = dict(zip(self.numbers, zip(*figures, strict=True), strict=True))
        out: dict[int, PartBent | None] = {}
        for number in after:
            right = self.right[number]
            own = [made[bend.number] for bend in right.bends]
            planes = [one[2] for one in own]
            turns = [plane - before for before, plane in zip([planes[0], *planes], planes, strict=False)]
            angles = [one[1] for one in own]
            out[number] = right.with_bends([one[0] for one in own], angles, turns) if min(angles) > 0.0 else None
        return out


LEAST_SD = 1e-3
"""mm or degrees: no hand is without any error."""
