"""Towers with pockets: how stiff they are, by sections of the printed parts, and what they spare."""

import numpy as np
import pytest
from jig_pieces import jig_of
from shapely import affinity
from shapely.geometry import MultiPolygon, Polygon, box
from test_jig_print import layers, mesh_of

from pipemodel.jigs.build import body_of, whole_base
from pipemodel.jigs.carve import with_towers
from pipemodel.jigs.cores import cores

SHELL_MM = 1.2
"""Three lines of a nozzle of 0.4 mm: what a tower without pockets is printed with all round."""


def second_moments(shape):
    """Second moments of area about the middle, along x and along y, by the corners (Green's theorem)."""
    out = np.zeros(2)
    for part in shape.geoms if isinstance(shape, MultiPolygon) else [shape]:
        moved = affinity.translate(part, -shape.centroid.x, -shape.centroid.y)
        for ring, sign in [(moved.exterior, 1.0), *((r, -1.0) for r in moved.interiors)]:
            p = np.array(ring.coords)
            cross = p[:-1, 0] * p[1:, 1] - p[1:, 0] * p[:-1, 1]
            for k in (0, 1):
                a, b = p[:-1, k], p[1:, k]
                out[k] += sign * abs(float((cross * (a * a + a * b + b * b)).sum()) / 12.0)
    return out


def test_second_moments_are_those_of_a_rectangle():
    assert second_moments(box(0, 0, 30, 16)) == pytest.approx([16 * 30**3 / 12, 30 * 16**3 / 12])


@pytest.fixture(scope="module")
def tall():
    return jig_of("two planes")


@pytest.mark.slow
def test_a_cored_tower_is_as_stiff_across_its_leg_as_the_shell_of_a_solid_one(tall):
    """Sway under a push at the top: the integral of (H - z)^2 / I(z), section by section."""
    seen = 0
    for part in tall.parts:
        mesh = mesh_of(part.body)
        for tower in tall.layout.towers:
            if not cores(tower):
                continue
            turn, move = np.array(part.rotation), np.array(part.offset)
            centre = (np.array([*tower.centre, 0.0]) - move) @ turn
            along = np.array([*tower.place.along, 0.0]) @ turn
            spin = -np.degrees(np.arctan2(along[1], along[0]))
            heights = np.linspace(tower.plate + 1.0, tower.height - 12.0, 8)
            cored, shell = [], []
            for z, shape in zip(heights, layers(mesh, heights), strict=True):
                near = [p for p in getattr(shape, "geoms", [shape]) if p.distance(box(*centre[:2], *centre[:2])) < 15.0]
                if not near:
                    break
                flat = affinity.rotate(MultiPolygon(near), spin, origin=tuple(centre[:2]))
                outside = Polygon(flat.convex_hull.exterior)
                cored.append(second_moments(flat)[1] / (tower.height - z) ** 2)
                shell.append(second_moments(outside.difference(outside.buffer(-SHELL_MM)))[1] / (tower.height - z) ** 2)
            if len(cored) == len(heights):
                seen += 1
                assert sum(1.0 / i for i in cored) <= 1.1 * sum(1.0 / i for i in shell)
    assert seen >= 2


@pytest.mark.slow
def test_pockets_spare_half_of_tall_towers_and_leave_one_body(tall, monkeypatch):
    def bodies():
        whole_one = with_towers(whole_base(tall.plan.base), tall.layout.towers, [])
        return body_of(whole_one).volume, len(whole_one.decompose())

    cored = bodies()
    monkeypatch.setattr("pipemodel.jigs.carve.cores", lambda tower: [])
    solid = bodies()
    base = body_of(whole_base(tall.plan.base)).volume
    assert solid[0] - cored[0] > 0.5 * (solid[0] - base)
    assert cored[1] == solid[1] == 1
