"""STEP read back by the kernel: names, colours, units, volumes; and the same bytes in every process."""

import math
import os
import re
import subprocess
import sys

import cadquery
import numpy as np
import pytest
import trimesh
from kernel_measures import faces, listed, measured, surfaces, valid
from tube_lines import exact_volume

from pipemodel.bending.schedule import solve
from pipemodel.geometry.shapes import Box, Cylinder, Extrusion, HalfSpace, Mesh, MeshFile
from pipemodel.job.model import Job, Route, Run, Thing
from pipemodel.solids.colours import run_colour
from pipemodel.solids.step import job_step, write_run_step
from pipemodel.trade.model import Former, Tube

pytestmark = pytest.mark.kernel

TUBE = Tube(15.0, 0.7, "15 x 0.7")
LONG = "tail to the panel’s back – " * 12 + "end"
ROOM = (
    Thing("waste pipe", Cylinder((300.0, -200.0, 80.0), (300.0, 800.0, 80.0), 50.0)),
    Thing("boxing", Box((500.0, 100.0, 0.0), (900.0, 160.0, 400.0))),
    Thing("wall", HalfSpace((0.0, 900.0, 0.0), (0.0, -1.0, 0.0))),
    Thing("hearth", Extrusion(((0.0, 0.0), (100.0, 0.0), (100.0, 100.0), (0.0, 100.0)), -50.0, 0.0)),
)


def run(name, corners):
    return Run(name, TUBE, Former(55.0), Route(tuple(tuple(map(float, c)) for c in corners)))


RETURN = run("return", [(0, 0, 0), (600, 0, 0), (600, 400, 0), (600, 400, 350)])
JOB = Job("12 Larch Row", (RETURN, run("flow", [(0, 60, 0), (600, 60, 0), (600, 400, 60)])), ROOM)


def written(tmp_path, job):
    path = tmp_path / "job.step"
    data, notes = job_step(solve(job))
    path.write_bytes(data)
    return path, notes


def read(path):
    """Every part of a STEP file: name, shape and colour (sRGB), in the file's order."""
    from OCP.Quantity import Quantity_Color, Quantity_TOC_sRGB
    from OCP.STEPCAFControl import STEPCAFControl_Reader
    from OCP.TCollection import TCollection_ExtendedString
    from OCP.TDataStd import TDataStd_Name
    from OCP.TDF import TDF_LabelSequence
    from OCP.TDocStd import TDocStd_Document
    from OCP.XCAFDoc import XCAFDoc_ColorSurf, XCAFDoc_DocumentTool

    document = TDocStd_Document(TCollection_ExtendedString("BinXCAF"))
    reader = STEPCAFControl_Reader()
    reader.ReadFile(str(path))
    assert reader.Transfer(document)
    shapes = XCAFDoc_DocumentTool.ShapeTool_s(document.Main())
    colours = XCAFDoc_DocumentTool.ColorTool_s(document.Main())
    labels = TDF_LabelSequence()
    shapes.GetShapes(labels)
    parts = []
    for i in range(1, labels.Length() + 1):
        label, name, colour = labels.Value(i), TDataStd_Name(), Quantity_Color()
        assert label.FindAttribute(TDataStd_Name.GetID_s(), name)
        shape = shapes.GetShape_s(label)
        has = colours.GetColor(shape, XCAFDoc_ColorSurf, colour)
        rgb = colour.Values(Quantity_TOC_sRGB) if has else None
        parts.append((name.Get().ToExtString(), shape, rgb))
    return parts


def test_one_named_coloured_part_per_run_and_thing_in_one_assembly(tmp_path):
    path, notes = written(tmp_path, JOB)
    assembly, *parts = read(path)
    assert notes == ()
    assert assembly[0] == "12 Larch Row"
    assert [name for name, _, _ in parts] == ["return", "flow", "waste pipe", "boxing", "wall", "hearth"]
    expected = [run_colour(0), run_colour(1), *(thing.shape.colour for thing in ROOM)]
    for (_, _, colour), wanted in zip(parts, expected, strict=True):
        assert colour == pytest.approx(wanted, abs=1e-3)


