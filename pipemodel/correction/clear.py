"""Whether a corrected run comes too near to something that it kept clear of as drawn."""

from dataclasses import replace

from pipemodel.bending.schedule import Schedule, SolvedRun
from pipemodel.messages.values import Message


def newly_too_near(
    schedule: Schedule, drawn: SolvedRun, changed: SolvedRun
) -> tuple[tuple[Message, ...], tuple[Message, ...]]:
    """Return what a changed run is now nearer to than is asked for, and what it touches now; both as sentences."""
    if not schedule.job.things and len(schedule.runs) == 1:
        return (), ()
    from pipemodel.checks.clash import clash  # loads numpy

    runs = tuple(changed if run.name == drawn.name else run for run in schedule.runs)
    before = {(f.code, f.run, f.against) for f in clash(schedule, moves=False)[0]}
    new = [f for f in clash(replace(schedule, runs=runs))[0] if f.severity == "error"]
    new = [f for f in new if (f.code, f.run, f.against) not in before and drawn.name in (f.run, f.against)]
    touches = [f for f in new if f.distance_mm is not None and f.distance_mm < 0.0]
    return tuple(f.said for f in new if f not in touches), tuple(f.said for f in touches)
