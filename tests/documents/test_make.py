"""A folder written whole or not at all, and never over what somebody else put there."""

import hashlib
import json
import signal
import subprocess
import sys
from pathlib import Path
from typing import get_type_hints

import gallery
import pytest
from command_line import CLASHING, LEAST, ROOT, TOO_TIGHT, run

import pipemodel
from pipemodel import story
from pipemodel.bending.schedule import Schedule
from pipemodel.documents import formats
from pipemodel.documents.formats import FORMATS, UnknownFormatError, chosen
from pipemodel.documents.unavailable import UnavailableError
from pipemodel.messages.values import bare, message
from pipemodel.output import exchange
from pipemodel.output.file_names import run_stems
from pipemodel.output.folder import MANIFEST, FolderError, write_whole

LIGHT = "json,txt,csv"


def contents(folder):
    return {p.relative_to(folder).as_posix(): p.read_bytes() for p in sorted(folder.rglob("*")) if p.is_file()}


@pytest.fixture
def job_file(tmp_path):
    path = tmp_path / "towel rail.yaml"
    path.write_text(LEAST, encoding="utf-8")
    return path


def test_it_writes_what_it_names_and_nothing_else(tmp_path, job_file):
    out = tmp_path / "out"
    said = run("make", job_file, "--out", out, "--only", LIGHT)
    assert said.code == 0
    names = {"schedule.json", "check.json", "schedule.txt", "check.txt", "schedule.csv"}
    assert set(contents(out)) == names | {MANIFEST}
    assert {Path(line) for line in said.out.splitlines()} == {out / name for name in names}
    assert sorted(p.name for p in tmp_path.iterdir()) == ["out", "towel rail.yaml"]


def test_files_say_what_the_commands_say(tmp_path, job_file):
    out = tmp_path / "out"
    run("make", job_file, "--out", out, "--only", LIGHT)
    assert (out / "schedule.json").read_text() == run("schedule", job_file, "--format", "json").out
    assert (out / "check.json").read_text() == run("check", job_file, "--format", "json").out
    assert (out / "schedule.txt").read_text() == run("schedule", job_file).out
    assert (out / "check.txt").read_text() == run("check", job_file).out
    assert (out / "schedule.csv").read_bytes().decode() == run("schedule", job_file, "--format", "csv").out


def test_without_out_the_folder_is_named_after_the_job(tmp_path, job_file, monkeypatch):
    monkeypatch.chdir(tmp_path)
    assert run("make", job_file, "--only", "json").code == 0
    assert (tmp_path / "towel rail" / "schedule.json").is_file()


def test_the_same_job_gives_the_same_bytes(tmp_path, job_file):
    for name in ("a", "b"):
        run("make", job_file, "--out", tmp_path / name, "--only", LIGHT)
    assert contents(tmp_path / "a") == contents(tmp_path / "b")


def test_a_failing_job_is_written_all_the_same(tmp_path, job_file):
    job_file.write_text(CLASHING, encoding="utf-8")
    said = run("make", job_file, "--out", tmp_path / "out", "--only", "json")
    assert said.code == 1
    assert json.loads((tmp_path / "out" / "check.json").read_text())["verdict"] == "fail"


@pytest.mark.parametrize("text", [TOO_TIGHT, "job: [", ""])
def test_bad_input_leaves_no_folder(tmp_path, job_file, text):
    job_file.write_text(text, encoding="utf-8")
    assert run("make", job_file, "--out", tmp_path / "out").code == 2
    assert [p.name for p in tmp_path.iterdir()] == ["towel rail.yaml"]


def test_what_it_wrote_it_replaces_whole(tmp_path, job_file):
    out = tmp_path / "out"
    run("make", job_file, "--out", out, "--only", LIGHT)
    job_file.write_text(CLASHING, encoding="utf-8")
    assert run("make", job_file, "--out", out, "--only", "json").code == 1
    assert set(contents(out)) == {"schedule.json", "check.json", MANIFEST}
    assert [p.name for p in sorted(tmp_path.iterdir())] == ["out", "towel rail.yaml"]


def test_an_empty_folder_may_be_filled(tmp_path, job_file):
    (tmp_path / "out").mkdir()
    assert run("make", job_file, "--out", tmp_path / "out", "--only", "json").code == 0


def spoil_by_adding(out):
    (out / "notes.txt").write_text("mind the cat")


def spoil_by_changing(out):
    (out / "schedule.json").write_text("{}")


def spoil_by_folder(out):
    (out / "photos").mkdir()


def spoil_by_link(out):
    (out / "schedule.json").unlink()
    (out / "schedule.json").symlink_to("check.json")


def spoil_the_list(out):
    (out / MANIFEST).write_text('{"format": "something else"}')


