"""A way in, said motion by motion: what the hands do, which end leads through the opening, and what was rounded.

Lengths and angles are rounded as coarsely as the clearance of the way allows: what rounding may add up to is set
against what the way keeps free beyond the margin. The moves of the ends are rounded by how far each is from its place,
so that their roundings do not add up. A turn is said by where it takes the ends; its angle tells the hands about how
far, and counts only where the piece rolls about its own length.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import cos, radians, sqrt
from typing import Literal, TypeAlias

from pipemodel.geometry.centreline import Centreline
from pipemodel.geometry.vectors import EAST, NORTH, UP, Vec3, cross, distance, dot, scale, sub, unit
from pipemodel.job.model import Opening
from pipemodel.messages.values import Angle, Count, Length, Listed, Message, Name, Point, Value, Word, listed, message
from pipemodel.ways_in.motions import HeldPiece, Motion, MotionKind, hand_motions, moved_by
from pipemodel.ways_in.poses import between, stands, turned
from pipemodel.ways_in.values import Pose, WayIn

End: TypeAlias = Literal["start", "finish"]
ENDS: tuple[End, End] = ("start", "finish")
ROUNDED = ((10.0, 5.0), (5.0, 5.0), (1.0, 1.0))
"""Steps of lengths in mm and of angles in degrees, the coarsest first."""
SMALL = 0.3
"""What a way goes along an axis is not said where it is less than this share of the most."""
WAYS: tuple[tuple[Vec3, str], ...] = (
    (NORTH, "north"),
    (scale(NORTH, -1.0), "south"),
    (EAST, "east"),
    (scale(EAST, -1.0), "west"),
    (UP, "up"),
    (scale(UP, -1.0), "down"),
)
ALONG = cos(radians(1.0))
"""A slide goes along a leg within this cosine."""
FACES = 0.9
"""A move goes towards a wall whose face looks against it within this cosine."""
LEVEL_MM, END_MM = 10.0, 80.0
"""What lies so little behind the foremost point leads too; an end leads alone where that is no more than so long."""
_LOOKS = 16


@dataclass(frozen=True)
class Step:
    """One motion in words, from the state `first` of the way to `last`; how it begins has the same for both."""

    kind: MotionKind | Literal["begin"]
    first: int
    last: int
    said: Message


@dataclass(frozen=True)
class InWords:
    """A way in words, and to what its lengths and angles are rounded; `kept_mm` is what stays free all the same."""

    steps: tuple[Step, ...]
    step_mm: float
    step_deg: float
    kept_mm: float

    @property
    def rounding(self) -> Message:
        """What was rounded, and what that leaves."""
        values: dict[str, Value] = {"mm": Length(self.step_mm), "deg": Angle(self.step_deg)}
        if self.kept_mm < 0.0:
            return message("way in.rounded too far", **values)
        return message("way in.rounded", **values, kept=Length(self.kept_mm, ".1f", "down"))


def in_words(
    line: Centreline, way: WayIn, opening: Opening | None = None, walls: Mapping[str, Vec3] | None = None
) -> InWords:
    """Return a way that was found, in words.

    Args:
        line: the run's axis in its place.
        way: its states.
        opening: what it goes through.
        walls: of faces that motions may go towards, the unit normals out of them, by name.
    """
    piece = HeldPiece(line)
    motions = hand_motions(piece, way)
    step_mm, step_deg, kept = _rounding(piece, motions, way)
    words = _Words(piece, way.states, step_mm, step_deg, walls or {})
    steps = [words.begin()]
    least = way.least_mm if way.least_mm is not None else way.margin_mm
    through = None if opening is None else _leads(piece, way.states, motions, opening)
    for i, motion in enumerate(motions):
        said = words.of(motion)
        if through is not None and opening is not None and through[0] == i:
            said = message("way in.through", leads=through[1], opening=Name(opening.name, quoted=False), motion=said)
        if (near := _near(way, motion, motions, least - kept)) is not None:
            said = message("way in.near", motion=said, left=Length(near[0], ".1f", "down"), thing=Name(near[1]))
        steps.append(Step(motion.kind, motion.first, motion.last, said))
    return InWords(tuple(steps), step_mm, step_deg, kept)


def _near(way: WayIn, motion: Motion, motions: Sequence[Motion], off_mm: float) -> tuple[float, str] | None:
    """Return how little stays free in a motion, and beside what: if rounding may take it, or if it is the least."""
    if not way.nearest:
        return None
    here = min(way.nearest[motion.first : motion.last])
    narrowest = here[0] <= min(way.nearest)[0] and all(
        min(way.nearest[other.first : other.last])[0] > here[0] for other in motions if other.first < motion.first
    )
    return here if here[1] and (narrowest or here[0] - off_mm < way.margin_mm) else None


def _rounding(piece: HeldPiece, motions: Sequence[Motion], way: WayIn) -> tuple[float, float, float]:
    """Return the coarsest steps that keep within the way's clearance, and what they leave of it."""
    rolls = sum(motion.kind != "slide" and not motion.leg for motion in motions)
    stray = max((motion.stray_mm for motion in motions), default=0.0)
    least = way.least_mm if way.least_mm is not None else way.margin_mm
    for mm, deg in ROUNDED:
        off = piece.lever(sqrt(3.0) * mm / 2.0) + rolls * piece.off_mm * radians(deg) + stray
        if least - off >= way.margin_mm:
            break
    return mm, deg, least - off


