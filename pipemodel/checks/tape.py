"""What a clip's place is measured from: whatever a tape laid on the face comes to first.

A tape is laid on the face, across and up. To either side it ends where the face does, at its own edge, or where
something stands on the face: a wall, a floor, a ceiling, the side of a beam. Pipes and meshes are passed by. Where the
face has no end and nothing stands on it, there is only the run's own start to measure from.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import inf

from pipemodel.geometry.shapes.face import SQUARE, Face, edges
from pipemodel.geometry.vectors import Vec3, along, cross, dot, length, scale, sub
from pipemodel.job.model import Thing
from pipemodel.job.routing.faces import face_met
from pipemodel.job.routing.faults import ItemError
from pipemodel.messages.values import NOTHING, Message, Name, Tape, Word, message

LIFT_MM = 1.0
"""How far above the face the tape runs; what stands on the face less than that does not end it."""
FLUSH_MM = 1.0
"""An edge this near to what it stands against is not seen."""
SKEW_MM = 0.5
"""An edge of an outline that leans more than this over its length is not square to the tape."""


@dataclass(frozen=True)
class TapeMeasure:
    """One measure on a face, as a tape finds it: how far, and from what."""

    distance_mm: float
    reference: Message

    @property
    def said(self) -> Message:
        """The measure for a sentence, as the clip list has it."""
        return message("tape.measure", far=Tape(self.distance_mm), reference=self.reference)


def measures_on(face: Face, point: Vec3, things: Sequence[Thing], start: Vec3) -> tuple[TapeMeasure, TapeMeasure]:
    """Return where a point lies on a face, as a tape finds it: across, and up.

    Args:
        face: the face.
        point: a point on it.
        things: the things in the room.
        start: where the run starts, for a face with nothing else to measure from.
    """
    return _measure(face, point, things, start, up=False), _measure(face, point, things, start, up=True)


def _measure(face: Face, point: Vec3, things: Sequence[Thing], start: Vec3, up: bool) -> TapeMeasure:
    ends = [_first_met(face, point, things, up, sense) for sense in (-1, 1)]
    if up and not face.level and ends[0] is not None:
        return ends[0]  # on a wall, heights are taken from below
    found = [end for end in ends if end is not None]
    if found:
        return min(found, key=lambda end: end.distance_mm)
    beyond = dot(sub(point, start), face.up if up else face.across)
    return TapeMeasure(abs(beyond), message("tape.of start", side=Word(_BESIDE[face.level, up][beyond >= 0.0])))


def _first_met(face: Face, point: Vec3, things: Sequence[Thing], up: bool, sense: int) -> TapeMeasure | None:
    """Return what a tape comes to in one direction; None where that is nothing, or nothing square to the tape."""
    way = scale(face.up if up else face.across, float(sense))
    edge, edge_is_square, of_opening = _own_edge(face, point, up, sense)
    from_, best, square = along(point, face.normal, LIFT_MM), inf, False
    met_first = NOTHING
    for thing in things:
        if thing.shape.axis is not None:
            continue
        try:
            met = face_met(thing, from_, way)
        except ItemError:
            continue
        closing = -dot(way, met.normal)
        at = dot(sub(from_, met.point), met.normal) / closing
        if at < best:
            own = thing.name == face.thing
            best, square = at, length(cross(met.normal, way)) <= SQUARE
            name = Name(thing.name, quoted=False)
            met_first = message("tape.inside corner", thing=name) if own else message("tape.from", thing=name)
    if best <= edge + FLUSH_MM:
        return TapeMeasure(best, met_first) if square else None
    if edge == inf or not edge_is_square:
        return None
    if of_opening:
        beside = Word(_BESIDE[face.level, up][sense < 0])
        return TapeMeasure(edge, message("tape.of opening", side=beside, thing=Name(face.thing, quoted=False)))
    side = Word(_EDGES[face.level, up][sense > 0])
    return TapeMeasure(edge, message("tape.edge", side=side, thing=Name(face.thing, quoted=False)))


def _own_edge(face: Face, point: Vec3, up: bool, sense: int) -> tuple[float, bool, bool]:
    """Return how far the face's own edge is in one direction, and whether it is square to it, and an opening's.

    A face without end is infinitely far from its edge.
    """
    place = face.place_of(point)
    here, beside = place[up], place[not up]
    best, square, of_opening = inf, False, False
    if not face.outline:
        low, high = (face.up_from, face.up_to) if up else (face.across_from, face.across_to)
        best, square = (high - here if sense > 0 else here - low), True
    outermost = (max if sense > 0 else min)((corner[up] for corner in face.outline), default=0.0)
    loops = enumerate((face.outline, *face.openings))
    for number, (a, b) in ((number, side) for number, loop in loops if loop for side in edges(loop)):
        if (a[not up] > beside) == (b[not up] > beside):
            continue
        share = (beside - a[not up]) / (b[not up] - a[not up])
        at = sense * (a[up] + share * (b[up] - a[up]) - here)
        if 0.0 <= at < best:
            best, square = at, abs(b[up] - a[up]) <= SKEW_MM
            # An edge short of the outermost is a side of a doorway, or of a step.
            of_opening = number > 0 or abs(here + sense * at - outermost) > SKEW_MM
    return best, square, of_opening


_EDGES = {
    (False, False): ("left", "right"),
    (False, True): ("bottom", "top"),
    (True, False): ("west", "east"),
    (True, True): ("south", "north"),
}
"""The edges of a face: of a wall or of a floor, across or up."""
_BESIDE = {
    (False, False): ("to the left of", "to the right of"),
    (False, True): ("below", "above"),
    (True, False): ("west of", "east of"),
    (True, True): ("south of", "north of"),
}
