"""The part of the record that tells how a run is brought to its place; mm, and turns as quaternions w, x, y, z."""

from collections.abc import Sequence
from math import ceil

from pipemodel.geometry.vectors import Vec3
from pipemodel.results.plain import Record, fields_of, plain
from pipemodel.ways_in.moves_in_words import Step
from pipemodel.ways_in.values import Sprung, WayIn

CLOSE_MM = 10.0
"""Points of the axis of a sprung piece are given so close together."""


def way_in_record(way: WayIn, steps: Sequence[Step] = ()) -> Record:
    """Return whether a run can be brought in, and the poses it goes through, from wholly outside to its place.

    A point p of the finished run stands at rotation p + position; between two states position goes straight and the
    rotation turns evenly about one axis, the shorter way round. `steps` are its motions in words, each from one state
    to another.
    """
    sprung = {} if way.sprung is None else {"sprung": _sprung(way.sprung)}
    return {
        **fields_of(way, "run found impossible"),
        "why_not": plain(way.why_not) or "",
        **fields_of(way, "margin_mm least_mm opening tried past states"),
        "steps": [{"kind": step.kind, "from": step.first, "to": step.last, "text": str(step.said)} for step in steps],
        **sprung,
    }


def _sprung(sprung: Sprung) -> Record:
    """Return how a piece is sprung up to a state, and points of its axis then, as it would lie in its place."""
    return {**fields_of(sprung, "until strain ends"), "axis": [list(point) for point in axis_points(sprung)]}


def axis_points(sprung: Sprung) -> list[Vec3]:
    """Return points of the axis of a sprung piece, close together, as it would lie in its place."""
    line = sprung.line
    count = ceil(line.length / CLOSE_MM)
    return [line.point_at(line.length * i / count) for i in range(count + 1)]
