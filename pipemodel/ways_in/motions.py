"""A way in as few distinct motions of the hands: slide, turn about an end, tip, roll.

A motion spans the states from `first` to `last` of the way. Neighbours that are the same to the hands are one motion:
slides one way, turns about the same end and axis.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from math import atan2, cos, degrees, inf, radians, sqrt
from typing import Literal, TypeAlias

from pipemodel.geometry.centreline import Arc, Centreline
from pipemodel.geometry.vectors import (
    UP,
    Vec3,
    add,
    angle_deg,
    any_normal,
    cross,
    distance,
    dot,
    length,
    rotate,
    scale,
    sub,
    unit,
)
from pipemodel.ways_in.poses import between, product, stands, turn_about, turn_between, turned
from pipemodel.ways_in.values import Pose, WayIn

MotionKind: TypeAlias = Literal["slide", "turn", "tip", "roll"]
"""A turn is about an axis nearly upright, a tip about one nearly level; a roll about the piece's own length."""
Held: TypeAlias = Literal["start", "finish"] | int
"""What is held where it is while the piece turns: an end, or a bend by its number."""
FIXED_MM = 5.0
"""An end that strays no farther than this while the piece turns is held where it is, if not said otherwise."""
ON_LEG_DEG = 6.0
"""An axis within this of a leg that is held where it is, is that leg."""
LEAST_MM = 1.0
"""A slide shorter than this is no motion of its own."""
LEAST_DEG = 0.5
"""What turns less than this slides."""
ALIKE_DEG = 12.0
"""Slides and axes of turns no farther apart than this are one motion."""
FREE_DEG = 60.0
"""A turn with nothing held is said in parts no larger than this: the ends' moves alone then show how it goes."""
MOST_DEG = 170.0
"""And any turn in parts no larger than this: half a turn goes either way round."""
MOST_STRAY_MM = 20.0
"""What strays farther than this while the piece turns is never said to be held."""
_STEPS = 12
SAMPLE_MM = 25.0
"""How closely places along the piece are looked at."""


class HeldPiece:
    """A finished run as the hands see it: its axis in its place, and the two points its way is said by."""

    def __init__(self, line: Centreline) -> None:
        self.line = line
        self.start, self.finish = line.start, line.finish
        far = max((distance(line.start, p) for p in self.points), default=0.0)
        if distance(self.start, self.finish) < 0.2 * far:
            # Its ends lie together: the point farthest from the start tells how it stands.
            self.finish = max(self.points, key=lambda p: distance(line.start, p))

    @cached_property
    def _places(self) -> tuple[tuple[Vec3, int], ...]:
        out: list[tuple[Vec3, int]] = []
        for number, piece in enumerate(self.line.pieces):
            count = 4 if isinstance(piece, Arc) else max(1, round(piece.length / SAMPLE_MM))
            out += [(piece.point_at(piece.length * i / count), number) for i in range(count)]
        return (*out, (self.line.finish, len(self.line.pieces) - 1))

    @cached_property
    def points(self) -> tuple[Vec3, ...]:
        """Points along the axis, ends and middles of bends among them."""
        return tuple(point for point, _ in self._places)

    @cached_property
    def part_of(self) -> tuple[int, ...]:
        """Of each point the piece of the centreline it lies on: even for legs, odd for bends."""
        return tuple(number for _, number in self._places)

    @cached_property
    def middle(self) -> Vec3:
        """The middle of the block along the axes that holds the axis."""
        x, y, z = ((min(c) + max(c)) / 2.0 for c in zip(*self.points, strict=True))
        return (x, y, z)

    def held(self, about: "Held") -> Vec3:
        """Return the point of the piece that is held where it is: an end, or the middle of a bend."""
        if isinstance(about, int):
            arc = self.line.arcs[about - 1]
            return arc.point_at(arc.length / 2.0)
        return self.start if about == "start" else self.finish

    @cached_property
    def off_mm(self) -> float:
        """How far the farthest point lies from the line through the two points."""
        ahead = sub(self.finish, self.start)
        if length(ahead) < 1e-9:
            return max(distance(self.start, p) for p in self.points)
        return max(length(cross(sub(p, self.start), unit(ahead))) for p in self.points)

    def lever(self, p_mm: float) -> float:
        """Return how far any point may be out, mm, where the two points are each out by no more than `p_mm`."""
        apart = distance(self.start, self.finish)
        far = max(distance(self.start, p) for p in self.points)
        return p_mm * (1.0 + 2.0 * far / max(apart, 1e-9))


