"""Child processes: isolated, bounded, and never left behind."""

import contextlib
import io
import json
import os
import resource
import signal
import subprocess
import sys
import threading
import time
from pathlib import Path

import pytest
from command_line import ROOT

import pipemodel
from pipemodel.processes import child as child_module
from pipemodel.processes.child import (
    Child,
    ChildDiedError,
    ChildError,
    ChildFailedError,
    ChildLimits,
    ChildSlowError,
    call,
    end_all,
)
from pipemodel.processes.frames import read_frame, write_frame

AMPLE = ChildLimits(30.0)
TESTS = str(Path(__file__).parents[1])


def alive(pid):
    """Whether a process is there and not just waiting to be collected."""
    try:
        return Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()[0] != "Z"
    except OSError:
        return False


def gone(pid, seconds=20.0):
    until = time.monotonic() + seconds
    while alive(pid) and time.monotonic() < until:
        time.sleep(0.02)
    return not alive(pid)


def test_it_answers_one_request_after_the_other():
    with Child("child_functions:echo", AMPLE) as child:
        assert [child.ask(data) for data in (b"abc", b"", bytes(range(256)) * 4000)] == [
            b"cba", b"", (bytes(range(256)) * 4000)[::-1]]  # fmt: skip
        assert child.answered == 3
    assert call("child_functions:doubled", 21, AMPLE) == b"42"


def test_what_libraries_print_does_not_come_among_the_answers():
    with Child("child_functions:chatter", AMPLE) as child:
        assert [child.ask(b""), child.ask(b"")] == [b"the answer", b"the answer"]


def test_it_is_isolated_from_the_folder_and_from_variables(tmp_path, monkeypatch):
    for name in ("pickle", "json", "numpy", "sitecustomize", "usercustomize", "importlib", "typing"):
        (tmp_path / f"{name}.py").write_text(f"open({str(tmp_path / 'ran')!r}, 'a').write({name!r})\n")
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("PYTHONPATH", str(tmp_path))
    monkeypatch.setenv("PYTHONSTARTUP", str(tmp_path / "pickle.py"))
    # As `python -c`, `python -m` and a variable with a lone colon in it leave it.
    monkeypatch.setattr(sys, "path", ["", str(tmp_path), ".", TESTS, *sys.path])
    with Child("child_functions:about", AMPLE) as child:
        said = json.loads(child.ask(b""))
    assert said["flags"] == [1, 1, 1]
    assert said["environment"] == []
    assert said["cwd"] == os.path.abspath(os.sep)
    assert not {"", ".", str(tmp_path)} & set(said["path"])
    assert Path(said["package"]) == Path(pipemodel.__file__)
    assert not any(str(tmp_path) in file for file in said["files"].values())
    assert not (tmp_path / "ran").exists()


def test_this_very_package_is_loaded_whatever_else_has_its_name(tmp_path, monkeypatch):
    (tmp_path / "pipemodel").mkdir()
    (tmp_path / "pipemodel" / "__init__.py").write_text("raise SystemExit('the wrong one')\n")
    monkeypatch.setattr(sys, "path", [str(tmp_path), *sys.path])
    assert call("child_functions:doubled", 1, AMPLE) == b"2"


def test_an_exception_is_given_and_the_child_goes_on():
    with Child("child_functions:fail", AMPLE) as child:
        for _ in range(2):
            with pytest.raises(ChildFailedError, match="no such luck") as caught:
                child.ask(b"")
            assert (caught.value.kind, caught.value.message) == ("ValueError", "no such luck")
        assert child.answered == 2


def test_a_crash_is_an_answer():
    with pytest.raises(ChildDiedError, match=r"stopped with signal 11 \(SIGSEGV\)") as caught:
        call("child_functions:crash", None, AMPLE)
    assert caught.value.signal == signal.SIGSEGV
    with pytest.raises(ChildDiedError, match="ended with code 3") as caught:
        call("child_functions:leave", None, AMPLE)
    assert caught.value.signal == 0


def test_time_is_limited():
    with Child("child_functions:sleep", ChildLimits(0.5)) as child:
        with pytest.raises(ChildSlowError, match=r"not done after 0\.5 s"):
            child.ask(b"")
        assert not alive(child._process.pid)


