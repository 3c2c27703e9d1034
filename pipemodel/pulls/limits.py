"""The simple limits of a bender: straight to hold behind the bend, straight to guide ahead of it, greatest angle.

A bend already made shortens the straight that its neighbours have, and never lengthens it. So the question
"is there an order at all" is answered backwards without any search: start from the finished piece and take out,
again and again, any bend whose straights suffice as things stand. Taking one out only gives the others more
straight, so nothing is lost by taking out whatever can be; what is left when no more can be taken out stands in
its own way in every order (such families of sets are known as antimatroids).

Bends are counted from 0 here, and a set of bends is the bits of an integer.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

from pipemodel.bending.schedule import SolvedRun

START: Final = 0
FINISH: Final = 1
"""Which end's side of the tube sits in the stop."""

SLACK_MM = 1e-6
"""A straight that lacks less than this has what it needs; rounding of a job's own figures is far below it."""

TRIMMED = 20
"""Of so many legs to be made longer each is trimmed to the least; of more, each is as long as frees its bend."""


@dataclass(frozen=True)
class FlatTube:
    """The straight tube before the first pull: where each bend will begin and end, from the start end, in mm."""

    starts: tuple[float, ...]
    finishes: tuple[float, ...]
    length: float

    @classmethod
    def of(cls, solved: SolvedRun) -> "FlatTube":
        """Return the flat tube of a solved run, trim allowance and all: it is there while the bends are pulled."""
        bends = solved.table.bends
        return cls(tuple(b.start_mm for b in bends), tuple(b.finish_mm for b in bends), solved.cut_length_mm)

    @property
    def bends(self) -> int:
        """How many bends it will have."""
        return len(self.starts)

    def straight(self, before: int, after: int) -> float:
        """Return the straight between two bends with none made in between; -1 and n stand for the ends."""
        left = self.finishes[before] if before >= 0 else 0.0
        right = self.starts[after] if after < self.bends else self.length
        return right - left

    def leg(self, number: int) -> float:
        """Return the length of leg `number`: 0 is the start tail, n the finish tail."""
        return self.straight(number - 1, number)

    def lengthened(self, leg: int, more: float) -> "FlatTube":
        """Return the tube with one leg `more` mm longer."""
        return FlatTube(
            tuple(s + more if i >= leg else s for i, s in enumerate(self.starts)),
            tuple(f + more if i >= leg else f for i, f in enumerate(self.finishes)),
            self.length + more,
        )


def neighbours(bend: int, made: int, n: int) -> tuple[int, int]:
    """Return the nearest made bends on either side of `bend`; -1 and n where there is none."""
    below = made & ((1 << bend) - 1)
    above = made >> (bend + 1)
    after = bend + (above & -above).bit_length() if above else n
    return below.bit_length() - 1, after


def taken_out(made: int, may_be_last: Callable[[int, int], bool]) -> int:
    """Take out, again and again, every bend that may have been pulled last; return what is left.

    Args:
        made: the bends that are made.
        may_be_last: tells whether a bend could be the last one pulled, the rest being made.
    """
    again = True
    while again and made:
        again = False
        rest = made
        while rest:
            bit = rest & -rest
            rest ^= bit
            if may_be_last(bit.bit_length() - 1, made ^ bit):
                made ^= bit
                again = True
    return made


@dataclass(frozen=True)
class Limits:
    """What the former of each bend asks of the straights on either side of its pull, for one tube."""

    tube: FlatTube
    holds: tuple[float, ...]
    guides: tuple[float, ...]
    """What each bend needs ahead of it: the guide, and how far it travels in that pull."""

    def straights(self, bend: int, held: int, made: int) -> tuple[float, float]:
        """Return the straight the held side has, and the straight the other side has, in mm."""
        before, after = neighbours(bend, made, self.tube.bends)
        left, right = self.tube.straight(before, bend), self.tube.straight(bend, after)
        return (left, right) if held == START else (right, left)

    def allow(self, bend: int, held: int, made: int) -> bool:
        """Tell whether `bend` can be pulled, held by that side, with the bends `made` already there."""
        # Written out, since a search asks this many thousand times.
        tube = self.tube
        below, above = made & ((1 << bend) - 1), made >> (bend + 1)
        before = tube.finishes[below.bit_length() - 1] if below else 0.0
        after = tube.starts[bend + (above & -above).bit_length()] if above else tube.length
        left, right = tube.starts[bend] - before, after - tube.finishes[bend]
        if held == FINISH:
            left, right = right, left
        return left >= self.holds[bend] - SLACK_MM and right >= self.guides[bend] - SLACK_MM

    def core(self, made: int) -> int:
        """Take out every bend that can be the last one pulled, until none can; return what is left.

        Nothing left means that an order exists, and the bends can be pulled in the reverse of how they came out.
        """
        return taken_out(made, lambda bend, rest: any(self.allow(bend, side, rest) for side in (START, FINISH)))


