"""The exact tube against the kernel's own checks, Pappus's theorem and centres of mass worked out by hand."""

import math
from collections import Counter

import pytest
from kernel_measures import faces, listed, measured, surfaces, valid
from made_runs import made_run
from tube_lines import SPECIMENS, exact_centre, exact_volume, line, random_line

from pipemodel.bending.bends import centreline_of
from pipemodel.solids.brep import tube_solid

pytestmark = pytest.mark.kernel

OUTSIDE, WALL = 15.0, 0.7
SAME = 1e-9
"""Volumes, as a part of the whole; and centres of mass, as a part of the run's length."""

RUNS = {**SPECIMENS, **{f"random {seed}": random_line(seed) for seed in range(12)}}


@pytest.mark.parametrize("name", RUNS)
def test_one_valid_solid_of_the_exact_volume_about_the_exact_centre(name):
    from OCP.TopAbs import TopAbs_SOLID

    run = RUNS[name]
    solid = tube_solid(run, OUTSIDE, WALL)
    assert solid.ShapeType() == TopAbs_SOLID
    assert valid(solid)
    volume, centre = measured(solid, run.start)
    assert volume == pytest.approx(exact_volume(run, OUTSIDE, WALL), rel=SAME)
    assert math.dist(centre, exact_centre(run, OUTSIDE, WALL)) <= SAME * max(run.length, math.hypot(*run.start))


@pytest.mark.parametrize("name", RUNS)
def test_its_faces_are_cylinders_and_tori_and_two_flat_ends(name):
    run = RUNS[name]
    legs = sum(straight.length > 1e-6 for straight in run.straights)
    found = surfaces(tube_solid(run, OUTSIDE, WALL))
    assert found == Counter({"Plane": 2, "Cylinder": 2 * legs, "Torus": 2 * len(run.arcs)}) + Counter()


@pytest.mark.parametrize("name", RUNS)
def test_every_edge_is_used_twice(name):
    """Closed: between two faces, or as the seam of one, with no free edge left."""
    from OCP.TopAbs import TopAbs_EDGE
    from OCP.TopExp import TopExp_Explorer

    solid = tube_solid(RUNS[name], OUTSIDE, WALL)
    edges = listed(solid, TopAbs_EDGE)
    used = Counter()
    for face in faces(solid):
        its_edges = TopExp_Explorer(face, TopAbs_EDGE)
        while its_edges.More():
            used[edges.FindIndex(its_edges.Current())] += 1
            its_edges.Next()
    assert used == Counter(dict.fromkeys(range(1, edges.Extent() + 1), 2))


@pytest.mark.parametrize(("outside", "wall"), [(6.0, 0.6), (22.0, 0.9), (54.0, 1.2), (15.0, 7.0), (15.0, 1e-4)])
def test_other_sizes_of_tube(outside, wall):
    run = random_line(5, radius=80.0)
    solid = tube_solid(run, outside, wall)
    assert valid(solid)
    assert measured(solid)[0] == pytest.approx(exact_volume(run, outside, wall), rel=1e-9)


@pytest.mark.slow
def test_the_kernel_s_mesher_makes_it_watertight():
    """No crack between faces: a mesh of the solid has as much volume as its tolerance allows, inside and out."""
    import trimesh
    from OCP.BRep import BRep_Tool
    from OCP.BRepMesh import BRepMesh_IncrementalMesh
    from OCP.TopAbs import TopAbs_REVERSED
    from OCP.TopLoc import TopLoc_Location

    run = random_line(2)
    solid = tube_solid(run, OUTSIDE, WALL)
    BRepMesh_IncrementalMesh(solid, 0.02, False, 0.3, False)
    soup = []
    for face in faces(solid):
        flat = BRep_Tool.Triangulation_s(face, TopLoc_Location())
        for i in range(1, flat.NbTriangles() + 1):
            corners = [flat.Node(n).Coord() for n in flat.Triangle(i).Get()]
            soup.append(corners[::-1] if face.Orientation() == TopAbs_REVERSED else corners)
    mesh = trimesh.Trimesh(**trimesh.triangles.to_kwargs(soup))
    mesh.merge_vertices(digits_vertex=6)
    assert mesh.is_watertight
    assert mesh.is_winding_consistent
    assert mesh.volume == pytest.approx(exact_volume(run, OUTSIDE, WALL), rel=0.01)


def test_the_kernel_can_cut_it():
    """A box that swallows half a straight tube leaves half of it."""
    from OCP.BRepAlgoAPI import BRepAlgoAPI_Cut
    from OCP.BRepPrimAPI import BRepPrimAPI_MakeBox
    from OCP.gp import gp_Pnt

    run = line([(0, 0, 0), (200, 0, 0)])
    half = BRepAlgoAPI_Cut(
        tube_solid(run, OUTSIDE, WALL), BRepPrimAPI_MakeBox(gp_Pnt(100, -20, -20), gp_Pnt(300, 20, 20)).Solid()
    ).Shape()
    assert valid(half)
    assert measured(half)[0] == pytest.approx(exact_volume(run, OUTSIDE, WALL) / 2.0, rel=1e-9)


@pytest.mark.parametrize("wall", [0.0, -1.0, 7.5, 9.0, math.nan])
def test_a_wall_that_leaves_no_bore_is_refused(wall):
    with pytest.raises(ValueError, match="no bore"):
        tube_solid(SPECIMENS["one 90"], OUTSIDE, wall)


def test_a_bend_tighter_than_the_tube_is_thick_is_refused():
    with pytest.raises(ValueError, match="too tight"):
        tube_solid(SPECIMENS["tight"], 16.0, 1.0)


@pytest.mark.parametrize("turn", [0.0, 7e-7, 1e-6, 3e-5, 6e-5, -6e-5, 9e-5, 2e-4])
def test_seams_that_nearly_meet_still_end_on_the_corners_they_share(turn):
    """A turn of 0.00006 degrees puts two seams on the skin 0.000008 mm apart: they end on one point, wide enough."""
    from OCP.BRep import BRep_Tool
    from OCP.BRepAdaptor import BRepAdaptor_Curve
    from OCP.TopAbs import TopAbs_EDGE
    from OCP.TopExp import TopExp
    from OCP.TopoDS import TopoDS

    run = centreline_of(made_run([200, 100, 200], [90, 90], [turn]).table)
    solid = tube_solid(run, OUTSIDE, WALL)
    assert valid(solid)
    edges = listed(solid, TopAbs_EDGE)
    assert edges.Extent() > 10
    for i in range(1, edges.Extent() + 1):
        edge = TopoDS.Edge(edges.FindKey(i))
        curve = BRepAdaptor_Curve(edge)
        ends = (TopExp.FirstVertex_s(edge), curve.FirstParameter()), (TopExp.LastVertex_s(edge), curve.LastParameter())
        for vertex, at in ends:
            assert curve.Value(at).Distance(BRep_Tool.Pnt_s(vertex)) <= BRep_Tool.Tolerance_s(vertex) + 1e-12
