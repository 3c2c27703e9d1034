"""Things in the room as the kernel's solids, exact where their shape is known exactly."""

from collections.abc import Callable
from io import BytesIO
from pathlib import Path
from typing import Any, NamedTuple

from pipemodel.geometry.arrays import Floats, Ints
from pipemodel.geometry.extent import Extent
from pipemodel.geometry.shapes import Box, Cylinder, Extrusion, HalfSpace, Mesh, MeshFile, Shape
from pipemodel.geometry.shapes.cone import Cone
from pipemodel.geometry.shapes.plate import Plate
from pipemodel.geometry.shapes.tube import Tube
from pipemodel.geometry.vectors import add, distance, scale, sub, unit
from pipemodel.messages.values import Count, Message, message
from pipemodel.solids.brep import rod_solid
from pipemodel.solids.kernel import (
    BRep,
    BRepBuilderAPI,
    BRepPrimAPI,
    IFSelect,
    Poly,
    STEPControl,
    TopAbs,
    TopExp,
    TopoDS,
    UnreadableError,
    gp,
    pnt,
    quiet,
    way,
)
from pipemodel.solids.mesh_reading import is_step

MOST_FACETS = 5_000
"""A mesh of more triangles than this would make a STEP file nobody can open; its bounding block stands for it."""


class RoomSolid(NamedTuple):
    """A thing's solid, and what there is to say about it."""

    shape: TopoDS.TopoDS_Shape
    note: Message | None = None


def thing_solid(shape: Shape, extent: Extent) -> RoomSolid:
    """Return the solid of a thing in the room.

    A STEP file is read again and placed, exact. Other mesh files come out faceted: a solid if they are closed,
    a shell if they are open, the block that bounds them if they have more than `MOST_FACETS` triangles.

    Args:
        shape: the thing's shape.
        extent: how far the job reaches; a half-space comes out as a slab of that size.

    Raises:
        UnreadableError: if a STEP file cannot be read.
        TypeError: for a mesh file, not STEP, that has not been read yet.
    """
    made = SOLIDS[type(shape)](shape, extent)
    return made if isinstance(made, RoomSolid) else RoomSolid(made)


def _box(shape: Box, _: Extent) -> TopoDS.TopoDS_Shape:
    return BRepPrimAPI.BRepPrimAPI_MakeBox(pnt(shape.low), pnt(shape.high)).Solid()


def _cylinder(shape: Cylinder, _: Extent) -> TopoDS.TopoDS_Shape:
    height = distance(shape.start, shape.finish)
    return BRepPrimAPI.BRepPrimAPI_MakeCylinder(_upright(shape), shape.diameter / 2.0, height).Solid()


def _cone(shape: Cone, _: Extent) -> TopoDS.TopoDS_Shape:
    height, (first, last) = distance(shape.start, shape.finish), shape.diameters
    return BRepPrimAPI.BRepPrimAPI_MakeCone(_upright(shape), first / 2.0, last / 2.0, height).Solid()


def _tube(shape: Tube, _: Extent) -> TopoDS.TopoDS_Shape:
    return rod_solid(shape.line, shape.diameter)


def _slab(shape: HalfSpace, extent: Extent) -> TopoDS.TopoDS_Shape:
    slab = shape.slab(extent)
    back = add(slab.corner, scale(slab.normal, -slab.depth_mm))
    axes = gp.gp_Ax2(pnt(back), way(slab.normal), way(slab.across))
    return BRepPrimAPI.BRepPrimAPI_MakeBox(axes, slab.width_mm, slab.height_mm, slab.depth_mm).Solid()


def _prism(shape: Extrusion, _: Extent) -> TopoDS.TopoDS_Shape:
    outline = BRepBuilderAPI.BRepBuilderAPI_MakePolygon()
    for x, y in shape.outline:
        outline.Add(gp.gp_Pnt(x, y, shape.bottom))
    outline.Close()
    plan = BRepBuilderAPI.BRepBuilderAPI_MakeFace(outline.Wire(), True).Face()
    return BRepPrimAPI.BRepPrimAPI_MakePrism(plan, gp.gp_Vec(0.0, 0.0, shape.top - shape.bottom)).Shape()


def _plate(plate: Plate, _: Extent) -> TopoDS.TopoDS_Shape:
    thick = gp.gp_Vec(*scale(plate.normal, plate.thickness))
    solids = []
    for outline, openings, rounds in plate.pieces():
        face = BRepBuilderAPI.BRepBuilderAPI_MakeFace(_wire(plate, outline), True)
        for opening in openings:
            face.Add(_wire(plate, opening))
        for hole in rounds:
            axes = gp.gp_Ax2(pnt(plate.place(hole.x, hole.y, 0.0)), way(scale(plate.normal, -1.0)))
            rim = BRepBuilderAPI.BRepBuilderAPI_MakeEdge(gp.gp_Circ(axes, hole.radius)).Edge()
            face.Add(BRepBuilderAPI.BRepBuilderAPI_MakeWire(rim).Wire())
        solids.append(BRepPrimAPI.BRepPrimAPI_MakePrism(face.Face(), thick).Shape())
    if len(solids) == 1:
        return solids[0]
    build, all_of_it = BRep.BRep_Builder(), TopoDS.TopoDS_Compound()
    build.MakeCompound(all_of_it)
    for solid in solids:
        build.Add(all_of_it, solid)
    return all_of_it