class _Words:
    """Words the motions of one way, in whole steps."""

    def __init__(
        self, piece: HeldPiece, states: Sequence[Pose], step_mm: float, step_deg: float, walls: Mapping[str, Vec3]
    ) -> None:
        self.piece, self.states, self.walls = piece, states, walls
        self.step_mm, self.step_deg = step_mm, step_deg

    def begin(self) -> Step:
        """How the piece is held before it goes in."""
        at = {end: Point(self._rounded(0, end)) for end in ENDS}
        return Step("begin", 0, 0, message("way in.begin", start=at["start"], finish=at["finish"]))

    def of(self, motion: Motion) -> Message:
        """Say one motion."""
        if motion.kind == "slide":
            moves = self._moves(motion, "start")
            if not isinstance(moves, Listed) or len(moves.items) == 1:
                return message("way in.slide", moves=moves)
            leg = self._leg_along(motion)
            along = message("way in.slide along", leg=Count(leg)) if leg else message("nothing")
            return message("way in.slide at once", along=along, moves=moves)
        if motion.leg:
            return self._about_leg(motion)
        roll: dict[str, Value] = {
            "angle": self._turned(abs(motion.roll_deg)),
            "hand": Word("clockwise" if motion.roll_deg > 0.0 else "anticlockwise"),
        }
        if motion.kind == "roll":
            return message("way in.roll", **roll)
        said = self._turn(motion)
        if abs(motion.roll_deg) < self.step_deg:
            return said
        return message("way in.and roll", motion=said, **roll)

    def _leg_along(self, motion: Motion) -> int:
        """Return the number of a leg that a slide goes along, 0 for none."""
        way = unit(moved_by(self.piece, self.states, motion, "start"))
        turn = self.states[motion.first].rotation
        for number, leg in enumerate(self.piece.line.straights, 1):
            if leg.length > 0.0 and abs(dot(turned(turn, leg.direction), way)) > ALONG:
                return number
        return 0

    def _turn(self, motion: Motion) -> Message:
        values: dict[str, Value] = {"kind": Word(motion.kind), "angle": self._turned(motion.angle_deg)}
        moves = {end: self._moves(motion, end) for end in ENDS}
        if isinstance(motion.about, int):
            bend = Count(motion.about)
            return message("way in.about bend", **values, bend=bend, start=moves["start"], finish=moves["finish"])
        if motion.about is not None:
            swings: End = "finish" if motion.about == "start" else "start"
            values |= {"end": Word(motion.about), "ways": self._swing(motion, swings)}
            return message("way in.about end", **values, moves=moves[swings])
        return message("way in.turn", **values, start=moves["start"], finish=moves["finish"])

    def _about_leg(self, motion: Motion) -> Message:
        values: dict[str, Value] = {"leg": Count(motion.leg), "angle": self._turned(motion.angle_deg)}
        moves = {end: self._moves(motion, end) for end in ENDS}
        if motion.leg in (1, len(self.piece.line.straights)):
            end = self._farther(motion)
            return message("way in.about leg", **values, end=Word(end), moves=moves[end])
        return message("way in.about middle leg", **values, start=moves["start"], finish=moves["finish"])

    def _farther(self, motion: Motion) -> End:
        gone = {end: moved_by(self.piece, self.states, motion, end) for end in ENDS}
        return max(ENDS, key=lambda end: dot(gone[end], gone[end]))

    def _turned(self, angle: float) -> Angle:
        return Angle(max(round(angle / self.step_deg), 1) * self.step_deg)

    def _end(self, state: int, end: End) -> Vec3:
        return stands(self.states[state], self.piece.start if end == "start" else self.piece.finish)

    def _rounded(self, state: int, end: End) -> Vec3:
        """Where an end is in a state, counted in whole steps from its place."""
        base = self._end(len(self.states) - 1, end)
        x, y, z = (self._to_step(c - b) + b for c, b in zip(self._end(state, end), base, strict=True))
        return (x, y, z)

    def _to_step(self, x: float) -> float:
        return round(x / self.step_mm) * self.step_mm

    def _moves(self, motion: Motion, end: End) -> Value:
        """How far an end goes, axis by axis, the farthest first."""
        a, b = self._rounded(motion.first, end), self._rounded(motion.last, end)
        gone = sub(b, a)
        ways = [(dot(gone, way), name, way) for way, name in WAYS]
        said: list[Value] = [
            message("way in.go", way=Word(name), far=Length(round(far, 1), taped=True))
            for far, name, _ in sorted(ways, key=lambda one: -one[0])
            if far > 1e-6
        ]
        return listed(said) if said else message("way in.a little")

    def _swing(self, motion: Motion, end: End) -> Value:
        """Which way an end sets out as the piece turns about the other: the axes it mostly goes along."""
        gone = moved_by(self.piece, self.states, motion, end)
        arm = sub(self._end(motion.first, end), self._end(motion.first, "start" if end == "finish" else "finish"))
        first = cross(motion.axis, arm)
        if dot(gone, gone) < 1.0:
            gone = first
        most = max(abs(c) for c in gone) or 1.0
        ways = sorted(((dot(gone, way), name, way) for way, name in WAYS), key=lambda one: -one[0])
        return listed([self._towards(name, way) for far, name, way in ways if far >= SMALL * most])

    def _towards(self, name: str, way: Vec3) -> Message:
        against = [wall for wall, facing in self.walls.items() if dot(unit(facing), way) < -FACES]
        if len(against) == 1:
            return message("way in.towards wall", wall=Name(against[0], quoted=False))
        return message("way in.towards", way=Word(name))


