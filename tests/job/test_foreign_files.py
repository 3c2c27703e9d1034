"""Files that somebody else made, damaged in every way: a fault at the thing's line, and nothing else comes of it."""

import json
import os
import random
import re
from collections import OrderedDict

import pytest
import trimesh
from command_line import CLASHING, LEAST, run
from wide import few_or_many

from pipemodel import story
from pipemodel.geometry.shapes import MeshFile
from pipemodel.processes.child import ChildFailedError, ChildLimits
from pipemodel.solids import meshfile
from pipemodel.solids.meshfile import MeshError, load_mesh
from pipemodel.solids.missing import LibraryMissingError

BOILER = "  boiler: {mesh: {file: FILE, at: [300, 700, 0]}}\n"
PLACE = "job.yaml:6:3: room 'boiler': "


def job_with(folder, file, text=LEAST):
    path = folder / "job.yaml"
    path.write_text(text.replace("  waste pipe:", BOILER.replace("FILE", file) + "  waste pipe:"))
    return path


@pytest.fixture(scope="module")
def step_text(tmp_path_factory):
    """A block with a rounded edge, as the kernel's own writer puts it, curves on surfaces and all."""
    from OCP.BRepFilletAPI import BRepFilletAPI_MakeFillet
    from OCP.BRepPrimAPI import BRepPrimAPI_MakeBox
    from OCP.STEPControl import STEPControl_StepModelType, STEPControl_Writer
    from OCP.TopAbs import TopAbs_EDGE
    from OCP.TopExp import TopExp_Explorer
    from OCP.TopoDS import TopoDS

    block = BRepPrimAPI_MakeBox(20.0, 30.0, 50.0).Shape()
    rounded = BRepFilletAPI_MakeFillet(block)
    rounded.Add(3.0, TopoDS.Edge_s(TopExp_Explorer(block, TopAbs_EDGE).Current()))
    writer = STEPControl_Writer()
    writer.Transfer(rounded.Shape(), STEPControl_StepModelType.STEPControl_AsIs)
    path = tmp_path_factory.mktemp("step") / "block.step"
    writer.Write(str(path))
    return path.read_text()


def refers_to_itself(text):
    """A line whose direction is the line itself: the kernel runs into the end of its stack, or of its memory."""
    return re.sub(r"(#\d+) = LINE\('',(#\d+),#\d+\)", r"\1 = LINE('',\2,\1)", text)


COMMANDS = ["make", "check --format json", "check"]


@pytest.mark.slow
@pytest.mark.kernel
@pytest.mark.parametrize("command", COMMANDS[: few_or_many(2, 3)])
def test_a_file_that_crashes_the_kernel_is_a_fault_at_its_line(tmp_path, step_text, command):
    (tmp_path / "boiler.step").write_text(refers_to_itself(step_text))
    name, *options = command.split()
    said = run(
        name, job_with(tmp_path, "boiler.step"), *options, *(("--out", tmp_path / "out") if name == "make" else ())
    )
    assert (said.code, said.out) == (2, "")
    assert PLACE + "the file 'boiler.step' is damaged: its reader stopped with signal" in said.err
    assert "Traceback" not in said.err
    assert sorted(p.name for p in tmp_path.iterdir()) == ["boiler.step", "job.yaml"]


@pytest.mark.slow
@pytest.mark.kernel
def test_every_file_is_judged_by_itself(tmp_path, step_text):
    """The one that crashes takes neither the one before nor the one after it along."""
    (tmp_path / "bad.step").write_text(refers_to_itself(step_text))
    (tmp_path / "good.step").write_text(step_text)
    for name in ("good", "bad", "good"):
        if name == "good":
            assert len(load_mesh(MeshFile(str(tmp_path / "good.step"))).faces) > 12
        else:
            with pytest.raises(MeshError, match="damaged"):
                load_mesh(MeshFile(str(tmp_path / "bad.step")))
        meshfile._kept.clear()
        meshfile._triangles = 0


