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
from pipemodel.messages.values import Name, Number, Word, message

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
            message(
                "fault.not along face",
                turn=Name(described(turn), quoted=False),
                name=Name(thing.name),
                normal=Name(described(face.normal), quoted=False),
            )
        )
    if abs(dot(falling(turn, pen.fall), face.normal)) > _ALONG:
        raise ItemError(
            message("fault.falls no standoff", name=Name(thing.name), normal=Name(described(face.normal), quoted=False))
        )
    pen.go(ToFace(thing, standoff=standoff))
    pen.turn(turn)


def _face_beside(pen: RoutePen, thing: Thing, ahead: Vec3, looking: Vec3 | None) -> Face:
    along = [f for f in flat_faces(thing) if abs(dot(f.normal, ahead)) <= _ALONG]
    if looking is not None:
        along = [f for f in along if dot(f.normal, looking) > 1.0 - _ALONG]
    if not along:
        raise ItemError(
            message("fault.no such face", name=Name(thing.name), ahead=Name(described(ahead), quoted=False))
        )
    before = [f for f in along if dot(sub(pen.at, f.point), f.normal) > 0.0]
    if not before:
        raise PlaceError(message("fault.no face before", name=Name(thing.name)))
    if len(before) > 1:
        looks = ", ".join(described(f.normal) for f in before)
        raise PlaceError(message("fault.many faces", name=Name(thing.name), looks=Name(looks, quoted=False)))
    return before[0]


def _move_over(pen: RoutePen, thing: Thing, face: Face, standoff: float, angle: float | None) -> None:
    off = dot(sub(pen.at, face.point), face.normal) - standoff
    if abs(off) <= _THERE_MM or pen.lost:
        return
    if angle is None:
        raise PlaceError(
            message(
                "fault.off standoff",
                off=Number(abs(off), ".4g"),
                way=Word("farther" if off > 0 else "nearer"),
                thing=Name(thing.name),
            )
        )
    pen.set_aside(scale(face.normal, -1.0 if off > 0.0 else 1.0), abs(off), angle, 0.0)
