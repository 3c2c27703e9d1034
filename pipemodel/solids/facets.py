"""A closed mesh with flat faces as an exact solid: triangles in one plane become one face, holes and all.

Made for parts that are all planes, such as a printed block: its solid then has the faces somebody would draw.
"""

from collections import deque
from collections.abc import Sequence

import numpy as np

from pipemodel.geometry.arrays import Floats, Ints
from pipemodel.solids.kernel import BRep, BRepBuilderAPI, TopAbs, TopoDS, gp

FLAT_MM = 3e-4
"""Points this near to a plane lie in it: three times what the mesh is rounded to."""

_build = BRep.BRep_Builder()


def faceted_solid(vertices: Floats, faces: Ints) -> TopoDS.TopoDS_Solid:
    """Return the solid that a closed mesh bounds.

    Args:
        vertices: (n, 3), mm.
        faces: (m, 3), outward by the right hand; every edge shared by two of them.
    """
    regions = flat_regions(vertices, faces)
    loops = [_loops(faces[region]) for region in regions]
    kept = _corners(vertices, loops)
    points: dict[int, TopoDS.TopoDS_Vertex] = {}
    edges: dict[tuple[int, int], TopoDS.TopoDS_Edge] = {}

    def vertex(i: int) -> TopoDS.TopoDS_Vertex:
        if i not in points:
            points[i] = TopoDS.TopoDS_Vertex()
            _build.MakeVertex(points[i], gp.gp_Pnt(*vertices[i].tolist()), FLAT_MM)
        return points[i]

    def edge(a: int, b: int) -> TopoDS.TopoDS_Shape:
        key = (min(a, b), max(a, b))
        if key not in edges:
            edges[key] = BRepBuilderAPI.BRepBuilderAPI_MakeEdge(vertex(key[0]), vertex(key[1])).Edge()
            _build.UpdateEdge(edges[key], FLAT_MM)
        return edges[key] if a < b else edges[key].Reversed()

    shell = TopoDS.TopoDS_Shell()
    _build.MakeShell(shell)
    for region, rings in zip(regions, loops, strict=True):
        normal, origin = _plane(vertices, faces[region])
        plane = gp.gp_Pln(gp.gp_Pnt(*origin.tolist()), gp.gp_Dir(*normal.tolist()))
        face = BRepBuilderAPI.BRepBuilderAPI_MakeFace(plane).Face()
        _build.UpdateFace(face, FLAT_MM)
        for ring in rings:
            corners = [i for i in ring if i in kept]
            if len(corners) < 3:
                corners = ring
            wire = TopoDS.TopoDS_Wire()
            _build.MakeWire(wire)
            for a, b in zip(corners, [*corners[1:], corners[0]], strict=True):
                _build.Add(wire, edge(a, b))
            wire.Closed(True)
            _build.Add(face, wire)
        _build.Add(shell, face.Oriented(TopAbs.TopAbs_FORWARD))
    shell.Closed(True)
    solid = TopoDS.TopoDS_Solid()
    _build.MakeSolid(solid)
    _build.Add(solid, shell)
    return solid


def flat_regions(vertices: Floats, faces: Ints) -> list[Ints]:
    """Group triangles (indices) that touch along an edge and lie in one plane, the largest of each leading it."""
    corners = vertices[faces]
    normals = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    areas = np.linalg.norm(normals, axis=1)
    owner: dict[tuple[int, int], int] = {}
    for t, (a, b, c) in enumerate(faces.tolist()):
        owner[a, b] = owner[b, c] = owner[c, a] = t
    region_of = np.full(len(faces), -1)
    regions: list[list[int]] = []
    points, triangles, ways = vertices.tolist(), faces.tolist(), normals.tolist()
    for seed in np.argsort(-areas, kind="stable").tolist():
        if region_of[seed] >= 0:
            continue
        number = len(regions)
        x, y, z = (normals[seed] / max(areas[seed], 1e-30)).tolist()
        offset = sum(n * p for n, p in zip((x, y, z), points[triangles[seed][0]], strict=True))
        members, queue = [seed], deque([seed])
        region_of[seed] = number
        while queue:
            a, b, c = triangles[queue.popleft()]
            for edge in ((b, a), (c, b), (a, c)):
                t = owner[edge]
                if region_of[t] >= 0:
                    continue
                if any(
                    abs(x * p[0] + y * p[1] + z * p[2] - offset) > FLAT_MM
                    for p in map(points.__getitem__, triangles[t])
                ):
                    continue
                if x * ways[t][0] + y * ways[t][1] + z * ways[t][2] < 0.0 and areas[t] > FLAT_MM:
                    continue
                region_of[t] = number
                members.append(t)
                queue.append(t)
        regions.append(members)
    return [np.array(sorted(r)) for r in regions]


def _plane(vertices: Floats, faces: Ints) -> tuple[Floats, Floats]:
    corners = vertices[faces]
    normals = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    largest = int(np.argmax(np.linalg.norm(normals, axis=1)))
    return normals[largest] / np.linalg.norm(normals[largest]), corners[largest, 0]


def _loops(faces: Ints) -> list[list[int]]:
    """Return the closed chains of points round a region, outer and holes, each in the region's own direction."""
    edges: set[tuple[int, int]] = set()
    for a, b, c in faces.tolist():
        edges |= {(a, b), (b, c), (c, a)}
    after: dict[int, list[int]] = {}
    for a, b in sorted(edges):
        if (b, a) not in edges:
            after.setdefault(a, []).append(b)
    rings: list[list[int]] = []
    while after:
        start = min(after)
        ring, at = [], start
        while at in after:
            # Where two chains meet in a point, either way on closes one of them and leaves the other whole.
            onward = after[at].pop(0)
            if not after[at]:
                del after[at]
            ring.append(at)
            at = onward
            if at == start:
                break
        rings.append(ring)
    return rings


def _corners(vertices: Floats, loops: Sequence[Sequence[Sequence[int]]]) -> set[int]:
    """Return the points that are corners: all but those in the middle of a straight edge between two faces."""
    around: dict[int, list[tuple[int, int]]] = {}
    for rings in loops:
        for ring in rings:
            for i, here in enumerate(ring):
                around.setdefault(here, []).append((ring[i - 1], ring[(i + 1) % len(ring)]))
    kept: set[int] = set()
    for here, pairs in around.items():
        if len(pairs) == 2 and pairs[0] == pairs[1][::-1] and pairs[0][0] != pairs[0][1]:
            a, b = vertices[pairs[0][0]], vertices[pairs[0][1]]
            along = b - a
            off = np.linalg.norm(np.cross(along, vertices[here] - a)) / max(float(np.linalg.norm(along)), 1e-12)
            if off <= FLAT_MM / 3.0:
                continue
        kept.add(here)
    return kept
