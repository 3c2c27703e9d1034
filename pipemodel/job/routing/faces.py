"""The flat faces of the things in the room, as a tape finds them: the face met ahead, the extent along a heading."""

from pipemodel.geometry.shapes.base import Shape
from pipemodel.geometry.shapes.face import Face
from pipemodel.geometry.vectors import EAST, NORTH, UP, Vec3
from pipemodel.job.model import Thing
from pipemodel.job.routing.faults import ItemError, PlaceError
from pipemodel.messages.values import Name, message


def face_met(thing: Thing, origin: Vec3, ahead: Vec3) -> Face:
    """Return the face that a straight line from `origin` along `ahead` meets first.

    A round thing has no flat face; what counts is the flat that touches its near side, square to the heading as
    seen along its axis, as if a board were held against it.

    Raises:
        ItemError: if the line misses the thing or starts inside it, or the thing is a mesh.
    """
    if (face := _measured(thing).met(origin, ahead)) is not None:
        return face
    if thing.shape.facing is not None:
        raise PlaceError(message("fault.not towards", name=Name(thing.name)))
    raise PlaceError(message("fault.misses", name=Name(thing.name)))


def flat_faces(thing: Thing) -> list[Face]:
    """Return the flat faces of a thing.

    Raises:
        ItemError: if it is a mesh.
    """
    return list(_measured(thing).flat_faces())


def _measured(thing: Thing) -> Shape:
    if not thing.shape.measurable:
        raise ItemError(message("fault.mesh no face", name=Name(thing.name)))
    return thing.shape


def extent(thing: Thing, direction: Vec3) -> tuple[float, float]:
    """Return how far a thing reaches along `direction` (a unit vector): least and greatest of point . direction.

    Raises:
        ItemError: if the thing is a mesh file, or a face that goes on for ever.
    """
    if thing.shape.facing is not None:
        raise ItemError(message("fault.endless face", name=Name(thing.name)))
    if not thing.shape.measurable:
        raise ItemError(message("fault.mesh not measured", name=Name(thing.name)))
    return thing.shape.reach(direction)


def centre(thing: Thing) -> Vec3:
    """Return the middle of a thing: halfway along each axis of the room."""
    x, y, z = ((low + high) / 2.0 for low, high in (extent(thing, axis) for axis in (EAST, NORTH, UP)))
    return (x, y, z)
