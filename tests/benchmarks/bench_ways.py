"""Finding ways: through the example's void, and through rooms of 2,000 elements.

Run it with `python tests/benchmarks/bench_ways.py`; docs/benchmarks.md says what was found. Processor time, since other
work on the machine does not change that.
"""

import sys
import tempfile
import time
from pathlib import Path

import numpy as np
from measuring import ROOT, print_machine, print_table

sys.path.insert(0, str(ROOT / "tests"))

from finding.rooms import job_of
from finding.tube_of_balls import nearest_to_boxes

from pipemodel import story
from pipemodel.finding.ways import Finder

START, FINISH = np.array([100.0, 100.0, 100.0]), np.array([9000.0, 7000.0, 2000.0])


def room_of(seed, count):
    """Boxes of 40 to 300 a side strewn through 10 m by 8 m by 2.7 m, none at the ends."""
    rng = np.random.default_rng(seed)
    low = rng.uniform(0.0, 1.0, (count, 3)) * np.array([10_000.0, 8_000.0, 2_700.0])
    high = low + rng.uniform(40.0, 300.0, low.shape)
    free = np.ones(count, dtype=bool)
    for end in (START, FINISH):
        free &= ~np.all((low - 400.0 < end) & (high + 400.0 > end), axis=1)
    return [(tuple(map(float, a)), tuple(map(float, b))) for a, b in zip(low[free], high[free], strict=True)]


def timed(job, ways):
    begin = time.process_time()
    found = [Finder(job, run, ()).ways(ways) for run in job.runs if run.route.find is not None]
    return time.process_time() - begin, found


def main():
    print_machine()
    rows = []
    for name in ("hot-and-cold-to-the-bath",):
        job = story.read(ROOT / "examples" / f"{name}.yaml")
        for ways in (1, 3):
            took, found = timed(job, ways)
            rows.append((f"examples/{name}.yaml, {ways} of each run", f"{took:.1f} s", str([len(w) for w in found])))
    with tempfile.TemporaryDirectory() as folder:
        for seed in range(1, 4):
            boxes = room_of(seed, 2_000)
            find = {"from": START.tolist(), "heading": "east", "to": FINISH.tolist(), "arriving": "up"}
            job = story.read(job_of(Path(folder), boxes, find, stock={"length": 50_000}))
            for ways in (1, 3):
                took, [found] = timed(job, ways)
                spare = min(nearest_to_boxes(way.corners, 55.0, boxes) - 17.5 for way in found)
                said = f"{[way.bends for way in found]} bends, {spare:.2f} to spare"
                rows.append((f"{len(boxes)} boxes, room {seed}, {ways}", f"{took:.1f} s", said))
    print_table("Finding ways", ("what", "processor time", "found"), rows)


if __name__ == "__main__":
    main()
