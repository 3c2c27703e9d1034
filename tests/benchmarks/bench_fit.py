"""Pieces as imperfect hands bend them: 100,000 of them simulated, beside the same bent one by one by another program.

And what the chance of fitting adds to a check, in the processor's time. Run it with `python
tests/benchmarks/bench_fit.py`; docs/benchmarks.md says what was found.
"""

import sys
import time
from pathlib import Path

from measuring import print_machine, print_table

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

import hands_simulator
from made_runs import made_run

from pipemodel.accuracy.fit import fit_of, pieces_for, run_errors
from pipemodel.accuracy.simulate import simulate
from pipemodel.bending.schedule import Schedule
from pipemodel.job.model import Hands, Job
from pipemodel.results.results import Results

PIECES, BY_THE_OTHER = 100_000, 2_000
TRIES = 3
HANDS = Hands()


def best(what):
    """The best of some tries, seconds, and what came of it."""
    took = []
    for _ in range(TRIES):
        begin = time.process_time()
        made = what()
        took.append(time.process_time() - begin)
    return min(took), made


def main() -> None:
    print_machine()
    rows = []
    for bends in (2, 4, 8, 12):
        angles = [(90.0, 45.0, 60.0, 30.0)[i % 4] for i in range(bends)]
        turns = [(90.0, -37.0, 180.0, 0.0)[i % 4] for i in range(bends - 1)]
        solved = made_run([300.0] * (bends + 1), angles, turns)
        errors = run_errors(solved, HANDS)
        ours, pieces = best(lambda s=solved, e=errors: simulate(s.table, e, PIECES))
        few = simulate(solved.table, errors, pieces_for(1))
        whole, _ = best(lambda s=solved, e=errors, p=few: fit_of(s, HANDS, e, p))
        record = Results(Schedule(Job("job", (solved.run,)), (solved,))).schedule_record["runs"][0]
        other, _ = best(lambda r=record: hands_simulator.many(r, HANDS, BY_THE_OTHER, 1))
        rows.append(
            [str(bends), f"{ours:.2f}", f"{other * PIECES / BY_THE_OTHER:.0f}", f"{whole:.2f}", str(pieces.count)]
        )
    print_table(
        "pieces bent by hands",
        ["bends", "100,000 pieces, s", "one by one, s (from 2,000)", "judged, with the best check, s", "pieces"],
        rows,
    )


if __name__ == "__main__":
    main()
