"""Whether a jig is worth printing: what tape, card and template tell of the finished piece, against what is asked.

Every angle, turn and leg is put out by as much as is asked, either way, and each measure that one person can take is
read on what comes of it. The fewest measures are taken that tell all of it, or nearly.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import combinations
from math import inf, isfinite

import numpy as np

from pipemodel.bending.bends import BendTable, centreline_of
from pipemodel.bending.part_bent import PartBent
from pipemodel.bending.schedule import SolvedRun
from pipemodel.geometry.vectors import Vec3, add, distance, length, scale, sub
from pipemodel.jigs.choose import lightest
from pipemodel.jigs.run_in_jig import PART_REACH_MM, Array
from pipemodel.jigs.verdict import JigFault, Limit, asked_of, faults_of, with_fault
from pipemodel.job.jig import Tolerance
from pipemodel.messages.values import Count, Message, Word, message
from pipemodel.pulls.choice import TROUBLE
from pipemodel.pulls.measures import Candidate, Measure, MeasureKind
from pipemodel.pulls.offered import offered

NEAR = 1.25
"""A measure that shows a fault from so many times what is asked tells it nearly as well as a jig."""
BETTER = 0.8
"""A jig tells a thing better than the checks where it refuses it from less than this share of what they show."""
FLAT_DEG = 0.5
"""Turns within this of 0 or 180 leave a piece flat."""
TAPE_REACH_MM, ACROSS_MM = 4000.0, 2.0
"""How far two people read a tape straight across, and how well (common practice, no source)."""
TEMPLATE_MM = 1000.0
"""A template at full size is laid out of sheets up to this across."""


@dataclass(frozen=True)
class ShownFrom:
    """One thing that may be out, from where the checks show it, and which of them does (its place), None where none.

    `refused_from` is where its jig refuses it; None as long as there is no jig.
    """

    fault: JigFault
    asked: float
    shows_from: float
    check: int | None
    refused_from: float | None = None

    @property
    def jig_tells(self) -> bool:
        """Whether the jig tells it nearly as well as is asked, or better than the checks do."""
        refuses = self.refused_from
        return refuses is None or refuses <= NEAR * self.asked or refuses < BETTER * self.shows_from


@dataclass(frozen=True)
class Worth:
    """Whether a jig is worth printing, and what checks as well, or nearly.

    `flat` tells whether a template at full size on a flat bench shows the whole piece.
    """

    printing: bool
    flat: bool
    checks: tuple[Measure, ...]
    shown: tuple[ShownFrom, ...]

    @property
    def unseen(self) -> tuple[ShownFrom, ...]:
        """What the checks do not tell nearly as well as is asked."""
        return tuple(t for t in self.shown if t.shows_from > NEAR * t.asked)

    @property
    def gained(self) -> tuple[ShownFrom, ...]:
        """What of that the jig tells."""
        return tuple(t for t in self.unseen if t.jig_tells)

    @property
    def left_open(self) -> tuple[ShownFrom, ...]:
        """What of that it does not tell nearly as well as is asked either."""
        return tuple(t for t in self.unseen if t.refused_from is not None and t.refused_from > NEAR * t.asked)

    def with_jig(self, limits: Sequence[Limit]) -> "Worth":
        """Return the same by what the jig refuses: not worth it if of what checks leave it tells half at the most."""
        refused = {limit.fault: limit.refused_from for limit in limits}
        known = replace(self, shown=tuple(replace(t, refused_from=refused[t.fault]) for t in self.shown))
        return replace(known, printing=self.printing and 2 * len(known.gained) > len(known.unseen))


def part_for(worth: Worth, table: BendTable) -> tuple[int, int] | None:
    """Return the first and the last bend of a jig that shows what nothing else does, None for one of the whole piece.

    A part is worth naming where a leg beside it is more than twice as long as such a jig reaches.
    """
    if not worth.printing:
        return None
    last = len(table.bends)
    bends = [
        n
        for t in worth.gained
        for n in ((t.fault.number,) if t.fault.kind == "angle" else (t.fault.number - 1, t.fault.number))
        if 1 <= n <= last
    ]
    legs = [*(b.straight_before_mm for b in table.bends), table.straight_after_mm]
    # A bend is judged by two legs on its sides: its neighbours are in the part, so that these are held.
    first, final = max(1, min(bends) - 1), min(last, max(bends) + 1)
    return (first, final) if max(legs[first - 1], legs[final]) > 2.0 * PART_REACH_MM else None


def worth_of(solved: SolvedRun, tolerance: Tolerance) -> Worth:
    """Return whether a jig of a run is worth printing.

    It is not where the piece has no bend or one, where it lies flat and a template shows it all, or where a few checks
    with tape and card tell everything.
    """
    table = solved.table
    right = _piece(table, solved.tube.outside_mm)
    candidates = _candidates(right)
    faults = [f for f in faults_of(table) if isfinite(asked_of(table, f, tolerance))]
    asked = [asked_of(table, f, tolerance) for f in faults]
    shows = np.array(
        [_shows(candidates, table, f, most, right.outside_mm) for f, most in zip(faults, asked, strict=True)]
    ).reshape(len(faults), len(candidates))
    groups = {
        tuple(int(k) for k in np.flatnonzero(row <= max(NEAR * most, 1.0001 * float(row.min(initial=inf)))))
        for row, most in zip(shows, asked, strict=True)
        if np.isfinite(row).any()
    }
    weights = np.array([1.0 + TROUBLE[c.measure.kind] + 1e-4 * i for i, c in enumerate(candidates)])
    chosen = lightest(groups, weights) if groups else []
    shown = tuple(_showing(f, most, row, chosen) for f, most, row in zip(faults, asked, shows, strict=True))
    flat = all(min(abs(b.turn_deg), 180.0 - abs(b.turn_deg)) <= FLAT_DEG for b in table.bends[1:])
    flat = flat and float(np.ptp(_points(solved), axis=0).max(initial=0.0)) <= TEMPLATE_MM
    worth = Worth(True, flat, tuple(candidates[k].measure for k in chosen), shown)
    return replace(worth, printing=not (len(table.bends) < 2 or flat or not worth.unseen))


def _candidates(right: PartBent) -> list[Candidate]:
    """Return every measure of the finished piece, each once."""
    found: dict[str, Candidate] = {}
    for index in range(len(right.bends)):
        for candidate in offered(right, index):
            if candidate.measure.unit != "look" and candidate.measure.kind is not MeasureKind.ACROSS:
                found.setdefault(str(candidate.measure.how), candidate)
    return [*found.values(), *_diagonals(right)]


def _diagonals(right: PartBent) -> Iterator[Candidate]:
    """Yield tapes straight across, between ends and the backs of bends that no one leg joins."""
    spots = range(len(right.bends) + 2)
    for one, two in combinations(spots, 2):
        if two - one < 2 or distance(_spot(right, one), _spot(right, two)) > TAPE_REACH_MM:
            continue
        how = message("jig worth.across", one=_named(right, one), other=_named(right, two))
        if (one, two) == (spots[0], spots[-1]):
            how = message("measure.across")

        def read(piece: PartBent, one: int = one, two: int = two) -> float:
            return distance(_spot(piece, one), _spot(piece, two))

        yield Candidate(Measure(MeasureKind.ACROSS, read(right), how, ACROSS_MM), read)


def _spot(piece: PartBent, place: int) -> Vec3:
    """Return where a tape is held: the middle of the start, the back of each bend at its middle, of the finish."""
    if place == 0:
        return piece.centreline.start
    if place > len(piece.bends):
        return piece.centreline.finish
    arc = piece.arcs[place - 1]
    middle = arc.point_at(arc.length / 2.0)
    out = sub(middle, arc.centre)
    return add(middle, scale(out, piece.outside_mm / 2.0 / length(out)))


def _named(piece: PartBent, place: int) -> Message:
    if 0 < place <= len(piece.bends):
        return message("jig worth.back", bend=Count(piece.bends[place - 1].number))
    return message("jig worth.end", end=Word("start" if place == 0 else "finish"))


def _piece(table: BendTable, outside: float) -> PartBent:
    # Where each bend begins follows from the straights, which a fault has changed.
    at, bends = 0.0, []
    for bend in table.bends:
        at += bend.straight_before_mm
        bends.append(bend._replace(start_mm=at))
        at += bend.arc_mm
    table = replace(table, bends=tuple(bends))
    return PartBent(centreline_of(table), table.bends, outside)


def _shows(candidates: Sequence[Candidate], table: BendTable, fault: JigFault, most: float, outside: float) -> Array:
    """Return from how large a fault each measure shows it, whichever way it goes."""
    least = np.full(len(candidates), inf)
    for sign in (-1.0, 1.0):
        wrong = _piece(with_fault(table, fault, sign * most), outside)
        moves = np.array(
            [
                0.0 if c.measure.kind.over_legs and fault.kind != "leg" else abs(c.read(wrong) - c.measure.value)
                for c in candidates
            ]
        )
        needed = np.array([c.measure.shows_from for c in candidates])
        shows = np.divide(most * needed, moves, out=np.full(len(candidates), inf), where=moves > 1e-6)
        least = shows if sign < 0.0 else np.maximum(least, shows)
    return least


def _showing(fault: JigFault, asked: float, row: Array, chosen: Sequence[int]) -> ShownFrom:
    shown = [float(row[k]) for k in chosen]
    best = int(np.argmin(shown)) if shown and min(shown) < inf else None
    return ShownFrom(fault, asked, inf if best is None else shown[best], best)


def _points(solved: SolvedRun) -> Array:
    return np.array(
        [p for piece in solved.centreline.pieces for p in (piece.point_at(0.0), piece.point_at(piece.length))]
    )