def test_every_part_is_one_valid_solid_of_the_right_volume(tmp_path):
    from OCP.TopAbs import TopAbs_SOLID

    path, _ = written(tmp_path, JOB)
    assembly, *parts = read(path)
    volumes = {}
    for name, shape, _ in parts:
        assert listed(shape, TopAbs_SOLID).Extent() == 1
        assert valid(shape)
        volumes[name] = measured(shape)[0]
    assert listed(assembly[1], TopAbs_SOLID).Extent() == len(parts)
    for solved in solve(JOB).runs:
        assert volumes[solved.name] == pytest.approx(exact_volume(solved.centreline, 15.0, 0.7), rel=1e-9)
    assert volumes["boxing"] == pytest.approx(400.0 * 60.0 * 400.0, rel=1e-9)
    assert volumes["waste pipe"] == pytest.approx(np.pi * 625.0 * 1000.0, rel=1e-9)
    assert volumes["hearth"] == pytest.approx(500_000.0, rel=1e-9)


def test_a_run_by_itself(tmp_path):
    """One part, no assembly; still cylinders and tori, where it stands in the room."""
    from pipemodel.solids.step import write_run_step

    solved = solve(JOB).runs[0]
    write_run_step(tmp_path / "return.step", solved)
    [(name, shape, colour)] = read(tmp_path / "return.step")
    assert name == "return"
    assert colour == pytest.approx(run_colour(0), abs=1e-3)
    assert valid(shape)
    assert surfaces(shape) == {"Plane": 2, "Cylinder": 6, "Torus": 4}
    assert len(faces(shape)) == 12
    assert measured(shape)[0] == pytest.approx(exact_volume(solved.centreline, 15.0, 0.7), rel=1e-9)


def test_the_file_says_millimetres_and_its_protocol(tmp_path):
    path, _ = written(tmp_path, JOB)
    text = path.read_text("ascii")
    units = re.findall(r"LENGTH_UNIT\(\)[^;]*SI_UNIT\(([^)]*)\)", text)
    assert units
    assert set(units) == {".MILLI.,.METRE."}
    assert "FILE_SCHEMA(('AUTOMOTIVE_DESIGN { 1 0 10303 214 1 1 1 1 }'));" in text


@pytest.mark.parametrize(
    "name", ["Küche – Rücklauf", "it's 1/2\" \\ \\X2\\ (a;b)", "戻り管", "tube 𝒳", LONG, "'", "name 0", "ß" * 70]
)
def test_names_survive(tmp_path, name):
    """However long, in whatever script, and with the characters that mean something in the file."""
    names = [name, f"{name} run", f"{name} thing"]
    job = Job(names[0], (run(names[1], RETURN.route.corners),), (Thing(names[2], ROOM[1].shape),))
    path, _ = written(tmp_path, job)
    assert path.read_bytes().isascii()
    assert [part[0] for part in read(path)] == names


def test_parts_of_one_name_have_identities_of_their_own(tmp_path):
    things = tuple(Thing(name, ROOM[1].shape) for name in ("flow", "flow (2)"))
    text = written(tmp_path, Job("flow", (run("flow", RETURN.route.corners),), things))[0].read_text("ascii")
    found = re.findall(r"= PRODUCT\(\s*'([^']*)',\s*'([^']*)'", text)
    assert [name for _, name in found] == ["flow", "flow", "flow", "flow (2)"]
    assert len({identity for identity, _ in found}) == 4


@pytest.mark.slow
def test_the_same_job_gives_the_same_bytes_in_this_process_and_in_another(tmp_path):
    script = "import sys; from pathlib import Path; from test_step import write_all; write_all(Path(sys.argv[1]))"
    for folder in ("here", "again", "there"):
        (tmp_path / folder).mkdir()
    environment = {**os.environ, "PYTHONHASHSEED": "1", "PYTHONPATH": str(os.pathsep.join(sys.path))}
    subprocess.run([sys.executable, "-c", script, str(tmp_path / "there")], env=environment, check=True)
    write_all(tmp_path / "here")
    write_all(tmp_path / "again")
    here, again, there = (
        {path.name: path.read_bytes() for path in (tmp_path / folder).iterdir()}
        for folder in ("here", "again", "there")
    )
    assert set(here) == {"job.step", "return.step", "flow.step"}
    assert here == again == there


def write_all(folder):
    solved = solve(JOB)
    (folder / "job.step").write_bytes(job_step(solved)[0])
    for index, run in enumerate(solved.runs):
        write_run_step(folder / f"{run.name}.step", run, index)


def test_meshes_come_out_faceted_or_as_a_block_with_a_note(tmp_path):
    few, many = (trimesh.creation.icosphere(n, 10.0) for n in (1, 5))
    things = tuple(
        Thing(name, Mesh(np.asarray(m.vertices, dtype=float), np.asarray(m.faces), True, name))
        for name, m in (("few", few), ("many", many))
    )
    path, notes = written(tmp_path, Job("job", (RETURN,), things))
    parts = {name: shape for name, shape, _ in read(path)}
    assert measured(parts["few"])[0] == pytest.approx(few.volume, rel=1e-6)
    assert len(faces(parts["many"])) == 6
    assert len(notes) == 1
    assert str(notes[0]).startswith("many: ")


