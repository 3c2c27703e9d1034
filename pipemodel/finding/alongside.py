"""How much of a run lies alongside another."""

from pipemodel.bending.schedule import SolvedRun
from pipemodel.geometry.vectors import along, angle_deg, distance, dot, sub

PARALLEL_DEG = 1e-4
WITHIN_MM = 0.01


def beside_mm(one: SolvedRun, other: SolvedRun, centres_mm: float) -> float:
    """Return how much of a run's straights lies alongside another's straights, at a distance of the axes; mm."""
    total = 0.0
    for leg in one.centreline.straights:
        for its in other.centreline.straights:
            if PARALLEL_DEG < angle_deg(leg.direction, its.direction) < 180.0 - PARALLEL_DEG:
                continue
            begins = dot(sub(its.start, leg.start), leg.direction)
            apart = distance(its.start, along(leg.start, leg.direction, begins))
            if abs(apart - centres_mm) <= WITHIN_MM:
                ends = begins + its.length * dot(leg.direction, its.direction)
                total += max(min(max(begins, ends), leg.length) - max(min(begins, ends), 0.0), 0.0)
    return total
