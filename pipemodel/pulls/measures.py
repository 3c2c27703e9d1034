"""What must be true after a pull, as people measure: outside to outside, to the back, with a tape and a square."""

from dataclasses import dataclass
from enum import StrEnum
from math import atan2, degrees, radians, sqrt

from pipemodel.bending.part_bent import PartBent
from pipemodel.geometry.centreline import Arc, Straight
from pipemodel.geometry.vectors import Vec3, cross, distance, dot, length, scale, sub
from pipemodel.messages.values import NOTHING, Count, Message, Tape, Word, message

PARALLEL = 0.005
"""Sine of the angle, about 0.3 degrees, within which two legs, or two planes, are parallel to a fitter."""
SQUARE_DEG = 0.5
"""A bend within this of 90 has a back to lay a square on."""
IN_LINE_MM = 1.0
"""Legs this near to one line are in line to a fitter."""
FLAT_MM = 0.5
"""Closer than this to the bench is lying on it."""
MOST = 3
"""More measures than this are not taken."""


class Kind(StrEnum):
    """What is measured."""

    END_TO_BACK = "end to back"
    BACK_TO_BACK = "back to back"
    HEIGHT = "height, outside to outside"
    SPAN = "open span, inside to inside"
    STAND_OFF = "stand-off from a flat bench"
    FLAT = "flat on the bench"
    ACROSS = "end to end, straight across"


@dataclass(frozen=True)
class Measure:
    """One measure: what it is, in mm, and how to take it."""

    kind: Kind
    mm: float
    how: Message

    @property
    def said(self) -> Message:
        """The measure as a line to tick: its length, and how to take it."""
        if self.kind is Kind.FLAT:
            return self.how
        return message("measure", far=Tape(self.mm), how=self.how)


def measures_after(piece: PartBent, number: int) -> tuple[Measure, ...]:
    """Return two or three measures that show whether bend `number`, just pulled, came out right.

    Where there are more, one of each kind goes first, so that place, angle and twist are all seen.
    """
    index = next(i for i, bend in enumerate(piece.bends) if bend.number == number)
    groups = [
        [*_between_parallel_legs(piece, index), *_passover(piece, index)],
        [*_end_to_back(piece, index), *_back_to_back(piece, index)],
        _on_the_bench(piece, index),
    ]
    chosen = [group[0] for group in groups if group]
    spare = [measure for group in groups for measure in group[1:]]
    chosen += spare[: MOST - len(chosen)]
    if len(chosen) < 2:
        chosen.append(_across(piece))
    return tuple(chosen)


def _end_to_back(piece: PartBent, index: int) -> list[Measure]:
    found: list[Measure] = []
    bend, back = piece.bends[index], piece.back_mm(index)
    legs = [("start", piece.legs[0])] if index == 0 else []
    legs += [("finish", piece.legs[-1])] if index == len(piece.bends) - 1 else []
    for end, leg in sorted(legs, key=lambda pair: pair[1].length):
        at = NOTHING if bend.angle_deg >= 90.0 - SQUARE_DEG else message("measure.where its backs meet")
        how = message("measure.end to back", end=Word(end), bend=Count(bend.number), at=at)
        found.append(Measure(Kind.END_TO_BACK, leg.length + back, how))
    return found


def _back_to_back(piece: PartBent, index: int) -> list[Measure]:
    found: list[Measure] = []
    for one, two in ((index - 1, index), (index, index + 1)):
        if one < 0 or two >= len(piece.bends):
            continue
        a, b = piece.bends[one], piece.bends[two]
        square = all(abs(bend.angle_deg - 90.0) <= SQUARE_DEG for bend in (a, b))
        # Backs of bends that turn the same way lie on one line; of other bends only square ones can be measured.
        axes = (piece.arcs[one].axis, piece.arcs[two].axis)
        same_way = _parallel(*axes) and dot(*axes) > 0.0 and max(a.angle_deg, b.angle_deg) < 91
        if square or same_way:
            mm = piece.legs[two].length + piece.back_mm(one) + piece.back_mm(two)
            at = NOTHING if square else message("measure.where their backs meet")
            how = message("measure.back to back", one=Count(a.number), other=Count(b.number), at=at)
            found.append(Measure(Kind.BACK_TO_BACK, mm, how))
    return found


def _between_parallel_legs(piece: PartBent, index: int) -> list[Measure]:
    """Compare the legs on both sides of this bend and its neighbour: a set, a U."""
    found: list[Measure] = []
    for one, two in ((index - 1, index + 1), (index, index + 2)):
        if one < 0 or two >= len(piece.legs):
            continue
        a, b = piece.legs[one], piece.legs[two]
        if not _parallel(a.direction, b.direction) or min(a.length, b.length) < 2.0 * piece.outside_mm:
            continue
        apart = _apart(a, b)
        first, second = Count(piece.bends[one].number), Count(piece.bends[two - 1].number)
        if dot(a.direction, b.direction) > 0.0:
            over = message("measure.over legs", before=first, after=second)
            found.append(Measure(Kind.HEIGHT, apart + piece.outside_mm, over))
        else:
            between = message("measure.between legs", before=first, after=second)
            found.append(Measure(Kind.SPAN, apart - piece.outside_mm, between))
    return found


