"""Placing as few clips as the spacings allow, and as evenly as their number allows.

Positions are along the centreline from the start of the tube, mm. Setting each clip as far from the last as it may
stand needs the fewest clips. Then each is moved towards the middle between its neighbours, as far as the spacings
and its own stretch allow, until nothing moves any more.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TypeAlias

from pipemodel.geometry.centreline import Straight
from pipemodel.geometry.shapes.face import Face

TINY_MM = 1e-6
STILL_MM = 1e-3
MOVES = 20_000
"""How many times clips are moved at most to spread them evenly: plenty for any run that one person clips."""


@dataclass(frozen=True)
class ClipLeg:
    """A straight of the run from position `low` to `high`, and how far apart clips on it may be."""

    number: int
    low: float
    high: float
    limit: float
    straight: Straight


@dataclass(frozen=True)
class ClipStretch:
    """Where on a leg a clip's middle may lie, and the face it would be fixed to."""

    leg: ClipLeg
    low: float
    high: float
    face: Face


Part: TypeAlias = tuple[float, float]
PlacedClip: TypeAlias = tuple[float, ClipStretch]
Gap: TypeAlias = tuple[float, float, float]
"""From where to where nothing holds the tube, and how far that may be."""


def place_clips(
    legs: Sequence[ClipLeg],
    stretches: Sequence[ClipStretch],
    length: float,
    near_start: float,
    near_finish: float,
    wanted: Sequence[Part] = (),
) -> tuple[tuple[PlacedClip, ...], tuple[Gap, ...]]:
    """Return positions for clips, each with the stretch it lies in, and the gaps that cannot be kept short enough.

    Args:
        legs: the straights of the run that have any length, in order.
        stretches: where clips may lie.
        length: the length of the centreline.
        near_start: the first clip lies within this of the start.
        near_finish: the last clip lies within this of the finish.
        wanted: from where to where there is to be a clip besides, if one can lie there.
    """
    wanted = sorted(part for part in wanted if any(s.low <= part[1] and s.high >= part[0] for s in stretches))
    placed, gaps = _farthest(legs, stretches, length, near_start, near_finish, wanted)
    if not gaps:
        placed = _evened(placed, legs, length, near_start, near_finish, wanted)
    return tuple(placed), tuple(gaps)


def _evened(
    placed: list[PlacedClip],
    legs: Sequence[ClipLeg],
    length: float,
    near_start: float,
    near_finish: float,
    wanted: Sequence[Part],
) -> list[PlacedClip]:
    at = [position for position, _ in placed]
    kept = [(stretch.low, stretch.high) for _, stretch in placed]
    for low, high in wanted:
        if (i := next((i for i, position in enumerate(at) if low <= position <= high), None)) is not None:
            kept[i] = max(kept[i][0], low), min(kept[i][1], high)
    backwards = [replace(leg, low=length - leg.high, high=length - leg.low) for leg in reversed(legs)]
    last = len(at) - 1
    for _ in range(max(MOVES // len(at), 1)):
        moved = 0.0
        for i, (low, high) in enumerate(kept):
            before, after = at[i - 1] if i else 0.0, at[i + 1] if i < last else length
            most = min(high, reach_from(legs, before) if i else near_start)
            least = max(low, length - (reach_from(backwards, length - after) if i < last else near_finish))
            # The place it has is allowed, so rounding is all that can put the limits the wrong way round.
            new = min(max((before + after) / 2.0, least), max(most, least))
            moved = max(moved, abs(new - at[i]))
            at[i] = new
        if moved < STILL_MM:
            break
    return [(position, stretch) for position, (_, stretch) in zip(at, placed, strict=True)]


def _farthest(
    legs: Sequence[ClipLeg],
    stretches: Sequence[ClipStretch],
    length: float,
    near_start: float,
    near_finish: float,
    wanted: Sequence[Part],
) -> tuple[list[PlacedClip], list[Gap]]:
    placed: list[PlacedClip] = []
    gaps: list[Gap] = []
    last, reach = 0.0, near_start
    left = list(wanted)
    while not placed or left or last < length - near_finish - TINY_MM:
        least = last + TINY_MM if placed else 0.0
        by = min((reach, *(high for _, high in left)))
        within = [(min(s.high, by), s) for s in stretches if s.low <= by + TINY_MM and s.high >= least]
        beyond = [(s.low, s) for s in stretches if s.low > reach + TINY_MM]
        if not within and not beyond:
            gaps.append((last, length, near_finish if placed else min(near_start, length)))
            break
        at, stretch = max(within, key=_position) if within else min(beyond, key=_position)
        if not within:
            gaps.append((last, at, reach - last))
        placed.append((at, stretch))
        left = [part for part in left if part[0] > at]
        last, reach = at, reach_from(legs, at)
    return placed, gaps


def _position(placed: PlacedClip) -> float:
    return placed[0]


def reach_from(legs: Sequence[ClipLeg], at: float) -> float:
    """Return how far on the next clip may be: within the least spacing of every leg between the two."""
    reach = at
    limit: float | None = None
    for leg in legs:
        if leg.high <= at + TINY_MM:
            continue
        if limit is not None and at + limit <= leg.low:
            break
        limit = leg.limit if limit is None else min(limit, leg.limit)
        reach = max(leg.low, at + limit)
    return reach
