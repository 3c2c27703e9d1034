"""What would help where a run cannot be brought in: each shown by a way that was found once it is so.

Tried in this order: the other runs not there yet; a bend at either end left to be made in place; a joint, then two;
the opening larger. The search for a way is handed in, so that what is tried does not depend on how it looks.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import combinations
from typing import Literal, TypeAlias, get_args

from pipemodel.cutting.joint_places import FreePart, side_of
from pipemodel.geometry.centreline import Centreline, Straight, cut_out
from pipemodel.geometry.shapes.box import Box
from pipemodel.geometry.vectors import Vec3, add, scale, sub
from pipemodel.job.model import Opening, Thing
from pipemodel.messages.values import Count, Length, Message, Name, Tape, Value, listed, message
from pipemodel.ways_in.moves_in_words import plane_of
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
    """Another run that is there already: its name, its axis and its tube's outside diameter, mm."""

    name: str
    line: Centreline
    outside_mm: float


@dataclass(frozen=True)
class Asked:
    """What is to be brought in: an axis in its place, among things and other runs, through an opening."""

    run: str
    line: Centreline
    outside_mm: float
    margin_mm: float
    things: tuple[Thing, ...]
    others: tuple[Other, ...]
    opening: Opening | None


Planner: TypeAlias = Callable[[Asked], WayIn]
"""Looks for a way in; the effort and the seed are its own."""


@dataclass(frozen=True)
class Help:
    """One thing that would help: what it is, in words, and the ways that show it, in the order they are gone."""

    kind: HelpKind
    said: Message
    ways: tuple[WayIn, ...]


def what_would_help(
    asked: Asked, planner: Planner, joint_places: Sequence[FreePart] = (), depth_mm: float = 0.0
) -> tuple[Help, ...]:
    """Return what would help, one of each kind at most, each shown by a way that was found; see `help_by`."""
    found = (help_by(kind, asked, planner, joint_places, depth_mm) for kind in KINDS)
    return tuple(one for one in found if one is not None)


def help_by(
    kind: HelpKind, asked: Asked, planner: Planner, joint_places: Sequence[FreePart] = (), depth_mm: float = 0.0
) -> Help | None:
    """Return what would help of one kind, shown by a way that was found; None where nothing of it does.

    Args:
        kind: of help.
        asked: what could not be brought in.
        planner: looks for a way.
        joint_places: where a joint can be made by hand and torch; see `cutting.joint_places`.
        depth_mm: how far each tube goes into a coupling.
    """
    if kind == "order":
        return _other_order(asked, planner)
    if kind == "bend":
        return _bend_left(asked, planner)
    if kind == "joint":
        return _jointed(asked, planner, joint_places, depth_mm)
    return _larger(asked, planner)


def _other_order(asked: Asked, planner: Planner) -> Help | None:
    """Before which of the other runs it can be brought in: the fewest of them."""
    if not asked.others:
        return None
    alone = planner(replace(asked, others=()))
    if not alone.found:
        return None
    # One by one they are put back, as long as there is still a way.
    there: list[Other] = []
    best = alone
    for other in asked.others:
        way = planner(replace(asked, others=(*there, other)))
        if way.found:
            there.append(other)
            best = way
    before = [Name(other.name) for other in asked.others if other not in there]
    return Help("order", message("way in.help order", others=listed(before)), (best,)) if before else None


def _bend_left(asked: Asked, planner: Planner) -> Help | None:
    """The first or the last bend left straight, to be made once the piece is in."""
    count = len(asked.line.arcs)
    for number in dict.fromkeys((count, 1) if count else ()):
        line = with_bend_open(asked.line, number)
        way = planner(replace(asked, line=line))
        if way.found:
            return Help("bend", message("way in.help bend", bend=Count(number)), (way,))
    return None


def with_bend_open(line: Centreline, number: int) -> Centreline:
    """Return an axis with its first or its last bend left straight; the other side stays where it is.

    Raises:
        ValueError: of another bend.
    """
    pieces = line.pieces
    if number == len(line.arcs):
        before, arc, after = pieces[-3:]
        assert isinstance(before, Straight)
        return Centreline((*pieces[:-3], before._replace(length=before.length + arc.length + after.length)))
    if number != 1:
        raise ValueError("only the first and the last bend can be left to be made in place")
    before, arc, after = pieces[:3]
    assert isinstance(after, Straight)
    more = before.length + arc.length
    start = add(after.start, scale(after.direction, -more))
    return Centreline((Straight(start, after.direction, after.length + more), *pieces[3:]))


def _jointed(asked: Asked, planner: Planner, places: Sequence[FreePart], depth: float) -> Help | None:
    """The fewest joints with which all pieces can be brought in, one after the other."""
    spots = [((part.low + part.high) / 2.0, part) for part in sorted(places, key=lambda part: part.low)]
    for count in range(1, MOST_JOINTS + 1):
        rows = sorted(combinations(spots, count), key=lambda row: _uneven([at for at, _ in row], asked.line.length))
        for row in rows[:MOST_TRIES]:
            ways = _pieces_in(asked, planner, [at for at, _ in row], depth)
            if ways is not None:
                said = [_joint_words(at, part) for at, part in row]
                return Help("joint", message("way in.help joint", joints=listed(said), n=Count(count)), ways)
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


