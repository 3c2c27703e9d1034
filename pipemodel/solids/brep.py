"""The exact hollow tube as one solid: cylinders along the legs, tori round the bends, flat ends.

The faces are put together by hand, each ring between two pieces made once and used by both its faces, so
nothing has to be swept, sewn or fused, and the solid is as exact as the centreline. A torus has its seam on
the outside (back) of its bend and nowhere else. Where the tube turns between two bends, the seams before and
after do not meet, and the ring between has two vertices, one for each.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import atan2, pi, radians

from pipemodel.geometry.centreline import Arc, Centreline, LinePiece
from pipemodel.geometry.vectors import Vec3, along, any_normal, cross, dot, rotate, scale
from pipemodel.solids.kernel import BRep, Geom, Geom2d, TopAbs, TopoDS, gp

SLIVER_MM = 1e-6
"""Pieces shorter than this make no face of their own; bends with no straight between them touch."""
TOLERANCE_MM = 1e-7
"""What the kernel takes for the same point."""
MEET_MM = 1e-5
"""Seams that end this near to each other on a ring share a vertex."""

_TURN = 2.0 * pi
_FORWARD, _REVERSED = TopAbs.TopAbs_FORWARD, TopAbs.TopAbs_REVERSED
_build = BRep.BRep_Builder()
_ALONG_U, _ALONG_V, _BACK_V = gp.gp_Dir2d(1.0, 0.0), gp.gp_Dir2d(0.0, 1.0), gp.gp_Dir2d(0.0, -1.0)


def tube_solid(line: Centreline, outside_mm: float, wall_mm: float) -> TopoDS.TopoDS_Solid:
    """Return the hollow tube round a centreline as one valid solid with its bore open at both flat ends.

    Args:
        line: the centreline; neighbouring pieces tangent to each other.
        outside_mm: outside diameter, mm.
        wall_mm: wall, mm; less than half the outside diameter.

    Raises:
        ValueError: if the wall leaves no bore, the line has no length, or a bend is tighter than the tube is thick.
    """
    outer, inner = outside_mm / 2.0, outside_mm / 2.0 - wall_mm
    if not 0.0 < inner < outer:
        raise ValueError(f"a tube of {outside_mm:g} outside has no bore with a wall of {wall_mm:g}")
    return _solid(line, outer, inner)


def rod_solid(line: Centreline, outside_mm: float) -> TopoDS.TopoDS_Solid:
    """Return the tube round a centreline, its bore filled, as one valid solid.

    Args:
        line: the centreline; neighbouring pieces tangent to each other.
        outside_mm: outside diameter, mm.

    Raises:
        ValueError: if the line has no length, or a bend is tighter than the tube is thick.
    """
    return _solid(line, outside_mm / 2.0, None)


def _solid(line: Centreline, outer: float, inner: float | None) -> TopoDS.TopoDS_Solid:
    pieces = [piece for piece in line.pieces if piece.length > SLIVER_MM]
    if not pieces:
        raise ValueError("a tube needs a centreline with some length")
    for piece in pieces:
        if isinstance(piece, Arc) and piece.radius <= outer:
            raise ValueError(f"a bend of radius {piece.radius:g} is too tight for tube of {2.0 * outer:g} outside")
    seams = _seams(pieces)
    stations = _stations(pieces, seams)
    shell = TopoDS.TopoDS_Shell()
    _build.MakeShell(shell)
    skins = [(outer, _FORWARD), *([] if inner is None else [(inner, _REVERSED)])]
    ends = []
    for radius, turned in skins:
        rings = [_Ring(station, radius) for station in stations]
        for piece, seam, before, after in zip(pieces, seams, rings, rings[1:], strict=False):
            face = _bend_face if isinstance(piece, Arc) else _leg_face
            _build.Add(shell, face(piece, seam, radius, before, after).Oriented(turned))
        ends.append((rings[0], rings[-1]))
    for which, station in ((0, stations[0]), (1, stations[-1])):
        _build.Add(shell, _end_face(station, [end[which] for end in ends], finish=bool(which)))
    shell.Closed(True)
    solid = TopoDS.TopoDS_Solid()
    _build.MakeSolid(solid)
    _build.Add(solid, shell)
    return solid


@dataclass(frozen=True)
class _Station:
    """A cross-section between two pieces: `zero` points to the seam before it (at the start: after it).

    `seam_after` is the angle from there to the seam of the next piece, right-handed about the direction of
    travel, in radians; `gap` is how far the two pieces stand apart where a sliver was left out.
    """

    centre: Vec3
    ahead: Vec3
    zero: Vec3
    seam_after: float
    gap: float


def _stations(pieces: list[LinePiece], seams: list[Vec3]) -> list[_Station]:
    """Return the cross-sections at the start, between pieces, and at the finish."""
    out = [_Station(pieces[0].start, pieces[0].direction, seams[0], 0.0, 0.0)]
    for piece, seam, following, next_seam in zip(pieces, seams, pieces[1:], seams[1:], strict=False):
        ahead, zero = following.direction, _carried(piece, seam)
        angle = atan2(dot(cross(zero, next_seam), ahead), dot(zero, next_seam)) % _TURN
        finish = piece.finish
        gap = max(abs(a - b) for a, b in zip(finish, following.start, strict=True))
        out.append(_Station(finish, ahead, zero, angle, gap))
    last = pieces[-1]
    ahead = last.finish_direction if isinstance(last, Arc) else last.direction
    out.append(_Station(last.finish, ahead, _carried(last, seams[-1]), 0.0, 0.0))
    return out


def _seams(pieces: list[LinePiece]) -> list[Vec3]:
    """Return the direction from the axis to the seam, at the start of each piece.

    A bend's lies on its back. A leg goes on with the bend before it; the first leg prepares for the bend after.
    """
    seams: list[Vec3] = []
    for i, piece in enumerate(pieces):
        if isinstance(piece, Arc):
            seams.append(piece.spoke)
        elif i:
            seams.append(_carried(pieces[i - 1], seams[-1]))
        elif len(pieces) > 1 and isinstance(following := pieces[1], Arc):
            seams.append(following.spoke)
        else:
            seams.append(any_normal(piece.direction))
    return seams


def _carried(piece: LinePiece, seam: Vec3) -> Vec3:
    return rotate(seam, piece.axis, piece.angle_deg) if isinstance(piece, Arc) else seam


class _Ring:
    """The circle round a station at one radius, as one edge, or as two where seams end at two places on it."""

    def __init__(self, station: _Station, radius: float) -> None:
        tolerance = TOLERANCE_MM + station.gap
        circle = Geom.Geom_Circle(
            gp.gp_Ax2(gp_point(station.centre), gp_way(station.ahead), gp_way(station.zero)), radius
        )
        split = station.seam_after
        apart = radius * min(split, _TURN - split)
        self.before = _vertex(circle.Value(0.0), tolerance)
        if apart <= MEET_MM:
            self.after = self.before
            # The seam beyond ends beside the vertex, not on it: vertex and ring are widened to hold both.
            _build.UpdateVertex(self.before, tolerance + apart)
            wide = tolerance + apart if apart > TOLERANCE_MM else tolerance
            self.edges = [_edge(circle, 0.0, _TURN, self.before, self.before, wide)]
            self.split = 0.0
        else:
            self.after = _vertex(circle.Value(split), tolerance)
            self.edges = [
                _edge(circle, 0.0, split, self.before, self.after, tolerance),
                _edge(circle, split, _TURN, self.after, self.before, tolerance),
            ]
            self.split = split

    def angles_before(self) -> list[float]:
        """Return for each edge what to add to its parameter to get the angle from the seam before."""
        return [0.0] * len(self.edges)

    def angles_after(self) -> list[float]:
        """Return for each edge what to add to its parameter to get the angle from the seam after."""
        return [_TURN - self.split, -self.split][-len(self.edges) :] if self.split else [0.0]


def _leg_face(piece: LinePiece, seam: Vec3, radius: float, before: _Ring, after: _Ring) -> TopoDS.TopoDS_Face:
    """Return the cylinder of a leg; u is the angle from the seam, v the distance along."""
    length = piece.length
    axes = gp.gp_Ax3(gp_point(piece.start), gp_way(piece.direction), gp_way(seam))
    face = _face(Geom.Geom_CylindricalSurface(axes, radius))
    line = Geom.Geom_Line(gp_point(along(piece.start, seam, radius)), gp_way(piece.direction))
    seam_edge = _edge(line, 0.0, length, before.after, after.before, TOLERANCE_MM)
    _build.UpdateEdge(seam_edge, _line2d(_TURN, 0.0, _ALONG_V), _line2d(0.0, 0.0, _ALONG_V), face, TOLERANCE_MM)
    for edge, shift in zip(before.edges, before.angles_after(), strict=True):
        _build.UpdateEdge(edge, _line2d(shift, 0.0, _ALONG_U), face, TOLERANCE_MM)
    for edge, shift in zip(after.edges, after.angles_before(), strict=True):
        _build.UpdateEdge(edge, _line2d(shift, length, _ALONG_U), face, TOLERANCE_MM)
    _close(face, before, after, seam_edge)
    return face


def _bend_face(piece: LinePiece, seam: Vec3, radius: float, before: _Ring, after: _Ring) -> TopoDS.TopoDS_Face:
    """Return the torus of a bend; u is the angle bent, v goes round the tube against the rings."""
    assert isinstance(piece, Arc)
    angle = radians(piece.angle_deg)
    centre, axis = gp_point(piece.centre), gp_way(piece.axis)
    face = _face(Geom.Geom_ToroidalSurface(gp.gp_Ax3(centre, axis, gp_way(seam)), piece.radius, radius))
    back = Geom.Geom_Circle(gp.gp_Ax2(centre, axis, gp_way(seam)), piece.radius + radius)
    seam_edge = _edge(back, 0.0, angle, before.after, after.before, TOLERANCE_MM)
    _build.UpdateEdge(seam_edge, _line2d(0.0, 0.0, _ALONG_U), _line2d(0.0, _TURN, _ALONG_U), face, TOLERANCE_MM)
    for edge, shift in zip(before.edges, before.angles_after(), strict=True):
        _build.UpdateEdge(edge, _line2d(0.0, _TURN - shift, _BACK_V), face, TOLERANCE_MM)
    for edge, shift in zip(after.edges, after.angles_before(), strict=True):
        _build.UpdateEdge(edge, _line2d(angle, _TURN - shift, _BACK_V), face, TOLERANCE_MM)
    _close(face, before, after, seam_edge)
    return face


def _close(face: TopoDS.TopoDS_Face, before: _Ring, after: _Ring, seam_edge: TopoDS.TopoDS_Edge) -> None:
    """Give a face of tube its one wire: the ring before, the seam, the ring after backwards, the seam back."""
    wire = TopoDS.TopoDS_Wire()
    _build.MakeWire(wire)
    edges = before.edges if before.after.IsSame(before.before) else before.edges[1:] + before.edges[:1]
    for edge in edges:
        _build.Add(wire, edge)
    _build.Add(wire, seam_edge)
    for edge in reversed(after.edges):
        _build.Add(wire, edge.Reversed())
    _build.Add(wire, seam_edge.Reversed())
    wire.Closed(True)
    _build.Add(face, wire)


def _end_face(station: _Station, rims: Sequence[_Ring], *, finish: bool) -> TopoDS.TopoDS_Face:
    """Return the flat face that ends the tube, facing out of the metal: within its outer rim, outside its inner."""
    facing = station.ahead if finish else scale(station.ahead, -1.0)
    face = _face(Geom.Geom_Plane(gp.gp_Pln(gp.gp_Ax3(gp_point(station.centre), gp_way(facing), gp_way(station.zero)))))
    for ring, turned in zip(rims, (finish, not finish), strict=False):
        wire = TopoDS.TopoDS_Wire()
        _build.MakeWire(wire)
        for edge in ring.edges:
            _build.Add(wire, edge if turned else edge.Reversed())
        wire.Closed(True)
        _build.Add(face, wire)
    return face


def _vertex(point: gp.gp_Pnt, tolerance: float) -> TopoDS.TopoDS_Vertex:
    vertex = TopoDS.TopoDS_Vertex()
    _build.MakeVertex(vertex, point, tolerance)
    return vertex


def _edge(
    curve: Geom.Geom_Curve,
    first: float,
    last: float,
    start: TopoDS.TopoDS_Vertex,
    finish: TopoDS.TopoDS_Vertex,
    tolerance: float,
) -> TopoDS.TopoDS_Edge:
    edge = TopoDS.TopoDS_Edge()
    _build.MakeEdge(edge, curve, tolerance)
    _build.Range(edge, first, last)
    _build.Add(edge, start.Oriented(_FORWARD))
    _build.Add(edge, finish.Oriented(_REVERSED))
    return edge


def _face(surface: Geom.Geom_Surface) -> TopoDS.TopoDS_Face:
    face = TopoDS.TopoDS_Face()
    _build.MakeFace(face, surface, TOLERANCE_MM)
    return face


def _line2d(u: float, v: float, direction: gp.gp_Dir2d) -> Geom2d.Geom2d_Line:
    return Geom2d.Geom2d_Line(gp.gp_Pnt2d(u, v), direction)


def gp_point(p: Vec3) -> gp.gp_Pnt:
    """Return a point as the kernel has it."""
    return gp.gp_Pnt(p[0], p[1], p[2])


def gp_way(d: Vec3) -> gp.gp_Dir:
    """Return a direction as the kernel has it."""
    return gp.gp_Dir(d[0], d[1], d[2])
