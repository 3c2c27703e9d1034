"""What a drawing shows and hides, against the kernel's exact hidden-line algorithm and by construction."""

from math import ceil, hypot

import gallery
import numpy as np
import pytest
from follower.views import LOOKS
from scipy.spatial import cKDTree

from pipemodel.bending.bends import bend_corners, centreline_of
from pipemodel.bending.schedule import solve
from pipemodel.drawing.projection import FRONTS, ISOMETRICS, PLAN, SIDES
from pipemodel.drawing.solids import room_solids, run_solids
from pipemodel.geometry.shapes import Box, Cylinder, HalfSpace, Mesh
from pipemodel.geometry.shapes.box import block_between
from pipemodel.geometry.view import View
from pipemodel.solids.outlines import SeenTube, frame_of, outline_of
from pipemodel.solids.projected import joined, projected

VIEWS = (*FRONTS, *SIDES, PLAN, *ISOMETRICS)
SPACING_MM = 0.5
SEAM_MM = 0.2
"""Shorter lines are where surfaces meet."""
NEAR_MM = 0.6
"""How far a point of one drawing may lie from the other: chords of 6 degrees on a bend, flats of round things."""


def points_of(strokes, body, visible):
    """Points along the strokes of one body, every half millimetre."""
    out = [np.zeros((0, 2))]
    for stroke in strokes:
        if stroke.body == body and stroke.visible == visible:
            for p, q in zip(stroke.points, stroke.points[1:], strict=False):
                n = ceil(hypot(q[0] - p[0], q[1] - p[1]) / SPACING_MM)
                out.append(np.linspace(p, q, n + 1))
    return np.concatenate(out)


def share_near(points, others):
    """How much of some points lies near some others."""
    if len(points) == 0:
        return 1.0
    if len(others) == 0:
        return 0.0
    return float((cKDTree(others).query(points)[0] <= NEAR_MM).mean())


def kernel_tube(corners, radius, outside):
    """A solid rod along straights and arcs through corner points, swept by the kernel from the corners alone."""
    from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeEdge, BRepBuilderAPI_MakeFace, BRepBuilderAPI_MakeWire
    from OCP.BRepOffsetAPI import BRepOffsetAPI_MakePipe
    from OCP.GC import GC_MakeArcOfCircle
    from OCP.gp import gp_Ax2, gp_Circ, gp_Dir, gp_Pnt

    p = np.array(corners, float)
    ways = np.diff(p, axis=0) / np.linalg.norm(np.diff(p, axis=0), axis=1)[:, None]
    wire, at = BRepBuilderAPI_MakeWire(), p[0]
    for corner, u, v in zip(p[1:-1], ways, ways[1:], strict=False):
        half = np.arccos(np.clip(u @ v, -1, 1)) / 2
        back, out = radius * np.tan(half), (v - u) / np.linalg.norm(v - u)
        begin, end = corner - back * u, corner + back * v
        middle = corner + out * (radius / np.cos(half) - radius)
        if np.linalg.norm(begin - at) > 1e-6:
            wire.Add(BRepBuilderAPI_MakeEdge(gp_Pnt(*at), gp_Pnt(*begin)).Edge())
        wire.Add(
            BRepBuilderAPI_MakeEdge(GC_MakeArcOfCircle(gp_Pnt(*begin), gp_Pnt(*middle), gp_Pnt(*end)).Value()).Edge()
        )
        at = end
    wire.Add(BRepBuilderAPI_MakeEdge(gp_Pnt(*at), gp_Pnt(*p[-1])).Edge())
    rim = gp_Circ(gp_Ax2(gp_Pnt(*p[0]), gp_Dir(*ways[0])), outside / 2)
    face = BRepBuilderAPI_MakeFace(BRepBuilderAPI_MakeWire(BRepBuilderAPI_MakeEdge(rim).Edge()).Wire()).Face()
    return BRepOffsetAPI_MakePipe(wire.Wire(), face).Shape()


