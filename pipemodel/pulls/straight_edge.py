"""What is measured off a straight-edge laid along a leg: square from it to the middle of an end, or of a ring.

A straight-edge rocks by a gap of 0.3 mm under its end: what is read further out is read no better than that lets it.
"""

from collections.abc import Iterator
from functools import partial
from math import hypot

from pipemodel.bending.angle_card import card_leg_mm
from pipemodel.bending.part_bent import PartBent
from pipemodel.geometry.centreline import Straight
from pipemodel.geometry.vectors import Vec3, dot, length, sub
from pipemodel.messages.values import Count, Word, message
from pipemodel.pulls.measures import CARD_GAP_MM, REACH_MM, TAPE_MM, Candidate, Measure, MeasureKind
from pipemodel.pulls.places import Place, rings_beyond

STRAIGHT_EDGE_MM = 100.0
"""On less straight tube no straight-edge is laid, unless nothing else shows a mistake."""
SHORT_EDGE_MM = 40.0
"""And on less than this never: the shortest edge of an angle card. Common practice, no source."""


def with_straight_edge(piece: PartBent, index: int) -> Iterator[Candidate]:
    """Yield what is measured of bend `index` off the nearest leg that is long enough, on one side of it.

    It goes to the end on its other side, of its own leg. The angle of a bend between others shows at an end as well,
    which is worth the trouble where no card judges it.
    """
    last, bend = len(piece.bends) - 1, piece.bends[index]
    card = card_leg_mm(bend.angle_deg, bend.radius_mm, piece.outside_mm)
    if index == last or not card:
        yield from _nearest(piece, range(index, -1, -1), "finish")
    if index == 0 or not card:
        yield from _nearest(piece, range(index + 1, last + 2), "start")


def along_any_leg(piece: PartBent, index: int) -> Iterator[Candidate]:
    """Yield all that a straight-edge along a leg shows of bend `index`, for mistakes that nothing else shows."""
    for end, legs in (("finish", range(index, -1, -1)), ("start", range(index + 1, len(piece.legs)))):
        for place in (Place(end), *rings_beyond(piece, index, end)):
            for along in legs:
                if _lies_on(piece, along, place) >= SHORT_EDGE_MM:
                    yield from _off_leg(piece, along, place)


def _nearest(piece: PartBent, legs: range, end: str) -> Iterator[Candidate]:
    place = Place(end)
    along = next((along for along in legs if _lies_on(piece, along, place) >= STRAIGHT_EDGE_MM), None)
    return iter(()) if along is None else _off_leg(piece, along, place)


def _off_leg(piece: PartBent, along: int, place: Place) -> Iterator[Candidate]:
    """Measure off one leg to an end of the piece, or a ring, where one person can.

    Where the straight-edge goes on past its leg, it lies on the side away from that place, or the tube beyond would be
    in its way.
    """
    leg, point, end = piece.legs[along], place.at(piece), place.end
    beyond, far = _past(leg, point), length(leg.off(point))
    if not 2.0 * piece.outside_mm <= far <= REACH_MM:
        return
    if beyond and any(dot(leg.off(point), leg.off(p)) < 0.0 for p in _beyond(piece, along, end)):
        return
    side, beside = ("before", along) if end == "finish" else ("after", along - 1)
    number, lies = Count(piece.bends[beside].number), Word("away" if beyond else "near")
    how = message("measure.off a leg", side=Word(side), bend=number, lies=lies, at=place.said(piece))
    within = hypot(TAPE_MM, CARD_GAP_MM * beyond / _lies_on(piece, along, place))
    read = partial(_off_a_leg, along=along, place=place, radii=1 if beyond else -1)
    yield Candidate(Measure(MeasureKind.OFFSET, read(piece), how, within, lay=(along, f"edge {place.key}")), read)


def _lies_on(piece: PartBent, along: int, place: Place) -> float:
    """Return how much of a straight-edge lies on a leg, where it has to get to a place as well."""
    leg = piece.legs[along]
    return min(leg.length, REACH_MM - _past(leg, place.at(piece)))


def _past(leg: Straight, point: Vec3) -> float:
    """Return how far beyond the ends of a leg a point lies, along it; 0 beside it."""
    along = dot(sub(point, leg.start), leg.direction)
    return max(along - leg.length, -along, 0.0)


def _off_a_leg(piece: PartBent, along: int, place: Place, radii: int) -> float:
    return length(piece.legs[along].off(place.at(piece))) + radii * piece.outside_mm / 2.0


def _beyond(piece: PartBent, along: int, end: str) -> list[Vec3]:
    """Return the ends of the legs from one on to an end of the piece."""
    legs = piece.legs[along + 1 :] if end == "finish" else piece.legs[:along]
    return [point for leg in legs for point in (leg.start, leg.finish)]
