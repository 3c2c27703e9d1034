"""Tubes cut by a plane: every point of the cut lies in the plane and on the tube."""

import gallery
import numpy as np
import pytest

from pipemodel.bending.schedule import solve_run
from pipemodel.drawing.cut_tubes import SLANT, cut_tubes
from pipemodel.geometry.view import View

RUN = solve_run(gallery.run("flow", ((0.0, 0.0, 0.0), (900.0, 300.0, 200.0), (900.0, 1200.0, 500.0))))


def test_the_cut_of_a_slanting_tube_lies_in_the_plane_and_on_its_wall():
    rng = np.random.default_rng(4)
    leg = RUN.centreline.pieces[0]
    start, way = np.array(leg.start), np.array(leg.direction)
    seen = set()
    for _ in range(40):
        eye, s = rng.normal(size=3), rng.uniform(50.0, leg.length - 50.0)
        view, at = View("x", tuple(eye)), start + s * way
        eye = np.array(view.eye)
        here = [cut for cut in cut_tubes([RUN], view, tuple(at)) if abs(cut.at_mm - s) < 1e-6]
        assert len(here) == (abs(eye @ way) >= SLANT)
        seen.add(len(here))
        for cut in here:
            right, up = np.array(view.right), np.array(view.upright)
            points = np.array(cut.outline(7.5)) @ np.array([right, up]) + (at @ eye) * eye
            off = points - start
            assert np.linalg.norm(off - np.outer(off @ way, way), axis=1) == pytest.approx(7.5, abs=1e-9)
            # The whole way round, not there and back.
            turns = np.unwrap(np.arctan2(*((points - at) @ np.array([up, right]).T).T))
            assert abs(turns[-1] - turns[0]) == pytest.approx(2.0 * np.pi)
    assert seen == {0, 1}