def _wire(plate: Plate, loop: tuple[tuple[float, float], ...]) -> TopoDS.TopoDS_Wire:
    corners = BRepBuilderAPI.BRepBuilderAPI_MakePolygon()
    for x, y in loop:
        corners.Add(pnt(plate.place(x, y, 0.0)))
    corners.Close()
    return corners.Wire()


def _file(shape: MeshFile, _: Extent) -> TopoDS.TopoDS_Shape:
    if not is_step(shape.path):
        raise TypeError(f"{shape.path} has not been read yet")
    return placed_step(shape)


def _mesh(mesh: Mesh, _: Extent) -> RoomSolid:
    if mesh.file is not None and is_step(mesh.file.path):
        return RoomSolid(placed_step(mesh.file))
    if len(mesh.faces) > MOST_FACETS:
        low, high = mesh.bounds()
        block = BRepPrimAPI.BRepPrimAPI_MakeBox(pnt(low), pnt(high)).Solid()
        return RoomSolid(block, message("step.block", n=Count(len(mesh.faces))))
    shell = _faceted(mesh.vertices, mesh.faces)
    if not (mesh.closed and BRep.BRep_Tool.IsClosed_s(shell)):
        return RoomSolid(shell, message("step.surface"))
    build, solid = BRep.BRep_Builder(), TopoDS.TopoDS_Solid()
    build.MakeSolid(solid)
    build.Add(solid, shell)
    return RoomSolid(solid)


def _faceted(vertices: Floats, faces: Ints) -> TopoDS.TopoDS_Shell:
    """Return triangles (m, 3) as plane faces that share their edges; triangles with no area are left out."""
    triangles = Poly.Poly_Triangulation(len(vertices), len(faces), False)
    for number, (x, y, z) in enumerate(vertices.tolist(), 1):
        triangles.SetNode(number, gp.gp_Pnt(x, y, z))
    for number, (a, b, c) in enumerate((faces + 1).tolist(), 1):
        triangles.SetTriangle(number, Poly.Poly_Triangle(a, b, c))
    maker = BRepBuilderAPI.BRepBuilderAPI_MakeShapeOnMesh(triangles)
    maker.Build()
    build, shell = BRep.BRep_Builder(), TopoDS.TopoDS_Shell()
    build.MakeShell(shell)
    found = TopExp.TopExp_Explorer(maker.Shape(), TopAbs.TopAbs_FACE)
    while found.More():
        build.Add(shell, found.Current())
        found.Next()
    shell.Closed(BRep.BRep_Tool.IsClosed_s(shell))
    return shell


def placed_step(file: MeshFile, data: bytes | None = None) -> TopoDS.TopoDS_Shape:
    """Read a STEP file, all of it as one shape, and put it where it stands in the room.

    A damaged file can crash the kernel, so this is done in a child process (`processes.child`), never in the main one.

    Args:
        file: the file, and how it is placed.
        data: what is in it; read from the disk if left out.

    Raises:
        UnreadableError: if the kernel cannot read it.
    """
    reader = STEPControl.STEPControl_Reader()
    with quiet():
        # Read as a stream: the kernel does not take every path that the file system does.
        stream = BytesIO(Path(file.path).read_bytes() if data is None else data)
        status = reader.ReadStream(Path(file.path).name, stream)
        roots = reader.TransferRoots() if status == IFSelect.IFSelect_RetDone else 0
    if not roots:
        raise UnreadableError(f"{file.path} is not a STEP file that can be read")
    rows = [
        value
        for row, shift in zip(file.rotation, file.offset, strict=True)
        for value in (*(file.scale * part for part in row), shift)
    ]
    placing = gp.gp_Trsf()
    placing.SetValues(*rows)
    return BRepBuilderAPI.BRepBuilderAPI_Transform(reader.OneShape(), placing, True).Shape()


SOLIDS: dict[type[Shape], Callable[[Any, Extent], TopoDS.TopoDS_Shape | RoomSolid]] = {
    Box: _box,
    Cylinder: _cylinder,
    Cone: _cone,
    Tube: _tube,
    HalfSpace: _slab,
    Extrusion: _prism,
    Plate: _plate,
    Mesh: _mesh,
    MeshFile: _file,
}
"""How the solid of each kind of thing is made, of the shape and the extent of the job."""


def _upright(shape: Shape) -> gp.gp_Ax2:
    """Return the axes of a round shape: its start, and its own axis upwards."""
    assert shape.axis is not None
    start, finish, _ = shape.axis
    return gp.gp_Ax2(pnt(start), way(unit(sub(finish, start))))
