"""Walls as blocks: held against shapely's areas, and points against the wall's own exact distance."""

import numpy as np
import pytest
import shapely

from pipemodel.geometry.shapes import Box
from pipemodel.geometry.shapes.plate import Plate
from pipemodel.geometry.shapes.signed_plan import Round
from pipemodel.ways_in.plate_blocks import in_blocks


def rectangle(a, b, c, d):
    return ((a, b), (c, b), (c, d), (a, d))


WALLS = {
    "two openings, one with a post in it": (
        rectangle(0, 0, 700, 1100),
        rectangle(200, 150, 500, 500),
        rectangle(300, 600, 350, 700),
        rectangle(320, 200, 340, 220),
    ),
    "a gable in steps": (((0, 0), (100, 0), (100, 50), (60, 50), (60, 90), (0, 90)), rectangle(10, 10, 30, 20)),
    "two piers and a lintel": (rectangle(0, 0, 100, 50), rectangle(150, 0, 200, 50), rectangle(0, 60, 200, 80)),
}


@pytest.mark.parametrize("outlines", WALLS.values(), ids=list(WALLS))
@pytest.mark.parametrize("way", [((0.0, -1.0, 0.0), (0.0, 0.0, 1.0)), ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0))])
def test_blocks_fill_a_wall_and_no_more(outlines, way) -> None:
    wall = Plate((10.0, 20.0, 30.0), *way, 18.0, outlines)
    blocks = in_blocks([wall])
    assert all(isinstance(one, Box) for one in blocks)
    low, high = np.array([one.low for one in blocks]), np.array([one.high for one in blocks])
    plan = shapely.Polygon()
    for outline in outlines:
        plan = plan.symmetric_difference(shapely.Polygon(outline))
    assert np.prod(high - low, axis=1).sum() == pytest.approx(18.0 * plan.area)
    least, most = wall.bounds()
    points = np.random.default_rng(0).uniform(np.array(least) - 40.0, np.array(most) + 40.0, (2000, 3))
    off = np.linalg.norm(np.maximum(np.maximum(low[:, None] - points, points - high[:, None]), 0.0), axis=2).min(axis=0)
    exact = [max(wall.distance((x, y, z)), 0.0) for x, y, z in points.tolist()]
    assert np.allclose(off, exact, atol=1e-9)


@pytest.mark.parametrize(
    "wall",
    [
        Plate((0.0, 0.0, 0.0), (0.8, 0.6, 0.0), (0.0, 0.0, 1.0), 18.0, (rectangle(0, 0, 100, 50),)),
        Plate((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0), 18.0, (((0, 0), (100, 0), (50, 80)),)),
        Plate((0.0,) * 3, (1.0, 0.0, 0.0), (0.0, 0.0, 1.0), 18.0, (rectangle(0, 0, 100, 50),), (Round(50, 25, 10),)),
    ],
    ids=["askew", "a gable", "a round hole"],
)
def test_what_blocks_do_not_fill_stays_as_it_is(wall) -> None:
    assert in_blocks([wall]) == [wall]
