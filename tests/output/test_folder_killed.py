"""Makes that are killed at any moment: the folder holds the old answer or the new one, whole, and nothing stays beside.

The making runs in a process of its own that is killed after a random time. A few cases make the moments that matter
happen for certain.
"""

import json
import os
import random
import shutil
import signal
import subprocess
import sys
import time

import pytest
from command_line import LEAST, ROOT, run

from pipemodel.output import exchange, folder, leftovers
from pipemodel.output.folder import MANIFEST, FolderError, NewFolder, check_free, write_whole
from pipemodel.output.interrupts import held_interrupts
from pipemodel.output.leftovers import OLD, PART

FILES = 12
MAKER = f"""\
import sys
from pathlib import Path
from pipemodel.output import exchange, folder
if sys.argv[2] == "two renames":
    exchange._exchanged = lambda a, b: False
version = 0
while True:
    version += 1
    def write(new):
        for number in range({FILES}):
            (new / f"{{number}}.txt").write_text(str(version) * 1000)
    folder.write_whole(Path(sys.argv[1]), write)
    if version == 1:
        print("begun", flush=True)
"""


def beside(out):
    return sorted(path.name for path in out.parent.iterdir() if path != out)


def is_whole(out):
    """Whether a folder holds one answer, all of it, as its list says."""
    check_free(out)
    texts = {(out / f"{number}.txt").read_text() for number in range(FILES)}
    return len(texts) == 1 and len(json.loads((out / MANIFEST).read_text())["files"]) == FILES


def at_work(out, how, rng):
    """A process that has begun to write a folder again and again, some moments ago."""
    process = subprocess.Popen(
        [sys.executable, "-c", MAKER, str(out), how], cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.PIPE
    )
    assert process.stdout.readline() == b"begun\n"
    time.sleep(rng.uniform(0.0, 0.05))
    return process


@pytest.mark.slow
@pytest.mark.skipif(sys.platform != "linux", reason="looks at processes as Linux shows them")
@pytest.mark.parametrize("how", ["one step", "two renames"])
def test_killed_at_random_moments(tmp_path, how):
    rng = random.Random(how)
    left = 0
    for number in range(5):
        out = tmp_path / str(number) / "out"
        out.parent.mkdir()
        process = at_work(out, how, rng)
        process.kill()
        process.communicate()
        left += bool(beside(out))
        leftovers.tidy_up(out.parent)
        assert beside(out) == []
        assert is_whole(out)
    assert left >= 1  # it was killed in the middle of things, not between them


@pytest.mark.slow
@pytest.mark.skipif(os.name != "posix", reason="signals as on POSIX")
@pytest.mark.parametrize("how", ["one step", "two renames"])
def test_interrupted_at_random_moments(tmp_path, how):
    rng = random.Random(how)
    for number in range(4):
        out = tmp_path / str(number) / "out"
        out.parent.mkdir()
        process = at_work(out, how, rng)
        process.send_signal(signal.SIGINT)
        _, err = process.communicate(timeout=30)
        assert b"KeyboardInterrupt" in err
        leftovers.tidy_up(out.parent)
        assert beside(out) == []
        assert is_whole(out)


def first(out):
    write_whole(out, lambda new: (new / "a.txt").write_text("old"))


def second(out):
    write_whole(out, lambda new: (new / "a.txt").write_text("new"))


@pytest.mark.parametrize("at", [1, 2])
def test_an_interrupt_between_two_renames_waits(tmp_path, monkeypatch, at):
    """The very moment at which old and new both stand under other names."""
    out = tmp_path / "out"
    first(out)
    monkeypatch.setattr(exchange, "_exchanged", lambda a, b: False)
    rename, calls = type(out).rename, []

    def interrupted(self, target):
        calls.append(self)
        if len(calls) == at:
            signal.raise_signal(signal.SIGINT)
        return rename(self, target)

    monkeypatch.setattr(type(out), "rename", interrupted)
    with pytest.raises(KeyboardInterrupt):
        second(out)
    assert (out / "a.txt").read_text() == "new"
    assert beside(out) == []
    assert len(calls) == 2