def outcome(path):
    """Read a file that may be damaged: "read" if a whole mesh comes of it, "refused" if it is refused by its name."""
    try:
        mesh = load_mesh(MeshFile(str(path)))
    except MeshError as error:
        return "refused" if path.name in str(error) else str(error)
    return "read" if mesh.faces.max() < len(mesh.vertices) else "broken"


@pytest.mark.slow
@pytest.mark.kernel
def test_random_damage_to_a_step_file_never_ends_the_process(tmp_path, step_text):
    """Lines left out, numbers exchanged, references turned: each mutant is read or refused by name."""
    rng = random.Random(5)
    lines = step_text.splitlines()
    ends = {"read": 0, "refused": 0}
    for number in range(few_or_many(6, 12)):
        out = list(lines)
        for _ in range(rng.randint(1, 3)):
            i = rng.randrange(12, len(out))
            refs = re.findall(r"#\d+", out[i])
            way = rng.randrange(3)
            if way == 0 or len(refs) < 2:
                del out[i]
            elif way == 1:
                out[i] = out[i].replace(refs[-1], f"#{rng.randrange(1, 300)}")
            else:
                out[i] = out[i].replace(refs[-1], refs[0])
        path = tmp_path / f"{number}.step"
        path.write_text("\n".join(out))
        ends[outcome(path)] += 1
    assert min(ends.values()) >= few_or_many(1, 2)


@pytest.mark.slow
@pytest.mark.parametrize("ending", ["stl", "obj", "ply", "off", "3mf", "glb"])
def test_random_damage_to_meshes(tmp_path, ending):
    rng = random.Random(ending)
    data = trimesh.creation.icosphere(1).export(file_type=ending)
    data = data.encode() if isinstance(data, str) else data
    ends = {"read": 0, "refused": 0}
    for number in range(12):
        spoilt = bytearray(data[: rng.randrange(len(data))] if number % 3 == 0 else data)
        for _ in range(rng.randrange(1, 9)):
            if spoilt:
                spoilt[rng.randrange(len(spoilt))] = rng.randrange(256)
        path = tmp_path / f"{number}.{ending}"
        path.write_bytes(spoilt)
        ends[outcome(path)] += 1
    assert sum(ends.values()) == 12
    assert ends["refused"] >= 2


@pytest.mark.slow
@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="pipes with names, as POSIX has them")
@pytest.mark.parametrize("kind", ["a pipe", "a device", "a folder"])
def test_what_is_no_plain_file_is_refused(tmp_path, kind):
    path = tmp_path / "boiler.stl"
    if kind == "a pipe":
        os.mkfifo(path)
    elif kind == "a folder":
        path.mkdir()
    else:
        path.symlink_to("/dev/zero")
    said = run("check", job_with(tmp_path, "boiler.stl"), "--allow-outside")
    assert said.code == 2
    assert re.search(r"job\.yaml:6:25: .*(is a pipe or a device|is a folder)", said.err)
    # The reader itself is not taken in either, should the file change after the job was read.
    with pytest.raises(MeshError, match=r"no plain file|cannot be read"):
        load_mesh(MeshFile(str(path)))


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="pipes with names, as POSIX has them")
def test_a_pipe_for_a_file_of_formers_is_refused(tmp_path):
    os.mkfifo(tmp_path / "formers.yaml")
    path = tmp_path / "job.yaml"
    path.write_text(LEAST.replace("former: {radius: 55}", "former: {file: formers.yaml, name: mine}"))
    said = run("schedule", path)
    assert said.code == 2
    assert "is a pipe or a device" in said.err


def test_a_file_is_read_once_as_long_as_it_stays_the_same(tmp_path):
    path = tmp_path / "box.stl"
    trimesh.creation.box((10, 10, 10)).export(path)
    first = load_mesh(MeshFile(str(path)))
    assert load_mesh(MeshFile(str(path))) is first
    assert load_mesh(MeshFile(str(path), offset=(1.0, 0.0, 0.0))) is not first
    trimesh.creation.box((10, 10, 30)).export(path)
    os.utime(path, ns=(1, 1))
    assert load_mesh(MeshFile(str(path))).vertices[:, 2].max() == pytest.approx(15.0)
    with pytest.raises(ValueError, match="read-only"):
        first.vertices[0, 0] = 1.0


