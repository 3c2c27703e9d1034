"""The room and the runs as a rendered picture, through pyvista; nothing is written on it yet."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from pipemodel.bending.schedule import SolvedRun
from pipemodel.drawing.panel import Panel
from pipemodel.geometry.extent import Extent
from pipemodel.geometry.shapes import Mesh, MeshFile, Shape
from pipemodel.geometry.shapes.base import Colour
from pipemodel.geometry.shapes.mesh import joined
from pipemodel.job.model import Thing
from pipemodel.solids.colours import run_colour
from pipemodel.solids.extent import gap_mm
from pipemodel.solids.mesh import tube_mesh

if TYPE_CHECKING:
    from numpy.typing import NDArray

FINER = 2
"""The scene is rendered this many times larger than shown, and made smaller: smooth edges on any renderer."""
THING_COLOUR = "#6f7f92"
FACE_COLOUR = "#a08c5b"
HIT_COLOUR = "#c62828"
_CHORD_PX = 0.3
_CREASE_DEG = 30.0
_THIN_PX = 2.5
"""A tube thinner than this on the picture is drawn as a line, or it would not be seen."""
_MOST_ANCHORS = 60


@dataclass(frozen=True)
class Camera:
    """A parallel view onto a picture of `size` (width, height) pixels.

    `up` and `back` (towards the onlooker) are unit vectors (3,); `centre` (3,) lies in the middle of the
    picture; `scale` is pixels to the mm; `extent` bounds what is looked at.
    """

    up: "NDArray[np.float64]"
    back: "NDArray[np.float64]"
    centre: "NDArray[np.float64]"
    scale: float
    size: tuple[int, int]
    extent: Extent

    @classmethod
    def of(cls, panel: Panel, extent: Extent, per_mm: float) -> "Camera":
        """Return the camera that sees what a panel shows, `per_mm` pixels to a mm of its sheet."""
        right, up, back = (np.array(v) for v in (panel.view.right, panel.view.upright, panel.view.eye))
        shown, area = panel.shown, panel.placer.window
        x, y = (shown.left + shown.right) / 2.0, (shown.low + shown.high) / 2.0
        depth = float((np.array(extent.low) + extent.high) @ back) / 2.0
        size = (round(area.width * per_mm), round(area.height * per_mm))
        return cls(up, back, right * x + up * y + back * depth, panel.k * per_mm, size, extent)


def render(
    runs: Sequence[SolvedRun], things: Sequence[Thing], camera: Camera, hit: frozenset[str]
) -> "NDArray[np.uint8]":
    """Render runs and things, those in `hit` tinted; returns (height, width, 3), `FINER` times the size."""
    import pyvista

    width, height = camera.size
    plotter = pyvista.Plotter(off_screen=True, window_size=(width * FINER, height * FINER))
    plotter.set_background("white")
    for thing in things:
        solid = surface_of(thing.shape, camera)
        if solid is None:
            continue
        face = thing.shape.facing is not None
        colour = HIT_COLOUR if thing.name in hit else FACE_COLOUR if face else THING_COLOUR
        plotter.add_mesh(solid, color=colour, opacity=0.10 if face else 0.14, smooth_shading=False)
        edges = solid.extract_feature_edges(_CREASE_DEG, manifold_edges=False)
        if edges.n_points:
            plotter.add_mesh(edges, color=colour, opacity=0.7, line_width=1.5 * FINER)
    chord = _CHORD_PX / camera.scale
    lines: dict[Colour, list[NDArray[np.float64]]] = {}
    for tint, tubes in _by_colour(runs, chord).items():
        plotter.add_mesh(
            pyvista.PolyData.from_regular_faces(tubes.vertices, tubes.faces),
            color=tint,
            smooth_shading=True,
            split_sharp_edges=True,
            ambient=0.35,
            specular=0.25,
        )
    for i, solved in enumerate(runs):
        if solved.tube.outside_mm * camera.scale < _THIN_PX:
            lines.setdefault(run_colour(i), []).append(_axis(solved))
    for tint, axes in lines.items():
        plotter.add_mesh(_lines(axes), color=tint, line_width=_THIN_PX * FINER)
    eye = plotter.camera
    reach = camera.extent.diagonal_mm * 4.0
    eye.parallel_projection = True
    eye.focal_point = tuple(camera.centre)
    eye.position = tuple(camera.centre + camera.back * reach)
    eye.up = tuple(camera.up)
    eye.parallel_scale = height / camera.scale / 2.0
    plotter.reset_camera_clipping_range()
    image = np.asarray(plotter.screenshot(return_img=True), dtype=np.uint8)
    plotter.close()
    return image


def _axis(solved: SolvedRun) -> "NDArray[np.float64]":
    """Return points along a run's axis, its ends and a few on each bend; (n, 3)."""
    points = [solved.centreline.start]
    for piece in solved.centreline.pieces:
        points += [piece.point_at(piece.length * k / 4.0) for k in range(1, 5)]
    return np.array(points)