def test_interrupts_are_heeded_again_afterwards():
    before, done = signal.getsignal(signal.SIGINT), []

    def work():
        with held_interrupts():
            signal.raise_signal(signal.SIGINT)
            done.append("to the end")

    with pytest.raises(KeyboardInterrupt):
        work()
    assert done == ["to the end"]
    assert signal.getsignal(signal.SIGINT) is before


@pytest.mark.skipif(sys.platform != "linux", reason="the exchange is Linux's")
def test_the_exchange_takes_one_step(tmp_path, monkeypatch):
    """With the exchange at hand no rename is made, so at no moment is there nothing."""
    out = tmp_path / "out"
    first(out)

    def never(self, target):
        raise AssertionError("renamed")

    monkeypatch.setattr(type(out), "rename", never)
    second(out)
    assert (out / "a.txt").read_text() == "new"
    assert beside(out) == []


def test_a_disk_that_refuses_the_exchange_leaves_the_old(tmp_path, monkeypatch):
    out = tmp_path / "out"
    first(out)
    monkeypatch.setattr(exchange, "_exchanged", lambda a, b: (_ for _ in ()).throw(OSError(5, "Input/output error")))
    with pytest.raises(FolderError, match="Input/output error"):
        second(out)
    assert (out / "a.txt").read_text() == "old"
    assert beside(out) == []


def dead_pid():
    process = subprocess.Popen([sys.executable, "-c", ""])
    process.wait()
    return process.pid


def marked(pid, began, ending, machine=None):
    return f".pipemodel-{pid}-{began}-{machine or leftovers._machine()}-abc{ending}"


@pytest.mark.skipif(sys.platform != "linux", reason="looks at processes as Linux shows them")
def test_what_is_swept_up_and_what_is_not(tmp_path):
    me, began = os.getpid(), leftovers._began(os.getpid())
    swept = [marked(dead_pid(), 5, PART), marked(me, began + 1, PART)]
    kept = [marked(me, began, PART), marked(dead_pid(), 5, PART, "0123abcd"), ".out-abc.part", "pipemodel.part", ".git"]
    for name in swept + kept:
        (tmp_path / name).mkdir()
        (tmp_path / name / "a.txt").write_text("a")
    (tmp_path / marked(dead_pid(), 6, PART)).write_text("a file of that name is no folder of ours")
    (tmp_path / marked(dead_pid(), 7, PART)).symlink_to(tmp_path / ".git")
    files = len(list(tmp_path.iterdir())) - len(swept + kept)
    leftovers.tidy_up(tmp_path)
    there = {path.name for path in tmp_path.iterdir()}
    assert set(kept) <= there
    assert not set(swept) & there
    assert len(there) == len(kept) + files
    assert (tmp_path / ".git" / "a.txt").exists()


def test_what_another_machine_left_goes_after_a_day(tmp_path):
    path = tmp_path / marked(1, 5, PART, "0123abcd")
    path.mkdir()
    for age, there in ((leftovers.STALE_S - 600.0, True), (leftovers.STALE_S + 600.0, False)):
        then = time.time() - age
        os.utime(path, (then, then))
        leftovers.tidy_up(tmp_path)
        assert path.exists() is there


@pytest.mark.skipif(sys.platform != "linux", reason="looks at processes as Linux shows them")
@pytest.mark.parametrize("in_place", [False, True])
def test_a_folder_set_aside_goes_back_unless_its_place_is_taken(tmp_path, in_place):
    """Killed between two renames: the next make finds the old folder under another name."""
    out = tmp_path / "out"
    first(out)
    aside = tmp_path / marked(dead_pid(), 5, OLD)
    aside.mkdir()
    shutil.move(out, aside / "out")
    if in_place:
        second(out)
        shutil.rmtree(out)
        out.mkdir()
        (out / "a.txt").write_text("new")
        # Making the second swept up already; the first is set aside once more.
        first(tmp_path / "first")
        aside.mkdir(exist_ok=True)
        shutil.move(tmp_path / "first", aside / "out")
    leftovers.tidy_up(tmp_path)
    assert (out / "a.txt").read_text() == ("new" if in_place else "old")
    assert beside(out) == []