def test_a_file_that_an_earlier_command_read_is_not_read_again_until_it_changes(tmp_path, monkeypatch):
    monkeypatch.setenv("PIPEMODEL_CACHE", str(tmp_path / "kept"))
    path = tmp_path / "box.stl"
    asked = []
    answer = meshfile._answer
    monkeypatch.setattr(meshfile, "_answer", lambda request: asked.append(1) or answer(request))

    def by_a_new_command(**placed):
        monkeypatch.setattr(meshfile, "_kept", OrderedDict())
        monkeypatch.setattr(meshfile, "_triangles", 0)
        before = len(asked)
        mesh = load_mesh(MeshFile(str(path), **placed))
        return len(asked) - before, mesh

    trimesh.creation.box((10, 10, 10)).export(path)
    read, first = by_a_new_command()
    again, second = by_a_new_command()
    assert (read, again) == (1, 0)
    assert (first.vertices == second.vertices).all()
    assert (first.faces == second.faces).all()
    assert (second.closed, second.source, second.file) == (True, str(path), MeshFile(str(path)))
    with pytest.raises(ValueError, match="read-only"):
        second.vertices[0, 0] = 1.0

    assert by_a_new_command(scale=2.0)[0] == 1
    (tmp_path / "box.stl").rename(tmp_path / "box.bak")
    (tmp_path / "box.bak").rename(tmp_path / "box.stl")
    os.utime(path, ns=(1, 1))
    assert by_a_new_command()[0] == 0
    data = bytearray(path.read_bytes())
    data[84 + 12 : 84 + 16] = b"\x00\x00\xa0\x42"
    path.write_bytes(data)
    os.utime(path, ns=(1, 1))
    assert by_a_new_command()[0] == 1
    kept = list((tmp_path / "kept").iterdir())
    assert len(kept) == 3
    for entry in kept:
        entry.write_bytes(b"nothing of the kind")
    read, mesh = by_a_new_command()
    assert (read, len(mesh.faces)) == (1, 12)
    monkeypatch.setattr(meshfile, "MOST_TRIANGLES", 4)
    with pytest.raises(MeshError, match="at most 4"):
        by_a_new_command()


def test_only_so_much_is_kept(tmp_path, monkeypatch):
    monkeypatch.setattr(meshfile, "MOST_KEPT_TRIANGLES", 30)
    for number in range(4):
        path = tmp_path / f"{number}.stl"
        trimesh.creation.box((10, 10, 10)).export(path)
        load_mesh(MeshFile(str(path)))
    assert len(meshfile._kept) == 2


def test_a_reader_out_of_time_or_memory_says_so(tmp_path, monkeypatch):
    path = tmp_path / "box.stl"
    trimesh.creation.box((10, 10, 10)).export(path)
    monkeypatch.setattr(meshfile, "_reader", None)
    # This reader never answers, so that no load on the machine decides who is first.
    monkeypatch.setattr(meshfile, "_READER", "child_functions:sleep")
    monkeypatch.setattr(meshfile, "LIMITS", ChildLimits(0.01, memory_bytes=2_500_000_000))
    with pytest.raises(MeshError, match=r"'box.stl' cannot be read: reading it takes more than 0.01 s"):
        load_mesh(MeshFile(str(path)))
    monkeypatch.setattr(meshfile, "_answer", raises(ChildFailedError("MemoryError", "")))
    with pytest.raises(MeshError, match=r"'box.stl' cannot be read: it takes more than 2.5 GB of memory"):
        load_mesh(MeshFile(str(path)))


def raises(error):
    def act(*_):
        raise error

    return act


