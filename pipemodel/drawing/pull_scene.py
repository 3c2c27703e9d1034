"""What is to be drawn of a piece in the bender: its lengths of tube, its ends, and what is written beside them."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from math import ceil

from pipemodel.bending.schedule import SolvedRun
from pipemodel.drawing.pull_view import TubePlace
from pipemodel.geometry.centreline import Arc, LinePiece, Straight
from pipemodel.geometry.vectors import Vec3, along, distance, scale, sub, unit
from pipemodel.messages.say import words
from pipemodel.messages.units import Units
from pipemodel.messages.values import Count, Name, Word, listed
from pipemodel.pulls.bender_frame import Side
from pipemodel.pulls.cards import Card
from pipemodel.pulls.stance import Stance

TAIL_MM = 170.0
"""Longer tails are broken off here."""
LEAST_MISSING_MM, BREAK_MM = 1.0, 20.0
"""A leg drawn shorter by less is drawn whole; the gap in one that is broken."""
WAYS: dict[Stance, tuple[str, str]] = {"flat": ("up", "down"), "upright": ("in front", "behind")}
"""How it is said that an end lies out of the plane of the pull."""
STEP_MM = 18.0
"""Tube is drawn in lengths of about this, the far ones first."""
STRAIGHT_POINTS = 3
"""A length of a straight has no more places on its axis."""


@dataclass(frozen=True)
class SceneStretch:
    """A short length of tube to draw: its axis, and whether it is of the bend just made.

    `along` is how far along what is drawn it begins, from where the pull begins, below zero on the side that is `held`;
    `straight` is a number that all lengths of one straight share, None in a bend.
    """

    points: tuple[Vec3, ...]
    new: bool = False
    along: float = 0.0
    straight: int | None = None
    held: bool = False


@dataclass(frozen=True)
class Note:
    """A bend's number or an end's name, and under it how long what is broken off is: where on the axis, which way out.

    `bend` tells that it is a bend's number, `new` that this bend was just made.
    """

    text: str
    at: Vec3
    out: Vec3
    under: str = ""
    bend: bool = False
    new: bool = False


@dataclass(frozen=True)
class Scene:
    """The piece at one moment."""

    stretches: tuple[SceneStretch, ...]
    notes: tuple[Note, ...]
    ends: tuple[tuple[Vec3, Vec3, bool], ...]
    """Each end of what is drawn: where, which way it faces, and whether the tube is broken off there."""

    def places(self, step: float) -> list[TubePlace]:
        """Return places on the axis of what is drawn, no further than `step` mm from one to the next."""
        out = []
        for stretch in self.stretches:
            at = stretch.along
            way = -1.0 if stretch.held else 1.0
            for a, b in pairwise(stretch.points[:-1]):
                long = distance(a, b)
                parts = ceil(long / step)
                out += [
                    TubePlace(at + way * long * k / parts, along(a, sub(b, a), k / parts), stretch.straight)
                    for k in range(parts)
                ]
                at += way * long
        return out


@dataclass(frozen=True)
class Drawn:
    """One side of the tube as it is, and as it is drawn, with its long legs shortened."""

    true: Side
    shown: Side


def scene_of(
    solved: SolvedRun, card: Card, sides: tuple[Drawn, Drawn], new: int | None, units: Units, most: int | None = None
) -> Scene:
    """Lay out the held side and the free side, the bend numbered `new` just made, its notes for a reader.

    Beyond `most` bends made to either side, where it is given, the tube is broken off.
    """
    bends = solved.table.bends
    pull = card.pull
    towards_start = pull.held == "start"
    stretches: list[SceneStretch] = []
    notes: list[Note] = []
    ends: list[tuple[Vec3, Vec3, bool]] = []
    for free, (side, number_step) in enumerate(zip(sides, (-1, 1) if towards_start else (1, -1), strict=True)):
        numbers = [b.number for b in bends if b.number in pull.made and (b.number - pull.bend) * number_step > 0]
        numbers.sort(reverse=number_step < 0)
        left_out = [] if most is None else numbers[most:]
        if free and new is not None:
            numbers.insert(0, new)
        far = len(side.true.pieces) - 2 * len(left_out)
        *inner, last = zip(side.true.pieces[:far], side.shown.pieces[:far], strict=True)
        begin = len(stretches)
        for place, (true, shown) in enumerate(inner):
            if isinstance(shown, Arc):
                fresh = bool(free) and new is not None and place == 0
                stretches += _stretches(shown, fresh)
                middle = shown.point_at(shown.length / 2.0)
                out = unit(sub(middle, shown.centre))
                notes.append(Note(str(numbers.pop(0)), middle, out, bend=True, new=fresh))
            else:
                # The bend to be is still straight, and no part of the leg beyond it.
                takes = bends[pull.bend - 1].arc_mm if free and new is None and place == 0 else 0.0
                stretches += _leg(true, shown, takes, ends, notes, units)
        true_tail, tail = last
        assert isinstance(tail, Straight)
        assert isinstance(true_tail, Straight)
        broken = bool(left_out) or tail.length > TAIL_MM * 1.25
        drawn_mm = min(tail.length / 2.0, TAIL_MM) if left_out else TAIL_MM
        tail = Straight(tail.start, tail.direction, drawn_mm) if broken else tail
        stretches += _stretches(tail, False)
        stretches[begin:] = _placed(stretches[begin:], 1 if free else -1)
        end = Word(("finish" if towards_start else "start") if free else ("start" if towards_start else "finish"))
        name, height = words(units, "word", word=end), true_tail.finish[2]
        if abs(height) >= 1.0 and not left_out:
            off, way = Name(units.short(abs(height)), quoted=False), Word(WAYS[card.stance][height < 0.0])
            name = words(units, "pull drawing.end", end=end, off=off, way=way)
        under = ""
        if left_out:
            name = words(units, "pull drawing.goes on", end=end)
            under = words(units, "pull drawing.left out", bends=listed([Count(n) for n in sorted(left_out)], ","))
        elif broken:
            # Before the pull the free tube goes on straight from the bend to be: it is no leg yet.
            whole = "pull drawing.to the end" if free and new is None and not inner else "pull drawing.tail"
            under = "\n".join((_long(whole, true_tail.length, units), words(units, "pull drawing.shorter")))
        notes.append(Note(name, tail.finish, tail.direction, under))
        ends.append((tail.finish, tail.direction, broken))
    return Scene(tuple(stretches), tuple(notes), tuple(ends))


def _placed(side: Sequence[SceneStretch], way: int) -> Iterator[SceneStretch]:
    """Yield the lengths of a side with how far along they are, and with a number of its own for each straight."""
    at, straight, last = 0.0, way, False
    for one in side:
        bent = len(one.points) > STRAIGHT_POINTS
        straight += way * (last and not bent)
        yield replace(one, along=way * at, straight=None if bent else straight, held=way < 0)
        at += sum(distance(a, b) for a, b in pairwise(one.points[:-1]))
        last = bent


def _leg(
    true: LinePiece,
    shown: Straight,
    takes: float,
    ends: list[tuple[Vec3, Vec3, bool]],
    notes: list[Note],
    units: Units,
) -> list[SceneStretch]:
    """Draw a leg between two bends, with a break in its middle where it is drawn short."""
    missing = true.length - shown.length
    if missing < LEAST_MISSING_MM:
        return _stretches(shown, False)
    half = (shown.length - BREAK_MM) / 2.0
    near = Straight(shown.start, shown.direction, half)
    far = Straight(shown.point_at(half + BREAK_MM), shown.direction, half)
    ends += [(near.finish, near.direction, True), (far.start, scale(far.direction, -1.0), True)]
    long, shorter = _long("pull drawing.leg", true.length - takes, units), words(units, "pull drawing.shorter")
    notes.append(Note("", shown.point_at(shown.length / 2.0), shown.direction, f"{long}\n{shorter}"))
    return [*_stretches(near, False), *_stretches(far, False)]


def _long(of: str, mm: float, units: Units) -> str:
    return words(units, of, length=Name(units.short(mm), quoted=False))


def _stretches(piece: LinePiece, new: bool) -> list[SceneStretch]:
    if piece.length <= 0.0:
        return []
    count = max(1, ceil(piece.length / STEP_MM))
    fine = 3 if isinstance(piece, Arc) else 1
    step = piece.length / (count * fine)
    points = [piece.point_at(i * step) for i in range(count * fine + 1)]
    # Each length reaches a little under the next, so that no seam shows.
    ends = [piece.point_at(min((i + 1.05) * fine * step, piece.length)) for i in range(count)]
    return [SceneStretch((*points[i * fine : (i + 1) * fine + 1], ends[i]), new) for i in range(count)]
