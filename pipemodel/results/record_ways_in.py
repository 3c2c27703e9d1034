"""The part of the record that tells how a run is brought to its place; mm, and turns as quaternions w, x, y, z."""

from collections.abc import Sequence
from math import ceil

from pipemodel.results.record_ends import Record
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
        "run": way.run,
        "found": way.found,
        "impossible": way.impossible,
        "why_not": "" if way.why_not is None else str(way.why_not),
        "margin_mm": way.margin_mm,
        "least_mm": way.least_mm,
        "opening": way.opening,
        "tried": way.tried,
        "past": list(way.past),
        "states": [{"position": list(state.position), "rotation": list(state.rotation)} for state in way.states],
        "steps": [{"kind": step.kind, "from": step.first, "to": step.last, "text": str(step.said)} for step in steps],
        **sprung,
    }


def _sprung(sprung: Sprung) -> Record:
    """Return how a piece is sprung up to a state, and points of its axis then, as it would lie in its place."""
    line = sprung.line
    count = ceil(line.length / CLOSE_MM)
    return {
        "until": sprung.until,
        "strain": sprung.strain,
        "ends": [{"end": one.end, "by_mm": one.by_mm, "bend": one.bend, "push_n": one.push_n} for one in sprung.ends],
        "axis": [list(line.point_at(line.length * i / count)) for i in range(count + 1)],
    }
