"""Solid and triangles of a run: ours beside a general sweep and the kernel's own mesher, in one process.

Run it with `python tests/benchmarks/bench_solids.py`; docs/benchmarks.md says what was found.
"""

import tempfile
from pathlib import Path

import cadquery as cq
from measuring import best_ms, print_machine, print_table
from OCP.BRep import BRep_Tool
from OCP.BRepMesh import BRepMesh_IncrementalMesh
from OCP.BRepTools import BRepTools
from OCP.TopLoc import TopLoc_Location
from peer_sweep import tube
from runs import OUTSIDE, RADIUS, WALL, staircase

from pipemodel.bending.bends import bend_corners, centreline_of
from pipemodel.solids.brep import tube_solid
from pipemodel.solids.mesh import tube_mesh
from pipemodel.solids.stl import write_stl


def solids() -> None:
    """The exact solid, for three lengths of run; the least volume error over both is printed too."""
    rows = []
    for bends in (4, 10, 40):
        corners = staircase(bends)
        line = centreline_of(bend_corners(corners, RADIUS)[0])
        exact = 3.141592653589793 * (OUTSIDE - WALL) * WALL * line.length
        ours, peers = cq.Solid(tube_solid(line, OUTSIDE, WALL)), tube(corners).val()
        assert ours.isValid()
        assert peers.isValid()
        mine = best_ms(lambda line=line: tube_solid(line, OUTSIDE, WALL), 10)
        theirs = best_ms(lambda corners=corners: tube(corners), 3)
        error, peer_error = abs(ours.Volume() / exact - 1.0), abs(peers.Volume() / exact - 1.0)
        times = [f"{mine:.2f}", f"{theirs:.1f}", f"{theirs / mine:.0f}"]
        rows.append([f"{bends} bends", *times, f"{error:.0e}", f"{peer_error:.0e}"])
    head = ["one valid solid", "ours, ms", "sweep, ms", "times faster", "volume error", "sweep's"]
    print_table("Solid of a run against a general sweep of the same wire", head, rows)


def triangles() -> None:
    """Triangles at some tolerances: the kernel's mesher at its coarsest angle, and at what exporters usually ask."""
    line = centreline_of(bend_corners(staircase(10), RADIUS)[0])
    solid = tube_solid(line, OUTSIDE, WALL)
    rows = []
    for chord in (0.5, 0.1, 0.05, 0.02):
        mine = best_ms(lambda chord=chord: tube_mesh(line, OUTSIDE, WALL, chord), 10)
        count = len(tube_mesh(line, OUTSIDE, WALL, chord).faces)
        for angle in (1.5, 0.5, 0.1):
            theirs = best_ms(lambda chord=chord, angle=angle: kernel_mesh(solid, chord, angle), 2)
            kernels = sum(
                BRep_Tool.Triangulation_s(face.wrapped, TopLoc_Location()).NbTriangles()
                for face in cq.Solid(solid).Faces()
            )
            name = f"{chord:g} mm, kernel's angle {angle:g}"
            rows.append([name, f"{mine:.2f}", f"{theirs:.1f}", f"{theirs / mine:.0f}", str(count), str(kernels)])
    head = ["chord", "ours, ms", "kernel, ms", "times faster", "triangles", "kernel's"]
    print_table("Triangles of a 10-bend run against the kernel's mesher", head, rows)


def kernel_mesh(solid: object, chord: float, angle: float) -> None:
    """Mesh afresh: what was there before is taken away first."""
    BRepTools.Clean_s(solid)
    BRepMesh_IncrementalMesh(solid, chord, False, angle, False)


def stl_files() -> None:
    """Triangles and the file, from the centreline, against the general library's exporter from a solid at hand."""
    corners = staircase(10)
    line = centreline_of(bend_corners(corners, RADIUS)[0])
    peers = tube(corners)
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "a.stl"
        mine = best_ms(lambda: write_stl(path, tube_mesh(line, OUTSIDE, WALL, 0.05), "run"))
        size = path.stat().st_size

        def export() -> None:
            BRepTools.Clean_s(peers.val().wrapped)
            cq.exporters.export(peers, str(path), tolerance=0.05)

        theirs = best_ms(export, 2)
        sizes = [f"{size / 1e6:.1f}", f"{path.stat().st_size / 1e6:.1f}"]
    head = ["STL at 0.05 mm", "ours, ms", "exporter, ms", "times faster", "MB", "exporter's"]
    row = ["10 bends", f"{mine:.1f}", f"{theirs:.1f}", f"{theirs / mine:.0f}", *sizes]
    print_table("STL file of a 10-bend run", head, [row])


if __name__ == "__main__":
    print_machine()
    solids()
    triangles()
    stl_files()
