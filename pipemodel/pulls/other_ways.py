"""What to draw otherwise where no order of pulls works: a set at another angle, elsewhere, of more; a leg made longer.

Each is proved: the changed run is solved and its pulls are planned, and only what has a plan is proposed.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from itertools import islice
from math import ceil, floor
from typing import Literal

from pipemodel.bending.schedule import SolvedRun
from pipemodel.geometry.vectors import distance
from pipemodel.messages.values import NOTHING, Angle, Count, Length, Message, Word, message
from pipemodel.pulls.hindrance import Hindrance, hindrances_of, leg_called
from pipemodel.pulls.obstructions import Clearance
from pipemodel.pulls.offsets import SAME_DEG, Offset, offsets_of, with_longer_leg, with_offset, with_offset_along
from pipemodel.pulls.order_search import effort_for
from pipemodel.pulls.piece import PieceToBend
from pipemodel.pulls.plan import Plan, plan_pulls
from pipemodel.pulls.window import Window, blocked_window
from pipemodel.pulls.written_way import Edit, Wanted, as_written, to_write

USUAL_DEG = (90.0, 60.0, 45.0, 30.0, 22.5)
"""Angles that sets are commonly made at; common practice, no source."""
MORE_STEPS = (*range(1, 21), 25, 30, 40)
"""How many steps larger an offset is tried."""
ALONG_STEPS = (2, 4, 8, 16)
"""How many steps further along, or back, a set is tried."""
MOST_WAYS = 3
MOST_TRIED = 80
"""No more changed runs than this are looked at."""
MOST_BENDS = 8
"""Runs of more bends get no ways out of this kind: the orders to try double with every bend."""
MOVED_MM = 0.1
"""What is written is rounded to a tenth: an end that moves by less stays where it is."""


@dataclass(frozen=True)
class WayOut:
    """A change to a run that gives it an order of pulls: what it is, of which bends or leg, and the run then.

    `kind` is "angle", "place", "offset" or "leg". `was` and `to` are degrees for an angle, else mm: of the straight
    before a set that is drawn elsewhere along the tube, of the offset, or of the leg's straight. `finish_moves_mm` is
    how far the finish then lies from where it was; a tail to be cut off moves nothing.
    """

    kind: Literal["angle", "place", "offset", "leg"]
    of: Literal["set", "passover", "leg"]
    first_bend: int
    last_bend: int
    was: float
    to: float
    finish_moves_mm: float
    said: Message
    run: SolvedRun
    plan: Plan
    write: tuple[Edit, ...] = ()
    """What to write into the job for it."""


def ways_out(
    solved: SolvedRun, plan: Plan, step_mm: float = 5.0, fits: Callable[[SolvedRun], bool] = lambda _: True
) -> tuple[WayOut, ...]:
    """Return up to three changes that give a run without an order one, those that leave its ends alone first.

    Args:
        solved: the run.
        plan: its plan of pulls; with an order there is nothing to propose.
        step_mm: offsets are proposed in multiples of this.
        fits: whether a changed run stays clear of the room, where somebody knows.
    """
    if plan.possible or len(solved.table.bends) > MOST_BENDS:
        return ()
    tries = islice(_changes(solved, plan, step_mm), MOST_TRIED)
    found: list[WayOut] = []
    places: set[tuple[str, int]] = set()
    for change in tries:
        # Of what works for one set, the change that is nearest to the drawing says enough.
        if change.place in places:
            continue
        if (way := _proved(solved, change, fits)) is not None:
            found.append(way)
            places.add(change.place)
        if len(found) == MOST_WAYS:
            break
    return tuple(found)


@dataclass(frozen=True)
class _Change:
    """A change to be tried: an offset's angle or size, or a leg."""

    kind: Literal["angle", "place", "offset", "leg"]
    one: Offset | None
    leg: int
    was: float
    to: float

    @property
    def place(self) -> tuple[str, int]:
        return self.kind, self.one.first if self.one else self.leg

    def made(self, solved: SolvedRun) -> SolvedRun | None:
        """Return the changed run, None where it cannot be bent."""
        if self.one is None:
            return with_longer_leg(solved, self.leg, self.to - self.was)
        if self.kind == "place":
            return with_offset_along(solved, self.one, self.to - self.was)
        return with_offset(solved, self.one, *self.triangle)

    @property
    def triangle(self) -> tuple[float, float]:
        """Angle and offset of what is changed; none of a leg's."""
        angle, offset = (self.one.angle_deg, self.one.offset_mm) if self.one else (0.0, 0.0)
        return self.to if self.kind == "angle" else angle, self.to if self.kind == "offset" else offset

    def wanted(self, run: SolvedRun) -> Wanted:
        """Return what the job is to say for the changed run."""
        return Wanted(run, self.one if self.kind in ("angle", "offset") else None, *self.triangle, self.kind == "leg")