@pytest.mark.parametrize("spoil", [spoil_by_adding, spoil_by_changing, spoil_by_folder, spoil_by_link, spoil_the_list])
def test_what_it_did_not_write_stays(tmp_path, job_file, spoil):
    out = tmp_path / "out"
    run("make", job_file, "--out", out, "--only", "json")
    spoil(out)
    before = contents(out)
    said = run("make", job_file, "--out", out, "--only", "json")
    assert (said.code, said.out) == (2, "")
    assert "not written here" in said.err
    assert contents(out) == before


def test_a_folder_of_somebody_else_stays(tmp_path, job_file):
    out = tmp_path / "out"
    out.mkdir()
    (out / "job.step").write_text("mine")
    said = run("make", job_file, "--out", out)
    assert said.code == 2
    assert "job.step" in said.err
    assert contents(out) == {"job.step": b"mine"}


def test_folders_of_somebody_else_are_named_and_not_looked_into(tmp_path):
    out = tmp_path / "out"

    def write(folder):
        ours = folder / "ours"
        ours.mkdir()
        (ours / "a.txt").write_text("old")

    write_whole(out, write)
    (out / "theirs" / "deep").mkdir(parents=True)
    (out / "theirs" / "deep" / "b.txt").write_text("b")
    (out / "ours" / "c.txt").write_text("c")
    with pytest.raises(FolderError, match=r"since: ours/c.txt, theirs\."):
        write_whole(out, lambda folder: None)


def test_a_file_in_the_way(tmp_path, job_file):
    assert run("make", job_file, "--out", job_file).code == 2
    assert job_file.read_text() == LEAST


def test_a_link_to_a_folder_stays_a_link(tmp_path, job_file):
    (tmp_path / "real").mkdir()
    (tmp_path / "out").symlink_to("real")
    assert run("make", job_file, "--out", tmp_path / "out", "--only", "json").code == 0
    assert (tmp_path / "out").is_symlink()
    assert (tmp_path / "real" / "schedule.json").is_file()


@pytest.mark.parametrize("error", [RuntimeError("broken"), KeyboardInterrupt(), OSError(28, "No space left on device")])
@pytest.mark.parametrize("there_before", [False, True])
def test_trouble_on_the_way_leaves_everything_as_it_was(tmp_path, error, there_before):
    out = tmp_path / "out"
    if there_before:
        write_whole(out, lambda folder: (folder / "a.txt").write_text("old"))
    before = contents(tmp_path)

    def write(folder):
        (folder / "a.txt").write_text("new")
        raise error

    with pytest.raises(FolderError if isinstance(error, OSError) else type(error)):
        write_whole(out, write)
    assert contents(tmp_path) == before
    assert [p.name for p in tmp_path.iterdir()] == (["out"] if there_before else [])


def test_trouble_at_the_last_step_brings_the_old_folder_back(tmp_path, monkeypatch):
    out = tmp_path / "out"
    write_whole(out, lambda folder: (folder / "a.txt").write_text("old"))
    before = contents(tmp_path)
    rename = Path.rename

    def fail(self, target):
        if self.suffix == ".part":
            raise OSError(5, "Input/output error")
        return rename(self, target)

    monkeypatch.setattr(exchange, "_exchanged", lambda a, b: False)
    monkeypatch.setattr(Path, "rename", fail)
    with pytest.raises(FolderError, match="Input/output error"):
        write_whole(out, lambda folder: (folder / "a.txt").write_text("new"))
    assert contents(tmp_path) == before
    assert [p.name for p in tmp_path.iterdir()] == ["out"]


def test_a_place_where_no_folder_can_be(tmp_path, job_file):
    said = run("make", job_file, "--out", job_file / "out", "--only", "json")
    assert (said.code, said.out) == (2, "")
    assert "cannot write" in said.err
    assert job_file.read_text() == LEAST


@pytest.mark.slow
@pytest.mark.parametrize("how", [signal.SIGINT, signal.SIGTERM])
def test_stopped_half_way_it_leaves_nothing(tmp_path, job_file, how):
    # A format that takes its time: it says when it has begun, and is stopped then.
    script = (
        "import sys, time, pipemodel.documents.record_files as f\n"
        "def slow(answer, folder):\n"
        "    (folder / 'half').write_text('x'); print('begun', flush=True); time.sleep(60)\n"
        "f.write_json = slow\n"
        f"sys.argv = ['pipemodel', 'make', {str(job_file)!r}, '--out', {str(tmp_path / 'out')!r}, '--only', 'json']\n"
        "from pipemodel.cli import main; main()\n"
    )
    process = subprocess.Popen([sys.executable, "-c", script], stdout=subprocess.PIPE, stderr=subprocess.PIPE, cwd=ROOT)
    assert process.stdout.readline() == b"begun\n"
    process.send_signal(how)
    _, err = process.communicate(timeout=30)
    assert process.returncode == 128 + how
    assert b"Traceback" not in err
    assert [p.name for p in tmp_path.iterdir()] == ["towel rail.yaml"]


