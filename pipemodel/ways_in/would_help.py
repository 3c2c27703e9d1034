"""What would help where a run cannot be brought in: each shown by a way that was found once it is so.

Tried in this order: the other runs not there yet; a bend at either end left to be made in place; a joint, then two;
the opening larger. The search for a way is handed in, so that what is tried does not depend on how it looks.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from itertools import combinations, pairwise
from math import ceil, log2
from typing import Literal, Protocol, TypeAlias, get_args

from pipemodel.cutting.joint_places import FreePart, side_of
from pipemodel.geometry.centreline import Arc, Centreline, Straight, backwards, cut_out
from pipemodel.job.model import Opening, Thing
from pipemodel.messages.values import Count, Length, Message, Name, Tape, Value, listed, message
from pipemodel.pulls.written_way import Edit, to_write
from pipemodel.ways_in.larger_opening import with_larger
from pipemodel.ways_in.values import WayIn

HelpKind: TypeAlias = Literal["order", "bend", "joint", "opening"]
KINDS: tuple[HelpKind, ...] = get_args(HelpKind)
MOST_JOINTS = 2
MOST_TRIES = 6
"""So many places for joints are tried, the likeliest first."""
STEP_MM, MOST_MM = 5.0, 320.0
"""An opening is found larger to a step of so much all round, and no more than so much is tried."""


@dataclass(frozen=True)
class Other:
    """Another run that is there already: its name, its axis and its tube's outside diameter, mm.

    One that `stays` cannot be brought in past this one either, so that no order of the two helps.
    """

    name: str
    line: Centreline
    outside_mm: float
    stays: bool = False


@dataclass(frozen=True)
class WayAsked:
    """What is to be brought in: an axis in its place, among things and other runs, through an opening."""

    run: str
    line: Centreline
    outside_mm: float
    margin_mm: float
    things: tuple[Thing, ...]
    others: tuple[Other, ...]
    opening: Opening | None


class Planner(Protocol):
    """Looks for a way in; the effort and the seed are its own."""

    def __call__(self, asked: WayAsked, tries: int = 0) -> WayIn:
        """Look for one with a small part of the effort, or with what is left of it shared out among so many tries."""


Swings: TypeAlias = Callable[[WayAsked, int], bool]
"""Tells whether what lies beyond a bend, the first or the last, is clear all the while that it is bent in its place."""


@dataclass(frozen=True)
class Help:
    """One thing that would help: what it is, in words, and the ways that show it, in the order they are gone."""

    kind: HelpKind
    said: Message
    ways: tuple[WayIn, ...]


def help_by(
    kind: HelpKind,
    asked: WayAsked,
    planner: Planner,
    joint_places: Sequence[FreePart],
    depth_mm: float,
    swings: Swings,
) -> Help | None:
    """Return what would help of one kind, shown by a way that was found; None where nothing of it does.

    Args:
        kind: of help.
        asked: what could not be brought in.
        planner: looks for a way.
        joint_places: where a joint can be made by hand and torch; see `cutting.joint_places`.
        depth_mm: how far each tube goes into a coupling.
        swings: tells whether a bend that is left can be made in its place.
    """
    if kind == "order":
        return _other_order(asked, planner)
    if kind == "bend":
        return _bend_left(asked, planner, swings)
    if kind == "joint":
        return _jointed(asked, planner, joint_places, depth_mm)
    return _larger(asked, planner)


def _other_order(asked: WayAsked, planner: Planner) -> Help | None:
    """Before which of the other runs it can be brought in: the fewest of them."""
    there = [other for other in asked.others if other.stays]
    if len(there) == len(asked.others):
        return None
    best = planner(replace(asked, others=tuple(there)))
    if not best.found:
        return None
    # One by one they are put back, as long as there is still a way.
    for other in asked.others:
        if other.stays:
            continue
        way = planner(replace(asked, others=(*there, other)))
        if way.found:
            there.append(other)
            best = way
    before = [Name(other.name) for other in asked.others if other not in there]
    return Help("order", message("way in.help order", others=listed(before)), (best,)) if before else None


def _bend_left(asked: WayAsked, planner: Planner, swings: Swings) -> Help | None:
    """The first or the last bend left straight, to be made once the piece is in."""
    count = len(asked.line.arcs)
    for number in dict.fromkeys((count, 1) if count else ()):
        if not swings(asked, number):
            continue
        line = with_bend_open(asked.line, number)
        way = planner(replace(asked, line=line))
        if way.found:
            return Help("bend", message("way in.help bend", bend=Count(number)), (way,))
    return None


def with_bend_open(line: Centreline, number: int, share: float = 0.0) -> Centreline:
    """Return an axis with its first or its last bend left straight; the other side stays where it is.

    Or with a share of its angle bent, as it is when it is bent in its place.

    Raises:
        ValueError: of another bend.
    """
    if number == len(line.arcs):
        *pieces, before, arc, after = line.pieces
        assert isinstance(before, Straight)
        assert isinstance(arc, Arc)
        rest = (1.0 - share) * arc.length + after.length
        if share <= 0.0:
            return Centreline((*pieces, before._replace(length=before.length + rest)))
        bent = arc._replace(angle_deg=share * arc.angle_deg)
        return Centreline((*pieces, before, bent, Straight(bent.finish, bent.finish_direction, rest)))
    if number != 1:
        raise ValueError("only the first and the last bend can be left to be made in place")
    return backwards(with_bend_open(backwards(line), len(line.arcs), share))


def _jointed(asked: WayAsked, planner: Planner, places: Sequence[FreePart], depth: float) -> Help | None:
    """The fewest joints with which all pieces can be brought in, one after the other."""
    spots = [((part.low + part.high) / 2.0, part) for part in sorted(places, key=lambda part: part.low)]
    stuck: list[tuple[float, float]] = []
    for count in range(1, MOST_JOINTS + 1):
        rows = sorted(combinations(spots, count), key=lambda row: _uneven([at for at, _ in row], asked.line.length))
        tried = 0
        for row in rows:
            stops = [0.0, *(at for at, _ in row), asked.line.length]
            # What a piece that does not come in is part of does not come in either.
            if tried == MOST_TRIES or any(low <= a and b <= high for a, b in stuck for low, high in pairwise(stops)):
                continue
            tried += 1
            ways = _pieces_in(asked, planner, stops, depth, stuck)
            if ways is not None:
                said = [_joint_words(at, part) for at, part in row]
                if count == 1:
                    return Help("joint", message("way in.help joint", joint=said[0]), ways)
                return Help("joint", message("way in.help joints", joints=listed(said), n=Count(count)), ways)
    return None


def _uneven(cuts: Sequence[float], whole: float) -> float:
    """The longest piece: the shorter that is, the likelier all go in."""
    stops = [0.0, *cuts, whole]
    return max(b - a for a, b in zip(stops, stops[1:], strict=False))


def _joint_words(at: float, part: FreePart) -> Message:
    values: dict[str, Value] = {"at": Tape(at), "leg": Count(part.leg + 1)}
    if part.side is None:
        return message("way in.joint", **values)
    return message("way in.joint from", **values, side=side_of(part.side))


def _pieces_in(
    asked: WayAsked, planner: Planner, stops: Sequence[float], depth: float, stuck: list[tuple[float, float]]
) -> tuple[WayIn, ...] | None:
    """The ways of the pieces between some joints, in the order that was found; None where one does not go in.

    A piece that does not go in even before all others is put to those that are `stuck`.
    """
    lines = [cut_out(asked.line, a, b) for a, b in pairwise(stops)]
    for order in (range(len(lines)), range(len(lines) - 1, -1, -1)):
        ways: list[WayIn] = []
        there: list[Other] = []
        for number in order:
            way = planner(replace(asked, line=lines[number], others=(*asked.others, *there)))
            if not way.found:
                if not there:
                    stuck.append((stops[number], stops[number + 1]))
                    return None
                break
            ways.append(way)
            # The next one is pushed into the coupling: near the joint the two are as near as can be.
            short = _short_of_joints(lines[number], number > 0, number < len(lines) - 1, depth + asked.margin_mm + 1.0)
            if short is not None:
                there.append(Other(asked.run, short, asked.outside_mm))
        else:
            return tuple(ways)
    return None


def _short_of_joints(line: Centreline, first: bool, last: bool, by: float) -> Centreline | None:
    """A piece without what is beside its joints; None where nothing is left."""
    low, high = by if first else 0.0, line.length - (by if last else 0.0)
    return cut_out(line, low, high) if high > low else None


def _larger(asked: WayAsked, planner: Planner) -> Help | None:
    """The opening larger all round, by as little as a way is found for: halving between what is not enough and is."""
    if asked.opening is None:
        return None
    steps = 0
    while STEP_MM * steps < MOST_MM and _with_opening(asked, STEP_MM * (steps + 1)) is not None:
        steps += 1
    low, high, way = 0, steps, _by_larger(asked, planner, steps, 2)
    while way is not None and high - low > 1:
        half = (low + high) // 2
        found = _by_larger(asked, planner, half, ceil(log2(high - low)))
        low, high, way = (half, high, way) if found is None else (low, half, found)
    if way is None:
        return None
    by = Length(STEP_MM * high, "g", "up")
    values: dict[str, Value] = {"opening": Name(asked.opening.name, quoted=False), "by": by}
    if low == 0:
        said = message("way in.help opening", **values)
    else:
        said = message("way in.help opening no less", **values, less=Length(STEP_MM * low, "g"))
    return Help("opening", _with_corners(said, asked, STEP_MM * high), (way,))


def _with_corners(said: Message, asked: WayAsked, more_mm: float) -> Message:
    """Say with it what to write for a larger opening of the job itself, and what is to be cut back."""
    before, larger = asked.opening, _with_opening(asked, more_mm)
    if before is None or before.place is None or before.place.file or larger is None or larger.opening is None:
        return said
    edit = Edit(("openings", before.name, "corners"), larger.opening.corners, before.place.line)
    cut = [Name(thing.name) for thing in asked.things if all(thing is not one for one in larger.things)]
    return message("way in.help write", help=said, write=to_write([edit]), things=listed(list(dict.fromkeys(cut))))


def _by_larger(asked: WayAsked, planner: Planner, steps: int, tries: int) -> WayIn | None:
    """Return a way by the opening so many steps larger, the first of so many tries; None where none is found."""
    larger = _with_opening(asked, STEP_MM * steps) if steps else None
    way = planner(larger, tries) if larger is not None else None
    return way if way is not None and way.found else None


def _with_opening(asked: WayAsked, more_mm: float) -> WayAsked | None:
    """Return what is asked with its opening larger all round; None where it cannot be made so."""
    assert asked.opening is not None
    made = with_larger(asked.opening, asked.things, more_mm)
    return None if made is None else replace(asked, opening=made[0], things=made[1])
