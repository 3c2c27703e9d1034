"""The face that a line meets first, against rays on meshes."""

import numpy as np
import pytest
import trimesh
from shapely import Polygon

from pipemodel.geometry.shapes import Box, Extrusion


def kinds(rng):
    low = rng.uniform(-300, 100, 3)
    high = low + rng.uniform(5, 400, 3)
    yield Box(tuple(low), tuple(high)), trimesh.creation.box(bounds=[low, high])
    x, y = low[:2]
    outline = [(x, y), (x + 200, y), (x + 200, y + 50), (x + 80, y + 50), (x + 80, y + 160), (x, y + 160)]
    solid = trimesh.creation.extrude_polygon(Polygon(outline), high[2] - low[2])
    solid.apply_translation((0, 0, low[2]))
    yield Extrusion(tuple(outline), low[2], high[2]), solid


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(4))
def test_the_face_met_first_is_where_a_ray_hits(seed):
    rng = np.random.default_rng(seed)
    hits = misses = 0
    for _ in range(20):
        for shape, solid in kinds(rng):
            middle, size = solid.bounds.mean(axis=0), np.ptp(solid.bounds, axis=0)
            origins = middle + rng.choice([-1, 1], (12, 3)) * rng.uniform(0.0, 2.5, (12, 3)) * size
            ways = rng.normal(size=(12, 3))
            ways[:4] = np.eye(3)[rng.integers(0, 3, 4)] * rng.choice([-1, 1], (4, 1))
            ways[4:8] = middle + rng.uniform(-0.6, 0.6, (4, 3)) * size - origins[4:8]
            ways /= np.linalg.norm(ways, axis=1)[:, None]
            outside = ~solid.contains(origins)
            origins, ways = origins[outside], ways[outside]
            places, rays, faces = solid.ray.intersects_location(origins, ways)
            for ray, (origin, way) in enumerate(zip(origins, ways, strict=True)):
                at, face = places[rays == ray], faces[rays == ray]
                met = shape.met(tuple(origin), tuple(way))
                if not len(at):
                    assert met is None
                    misses += 1
                    continue
                first = np.linalg.norm(at - origin, axis=1).argmin()
                assert met is not None
                assert met.height_of(tuple(at[first])) == pytest.approx(0.0, abs=1e-6)
                assert met.normal == pytest.approx(tuple(solid.face_normals[face[first]]), abs=1e-9)
                hits += 1
    assert hits > 100
    assert misses > 100
