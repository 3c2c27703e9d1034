"""Bringing pieces in: how many placements are judged in a second, and how long ways into random cupboards take.

All in the processor's time. Run it with `python tests/benchmarks/bench_ways_in.py [VOIDS]`; docs/benchmarks.md says
what was found. A random void is known to be solvable: its piece was threaded in through the hatch with three times the
margin, and wandered about inside from there.
"""

import sys
import time
from dataclasses import replace
from pathlib import Path

import numpy as np
from measuring import print_machine, print_table

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from rooms_with_openings import cupboard, job_text

from pipemodel.bending.schedule import solve
from pipemodel.checks.ways_in import ways_of
from pipemodel.geometry.centreline import Centreline
from pipemodel.geometry.shapes.box import Box
from pipemodel.geometry.shapes.cylinder import Cylinder
from pipemodel.job.model import Job, Opening
from pipemodel.job.read import job_of_text
from pipemodel.ways_in.gate import Through
from pipemodel.ways_in.judge import Judge
from pipemodel.ways_in.judge_kernel import REST, clear_by
from pipemodel.ways_in.judge_room import Obstacle
from pipemodel.ways_in.turning import held, random_turn

FIVE = [[0, 0, 0], [400, 0, 0], [400, 300, 0], [400, 300, 250], [650, 300, 400], [650, 520, 400], [800, 520, 200]]


def five_bends() -> Centreline:
    boxes, opening = cupboard(900, 900, 900, (100, 100, 400, 400))
    return solve(job_of_text(job_text(boxes, opening, {"r": FIVE}), Path("bench.yaml"))).runs[0].centreline


def judged() -> list[list[str]]:
    rng = np.random.default_rng(0)
    things = []
    for i in range(50):
        low = rng.uniform(-600, 1200, 3)
        if i % 2:
            far = low + rng.normal(size=3) * 200
            things.append(Cylinder(tuple(low.tolist()), tuple(far.tolist()), float(rng.uniform(10, 120))))
        else:
            things.append(Box(tuple(low.tolist()), tuple((low + rng.uniform(20, 300, 3)).tolist())))
    begin = time.process_time()
    judge = Judge(five_bends(), 15.0, [Obstacle(str(i), thing) for i, thing in enumerate(things)], 2.0)
    judge.clear(judge.home[None])
    first = time.process_time() - begin
    poses = np.array([held(rng.uniform(-500, 1200, 3), random_turn(rng)) for _ in range(20_000)])
    begin = time.process_time()
    clear = judge.clear(poses)
    rate = len(poses) / (time.process_time() - begin)
    some = poses[clear][:5000]
    begin = time.process_time()
    for pose in some:
        clear_by(judge.room, judge.piece, judge.work, pose, 2.0, 1e6, 1.0, 0.001, REST)
    exact = len(some) / (time.process_time() - begin)
    return [
        ["ready to judge, s", f"{first:.1f}"],
        ["placements judged in a second, clear or not", f"{rate:,.0f}"],
        ["of these clear", f"{100 * clear.mean():.0f} %"],
        ["distances to 0.001 mm in a second", f"{exact:,.0f}"],
    ]


def random_void(seed: int) -> Job | None:
    """A cupboard with a hatch and a piece of 1 to 4 bends, put where a random walk from outside came to rest in it."""
    rng = np.random.default_rng(seed)
    wide, deep, tall = (float(x) for x in rng.uniform([450, 400, 500], [900, 700, 1100]))
    w, h = (float(x) for x in rng.uniform(150, 350, 2))
    hatch = (float(rng.uniform(30, wide - w - 30)), float(rng.uniform(30, tall - h - 30)), w, h)
    boxes, opening = cupboard(wide, deep, tall, hatch)
    points = [np.zeros(3)]
    way = np.array([1.0, 0.0, 0.0])
    for _ in range(int(rng.integers(2, 6))):
        points.append(points[-1] + float(rng.uniform(130, 330)) * way)
        square = np.eye(3)[[k for k in range(3) if abs(way[k]) < 0.5]][rng.integers(2)]
        way = square * rng.choice([-1.0, 1.0])
    runs = {"r": [[round(float(x), 3) for x in p] for p in points]}
    job = job_of_text(job_text(boxes, opening, runs, margin=2.0), Path("bench.yaml"))
    line = solve(job).runs[0].centreline
    judge = Judge(line, 15.0, [Obstacle(str(i), Box(*map(tuple, box))) for i, box in enumerate(boxes)], 6.0)
    gate = Through(judge, Opening("hatch", tuple(map(tuple, opening[0])), tuple(opening[1])))
    inside = []
    for row in gate.seeds(rng):
        clear = judge.clear(row)
        last = 0
        while last + 1 < len(row) and clear[last] and judge.advance(row[last], row[last + 1]).share >= 1.0:
            last += 1
        if clear[0] and last == len(row) - 1:
            inside += [row[0], row[-1]]
    for pose in inside:
        if gate.outness(pose) > -0.5 * deep:
            continue
        for _ in range(300):
            target = held(pose[:3] + rng.normal(size=3) * 150, random_turn(rng))
            came = judge.advance(pose, target)
            if came.share >= 1.0:
                pose = target
        return placed(job, judge, pose, boxes, opening)
    return None


def placed(job: Job, judge: Judge, pose: np.ndarray, boxes: list, opening: tuple) -> Job:
    from pipemodel.ways_in.turning import matrix

    corners = np.array(job.runs[0].route.corners)
    moved = (corners - judge.middle) @ matrix(pose).T + pose[:3]
    runs = {"r": [[float(x) for x in p] for p in moved]}
    return job_of_text(job_text(boxes, opening, runs, margin=2.0), Path("bench.yaml"))


def voids(count: int) -> list[list[str]]:
    took, lost, seed = [], 0, 0
    while len(took) < count:
        seed += 1
        job = random_void(seed)
        if job is None:
            continue
        begin = time.process_time()
        (way,) = ways_of(solve(replace(job, name=str(seed))))
        took.append(time.process_time() - begin)
        lost += not way.found
        print(seed, way.found, way.tried, f"{took[-1]:.1f} s", way.why_not or "", flush=True)
    half, most = np.percentile(took, [50, 95])
    return [
        ["random voids, known to be solvable", str(count)],
        ["not found with the effort of a job that says nothing", str(lost)],
        ["half of them within, s", f"{half:.1f}"],
        ["95 in 100 within, s", f"{most:.1f}"],
    ]


def main() -> None:
    print_machine()
    print_table("Bringing in", ["", ""], judged() + voids(int(sys.argv[1]) if len(sys.argv) > 1 else 50))


if __name__ == "__main__":
    main()