@pytest.mark.slow
@pytest.mark.skipif(sys.platform != "linux", reason="looks at processes as Linux shows them")
def test_a_killed_make_leaves_nothing_once_another_has_run(tmp_path):
    """The command itself, killed with its renderer at work: no folder and no process stays."""
    job = tmp_path / "job.yaml"
    job.write_text(LEAST)
    process = subprocess.Popen(
        [sys.executable, "-m", "pipemodel", "make", str(job), "--out", str(tmp_path / "out"), "--only", "png"],
        cwd=ROOT,
        stderr=subprocess.PIPE,
    )
    until = time.monotonic() + 30.0
    children = []
    while not children and time.monotonic() < until:
        time.sleep(0.05)
        children = [pid for pid in os.listdir("/proc") if pid.isdigit() and parent_of(pid) == process.pid]
    process.kill()
    process.communicate()
    assert children
    assert [name for name in beside(tmp_path / "out") if name.endswith(PART)]
    until = time.monotonic() + 20.0
    while any(parent_of(pid) is not None for pid in children) and time.monotonic() < until:
        time.sleep(0.05)
    assert not any(parent_of(pid) is not None for pid in children)
    assert run("make", job, "--out", tmp_path / "out", "--only", "json").code == 0
    assert beside(tmp_path / "out") == ["job.yaml"]


def parent_of(pid):
    """The parent of a process that is there and not just waiting to be collected."""
    try:
        with open(f"/proc/{pid}/stat") as file:
            state, parent, *_ = file.read().rpartition(")")[2].split()
    except OSError:
        return None
    return None if state == "Z" else int(parent)


@pytest.mark.parametrize("name", [".DS_Store", "Thumbs.db", "desktop.ini", "._job.html", "ehthumbs.db"])
def test_what_file_managers_drop_stands_in_nobodys_way(tmp_path, name):
    out = tmp_path / "out"
    first(out)
    (out / name).write_bytes(b"the view of this folder")
    second(out)
    assert (out / "a.txt").read_text() == "new"
    assert (out / name).read_bytes() == b"the view of this folder"
    (out / name).unlink()
    (out / name).mkdir()
    with pytest.raises(FolderError, match="not written here"):
        first(out)


@pytest.mark.parametrize("spoil", ["deep", "pipe", "huge", "list", "folder"])
def test_a_list_that_is_none_is_no_leave_to_overwrite(tmp_path, spoil, monkeypatch):
    out = tmp_path / "out"
    first(out)
    path = out / MANIFEST
    text = path.read_text()
    path.unlink()
    if spoil == "pipe":
        os.mkfifo(path)
    elif spoil == "folder":
        path.mkdir()
    elif spoil == "huge":
        monkeypatch.setattr(folder, "_LARGEST_MANIFEST", 10)
        path.write_text(text)
    else:
        path.write_text("[" * 200_000 + "]" * 200_000 if spoil == "deep" else "[]")
    with pytest.raises(FolderError, match="not written here"):
        second(out)
    assert (out / "a.txt").read_text() == "old"


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("a.svg", "a.svg"),
        ("a-pulls.svg", "A-Pulls.SVG"),
        ("gro\u00df.svg", "GROSS.svg"),
        ("caf\u00e9.svg", "cafe\u0301.svg"),
        (MANIFEST, MANIFEST.upper()),
    ],
)
def test_no_name_is_given_out_twice(tmp_path, one, other):
    new = NewFolder(tmp_path)
    if one != MANIFEST:
        assert new / one == tmp_path / one
    with pytest.raises(FolderError, match="same file"):
        new / other
    assert new / "b.svg" == tmp_path / "b.svg"


@pytest.mark.parametrize(
    "name", ["", "../a", "a/b", "a\\b", "con.txt", "COM1", "lpt\u00b2.svg", "a:b", "a.", " a", "a ", "a\nb", "a?"]
)
def test_no_name_that_some_system_cannot_have_is_given_out(tmp_path, name):
    with pytest.raises(FolderError, match="every system"):
        NewFolder(tmp_path) / name
