"""What may explain readings that do not go with bends made nearly right: each as other places to look for the errors.

A hand is mostly off by a little, now and then by much, and rarely does something else altogether; and now and then a
reading is wrong. How rarely, as what each explanation adds to the sum of squares before it is believed, is common
practice, no source: one pull in 20 has a mark, angle or turn ten times further out than is usual, one in 400 sixty
times, one in 100 one of the mistakes that the checks are chosen for, one reading in 50 is no better than a guess. What
was read twice and is the same is no guess.
"""

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass, replace
from math import log, radians

from pipemodel.accuracy.values import WHATS
from pipemodel.correction.made import MadePiece
from pipemodel.correction.observed import Observation
from pipemodel.pulls.mistakes import mistakes_at
from pipemodel.pulls.piece import within_half_turn
from pipemodel.pulls.plan import Pull

FAR_OUT = tuple((times, 2.0 * log(rare * times)) for times, rare in ((10.0, 20.0), (60.0, 400.0)))
"""How many times further out, and what that costs: of the two, what costs less for how far out it is."""
MISTAKEN = 2.0 * log(100.0)
MISREAD = 2.0 * log(50.0) + 2.0 * log(100.0)
"""A reading that is a guess is one of about 100 as likely."""
_SMALL = ("angle", "mark", "twist")
"""Mistakes that are something far out, and looked for as such."""


@dataclass(frozen=True)
class Explanation:
    """Where each error lies about, how far it scatters there, which are far out, and which checks are not believed.

    `costs` is what it adds to the sum of squares; `mistakes` as `Estimate.mistakes` has them.
    """

    middle: tuple[float, ...]
    sd: tuple[float, ...]
    far: tuple[int, ...] = ()
    costs: float = 0.0
    mistakes: tuple[tuple[int, str], ...] = ()
    left_out: tuple[str, ...] = ()


def plain(made: MadePiece) -> Explanation:
    """Return the explanation that all is as the hands mostly are."""
    return Explanation((0.0,) * len(made.sd), made.sd)


def others(
    made: MadePiece, best: Explanation, observed: Sequence[Observation], doubted: Collection[int]
) -> Iterator[Explanation]:
    """Yield what else may be so at the pulls `doubted`, on top of the best explanation so far."""
    for pull in made.pulls:
        if pull.number in doubted:
            yield from _far_out(made, best, pull)
            yield from _mistaken(made, best, pull)
    for check in dict.fromkeys(one.check for one in observed if one.once and one.pull in doubted):
        if check not in best.left_out:
            yield replace(best, costs=best.costs + MISREAD, left_out=(*best.left_out, check))


def _far_out(made: MadePiece, best: Explanation, pull: Pull) -> Iterator[Explanation]:
    for what in WHATS:
        place = made.place(pull.bend, what)
        if place is not None and (pull.bend, what) not in best.mistakes:
            yield replace(best, far=(*best.far, place), mistakes=(*best.mistakes, (pull.bend, what)))


def mistakes_of(made: MadePiece, pull: Pull) -> Iterator[tuple[str, float, float, float]]:
    """Yield the gross mistakes at a pull by name: how far out mark, angle and turn then are, mm and degrees."""
    right = made.right[pull.number]
    index = next(i for i, bend in enumerate(right.bends) if bend.number == pull.bend)
    was = right.bends[index]
    for one in mistakes_at(pull, right, _marks(made, pull)):
        if one.piece is None or one.name in _SMALL:
            continue
        came = one.piece.bends[index]
        rolled = one.out if one.unit == "deg" and one.name != "no springback" else 0.0
        angle = came.angle_deg - was.angle_deg
        earlier = was.radius_mm * radians(angle) if pull.held == "finish" else 0.0
        yield one.name, came.start_mm - was.start_mm + earlier, angle, rolled


def _mistaken(made: MadePiece, best: Explanation, pull: Pull) -> Iterator[Explanation]:
    # The plane of a bend made later is set out from that of the bend before it in time, wrong or not.
    along = {one.bend for one in made.pulls if one.number >= pull.number}
    for name, mark, angle, rolled in mistakes_of(made, pull):
        middle = list(best.middle)
        for place, (bend, what) in enumerate(made.unknowns):
            if what == "turn":
                before = made.numbers[made.numbers.index(bend) - 1]
                by = rolled * ((bend in along) - (before in along))
                middle[place] = within_half_turn(middle[place] + by) if by else middle[place]
            elif bend == pull.bend:
                middle[place] += mark if what == "mark" else angle
        mistakes = (*best.mistakes, (pull.bend, name))
        yield replace(best, middle=tuple(middle), costs=best.costs + MISTAKEN, mistakes=mistakes)


def _marks(made: MadePiece, pull: Pull) -> list[float]:
    """Return the marks of neighbouring bends not made then, which may be taken for this one's."""
    bends = made.solved.table.bends
    near = [bend for bend in bends if abs(bend.number - pull.bend) == 1 and bend.number not in pull.made]
    return [made.solved.mark_mm(bend) for bend in near]
