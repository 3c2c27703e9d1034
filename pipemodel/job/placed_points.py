"""Points said in words, and bays as voids, become figures before the forms are filled, as measured points do."""

from collections.abc import Callable, Iterator, Sequence
from typing import Any

from pydantic import ValidationError

from pipemodel.geometry.vectors import ORIGIN, Vec3
from pipemodel.job.building.place_forms import BayForm, InBayForm, OnWallForm, TermFrame, said_in_words
from pipemodel.job.expressions import none_called
from pipemodel.job.faults import Faults
from pipemodel.job.measured import POINT_KEYS
from pipemodel.job.messages import faults_of_form
from pipemodel.job.model import Fault, said_of
from pipemodel.job.room_file_forms import FILE_KEY, RoomForm
from pipemodel.job.yaml_tree import YamlPath, YamlSpot
from pipemodel.messages.values import message

_TERMS = ("wall", "joists")
_CALLED = {
    OnWallForm: message("fault.point on wall"),
    InBayForm: message("fault.point in bay"),
    BayForm: message("fault.void of bay"),
}
VOID_KEYS = ("void", "within")
"""The keys under which a void may be said as a bay."""


def put_placed(
    values: dict[str, Any], spot: YamlSpot, frames_of: Callable[[RoomForm], dict[str, TermFrame]]
) -> tuple[list[Fault], list[YamlPath]]:
    """Put [x, y, z] in place of every point said in words in a job's or a room file's values, corners in that of a bay.

    Args:
        values: the values, their expressions worked out; changed in place.
        spot: where they stand.
        frames_of: returns the walls and joists of a room and of the room files that it names.

    Returns:
        What is wrong with these points, and where those stand that are not found: at the origin, for want of a place.
    """
    found = list(_points(values, ()))
    if not found:
        return [], []
    room = values.get("room")
    frames = _frames(room, frames_of)
    report, unfound = Faults(spot), list[YamlPath]()
    for holder, key, where in found:
        value, void = holder[key], key in VOID_KEYS
        bay = {name: value.pop(name) for name in list(value) if name in BayForm.model_fields} if void else value
        kind = BayForm if void else _kind(value)
        places = _placed(bay, kind, where, frames, room if isinstance(room, dict) else {}, report)
        if void:
            value |= _bay_as(places or (ORIGIN, ORIGIN))
        else:
            holder[key] = list(places[0] if places else ORIGIN)
        if places is None:
            unfound.append(where)
    return report.found, unfound


def _bay_as(corners: Sequence[Vec3]) -> dict[str, Any]:
    """Return a bay as the void of a job: between two corners, or an outline where it is turned out of the axes."""
    if len(corners) == 2:
        return {"from": list(corners[0]), "to": list(corners[1])}
    *plan, high = corners
    bottom, top = sorted((plan[0][2], high[2]))
    return {"outline": [list(corner[:2]) for corner in plan], "bottom": bottom, "top": top}


def _points(node: Any, path: YamlPath) -> Iterator[tuple[Any, Any, YamlPath]]:
    """Yield the group or list that holds each point or bay said in words, its key there, and where it stands."""
    under = path[-1] if path else ""
    for key, value in list(node.items()) if isinstance(node, dict) else list(enumerate(node)):
        may_be = key in POINT_KEYS if isinstance(node, dict) else under == "points"
        if (may_be and said_in_words(value)) or (key in VOID_KEYS and _is_bay(value)):
            yield node, key, (*path, key)
        elif isinstance(value, dict | list):
            yield from _points(value, (*path, key))


def _kind(value: dict[str, Any]) -> type[OnWallForm | InBayForm]:
    return InBayForm if "wall" not in value and {"bay", "of", "down"} & set(value) else OnWallForm


def _is_bay(value: Any) -> bool:
    return isinstance(value, dict) and "bay" in value and not {"from", "to", "outline"} & set(value)


def _frames(room: Any, frames_of: Callable[[RoomForm], dict[str, TermFrame]]) -> dict[str, TermFrame]:
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


def _placed(
    value: dict[str, Any],
    kind: type[OnWallForm | InBayForm | BayForm],
    where: YamlPath,
    frames: dict[str, TermFrame],
    room: dict[str, Any],
    faults: Faults,
) -> tuple[Vec3, ...] | None:
    try:
        form = kind.model_validate(value)
    except ValidationError as error:
        faults.found += faults_of_form(error, kind, _CALLED[kind], faults.spot.at(where))
        return None
    name = form.wall if isinstance(form, OnWallForm) else form.of
    frame = frames.get(name)
    if frame is None:
        term = "wall" if isinstance(form, OnWallForm) else "joists"
        named = room.get(name)
        if isinstance(named, dict) and term in named:
            return None  # it is there and at fault itself, which is named at its own place
        faults.at(where, none_called(term, name, frames))
        return None
    try:
        return frame.place(form)
    except ValueError as error:
        faults.at(where, said_of(error))
        return None