def plane_of(opening: Opening) -> tuple[Vec3, Vec3]:
    """Return the middle of an opening, and the unit normal of its plane towards the inside."""
    n = len(opening.corners)
    middle = scale((sum(p[0] for p in opening.corners), sum(p[1] for p in opening.corners),
                    sum(p[2] for p in opening.corners)), 1.0 / n)  # fmt: skip
    total = (0.0, 0.0, 0.0)
    for p, q in zip(opening.corners, (*opening.corners[1:], opening.corners[0]), strict=True):
        c = cross(sub(p, middle), sub(q, middle))
        total = (total[0] + c[0], total[1] + c[1], total[2] + c[2])
    inward = unit(total)
    return middle, scale(inward, -1.0) if dot(inward, sub(opening.outside, middle)) > 0.0 else inward


def _leads(
    piece: HeldPiece, states: Sequence[Pose], motions: Sequence[Motion], opening: Opening
) -> tuple[int, Message] | None:
    """Return in which motion the piece first goes through an opening, and which part of it leads."""
    middle, inward = plane_of(opening)
    for i, motion in enumerate(motions):
        for state in range(motion.first, motion.last):
            for k in range(1, _LOOKS + 1):
                pose = between(states[state], states[state + 1], k / _LOOKS)
                deep = [dot(sub(stands(pose, p), middle), inward) for p in piece.points]
                if max(deep) > 0.0:
                    return i, _part(piece, deep)
    return None


def _part(piece: HeldPiece, deep: Sequence[float]) -> Message:
    """Name the part of a piece that leads, by how deep each of its points is."""
    number = max(range(len(deep)), key=deep.__getitem__)
    low = high = number
    while low > 0 and deep[low - 1] > deep[number] - LEVEL_MM:
        low -= 1
    while high < len(deep) - 1 and deep[high + 1] > deep[number] - LEVEL_MM:
        high += 1
    short = distance(piece.points[low], piece.points[high]) < END_MM
    if short and (low == 0 or high == len(deep) - 1):
        return message("way in.end leads", end=Word("start" if low == 0 else "finish"))
    part = piece.part_of[(low + high) // 2]
    if part % 2:
        return message("way in.bend leads", bend=Count(part // 2 + 1))
    return message("way in.leg leads", leg=Count(part // 2 + 1))
