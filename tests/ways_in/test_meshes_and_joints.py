"""Things as meshes, and one piece of a run that is joined in its place: the same answers as for blocks, by other looks.

The trap is of the kind used to compare sampling planners ("bug trap": a stick has to leave a box by a neck that reaches
inwards; A. Yershova and others, IEEE ICRA 2005), from memory; its sizes are ours. That a stick leaves it along the neck
is plain from its make; that one too wide for the neck does not, too.
"""

from dataclasses import dataclass
from types import SimpleNamespace

import fcl
import numpy as np
import pytest
import trimesh
from piece_sweep import fcl_mesh, flats_off, least_distance, poses, tube_mesh
from rooms_with_openings import cupboard

from pipemodel.geometry.centreline import Arc, Centreline, Straight
from pipemodel.geometry.shapes import Box
from pipemodel.geometry.shapes.mesh import Mesh
from pipemodel.job.model import BringIn, Opening
from pipemodel.ways_in.bring import bring
from pipemodel.ways_in.judge_room import Joined, Obstacle

pytestmark = pytest.mark.slow


@dataclass(frozen=True)
class Piece:
    name: str
    centreline: Centreline
    tube: SimpleNamespace


def mesh_of(boxes):
    whole = trimesh.util.concatenate([trimesh.creation.box(bounds=box) for box in boxes])
    return Mesh(np.array(whole.vertices), np.array(whole.faces)), whole


def brought(line, obstacles, opening=None, margin=2.0, effort=100_000, outside=15.0, seed=1):
    points = [corner for one in obstacles if not isinstance(one.what, tuple) for corner in one.what.bounds()]
    block = (np.min(points, axis=0), np.max(points, axis=0))
    piece = Piece("r", line, SimpleNamespace(outside_mm=outside))
    return bring(piece, BringIn(opening and opening.name, margin, effort, seed), opening, obstacles, block).way


def seen(way, line, whole, outside=15.0):
    """The least distance along a way, as python-fcl has it of a mesh of the tube."""
    at = np.linspace(0.0, line.length, max(int(line.length / 4.0), 2) + 1)
    mesh = tube_mesh(np.array([line.point_at(float(s)) for s in at]), outside / 2.0)
    states = [(state.position, state.rotation) for state in way.states]
    return least_distance(states, mesh, [whole], 4.0)


def trap(neck):
    """A box of 400 by 400 by 300 with walls of 10; in its south side a square hole with a neck 120 deep inside it."""
    boxes, _ = cupboard(400.0, 400.0, 300.0, (200.0 - neck / 2, 150.0 - neck / 2, neck, neck), thick=10.0)
    (x0, x1), (z0, z1) = (200.0 - neck / 2, 200.0 + neck / 2), (150.0 - neck / 2, 150.0 + neck / 2)
    boxes += [((x0 - 10, 0, z0 - 10), (x0, 120, z1 + 10)), ((x1, 0, z0 - 10), (x1 + 10, 120, z1 + 10))]
    boxes += [((x0, 0, z0 - 10), (x1, 120, z0)), ((x0, 0, z1), (x1, 120, z1 + 10))]
    return boxes


STICK = Centreline((Straight((20.0, 390.0, 20.0), (0.0, 0.0, 1.0), 250.0),))


def test_a_stick_leaves_a_trap_by_its_neck() -> None:
    mesh, whole = mesh_of(trap(60.0))
    way = brought(STICK, [Obstacle("trap", mesh)])
    assert way.found
    assert way.least_mm - 0.01 <= seen(way, STICK, whole) <= way.least_mm + flats_off(7.5) + 2.1


def test_it_does_not_leave_by_a_neck_narrower_than_it_and_its_margins() -> None:
    way = brought(STICK, [Obstacle("trap", mesh_of(trap(18.8))[0])], effort=6_000)
    assert not way.found
    assert not way.impossible


def test_walls_as_meshes_and_as_blocks_are_judged_alike() -> None:
    """The way past the one keeps off the other, and the least clearance is the same by either."""
    boxes, (corners, out) = cupboard(500.0, 400.0, 500.0, (130.0, 120.0, 240.0, 220.0))
    hatch = Opening("hatch", tuple(corners), tuple(out))
    line = Centreline(
        (
            Straight((40.0, 370.0, 40.0), (0.0, 0.0, 1.0), 300.0),
            Arc((95.0, 370.0, 340.0), (0.0, 1.0, 0.0), (-1.0, 0.0, 0.0), 55.0, 90.0),
            Straight((95.0, 370.0, 395.0), (1.0, 0.0, 0.0), 150.0),
        )
    )
    mesh, whole = mesh_of(boxes)
    blocks = [Obstacle(str(i), Box(*box)) for i, box in enumerate(boxes)]
    ways = [brought(line, things, hatch) for things in (blocks, [Obstacle("walls", mesh)])]
    for way in ways:
        assert way.found
        assert way.least_mm - 0.06 <= seen(way, line, whole) <= way.least_mm + flats_off(7.5) + 2.1


def test_one_piece_of_a_joined_run_goes_in_past_the_other_and_comes_to_touch_it() -> None:
    """A stick across a cupboard, in two halves: the whole does not go in; a half does, and touches in its place."""
    boxes, (corners, out) = cupboard(500.0, 200.0, 300.0, (60.0, 100.0, 150.0, 80.0))
    hatch = Opening("hatch", tuple(corners), tuple(out))
    walls = [Obstacle(str(i), Box(*box)) for i, box in enumerate(boxes)]
    whole = Centreline((Straight((10.0, 150.0, 150.0), (1.0, 0.0, 0.0), 480.0),))
    assert not brought(whole, walls, hatch, effort=6_000).found
    half = Centreline((Straight((10.0, 150.0, 150.0), (1.0, 0.0, 0.0), 240.0),))
    there = Centreline((Straight((250.0, 150.0, 150.0), (1.0, 0.0, 0.0), 240.0),))
    joined = Obstacle("other half", (there, 15.0), finish=Joined(12.0, 14.0))
    assert not brought(half, [*walls, Obstacle("other half", (there, 15.0))], hatch, effort=6_000).found
    way = brought(half, [*walls, joined], hatch)
    assert way.found
    # All the way in, until its end is near its place, it keeps off the other half.
    tube, mesh = (tube_mesh(np.array([one.start, one.finish]), 7.5) for one in (there, half))
    moving, still = (fcl.CollisionObject(fcl_mesh(one), fcl.Transform()) for one in (mesh, tube))
    away = []
    for turn, shift in poses([(state.position, state.rotation) for state in way.states], mesh.vertices, 3.0):
        if np.linalg.norm(turn @ half.finish + shift - half.finish) > 14.0:
            moving.setTransform(fcl.Transform(turn, shift))
            away.append(fcl.distance(moving, still, fcl.DistanceRequest(), fcl.DistanceResult()))
    assert len(away) > 50
    assert min(away) > 1.99
