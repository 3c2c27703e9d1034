"""Parts of jigs through an open slicer, where one is installed (Debian's slic3r): no supports, and the plastic said."""

import re
import shutil
import subprocess

import pytest
import trimesh
from jig_pieces import jig_of
from trimesh.transformations import translation_matrix

SLICER = shutil.which("slic3r")
LAYERS = ["--nozzle-diameter", "0.4", "--layer-height", "0.2", "--first-layer-height", "0.2", "--perimeters", "3"]
SUPPORTS = ["--support-material", "--support-material-threshold", "45", "--gcode-comments"]
OPTIONS = ["--no-gui", *LAYERS, "--fill-density", "15%", "--skirts", "0", "--filament-diameter", "1.75", *SUPPORTS]

pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(SLICER is None, reason="no slicer here; test_jig_print.py slices by its own measure"),
]


def sliced(mesh, folder):
    """How many moves lay supports, and the plastic in cm3."""
    mesh.export(folder / "part.stl")
    made = folder / "part.gcode"
    subprocess.run([SLICER, *OPTIONS, "-o", made, folder / "part.stl"], check=True, capture_output=True, timeout=120)
    lines = made.read_text().splitlines()
    (used,) = [float(m[1]) for line in lines if (m := re.match(r"; filament used = .*\(([\d.]+)cm3\)", line))]
    return sum("; support material" in line and line.startswith("G1") for line in lines), used


@pytest.mark.parametrize("name", ["flat set"])
def test_a_part_is_sliced_without_supports_and_takes_the_plastic_said(name, tmp_path):
    part = max(jig_of(name).parts, key=lambda p: p.body.size[2])
    supports, plastic = sliced(trimesh.Trimesh(part.body.vertices, part.body.faces), tmp_path)
    assert supports == 0
    # Solid floors and ceilings come on top of three lines and 15 %, channels and pockets have more skin.
    assert plastic == pytest.approx(part.plastic.plastic_cm3, rel=0.25)


def test_the_slicer_supports_what_hangs(tmp_path):
    stem = trimesh.creation.box((6, 6, 10), translation_matrix((0, 0, 5)))
    cap = trimesh.creation.box((30, 30, 3), translation_matrix((0, 0, 11.5)))
    assert sliced(trimesh.boolean.union([stem, cap], engine="manifold"), tmp_path)[0] > 20