def kernel_thing(shape):
    """A thing of the room as a solid of the kernel; a wall without end as a slab far wider than the room."""
    from OCP.BRepPrimAPI import BRepPrimAPI_MakeBox, BRepPrimAPI_MakeCylinder
    from OCP.gp import gp_Ax2, gp_Dir, gp_Pnt

    if isinstance(shape, Box):
        return BRepPrimAPI_MakeBox(gp_Pnt(*shape.low), gp_Pnt(*shape.high)).Shape()
    if isinstance(shape, Cylinder):
        along = np.subtract(shape.finish, shape.start)
        axis = gp_Ax2(gp_Pnt(*shape.start), gp_Dir(*along))
        return BRepPrimAPI_MakeCylinder(axis, shape.diameter / 2, float(np.linalg.norm(along))).Shape()
    normal, at = np.array(shape.normal), np.array(shape.point)
    wide = 9000.0 * (1 - abs(normal))
    low, high = np.sort([at - wide - 50.0 * normal, at + wide], axis=0)
    return BRepPrimAPI_MakeBox(gp_Pnt(*low), gp_Pnt(*high)).Shape()


def kernel_points(shapes, title, which):
    """Points along the visible lines of one solid, by the kernel's exact algorithm on exact surfaces.

    From where that is, goes by the view's title alone.
    """
    from OCP.BRepAdaptor import BRepAdaptor_Curve
    from OCP.BRepLib import BRepLib
    from OCP.GCPnts import GCPnts_AbscissaPoint, GCPnts_QuasiUniformAbscissa
    from OCP.gp import gp_Ax2, gp_Dir, gp_Pnt
    from OCP.HLRAlgo import HLRAlgo_Projector
    from OCP.HLRBRep import HLRBRep_Algo, HLRBRep_HLRToShape
    from OCP.TopAbs import TopAbs_EDGE
    from OCP.TopExp import TopExp_Explorer
    from OCP.TopoDS import TopoDS

    right, upright = LOOKS[title]
    algorithm = HLRBRep_Algo()
    for shape in shapes:
        BRepLib.EncodeRegularity_s(shape, 1e-6)
        algorithm.Add(shape, 0)
    algorithm.Projector(HLRAlgo_Projector(gp_Ax2(gp_Pnt(0, 0, 0), gp_Dir(*np.cross(right, upright)), gp_Dir(*right))))
    algorithm.Update()
    algorithm.Hide()
    reader = HLRBRep_HLRToShape(algorithm)
    out = [np.zeros((0, 2))]
    for compound in (reader.VCompound(shapes[which]), reader.OutLineVCompound(shapes[which])):
        if compound is None or compound.IsNull():
            continue
        BRepLib.BuildCurves3d_s(compound)
        explorer = TopExp_Explorer(compound, TopAbs_EDGE)
        while explorer.More():
            curve = BRepAdaptor_Curve(TopoDS.Edge_s(explorer.Current()))
            explorer.Next()
            length = GCPnts_AbscissaPoint.Length_s(curve)
            if length < SEAM_MM:
                continue
            points = GCPnts_QuasiUniformAbscissa(curve, ceil(length / SPACING_MM) + 1)
            places = [curve.Value(points.Parameter(k)) for k in range(1, points.NbPoints() + 1)]
            out.append(np.array([(p.X(), p.Y()) for p in places]))
    return np.concatenate(out)