def _pieces_in(asked: Asked, planner: Planner, cuts: Sequence[float], depth: float) -> tuple[WayIn, ...] | None:
    """The ways of the pieces between some joints, in the order that was found; None where one does not go in."""
    stops = [0.0, *cuts, asked.line.length]
    lines = [cut_out(asked.line, a, b) for a, b in zip(stops, stops[1:], strict=False)]
    for order in (range(len(lines)), range(len(lines) - 1, -1, -1)):
        ways: list[WayIn] = []
        there: list[Other] = []
        for number in order:
            way = planner(replace(asked, line=lines[number], others=(*asked.others, *there)))
            if not way.found:
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


def _larger(asked: Asked, planner: Planner) -> Help | None:
    """The opening larger all round, by as little as a way is found for: halving between what is not enough and is."""
    if asked.opening is None or with_opening(asked, STEP_MM) is None:
        return None
    low, high, way = 0.0, STEP_MM, None
    while way is None and high <= MOST_MM:
        larger = with_opening(asked, high)
        found = planner(larger) if larger is not None else None
        if found is not None and found.found:
            way = found
        else:
            low, high = high, 2.0 * high
    if way is None:
        return None
    while high - low > STEP_MM:
        half = round((low + high) / 2.0 / STEP_MM) * STEP_MM
        larger = with_opening(asked, half)
        found = planner(larger) if larger is not None else None
        if found is not None and found.found:
            high, way = half, found
        else:
            low = half
    name = Name(asked.opening.name, quoted=False)
    return Help("opening", message("way in.help opening", opening=name, by=Length(high, "g")), (way,))


def with_opening(asked: Asked, more_mm: float) -> Asked | None:
    """Return what is asked with its opening larger all round, and the blocks that bound it cut back.

    None where the opening is no rectangle along the axes, or something else than a block stands at its edge.
    """
    assert asked.opening is not None
    _, inward = plane_of(asked.opening)
    axis = max(range(3), key=lambda i: abs(inward[i]))
    if abs(inward[axis]) < 1.0 - 1e-9 or not _rectangle(asked.opening.corners, axis):
        return None
    low = [min(p[i] for p in asked.opening.corners) - more_mm for i in range(3)]
    high = [max(p[i] for p in asked.opening.corners) + more_mm for i in range(3)]
    plane = asked.opening.corners[0][axis]
    things: list[Thing] = []
    for thing in asked.things:
        shape = thing.shape
        if not isinstance(shape, Box):
            bounds = shape.bounds()
            if bounds and _reaches(bounds[0], bounds[1], low, high, axis, plane):
                return None
            things.append(thing)
        elif not _reaches(shape.low, shape.high, low, high, axis, plane):
            things.append(thing)
        else:
            things += [replace(thing, shape=part) for part in _cut_back(shape, low, high, axis)]
    corners = tuple(_set_out(p, asked.opening.corners, axis, more_mm) for p in asked.opening.corners)
    return replace(asked, things=tuple(things), opening=replace(asked.opening, corners=corners))


def _rectangle(corners: Sequence[Vec3], axis: int) -> bool:
    if len(corners) != 4:
        return False
    sides = [sub(q, p) for p, q in zip(corners, (*corners[1:], corners[0]), strict=True)]
    return all(sum(abs(side[i]) > 1e-9 for i in range(3) if i != axis) == 1 for side in sides)


def _reaches(low: Vec3, high: Vec3, from_: Sequence[float], to: Sequence[float], axis: int, plane: float) -> bool:
    """Whether a block stands in the plane of an opening, within its edges."""
    if not low[axis] - 1e-6 <= plane <= high[axis] + 1e-6:
        return False
    return all(low[i] < to[i] - 1e-9 and high[i] > from_[i] + 1e-9 for i in range(3) if i != axis)


def _cut_back(box: Box, low: Sequence[float], high: Sequence[float], axis: int) -> Iterator[Box]:
    """Yield what is left of a block, right through which a larger opening is cut."""
    a, b = list(box.low), list(box.high)
    for i in range(3):
        if i == axis:
            continue
        if a[i] < low[i]:
            top = list(b)
            top[i] = low[i]
            yield Box((a[0], a[1], a[2]), (top[0], top[1], top[2]))
            a[i] = low[i]
        if b[i] > high[i]:
            foot = list(a)
            foot[i] = high[i]
            yield Box((foot[0], foot[1], foot[2]), (b[0], b[1], b[2]))
            b[i] = high[i]


def _set_out(p: Vec3, corners: Sequence[Vec3], axis: int, by: float) -> Vec3:
    """A corner of a rectangle moved out by so much along both of its sides."""
    middle = [sum(q[i] for q in corners) / len(corners) for i in range(3)]
    x, y, z = (c if i == axis else c + (by if c > middle[i] else -by) for i, c in enumerate(p))
    return (x, y, z)
