"""Out of the bender's way: which bends stand in it when no order clears a bender, and the least change that helps.

The search has ended at a set of made bends of which none could have been the last pull. Each is looked at both
ways of holding it, and the one that goes in least is tried with its legs longer, a leg at a time.
"""

from dataclasses import dataclass

from pipemodel.bending.plan_bender import InBender, Touch
from pipemodel.bending.plan_bends import any_order
from pipemodel.bending.plan_hindrance import Hindrance, leg_name, place_name
from pipemodel.bending.plan_limits import FINISH, START
from pipemodel.bending.plan_order import Task
from pipemodel.bending.plan_piece import PieceToBend
from pipemodel.trade.benders import Bender

LONGEST_MM = 1000.0
"""No leg is tried longer than this much more."""
STEP_MM = 1.0
"""Lengthenings are given to the mm above."""
JOINT_DIAMETERS = 3.0
"""A joint is proposed only in a leg at least this many outside diameters long."""
TRIES = 6
"""How many changes that free one pull are tried on the whole run."""


@dataclass(frozen=True)
class _Blocked:
    """A last pull that doesn't clear: the bend (from 0), how it is held, the bends made before it, the touch."""

    bend: int
    held: int
    made: int
    touch: Touch


def bender_hindrances(piece: PieceToBend, bender: Bender, task: Task, effort: int) -> tuple[Hindrance, ...]:
    """Return which bends stand in the bender's way, the one that goes in least first, with a way out.

    `task` is the one that no order was found for.
    """
    end = any_order(task, effort)
    assert end.steps is None
    blocked = _blocked(piece, InBender(piece, bender), end.stuck)
    way_out = _way_out(piece, bender, blocked, effort)
    if not end.complete:
        way_out += " (the search was cut short: an order may exist that was not looked at)"
    return tuple(_hindrance(piece, one, way_out if one is blocked[0] else "") for one in blocked)


def possible_in(piece: PieceToBend, bender: Bender, effort: int) -> bool:
    """Tell whether some order clears the bender and the former's limits."""
    if piece.limits.core((1 << len(piece.bends)) - 1):
        return False
    clear = InBender(piece, bender).clear
    task = Task(piece.sides_up(), piece.swinging_kg(), piece.limits.allow, clear)
    return any_order(task, effort).steps is not None


def _blocked(piece: PieceToBend, in_bender: InBender, stuck: int) -> list[_Blocked]:
    """Return, for each bend of a stuck set that its straights would allow, the way of holding that goes in least."""
    found: list[_Blocked] = []
    for bend in range(len(piece.bends)):
        made = stuck ^ (1 << bend)
        if made > stuck:
            continue
        ways = [
            _Blocked(bend, held, made, touch)
            for held in (START, FINISH)
            if piece.limits.allow(bend, held, made) and (touch := in_bender.touch(bend, held, made)) is not None
        ]
        if ways:
            found.append(min(ways, key=lambda one: one.touch.depth_mm))
    return sorted(found, key=lambda one: (one.touch.depth_mm, one.bend))


def _hindrance(piece: PieceToBend, one: _Blocked, way_out: str) -> Hindrance:
    touch, number = one.touch, one.bend + 1
    others = [i + 1 for i in range(len(piece.bends)) if one.made >> i & 1]
    made = _made_in_words(others)
    held = "start" if one.held == START else "finish"
    return Hindrance(
        "bender",
        f"bend {number}{made}, held by the {held} side, can't be pulled: the {touch.side} side's "
        f"{place_name(piece.tube, touch.flat_mm)} goes {touch.depth_mm:.1f} into the {touch.part} "
        f"at {touch.at_pull_deg:.0f} degrees{way_out}",
        has=-touch.depth_mm,
        needs=0.0,
        at_mm=touch.flat_mm,
        bend=number,
    )


def _made_in_words(others: list[int]) -> str:
    if not others:
        return ""
    if len(others) == 1:
        return f" after bend {others[0]}"
    return f" after bends {', '.join(map(str, others[:-1]))} and {others[-1]}"


def _way_out(piece: PieceToBend, bender: Bender, blocked: list[_Blocked], effort: int) -> str:
    options = [(more, leg) for one in blocked for leg, more in _freeing(piece, bender, one)]
    for more, leg in sorted(set(options))[:TRIES]:
        if possible_in(piece.lengthened(leg, more), bender, effort):
            name = leg_name(leg, len(piece.bends))
            cut = ", cut off after bending," if leg in (0, len(piece.bends)) else ""
            return f"; {name} {more:.0f} longer{cut} frees it{_or_joint(piece, bender, blocked, effort)}"
    return _or_joint(piece, bender, blocked, effort).replace(", or", ";", 1) or (
        "; no leg made longer by itself frees it, nor a joint"
    )


def _or_joint(piece: PieceToBend, bender: Bender, blocked: list[_Blocked], effort: int) -> str:
    legs = {leg for one in blocked for leg in (one.bend, one.bend + 1)}
    for leg in sorted(legs):
        if leg in (0, len(piece.bends)) or piece.tube.leg(leg) < JOINT_DIAMETERS * piece.outside:
            continue
        if all(possible_in(part, bender, effort) for part in piece.parted(leg)):
            return f", or a joint in the {leg_name(leg, len(piece.bends))} does"
    return ""


def _freeing(piece: PieceToBend, bender: Bender, one: _Blocked) -> list[tuple[int, float]]:
    """Return the legs between a pull and what it runs into, each with the lengthening that frees that pull."""
    free = (one.touch.side == "free") == (one.held == FINISH)
    # The touch lies towards the start from the pull when the free side is the start side, or the held one is.
    ends = [i for i in range(len(piece.bends)) if one.made >> i & 1 and (i < one.bend) == free]
    legs = range(min(ends), one.bend + 1) if free and ends else range(one.bend + 1, max(ends, default=0) + 1)
    found: list[tuple[int, float]] = []
    for leg in legs:
        more = _least(piece, bender, one, leg)
        if more is not None:
            found.append((leg, more))
    return found


def _least(piece: PieceToBend, bender: Bender, one: _Blocked, leg: int) -> float | None:
    """Return the least lengthening of a leg that lets this pull clear, None when none up to `LONGEST_MM` does.

    The first that works of a doubling series is narrowed down; what lies below it is taken not to work.
    """

    def clear(more: float) -> bool:
        longer = piece.lengthened(leg, more)
        return InBender(longer, bender).clear(one.bend, one.held, one.made)

    low, high = 0.0, 8.0
    while not clear(high):
        low, high = high, high * 2.0
        if high > LONGEST_MM:
            return None
    while high - low > STEP_MM:
        middle = (low + high) / 2.0
        low, high = (low, middle) if clear(middle) else (middle, high)
    return float(-(-high // STEP_MM) * STEP_MM)
