"""A way as it is written in a job: a start, a heading and moves, which give just that run again.

So are the new holes and notches that it needs, each under the thing of the room that it is cut in.
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Any

import numpy as np

from pipemodel.checks.joist_crossings import joist_of
from pipemodel.finding.values import Way
from pipemodel.geometry.arrays import vec3
from pipemodel.geometry.shapes.plate import Plate
from pipemodel.geometry.vectors import UP, Vec3, add, along, angle_deg, distance, dot, scale, sub, unit
from pipemodel.job.building.rows import JoistsForm
from pipemodel.job.find import NewCut
from pipemodel.job.model import Thing
from pipemodel.job.routing.directions import COMPASS, SAME_DEG

PLACES = 9
"""Figures are written to so many decimals, and no more of them than they have."""
CUT_PLACES = 6
"""So much is right of where a cut comes to lie in a room file that is turned."""
Written = dict[str, Any]


def moves_of(way: Way) -> Written:
    """Return a way as keys and values of a run: `start`, `heading` and `route`."""
    route = way.solved.run.route
    assert route.find is not None, "asked of ways that were found only"
    # As dimensioned: into their fittings its ends go when the job is read.
    corners = [route.find.start, *route.corners[1:-1], route.find.finish]
    headed = _named(route.find.heading)
    return {
        "start": _point(corners[0]),
        "heading": headed or _point(route.find.heading),
        "route": list(_moves(corners, route.find.heading)),
    }


def _moves(corners: Sequence[Vec3], heading: Vec3) -> Iterator[Written]:
    i, ahead = 1, heading
    while i < len(corners):
        way = unit(sub(corners[i], corners[i - 1]))
        if i + 1 < len(corners) and (made := _set(corners, i, ahead)) is not None:
            yield made
            i += 1
            continue
        long = _figure(distance(corners[i - 1], corners[i]))
        name = _named(way)
        if angle_deg(way, ahead) < SAME_DEG:
            yield {"go": long}
        elif name is not None:
            yield {name: long}
        else:
            yield {"corner": _point(corners[i])}
        ahead = way
        i += 1


def _set(corners: Sequence[Vec3], i: int, ahead: Vec3) -> Written | None:
    """Return the leg to corner i as a set, where the leg after it goes the way the one before it did."""
    if i < 2 or _named(ahead) is None:
        return None
    across, after = sub(corners[i], corners[i - 1]), unit(sub(corners[i + 1], corners[i]))
    angle = angle_deg(unit(across), ahead)
    if angle_deg(after, ahead) >= SAME_DEG or not 1.0 < angle < 89.0:
        return None
    aside = sub(across, scale(ahead, dot(across, ahead)))
    sides = {name: dot(aside, COMPASS[name]) for name in ("north", "south", "east", "west", "up", "down")}
    to = {name: _figure(mm) for name, mm in sides.items() if mm > 1e-9}
    if len(to) == 1:
        [(name, mm)] = to.items()
        return {"set": {"to": name, "offset": mm, "angle": _figure(angle)}}
    return {"set": {"to": to, "angle": _figure(angle)}}


def _named(way: Vec3) -> str | None:
    """Return the word for a direction along an axis, None for any other."""
    names = ("north", "south", "east", "west", "up", "down")
    return next((name for name in names if angle_deg(COMPASS[name], way) < SAME_DEG), None)


def _figure(value: float) -> float | int:
    rounded = round(value, PLACES) + 0.0
    return int(rounded) if rounded == int(rounded) else rounded


def _point(at: Vec3) -> list[float | int]:
    return [_figure(c) for c in at]


def cuts_of(ways: Sequence[Way], things: Sequence[Thing]) -> Written:
    """Return the new holes and notches of ways as keys and values of the room; empty where they need none.

    Those in a thing of a room file are as they are written there.
    """
    room: Written = {}
    by_name = {thing.name: thing for thing in things}
    for cut in (cut for way in ways for cut in way.cuts):
        thing = by_name[cut.thing]
        for placing in reversed(thing.moved or ()):
            cut = cut._replace(at=vec3(np.round(placing.before(cut.at), CUT_PLACES)))
        form = thing.frame.term if thing.frame is not None and isinstance(thing.frame.term, JoistsForm) else None
        if form is None:
            room.setdefault(thing.name, {}).setdefault("holes", []).append(
                _hole_of(replace(thing, shape=thing.own or thing.shape), cut)
            )
            continue
        key, entry = _entry_of(form, cut)
        entries = room.setdefault(thing.of, {}).setdefault("joists", {}).setdefault(key, [])
        number = int(thing.name.rpartition(" ")[2])
        alike = next((one for one in entries if {**one, "of": None} == {**entry, "of": None}), None)
        if alike is None:
            entries.append(alike := {**entry, "of": []})
        alike["of"].append(number)
    return room


def _entry_of(form: JoistsForm, cut: NewCut) -> tuple[str, Written]:
    """Return a cut in a row of joists: the key it stands under, and its entry."""
    to = sub(cut.at, (form.first[0], form.first[1], form.top))
    at = dot(to, COMPASS[form.along])
    if cut.kind == "hole":
        return "holes", {"at": _figure(at), "down": _figure(-to[2]), "diameter": _figure(cut.wide_mm)}
    near = _figure(at - cut.wide_mm / 2.0)
    return "notches", {"at": near, "width": _figure(cut.wide_mm), "depth": _figure(cut.deep_mm)}


def _hole_of(thing: Thing, cut: NewCut) -> Written:
    """Return a cut in a thing of its own: a round hole, or an opening that reaches its top."""
    joist = joist_of(thing)
    assert joist is not None, "asked of joists only"
    box = not isinstance(thing.shape, Plate)
    through = {"through": "east" if abs(joist.through[0]) > abs(joist.through[1]) else "north"} if box else {}
    if cut.kind == "hole":
        return {"at": _point(cut.at), "diameter": _figure(cut.wide_mm), **through}
    across = scale(joist.along, cut.wide_mm / 2.0)
    low, high = (along(add(cut.at, scale(across, k)), UP, k * cut.deep_mm / 2.0) for k in (-1.0, 1.0))
    return {"from": _point(low), "to": _point(high), **through}


def as_yaml(run: str, ways: Sequence[Way], about: Sequence[str]) -> str:
    """Return the ways of a run to be pasted under `runs:`: the first as it stands, the others commented out.

    Args:
        run: the name of the run.
        ways: its ways.
        about: a line about each of them.
    """
    lines: list[str] = []
    for number, (way, said) in enumerate(zip(ways, about, strict=True)):
        written = moves_of(way)
        own = [f"  {_text(run)}:", f"    start: {_flow(written['start'])}", f"    heading: {_flow(written['heading'])}"]
        own.append("    route:")
        own += [f"      - {key}: {_flow(value)}" for move in written["route"] for key, value in move.items()]
        lines += [f"  # {said}", *(own if number == 0 else (f"#{line}" for line in own))]
    return "\n".join(lines) + "\n"


def room_yaml(room: Written, things: Sequence[Thing]) -> str:
    """Return new holes and notches to be pasted under the things of the room, those in room files commented out.

    Args:
        room: what `cuts_of` gives.
        things: of the job.
    """
    files = {name: thing.place.file for thing in things for name in (thing.of, thing.name)}
    lines: list[str] = []
    for file in sorted({files[name] for name in room}):
        own = ["room:", *_nested({name: one for name, one in room.items() if files[name] == file}, "  ")]
        lines += [f"# {line}" for line in (f"{file}:", *own)] if file else own
    return "\n".join([*lines, ""])


def _nested(value: Written, inset: str) -> Iterator[str]:
    for key, one in value.items():
        yield f"{inset}{_text(key)}:"
        if isinstance(one, dict):
            yield from _nested(one, inset + "  ")
        else:
            yield from (f"{inset}  - {_flow(entry)}" for entry in one)


def _text(name: str) -> str:
    import yaml

    dumped: str = yaml.safe_dump(name, width=1000, allow_unicode=True)
    return dumped.splitlines()[0]


def _flow(value: Any) -> str:
    if isinstance(value, dict):
        return "{" + ", ".join(f"{key}: {_flow(one)}" for key, one in value.items()) + "}"
    if isinstance(value, list):
        return "[" + ", ".join(map(_flow, value)) + "]"
    return repr(value) if isinstance(value, float) else str(value)
