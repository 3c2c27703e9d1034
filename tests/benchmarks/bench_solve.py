"""Corners to bends: how many a second, and a job of a thousand runs from its file to its schedule.

Run it with `python tests/benchmarks/bench_solve.py`; docs/benchmarks.md says what was found.
"""

import tempfile
from pathlib import Path

from measuring import best_ms, cold_s, print_machine, print_table
from runs import OUTSIDE, RADIUS, WALL, staircase, write_job

from pipemodel.bending.schedule import solve
from pipemodel.job.model import Job, Route, Run
from pipemodel.trade.model import Former, Tube


def bends_a_second() -> None:
    """Bend table and centreline of every run, from corners in memory."""
    tube, former = Tube(OUTSIDE, WALL, "15 x 0.7"), Former(RADIUS)
    rows = []
    for runs, bends in ((1, 10), (1000, 10), (10, 1000)):
        route = Route(tuple(staircase(bends)))
        job = Job("job", tuple(Run(f"run {i}", tube, former, route) for i in range(runs)))
        took = best_ms(lambda job=job: solve(job))
        rows.append([f"{runs} x {bends}", f"{took:.2f}", f"{runs * bends / took * 1000:,.0f}"])
    print_table("Solving", ["runs x bends", "ms", "bends a second"], rows)


def a_thousand_runs() -> None:
    """The file read, every run solved and its pulls planned, the schedule printed as JSON; no solids."""
    with tempfile.TemporaryDirectory() as name:
        job = str(write_job(Path(name) / "job.yaml", runs=1000, bends=4))
        took, megabytes = cold_s(["-m", "pipemodel", "schedule", job, "--format", "json"], 3)
        read, read_mb = cold_s(["-c", f"import pipemodel; pipemodel.schedule(pipemodel.load({job!r}))"], 3)
    rows = [
        ["read and solved", f"{read:.2f}", f"{read_mb:.0f}"],
        ["schedule, pulls planned", f"{took:.2f}", f"{megabytes:.0f}"],
    ]
    print_table("1,000 runs of 4 bends in one job, cold", ["process", "s", "peak MB"], rows)


if __name__ == "__main__":
    print_machine()
    bends_a_second()
    a_thousand_runs()
