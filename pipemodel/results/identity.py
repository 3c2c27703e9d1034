"""Which job a paper belongs to: a short name that changes with anything the hands do."""

import hashlib
import json

from pipemodel.bending.schedule import Schedule
from pipemodel.wording.safe_text import shown

LONGEST_NAME = 40


def identity(schedule: Schedule) -> str:
    """Return a short name for exactly this job as solved: its own name and a digest of all that the hands do."""
    digest = hashlib.sha256()
    for solved in schedule.runs:
        # Former and bender decide the order of pulls, and how far each goes.
        tools = [*map(repr, solved.own_formers or (solved.former,)), repr(solved.run.bender), solved.run.stance]
        stated = [solved.name, solved.table.start, solved.table.bends, solved.cut_length_mm, *tools]
        digest.update(json.dumps(stated).encode())
    return f"{shown(schedule.job.name, LONGEST_NAME)} {digest.hexdigest()[:8]}"
