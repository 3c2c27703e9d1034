"""A checking jig, all formats: the README's runs, a shorter run of four bends, one of eight; time and memory.

Run it with `python tests/benchmarks/bench_jig.py`; docs/benchmarks.md says what was found. "Warm" is a second jig in
a process that has made one before, so that every library is loaded; each run has a process of its own. Where other
work shares the machine, the processor's time says more than the clock's.
"""

import resource
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from measuring import print_machine, print_table

README = [(0, 0, 0), (600, 0, 0), (600, 400, 0), (600, 400, 350)]
CUPBOARD = [(0, 120, 450), (0, 120, -95), (420, 120, -95), (540, 240, -95), (1861, 240, -95), (1861, 240, 300)]
FOUR = [(0, 0, 0), (300, 0, 0), (400, 100, 0), (700, 100, 0), (700, 100, 250), (700, 350, 300)]
EIGHT = [
    (0, 0, 0),
    (250, 0, 0),
    (330, 80, 0),
    (600, 80, 0),
    (600, 280, 0),
    (600, 280, 160),
    (600, 480, 160),
    (760, 560, 160),
    (960, 560, 160),
    (960, 760, 220),
]
RUNS = {"README's run, 2 bends": README, "airing cupboard, 4 bends": CUPBOARD, "4 bends": FOUR, "8 bends": EIGHT}


def one(corners):
    """Make a jig twice and print its parts, the seconds it took, and the peak in MB."""
    from pipemodel.bending.schedule import solve_run
    from pipemodel.documents.jig.files import write_jig
    from pipemodel.jigs.design import design
    from pipemodel.job.jig import JigSettings
    from pipemodel.job.model import Route, Run
    from pipemodel.trade.model import Former, Tube

    points = tuple(tuple(float(v) for v in c) for c in corners)
    solved = solve_run(Run("return", Tube(15.0, 0.7, "15 x 0.7"), Former(55.0), Route(points)))
    times = []
    with tempfile.TemporaryDirectory() as folder:
        for _ in range(2):
            begin, busy = time.perf_counter(), time.process_time()
            jig = design(solved, JigSettings())
            middle = time.perf_counter()
            write_jig(jig, "return", Path(folder))
            end = time.perf_counter()
            times.append((end - begin, middle - begin, end - middle, time.process_time() - busy))
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024.0
    print(len(jig.parts), *(f"{t:.2f}" for t in (*times[0], *times[1])), f"{peak:.0f}")


def main():
    """Print the table."""
    print_machine()
    rows = []
    for name in RUNS:
        done = subprocess.run([sys.executable, __file__, name], capture_output=True, text=True, check=True)
        parts, *times, peak = done.stdout.split()
        first, _, _, _, warm, design, files, busy = times
        rows.append((name, parts, first, warm, design, files, busy, peak))
    head = ("jig of", "parts", "first s", "warm s", "design s", "files s", "processor s", "peak MB")
    print_table("A jig, all formats", head, rows)


if __name__ == "__main__":
    if len(sys.argv) > 1:
        one(RUNS[sys.argv[1]])
    else:
        main()