def test_a_step_file_of_several_solids_is_one_part_every_solid_of_it_coloured(tmp_path):
    from OCP.TopAbs import TopAbs_SOLID

    boiler, _ = written(tmp_path, JOB)
    boiler = boiler.rename(tmp_path / "boiler.step")
    moved = Thing("boiler", MeshFile(str(boiler), offset=(5000.0, 0.0, 0.0)))
    path, notes = written(tmp_path, Job("job", (RETURN,), (moved, ROOM[1])))
    parts = {name: shape for name, shape, _ in read(path)}
    assert list(parts) == ["job", "return", "boiler", "boxing"]
    assert notes == ()
    solids = listed(parts["boiler"], TopAbs_SOLID).Extent()
    assert solids == len(JOB.runs) + len(ROOM)
    assert path.read_text("ascii").count("STYLED_ITEM(") == solids + 2
    assert measured(parts["boiler"])[0] == pytest.approx(sum(measured(s)[0] for _, s, _ in read(boiler)[1:]), rel=1e-9)


def test_nothing_is_printed_and_the_kernel_s_settings_are_as_before(tmp_path, capfd):
    from OCP.Interface import Interface_Static

    from pipemodel.solids import step

    statics = Interface_Static
    statics.SetCVal_s("write.step.unit", "INCH")
    try:
        path, _ = written(tmp_path, JOB)
        assert statics.CVal_s("write.step.unit") == "INCH"
        assert statics.IVal_s("write.surfacecurve.mode") == 1
    finally:
        statics.SetCVal_s("write.step.unit", "MM")
    assert "INCH" not in path.read_text("ascii")
    assert step.quiet  # loaded in this process, so its silence is what is seen here
    assert capfd.readouterr() == ("", "")


def test_another_writer_in_this_process_changes_nothing(tmp_path):
    """CadQuery's export of an assembly leaves settings of its own in the kernel."""
    before = written(tmp_path, JOB)[0].read_bytes()
    assembly = cadquery.Assembly(name="other").add(cadquery.Workplane().box(1, 2, 3), name="part")
    assembly.export(str(tmp_path / "other.step"))
    assert written(tmp_path, JOB)[0].read_bytes() == before


def test_a_kernel_that_fails_is_no_file(tmp_path, monkeypatch):
    from OCP.IFSelect import IFSelect_RetFail

    from pipemodel.solids import step

    class Failing(step.STEPCAFControl.STEPCAFControl_Writer):
        def WriteStream(self, stream):
            return IFSelect_RetFail

    monkeypatch.setattr(step.STEPCAFControl, "STEPCAFControl_Writer", Failing)
    with pytest.raises(step.StepError):
        written(tmp_path, JOB)
    assert list(tmp_path.iterdir()) == []


def test_names_that_look_like_the_stand_ins_for_names(tmp_path):
    """The writer numbers names while the kernel works; a run called like one of those numbers stays what it is."""
    names = ["name 0", "name 99", "name 1"]
    runs = tuple(run(name, [(0, 60 * i, 0), (600 + i, 60 * i, 0)]) for i, name in enumerate(names))
    things = (Thing("name 2", ROOM[1].shape), Thing("name 99", ROOM[1].shape))
    path, _ = written(tmp_path, Job("name 3", runs, things))
    whole, *parts = read(path)
    assert whole[0] == "name 3"
    assert [part[0] for part in parts] == [*names, "name 2", "name 99"]
    outer, inner = 15.0 / 2.0, 15.0 / 2.0 - 0.7
    for i, part in enumerate(parts[:3]):
        volume = measured(part[1])[0]
        assert volume == pytest.approx(math.pi * (outer**2 - inner**2) * (600 + i), rel=1e-9)
    found = re.findall(r"\bPRODUCT\(\s*'([^']*)',\s*'([^']*)'", path.read_text())
    assert ("name 99", "name 99") in found
    assert ("name 99 (2)", "name 99") in found


def test_what_the_kernel_says_afterwards_is_printed_as_before():
    from OCP.Message import Message, Message_PrinterOStream

    from pipemodel.solids.kernel import quiet

    messenger = Message.DefaultMessenger_s()
    own = Message_PrinterOStream()
    messenger.AddPrinter(own)
    before = len(list(messenger.Printers()))
    try:
        with quiet():
            assert not list(messenger.Printers())
        assert len(list(messenger.Printers())) == before
    finally:
        messenger.RemovePrinter(own)
