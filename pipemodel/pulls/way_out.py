"""Which bends stand in the way when no order clears the piece itself or its bender, and the least change that helps.

The search has ended at a set of made bends of which none could have been the last pull. Each is looked at both
ways of holding it, and the one that goes in least is tried with its legs longer, a leg at a time. Where a few
neighbouring bends alone cannot be bent, all that is done with those, and what frees them is tried on the whole run.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from pipemodel.messages.values import NOTHING, Angle, Count, Length, Message, Word, counts, listed, message
from pipemodel.pulls.bender_parts import part_called
from pipemodel.pulls.hindrance import Hindrance, leg_called
from pipemodel.pulls.lengthening import STEP_MM, least_lengthening
from pipemodel.pulls.limits import FINISH, START
from pipemodel.pulls.obstructions import Clearance
from pipemodel.pulls.order import Touch
from pipemodel.pulls.piece import PieceToBend
from pipemodel.pulls.window import Window, blocked_window
from pipemodel.trade.benders import Bender

JOINT_DIAMETERS = 3.0
"""A joint is proposed only in a leg at least this many outside diameters long."""
PULLS_TRIED = 2
"""How many of the blocked pulls, those that go in least, are tried with longer legs."""
TRIES = 4
"""How many changes that free one pull are tried on the whole run."""
TRIALS_AT_NO_BEND, MOST_TRIALS, FEWEST_TRIALS = 2560, 40, 3
"""Searches of the bends in the way: a number that halves with every bend, within bounds."""
WHOLE_TRIALS = 6
"""Searches of the whole run, for what frees those bends and for joints."""
MOST_LEGS = 4
"""No more legs than this are proposed to be made longer."""


@dataclass(frozen=True)
class _Blocked:
    """A last pull that doesn't clear: the bend (from 0), how it is held, the bends made before it, the touch."""

    bend: int
    held: int
    made: int
    touch: Touch


def blocked_hindrances(window: Window, bender: Bender | None, effort: int) -> tuple[Hindrance, ...]:
    """Return which bends of a window stand in the way, the one that goes in least first, with a way out.

    Args:
        window: the bends that no order was found for.
        bender: the bender, if there is one.
        effort: as for the search that found none.
    """
    clearance = Clearance(window.piece, bender)
    end = window.search(clearance, effort)
    assert end.steps is None
    blocked = _blocked(window, clearance, end.stuck)
    way_out, longer = _way_out(window, blocked, _Trials(bender, window.count, effort))
    if not end.complete:
        way_out = message("pull.search cut short", way_out=way_out)
    ways = [(way_out, longer), *[(NOTHING, ())] * (len(blocked) - 1)]
    return tuple(_hindrance(window, one, *way) for one, way in zip(blocked, ways, strict=False))


class _Trials:
    """Changes tried out, no more than the time allows: a search doubles with every bend."""

    def __init__(self, bender: Bender | None, bends: int, effort: int) -> None:
        self.bender, self.effort = bender, effort
        self.left = max(FEWEST_TRIALS, min(MOST_TRIALS, TRIALS_AT_NO_BEND >> bends))
        self.whole_left = WHOLE_TRIALS

    def frees(self, window: Window) -> bool:
        """Tell whether some order of the window's bends is found that clears; not when out of trials."""
        if self.left <= 0:
            return False
        self.left -= 1
        return window.search(Clearance(window.piece, self.bender), self.effort).steps is not None

    def possible(self, piece: PieceToBend) -> bool:
        """Tell whether some order of a whole piece is found; not when out of trials."""
        if self.whole_left <= 0 or piece.limits.core((1 << len(piece.bends)) - 1):
            return False
        self.whole_left -= 1
        if blocked_window(piece, self.bender, self.effort) is not None:
            return False
        whole = Window(piece, 0, len(piece.bends))
        return whole.search(Clearance(piece, self.bender), self.effort).steps is not None


