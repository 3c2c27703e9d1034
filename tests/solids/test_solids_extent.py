"""How far a job reaches."""

import numpy as np
import pytest
from tube_lines import RADIUS, SPECIMENS, random_line

from pipemodel.bending.schedule import Schedule, SolvedRun
from pipemodel.geometry.extent import Extent
from pipemodel.geometry.shapes import Box, Cylinder, Extrusion, HalfSpace
from pipemodel.job.model import Job, Route, Run, Thing
from pipemodel.solids.extent import gap_mm, job_extent
from pipemodel.solids.mesh import tube_mesh
from pipemodel.trade.model import Former, Tube

TUBE = Tube(15.0, 0.7, "15 x 0.7")


def scheduled(*lines, things=()):
    """A schedule that has nothing but centrelines and things."""
    runs = [Run(f"run {i}", TUBE, Former(RADIUS), Route(())) for i in range(len(lines))]
    return Schedule(Job("job", tuple(runs), things), tuple(map(SolvedRun, runs, [None] * len(lines), lines)))


def extent_of(schedule):
    return job_extent(schedule, schedule.job.things)


@pytest.mark.slow
@pytest.mark.parametrize("name", [*SPECIMENS, *range(8)])
def test_it_holds_every_run_and_is_no_larger_than_the_tube_s_half_asks(name):
    run = SPECIMENS[name] if name in SPECIMENS else random_line(name)
    extent = extent_of(scheduled(run))
    points = np.array([run.point_at(s) for s in np.linspace(0.0, run.length, 20001)])
    assert np.abs(points.min(axis=0) - 7.5 - extent.low).max() < 1e-3
    assert np.abs(points.max(axis=0) + 7.5 - extent.high).max() < 1e-3
    tube = tube_mesh(run, 15.0, 0.7, 0.1).vertices
    assert (tube > np.array(extent.low) - 1e-6).all()
    assert (tube < np.array(extent.high) + 1e-6).all()


@pytest.mark.parametrize(
    "shape",
    [
        Box((1.0, 2.0, 3.0), (11.0, 22.0, 33.0)),
        Cylinder((0.0, 0.0, 0.0), (30.0, 40.0, 120.0), 50.0),
        Cylinder((0.0, 0.0, 7.0), (0.0, 0.0, 3.0), 50.0),
        Extrusion(((0.0, 0.0), (10.0, 0.0), (3.0, 10.0)), -1.0, 4.0),
    ],
)
def test_it_holds_things(shape):
    low, high = shape.bounds()
    vertices = shape.mesh(1e-4, extent_of(scheduled(SPECIMENS["set"]))).vertices
    assert vertices.min(axis=0) == pytest.approx(low, abs=1e-2)
    assert vertices.max(axis=0) == pytest.approx(high, abs=1e-2)


def test_a_thing_without_end_does_not_stretch_it():
    run = SPECIMENS["set"]
    wall = Thing("wall", HalfSpace((0.0, 5000.0, 0.0), (0.0, -1.0, 0.0)))
    assert extent_of(scheduled(run, things=(wall,))) == extent_of(scheduled(run))
    box = Thing("box", Box((-50.0, 0.0, 0.0), (0.0, 10.0, 10.0)))
    assert extent_of(scheduled(run, things=(box,))).low[0] == -50.0


@pytest.mark.parametrize(
    ("low", "high", "gap"),
    [
        ((110, 0, 0), (120, 10, 10), 10.0),
        ((-40, 0, 0), (-25, 10, 10), 25.0),
        ((103, 54, 0), (120, 60, 10), 5.0),
        ((103, -10, 0), (120, -4, 10), 5.0),
        ((0, 0, 32), (10, 10, 40), 12.0),
        ((0, 0, -40), (10, 10, -12), 12.0),
        ((102, 53, -40), (110, 60, -6), 7.0),
        ((90, 40, 10), (120, 60, 30), 0.0),
        ((10, 10, 5), (20, 20, 15), 0.0),
        ((-500, -500, -500), (500, 500, 500), 0.0),
    ],
)
def test_the_gap_between_two_blocks(low, high, gap):
    """From a block of 100 x 50 x 20; beside it, across an edge (3, 4, 5) and across a corner (2, 3, 6, 7)."""
    block = Extent((0.0, 0.0, 0.0), (100.0, 50.0, 20.0))
    assert gap_mm(low, high, block) == pytest.approx(gap)