def _changes(solved: SolvedRun, plan: Plan, step_mm: float) -> Iterator[_Change]:
    """Yield what may be changed, the cheapest first: angles and places, which move no end, then offsets, then legs."""
    offsets = offsets_of(solved)
    angles = [
        _Change("angle", one, 0, one.angle_deg, angle)
        for one in offsets
        for angle in USUAL_DEG
        if abs(angle - one.angle_deg) > SAME_DEG and not (one.kind == "passover" and angle > 60.0)
    ]
    yield from sorted(angles, key=lambda change: (abs(change.to - change.was), change.to))
    for steps in ALONG_STEPS:
        # What a passover passes stays where it is.
        for one in (one for one in offsets if one.kind == "set"):
            was = solved.table.bends[one.first - 1].straight_before_mm
            for way in (1.0, -1.0):
                yield _Change("place", one, 0, was, was + way * steps * step_mm)
    for more in MORE_STEPS:
        for one in offsets:
            yield _Change("offset", one, 0, one.offset_mm, (floor(one.offset_mm / step_mm + 1e-9) + more) * step_mm)
    legs = [*(bend.straight_before_mm for bend in solved.table.bends), solved.table.straight_after_mm]
    for leg, more_mm in _lengthenings(plan.hindrances):
        yield _Change("leg", None, leg, legs[leg], legs[leg] + ceil(10.0 * more_mm - 1e-6) / 10.0)


def _lengthenings(hindrances: tuple[Hindrance, ...]) -> Iterator[tuple[int, float]]:
    """Yield what one leg alone would need more, as the hindrances have it."""
    legs = {leg: more for hindrance in hindrances for leg, more in hindrance.longer}
    yield from sorted(legs.items(), key=lambda each: each[1])


def _proved(solved: SolvedRun, change: _Change, fits: Callable[[SolvedRun], bool]) -> WayOut | None:
    other = change.made(solved)
    if other is None or not _some_order(other) or (found := as_written(solved, change.wanted(other))) is None:
        return None
    other, edits = found
    plan = plan_pulls(other)
    tail = change.kind == "leg" and change.leg in (0, len(solved.table.bends))
    # A tail that is cut off after bending is in nobody's way.
    if not plan.possible or not (tail or fits(other)):
        return None
    moved = 0.0 if tail else round(distance(solved.finish, other.finish), 9)
    one, bends = change.one, len(solved.table.bends)
    first, last = (one.first, one.last) if one else (max(change.leg, 1), min(change.leg + 1, bends))
    made_first = {pull.bend for pull in plan.pulls[: last - first + 1]}
    goes_first = one is not None and last - first + 1 < bends and made_first == set(range(first, last + 1))
    first_of_all = message("way.first") if goes_first else NOTHING
    said = _said(
        change, bends, first_of_all, NOTHING if moved < MOVED_MM else message("way.finish moves", by=_mm(moved))
    )
    of: Literal["set", "passover", "leg"] = one.kind if one else "leg"
    said = message("way.written", way=said, write=to_write(edits)) if edits else said
    return WayOut(change.kind, of, first, last, change.was, change.to, moved, said, other, plan, edits)


def _said(change: _Change, bends: int, first: Message, finish: Message) -> Message:
    one = change.one
    if one is None:
        cut = message("pull.can be cut off") if change.leg in (0, bends) else NOTHING
        leg, more = leg_called(change.leg, bends), _mm(change.to - change.was)
        return message("way.leg", leg=leg, more=more, cut_off=cut, finish=finish)
    which = message("way.of bends", of=Word(one.kind), first=Count(one.first), last=Count(one.last))
    if change.kind == "angle":
        # Of three bends the one on top has the angle that a passover goes by.
        top = one.last - one.first == 2
        to, was = (Angle(angle * (1 + top)) for angle in (change.to, change.was))
        kept = message("way.offset kept", offset=_mm(one.offset_mm)) if one.kind == "passover" else NOTHING
        return message("way.top angle" if top else "way.angle", which=which, to=to, was=was, kept=kept, first=first)
    if change.kind == "place":
        by, way = change.to - change.was, Word("on" if change.to > change.was else "back")
        return message("way.place", which=which, by=_mm(abs(by)), way=way, first=first)
    return message("way.offset", which=which, to=_mm(change.to), was=_mm(change.was), first=first, finish=finish)


def _mm(value: float) -> Length:
    """Return a length to a tenth, without a tenth that is none."""
    return Length(round(value, 1), taped=True)


def _some_order(solved: SolvedRun) -> bool:
    """Tell whether a run seems to have an order; sooner than a plan, which looks for the best and for reasons."""
    piece, bender = PieceToBend.of(solved), solved.run.bender
    effort = effort_for(len(piece.bends))
    if hindrances_of(piece):
        return False
    clearance = Clearance(piece, bender)
    if clearance.finished() is not None or blocked_window(piece, bender, effort) is not None:
        return False
    return Window(piece, 0, len(piece.bends)).search(clearance, effort).steps is not None