@dataclass(frozen=True)
class Lengthening:
    """A leg to be made longer so that an order of pulls exists: its number, what it has and what it needs."""

    leg: int
    has: float
    needs: float

    @property
    def more(self) -> float:
        """How much longer."""
        return self.needs - self.has


def least_lengthening(limits: Limits) -> tuple[Lengthening, ...]:
    """Return the legs to lengthen, and by how much, so that an order exists; empty when one does already.

    One leg alone, the one that needs least, when one can do it. Otherwise several: the cheapest of what frees
    some bend, again and again, each then trimmed to what it needs beside the others.
    """
    n = limits.tube.bends
    everything = (1 << n) - 1
    core = limits.core(everything)
    if not core:
        return ()
    singles = [(more, leg) for leg in _legs_beside(core, n) if (more := _least_alone(limits, leg)) is not None]
    if singles:
        more, leg = min(singles)
        return (_lengthening(limits.tube, leg, more),)
    added: dict[int, float] = {}
    while core:
        for leg, more in _cheapest_release(limits, added, core):
            added[leg] = added.get(leg, 0.0) + more
        core = _with(limits, added).core(core)
    for leg in sorted(added) if len(added) <= TRIMMED else ():
        others = {k: v for k, v in added.items() if k != leg}
        more = _least_alone(_with(limits, others), leg)
        added[leg] = added[leg] if more is None else more
    return tuple(_lengthening(limits.tube, leg, more) for leg, more in sorted(added.items()) if more > 0.0)


def _lengthening(tube: FlatTube, leg: int, more: float) -> Lengthening:
    return Lengthening(leg, tube.leg(leg), tube.leg(leg) + more)


def _with(limits: Limits, added: dict[int, float]) -> Limits:
    tube = limits.tube
    for leg, more in added.items():
        tube = tube.lengthened(leg, more)
    return Limits(tube, limits.holds, limits.guides)


def _legs_beside(core: int, n: int) -> list[int]:
    """Return the legs that lie between two bends of the core, or between one and an end."""
    first, last = (core & -core).bit_length() - 1, core.bit_length() - 1
    inner = range(first, last + 2)
    # A tail may be made of several legs while its bends are not made yet; the outermost one is the one to lengthen.
    return sorted({0, n, *inner})


def _least_alone(limits: Limits, leg: int) -> float | None:
    """Return how much longer this leg alone must be for an order to exist, None when no length will do."""
    n = limits.tube.bends
    everything = (1 << n) - 1
    steps = {0.0}
    needs = {*limits.holds, *limits.guides}
    most = max(needs)
    for before in range(leg - 1, -2, -1):
        for after in range(leg, n + 1):
            has = limits.tube.straight(before, after)
            if has >= most:
                break
            if before >= 0 or after < n:
                steps.update(need - has for need in needs if need > has)
    amounts = sorted(steps)
    low, high = 0, len(amounts) - 1

    def enough(more: float) -> bool:
        return not Limits(limits.tube.lengthened(leg, more), limits.holds, limits.guides).core(everything)

    if not enough(amounts[high]):
        return None
    while low < high:
        middle = (low + high) // 2
        if enough(amounts[middle]):
            high = middle
        else:
            low = middle + 1
    return amounts[low]


def _cheapest_release(limits: Limits, added: dict[int, float], core: int) -> list[tuple[int, float]]:
    """Return the least lengthening of the legs beside one bend of the core that lets it come out."""
    longer = _with(limits, added)
    best: tuple[float, list[tuple[int, float]]] | None = None
    for bend in range(limits.tube.bends):
        if not core >> bend & 1:
            continue
        for side in (START, FINISH):
            has_hold, has_guide = longer.straights(bend, side, core ^ (1 << bend))
            hold, guide = max(0.0, limits.holds[bend] - has_hold), max(0.0, limits.guides[bend] - has_guide)
            legs = (bend, bend + 1) if side == START else (bend + 1, bend)
            change = [(leg, more) for leg, more in zip(legs, (hold, guide), strict=True) if more > 0.0]
            if best is None or hold + guide < best[0]:
                best = (hold + guide, change)
    assert best is not None
    return best[1]