def _passover(piece: PartBent, index: int) -> list[Measure]:
    """Measure three bends that lift the tube over something and bring it back into line: up to the one on top."""
    for one in (index - 2, index - 1, index):
        if one < 0 or one + 3 >= len(piece.legs):
            continue
        a, b = piece.legs[one], piece.legs[one + 3]
        if not _parallel(a.direction, b.direction) or dot(a.direction, b.direction) < 0.0:
            continue
        top = piece.arcs[one + 1]
        off = _off(a, top.point_at(top.length / 2.0))
        if _apart(a, b) > IN_LINE_MM or length(off) < piece.outside_mm:
            continue
        up = scale(off, 1.0 / length(off))
        crown = dot(up, sub(_bottom(top, scale(up, -1.0)), a.start))
        before, on_top, after = (Count(bend.number) for bend in piece.bends[one : one + 3])
        how = message("measure.passover", before=before, after=after, top=on_top)
        return [Measure(Kind.HEIGHT, crown + piece.outside_mm, how)]
    return []


def _parallel(a: Vec3, b: Vec3) -> bool:
    """Tell whether two unit vectors run along one line to a fitter, the same way or against each other."""
    return length(cross(a, b)) <= PARALLEL


def _apart(a: Straight, b: Straight) -> float:
    return length(_off(a, b.start))


def _off(a: Straight, point: Vec3) -> Vec3:
    """Return the way from the axis of a leg, square to it, to a point."""
    to = sub(point, a.start)
    return sub(to, scale(a.direction, dot(to, a.direction)))


def _on_the_bench(piece: PartBent, index: int) -> list[Measure]:
    """With both legs of the new bend flat on the bench, say what the ends of the piece stand off it."""
    if len(piece.bends) < 2:
        return []
    arc, number = piece.arcs[index], Count(piece.bends[index].number)
    ends = [("start", piece.centreline.start), ("finish", piece.centreline.finish)]
    heights = {name: dot(arc.axis, sub(point, arc.start)) for name, point in ends}
    most = max(heights, key=lambda name: abs(heights[name]))
    if abs(heights[most]) <= FLAT_MM:
        corners = [dot(arc.axis, sub(point, arc.start)) for leg in piece.legs for point in (leg.start, leg.finish)]
        if max(map(abs, corners)) <= FLAT_MM and all(_parallel(arc.axis, other.axis) for other in piece.arcs):
            return [Measure(Kind.FLAT, 0.0, message("measure.flat"))]
        return []
    up, past = (1.0 if heights[most] > 0.0 else -1.0), NOTHING
    if _lowest(piece, arc.start, scale(arc.axis, up)) < -FLAT_MM:
        past = message("measure.past the edge")
    tails = {"start": piece.legs[0].direction, "finish": piece.legs[-1].direction}
    return [
        Measure(
            Kind.STAND_OFF,
            up * height + _rim_above_underside(piece, dot(arc.axis, tails[name])),
            message("measure.off the bench", end=Word(name), bend=number, past=past),
        )
        for name, height in sorted(heights.items(), key=lambda item: -up * item[1])
        if up * height > FLAT_MM
    ]


def _rim_above_underside(piece: PartBent, slope: float) -> float:
    """Return how far the lowest point of an end's rim lies above the underside of level tube at its centre's height.

    A level end is measured to its underside; an end that points up or down, to the rim of its mouth.
    """
    return piece.outside_mm / 2.0 * (1.0 - sqrt(max(0.0, 1.0 - slope * slope)))


def _lowest(piece: PartBent, level: Vec3, up: Vec3) -> float:
    points = [p for leg in piece.legs for p in (leg.start, leg.finish)]
    return min(dot(up, sub(p, level)) for p in [*points, *(_bottom(arc, up) for arc in piece.arcs)])


def _bottom(arc: Arc, up: Vec3) -> Vec3:
    """Return the lowest point of an arc between its ends; its start where there is none."""
    bottom = degrees(atan2(-dot(up, arc.direction), -dot(up, arc.spoke)))
    return arc.point_at(radians(bottom) * arc.radius) if 0.0 < bottom < arc.angle_deg else arc.start


def _across(piece: PartBent) -> Measure:
    line = piece.centreline
    return Measure(Kind.ACROSS, distance(line.start, line.finish), message("measure.across"))
