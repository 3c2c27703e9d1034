"""A way as it is written in a job: a start, a heading and moves, which give just that run again."""

from collections.abc import Iterator, Sequence
from typing import Any

from pipemodel.finding.values import Way
from pipemodel.geometry.vectors import Vec3, angle_deg, distance, dot, scale, sub, unit
from pipemodel.job.routing.directions import COMPASS, SAME_DEG

PLACES = 9
"""Figures are written to so many decimals, and no more of them than they have."""
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
