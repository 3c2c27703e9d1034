"""Whether two stretches of a piece meet during a pull, proven by halving the stretches and the pull.

Two stretches during a stretch of the pull are compared at its middle: the distance between the lines between their
ends, less what they may lie beside those lines, less what they may move until the pull has gone the half further
either way. Where that leaves more than the tube's diameter they are clear; where it does not, the greatest of the
three is halved. So what is called clear is proven clear; what is called a touch comes within `NEAR_MM` of one.
"""

from collections.abc import Iterable
from typing import NamedTuple, TypeAlias

from pipemodel.geometry.segments import segment_distance
from pipemodel.pulls.motion import MovingStretch, Phase, TubePart

NEAR_MM = 0.2
"""What stays nearer than this without touching is taken as a touch."""
DEPTH_MM = 1.0
"""How closely the depth of a touch is searched for."""


Pair: TypeAlias = tuple[MovingStretch, MovingStretch]
"""Two stretches that may meet; the first is held or bending, the second bending or free."""


class FoundTouch(NamedTuple):
    """A touch: the distance of the axes, the angle pulled to, and where on which part, measured from the pull."""

    distance: float
    angle: float
    places: tuple[tuple[TubePart, float], tuple[TubePart, float]]


class TouchSearch:
    """A search through pairs of stretches for a touch, or with `deepest` for the deepest one."""

    def __init__(self, outside: float, all_round: float, turn: float, groove: float, deepest: bool) -> None:
        self._outside, self._round, self._turn, self._groove = outside, all_round, turn, groove
        self._deepest = deepest
        self.found: FoundTouch | None = None

    def run(self, phase: Phase, pairs: Iterable[Pair]) -> None:
        """Search one phase of a pull."""
        all_round, turn, outside = self._round, self._turn, self._outside
        still_speed, held, bending = phase.still_speed, TubePart.HELD, TubePart.BENDING
        trail = [(a, b, phase.low, phase.high) for a, b in pairs]
        while trail:
            a, b, low, high = trail.pop()
            part, begin_a, end_a, first, last, sag_a, turned, _, _ = a
            _, begin_b, end_b, _, _, sag_b, turned_b, _, _ = b
            if part is held:
                least, most, turned = begin_a + begin_b, end_a + end_b, turned + turned_b
            else:
                least, most, turned = begin_b - end_a, end_b - begin_a, turned_b
                if part is bending and begin_a >= phase.drawn(high):
                    continue  # Not bent yet: both swing as one.
            if most <= all_round or turned + high <= turn:
                continue
            angle, half = (low + high) / 2.0, (high - low) / 2.0
            if part is not held:
                first, last, _ = phase.placed(a, angle, half)
            first_b, last_b, speed = phase.placed(b, angle, half)
            seen = phase.speed_seen(a, angle, half) if part is held else speed + still_speed
            near, share_a, share_b = segment_distance(first, last, first_b, last_b)
            sag = sag_a + sag_b
            moved = min(speed, seen) * half if part is held else seen * half
            limit = outside if self.found is None else self.found.distance - DEPTH_MM
            if near - sag - moved >= limit:
                continue
            # With places on them that are neighbours along the tube nothing is said before those are split off.
            length_a, length_b = end_a - begin_a, end_b - begin_b
            mixed = least < all_round and length_a + length_b > NEAR_MM
            tight = sag + moved < NEAR_MM
            if not mixed and (near + sag < limit or (tight and self.found is None)):
                distance = min(near + sag, outside)
                at = (begin_a + share_a * length_a, begin_b + share_b * length_b)
                self.found = FoundTouch(distance, angle, ((part, at[0]), (b.part, at[1])))
                if not self._deepest:
                    return
                # It may go deeper elsewhere on them, or at another angle.
                if near - sag - moved >= distance - DEPTH_MM:
                    continue
            elif tight and not mixed:
                continue
            want_a = sag_a + (length_a / 2.0 if mixed else 0.0) + (half * length_a / 2.0 if seen < speed else 0.0)
            want_b = sag_b + (length_b / 2.0 if mixed else 0.0) + (half * length_b / 2.0 if speed <= seen else 0.0)
            if moved >= want_a and moved >= want_b:
                trail += [(a, b, low, angle), (a, b, angle, high)]
            elif want_a >= want_b:
                trail += [(half_a, b, low, high) for half_a in a.halves(self._groove)]
            else:
                trail += [(a, half_b, low, high) for half_b in b.halves(self._groove)]
