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

LONGEST_MM = 1024.0
"""No leg is tried longer than this much more."""
STEP_MM = 1.0
"""Lengthenings are given to the mm above."""
JOINT_DIAMETERS = 3.0
"""A joint is proposed only in a leg at least this many outside diameters long."""
FIRST_MM = 16.0
"""The first lengthening tried; the next ones are four times the one before."""
PULLS_TRIED = 2
"""How many of the blocked pulls, those that go in least, are tried with longer legs."""
TRIES = 4
"""How many changes that free one pull are tried on the whole run."""
TRIALS_AT_NO_BEND, MOST_TRIALS, FEWEST_TRIALS, KEPT_TRIALS = 2560, 40, 3, 2
"""Searches of the whole run: a number that halves with every bend, within bounds; some are kept for a joint."""
MOST_LEGS = 4
"""No more legs than this are proposed to be made longer."""


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
    way_out = _way_out(piece, blocked, _Trials(bender, len(piece.bends), effort))
    if not end.complete:
        way_out += " (the search was cut short: an order may exist that was not looked at)"
    return tuple(_hindrance(piece, one, way_out if one is blocked[0] else "") for one in blocked)


class _Trials:
    """Whole runs tried out, no more than the time allows: a search doubles with every bend."""

    def __init__(self, bender: Bender, bends: int, effort: int) -> None:
        self.bender, self.effort = bender, effort
        self.left = max(FEWEST_TRIALS, min(MOST_TRIALS, TRIALS_AT_NO_BEND >> bends))

    def possible(self, piece: PieceToBend) -> bool:
        """Tell whether some order is found that clears the bender and the former's limits; not when out of trials."""
        if self.left <= 0 or piece.limits.core((1 << len(piece.bends)) - 1):
            return False
        self.left -= 1
        return any_order(_task(piece, InBender(piece, self.bender)), self.effort).steps is not None


def _task(piece: PieceToBend, in_bender: InBender) -> Task:
    return Task(piece.sides_up(), piece.swinging_kg(), piece.limits.allow, in_bender.clear, piece.former_numbers)


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
        f"{place_name(piece.tube, touch.flat_mm)} goes {touch.depth_mm:.1f} mm into the {touch.part} "
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


def _way_out(piece: PieceToBend, blocked: list[_Blocked], trials: _Trials) -> str:
    n = len(piece.bends)
    alone = _one_leg(piece, blocked, trials)
    changes = [alone] if alone else _several_legs(piece, blocked, trials)
    joint = _joint(piece, blocked, trials)
    if changes:
        longer = " and ".join(
            f"{leg_name(leg, n)} {more:.0f} mm longer{', cut off after bending,' if leg in (0, n) else ''}"
            for leg, more in changes
        )
        frees = "frees it" if alone else "together free it"
        return f"; {longer} {frees}{f', or a joint in the {joint} does' if joint else ''}"
    if joint:
        return f"; a joint in the {joint} frees it"
    return "; neither longer legs nor a joint were found to free it"


def _one_leg(piece: PieceToBend, blocked: list[_Blocked], trials: _Trials) -> tuple[int, float] | None:
    """Return the leg that frees the whole run by the least lengthening, and that; None when none alone does."""
    options = sorted(
        {(more, leg) for one in blocked[:PULLS_TRIED] for leg, more in _freeing(piece, trials.bender, one)}
    )
    best: tuple[int, float] | None = None
    for more, leg in options[:TRIES]:
        # What frees one pull may be more than the run needs, where another order then works.
        high = more if best is None else min(more, best[1] - STEP_MM)
        if high <= 0.0 or not trials.possible(piece.lengthened(leg, high)):
            continue
        low = 0.0
        while high - low > STEP_MM and trials.left > KEPT_TRIALS:
            middle = float((low + high) // 2.0)
            if trials.possible(piece.lengthened(leg, middle)):
                high = middle
            else:
                low = middle
        best = (leg, high)
    return best


def _several_legs(piece: PieceToBend, blocked: list[_Blocked], trials: _Trials) -> list[tuple[int, float]]:
    """Lengthen what frees some pull by the least, again and again; empty when `MOST_LEGS` are not enough."""
    added: dict[int, float] = {}
    for _ in range(MOST_LEGS):
        options = [(more, leg) for leg, more in _freeing(piece, trials.bender, blocked[0])] if blocked else []
        if not options or trials.left <= 0:
            return []
        trials.left -= 1
        more, leg = min(options)
        added[leg] = added.get(leg, 0.0) + more
        piece = piece.lengthened(leg, more)
        in_bender = InBender(piece, trials.bender)
        end = any_order(_task(piece, in_bender), trials.effort)
        if end.steps is not None:
            return sorted(added.items())
        blocked = _blocked(piece, in_bender, end.stuck)
    return []


def _joint(piece: PieceToBend, blocked: list[_Blocked], trials: _Trials) -> str:
    legs = {leg for one in blocked for leg in (one.bend, one.bend + 1)}
    for leg in sorted(legs):
        if leg in (0, len(piece.bends)) or piece.tube.leg(leg) < JOINT_DIAMETERS * piece.outside:
            continue
        if all(trials.possible(part) for part in piece.parted(leg)):
            return leg_name(leg, len(piece.bends))
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

    The first that works of a growing series is narrowed down; what lies below it is taken not to work.
    """

    def clear(more: float) -> bool:
        longer = piece.lengthened(leg, more)
        return InBender(longer, bender).clear(one.bend, one.held, one.made)

    low, high = 0.0, FIRST_MM
    while not clear(high):
        low, high = high, high * 4.0
        if high > LONGEST_MM:
            return None
    while high - low > STEP_MM:
        middle = (low + high) / 2.0
        low, high = (low, middle) if clear(middle) else (middle, high)
    return float(-(-high // STEP_MM) * STEP_MM)