def _lines(axes: "Sequence[NDArray[np.float64]]") -> Any:
    """Return chains of points as lines for pyvista."""
    import pyvista

    cells: list[int] = []
    first = 0
    for axis in axes:
        cells += [len(axis), *range(first, first + len(axis))]
        first += len(axis)
    return pyvista.PolyData(np.concatenate(axes), lines=cells)


def _by_colour(runs: Sequence[SolvedRun], chord_mm: float) -> dict[Colour, Mesh]:
    """Return the tubes of each colour as one mesh: a thousand meshes would cost the renderer a minute."""
    meshes: dict[Colour, list[Mesh]] = {}
    for i, solved in enumerate(runs):
        mesh = tube_mesh(solved.centreline, solved.tube.outside_mm, solved.tube.wall_mm, chord_mm)
        meshes.setdefault(run_colour(i), []).append(mesh)
    return {colour: joined(parts) for colour, parts in meshes.items()}


def surface_of(shape: Shape, camera: Camera) -> Any:
    """Return the surface of a shape as pyvista has it, None where nothing of it comes near what is looked at."""
    import pyvista

    if isinstance(shape, MeshFile):
        return None
    extent = camera.extent
    if (slab := shape.slab(extent)) is not None:
        # The face alone: the tube never goes behind it, and its back would only be in the way.
        return pyvista.PolyData(np.array(slab.corners), faces=[4, 0, 1, 2, 3])
    low, high = shape.bounds()
    if gap_mm(low, high, extent) > 0.0:
        return None
    mesh = shape.mesh(_CHORD_PX / camera.scale, extent)
    if len(mesh.vertices) == 0:
        return None
    return pyvista.PolyData.from_regular_faces(mesh.vertices, mesh.faces)


def anchors(shape: Shape, surface: Any, camera: Camera) -> "NDArray[np.float64]":
    """Return points of a shape that lie within what is looked at, for its name to point to; (n, 3).

    They lie along its edges; along the axis of a cylinder, which has no edges between its ends; and all over a
    wall, whose edges are only where the picture ends.
    """
    if (axis := shape.axis) is not None:
        ends = np.array([[axis.start, axis.finish]])
    elif shape.facing is not None:
        a, b, c, d = surface.points
        across = np.linspace(0.04, 0.96, 9)[:, None]
        ends = np.stack([a + (b - a) * across, d + (c - d) * across], axis=1)
    else:
        edges = surface.extract_feature_edges(_CREASE_DEG, manifold_edges=False)
        ends = edges.points[edges.lines.reshape(-1, 3)[:, 1:]] if edges.n_cells else surface.points[None, :2]
    shares = np.linspace(0.0, 1.0, 17)[:, None, None]
    points = (ends[None, :, 0] * (1.0 - shares) + ends[None, :, 1] * shares).reshape(-1, 3)
    inside = points[np.all((points >= camera.extent.low) & (points <= camera.extent.high), axis=1)]
    return inside[:: max(len(inside) // _MOST_ANCHORS, 1)]
