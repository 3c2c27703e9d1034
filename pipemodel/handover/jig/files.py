"""Every file of a jig, written into a folder that is there."""

from pathlib import Path

from pipemodel.handover.jig.threemf import Item, to_3mf
from pipemodel.jig.design import Jig
from pipemodel.jig.plates import set_out
from pipemodel.solids.mesh import TriangleMesh
from pipemodel.solids.stl import write_stl

BEDS_APART_MM = 30.0
"""In the 3MF, a second bed's parts stand this far beyond the first bed's edge."""


def write_jig(jig: Jig, stem: str, folder: Path) -> None:
    """Write all files of a jig: STEM-jig-….stl for each part, STEM-jig.3mf, and its papers."""
    for part in jig.parts:
        mesh = TriangleMesh(part.body.vertices, part.body.faces)
        write_stl(folder / f"{stem}-jig-{part.stem}.stl", mesh, f"{jig.solved.name}, {part.name}")
    (folder / f"{stem}-jig.3mf").write_bytes(_package(jig))


def _package(jig: Jig) -> bytes:
    bed = jig.settings.bed
    sizes = [(float(p.body.size[0]), float(p.body.size[1])) for p in jig.parts]
    items = [
        Item(
            f"{jig.solved.name} {part.name}",
            part.stem,
            part.body,
            (round(spot.bed * (bed.x_mm + BEDS_APART_MM) + spot.x_mm, 4), round(spot.y_mm, 4), 0.0),
        )
        for part, spot in zip(jig.parts, set_out(sizes, bed), strict=True)
    ]
    return to_3mf(f"Checking jig, {jig.solved.name}, revision {jig.settings.revision}", items)