def test_a_missing_library_of_the_system_is_named(tmp_path, monkeypatch):
    (tmp_path / "boiler.step").write_text("anything")
    reason = "libGL.so.1: cannot open shared object file: No such file or directory"
    monkeypatch.setattr(meshfile, "_answer", raises(ChildFailedError("LibraryMissingError", reason)))
    with pytest.raises(LibraryMissingError, match="libgl1"):
        load_mesh(MeshFile(str(tmp_path / "boiler.step")))
    said = run("check", job_with(tmp_path, "boiler.step"))
    assert said.code == 2
    assert "libGL.so.1" in said.err
    assert "libgl1" in said.err
    assert "Traceback" not in said.err


def test_an_answer_that_is_none_is_not_believed():
    most = meshfile.Most(1000, 1000)
    for data in (b"", b"{}\n", b'{"closed": true, "flats_mm": 0}\n\x93NUMPY\x01'):
        with pytest.raises((ValueError, KeyError, EOFError)):
            meshfile.mesh_of(data, MeshFile("x.stl"), most)


@pytest.mark.slow
@pytest.mark.kernel
def test_a_step_file_goes_exact_into_the_jobs_own(tmp_path, step_text):
    """job.step is written in a child where a foreign STEP file goes into it; the round edge is still a cylinder."""
    (tmp_path / "boiler.step").write_text(step_text)
    said = run("make", job_with(tmp_path, "boiler.step", CLASHING), "--only", "step", "--out", tmp_path / "out")
    assert said.code == 1  # the job clashes
    text = (tmp_path / "out" / "job.step").read_text()
    assert "'boiler'" in text
    tubes = (tmp_path / "out" / "return.step").read_text().count("CYLINDRICAL_SURFACE")
    # The waste pipe's and the rounded edge's beside those of the tube.
    assert text.count("CYLINDRICAL_SURFACE") == tubes + 2


@pytest.mark.slow
@pytest.mark.kernel
def test_a_kernel_that_stops_while_it_writes_costs_no_other_document(tmp_path, step_text, monkeypatch):
    from pipemodel.documents import solid_files

    (tmp_path / "boiler.step").write_text(step_text)
    answered = story.results(story.read(job_with(tmp_path, "boiler.step")))
    (tmp_path / "boiler.step").write_text(refers_to_itself(step_text))
    left_out = []
    paths = story.write(answered, tmp_path / "out", ["json"], miss=left_out.append)
    assert [p.name for p in paths] == ["check.json", "schedule.json"]
    assert not left_out
    with pytest.raises(solid_files.UnavailableError, match="the kernel stopped with signal"):
        story.write(answered, tmp_path / "other", ["step"])
    assert not (tmp_path / "other").exists()
    assert json.loads((tmp_path / "out" / "check.json").read_text())["verdict"] == "pass"


@pytest.mark.slow
def test_nothing_foreign_is_read_in_the_main_process(tmp_path):
    """Neither trimesh nor the kernel is loaded by a check of a job with files in its room."""
    import subprocess
    import sys

    trimesh.creation.box((10, 10, 10)).export(tmp_path / "boiler.stl")
    path = job_with(tmp_path, "boiler.stl")
    script = (
        f"import sys; from pipemodel import story; story.check(story.read({str(path)!r}))\n"
        "print(sorted({'trimesh', 'OCP', 'lxml', 'networkx'} & set(sys.modules)))"
    )
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, check=True, cwd=tmp_path.parent)
    assert done.stdout.strip() == b"[]"


@pytest.mark.slow
@pytest.mark.kernel
def test_the_live_view_outlives_a_file_that_crashes_the_kernel(tmp_path, step_text):
    from pipemodel.live.page import live_html
    from pipemodel.live.showing import Showing

    (tmp_path / "boiler.step").write_text(refers_to_itself(step_text))
    showing = Showing(job_with(tmp_path, "boiler.step"), live_html)
    showing.make()
    (wrong,) = showing.state.wrong
    assert (wrong.line, wrong.column) == (6, 3)
    assert "damaged" in wrong.message
    (tmp_path / "boiler.step").write_text(step_text)
    showing.make()
    assert showing.state.wrong == ()
    assert showing.state.good == 1
