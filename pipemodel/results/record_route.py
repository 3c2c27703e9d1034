"""The ways of runs that are found, as plain data; mm and degrees."""

from collections.abc import Sequence

from pipemodel.finding.answer import why_none
from pipemodel.finding.values import Way, Ways
from pipemodel.finding.written import cuts_of, moves_of
from pipemodel.job.model import Job
from pipemodel.results.plain import Record, fields_of, plain

FORMAT = "pipemodel.route/1"


def ways_record(job: Job, ways: Sequence[Ways]) -> Record:
    """Return the ways of a job's runs."""
    return {"format": FORMAT, "job": job.name, "runs": [_run(job, one) for one in ways]}


def _run(job: Job, ways: Ways) -> Record:
    return {
        "run": ways.run,
        "found": bool(ways.ways),
        "stopped": ways.stopped,
        "why_not": "" if ways.ways else str(why_none(ways)),
        "ways": [_way(job, way) for way in ways.ways],
        "nearest_miss": None if ways.missed is None else _way(job, ways.missed),
    }


def _way(job: Job, way: Way) -> Record:
    return {
        **fields_of(way, "corners bends"),
        "angles_deg": [bend.angle_deg for bend in way.solved.table.bends],
        "cut_length_mm": way.length_mm,
        "near": plain(way.near),
        "too_near_to": list(way.too_near),
        "rules_broken": way.rules_broken,
        "can_be_pulled": way.plan.possible,
        **fields_of(way, "gets_in out_of_reach clips unsupported joints chance along_faces_mm beside_mm"),
        "moves": moves_of(way),
        "cuts": cuts_of([way], job.things),
    }
