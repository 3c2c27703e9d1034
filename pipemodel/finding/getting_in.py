"""Whether a way that was found can be brought to its place."""

from collections.abc import Sequence
from dataclasses import replace

from pipemodel.bending.schedule import Schedule, SolvedRun
from pipemodel.checks.ways_in import answer_of, asked


def gets_in(alone: Schedule, others: Sequence[SolvedRun]) -> bool | None:
    """Return whether a way in is found for the one run of a schedule, None where its job does not ask.

    Args:
        alone: a schedule of that run.
        others: the runs that are in already.

    Raises:
        KeyboardInterrupt: if whoever asked has stopped the search.
    """
    if not asked(alone):
        return None
    there = tuple(replace(other, run=replace(other.run, bring_in=None)) for other in others)
    runs = (*alone.runs, *there)
    # Nobody is shown this way: that there is one is all that is asked.
    answer = answer_of(Schedule(replace(alone.job, runs=tuple(one.run for one in runs)), runs), plain=False)
    if answer.stopped:
        raise KeyboardInterrupt
    [way] = answer.ways
    return way.found
