"""Surfaces left a little broken are mended: trimesh says whether they close, and how much they hold."""

import numpy as np
import pytest
import trimesh
from hypothesis import given
from hypothesis import strategies as st

from pipemodel.models.ifc.mending import mended


def pieces():
    """Two blocks apart and a ball: 12 + 12 + 80 faces."""
    parts = [
        trimesh.creation.box(bounds=[[0, 0, 0], [400, 150, 80]]),
        trimesh.creation.box(bounds=[[500, 0, 0], [600, 90, 800]]),
        trimesh.creation.icosphere(subdivisions=1, radius=120.0),
    ]
    parts[2].apply_translation([0, 900, 0])
    return trimesh.util.concatenate(parts)


WHOLE = pieces()


def held(faces):
    mesh = trimesh.Trimesh(WHOLE.vertices, faces, process=False)
    assert mesh.is_watertight
    assert mesh.is_winding_consistent
    return mesh.volume


@pytest.mark.slow
@given(st.sets(st.integers(0, len(WHOLE.faces) - 1)), st.integers(0, 3))
def test_faces_turned_the_wrong_way(wrong, doubled):
    faces = np.array(WHOLE.faces, dtype=np.int64)
    faces[list(wrong)] = faces[list(wrong)][:, ::-1]
    faces = np.vstack([faces, faces[:doubled][:, ::-1]])
    found, closed = mended(np.array(WHOLE.vertices), faces)
    assert closed
    assert held(found) == pytest.approx(WHOLE.volume, rel=1e-12)


def test_an_edge_that_meets_a_side_half_way():
    """One face of a block is divided at the middles of its sides, and its neighbours do not know."""
    box = trimesh.creation.box(bounds=[[0, 0, 0], [400, 150, 80]])
    divided = trimesh.remesh.subdivide(box.vertices, box.faces, face_index=[3])
    vertices, faces = np.array(divided[0]), np.array(divided[1], dtype=np.int64)
    assert not trimesh.Trimesh(vertices, faces, process=False).is_watertight
    found, closed = mended(vertices, faces)
    assert closed
    mesh = trimesh.Trimesh(vertices, found, process=False)
    assert mesh.is_watertight
    assert mesh.volume == pytest.approx(400 * 150 * 80, rel=1e-12)


def test_what_is_open_stays_open_and_as_it_was():
    faces = np.array(WHOLE.faces, dtype=np.int64)[1:]
    found, closed = mended(np.array(WHOLE.vertices), faces)
    assert not closed
    assert np.array_equal(found, faces)


def test_corners_that_are_written_twice_are_one():
    """Every face with corners of its own, some off by what sums leave; one face that comes to nothing."""
    box = trimesh.creation.box(bounds=[[0, 0, 0], [400, 150, 80]])
    vertices = np.array(box.vertices)[box.faces].reshape(-1, 3)
    vertices[::7] += 3e-11
    faces = np.vstack([np.arange(len(vertices)).reshape(-1, 3), [0, 0, 1]])
    found, closed = mended(vertices, faces)
    assert closed
    mesh = trimesh.Trimesh(vertices, found, process=False)
    mesh.remove_unreferenced_vertices()
    assert mesh.is_watertight
    assert mesh.volume == pytest.approx(400 * 150 * 80, rel=1e-9)