@pytest.mark.slow
@pytest.mark.kernel
@pytest.mark.parametrize("view", VIEWS, ids=lambda view: view.title)
@pytest.mark.parametrize("named", ["airing_cupboard", "clashing", "two_runs"])
def test_what_is_seen_of_the_runs_is_what_the_kernel_sees(named, view):
    """Tubes and things are made by the kernel from corner points and sizes, and looked at by the view's title."""
    schedule = solve(getattr(gallery, named)())
    eye = np.cross(*LOOKS[view.title])
    # A wall that looks away from the eye stands before everything; a drawing leaves it out.
    room = [(solid, thing) for solid, thing in zip(room_solids(schedule), schedule.job.things, strict=True)
            if not isinstance(thing.shape, HalfSpace) or np.dot(thing.shape.normal, eye) > -0.1]  # fmt: skip
    solids = [*run_solids(schedule.runs), *(solid for solid, _ in room)]
    tubes = {"flow": (gallery.FLOW, 55.0, 15.0), "return": (gallery.RETURN, 77.0, 22.0)}
    shapes = [kernel_tube(*tubes[run.name]) for run in schedule.runs]
    shapes += [kernel_thing(thing.shape) for _, thing in room]
    strokes = projected([solid.body for solid in solids], view)
    for number in range(len(schedule.runs)):
        ours, theirs = points_of(strokes, number, True), kernel_points(shapes, view.title, number)
        assert share_near(ours, theirs) > 0.98
        # The kernel also draws the half circle where a bend leaves a leg seen end-on; there the surface is smooth.
        assert share_near(theirs, ours) > 0.95
        assert min(len(theirs), len(ours)) > 300


def test_a_tube_behind_a_board_is_hidden_just_there():
    line = centreline_of(bend_corners(((0, 0, 0), (1000, 0, 0)), 55.0)[0])
    board = block_between((300, -100, -50), (500, -80, 50))
    strokes = [s for s in projected([SeenTube(line, 15.0), board], View("", (0, -1, 0))) if s.body == 0]
    hidden = [x for s in strokes if not s.visible for x, _ in s.points]
    assert (min(hidden), max(hidden)) == (pytest.approx(300, abs=0.05), pytest.approx(500, abs=0.05))
    seen = [s for s in strokes if s.visible]
    assert all(max(x for x, _ in s.points) <= 300.05 or min(x for x, _ in s.points) >= 499.95 for s in seen)


def test_the_same_board_behind_the_tube_hides_nothing():
    line = centreline_of(bend_corners(((0, 0, 0), (1000, 0, 0)), 55.0)[0])
    board = block_between((300, 80, -50), (500, 100, 50))
    strokes = projected([SeenTube(line, 15.0), board], View("", (0, -1, 0)))
    assert all(s.visible for s in strokes if s.body == 0)
    # And the tube hides a strip of the board's edges as wide as itself, 15.
    seen = [z for s in strokes if s.body == 1 and s.visible for x, z in s.points if x == pytest.approx(300)]
    assert sorted(seen) == [pytest.approx(z, abs=0.05) for z in (-50, -7.5, 7.5, 50)]


def test_a_tube_seen_end_on_is_a_circle():
    line = centreline_of(bend_corners(((0, 0, 0), (1000, 0, 0)), 55.0)[0])
    strokes = projected([SeenTube(line, 15.0)], View("", (1, 0, 0)))
    assert all(hypot(*p) == pytest.approx(7.5, abs=0.01) for s in strokes for p in s.points)


@pytest.mark.parametrize("along", [1.0, -1.0])
@pytest.mark.parametrize("side", [1.0, -1.0])
def test_of_the_far_end_of_a_tube_just_the_inner_half_is_hidden(along, side):
    """Seen at 45 degrees each end is an ellipse of 30 by 30 / sqrt 2; the tube hides half of the one farther off."""
    line = centreline_of(bend_corners(((0, 0, 0), (400.0 * along, 0, 0)), 55.0)[0])
    strokes = projected([SeenTube(line, 60.0)], View("", (side, -1, 0)))
    hidden = points_of(strokes, 0, False)
    turn = np.linspace(-np.pi / 2, np.pi / 2, 20001)
    half = np.hypot(np.diff(30.0 / np.sqrt(2.0) * np.cos(turn)), np.diff(30.0 * np.sin(turn))).sum()
    assert sum(
        hypot(q[0] - p[0], q[1] - p[1])
        for stroke in strokes
        if not stroke.visible
        for p, q in zip(stroke.points, stroke.points[1:], strict=False)
    ) == pytest.approx(half, rel=0.01)
    # The ends lie 400 / sqrt 2 apart in the picture; what is hidden bulges from the far one towards the near one.
    far = 0.0 if along == side else 400.0 / np.sqrt(2.0) * along
    near = 400.0 / np.sqrt(2.0) * along - far
    across = (hidden[:, 0] - far) * np.sign(near - far)
    assert across.min() > -0.5
    assert across.max() == pytest.approx(30.0 / np.sqrt(2.0), abs=0.1)