def test_the_list_of_what_was_written_is_true(tmp_path, job_file):
    out = tmp_path / "out"
    run("make", job_file, "--out", out, "--only", LIGHT)
    listed = json.loads((out / MANIFEST).read_text())["files"]
    there = {k: hashlib.sha256(v).hexdigest() for k, v in contents(out).items() if k != MANIFEST}
    assert listed == there


def test_formats_unknown_and_near(tmp_path, job_file):
    said = run("make", job_file, "--out", tmp_path / "out", "--only", "step,slt,SVG9")
    assert said.code == 2
    assert "no format 'slt' (did you mean stl?)" in said.err
    assert "no format 'SVG9'" in said.err
    assert not (tmp_path / "out").exists()
    assert run("make", job_file, "--out", tmp_path / "out", "--only", " ,").code == 2
    assert not (tmp_path / "out").exists()
    with pytest.raises(UnknownFormatError):
        chosen(["nothing of the kind"])
    assert list(chosen(["stl", "step"])) == ["step", "stl"]
    assert chosen(None) == FORMATS


def test_every_format_can_be_loaded():
    for format in FORMATS.values():
        assert get_type_hints(format.load())["return"] == tuple[str, ...]


def unavailable(answer, folder):
    raise UnavailableError(message("missing.loading", reason=bare("no renderer here")))


def test_what_this_machine_cannot_write_is_left_out_and_said(tmp_path, job_file, monkeypatch):
    import pipemodel.documents.record_files as files

    monkeypatch.setattr(files, "write_csv", unavailable)
    monkeypatch.setattr(formats, "FORMATS", {name: FORMATS[name] for name in ("json", "csv")})
    said = run("make", job_file, "--out", tmp_path / "out")
    assert said.code == 1  # asked for by default, and not there
    assert "left out schedule.csv: a library it needs cannot be loaded (no renderer here)" in said.err
    assert set(contents(tmp_path / "out")) == {"schedule.json", "check.json", MANIFEST}
    said = run("make", job_file, "--out", tmp_path / "other", "--only", "csv")
    assert said.code == 2
    assert "no renderer here" in said.err
    assert not (tmp_path / "other").exists()


def stems(*names):
    return list(
        run_stems(
            Schedule(gallery.job(), tuple(story.schedule(gallery.job("j", [gallery.run(n)])).runs[0] for n in names))
        ).values()
    )


def test_names_of_files():
    assert stems("flow", "return") == ["flow", "return"]
    assert stems("job", "Flow", "flow") == ["job-2", "Flow", "flow-2"]
    assert stems("../../etc/passwd", "a/b", "CON", "...") == ["_.._etc_passwd", "a_b", "run CON", "run"]
    assert stems("línea 管") == ["línea 管"]
    assert len(stems("x" * 400)[0].encode()) <= 100
    assert stems("a", "a-pulls", "a-jig", "a-jig-base") == ["a", "run a-pulls-2", "run a-jig-2", "run a-jig-base-2"]
    assert stems("a-pulls", "a") == ["a-pulls", "a-2"]
    assert stems("a", "a-1", "a-pullse", "apulls", "a-jigs") == ["a", "a-1", "a-pullse", "apulls", "a-jigs"]
    assert stems("caf\u00e9", "cafe\u0301") == ["caf\u00e9", "cafe\u0301-2"]
    assert stems("com\u00b9", "lpt3.x") == ["run com\u00b9", "run lpt3.x"]


def test_runs_whose_files_would_meet_are_refused_with_their_line(tmp_path, job_file):
    job_file.write_text(LEAST + "  return-pulls:\n    points: [[0, 40, 0], [560, 40, 0]]\n", encoding="utf-8")
    said = run("make", job_file, "--out", tmp_path / "out")
    assert said.code == 2
    assert "towel rail.yaml:11:3: the runs 'return-pulls' and 'return' would share a file" in said.err
    assert not (tmp_path / "out").exists()