def _blocked(window: Window, clearance: Clearance, stuck: int) -> list[_Blocked]:
    """Return, for each bend of a stuck set that its straights would allow, the way of holding that goes in least."""
    found: list[_Blocked] = []
    for bend in range(window.count):
        made = stuck ^ (1 << bend)
        if made > stuck:
            continue
        ways = [
            _Blocked(bend, held, made, touch)
            for held in (START, FINISH)
            if window.allow(bend, held, made) and (touch := clearance.touch(bend, held, made)) is not None
        ]
        if ways:
            found.append(min(ways, key=lambda one: one.touch.depth_mm))
    return sorted(found, key=lambda one: (one.touch.depth_mm, one.bend))


def _hindrance(
    window: Window, one: _Blocked, way_out: Message, longer: tuple[tuple[int, float], ...] = ()
) -> Hindrance:
    touch, number = one.touch, window.number(one.bend)
    other = touch.other_flat_mm
    into = part_called(touch.part)
    if other is not None:
        into = message("pull.into itself", place=window.place_called(other))
    # Nothing may have been found to go in: what could not be told apart from a touch counts as one.
    goes = message("pull.touches", into=into)
    if f"{touch.depth_mm:.1f}" != "0.0":
        goes = message("pull.goes in", deep=Length(touch.depth_mm, ".1f"), into=into)
    return Hindrance(
        "bender" if other is None else "itself",
        message(
            "pull.blocked",
            bend=Count(number),
            made=_after([window.number(i) for i in range(window.count) if one.made >> i & 1]),
            held=Word("start" if one.held == START else "finish"),
            side=Word(touch.side),
            place=window.place_called(touch.flat_mm),
            goes=goes,
            angle=Angle(touch.at_pull_deg),
            way_out=way_out,
        ),
        has=0.0 - touch.depth_mm,
        needs=0.0,
        at_mm=window.flat_mm(touch.flat_mm),
        bend=number,
        longer=longer,
    )


def _after(others: list[int]) -> Message:
    return message("pull.after bends", bends=counts(others)) if others else NOTHING


def _way_out(window: Window, blocked: list[_Blocked], trials: _Trials) -> tuple[Message, tuple[tuple[int, float], ...]]:
    """Say what frees the run; and the one leg that does so alone, with how much longer, where there is one."""
    n = len(window.whole.bends)
    changes = _longer_legs(window, blocked, trials)
    longer, free = None, False
    alone: tuple[tuple[int, float], ...] = ()
    if changes:
        added, free = _on_the_whole(window, changes, trials)
        alone = tuple(added.items()) if free and len(added) == 1 else ()
        longer = listed([_longer(leg, more, n) for leg, more in sorted(added.items())])
    joint = _joint(window, blocked, trials)
    if longer:
        or_joint = NOTHING if joint is None else message("pull.or a joint", leg=joint)
        template = "pull.longer frees it" if free else "pull.longer frees some"
        return message(template, legs=longer, or_joint=or_joint), alone
    return (message("pull.nothing frees it") if joint is None else message("pull.a joint frees it", leg=joint)), ()


def _longer(leg: int, more: float, bends: int) -> Message:
    template = "pull.leg longer, cut off" if leg in (0, bends) else "pull.leg longer"
    return message(template, leg=leg_called(leg, bends), more=Length(more, ".0f"))


def _longer_legs(window: Window, blocked: list[_Blocked], trials: _Trials) -> list[tuple[int, float]]:
    alone = _one_leg(window, blocked, trials)
    return [alone] if alone else _several_legs(window, blocked, trials)


def _on_the_whole(window: Window, changes: list[tuple[int, float]], trials: _Trials) -> tuple[dict[int, float], bool]:
    """Return what the whole run needs longer, by its legs, and whether it is free then.

    Where other bends stand in the way once these are free, they are freed in turn.
    """
    added: dict[int, float] = {}
    piece = window.whole
    for _ in range(MOST_LEGS):
        for leg, more in changes:
            added[leg + window.first] = added.get(leg + window.first, 0.0) + more
            piece = piece.lengthened(leg + window.first, more)
        if window.all or trials.possible(piece):
            return added, True
        following = blocked_window(piece, trials.bender, trials.effort)
        window = following or Window(piece, 0, len(piece.bends))
        clearance = Clearance(window.piece, trials.bender)
        end = window.search(clearance, trials.effort)
        if end.steps is not None or piece.limits.core((1 << len(piece.bends)) - 1):
            break
        changes = _longer_legs(window, _blocked(window, clearance, end.stuck), trials)
        if not changes:
            break
    return added, False


