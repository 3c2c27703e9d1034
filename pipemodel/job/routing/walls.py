"""The wall that a run lies on, as its clips say."""

from collections.abc import Sequence

from pipemodel.geometry.shapes.face import SQUARE
from pipemodel.geometry.vectors import Vec3, along
from pipemodel.job.model import Thing


def wall_of(start: Vec3, faces: Sequence[str], things: Sequence[Thing]) -> Vec3 | None:
    """Return the way out of the wall that a run is clipped to: a level unit vector, None where it is not one wall.

    Of a thing with several upright faces it is the one that the start of the run lies before.

    Args:
        start: where the run starts.
        faces: the names of what it is clipped to.
        things: the things in the room.
    """
    found = [
        face
        for thing in things
        if thing.name in faces
        for face in thing.shape.flat_faces()
        if face.radius is None and abs(face.normal[2]) <= SQUARE and face.height_of(start) > 0.0
    ]
    if len(found) > 1:
        found = [face for face in found if face.holds(along(start, face.normal, -face.height_of(start)))]
    return found[0].normal if len(found) == 1 else None