def test_far_from_the_origin_it_looks_the_same():
    job = gallery.airing_cupboard()
    schedule = solve(job)
    bodies = [solid.body for solid in (*run_solids(schedule.runs), *room_solids(schedule))]
    far = (1.0e6, -2.0e6, 5.0e5)
    corners = tuple(tuple(a + b for a, b in zip(p, far, strict=False)) for p in gallery.FLOW)
    moved = [SeenTube(centreline_of(bend_corners(corners, 55.0)[0]), 15.0)]
    moved += [Mesh(body.vertices + np.array(far), body.faces) for body in bodies[1:]]
    for view in (PLAN, ISOMETRICS[0]):
        here = projected(bodies, view)
        there = projected(moved, view, far)
        shift = view.flat(far)
        points = points_of(there, 0, True) - shift
        assert share_near(points_of(here, 0, True), points) == 1.0
        assert share_near(points, points_of(here, 0, True)) == 1.0


def test_a_round_thing_shows_no_flats():
    pipe = gallery.ROOM[4].shape
    job = gallery.job(things=(gallery.ROOM[4],))
    solid = room_solids(solve(job))[0]
    strokes = projected([solid.body], View("", (0.3, -1, 0.2)))
    long = [s for s in strokes if s.visible and hypot(*np.subtract(s.points[0], s.points[-1])) > 500]
    assert pipe.diameter == 43.0
    assert sum(len(s.points) - 1 for s in long) <= 2 * 25 + 2  # two sides, and the ends' circles where they join on


def test_strokes_are_joined_end_to_end():
    pieces = [((0, 0), (1, 0)), ((2, 0), (1, 0)), ((2, 0), (2, 1)), ((0, 0), (1, 0)), ((5, 5), (6, 5))]
    assert sorted(joined(pieces)) == [((0, 0), (2, 0), (2, 1)), ((5, 5), (6, 5))]


def test_a_mesh_shows_its_creases_and_its_outline_only():
    box = Box((0, 0, 0), (10, 20, 30)).mesh(0.1, None)
    strokes = projected([box], View("", (1, -1, 1)))
    total = sum(
        hypot(*np.subtract(p, q)) for s in strokes if s.visible for p, q in zip(s.points, s.points[1:], strict=False)
    )
    # Nine of the twelve edges are seen, each shortened by the square root of two thirds (isometric).
    assert total == pytest.approx(3 * (10 + 20 + 30) * (2 / 3) ** 0.5, rel=1e-3)


@pytest.mark.parametrize("size", [1.0, 0.02])
def test_a_mesh_of_small_facets_shows_no_seam_between_them(size):
    """A block of 10 x 20 x 30 and one of 0.2 x 0.4 x 0.6: the facets of the smaller are all below 1 mm2."""
    box = Box((0, 0, 0), (10 * size, 20 * size, 30 * size)).mesh(0.1, None)
    drawn = outline_of(box, frame_of(View("", (1, -1, 1)), (0.0, 0.0, 0.0))).segments
    total = sum(float(np.linalg.norm(b - a)) for a, b in drawn)
    # In space, the nine edges that face the eye: three of each length.
    assert total == pytest.approx(3 * 60 * size, rel=1e-9)
