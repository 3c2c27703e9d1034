"""What a tape is held to when a job is set out: a face of the room in each direction, and places measured from it.

A face serves if it is flat, square to an axis, at least `LEAST_MM` each way, and has most of the places before it; the
top of a floor that a run comes up through serves with most of them under it. One with all of them before it is better
than one that a run goes through, a floor better than a ceiling, one that a place lies square before better than one
farther along, and any other better than that of an upright board, which is put up once the tube is in; then the nearest
is taken. Heights are counted upwards, from a ceiling too. Where the room has no such face, places are measured from the
zero of the job. Where no face lies square to a level axis, but upright ones lie aslant, as in a room that was turned,
the level ways are square to one of those and along it.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

from pipemodel.bending.bends import corners_of
from pipemodel.bending.schedule import Schedule
from pipemodel.checks.penetrations import Penetration
from pipemodel.geometry.shapes import Shape
from pipemodel.geometry.shapes.face import Face
from pipemodel.geometry.vectors import EAST, NORTH, UP, Vec3, along, dot, scale, sub
from pipemodel.job.build_sleeves import wall_of
from pipemodel.job.model import Thing
from pipemodel.messages.values import Count, Message, Name, message, word

LEAST_MM = 250.0
"""A face smaller than this either way is a rail or a joist: nothing to set a whole job out from. Common practice, no
source."""
SQUARE = 0.99999
BOARD_MM = 30.0
"""What stands upright and is thinner is the front of a boxing or a panel, unless it is the layer of a wall. Common
practice, no source."""
BEHIND_MM = 1.0
"""A run may lie so far behind the plane of a face that it is still measured from."""


@dataclass(frozen=True)
class Datum:
    """A plane to measure from: a place lies `measure(place)` mm before it.

    `axis` is the axis of the room, `out` the unit vector out of the face along it, `thing` what the face belongs to, ""
    for the zero of the job, from which it is then counted `along` a thing that stands aslant. `some_behind` tells
    whether corners or ends lie behind the face: their figures are below 0, `ceiling` whether the face looks down, and
    heights are counted upwards from it all the same.
    """

    axis: Vec3
    out: Vec3
    at: float
    thing: str = ""
    some_behind: bool = False
    ceiling: bool = False
    along: str = ""

    def measure(self, p: Vec3) -> float:
        """Return how far a place stands off it, mm."""
        return dot(self.out, p) - self.at

    @property
    def said(self) -> Message:
        """What it is called."""
        if self.along:
            return message("setting out.zero along", thing=Name(self.along, quoted=False))
        if not self.thing:
            return message("setting out.zero")
        thing = Name(self.thing, quoted=False)
        if self.axis == UP:
            under, top = message("setting out.underside", thing=thing), message("setting out.top", thing=thing)
            return under if self.ceiling else top
        if self.some_behind:
            return message("setting out.face behind", thing=thing)
        return message("setting out.face", thing=thing)


@lru_cache(maxsize=8)
def datums(schedule: Schedule) -> tuple[Datum, Datum, Datum]:
    """Return what places are measured from: east and west, north and south, and in height."""
    lines = [corners_of(run.table)[0] for run in schedule.runs]
    large = [thing for thing in schedule.job.things if _may_serve(thing.shape)]
    faces = [(thing, face) for thing in large for face in thing.shape.flat_faces()]
    first, second, third = (_datum(axis, faces, lines) for axis in (EAST, NORTH, UP))
    if not (first.thing or second.thing):
        first, second = min(
            _aslant(faces, lines), key=lambda two: sum(not one.thing for one in two), default=(first, second)
        )
    return first, second, third


def _aslant(faces: Sequence[tuple[Thing, Face]], lines: Sequence[Sequence[Vec3]]) -> Iterator[tuple[Datum, Datum]]:
    """Yield level datums, more eastward and more northward, square to each upright face that serves and along it."""
    ways: list[Vec3] = []
    for _, face in faces:
        x, y, z = face.normal
        quarter = (x, y, 0.0) if abs(x) >= abs(y) else (y, -x, 0.0)
        east = quarter if quarter[0] > 0.0 else scale(quarter, -1.0)
        if abs(z) < 1e-9 and not any(dot(east, way) > SQUARE for way in ways):
            ways.append(east)
    for east in ways:
        two = [_datum(axis, faces, lines) for axis in (east, (-east[1], east[0], 0.0))]
        named = [datum.thing for datum in two if datum.thing]
        if named:
            one, other = (datum if datum.thing else replace(datum, along=named[0]) for datum in two)
            yield one, other


def _datum(axis: Vec3, faces: Sequence[tuple[Thing, Face]], lines: Sequence[Sequence[Vec3]]) -> Datum:
    points = [p for line in lines for p in line]
    best: tuple[tuple[bool, bool, bool, bool, float], Datum] | None = None
    for thing, face in faces:
        if abs(dot(face.normal, axis)) < SQUARE or not _large(face):
            continue
        off = [face.height_of(p) for p in points]
        behind = sum(far < -BEHIND_MM for far in off)
        if 2 * behind >= len(off) and not (axis == face.normal == UP and _comes_through(face, lines)):
            continue
        ceiling = axis == UP and face.normal[2] < 0.0
        near = min(far for far in off if far >= -BEHIND_MM)
        kind = (ceiling, behind > 0, axis != UP and _is_board(thing, axis))
        if best is not None and (*kind, False, near) >= best[0]:
            continue
        before = any(face.holds(along(p, face.normal, -far)) for p, far in zip(points, off, strict=True))
        rank = (*kind, not before, near)
        if best is None or rank < best[0]:
            out = UP if ceiling else face.normal
            best = rank, Datum(axis, out, dot(out, face.point), thing.name, behind > 0, ceiling)
    return Datum(axis, axis, 0.0) if best is None else best[1]


def _comes_through(face: Face, lines: Sequence[Sequence[Vec3]]) -> bool:
    """Tell whether a run goes through a face from side to side, within its outer edges."""
    for line in lines:
        for p, q in zip(line, line[1:], strict=False):
            a, b = face.height_of(p), face.height_of(q)
            if a * b < 0.0:
                across, up = face.place_of(along(p, sub(q, p), a / (a - b)))
                if face.across_from <= across <= face.across_to and face.up_from <= up <= face.up_to:
                    return True
    return False


def _is_board(thing: Thing, axis: Vec3) -> bool:
    """Tell whether a thing is thinner along an axis than what stands when the tube goes in."""
    ends = thing.shape.bounds()
    return bool(ends) and wall_of(thing) == thing.name and abs(dot(sub(ends[1], ends[0]), axis)) < BOARD_MM


def _may_serve(shape: Shape) -> bool:
    """Tell whether a thing is large enough two ways at least; one without end is."""
    ends = shape.bounds()
    return not ends or sorted(sub(ends[1], ends[0]))[1] >= LEAST_MM


def _large(face: Face) -> bool:
    if face.radius is not None:
        return False
    return min(face.across_to - face.across_from, face.up_to - face.up_from) >= LEAST_MM


@dataclass(frozen=True)
class SetOutPlace:
    """A place to be set out: of which run, what it is ("start", "bend", "clip", "hole", "finish") and which, and where.

    `through` is what a hole is in.
    """

    run: str
    what: str
    number: int
    point: Vec3
    through: str = ""

    @property
    def said(self) -> Message:
        """What it is called."""
        if not self.number:
            return word(self.what)
        n = Count(self.number)
        if self.what == "hole":
            return message("setting out.hole", n=n, thing=Name(self.through, quoted=False))
        return message("setting out.bend", n=n) if self.what == "bend" else message("setting out.clip", n=n)


def places_to_set_out(
    schedule: Schedule, clips: Sequence[Sequence[Vec3]] = (), holes: Sequence[Penetration] = ()
) -> Iterator[SetOutPlace]:
    """Yield the places of every run, in order: start, the corners of its bends, finish, and then its clips and holes.

    Args:
        schedule: the solved job.
        clips: of each run, where the axis passes through its clips.
        holes: where runs go through things.
    """
    for number, solved in enumerate(schedule.runs):
        corners, joined = corners_of(solved.table)
        yield SetOutPlace(solved.name, "start", 0, corners[0])
        bend = 0
        for i, corner in enumerate(corners[1:-1], 1):
            # A bend of 180 has two corners.
            bend += i - 1 not in joined
            yield SetOutPlace(solved.name, "bend", bend, corner)
        yield SetOutPlace(solved.name, "finish", 0, corners[-1])
        for n, point in enumerate(clips[number] if clips else (), 1):
            yield SetOutPlace(solved.name, "clip", n, point)
        for n, hole in enumerate((hole for hole in holes if hole.run == solved.name), 1):
            yield SetOutPlace(solved.name, "hole", n, hole.point, hole.thing)
