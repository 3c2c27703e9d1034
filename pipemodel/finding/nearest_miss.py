"""Where there is no way: the one that comes least too near to anything."""

from dataclasses import replace

from pipemodel.finding.judge import Judge
from pipemodel.finding.lattice import Lattice
from pipemodel.finding.search import MOST_BENDS, SearchTerms
from pipemodel.finding.values import Way

MISSES_JUDGED = 4
LESS_MM = (5.0, 20.0, 80.0, 320.0, 1280.0)
"""By so much less clearance is asked for everywhere, one after the other, until a way is found."""
CLOSELY_MM = 1.0
"""How closely the nearest miss is found."""


def nearest_miss(search: SearchTerms, judge: Judge) -> Way | None:
    """Return the way for which least has to give, None where not even one through everything is found."""
    low, best = 0.0, None
    for less in LESS_MM:
        if (best := _with_less(search, judge, less)) is not None:
            break
        low = less
    just_below = True
    while best is not None and (high := min(less, _lacking(best))) - low > CLOSELY_MM:
        # Mostly nothing asks less of what stands there than what was found: then one look just below it is enough.
        less = high - CLOSELY_MM if just_below else (low + high) / 2.0
        if (way := _with_less(search, judge, less)) is None:
            low, less = less, high
        elif _lacking(way) >= _lacking(best):
            return min(best, way, key=lambda one: (round(_lacking(one), 1), len(one.too_near)))
        else:
            best = way
        just_below = not just_below
    return best


def _with_less(search: SearchTerms, judge: Judge, less: float) -> Way | None:
    """Return a way with as few bends as can be, where so much less clearance is asked for; mm."""
    around = search.around.less(less)
    eased = replace(search, around=around, lattice=Lattice.of(search.lattice.planes, around))
    for bends in range(MOST_BENDS + 1):
        if eased.too_many(bends):
            break
        for found in eased.ways(bends)[:MISSES_JUDGED]:
            way = judge.way(found.corners)
            if way is not None and way.plan.possible:
                return way
    return None


def _lacking(way: Way) -> float:
    """Return by how much a way comes too near to something; mm."""
    return 0.0 if way.least is None else max(-way.least.spare_mm, 0.0)