@pytest.mark.skipif(sys.platform == "win32", reason="Windows holds no limit on processor time")
def test_who_waits_on_a_busy_machine_is_given_longer():
    assert call("child_functions:doze", None, ChildLimits(0.1, busy_seconds=AMPLE.seconds)) == b"awake"
    with pytest.raises(ChildSlowError, match=r"not done after 0\.1 s"):
        call("child_functions:doze", None, ChildLimits(0.1))


@pytest.mark.skipif(sys.platform != "linux", reason="a limit on addresses is held on Linux")
def test_memory_is_limited():
    with pytest.raises(ChildFailedError) as caught:
        call("child_functions:eat", None, ChildLimits(30.0, 1_000_000_000))
    assert caught.value.kind == "MemoryError"


def test_a_child_that_cannot_be_started(monkeypatch, tmp_path):
    monkeypatch.setattr(sys, "executable", str(tmp_path / "none"))
    with pytest.raises(ChildError, match="could not be started"):
        call("child_functions:doubled", 1, AMPLE)


@pytest.mark.slow
def test_all_can_be_ended_from_another_thread():
    caught = []

    def wait():
        try:
            call("child_functions:sleep", None, AMPLE)
        except ChildDiedError as error:
            caught.append(error.signal)

    # A reader that waits for its next file may be there already, from a test before.
    there = set(child_module._living)
    thread = threading.Thread(target=wait)
    thread.start()
    until = time.monotonic() + 20.0
    while not child_module._living - there and time.monotonic() < until:
        time.sleep(0.01)
    end_all()
    thread.join(20.0)
    assert caught == [signal.SIGKILL]
    assert not child_module._living - there


@pytest.mark.skipif(sys.platform != "linux", reason="looks into /proc")
@pytest.mark.parametrize("function", ["sleep", "spin"])
def test_a_child_dies_with_its_parent_even_inside_compiled_code(tmp_path, function):
    begun = tmp_path / "begun"
    script = (
        "import sys, threading, time; sys.path.insert(0, sys.argv[1])\n"
        "from pipemodel.processes.child import Child, ChildLimits\nimport pickle\n"
        f"child = Child('child_functions:{function}', ChildLimits(60.0))\n"
        "print(child._process.pid, flush=True)\n"
        f"child.ask(pickle.dumps({str(begun)!r}))\n"
    )
    parent = subprocess.Popen([sys.executable, "-c", script, TESTS], cwd=ROOT, stdout=subprocess.PIPE)
    pid = int(parent.stdout.readline())
    until = time.monotonic() + 20.0
    while function == "spin" and not begun.exists() and time.monotonic() < until:
        time.sleep(0.01)
    assert alive(pid)
    parent.kill()
    parent.wait()
    parent.stdout.close()
    assert gone(pid)


@pytest.mark.skipif(sys.platform != "linux", reason="limits as Linux holds them")
def test_limits_are_handed_to_the_system_again_for_each_request():
    """No core file, the memory asked for, and for each request its seconds on every core beyond what is spent."""
    with Child("child_functions:held", ChildLimits(5.0, 3_000_000_000)) as child:
        for _ in range(2):
            said = json.loads(child.ask(b""))
            assert said["core"] == [0, 0]
            assert said["memory"] == 3_000_000_000
            assert 0 <= said["processor"] - said["spent"] - 5.0 * os.cpu_count() <= 3.0
            assert said["interrupt"]
            assert said["threads"] == ["1", "1"]
    with Child("child_functions:held", ChildLimits(5.0)) as child:
        assert json.loads(child.ask(b""))["memory"] == resource.getrlimit(resource.RLIMIT_AS)[0]


def test_a_child_that_is_no_longer_needed_ends_by_itself_and_well():
    """Its pipe closed, it leaves with 0; nobody has to kill it."""
    child = Child("child_functions:echo", AMPLE)
    assert child.ask(b"ab") == b"ba"
    child._process.stdin.close()
    assert child._process.wait(20.0) == 0
    assert child.end() == 0
    assert child not in child_module._living


