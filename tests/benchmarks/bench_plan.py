"""The plan of pulls: by the former's limits alone, clear of the tube itself, and clear of a bender described.

What it costs to prove that the tube clears itself is shown beside the same plans made without that proof, in the
processor's time and the best of some tries, so that other work on the machine matters little.

Run it with `python tests/benchmarks/bench_plan.py`; docs/benchmarks.md says what was found.
"""

import sys
import time
from pathlib import Path

from measuring import print_machine, print_table
from pulled_runs import comb, compact, everyday

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from made_runs import random_run  # the runs of the tests, some possible and some not

from pipemodel.bending.schedule import SolvedRun
from pipemodel.job.build_bender import bender_named
from pipemodel.pulls import plan
from pipemodel.pulls.plan import plan_pulls

ITSELF = (
    ("along walls, sets, passovers", everyday, ((3, 60), (4, 60), (6, 60), (8, 60), (12, 30))),
    ("compact", compact, ((4, 40), (6, 20), (8, 12))),
    ("comb", lambda _, bends: comb(bends), ((12, 1), (40, 1), (120, 1))),
)
"""(kind, how such a run is made from a seed and a number of bends, (bends, runs) of each)."""
TRIES = 3
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
    name = bender or "no bender"
    return [name, str(bends), str(runs), str(possible), str(proven), f"{mean * 1e3:.1f}", f"{worst * 1e3:.0f}"]


class NothingInTheWay:
    """Stands where the planner asks what the piece clears: nothing is looked at."""

    allowed = None

    def __init__(self, *_: object) -> None: ...


def cpu_ms(run: SolvedRun, clearance: type) -> float:
    """Plan a run by what a kind of clearance says; the best processor time of some tries."""
    took, real = [], plan.Clearance
    plan.Clearance = clearance
    for _ in range(TRIES):
        plan._planned.cache_clear()
        begin = time.process_time()
        plan_pulls(run)
        took.append(time.process_time() - begin)
    plan.Clearance = real
    plan._planned.cache_clear()
    return 1e3 * min(took)


def beside_no_proof(kind: str, bends: int, runs: list[SolvedRun]) -> list[str]:
    """Plan runs with and without the proof that they clear themselves."""
    without = sum(cpu_ms(run, NothingInTheWay) for run in runs) / len(runs)
    took = [cpu_ms(run, plan.Clearance) for run in runs]
    mean, possible = sum(took) / len(took), sum(plan_pulls(run).possible for run in runs)
    figures = f"{without:.2f}", f"{mean:.2f}", f"{mean / without:.1f}", f"{max(took):.1f}"
    return [kind, str(bends), str(len(runs)), str(possible), *figures]


def itself() -> None:
    """The tube against itself: what is bent every day, what comes near itself, and what is long."""
    rows = [
        beside_no_proof(kind, bends, [make(seed, bends) for seed in range(runs)])
        for kind, make, cases in ITSELF
        for bends, runs in cases
    ]
    head = ["runs", "bends", "number", "possible", "unproven, ms", "proven, ms", "times", "worst, ms"]
    print_table("Plans proven clear of the tube itself, processor time", head, rows)


def main() -> None:
    """No bender, then a bender in a vice at a bench, where much stands in the way."""
    rows = [timed(n, runs, None) for n, runs in CASES]
    rows += [timed(n, runs, "15 mm hand bender in a vice") for n, runs in CASES[:2]]
    head = ["planned for", "bends", "runs", "possible", "proven", "mean, ms", "worst, ms"]
    print_table("Plans of pulls of random runs", head, rows)


if __name__ == "__main__":
    print_machine()
    itself()
    main()
