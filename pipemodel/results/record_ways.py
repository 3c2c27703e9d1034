"""The ways out of a run that no order of pulls gives, as plain data."""

from pipemodel.messages.values import as_data
from pipemodel.pulls.other_ways import WayOut
from pipemodel.results.plain import Record, fields_of


def way_record(way: WayOut) -> Record:
    """Return the record of one way out: what is changed from what to what, and the pulls that it then has."""
    unit = "deg" if way.kind == "angle" else "mm"
    return {
        **fields_of(way, "kind of"),
        "bends": [way.first_bend, way.last_bend],
        f"was_{unit}": way.was,
        f"to_{unit}": way.to,
        "finish_moves_mm": way.finish_moves_mm,
        "message": str(way.said),
        **as_data(way.said),
        "pulls": [fields_of(pull, "bend held") for pull in way.plan.pulls],
        "cut_length_mm": way.run.cut_length_mm,
    }
