"""Runs, things and whole jobs as objects of CadQuery, trimesh and pyvista; each is loaded when it is asked for."""

from dataclasses import replace
from typing import Any, TypeAlias

from pipemodel.bending.schedule import Schedule, SolvedRun
from pipemodel.geometry.extent import Extent
from pipemodel.geometry.shapes import HalfSpace, Mesh, MeshFile
from pipemodel.job.model import Thing
from pipemodel.solids.colours import run_colour
from pipemodel.solids.extent import job_extent
from pipemodel.solids.step_text import identities

RunOrThing: TypeAlias = SolvedRun | Thing
_ALONE = Extent((0.0, 0.0, 0.0), (0.0, 0.0, 0.0))
"""How far a job reaches; counts for a wall without end only."""


def cadquery(what: object) -> Any:
    """Return a run or thing as an exact `cadquery.Shape`, a schedule as a coloured `cadquery.Assembly`.

    Raises:
        UnreadableError: if a STEP file of the room cannot be read.
        ValueError: for a wall without end that stands alone.
    """
    import cadquery

    if not isinstance(what, Schedule):
        return cadquery.Shape.cast(_solid(_alone(what), _ALONE))
    whole, extent = cadquery.Assembly(name=what.job.name), job_extent(what, what.job.shown)
    for name, part, colour in _parts(what):
        solid = cadquery.Shape.cast(_solid(_read(part), extent))
        whole.add(solid, name=name, color=cadquery.Color(*colour))
    return whole


def trimesh(what: object, chord_mm: float) -> Any:
    """Return a run or thing as a `trimesh.Trimesh`, a schedule as a `trimesh.Scene`; see `cadquery`."""
    import trimesh

    def made(mesh: Mesh) -> Any:
        return trimesh.Trimesh(mesh.vertices, mesh.faces, process=False)

    if not isinstance(what, Schedule):
        return made(_mesh(_alone(what), chord_mm, _ALONE))
    scene, extent = trimesh.Scene(), job_extent(what, what.job.shown)
    for name, part, _ in _parts(what):
        scene.add_geometry(made(_mesh(_read(part), chord_mm, extent)), node_name=name, geom_name=name)
    return scene


def pyvista(what: object, chord_mm: float) -> Any:
    """Return a run or thing as a `pyvista.PolyData`, a schedule as a `pyvista.MultiBlock`; see `cadquery`."""
    import pyvista

    def made(mesh: Mesh) -> Any:
        return pyvista.PolyData.from_regular_faces(mesh.vertices, mesh.faces)

    if not isinstance(what, Schedule):
        return made(_mesh(_alone(what), chord_mm, _ALONE))
    blocks, extent = pyvista.MultiBlock(), job_extent(what, what.job.shown)
    for name, part, _ in _parts(what):
        blocks.append(made(_mesh(_read(part), chord_mm, extent)), name)
    return blocks


def _parts(schedule: Schedule) -> list[tuple[str, RunOrThing, tuple[float, float, float]]]:
    """Return every run and thing of a job with its colour, under names of their own."""
    parts: list[RunOrThing] = [*schedule.runs, *schedule.job.shown]
    names = identities([schedule.job.name, *(part.name for part in parts)])[1:]
    colours = [run_colour(number) for number in range(len(schedule.runs))]
    colours += [thing.shape.colour for thing in schedule.job.shown]
    return list(zip(names, parts, colours, strict=True))


def _alone(what: object) -> RunOrThing:
    """Return a run or thing that is asked for by itself, its file read."""
    if isinstance(what, Thing) and isinstance(what.shape, HalfSpace):
        raise ValueError(f"{what.name!r} goes on for ever: it has a size only as part of a whole schedule")
    assert isinstance(what, SolvedRun | Thing), "runs, things and schedules can be asked for"
    return _read(what)


def _read(part: RunOrThing) -> RunOrThing:
    """Return a part, a mesh file of it read in a process of its own."""
    from pipemodel.solids.meshfile import load_mesh

    if isinstance(part, Thing) and isinstance(part.shape, MeshFile):
        return replace(part, shape=load_mesh(part.shape))
    return part


def _solid(part: RunOrThing, extent: Extent) -> Any:
    from pipemodel.solids.brep import tube_solid
    from pipemodel.solids.room import thing_solid

    if isinstance(part, Thing):
        return thing_solid(part.shape, extent).shape
    return tube_solid(part.centreline, part.tube.outside_mm, part.tube.wall_mm)


def _mesh(part: RunOrThing, chord_mm: float, extent: Extent) -> Mesh:
    from pipemodel.solids.mesh import tube_mesh

    if isinstance(part, Thing):
        return part.shape.mesh(chord_mm, extent)
    return tube_mesh(part.centreline, part.tube.outside_mm, part.tube.wall_mm, chord_mm)