@dataclass(frozen=True)
class Motion:
    """What the hands do between two states of a way.

    `about` is the end or bend held where it is while the piece turns, None where none is. `axis` and `angle_deg` are
    of the turn in the room, right-handed. `roll_deg` is what of it is about the line from start to finish, right-handed
    seen along it. `leg` is the one that stays where it is while all else goes round it, counted from 1, 0 where there
    is none. `stray_mm` is how far what is held strays on the way itself.
    """

    kind: MotionKind
    first: int
    last: int
    axis: Vec3
    angle_deg: float
    about: Held | None = None
    roll_deg: float = 0.0
    leg: int = 0
    stray_mm: float = 0.0


def motions_of(piece: HeldPiece, states: Sequence[Pose], fixed_mm: float = FIXED_MM) -> tuple[Motion, ...]:
    """Return the motions of a way, in order; states where nothing moves are passed over.

    Args:
        piece: the run.
        states: of the way.
        fixed_mm: what strays no farther than this while the piece turns is said to be held.
    """
    out: list[Motion] = []
    for i in range(len(states) - 1):
        one = _motion(piece, states[i], states[i + 1], i, fixed_mm)
        if one is None:
            continue
        gone = length(sub(stands(states[i + 1], piece.start), stands(states[i], piece.start)))
        if one.kind == "slide" and gone < LEAST_MM and out:
            out[-1] = replace(out[-1], last=one.last, stray_mm=out[-1].stray_mm + gone)
            continue
        joined = _joined(piece, states, out[-1], one, fixed_mm) if out else None
        if joined is None:
            out.append(one)
        else:
            out[-1] = joined
    return tuple(_rolled(piece, states, motion, fixed_mm) for motion in out)


def _uneven(piece: HeldPiece, states: Sequence[Pose]) -> float:
    """Return how far a row of turns strays from one even turn, the middle of the piece going straight, mm."""
    first, last = states[0], states[-1]
    axis, whole = turn_between(first.rotation, last.rotation)
    if whole < LEAST_DEG:
        return inf
    middle = piece.middle
    a, b = stands(first, middle), stands(last, middle)
    worst = 0.0
    for state in states[1:-1]:
        share = min(turn_between(first.rotation, state.rotation)[1] / whole, 1.0)
        turn = product(turn_about(axis, whole * share), first.rotation)
        at = add(scale(a, 1.0 - share), scale(b, share))
        even = Pose(sub(at, turned(turn, middle)), turn)
        worst = max(worst, *(distance(stands(even, p), stands(state, p)) for p in (piece.start, piece.finish, middle)))
    return worst


def hand_motions(piece: HeldPiece, way: WayIn) -> tuple[Motion, ...]:
    """Return the motions of a way that was found; what is held may stray by half of what it leaves free, at most."""
    least = way.least_mm if way.least_mm is not None else way.margin_mm
    return motions_of(piece, way.states, min(max((least - way.margin_mm) / 2.0, 1.0), MOST_STRAY_MM))


def _rolled(piece: HeldPiece, states: Sequence[Pose], motion: Motion, fixed_mm: float) -> Motion:
    """Return a motion as a roll about the piece's own length, where both ends stay where they are."""
    if motion.kind == "slide" or motion.leg:
        return motion
    stray = max(
        distance(stands(states[motion.first], p), stands(states[i], p))
        for p in (piece.start, piece.finish)
        for i in range(motion.first, motion.last + 1)
    )
    if stray > fixed_mm:
        return motion
    return replace(motion, kind="roll", about=None, stray_mm=max(stray, motion.stray_mm))


def _motion(piece: HeldPiece, a: Pose, b: Pose, i: int, fixed_mm: float) -> Motion | None:
    axis, angle = turn_between(a.rotation, b.rotation)
    gone = max(distance(stands(a, p), stands(b, p)) for p in (piece.start, piece.finish))
    if angle < LEAST_DEG:
        return None if gone < 1e-6 and angle == 0.0 else Motion("slide", i, i + 1, axis, angle)
    leg, strays = _held_leg(piece, a, b, axis, fixed_mm)
    if leg:
        return Motion("roll", i, i + 1, axis, angle, None, _roll_deg(piece, a, b), leg, strays)
    about, stray = _held_point(piece, a, b, fixed_mm)
    roll = _roll_deg(piece, a, b)
    lying = abs(dot(axis, UP)) < sqrt(0.5)
    kind: MotionKind = "tip" if lying else "turn"
    return Motion(kind, i, i + 1, axis, angle, about, roll, 0, stray)