def _one_leg(window: Window, blocked: list[_Blocked], trials: _Trials) -> tuple[int, float] | None:
    """Return the leg that frees the bends by the least lengthening, and that; None when none alone does."""
    options = sorted(
        {(more, leg) for one in blocked[:PULLS_TRIED] for leg, more in _freeing(window, trials.bender, one)}
    )
    best: tuple[int, float] | None = None
    for more, leg in options[:TRIES]:
        # What frees one pull may be more than the run needs, where another order then works.
        high = more if best is None else min(more, best[1] - STEP_MM)
        if high <= 0.0 or not trials.frees(window.lengthened(leg, high)):
            continue
        low = 0.0
        while high - low > STEP_MM and trials.left > 0:
            middle = float((low + high) // 2.0)
            if trials.frees(window.lengthened(leg, middle)):
                high = middle
            else:
                low = middle
        best = (leg, high)
    return best


def _several_legs(window: Window, blocked: list[_Blocked], trials: _Trials) -> list[tuple[int, float]]:
    """Lengthen what frees some pull by the least, again and again; empty when `MOST_LEGS` are not enough."""
    added: dict[int, float] = {}
    for _ in range(MOST_LEGS):
        options = [(more, leg) for leg, more in _freeing(window, trials.bender, blocked[0])] if blocked else []
        if not options or trials.left <= 0:
            return []
        trials.left -= 1
        more, leg = min(options)
        added[leg] = added.get(leg, 0.0) + more
        window = window.lengthened(leg, more)
        clearance = Clearance(window.piece, trials.bender)
        end = window.search(clearance, trials.effort)
        if end.steps is not None:
            return sorted(added.items())
        blocked = _blocked(window, clearance, end.stuck)
    return []


def _joint(window: Window, blocked: list[_Blocked], trials: _Trials) -> Message | None:
    whole = window.whole
    legs = {leg + window.first for one in blocked for leg in (one.bend, one.bend + 1)}
    for leg in sorted(legs):
        if leg in (0, len(whole.bends)) or whole.tube.leg(leg) < JOINT_DIAMETERS * whole.outside:
            continue
        if all(trials.possible(part) for part in whole.parted(leg)):
            return window.leg_called(leg - window.first)
    return None


def _freeing(window: Window, bender: Bender | None, one: _Blocked) -> list[tuple[int, float]]:
    """Return the legs between a pull and what it runs into, each with the lengthening that frees that pull."""
    tube, bends = window.piece.tube, range(window.count)
    legs: Sequence[int]
    if (other := one.touch.other_flat_mm) is not None:
        low, high = sorted((one.touch.flat_mm, other))
        legs = [leg for leg in bends[1:] if low <= tube.finishes[leg - 1] and tube.starts[leg] <= high]
    else:
        free = (one.touch.side == "free") == (one.held == FINISH)
        # The touch lies towards the start from the pull when the free side is the start side, or the held one is.
        ends = [i for i in bends if one.made >> i & 1 and (i < one.bend) == free]
        legs = range(min(ends), one.bend + 1) if free and ends else range(one.bend + 1, max(ends, default=0) + 1)
    return [(leg, more) for leg in legs if (more := _least(window, bender, one, leg)) is not None]


def _least(window: Window, bender: Bender | None, one: _Blocked, leg: int) -> float | None:
    """Return the least lengthening of a leg that lets this pull clear, None when none does."""

    def clear(more: float) -> bool:
        return Clearance(window.lengthened(leg, more).piece, bender).clear(one.bend, one.held, one.made)

    return least_lengthening(clear)
