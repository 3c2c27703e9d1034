"""Which check on the cards says most about where the finish will land.

A reading of known accuracy changes what is known of the errors made so far, by the linear law (for normal figures that
is exactly what is known after it). Whatever it says can be put right in the bends still to do or at the end; what is
left of the scatter of the finish then says how much it gains.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from math import degrees

import numpy as np

from pipemodel.accuracy.errors import Errors
from pipemodel.accuracy.landing import source_moves
from pipemodel.accuracy.values import BestReading
from pipemodel.bending.part_bent import PartBent
from pipemodel.bending.schedule import SolvedRun
from pipemodel.geometry.arrays import Floats
from pipemodel.pulls.cards import cards_of
from pipemodel.pulls.check_ids import piece_after, readers_of
from pipemodel.pulls.plan import Plan

STEP = 1e-4
"""mm or radians: by how much a bend is changed to see how a reading moves; a measure is no formula of its own."""
LEAST_GAIN = 0.01
"""A reading that gains less of the mean square than this is not worth naming."""


def best_reading(
    solved: SolvedRun, parts: Sequence[tuple[SolvedRun, Plan]], errors: Errors, other_mm2: float = 0.0
) -> BestReading | None:
    """Return the check that leaves the least scatter of the finish; None where none gains anything worth naming.

    Args:
        solved: the run.
        parts: the pieces it is made of, start to finish, each with its plan of pulls.
        errors: its errors.
        other_mm2: what else makes the finish miss, of which no reading says anything; mean square.
    """
    finish = source_moves(solved.table, errors)
    if not finish.any():
        return None
    whole = float((finish**2).sum()) + other_mm2
    best: BestReading | None = None
    first = 0
    for number, (part, plan) in enumerate(parts, 1):
        of_part = number if len(parts) > 1 else None
        for found in _readings(part, plan, first, errors, finish, whole):
            if best is None or found.left < best.left - 1e-9:
                best = replace(found, piece=of_part)
        first += len(part.table.bends)
    return best


def _readings(
    part: SolvedRun, plan: Plan, first: int, errors: Errors, finish: Floats, whole: float
) -> Iterator[BestReading]:
    """Yield what every check on the cards of a part leaves, where it gains anything worth naming.

    Args:
        part: a run, or a piece of one.
        plan: its pulls.
        first: how many bends of the run come before it.
        errors: those of the run.
        finish: how its finish moves with each source.
        whole: the mean square of how far the finish is off.
    """
    for card in cards_of(part, plan) if plan.pulls else ():
        piece, _ = piece_after(part, card)
        neighbours = _changed(piece)
        to_piece = _piece_moves(piece, errors, first) * errors.sd
        for place, (measure, reader) in enumerate(zip(card.measures, readers_of(part, card), strict=True)):
            if reader is None or measure.unit == "look" or measure.within <= 0.0:
                continue
            moves = _gradient(reader.read, neighbours) @ to_piece
            # Read to `within`, 19 times in 20.
            spread = float(moves @ moves) + (measure.within / 2.0) ** 2
            shared = finish @ moves
            left = 1.0 - float(shared @ shared) / spread / whole
            if left <= 1.0 - LEAST_GAIN:
                yield BestReading(card.pull.number, place, measure, left)


def _changed(piece: PartBent) -> list[tuple[PartBent, PartBent] | None]:
    """Return the piece with each start, angle and turn a step more and less; None where there is no such piece."""
    rows = list(zip(*((bend.start_mm, bend.angle_deg, bend.turn_deg) for bend in piece.bends), strict=True))
    out: list[tuple[PartBent, PartBent] | None] = []
    for which, row in enumerate(rows):
        step = STEP if which == 0 else degrees(STEP)
        for i in range(len(row)):
            pair = []
            for way in (step, -step):
                changed = [list(one) for one in rows]
                changed[which][i] += way
                pair.append(piece.with_bends(*changed))
            one, two = pair
            out.append(None if one is None or two is None else (one, two))
    return out


def _gradient(read: Callable[[PartBent], float], changed: list[tuple[PartBent, PartBent] | None]) -> Floats:
    return np.array([0.0 if pair is None else (read(pair[0]) - read(pair[1])) / (2.0 * STEP) for pair in changed])


def _piece_moves(piece: PartBent, errors: Errors, first: int) -> Floats:
    """Return what each source does to starts, angles and turns of the bends made; (3 k, 3 n)."""
    n, k = errors.bends, len(piece.bends)
    made = [first + bend.number - 1 for bend in piece.bends]
    starts, angles, planes = (errors.spread[[part * n + i for i in made]] for part in range(3))
    turns = np.zeros((k, 3 * n))
    turns[1:] = planes[1:] - planes[:-1]
    return np.concatenate([starts, angles, turns])
