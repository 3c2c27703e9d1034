"""What is to be drawn of a piece in the bender: its lengths of tube, its ends, and what is written beside them."""

from dataclasses import dataclass
from math import ceil, hypot

from pipemodel.bending.schedule import SolvedRun
from pipemodel.geometry.centreline import Arc, LinePiece, Straight
from pipemodel.geometry.vectors import Vec3, scale
from pipemodel.messages.say import words
from pipemodel.messages.units import Units
from pipemodel.messages.values import Name, Word
from pipemodel.pulls.bender_frame import Side
from pipemodel.pulls.cards import Card

TAIL_MM = 170.0
"""Longer tails are broken off here."""
LEAST_MISSING_MM, BREAK_MM = 1.0, 20.0
"""A leg drawn shorter by less is drawn whole; the gap in one that is broken."""
STEP_MM = 18.0
"""Tube is drawn in lengths of about this, the far ones first."""


@dataclass(frozen=True)
class SceneStretch:
    """A short length of tube to draw: its axis, and whether it is the bend just made, or the very end."""

    points: tuple[Vec3, ...]
    new: bool = False


@dataclass(frozen=True)
class Note:
    """A bend's number or an end's name, and under it what is missing: where on the axis, and which way is out.

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


@dataclass(frozen=True)
class Drawn:
    """One side of the tube as it is, and as it is drawn, with its long legs shortened."""

    true: Side
    shown: Side


def scene_of(solved: SolvedRun, card: Card, sides: tuple[Drawn, Drawn], new: int | None, units: Units) -> Scene:
    """Lay out the held side and the free side, the bend numbered `new` just made, its notes for a reader."""
    bends = solved.table.bends
    pull = card.pull
    towards_start = pull.held == "start"
    stretches: list[SceneStretch] = []
    notes: list[Note] = []
    ends: list[tuple[Vec3, Vec3, bool]] = []
    for free, (side, number_step) in enumerate(zip(sides, (-1, 1) if towards_start else (1, -1), strict=True)):
        numbers = [b.number for b in bends if b.number in pull.made and (b.number - pull.bend) * number_step > 0]
        numbers.sort(reverse=number_step < 0)
        if free and new is not None:
            numbers.insert(0, new)
        *inner, last = zip(side.true.pieces, side.shown.pieces, strict=True)
        for place, (true, shown) in enumerate(inner):
            if isinstance(shown, Arc):
                fresh = bool(free) and new is not None and place == 0
                stretches += _stretches(shown, fresh)
                middle = shown.point_at(shown.length / 2.0)
                out = _towards(shown.centre, middle)
                notes.append(Note(str(numbers.pop(0)), middle, out, bend=True, new=fresh))
            else:
                stretches += _leg(true, shown, ends, notes, units)
        true_tail, tail = last
        assert isinstance(tail, Straight)
        assert isinstance(true_tail, Straight)
        broken = tail.length > TAIL_MM * 1.25
        tail = Straight(tail.start, tail.direction, TAIL_MM) if broken else tail
        stretches += _stretches(tail, False)
        end = Word(("finish" if towards_start else "start") if free else ("start" if towards_start else "finish"))
        name, height = words(units, "word", word=end), true_tail.finish[2]
        if abs(height) >= 1.0:
            off, way = _figure(abs(height), units), Word("up" if height > 0.0 else "down")
            name = words(units, "pull drawing.end", end=end, off=off, way=way)
        more = _missing(true_tail.length - TAIL_MM, units) if broken else ""
        notes.append(Note(name, tail.finish, tail.direction, more))
        ends.append((tail.finish, tail.direction, broken))
    return Scene(tuple(stretches), tuple(notes), tuple(ends))


def _leg(
    true: LinePiece,
    shown: Straight,
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
    notes.append(Note("", shown.point_at(shown.length / 2.0), shown.direction, _missing(missing, units)))
    return [*_stretches(near, False), *_stretches(far, False)]


def _missing(mm: float, units: Units) -> str:
    return words(units, "pull drawing.missing", length=_figure(mm, units))


def _figure(mm: float, units: Units) -> Name:
    """A length without the decimal beside: there is little room."""
    return Name(units.short(mm), quoted=False)


def _towards(a: Vec3, b: Vec3) -> Vec3:
    n = hypot(b[0] - a[0], b[1] - a[1], b[2] - a[2])
    return ((b[0] - a[0]) / n, (b[1] - a[1]) / n, (b[2] - a[2]) / n)


def _stretches(piece: LinePiece, new: bool) -> list[SceneStretch]:
    if piece.length <= 0.0:
        return []
    count = max(1, ceil(piece.length / STEP_MM))
    fine = 4 if isinstance(piece, Arc) else 1
    step = piece.length / (count * fine)
    points = [piece.point_at(i * step) for i in range(count * fine + 1)]
    # Each length reaches a little under the next, so that no seam shows.
    ends = [piece.point_at(min((i + 1.05) * fine * step, piece.length)) for i in range(count)]
    return [SceneStretch((*points[i * fine : (i + 1) * fine + 1], ends[i]), new) for i in range(count)]
