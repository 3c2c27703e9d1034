"""What can still be done with a piece whose bends are all made: cut off what is too long, or slip it along."""

from dataclasses import dataclass

from pipemodel.bending.bends import centreline_of
from pipemodel.correction.sentences import lands
from pipemodel.correction.values import Verdict
from pipemodel.correction.whole import Miss, Whole
from pipemodel.geometry.vectors import dot, scale
from pipemodel.messages.values import Message, Tape, Word, message
from pipemodel.pulls.plan import NO_PLAN, Plan

TRIMMED_MM = 1.0
"""A cut that is out by less is where it was to be."""


@dataclass(frozen=True)
class Way:
    """A way to go on: the run as it then comes out, the pulls to come, what is said of it, and what is against it.

    `left` is how far the finish is off once the finished piece is cut or slipped, None where it is as the run comes
    out; `trim_mm` all that is cut off its finish.
    """

    whole: Whole
    plan: Plan
    said: tuple[Message, ...]
    why_not: tuple[Message, ...] = ()
    left: Miss | None = None
    verdict: Verdict = "go on"
    trim_mm: float | None = None


def at_the_end(whole: Whole) -> Way:
    """Return what to do with a piece whose bends are all made."""
    ends = whole.solved.run.ends
    within, left_on = ends.finish.within, ends.trim_mm
    miss = whole.miss()
    way, drawn = centreline_of(whole.table).straights[-1].direction, whole.solved.centreline.straights[-1].direction
    cut = whole.moved_miss(scale(way, -miss.along_mm / dot(way, drawn))) if miss.along_mm > 0.0 else miss
    fits, trim = miss.share(within, left_on) <= 1.0, max(left_on + miss.along_mm, 0.0)
    if fits and (left_on <= 0.0 or abs(trim - left_on) < TRIMMED_MM):
        return Way(whole, NO_PLAN, (lands(miss),), (), miss)
    if fits or (miss.along_mm > 0.0 and cut.share(within, left_on) <= 1.0):
        said = (message("correct.trim", far=Tape(trim)), lands(cut))
        return Way(whole, NO_PLAN, said, (), cut, "trim", trim)
    # Slipped along its first leg, the whole piece goes along with its finish.
    first = whole.solved.table.direction
    by = max(-within.along_mm, min(within.along_mm, -dot(miss.off, first)))
    slipped = whole.moved_miss(scale(first, by))
    if slipped.share(within, left_on) <= 1.0:
        end = Word("finish" if by > 0.0 else "start")
        said = (message("correct.slip", far=Tape(abs(by)), end=end), lands(slipped))
        return Way(whole, NO_PLAN, said, (), slipped, "change")
    return Way(whole, NO_PLAN, (), (lands(miss, at_best=True),), miss, "recut")
