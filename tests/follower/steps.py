"""One pull as a paper tells it, and a list of pulls done at the bench."""

from dataclasses import dataclass

from follower.bench import Bench, WrongStepError
from follower.figures import Turned


@dataclass(frozen=True)
class Step:
    """One line of a list of pulls: which bend, the end that is held, the mark in mm, how far to pull, what to turn."""

    number: int
    bend: int
    held: str
    mark: float
    pull: float
    turned: Turned


def follow(steps, length, formers, stands="flat"):
    """Do a list of pulls, one after the other as they stand, and return the piece.

    `formers` are those of the run, by name: the list says which is put in where there are several. The bender `stands`
    flat on a bench or upright.

    Raises:
        WrongStepError: when a step cannot be done as it is written, or the numbers of bends do not fit where they lie.
    """
    bench = Bench(length, *formers.values() if len(formers) == 1 else (None,), stands)
    made = {}
    for position, step in enumerate(steps, 1):
        if step.number != position:
            raise WrongStepError(f"pull {step.number} stands in place {position}")
        if step.turned.first != (position == 1):
            raise WrongStepError(f"pull {step.number}: {step.turned}")
        if step.turned.first:
            bench.lay_in(step.held)
        if step.turned.end_for_end:
            bench.end_for_end()
        bench.roll(step.turned.clockwise)
        if step.turned.former:
            if len(formers) == 1 or bench.former is formers[step.turned.former]:
                raise WrongStepError(f"pull {step.number}: the {step.turned.former} is in already")
            bench.former = formers[step.turned.former]
        made[step.bend] = bench.pull(step.mark, step.pull, step.held)
    along = [made[number].start for number in sorted(made)]
    if along != sorted(along) or sorted(made) != list(range(1, len(made) + 1)):
        raise WrongStepError("the bends are not numbered from the start end")
    return bench.piece()
