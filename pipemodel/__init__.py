"""Hand-bent tube, worked out before the first pull.

    >>> import pipemodel
    >>> job = pipemodel.load("job.yaml")
    >>> schedule = pipemodel.schedule(job)             # bends, turns, marks, cut lengths
    >>> schedule.runs[0].bends[0].mark_mm
    545.0
    >>> [plan] = pipemodel.plans(schedule)             # the order of pulls, one plan per run
    >>> plan.possible, len(plan.pulls)
    (True, 2)
    >>> pipemodel.check(job).verdict                   # findings and least distances
    'pass'
    >>> pipemodel.cut(job).cuts[0].stock.used_mm       # the pieces to cut, and from which stock
    3000.0

    pipemodel.make(job, "out")    # everything, in a folder
    pipemodel.jig(job, "jigs")     # checking jigs to print
    pipemodel.measured(job, "flow", "readings.yaml")      # what was bent, and what to do, by checks read
    pipemodel.calibrate("pieces.yaml")      # a former's own figures from test pieces
    pipemodel.learn(job, "return", "readings.yaml", "history.yaml")     # keep what a finished piece came out as
    pipemodel.learned("history.yaml")       # what all of them say
    pipemodel.assembly(job)       # room and runs as a CadQuery assembly, to model on

What is wrong with a file is raised as a `pipemodel.JobError`. Runs, things of the room and schedules are also had as
objects of other libraries: `schedule.runs[0].cadquery()`, `.trimesh()`, `.pyvista()`. docs/python.md shows each.

They live in `pipemodel.story` and `pipemodel.bench`, and are loaded when first used.
"""

# Nothing is imported here, not even `typing`: `python -m pipemodel` begins with this, and only then can it see to it
# that no file of the current folder is taken for a library.
TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

    from pipemodel.bench import calibrate as calibrate
    from pipemodel.bench import jig as jig
    from pipemodel.bench import learn as learn
    from pipemodel.bench import learned as learned
    from pipemodel.bench import measured as measured
    from pipemodel.job.model import JobError as JobError
    from pipemodel.story import assembly as assembly
    from pipemodel.story import check as check
    from pipemodel.story import cut as cut
    from pipemodel.story import load as load
    from pipemodel.story import make as make
    from pipemodel.story import plans as plans
    from pipemodel.story import schedule as schedule

__all__ = [
    "JobError",
    "assembly",
    "calibrate",
    "check",
    "cut",
    "jig",
    "learn",
    "learned",
    "load",
    "make",
    "measured",
    "plans",
    "schedule",
]


def __getattr__(name: str) -> "Any":
    if name in __all__:
        from pipemodel import bench, story

        return getattr(story if hasattr(story, name) else bench, name)
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
