"""The job as a CadQuery assembly: measured by CadQuery itself, against volumes from first principles."""

import math

import gallery
import pytest

import pipemodel
from pipemodel.geometry.shapes import Box
from pipemodel.job.model import Thing

pytestmark = pytest.mark.kernel
WALL = Thing("return", Box((700.0, 100.0, 0.0), (900.0, 160.0, 400.0)))
"""A thing that has the name of a run."""


@pytest.mark.slow
def test_every_part_is_there_by_name_and_has_its_volume():
    job = gallery.job("12 Larch Row", [gallery.run("return", gallery.QUARTER)], [WALL])
    solved = pipemodel.schedule(job).runs[0]
    whole = pipemodel.assembly(job)
    assert whole.name == "12 Larch Row"
    assert [part.name for part in whole.children] == ["return", "return (2)"]
    tube, wall = (part.obj for part in whole.children)
    outer, inner = solved.tube.outside_mm / 2.0, solved.tube.outside_mm / 2.0 - solved.tube.wall_mm
    # Pappus: what is swept has the section's area times the way of its middle.
    length = solved.centreline.length
    assert tube.Volume() == pytest.approx(math.pi * (outer**2 - inner**2) * length, rel=1e-9)
    assert wall.Volume() == pytest.approx(200.0 * 60.0 * 400.0)
    assert tube.isValid()
    assert wall.Center().toTuple() == pytest.approx((800.0, 130.0, 200.0))
    assert whole.children[0].color.toTuple()[:3] != whole.children[1].color.toTuple()[:3]


@pytest.mark.slow
def test_it_can_be_modelled_on():
    """Cut a hole for the tube through a wall with CadQuery, and what is left is what it should be."""
    import cadquery

    whole = pipemodel.assembly(gallery.job("x", [gallery.run("straight", ((0, 0, 0), (400, 0, 0)))]))
    tube = whole.children[0].obj
    wall = cadquery.Workplane("YZ", origin=(100, 0, 0)).box(200, 200, 50)
    left = wall.cut(cadquery.Workplane(tube)).val().Volume()
    bore = 15.0 - 2.0 * 0.7
    assert 200 * 200 * 50 - left == pytest.approx(math.pi / 4.0 * (15.0**2 - bore**2) * 50.0, rel=1e-9)
