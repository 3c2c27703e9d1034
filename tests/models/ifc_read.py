"""A made IFC model as things of a job, held against its bodies by the library's own kernel."""

import ifcopenshell
import ifcopenshell.geom
import numpy as np
import pytest
import trimesh
from wide import few_or_many

from pipemodel import story
from pipemodel.geometry.distance.obstacle import obstacle_of
from pipemodel.geometry.extent import Extent
from pipemodel.models.ifc.kernel import CHORD_MM
from pipemodel.models.room import Wanted, room_of

POINTS = few_or_many(120, 1500)
NEAR_MM = 0.6
"""Points nearer to a surface than the kernel's triangles and ours may stand off it are not asked about."""
ANY = Extent((0.0, 0.0, 0.0), (1.0, 1.0, 1.0))


def furnished(path, folder):
    """The model and the things of a job whose room is made of it."""
    model = room_of(path, folder / "room.yaml", Wanted())
    job = folder / "job.yaml"
    runs = "runs: {a: {points: [[0, 0, 0], [100, 0, 0]]}}"
    job.write_text(f"job: x\ntube: 15\nroom: {{file: room.yaml}}\n{runs}\n", encoding="utf-8")
    return model, story.furnish(story.read(job)).things


def kernel_mesh(file, guid):
    settings = ifcopenshell.geom.settings()
    for name, value in (("use-world-coords", True), ("mesher-linear-deflection", 1e-4)):
        settings.set(name, value)
    settings.set("mesher-angular-deflection", 0.05)
    shape = ifcopenshell.geom.create_shape(settings, file.by_guid(guid))
    vertices = np.array(shape.geometry.verts).reshape(-1, 3) * 1000.0
    return trimesh.Trimesh(vertices, np.array(shape.geometry.faces).reshape(-1, 3))


def inside_of(mesh, points):
    """Whether points lie in any piece of a mesh; pieces may overlap."""
    found = np.zeros(len(points), dtype=bool)
    for piece in mesh.split(only_watertight=False):
        found |= piece.contains(points)
    return found


def assert_same(things, mesh, moved=(0.0, 0.0, 0.0)):
    mesh.apply_translation(-np.array(moved))
    low, high = (np.array([thing.shape.bounds()[k] for thing in things]) for k in (0, 1))
    exact = all(thing.shape.kind != "mesh" for thing in things)
    assert low.min(axis=0) == pytest.approx(mesh.bounds[0], abs=0.05 if exact else CHORD_MM)
    assert high.max(axis=0) == pytest.approx(mesh.bounds[1], abs=0.05 if exact else CHORD_MM)
    assert mesh.is_watertight
    volume = sum(thing.shape.mesh(0.01, ANY).volume for thing in things)
    assert volume == pytest.approx(abs(mesh.volume), rel=2e-3 if exact else 1e-2)
    size = np.ptp(mesh.bounds, axis=0)
    points = np.random.default_rng(7).uniform(mesh.bounds[0] - 0.1 * size, mesh.bounds[1] + 0.1 * size, (POINTS, 3))
    fields = np.array([obstacle_of(thing.shape).field(points) for thing in things])
    sure = np.abs(fields).min(axis=0) > NEAR_MM
    assert sure.sum() > POINTS / 2
    assert np.array_equal((fields < 0.0).any(axis=0)[sure], inside_of(mesh, points)[sure])
