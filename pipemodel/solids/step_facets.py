"""STEP files as triangles fine enough to measure by."""

import numpy as np

from pipemodel.geometry.arrays import Floats, Ints
from pipemodel.geometry.shapes import Mesh, MeshFile
from pipemodel.solids.kernel import (
    BRep,
    BRepAdaptor,
    BRepMesh,
    BRepTools,
    GeomAbs,
    TopAbs,
    TopExp,
    TopLoc,
    TopoDS,
    quiet,
)
from pipemodel.solids.room import placed_step

FLATS_MM = (0.005, 0.05, 0.5)
"""How far triangles may stand off curved faces: the finest that keeps to `MOST_TRIANGLES`, else the last."""
MOST_TRIANGLES = 500_000
FLAT_RAD = 0.5
"""The widest angle between neighbouring triangles on a curved face; the distance off the face decides first."""


def step_facets(file: MeshFile, data: bytes) -> Mesh:
    """Read a STEP file, place it in the room, and return its surface as triangles; closed if every face bounds a solid.

    Args:
        file: the file, and how it is placed.
        data: what is in it.

    Raises:
        UnreadableError: if the kernel cannot read it.
    """
    shape = placed_step(file, data)
    faces = faces_of(shape)
    curved = any(BRepAdaptor.BRepAdaptor_Surface(face).GetType() != GeomAbs.GeomAbs_Plane for face in faces)
    for flats in FLATS_MM:
        BRepTools.BRepTools.Clean_s(shape)
        with quiet():
            BRepMesh.BRepMesh_IncrementalMesh(shape, flats, False, FLAT_RAD, False)
        vertices, triangles = triangles_of_faces(faces)
        if len(triangles) <= MOST_TRIANGLES:
            break
    solids = sum(len(faces_of(solid)) for solid in _parts(shape, TopAbs.TopAbs_SOLID))
    closed = solids == len(faces) and solids > 0
    return Mesh(vertices, triangles, closed, file.path, file, flats if curved else 0.0)


def _parts(shape: TopoDS.TopoDS_Shape, kind: TopAbs.TopAbs_ShapeEnum) -> list[TopoDS.TopoDS_Shape]:
    found = TopExp.TopExp_Explorer(shape, kind)
    out: list[TopoDS.TopoDS_Shape] = []
    while found.More():
        out.append(found.Current())
        found.Next()
    return out


def faces_of(shape: TopoDS.TopoDS_Shape) -> list[TopoDS.TopoDS_Face]:
    """Return the faces of a shape."""
    return [TopoDS.TopoDS.Face_s(part) for part in _parts(shape, TopAbs.TopAbs_FACE)]


def triangles_of_faces(faces: list[TopoDS.TopoDS_Face]) -> tuple[Floats, Ints]:
    """Return the triangles that faces were divided into: corners (n, 3), each face its own, and triangles (m, 3)."""
    points: list[tuple[float, float, float]] = []
    triangles: list[tuple[int, int, int]] = []
    for face in faces:
        place = TopLoc.TopLoc_Location()
        mesh = BRep.BRep_Tool.Triangulation_s(face, place)
        if mesh is None:
            continue
        moved, first = place.Transformation(), len(points) - 1
        for k in range(1, mesh.NbNodes() + 1):
            p = mesh.Node(k).Transformed(moved)
            points.append((p.X(), p.Y(), p.Z()))
        turned = face.Orientation() == TopAbs.TopAbs_REVERSED
        for k in range(1, mesh.NbTriangles() + 1):
            a, b, c = mesh.Triangle(k).Get()
            triangles.append((first + a, first + c, first + b) if turned else (first + a, first + b, first + c))
    return np.array(points, dtype=np.float64).reshape(-1, 3), np.array(triangles, dtype=np.int64).reshape(-1, 3)
