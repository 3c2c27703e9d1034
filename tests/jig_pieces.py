"""Runs for the tests of checking jigs, perfect and badly bent, and what stands for them in a jig's own axes."""

import math
import random
from dataclasses import replace

import numpy as np
import trimesh
from gallery import FORMER_15, SET, STRAIGHT, TUBE_15, TWO_PLANES, run
from made_once import kept, value_once
from manifold3d import Manifold, Mesh64

from pipemodel.bending.bends import Bend, BendTable, centreline_of, corners_of, gain
from pipemodel.bending.schedule import SolvedRun, solve_run
from pipemodel.geometry.centreline import Arc, Centreline, Straight
from pipemodel.geometry.shapes.mesh import Mesh
from pipemodel.jigs.design import design
from pipemodel.job.jig import JigSettings
from pipemodel.job.model import Route, Run
from pipemodel.solids.mesh import tube_mesh
from pipemodel.trade.model import Former, Tube

MICROBORE = Tube(8.0, 0.6, "8 x 0.6 copper")
FLAT_SET = ((0.0, 0.0, 0.0), (150.0, 0.0, 0.0), (150.0, 180.0, 0.0), (300.0, 180.0, 0.0))
FOUR_BENDS = (
    (0.0, 0.0, 0.0),
    (300.0, 0.0, 0.0),
    (400.0, 100.0, 0.0),
    (700.0, 100.0, 0.0),
    (700.0, 100.0, 250.0),
    (700.0, 350.0, 300.0),
)
RETURN_BEND = ((0.0, 0.0, 0.0), (200.0, 0.0, 0.0), (200.0, 110.0, 0.0), (0.0, 110.0, 0.0))

WIDER = Former(85.0, name="wider")
"""What two of the four bends of "two radii" are made round."""
_FOUR = run("two radii", FOUR_BENDS)

PIECES = {
    "flat set": solve_run(run("flat set", FLAT_SET)),
    "two planes": solve_run(run("two planes", TWO_PLANES)),
    "four bends": solve_run(run("four bends", FOUR_BENDS)),
    "two radii": solve_run(replace(_FOUR, route=Route(FOUR_BENDS, formers=(None, WIDER, None, WIDER, None, None)))),
    "straight": solve_run(run("straight", STRAIGHT)),
    "long set": solve_run(run("long set", SET)),
    "return bend": solve_run(run("return bend", RETURN_BEND, joined=(1,))),
    "microbore": solve_run(
        run("microbore", ((0, 0, 0), (120, 0, 0), (120, 90, 0), (120, 90, 140)), MICROBORE, Former(30.0))
    ),
}


def whole(**settings):
    """Settings of a jig printed whole, with all its cradles; others by keyword."""
    return JigSettings(**{"base": "printed", "cradles": "all", "base_mm": 5.0} | settings)


PLAIN = whole(gauges=False)


@kept
def jig_of(name, settings=PLAIN):
    """The jig of a named piece; worked out once."""
    return value_once(f"{name} {settings}", lambda: design(PIECES[name], settings))


def made(table, tube=TUBE_15, former=FORMER_15, name="made"):
    """A solved run with just these bends."""
    corners, joined = corners_of(table)
    return SolvedRun(Run(name, tube, former, Route(corners, joined)), table, centreline_of(table))


def random_piece(seed, bends=None, legs=(60.0, 300.0)):
    """A run of 1 to 8 bends in all planes."""
    dice = random.Random(seed)
    n = bends or dice.randint(1, 8)
    rows, at = [], 0.0
    for number in range(1, n + 1):
        before = dice.uniform(*legs)
        angle = dice.choice([15.0, 30.0, 45.0, 60.0, 90.0, 90.0, dice.uniform(10.0, 120.0)])
        turn = 0.0 if number == 1 else dice.choice([0.0, 180.0, 90.0, -90.0, dice.uniform(-180.0, 180.0)])
        at += before
        arc = FORMER_15.radius_mm * math.radians(angle)
        rows.append(Bend(number, at, before, angle, turn, FORMER_15.radius_mm, arc, gain(FORMER_15.radius_mm, angle)))
        at += arc
    table = BendTable((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0), tuple(rows), dice.uniform(*legs))
    return made(table, name=f"random {seed}")


def crossing(piece, gap):
    """Whether a piece runs into itself, or comes nearer than `gap`: no tube at all, so no jig either."""
    line = piece.centreline
    s = np.arange(0.0, line.length, 4.0)
    points = np.array([line.point_at(float(v)) for v in s])
    apart = np.linalg.norm(points[:, None] - points[None, :], axis=2)
    along = np.abs(s[:, None] - s[None, :])
    # A bend is never further across than along: what is near along the tube is near anyway.
    return bool(np.any((apart < piece.tube.outside_mm + gap) & (along > 2.0 * piece.former.radius_mm + 40.0)))


def laid_line(jig, line):
    """A centreline of the room where it lies in the jig."""
    turn, move = jig.layout.rotation, jig.layout.offset

    def way(v):
        return tuple((turn @ np.array(v)).tolist())

    def spot(p):
        return tuple((turn @ np.array(p) + move).tolist())

    return Centreline(
        tuple(
            Arc(spot(p.centre), way(p.axis), way(p.spoke), p.radius, p.angle_deg)
            if isinstance(p, Arc)
            else Straight(spot(p.start), way(p.direction), p.length)
            for p in line.pieces
        )
    )


def rod(line, outside, chord=0.02):
    """The tube as a solid, bore and all, from the tool's own mesh of it."""
    mesh = tube_mesh(line, outside, outside / 2.0 - 0.5, chord)
    solid = Manifold(Mesh64(np.ascontiguousarray(mesh.vertices), mesh.faces.astype(np.uint64)))
    assert solid.volume() > 0.0
    return solid


def in_place(part):
    """A part of a jig where it stands in it."""
    return Mesh(part.body.vertices @ part.rotation.T + part.offset, part.body.faces)


def mesh_of(body):
    """A part or a whole jig as a mesh of trimesh."""
    return trimesh.Trimesh(body.vertices, body.faces, process=False)


def block(body):
    """A part or a whole jig as a solid."""
    return Manifold(Mesh64(np.ascontiguousarray(body.vertices), body.faces.astype(np.uint64)))
