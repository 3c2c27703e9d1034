"""Following a face at clip standoff: which face, and how the tube is brought to it."""

from pipemodel.geometry.shapes.face import Face
from pipemodel.geometry.vectors import Vec3, dot, scale, sub
from pipemodel.job.model import Thing
from pipemodel.job.routing.directions import described
from pipemodel.job.routing.faces import face_met, flat_faces
from pipemodel.job.routing.falling import falling
from pipemodel.job.routing.faults import ItemError, PlaceError
from pipemodel.job.routing.legs import ToFace
from pipemodel.job.routing.pen import RoutePen

_ALONG = 1e-9
_THERE_MM = 1e-6


def follow(
    pen: RoutePen, thing: Thing, standoff: float, looking: Vec3 | None, turn: Vec3 | None, angle: float | None
) -> None:
    """Bring the tube to its standoff from a face of a thing, heading along it.

    Args:
        pen: draws the run.
        thing: what is followed.
        standoff: from the face to the axis of the tube, mm.
        looking: the way the face looks, a unit vector; None to take the one the tube lies in front of.
        turn: the way along the face, for a tube that comes towards it.
        angle: of the set, for a tube that already runs along it.

    Raises:
        ItemError: if it is not clear which face is meant, or the tube cannot be brought to it that way.
    """
    ahead = pen.ahead
    if turn is None:
        _move_over(pen, thing, _face_beside(pen, thing, ahead, looking), standoff, angle)
        return
    face = face_met(thing, pen.at, ahead)
    if abs(dot(turn, face.normal)) > _ALONG:
        raise ItemError(
            f"{described(turn)} does not run along that face of {thing.name!r}, which looks {described(face.normal)}"
        )
    if abs(dot(falling(turn, pen.fall), face.normal)) > _ALONG:
        raise ItemError(
            f"a leg that falls keeps no standoff from that face of {thing.name!r}, which looks "
            f"{described(face.normal)}; measure the leg another way"
        )
    pen.go(ToFace(thing, standoff=standoff))
    pen.turn(turn)


def _face_beside(pen: RoutePen, thing: Thing, ahead: Vec3, looking: Vec3 | None) -> Face:
    along = [f for f in flat_faces(thing) if abs(dot(f.normal, ahead)) <= _ALONG]
    if looking is not None:
        along = [f for f in along if dot(f.normal, looking) > 1.0 - _ALONG]
    if not along:
        raise ItemError(
            f"no such face of {thing.name!r} runs along the tube, which heads {described(ahead)}; "
            "for a tube that comes towards the face say which way to `turn`"
        )
    before = [f for f in along if dot(sub(pen.at, f.point), f.normal) > 0.0]
    if not before:
        raise PlaceError(f"the tube is not in front of a face of {thing.name!r} that it could follow")
    if len(before) > 1:
        looks = ", ".join(described(f.normal) for f in before)
        raise PlaceError(
            f"the tube is in front of several faces of {thing.name!r}, looking {looks}: say which by `side`"
        )
    return before[0]


def _move_over(pen: RoutePen, thing: Thing, face: Face, standoff: float, angle: float | None) -> None:
    off = dot(sub(pen.at, face.point), face.normal) - standoff
    if abs(off) <= _THERE_MM or pen.lost:
        return
    if angle is None:
        raise PlaceError(
            f"the tube runs {abs(off):.4g} {'farther from' if off > 0 else 'nearer to'} {thing.name!r} than the "
            "standoff; say the `angle` of the set that brings it there"
        )
    pen.set_aside(scale(face.normal, -1.0 if off > 0.0 else 1.0), abs(off), angle, 0.0)
