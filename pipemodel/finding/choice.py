"""Which way is best: one table of what counts, in one order, and no weights.

Of all ways the first criterion leaves those that are equal to its best; of these the next one, and so on. Equal is what
a fitter does not tell apart, so that a hair of tube does not outweigh all that comes after it.
"""

from collections.abc import Callable, Iterable, Sequence

from pipemodel.finding.values import Way
from pipemodel.job.find import Criterion

WITHIN: dict[Criterion, float] = {"beside": 100.0, "fit": 0.05, "length": 10.0, "faces": 10.0, "room": 10.0}
"""Ways that are no more than so much worse than the best count as equal: mm, and the chance of fitting."""

COUNTED: dict[Criterion, Callable[[Way], float]] = {
    "clear": lambda way: float(len(way.too_near)),
    "rules": lambda way: float(way.rules_broken),
    "pulls": lambda way: 0.0 if way.plan.possible else 1.0,
    "gets in": lambda way: 1.0 if way.gets_in is False else 0.0,
    "reach": lambda way: float(way.out_of_reach or 0),
    "clips": lambda way: float(way.unsupported),
    "joints": lambda way: float(way.joints),
    "cuts": lambda way: float(len(way.cuts)),
    "beside": lambda way: way.apart_mm,
    "bends": lambda way: float(way.bends),
    "fit": lambda way: 0.0 if way.chance is None else -way.chance,
    "length": lambda way: way.length_mm,
    "faces": lambda way: -way.along_faces_mm,
    "room": lambda way: 0.0 if way.least is None else -way.least.spare_mm,
}
"""What each criterion counts of a way; the less the better."""


def unbeaten(way: Way, order: Sequence[Criterion]) -> bool:
    """Tell whether no other way can be better by what counts before the number of bends, nor fit better.

    Of a way with the fewest bends: then no other need be looked for.
    """
    sure = way.chance is None or way.chance >= 1.0 - WITHIN["fit"]
    for one in order:
        if one == "bends":
            return sure
        others_may_be_better = one in ("length", "faces", "room") or (one == "fit" and not sure)
        if others_may_be_better or COUNTED[one](way) > WITHIN.get(one, 0.0):
            return False
    return False


def ranked(ways: Iterable[Way], order: Sequence[Criterion]) -> list[Way]:
    """Return ways, the best first; equals by their length, then by their corners, so that the answer is always one."""
    left, out = sorted(ways, key=lambda way: (round(way.length_mm, 6), way.corners)), list[Way]()
    while left:
        out.append(_best(left, order))
        left = [way for way in left if way is not out[-1]]
    return out


def _best(ways: list[Way], order: Sequence[Criterion]) -> Way:
    """Return the first way of those that are left when each criterion has left only what is equal to its best."""
    for one in order:
        most = min(COUNTED[one](way) for way in ways) + WITHIN.get(one, 0.0)
        ways = [way for way in ways if COUNTED[one](way) <= most]
    return ways[0]
