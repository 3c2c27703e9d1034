"""Whether a way that was found can be brought to its place."""

from collections.abc import Sequence

from pipemodel.bending.schedule import Schedule, SolvedRun


def gets_in(alone: Schedule, others: Sequence[SolvedRun]) -> bool | None:
    """Return whether the one run of a schedule can be brought in, None where its job does not ask.

    Args:
        alone: a schedule of that run.
        others: the runs that are in already.
    """
    return None
