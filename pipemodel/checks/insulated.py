"""Where along a run its insulation is."""

from pipemodel.bending.schedule import Schedule, SolvedRun
from pipemodel.checks.joints import lagged_parts
from pipemodel.checks.sleeves import passages


def insulated(schedule: Schedule, solved: SolvedRun) -> list[tuple[float, float]]:
    """Return from where to where along a run its insulation is round it, mm: not at bare ends, nor in bare holes."""
    if not solved.run.insulation_mm:
        return []
    parts = [(a, b) for a, b, lagged in lagged_parts(solved, 0.0, solved.centreline.length) if lagged]
    for one in passages(schedule):
        if one.solved.name == solved.name and one.sleeve.bare:
            cut = [part for a, b in parts for part in ((a, min(b, one.low_mm)), (max(a, one.high_mm), b))]
            parts = [(a, b) for a, b in cut if a < b]
    return parts