@pytest.mark.slow
def test_files_of_a_jointed_run_and_of_one_named_like_a_piece_of_it(tmp_path):
    """Pieces are a-pulls-2 and so on, whatever other runs are called: each file is there once, none is lost.

    Piece 1 of run a is straight, so there is no pull of it to draw.
    """
    long = ((0, 0, 0), (2500, 0, 0), (2500, 2500, 0), (5000, 2500, 0))
    beside = tuple((x, y, z + 100) for x, y, z in ((0, 0, 0), (500, 0, 0), (500, 500, 0)))
    job = gallery.job("x", [gallery.run("a", long), gallery.run("a-1", beside), gallery.run("a-2", gallery.QUARTER)])
    paths = pipemodel.make(job, tmp_path / "out", ["pulls", "svg", "stl"])
    names = [path.name for path in paths]
    assert len({name.casefold() for name in names}) == len(names)
    assert {"a-pulls-2.svg", "a-pulls-3.svg", "a-1-pulls.svg", "a-2-pulls.svg", "a-1.svg", "a.svg"} <= set(names)


@pytest.mark.parametrize("title", ["kitchen / bath", "../../up", ".hidden", "con", "C:\\x", "a."])
def test_a_title_may_hold_anything_a_line_can(tmp_path, job_file, title):
    """A job's title is written on papers; no file is called after it."""
    job_file.write_text(LEAST.replace("return to the towel rail", f"'{title}'"), encoding="utf-8")
    said = run("make", job_file, "--out", tmp_path / "out", "--only", "json,txt,stl")
    assert said.code == 0, said.err
    assert json.loads((tmp_path / "out" / "schedule.json").read_text())["job"] == title
    assert sorted(p.name for p in tmp_path.iterdir()) == ["out", "towel rail.yaml"]


LOADS_NO_GL = """
import sys
class NoGl:
    def find_spec(self, name, path=None, target=None):
        if name.partition(".")[0] == "OCP":
            raise ImportError("libGL.so.1: cannot open shared object file: No such file or directory")
sys.meta_path.insert(0, NoGl())
from pipemodel.cli import main
main()
"""
"""The command on a machine without libGL: the kernel cannot be loaded."""


@pytest.mark.slow
@pytest.mark.parametrize(
    ("command", "code"), [("make --only json,step", 2), ("jig", 1), ("make", 1)], ids=["by name", "jig", "by default"]
)
def test_without_libgl_it_says_what_is_missing(tmp_path, job_file, monkeypatch, command, code):
    script = LOADS_NO_GL
    if command == "make":
        light = "for name in set(formats.FORMATS) - {'json', 'step'}: del formats.FORMATS[name]\n"
        script = script.replace("main()\n", "from pipemodel.documents import formats\n" + light + "main()\n")
    name, *options = command.split()
    done = subprocess.run(
        [sys.executable, "-c", script, name, str(job_file), "--out", str(tmp_path / "out"), *options],
        cwd=ROOT,
        capture_output=True,
        text=True,
        timeout=120,
    )
    assert done.returncode == code, done.stderr
    assert "the CAD kernel cannot be loaded (libGL.so.1: cannot open shared object file" in done.stderr
    assert "libgl1" in done.stderr
    assert "Traceback" not in done.stderr
    written = {path.name for path in (tmp_path / "out").iterdir()} if (tmp_path / "out").exists() else set()
    assert not any(name.endswith(".step") for name in written)
    expected = {"make --only json,step": None, "make": "check.json", "jig": "return-jig.3mf"}[command]
    assert (expected in written) if expected else not written


def test_left_out_of_a_make_in_python_is_a_warning(tmp_path, monkeypatch):
    import pipemodel.documents.record_files as files

    monkeypatch.setattr(files, "write_csv", unavailable)
    monkeypatch.setattr(formats, "FORMATS", {name: FORMATS[name] for name in ("json", "csv")})
    with pytest.warns(RuntimeWarning, match=r"left out schedule\.csv: .*no renderer here"):
        paths = pipemodel.make(gallery.job(), tmp_path / "out")
    assert [path.name for path in paths] == ["check.json", "schedule.json"]


@pytest.mark.slow
@pytest.mark.parametrize("name", gallery.HOSTILE_NAMES)
def test_hostile_names_write_no_file_outside(tmp_path, name):
    job = gallery.job(name, [gallery.run(name), gallery.run(name + " 2", gallery.QUARTER)])
    paths = pipemodel.make(job, tmp_path / "out", ["json", "txt", "csv", "stl"])
    assert len(paths) == 7
    assert all(path.parent == tmp_path / "out" and path.is_file() for path in paths)


def test_an_stl_is_as_fine_as_asked(tmp_path, job_file):
    sizes = []
    for chord in ("0.5", "0.02"):
        run("make", job_file, "--out", tmp_path / chord, "--only", "stl", "--chord", chord)
        sizes.append((tmp_path / chord / "return.stl").stat().st_size)
    assert sizes[1] > 4 * sizes[0]
    assert run("make", job_file, "--out", tmp_path / "x", "--chord", "0").code == 2
    assert not (tmp_path / "x").exists()
