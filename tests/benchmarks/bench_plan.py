"""The plan of pulls: by the former's limits alone, and clear of a bender described, for runs of several lengths.

Run it with `python tests/benchmarks/bench_plan.py`; docs/benchmarks.md says what was found.
"""

import sys
import time
from pathlib import Path

from measuring import print_machine, print_table

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from made_runs import random_run  # the runs of the tests, some possible and some not

from pipemodel.bending.plan import plan_pulls
from pipemodel.trade.benders import bender_named

CASES = ((6, 60), (12, 30), (40, 6))
"""(bends, runs)."""


def timed(bends: int, runs: int, bender: str | None) -> list[str]:
    """Plan each run once; the first plan of all pays for what has to be loaded and is left out."""
    described = bender_named(bender) if bender else None
    plan_pulls(random_run(10_000, 2, bender=described, hold_mm=30.0, guide_mm=10.0))
    took, possible, proven = [], 0, 0
    for seed in range(runs):
        run = random_run(seed, bends, bender=described, hold_mm=30.0, guide_mm=10.0)
        begin = time.perf_counter()
        plan = plan_pulls(run)
        took.append(time.perf_counter() - begin)
        possible += plan.possible
        proven += plan.proven
    mean, worst = sum(took) / runs, max(took)
    name = bender or "limits alone"
    return [name, str(bends), str(runs), str(possible), str(proven), f"{mean * 1e3:.1f}", f"{worst * 1e3:.0f}"]


def main() -> None:
    """Limits alone, then a bender in a vice at a bench, where much stands in the way."""
    rows = [timed(n, runs, None) for n, runs in CASES]
    rows += [timed(n, runs, "15 mm hand bender in a vice") for n, runs in CASES[:2]]
    head = ["planned for", "bends", "runs", "possible", "proven", "mean, ms", "worst, ms"]
    print_table("Plans of pulls of random runs", head, rows)


if __name__ == "__main__":
    print_machine()
    main()
