"""What of a room is shown with its runs: in a room of many things those near a run, and a line about the others."""

from functools import lru_cache

import numpy as np

from pipemodel.bending.schedule import Schedule
from pipemodel.checks.pair_distances import asked_of_things_mm
from pipemodel.geometry.bounds import gaps
from pipemodel.geometry.shapes import Shape
from pipemodel.job.model import Thing
from pipemodel.messages.say import words
from pipemodel.messages.units import Units
from pipemodel.messages.values import Count, Length
from pipemodel.solids.extent import piece_extents, run_extent

FEW_THINGS = 200
"""A room of no more things is shown as far as `FAR_MM`, any other as far as `NEAR_MM` and what is asked for."""
FAR_MM, NEAR_MM = 3000.0, 300.0


@lru_cache(maxsize=1)
def near_things(schedule: Schedule) -> tuple[Thing, ...]:
    """Return the things that are shown, in the job's order: near some run, or without end; of many, near its tube."""
    if len(schedule.job.things) <= FEW_THINGS:
        blocks = [run_extent(solved) for solved in schedule.runs]
    else:
        blocks = [block for solved in schedule.runs for block in piece_extents(solved)]
    low, high = np.array([block.low for block in blocks]), np.array([block.high for block in blocks])
    far = _reach_mm(schedule)

    def near(shape: Shape) -> bool:
        ends = shape.bounds()
        return not ends or bool((gaps(np.array(ends[0]), np.array(ends[1]), low, high) <= far).any())

    return tuple(thing for thing in schedule.job.shown if near(thing.shape))


def far_words(schedule: Schedule, units: Units) -> tuple[str, ...]:
    """Return the line that says how many things are not shown; none if all are."""
    far = len(schedule.job.shown) - len(near_things(schedule))
    return (words(units, "paper.far", n=Count(far), far=Length(_reach_mm(schedule))),) if far else ()


def _reach_mm(schedule: Schedule) -> float:
    few = len(schedule.job.things) <= FEW_THINGS
    return max(FAR_MM if few else NEAR_MM, asked_of_things_mm(schedule))
