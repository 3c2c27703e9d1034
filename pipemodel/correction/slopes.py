"""How what a check reads grows with the errors of mark, angle and turn of each bend, by the motion of the tube beyond.

`reads` is where and how a check is read, as `reads_of` has it. `documents/page/correct_slopes.js` is the page's twin.
"""

from collections.abc import Callable, Mapping
from math import cos, inf, pi, radians, sin, sqrt
from typing import Any, NamedTuple, TypeAlias

from pipemodel.bending.part_bent import PartBent
from pipemodel.geometry.vectors import ORIGIN, Vec3, add, cross, dot, length, scale, sub
from pipemodel.pulls.places import Place

Reads: TypeAlias = Mapping[str, Any]
Put: TypeAlias = Callable[[int, int, float], None]
"""What takes a slope: of mark (0), angle (1) or turn (2), of which bend of the piece, from 0, and by mm or radian."""
MARK, ANGLE, TURN = 0, 1, 2
CROWN_STEPS = 16
"""Kinds of checks that read how far something stands off to either side."""


class _Point(NamedTuple):
    """A point of the tube, the bend it belongs to, and how that bend moves it as its mark, angle and turn grow.

    `slides` is how it moves along the tube as mark and angle of bend `past` grow, from whose back it is measured.
    """

    at: Vec3
    bend: int
    own: tuple[Vec3, Vec3, Vec3] | None = None
    past: int | None = None
    slides: tuple[Vec3, Vec3, Vec3] = (ORIGIN, ORIGIN, ORIGIN)


class _Standing(NamedTuple):
    """What stands off furthest: how far, of which bend (an end of the tube where `share` is None), and where on it."""

    far: float
    bend: int = -1
    share: float | None = None


def read_to_side(reads: Reads, piece: PartBent, side: int) -> float:
    """Return what a check of gaps or of a stand-off reads to the left (1) or the right (-1) of its bend."""
    if reads["kind"] == "gaps":
        return gaps(piece, reads["i"])[side < 0].far
    axis = piece.arcs[reads["i"]].axis
    point = _seen_at(piece, reads).at
    high = side * dot(axis, sub(point, piece.arcs[reads["i"]].start))
    if reads["kind"] == "gap":
        return high
    slope = dot(axis, _place(reads).leg(piece).direction)
    return high + piece.outside_mm / 2.0 * (1.0 - sqrt(max(0.0, 1.0 - slope * slope)))


def gaps(piece: PartBent, index: int) -> tuple[_Standing, _Standing]:
    """Return the ends of other legs that stand furthest to the left and the right of the plane of a bend."""
    arc, last = piece.arcs[index], len(piece.arcs)
    places: list[tuple[Vec3, int, float | None]] = []
    if index > 0:
        places.append((piece.legs[0].start, -1, None))
    if index < last - 1:
        places.append((piece.legs[-1].finish, last, None))
    for bend in range(last):
        if bend < index or bend > index + 1:
            places.append((piece.arcs[bend].start, bend, 0.0))
        if bend > index or bend < index - 1:
            places.append((piece.legs[bend + 1].start, bend, 1.0))
    most = [_Standing(-inf), _Standing(-inf)]
    for point, bend, share in places:
        high = dot(arc.axis, sub(point, arc.start))
        for k, far in enumerate((high, -high)):
            if far > most[k].far:
                most[k] = _Standing(far, bend, share)
    return most[0], most[1]


def put_slopes(reads: Reads, piece: PartBent, side: int, put: Put) -> None:
    """Put how a reading grows with each error; `side` as in `read_to_side` for gaps and stand-offs."""
    kind = reads["kind"]
    if kind == "angle":
        put(ANGLE, reads["i"], 180.0 / pi)
    elif kind == "corner":
        put(ANGLE, reads["i"], _corner_grows(piece, reads["i"], reads["ring"]))
    elif kind == "back":
        _back(reads, piece, put)
    elif kind in ("apart", "crown", "off"):
        _off_leg(reads, piece, put)
    elif kind == "across":
        to = sub(piece.centreline.finish, piece.centreline.start)
        far = length(to)
        _seen(piece, 0, False, _end(piece, "finish", 0.0), lambda by, _: dot(to, by) / far, put)
    elif kind == "aside":
        leg, sign = reads["i"] + (reads["end"] == "finish"), reads["sign"]
        across = cross(piece.arcs[reads["i"]].axis, piece.legs[leg].direction)
        point = _seen_at(piece, reads)
        _seen(piece, leg, reads["end"] == "start", point, lambda by, _: sign * dot(across, by), put)
    elif kind == "stand":
        _stand(reads, piece, side, put)
    elif kind == "gaps":
        most = gaps(piece, reads["i"])[side < 0]
        ends = _end(piece, "start" if most.bend < 0 else "finish", 0.0)
        _height(piece, reads["i"], ends if most.share is None else _of_arc(piece, most.bend, most.share), side, put)
    else:
        _height(piece, reads["i"], _seen_at(piece, reads), side if kind == "gap" else 1, put)


def _back(reads: Reads, piece: PartBent, put: Put) -> None:
    leg = reads["leg"]
    if leg < len(piece.arcs):
        put(MARK, leg, 1.0)
    if leg:
        put(MARK, leg - 1, -1.0)
        put(ANGLE, leg - 1, -piece.arcs[leg - 1].radius)
    for i in reads["bends"]:
        put(ANGLE, i, _back_grows(piece, i))