def _held_point(piece: HeldPiece, a: Pose, b: Pose, fixed_mm: float) -> tuple[Held | None, float]:
    """Return the end that stays where it is in a turn, else the bend, and how far it strays; None and 0 for none."""
    ends: tuple[Held, ...] = ("start", "finish")
    for points in (ends, tuple(range(1, len(piece.line.arcs) + 1))):
        strays = [(_stray(piece.held(one), a, b), one) for one in points]
        stray, one = min(strays, key=lambda each: each[0], default=(inf, None))
        if stray <= fixed_mm:
            return one, stray
    return None, 0.0


def _held_leg(piece: HeldPiece, a: Pose, b: Pose, axis: Vec3, fixed_mm: float) -> tuple[int, float]:
    """Return the leg that stays where it is in a turn, and how far it strays; 0 where none does."""
    best = (0, 0.0)
    for number, leg in enumerate(piece.line.straights, 1):
        if leg.length <= 0.0 or abs(dot(turned(a.rotation, leg.direction), axis)) < cos(radians(ON_LEG_DEG)):
            continue
        strays = max(_stray(p, a, b) for p in (leg.start, leg.finish))
        if strays <= fixed_mm and (not best[0] or leg.length > piece.line.straights[best[0] - 1].length):
            best = (number, strays)
    return best


def _stray(p: Vec3, a: Pose, b: Pose) -> float:
    """How far a point goes from where it was, on the way between two poses, at most."""
    begin = stands(a, p)
    return max(distance(begin, stands(between(a, b, k / _STEPS), p)) for k in range(1, _STEPS + 1))


def _roll_deg(piece: HeldPiece, a: Pose, b: Pose) -> float:
    """What a turn rolls the piece about the line from start to finish, beside the least turn that moves that line."""
    line = sub(piece.finish, piece.start)
    if length(line) < 1e-9:
        return 0.0
    d, e = (unit(turned(pose.rotation, line)) for pose in (a, b))
    side = any_normal(line)
    was, now = turned(a.rotation, side), turned(b.rotation, side)
    # The least turn from d to e carries the side along.
    axis = cross(d, e)
    if length(axis) > 1e-12:
        was = rotate(was, unit(axis), angle_deg(d, e))
    return _signed(was, now, e)


def _signed(a: Vec3, b: Vec3, axis: Vec3) -> float:
    """Return the angle from a to b about an axis, right-handed, -180 to 180 degrees."""
    return degrees(atan2(dot(cross(a, b), axis), dot(a, b)))


def _joined(piece: HeldPiece, states: Sequence[Pose], one: Motion, other: Motion, fixed_mm: float) -> Motion | None:
    """Return two motions as one where the hands would not tell them apart, else None."""
    if (one.kind, one.about, one.leg) != (other.kind, other.about, other.leg):
        return None
    if one.kind == "slide":
        a = sub(stands(states[one.last], piece.start), stands(states[one.first], piece.start))
        b = sub(stands(states[other.last], piece.start), stands(states[other.first], piece.start))
        # One slide instead of two strays from the way by no more than this: see `moves_in_words`, which counts it.
        alike = min(length(a), length(b)) > 0.0 and angle_deg(a, b) < 0.5
        return replace(one, last=other.last) if alike else None
    if angle_deg(one.axis, other.axis) > ALIKE_DEG or one.angle_deg + other.angle_deg > MOST_DEG:
        return None
    begins, ends = states[one.first], states[other.last]
    axis, angle = turn_between(begins.rotation, ends.rotation)
    stray = max(one.stray_mm, other.stray_mm)
    if one.about is None and not one.leg:
        stray = _uneven(piece, states[one.first : other.last + 1])
        if stray > fixed_mm or angle > FREE_DEG:
            return None
    elif one.about is not None:
        end = piece.held(one.about)
        begin = stands(begins, end)
        stray = max(distance(begin, stands(states[i], end)) for i in range(one.first, other.last + 1)) + stray
        if stray > fixed_mm:
            return None
    rolled = _roll_deg(piece, begins, ends)
    return replace(one, last=other.last, axis=axis, angle_deg=angle, roll_deg=rolled, stray_mm=stray)


def moved_by(piece: HeldPiece, states: Sequence[Pose], motion: Motion, end: Literal["start", "finish"]) -> Vec3:
    """Return how far an end goes in a motion, from its first state to its last."""
    p = piece.start if end == "start" else piece.finish
    return sub(stands(states[motion.last], p), stands(states[motion.first], p))
