"""Points said in words become figures before the forms are filled, as measured points do."""

from collections.abc import Callable, Iterator
from typing import Any

from pydantic import ValidationError

from pipemodel.job.building.place_forms import Frame, InBayForm, OnWallForm, said_in_words
from pipemodel.job.expressions import nearest
from pipemodel.job.faults import Faults
from pipemodel.job.measured import POINT_KEYS
from pipemodel.job.messages import faults_of_form
from pipemodel.job.model import Fault
from pipemodel.job.quantities import shown
from pipemodel.job.room_file_forms import FILE_KEY, RoomForm
from pipemodel.job.yaml_tree import YamlPath, YamlSpot

_TERMS = ("wall", "joists")


def put_placed(
    values: dict[str, Any], spot: YamlSpot, frames_of: Callable[[RoomForm], dict[str, Frame]]
) -> list[Fault]:
    """Put [x, y, z] in place of every point said in words in a job's or a room file's values.

    Args:
        values: the values, their expressions worked out; changed in place.
        spot: where they stand.
        frames_of: returns the walls and joists of a room and of the room files that it names.

    Returns:
        What is wrong with these points.
    """
    found = list(_points(values, ()))
    if not found:
        return []
    frames = _frames(values.get("room"), frames_of)
    report = Faults(spot)
    for holder, key, where in found:
        holder[key] = _placed(holder[key], where, frames, report)
    return report.found


def _points(node: Any, path: YamlPath) -> Iterator[tuple[Any, Any, YamlPath]]:
    """Yield the group or list that holds each point said in words, its key there, and where it stands."""
    under = path[-1] if path else ""
    for key, value in list(node.items()) if isinstance(node, dict) else list(enumerate(node)):
        may_be = key in POINT_KEYS if isinstance(node, dict) else under == "points"
        if may_be and said_in_words(value):
            yield node, key, (*path, key)
        elif isinstance(value, dict | list):
            yield from _points(value, (*path, key))


def _frames(room: Any, frames_of: Callable[[RoomForm], dict[str, Frame]]) -> dict[str, Frame]:
    """Return the walls and joists of a room and of the files it names, by name; what is at fault is left out."""
    if not isinstance(room, dict):
        return {}
    wanted = {
        name: thing
        for name, thing in room.items()
        if name == FILE_KEY or (isinstance(thing, dict) and any(term in thing for term in _TERMS))
    }
    try:
        form = RoomForm.model_validate(wanted)
    except ValidationError as error:
        wrong = {detail["loc"][0] for detail in error.errors(include_url=False) if detail["loc"]}
        form = RoomForm.model_validate({name: thing for name, thing in wanted.items() if name not in wrong})
    return frames_of(form)


def _placed(value: dict[str, Any], where: YamlPath, frames: dict[str, Frame], faults: Faults) -> list[float]:
    kind = OnWallForm if "wall" in value else InBayForm
    # Each in a place of its own, so that nothing is said of a run but what is wrong.
    nowhere = [1000.0 * (where[-1] if isinstance(where[-1], int) else 0), 0.0, 0.0]
    try:
        form = kind.model_validate(value)
    except ValidationError as error:
        called = "a point on a wall" if kind is OnWallForm else "a point in a bay"
        faults.found += faults_of_form(error, kind, called, faults.spot.at(where))
        return nowhere
    name = form.wall if isinstance(form, OnWallForm) else form.of
    frame = frames.get(name)
    if frame is None:
        what = "wall" if isinstance(form, OnWallForm) else "row of joists"
        faults.at(where, f"there is no {what} {shown(name)!r} in the room; {nearest(name, list(frames), 'name one')}")
        return nowhere
    try:
        return list(frame.place(form))
    except ValueError as error:
        faults.at(where, str(error))
        return nowhere
