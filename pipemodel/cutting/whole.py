"""Whether a run can be one piece, asked before anything is jointed; loads no numpy."""

from pipemodel.bending.schedule import Schedule, SolvedRun
from pipemodel.pulls.plan import plan_pulls


def must_split(solved: SolvedRun, longest_mm: float) -> bool:
    """Tell whether a run cannot be one piece of new stock: longer than that, or no order of pulls works."""
    return solved.cut_length_mm > longest_mm or not plan_pulls(solved).possible


def clips_need_joints(schedule: Schedule) -> bool:
    """Tell whether a run that asks for clips cannot be one piece: its clips wait for the places of its couplings."""
    new = schedule.job.stock.length_mm
    return any(solved.run.clips and must_split(solved, new) for solved in schedule.runs)
