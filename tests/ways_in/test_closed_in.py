"""Whether a place is closed in but for its opening: held against a grid of points, joined by scipy's labels.

A row of points of the grid that are clear by more than the ball needs is a way out that exists: where it does not
lead through the opening, nothing may be called closed. That a tight room is called closed is tried on rooms without a
gap.
"""

from dataclasses import replace

import numpy as np
import pytest
from rooms_with_openings import cupboard
from scipy import ndimage
from scipy.spatial.transform import Rotation

from pipemodel.geometry.centreline import Centreline, Straight
from pipemodel.geometry.shapes import Box, HalfSpace
from pipemodel.job.model import Opening
from pipemodel.ways_in.closed_in import _fine, closed_in
from pipemodel.ways_in.closed_kernel import SIDE
from pipemodel.ways_in.crossing import things_of

STICK = Centreline((Straight((40.0, 60.0, 60.0), (1.0, 0.0, 0.0), 60.0),))
KEEP, GRID = 9.5, 4.0


def room(wall=6.0, gap=0.0, at=60.0):
    """A box of 140 by 120 by 120 with a hatch of 60 by 60, and a slit as wide as `gap` right across its back."""
    boxes, (corners, out) = cupboard(140.0, 120.0, 120.0, (40.0, 30.0, 60.0, 60.0), thick=wall)
    if gap:
        ((x0, y0, z0), (x1, y1, z1)) = boxes.pop(2)
        boxes += [((x0, y0, z0), (x1, y1, at)), ((x0, y0, at + gap), (x1, y1, z1))]
    shapes = [Box(low, high) for low, high in boxes]
    points = np.array([corner for box in boxes for corner in box])
    opening = Opening("hatch", tuple(corners), tuple(out))
    return shapes, opening, (points.min(axis=0), points.max(axis=0))


def closed(gap=0.0, wall=6.0, at=60.0):
    shapes, opening, block = room(wall, gap, at)
    return closed_in(STICK, 15.0, 2.0, opening, shapes, block)


def gets_out(shapes, opening, block):
    """Whether a ball gets from the stick out of the box, its hatch shut, from point to point of a grid."""
    sides = [np.arange(low - 40.0, high + 40.0, GRID) for low, high in zip(*block, strict=True)]
    points = np.stack(np.meshgrid(*sides, indexing="ij"), axis=-1)
    free = np.ones(points.shape[:3], dtype=bool)
    corners = np.array(opening.corners)
    shut = [
        Box((*corners.min(axis=0)[[0]], -6.0, corners[:, 2].min()), (corners[:, 0].max(), 0.0, corners[:, 2].max()))
    ]
    for box in [*shapes, *shut]:
        away = np.maximum(np.maximum(np.array(box.low) - points, points - np.array(box.high)), 0.0)
        free &= np.linalg.norm(away, axis=-1) > KEEP + GRID / 2.0
    labels, _ = ndimage.label(free)
    here = labels[tuple(int(np.argmin(abs(side - x))) for side, x in zip(sides, (70.0, 60.0, 60.0), strict=True))]
    assert here, "the stick is clear"
    return bool(labels[0, 0, 0] == here)


@pytest.mark.parametrize("wall", [0.8, 6.0, 60.0])
def test_a_box_with_a_hatch_is_closed_but_for_that(wall) -> None:
    assert closed(wall=wall)


@pytest.mark.slow
@pytest.mark.parametrize("wall", [6.0, 20.0, 100.0])
@pytest.mark.parametrize("at", [60.0, 1.0])
def test_a_gap_that_a_ball_gets_through_is_seen(wall, at) -> None:
    """Whether the cells beside the wall are small, for it is thin, or large."""
    assert gets_out(*room(wall, 30.0, at))
    assert not closed(30.0, wall, at)


@pytest.mark.parametrize(("thick", "parts"), [(0.8, SIDE), (20.0, 4), (100.0, 2)])
def test_beside_thick_walls_cells_are_large(thick, parts) -> None:
    wall = Box((0.0, 0.0, 0.0), (500.0, thick, 500.0))
    assert _fine(things_of([wall, HalfSpace((0.0, 0.0, 0.0), (0.0, 0.0, 1.0))]), KEEP).tolist() == [parts, 2]


@pytest.mark.parametrize("way", [(1.0, 0.0, 0.0), (0.6, 0.8, 0.0), (0.48, 0.6, 0.64), (3**-0.5,) * 3])
def test_faces_close_a_place_in_whichever_way_they_lie(way) -> None:
    """A prism of six faces, turned, with no opening but one far off; and without one of them it is open."""
    turn = Rotation.align_vectors([way], [(1.0, 0.0, 0.0)])[0]
    middle = np.array([70.0, 60.0, 60.0])
    ends = [turn.apply(sign * np.eye(3)[k]) for k in range(3) for sign in (1.0, -1.0)]
    faces = [HalfSpace(tuple((middle - 70.0 * end).tolist()), tuple(end.tolist())) for end in ends]
    _, opening, block = room()
    far = tuple((x, y - 5000.0, z) for x, y, z in opening.corners)
    apart = replace(opening, corners=far, outside=(70.0, -9000.0, 60.0))
    assert closed_in(STICK, 15.0, 2.0, apart, faces, block)
    assert not any(closed_in(STICK, 15.0, 2.0, apart, faces[:k] + faces[k + 1 :], block) for k in range(6))


def test_a_gap_much_narrower_than_the_tube_closes() -> None:
    assert not gets_out(*room(6.0, 8.0))
    assert closed(8.0)


def test_a_wall_that_one_can_go_round_closes_nothing() -> None:
    """A panel with a hatch stands free in a larger closed room: nobody gets out of the room, but round the panel."""
    shapes, opening, (low, high) = room()
    panel = shapes[5:]
    hall, _ = cupboard(500.0, 500.0, 500.0, (1.0, 1.0, 0.0, 0.0))
    moved = [Box(*(tuple(np.array(corner) - 200.0) for corner in box)) for box in hall]
    assert not closed_in(STICK, 15.0, 2.0, opening, [*panel, *moved], (low - 250.0, high + 250.0))
    assert closed_in(STICK, 15.0, 2.0, opening, [*shapes, *moved], (low - 250.0, high + 250.0))