def test_a_child_in_the_middle_of_work_is_ended_with_the_block(tmp_path):
    with Child("child_functions:sleep", AMPLE) as child:
        pid = child._process.pid
        write_frame(child._process.stdin, b"")
    assert gone(pid)


@pytest.mark.skipif(sys.platform != "linux", reason="the system tells a child of its parent's death on Linux only")
def test_a_child_whose_parent_is_another_does_not_begin():
    boot = [sys.executable, "-I", "-c", child_module._BOOT, str(child_module.PACKAGE), "child_functions:echo"]
    for parent, answer in ((os.getpid(), b"=ba"), (1, None)):
        with subprocess.Popen(
            [*boot, str(parent), "10", "0", TESTS], stdin=subprocess.PIPE, stdout=subprocess.PIPE
        ) as process:
            with contextlib.suppress(BrokenPipeError):
                write_frame(process.stdin, b"ab")
            assert read_frame(process.stdout) == answer
            if answer is None:
                assert process.wait(20.0) == 0


def test_a_child_that_nobody_asks_ends_after_its_idle_time():
    """Looked at in this very process with the time cut short: no request comes, and serving ends."""
    code = (
        "import sys; sys.path.insert(0, sys.argv[1])\n"
        "from pipemodel.processes import inside\n"
        "assert 30.0 <= inside.IDLE_S <= 600.0\n"
        "inside.IDLE_S = 0.2\n"
        "import os\n"
        "inside.serve('child_functions:echo', os.getppid(), 5.0, 0)\n"
        "os._exit(7)\n"
    )
    process = subprocess.Popen([sys.executable, "-c", code, TESTS], stdin=subprocess.PIPE, cwd=ROOT)
    assert process.wait(60) == 7
    process.stdin.close()


def test_what_failed_without_a_word_is_given_by_its_kind():
    with Child("child_functions:wordless", AMPLE) as child, pytest.raises(ChildFailedError) as caught:
        child.ask(b"")
    assert (str(caught.value), caught.value.reason, caught.value.message) == ("KeyError", "KeyError", "")


def test_a_function_that_is_not_there_is_said():
    with Child("child_functions:nothing", AMPLE) as child, pytest.raises(ChildFailedError) as caught:
        child.ask(b"")
    assert caught.value.kind == "AttributeError"


def test_a_signal_without_a_name_keeps_its_number():
    assert str(ChildDiedError(-signal.SIGKILL)) == "stopped with signal 9 (SIGKILL)"
    assert str(ChildDiedError(-999)) == "stopped with signal 999"
    assert str(ChildDiedError(0)) == "ended with code 0"


@pytest.mark.slow
@pytest.mark.skipif(sys.platform != "linux", reason="processor time is limited on Linux")
def test_a_child_stopped_for_its_processor_time_was_too_slow():
    """The parent's clock stands still here: the system alone counts the child's processor time."""
    with Child("child_functions:burn", ChildLimits(0.01)) as child:
        child._limits = ChildLimits(60.0)
        with pytest.raises(ChildSlowError, match="not done after 60 s"):
            child.ask(b"")


@pytest.mark.parametrize("data", [b"", b"\x01", (3).to_bytes(8, "little"), (3).to_bytes(8, "little") + b"ab"])
def test_half_a_message_is_none(data):
    assert read_frame(io.BytesIO(data)) is None


def test_a_message_is_its_length_and_its_bytes():
    stream = io.BytesIO()
    write_frame(stream, b"abc")
    write_frame(stream, b"")
    assert stream.getvalue() == b"\x03\0\0\0\0\0\0\0abc" + bytes(8)
    stream.seek(0)
    assert [read_frame(stream), read_frame(stream), read_frame(stream)] == [b"abc", b"", None]


def test_children_of_another_process_are_left_alone():
    """A fork that ends must not take its parent's children with it."""
    with Child("child_functions:echo", AMPLE) as child:
        pid = os.fork()
        if pid == 0:
            end_all()
            os._exit(0)
        os.waitpid(pid, 0)
        assert child.ask(b"ab") == b"ba"
