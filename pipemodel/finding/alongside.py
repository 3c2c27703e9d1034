"""How much of a run lies alongside another."""

from collections.abc import Sequence

from pipemodel.bending.schedule import SolvedRun
from pipemodel.geometry.centreline import Arc, Straight
from pipemodel.geometry.vectors import along, angle_deg, distance, dot, sub
from pipemodel.job.model import Run

PARALLEL_DEG = 1e-4
WITHIN_MM = 0.01


def asked_beside(run: Run, others: Sequence[SolvedRun]) -> tuple[SolvedRun, float] | None:
    """Return the run to lie beside, and how far its axis is; None where none is asked for, or it is not there."""
    asked = run.route.find and run.route.find.beside
    other = next((one for one in others if asked and one.name == asked.run), None)
    return None if asked is None or other is None else (other, asked.centres_mm)


def beside_mm(one: SolvedRun, other: SolvedRun, centres_mm: float) -> float:
    """Return how much of a run lies alongside another at a distance of the axes; mm.

    Straights count as far as they lie beside a straight of the other, and a bend does between two such.
    """
    total = pending = 0.0
    was = False
    for piece in one.centreline.pieces:
        if isinstance(piece, Arc):
            pending += piece.length
            continue
        shared = _shared(piece, other, centres_mm)
        total += shared + (pending if was and shared > 0.0 else 0.0)
        was, pending = shared > 0.0, 0.0
    return total


def _shared(leg: Straight, other: SolvedRun, centres_mm: float) -> float:
    total = 0.0
    for its in other.centreline.straights:
        if PARALLEL_DEG < angle_deg(leg.direction, its.direction) < 180.0 - PARALLEL_DEG:
            continue
        begins = dot(sub(its.start, leg.start), leg.direction)
        apart = distance(its.start, along(leg.start, leg.direction, begins))
        if abs(apart - centres_mm) <= WITHIN_MM:
            ends = begins + its.length * dot(leg.direction, its.direction)
            total += max(min(max(begins, ends), leg.length) - max(min(begins, ends), 0.0), 0.0)
    return total
