"""Least distances of a run to a thousand things, and of runs to each other; the peers' side beside ours.

Run it with `python tests/benchmarks/bench_clash.py`; docs/benchmarks.md says what was found. The peers are
python-fcl between triangle meshes, and the kernel's exact distance between solids (BRepExtrema). Both get their
tube and boxes ready-made, so that only measuring is timed; both are slow enough that they are given fewer boxes,
and the time is scaled up to all.
"""

import math
import random

import fcl
import numpy as np
import trimesh
from measuring import best_ms, print_machine, print_table
from OCP.BRepExtrema import BRepExtrema_DistShapeShape
from OCP.BRepPrimAPI import BRepPrimAPI_MakeBox
from OCP.gp import gp_Pnt
from runs import OUTSIDE, RADIUS, WALL, staircase

from pipemodel.bending.bends import bend_corners, centreline_of
from pipemodel.geometry.distance import distances_between_runs, least_distances, self_distances
from pipemodel.geometry.shapes import Box, Cylinder, Extrusion, HalfSpace, Mesh
from pipemodel.solids.brep import tube_solid
from pipemodel.solids.mesh import tube_mesh

THINGS = 1000
FCL_BOXES, KERNEL_BOXES = 200, 25
CHORDS_MM = (0.2, 0.05)


def run_of(bends, shift=0.0):
    return centreline_of(bend_corners(staircase(bends, shift), RADIUS)[0])


def boxes(count, line):
    """Boxes of 10 to 200 a side strewn through the block that holds the run and somewhat beyond it."""
    dice = random.Random(2)
    points = np.array([line.point_at(line.length * i / 200) for i in range(201)])
    low, high = points.min(axis=0) - 200.0, points.max(axis=0) + 200.0
    made = []
    for _ in range(count):
        centre = [dice.uniform(a, b) for a, b in zip(low, high, strict=True)]
        half = [dice.uniform(5.0, 100.0) for _ in range(3)]
        made.append(
            Box(
                tuple(c - h for c, h in zip(centre, half, strict=True)),
                tuple(c + h for c, h in zip(centre, half, strict=True)),
            )
        )
    return made


def as_extrusion(box):
    (x0, y0, z0), (x1, y1, z1) = box.low, box.high
    return Extrusion(((x0, y0), (x1, y0), (x1, y1), (x0, y1)), z0, z1)


def as_cylinder(box):
    return Cylinder(box.low, box.high, 0.4 * (box.high[0] - box.low[0]))


def as_half_space(box):
    n = math.hypot(*box.low)
    return HalfSpace(box.low, tuple(-c / n for c in box.low))


def fcl_object(vertices, faces):
    model = fcl.BVHModel()
    model.beginModel(len(vertices), len(faces))
    model.addSubModel(vertices, faces)
    model.endModel()
    return fcl.CollisionObject(model, fcl.Transform())


def against_boxes():
    line = run_of(10)
    things = boxes(THINGS, line)
    ours = [found.distance for found in least_distances(line, OUTSIDE, things)]
    rows = [["pipemodel, all", f"{best_ms(lambda: least_distances(line, OUTSIDE, things), 20):.1f}", "1", ""]]
    base = float(rows[0][1])

    for chord in CHORDS_MM:
        tube = tube_mesh(line, OUTSIDE, WALL, chord)
        tube_fcl = fcl_object(tube.vertices, tube.faces)
        solids = [trimesh.creation.box(bounds=[b.low, b.high]) for b in things[:FCL_BOXES]]
        objects = [fcl_object(np.array(m.vertices), np.array(m.faces)) for m in solids]

        def by_fcl(tube_fcl=tube_fcl, objects=objects):
            return [fcl.distance(tube_fcl, o, fcl.DistanceRequest(), fcl.DistanceResult()) for o in objects]

        took = best_ms(by_fcl, 2) * THINGS / FCL_BOXES
        rows.append(
            [
                f"python-fcl, {len(tube.faces):,} triangles ({chord:g} chord)",
                f"{took:,.0f}",
                f"{took / base:,.0f}",
                f"{worst(ours, by_fcl()):.4f}",
            ]
        )

    tube_brep = tube_solid(line, OUTSIDE, WALL)
    blocks = [BRepPrimAPI_MakeBox(gp_Pnt(*b.low), gp_Pnt(*b.high)).Shape() for b in things[:KERNEL_BOXES]]

    def by_kernel():
        return [BRepExtrema_DistShapeShape(tube_brep, block).Value() for block in blocks]

    took = best_ms(by_kernel, 1) * THINGS / KERNEL_BOXES
    rows.append(["kernel, BRepExtrema", f"{took:,.0f}", f"{took / base:,.0f}", f"{worst(ours, by_kernel()):.4f}"])
    print_table(
        f"A run of 10 bends to {THINGS:,} boxes, {sum(d < 0 for d in ours)} of which it goes through",
        ["by", "ms", "x ours", "differs by at most, mm"],
        rows,
    )


def worst(ours, theirs):
    """The largest difference where both say apart."""
    return max(abs(a - b) for a, b in zip(ours, theirs, strict=False) if a > 0.0)


def against_all_kinds():
    line = run_of(10)
    things = boxes(THINGS, line)
    kinds = {
        "boxes": things,
        "cylinders": [as_cylinder(b) for b in things],
        "half spaces": [as_half_space(b) for b in things],
        "outlines": [as_extrusion(b) for b in things],
    }
    rows = []
    for name, shapes in kinds.items():
        rows.append([f"{THINGS:,} {name}", f"{best_ms(lambda s=shapes: least_distances(line, OUTSIDE, s), 5):.1f}"])
    for fineness in (4, 6):
        ball = trimesh.creation.icosphere(fineness, 100.0)
        ball.apply_translation([900.0, 900.0, 300.0])
        mesh = Mesh(np.array(ball.vertices), np.array(ball.faces, dtype=np.int64), True, "ball")
        took = best_ms(lambda m=mesh: least_distances(line, OUTSIDE, [m]), 3)
        rows.append([f"one mesh of {len(ball.faces):,} triangles", f"{took:.1f}"])
    print_table("A run of 10 bends to other kinds of thing", ["to", "ms"], rows)


def between_runs():
    rows = []
    for count in (10, 50, 200):
        lines = [run_of(10, shift=-40.0 * i) for i in range(count)]
        outside = [OUTSIDE] * count
        pairs = count * (count - 1) // 2
        took = best_ms(lambda lines=lines, outside=outside: distances_between_runs(lines, outside), 2)
        own = best_ms(lambda lines=lines, outside=outside: self_distances(lines, outside, 5.0), 2)
        rows.append([f"{count} runs, {pairs:,} pairs", f"{took:.0f}", f"{1000.0 * took / pairs:.0f}", f"{own:.0f}"])
    print_table(
        "Runs of 10 bends against each other and themselves", ["runs", "ms", "us a pair", "themselves, ms"], rows
    )


if __name__ == "__main__":
    print_machine()
    against_boxes()
    against_all_kinds()
    between_runs()
