"""Bringing pieces in: how many placements are judged in a second, and how long ways into random cupboards take.

All in the processor's time. Run it with `python tests/benchmarks/bench_ways_in.py [VOIDS]`; docs/benchmarks.md says
what was found. A random void is known to be solvable: its piece was threaded in through the hatch with three times the
margin, and wandered about inside from there.
"""

import sys
import time
from dataclasses import replace
from itertools import pairwise
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
from pipemodel.ways_in.motions import HeldPiece, hand_motions
from pipemodel.ways_in.turning import held, matrix, random_turn

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
    """A cupboard with a hatch, a piece of 1 to 4 bends, and things put beside a way that it is known to have.

    The way is a random walk from a place threaded through the hatch; the piece's place is where it came to rest. One
    void in three is empty, one strewn with 12 boxes and bars that leave 6 mm along the way, three times what is asked
    for, and one has a hatch of 60 to 150 mm and up to 40 boxes that leave 3 mm.
    """
    rng, kind = np.random.default_rng(seed), seed % 3
    wide, deep, tall = (float(x) for x in rng.uniform([450, 400, 500], [900, 700, 1100]))
    w, h = (float(x) for x in rng.uniform(*((60, 150) if kind == 2 else (150, 350)), 2))
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
    keep = 3.0 if kind == 2 else 6.0
    judge = judge_of(line, [Box(*map(tuple, box)) for box in boxes], keep)
    gate = Through(judge, Opening("hatch", tuple(map(tuple, opening[0])), tuple(opening[1])))
    rows = []
    for row in gate.seeds(rng):
        if judge.clear(row).all() and all(judge.advance(*pair).share >= 1.0 for pair in pairwise(row)):
            rows += [row, row[::-1]]
    for row in rows:
        if beyond(judge, row[0]) > 0.0:
            continue
        known = [*row[::-1]]
        for _ in range(300):
            target = held(known[-1][:3] + rng.normal(size=3) * 150, random_turn(rng))
            if beyond(judge, target) < -20.0 and judge.advance(known[-1], target).share >= 1.0:
                known.append(target)
        if beyond(judge, known[-1]) > -20.0:
            continue
        beside = strewn(line, known, rng, keep, (0, 12, 40)[kind])
        place = (np.array(job.runs[0].route.corners) - judge.middle) @ matrix(known[-1]).T + known[-1][:3]
        runs = {"r": [[float(x) for x in p] for p in place]}
        return job_of_text(job_text([*boxes, *beside], opening, runs, margin=2.0), Path("bench.yaml"))
    return None


def beyond(judge: Judge, pose: np.ndarray) -> float:
    """How far the outermost point of the axis is outside the hatch, which looks south from y = 0."""
    return float(-(judge.piece[3] @ matrix(pose).T + pose[:3])[:, 1].min())


def judge_of(line: Centreline, boxes: list[Box], keep: float) -> Judge:
    return Judge(line, 15.0, [Obstacle(str(i), box) for i, box in enumerate(boxes)], keep)


def strewn(line: Centreline, known: list[np.ndarray], rng: np.random.Generator, keep: float, most: int) -> list[tuple]:
    """Boxes that the piece keeps off along a way, near to it."""
    out: list[tuple] = []
    for _ in range(1500):
        if len(out) == most:
            break
        size = rng.uniform(15, 60, 3)
        size[rng.integers(3)] = rng.uniform(60, 400)
        spot = known[-1 - int(rng.integers(min(len(known), 30)))][:3] + rng.normal(size=3) * 150
        box = Box(tuple((spot - size / 2).round(1).tolist()), tuple((spot + size / 2).round(1).tolist()))
        beside = judge_of(line, [box], keep)
        if all(beside.advance(*pair).share >= 1.0 for pair in pairwise(known)):
            out.append((list(box.low), list(box.high)))
    return out


def voids(count: int) -> list[list[str]]:
    took, motions, lost, seed = [], [], 0, 0
    while len(took) < count:
        seed += 1
        job = random_void(seed)
        if job is None:
            continue
        begin = time.process_time()
        solved = solve(replace(job, name=str(seed)))
        (way,) = ways_of(solved)
        took.append(time.process_time() - begin)
        motions.append(len(hand_motions(HeldPiece(solved.runs[0].centreline), way)) if way.found else 0)
        lost += not way.found
        print(seed, way.found, way.tried, f"{took[-1]:.1f} s", motions[-1], way.why_not or "", flush=True)
    half, most = np.percentile(took, [50, 95])
    few, many = np.percentile(motions, [50, 95])
    return [
        ["random voids, known to be solvable", str(count)],
        ["not found with the effort of a job that says nothing", str(lost)],
        ["half of them within, s", f"{half:.1f}"],
        ["95 in 100 within, s", f"{most:.1f}"],
        ["motions: half of them, 95 in 100 no more than", f"{few:.0f}, {many:.0f}"],
    ]


def main() -> None:
    print_machine()
    print_table("Bringing in", ["", ""], judged() + voids(int(sys.argv[1]) if len(sys.argv) > 1 else 50))


if __name__ == "__main__":
    main()