def _back_grows(piece: PartBent, index: int) -> float:
    """Return how much further beyond its leg the back of a bend lies as its angle grows, mm for each radian."""
    arc = piece.arcs[index]
    if arc.angle_deg >= 90.0:
        return 0.0
    return (arc.radius + piece.outside_mm / 2.0) / 2.0 / cos(radians(arc.angle_deg) / 2.0) ** 2


def _corner_grows(piece: PartBent, index: int, ring: float) -> float:
    """Return how much further apart rings lie, so far from a bend's back, as its angle grows, mm for each radian."""
    arc, on = piece.arcs[index], ring - piece.back_mm(index)
    half = radians(arc.angle_deg) / 2.0
    return (arc.radius - 2.0 * _back_grows(piece, index)) * cos(half) - on * sin(half)


def _off_leg(reads: Reads, piece: PartBent, put: Put) -> None:
    leg = reads["i"] if reads["kind"] == "off" else reads["one"]
    line = piece.legs[leg]
    if reads["kind"] == "off":
        point = _seen_at(piece, reads)
    elif reads["kind"] == "apart":
        point = _of_arc(piece, reads["two"] - 1, 1.0)
    else:
        shares = [k / CROWN_STEPS for k in range(CROWN_STEPS + 1)]
        points = [_of_arc(piece, leg + 1, share) for share in shares]
        point = max(points, key=lambda one: length(line.off(one.at)))
    off = line.off(point.at)
    far = length(off) or 1.0
    _seen(piece, leg, False, point, lambda by, _: dot(off, by) / far, put)


def _stand(reads: Reads, piece: PartBent, side: int, put: Put) -> None:
    axis, way = piece.arcs[reads["i"]].axis, _place(reads).leg(piece).direction
    slope = dot(axis, way)
    leans = piece.outside_mm / 2.0 * slope / sqrt(max(1e-12, 1.0 - slope * slope))
    point = _seen_at(piece, reads)
    if not side:
        side = 1 if dot(axis, sub(point.at, piece.arcs[reads["i"]].start)) > 0.0 else -1

    def grows(by: Vec3, about: Vec3) -> float:
        return side * dot(axis, by) + leans * dot(axis, cross(about, way))

    _seen(piece, reads["i"], True, point, grows, put)


def _height(piece: PartBent, index: int, point: _Point, times: int, put: Put) -> None:
    axis = piece.arcs[index].axis
    _seen(piece, index, True, point, lambda by, _: times * dot(axis, by), put)


def _seen(
    piece: PartBent, frame: int, turned: bool, point: _Point, slope: Callable[[Vec3, Vec3], float], put: Put
) -> None:
    """Put how a figure of a point grows that is seen from the leg before a bend, or from its plane where `turned`.

    `slope` has it for a velocity of the point, and what it turns about.
    """
    for i in range(len(piece.arcs)):
        for what in (MARK, ANGLE, TURN) if i else (MARK, ANGLE):
            beyond, before = i < point.bend, i < frame or (turned and i == frame and what == TURN)
            if i != point.bend and beyond == before:
                continue
            about = by = ORIGIN
            if beyond or before:
                about, by = _motion(piece, what, i, point.at)
            if before:
                about, by = scale(about, -1.0), scale(by, -1.0)
            if i == point.bend and point.own is not None:
                by = add(point.own[what], by)
            if i == point.past:
                by = add(point.slides[what], by)
            put(what, i, slope(by, about))


def _motion(piece: PartBent, what: int, index: int, point: Vec3) -> tuple[Vec3, Vec3]:
    """Return about what the tube beyond a bend turns as its mark, angle or turn grows, and how a point of it moves.

    A turn moves the bend itself as well.
    """
    leg, after = piece.legs[index], piece.legs[index + 1]
    if what == MARK:
        return ORIGIN, sub(leg.direction, after.direction)
    arc = piece.arcs[index]
    about, origin = (arc.axis, after.start) if what == ANGLE else (leg.direction, arc.start)
    return about, cross(about, sub(point, origin))


def _end(piece: PartBent, end: str, ring: float) -> _Point:
    if end == "start":
        return _Point(piece.legs[0].point_at(ring), -1)
    last = piece.legs[-1]
    return _Point(last.point_at(last.length - ring), len(piece.arcs))


def _place(reads: Reads) -> Place:
    return Place(reads["end"], reads["ring"], reads.get("past"))


def _seen_at(piece: PartBent, reads: Reads) -> _Point:
    """Return the end, or the ring, at which a piece on the bench is looked at."""
    past, end = reads.get("past"), reads["end"]
    if past is None:
        return _end(piece, end, reads["ring"])
    place, arc, on = _place(reads), piece.arcs[past], end == "finish"
    way, grows = place.leg(piece).direction, _back_grows(piece, past)
    by_angle = arc.radius - grows if on else grows
    return _Point(place.at(piece), past + on, None, past, (way, scale(way, by_angle), ORIGIN))


def _of_arc(piece: PartBent, bend: int, share: float) -> _Point:
    arc = piece.arcs[bend]
    at, angle = arc.point_at(arc.length * share), radians(arc.angle_deg) * share
    left = cross(arc.axis, arc.direction)
    grown = add(scale(arc.direction, share * arc.radius * cos(angle)), scale(left, share * arc.radius * sin(angle)))
    return _Point(at, bend, (arc.direction, grown, _motion(piece, TURN, bend, at)[1]))
