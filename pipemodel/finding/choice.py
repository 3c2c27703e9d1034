"""Which way is best: one table of what counts, in one order, and no weights.

Two ways are compared by the first criterion; only where that finds them equal does the next one count, and so on. Each
is counted as coarsely as a fitter tells it apart, so that a hair of tube does not outweigh all that comes after it.
"""

from collections.abc import Callable, Iterable, Sequence

from pipemodel.finding.values import Way
from pipemodel.job.find import Criterion

CHANCE_STEP = 0.05
"""Chances of fitting within one such step count as equal."""
LENGTH_STEP_MM = 10.0
"""So do lengths of tube, and what is left to spare."""
APART_STEP_MM = 100.0
"""So is what lies beside no other run."""

COUNTED: dict[Criterion, Callable[[Way], float]] = {
    "clear": lambda way: float(len(way.too_near)),
    "rules": lambda way: float(way.rules_broken),
    "pulls": lambda way: 0.0 if way.plan.possible else 1.0,
    "gets in": lambda way: 1.0 if way.gets_in is False else 0.0,
    "reach": lambda way: float(way.out_of_reach or 0),
    "clips": lambda way: float(way.unsupported),
    "joints": lambda way: float(way.joints),
    "cuts": lambda way: float(len(way.cuts)),
    "beside": lambda way: float(round(way.apart_mm / APART_STEP_MM)),
    "bends": lambda way: float(way.bends),
    "fit": lambda way: 0.0 if way.chance is None else -float(round(way.chance / CHANCE_STEP)),
    "length": lambda way: float(round(way.length_mm / LENGTH_STEP_MM)),
    "faces": lambda way: -float(round(way.along_faces_mm / LENGTH_STEP_MM)),
    "room": lambda way: 0.0 if way.least is None else -float(round(way.least.spare_mm / LENGTH_STEP_MM)),
}
"""What each criterion counts of a way; the less the better."""


def unbeaten(way: Way, order: Sequence[Criterion]) -> bool:
    """Tell whether no other way can be better by what counts before the number of bends, nor fit better.

    Of a way with the fewest bends: then no other need be looked for.
    """
    sure = way.chance is None or COUNTED["fit"](way) <= -round(1.0 / CHANCE_STEP)
    for one in order:
        if one == "bends":
            return sure
        if (one == "fit" and not sure) or one in ("length", "faces", "room") or COUNTED[one](way) > 0.0:
            return False
    return False


def ranked(ways: Iterable[Way], order: Sequence[Criterion]) -> list[Way]:
    """Return ways, the best first; equals by their length, then by their corners, so that the answer is always one."""

    def key(way: Way) -> tuple[object, ...]:
        return (*(COUNTED[one](way) for one in order), round(way.length_mm, 6), way.corners)

    return sorted(ways, key=key)
