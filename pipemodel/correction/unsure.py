"""How sure it is where a finish lands: the scatter of what was probably bent, carried on along the tube to its end.

`unsureOf` in `documents/page/correct_rest.js` is the twin on the page.
"""

from collections.abc import Sequence, Set
from dataclasses import replace
from math import degrees, hypot, sqrt

from pipemodel.accuracy.values import Z_95
from pipemodel.bending.bends import centreline_of
from pipemodel.correction.made import MadePiece
from pipemodel.correction.replan import axes_of
from pipemodel.correction.sentences import FINE, not_read, unsure_said
from pipemodel.correction.values import Correction, LikelyErrors, Unsure
from pipemodel.correction.whole import Miss, Whole
from pipemodel.geometry.vectors import ORIGIN, dot
from pipemodel.pulls.cards import Card
from pipemodel.trade.fittings import Ends

STEP = 0.01
"""mm or degrees: an error by which slopes are taken, to both sides."""


def unsure(made: MadePiece, likely: Sequence[LikelyErrors], whole: Whole) -> Unsure:
    """Return within what the finish of a run lies, 19 times in 20, of where it lands.

    Square to the last leg it is by the direction that is the least sure. Where several explanations are not ruled out,
    it holds the finish by each.

    Args:
        made: the bends made, the one pulled last giving the planes of those to come.
        likely: their errors, around those with which `whole` was made up.
        whole: the run as it comes out.
    """
    n = len(made.unknowns)
    slopes: list[list[float]] = []
    for place in range(n):
        ends = [_landing(made, whole, [step * (i == place) for i in range(n)]) for step in (STEP, -STEP)]
        slopes.append([(more - less) / (2.0 * STEP) for more, less in zip(*ends, strict=True)])
    at = _landing(made, whole, [0.0] * n)
    ways = [_within(one, slopes, at, _landing(made, whole, one.by)) for one in likely]
    return Unsure(*(max(column) for column in zip(*ways, strict=True)))


def is_shown(left: Miss, within: Unsure, ends: Ends) -> bool:
    """Tell whether a finish that is off by `left`, give or take, is within what it may be off all the same."""
    # Too short is what no cut mends.
    along, direction = -abs(left.along_mm) - within.along_mm, left.direction_deg + within.direction_deg
    most = Miss(ORIGIN, left.sideways_mm + within.sideways_mm, along, direction)
    return most.share(ends.finish.within, ends.trim_mm) <= 1.0


def with_how_sure(answer: Correction, card: Card, read: Set[str]) -> Correction:
    """Return an answer that says how sure it is where the finish lands, where the piece is kept.

    It is not called fine where the finish may then be further off than it may be.

    Args:
        answer: what to do.
        card: that of the pull just made.
        read: the checks read.
    """
    if answer.verdict not in ("go on", "change", "trim"):
        return answer
    said = (one for one in answer.said if answer.is_shown or one != FINE)
    bent, unread = not answer.plan.pulls, not_read(card, read)
    return replace(answer, said=(*said, *unsure_said(answer.off_within, answer.is_shown, unread, bent)))


def _landing(made: MadePiece, whole: Whole, by: Sequence[float]) -> tuple[float, float, float, float, float]:
    """Return where the finish lands with errors that much greater, by two axes square to its last leg and along it, mm.

    Then how far its direction turns towards these two axes, degrees.
    """
    drawn, one, two = axes_of(whole.solved.centreline)
    line = centreline_of(_with_errors(made, whole, by).table)
    way = line.straights[-1].direction
    return (
        dot(line.finish, one),
        dot(line.finish, two),
        dot(line.finish, drawn),
        degrees(dot(way, one)),
        degrees(dot(way, two)),
    )


def _with_errors(made: MadePiece, whole: Whole, by: Sequence[float]) -> Whole:
    new, old = made.figures(by), made.figures([0.0] * len(by))
    more = {
        number: [now - was for now, was in zip(figures, before, strict=True)]
        for number, figures, before in zip(made.numbers, zip(*new, strict=True), zip(*old, strict=True), strict=True)
    }
    # The planes of the bends to come are set out from the one pulled last.
    to_come = [0.0, 0.0, more[made.pulls[-1].bend][2]]
    for place, bend in enumerate(whole.solved.table.bends):
        whole = whole.changed(place, *more.get(bend.number, to_come))
    return whole


def _within(
    likely: LikelyErrors, slopes: Sequence[Sequence[float]], at: Sequence[float], there: Sequence[float]
) -> tuple[float, float, float]:
    """Return how far sideways, along and in direction the finish may lie by one explanation, and by its scatter."""
    by = [one - other for one, other in zip(there, at, strict=True)]
    errors = range(len(slopes))

    def covariance(one: int, other: int) -> float:
        return sum(slopes[i][one] * likely.covariance[i][j] * slopes[j][other] for i in errors for j in errors)

    def widest(one: int, other: int) -> float:
        """Return the standard deviation along the longer axis of the ellipse of two figures."""
        a, b, both = covariance(one, one), covariance(other, other), covariance(one, other)
        return sqrt(max((a + b) / 2.0 + hypot((a - b) / 2.0, both), 0.0))

    return (
        hypot(by[0], by[1]) + Z_95 * widest(0, 1),
        abs(by[2]) + Z_95 * sqrt(max(covariance(2, 2), 0.0)),
        hypot(by[3], by[4]) + Z_95 * widest(3, 4),
    )
