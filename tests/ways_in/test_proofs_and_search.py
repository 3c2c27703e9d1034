"""What the search finds a way for is never called impossible: random closed voids with a hatch, and runs in them."""

import numpy as np
import pytest
from wide import few_or_many

from pipemodel.bending.schedule import solve
from pipemodel.job.model import BringIn, JobError
from pipemodel.job.read import job_of_text
from pipemodel.ways_in.bring import bring
from pipemodel.ways_in.judge_room import Obstacle
from pipemodel.ways_in.order import block_of
from pipemodel.ways_in.proofs import proof_of

CASES, TRIES = few_or_many((16, 1_500), (24, 6_000))


def void(seed):
    """A closed box with a hatch in its south side, no farther wide than need be, and a run that lies clear in it."""
    rng = np.random.default_rng(seed)
    wide, deep, high = rng.uniform(300, 900), rng.uniform(60, 400), rng.uniform(300, 700)
    thick = rng.uniform(3, 60)
    hatch_wide, hatch_high = rng.uniform(60, wide), rng.uniform(60, high)
    left, low = rng.uniform(0, wide - hatch_wide), rng.uniform(0, high - hatch_high)
    right, top = left + hatch_wide, low + hatch_high
    boxes = [
        ([-50, deep, -50], [wide + 50, deep + 20, high + 50]),
        ([-50, -thick, -50], [0, deep, high + 50]),
        ([wide, -thick, -50], [wide + 50, deep, high + 50]),
        ([0, -thick, -50], [wide, deep, 0]),
        ([0, -thick, high], [wide, deep, high + 50]),
        ([0, -thick, 0], [left, 0, high]),
        ([right, -thick, 0], [wide, 0, high]),
        ([left, -thick, 0], [right, 0, low]),
        ([left, -thick, top], [right, 0, high]),
    ]
    room = "\n".join(
        f"  b{i}: {{box: {{from: {np.round(a, 3).tolist()}, to: {np.round(b, 3).tolist()}}}}}"
        for i, (a, b) in enumerate(boxes)
        if min(np.array(b) - a) > 0.01
    )
    y = rng.uniform(12, deep - 12)
    x = np.sort(rng.uniform(20, wide - 20, size=2))
    z = np.sort(rng.uniform(20, high - 20, size=2))
    points = [[x[0], y, z[0]], [x[1], y, z[0]], [x[1], y, z[1]]]
    if seed % 3 == 0:
        points = points[:2]
    corners = [[left, 0, low], [right, 0, low], [right, 0, top], [left, 0, top]]
    corners = [[round(c, 3) for c in (p[0], -thick / 2.0, p[2])] for p in corners]
    return (
        "job: void\ntube: 15\nformer: {radius: 55}\nopenings:\n"
        f"  hatch: {{corners: {corners}, outside: [0, -2000, 0]}}\n"
        f"room:\n{room}\nruns:\n  r: {{points: {[[round(float(c), 3) for c in p] for p in points]}}}\n"
    )


@pytest.mark.slow
def test_what_is_found_is_never_called_impossible() -> None:
    found, proved = 0, 0
    for seed in range(CASES):
        try:
            job = job_of_text(void(seed), "job.yaml")
            schedule = solve(job)
        except JobError:
            continue  # bends that run into each other
        run, opening = schedule.runs[0], job.openings[0]
        obstacles = [Obstacle(thing.name, thing.shape) for thing in job.things]
        asked = BringIn("hatch", 2.0, TRIES, 1)
        way = bring(run, asked, opening, obstacles, block_of(schedule), prove=False).way
        if way.impossible:
            continue  # too near to something in its very place
        no = proof_of(run.centreline, 15.0, 2.0, opening, [thing.shape for thing in job.things])
        found += way.found
        proved += no is not None
        assert not (way.found and no is not None), (seed, str(no))
    assert found >= 2
