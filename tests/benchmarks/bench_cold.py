"""Whole processes, from nothing to the answer: `schedule`, and `make` of STEP and STL beside the peer's script.

Run it with `python tests/benchmarks/bench_cold.py`; docs/benchmarks.md says what was found.
"""

import tempfile
from pathlib import Path

from measuring import cold_s, print_machine, print_table
from runs import write_job


def main() -> None:
    """Ours and the peer's in turn, so that a busy machine slows both."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        job = str(write_job(folder / "job.yaml", runs=1, bends=10))
        cold_s(["-m", "pipemodel", "schedule", job], 2)
        schedule, schedule_mb = cold_s(["-m", "pipemodel", "schedule", job], 9)
        make = ["-m", "pipemodel", "make", job, "--out", str(folder / "out"), "--only", "step,stl"]
        peer = [str(Path(__file__).with_name("peer_sweep.py")), str(folder), "10"]
        mine, theirs = [], []
        for _ in range(5):
            mine.append(cold_s(make, 1))
            theirs.append(cold_s(peer, 1))
    (ours, ours_mb), (peers, peers_mb) = min(mine), min(theirs)
    rows = [
        ["schedule", f"{schedule:.2f}", f"{schedule_mb:.0f}", "", "", ""],
        [
            "make --only step,stl",
            f"{ours:.2f}",
            f"{ours_mb:.0f}",
            f"{peers:.2f}",
            f"{peers_mb:.0f}",
            f"{ours / peers:.2f}",
        ],
    ]
    head = ["10 bends, cold", "ours, s", "MB", "script, s", "MB", "ours / script's"]
    print_table("A process from start to end, best of some, and its peak memory", head, rows)


if __name__ == "__main__":
    print_machine()
    main()
