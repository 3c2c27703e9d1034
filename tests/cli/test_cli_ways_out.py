"""Every way a command ends when something outside it goes wrong: the exit code, and the words on stderr."""

import contextlib
import errno
import io
import os
import signal
import subprocess
import sys
import threading
import time
import types

import click
import pytest
from command_line import CLASHING, CUPBOARD, LEAST, NO_HOLD, ROOT, run

import pipemodel.cli as program
from pipemodel.cli import interrupt, make, stream
from pipemodel.cli.flags import by_flag
from pipemodel.cli.new_file import ThereAlreadyError, write_new
from pipemodel.job.model import Fault, JobError, Place
from pipemodel.job.starter.lines import JobLines, scalar


@pytest.fixture
def job_file(tmp_path):
    path = tmp_path / "job.yaml"
    path.write_text(LEAST)
    return path


@pytest.mark.parametrize(
    ("raised", "code", "words"),
    [
        (KeyboardInterrupt(), 130, "\ninterrupted\n"),
        (click.Abort(), 130, "interrupted\n"),
        (MemoryError(), 2, "pipemodel: the job needs more memory than this machine gives; leave out what is far off"),
        (OSError(errno.ENOSPC, "No space left on device", "a/b"), 2, "pipemodel: a/b: No space left on device\n"),
        (OSError(errno.EIO, "Input/output error"), 2, "pipemodel: the answer: Input/output error\n"),
        (OSError("odd"), 2, "pipemodel: the answer: odd\n"),
        (
            JobError("j.yaml", [Fault("odd", Place(3, 7)), Fault("too", Place(4, 1))]),
            2, "j.yaml:3:7: odd\nj.yaml:4:1: too\n"),
        (click.ClickException("no"), 1, "Error: no\n"),
    ],
)  # fmt: skip
def test_how_the_program_ends_on_each_kind_of_error(monkeypatch, job_file, raised, code, words):
    def fail(*_, **__):
        raised.__traceback__ = None
        raise raised

    monkeypatch.setattr("pipemodel.story.read", fail)
    said = run("schedule", job_file)
    assert (said.code, said.out) == (code, "")
    assert said.err.startswith(words)
    assert "Traceback" not in said.err


def test_a_fault_of_our_own_is_not_dressed_up(monkeypatch, job_file):
    def fail(*_, **__):
        raise ZeroDivisionError("ours")

    monkeypatch.setattr("pipemodel.story.read", fail)
    with pytest.raises(ZeroDivisionError, match="ours"):
        run("schedule", job_file)


@pytest.mark.parametrize(
    ("text", "schedule", "check", "cut"),
    [
        (LEAST, 0, 0, 0),
        (CLASHING, 0, 1, 0),
        (NO_HOLD, 1, 1, 1),
        ("stock: {length: 100}\n" + LEAST, 0, None, 1),
    ],
)
def test_the_exit_code_says_what_was_found(job_file, text, schedule, check, cut):
    job_file.write_text(text)
    assert run("schedule", job_file).code == schedule
    if check is not None:
        assert run("check", job_file).code == check
    assert run("cut", job_file).code == cut
    for form in ("json", "csv"):
        assert run("schedule", job_file, "--format", form).code == schedule


def test_make_ends_with_1_and_names_what_fails(job_file, tmp_path):
    job_file.write_text(CLASHING)
    said = run("make", job_file, "--out", tmp_path / "out", "--only", "json")
    assert said.code == 1
    codes = [line.split(": ")[0] for line in said.err.splitlines() if line[:1].isupper() and line[1:4].isdigit()]
    assert codes
    assert "boxing" in said.err
    job_file.write_text(LEAST)
    well = run("make", job_file, "--out", tmp_path / "well", "--only", "json")
    assert (well.code, [p for p in well.out.splitlines() if not os.path.exists(p)]) == (0, [])


def test_the_folder_is_named_after_the_job_if_nothing_else_is_said(job_file, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    assert run("make", job_file, "--only", "json").code == 0
    assert sorted(p.name for p in tmp_path.iterdir()) == ["job", "job.yaml"]


@pytest.mark.parametrize(
    ("only", "words"), [(",", "it names no format; there are"), ("json,stpe", "stpe"), ("", "it names no format")]
)
def test_formats_that_are_none(job_file, tmp_path, only, words):
    said = run("make", job_file, "--out", tmp_path / "out", "--only", only)
    assert (said.code, said.out) == (2, "")
    assert words in said.err
    assert not (tmp_path / "out").exists()


def test_a_run_that_is_not_there_gets_no_jig(job_file, tmp_path):
    said = run("jig", job_file, "--run", "flow", "--out", tmp_path / "out")
    assert (said.code, said.out) == (2, "")
    assert "there is no run called 'flow'; there is 'return'" in said.err
    assert not (tmp_path / "out").exists()


@pytest.mark.parametrize(
    ("setting", "words"),
    [("drop", "'drop' is not NAME=VALUE, such as drop=350"), ("=3", "is not NAME=VALUE"), ("a= ", "is not NAME=VALUE")],
)  # fmt: skip
def test_parameters_that_are_not_set_right(job_file, setting, words):
    said = run("check", job_file, "--set", setting)
    assert (said.code, said.out) == (2, "")
    assert words in said.err


def test_a_parameter_is_set_with_spaces_and_an_equals_sign_in_it(job_file):
    job_file.write_text("parameters: {gap: 9}\n" + LEAST.replace("clearance: 5", "clearance: ${gap}"))
    assert run("check", job_file, "--set", " gap = 1 cm ").code == 0
    assert "1:1" not in run("check", job_file, "--set", "gap=a=b").out
    assert run("check", job_file, "--set", "gap=a=b").code == 2


@pytest.mark.parametrize(
    ("args", "words"),
    [
        (("--date", "28.11.2026"), "'28.11.2026' is not a date such as 2026-11-25"),
        (("--date", "2026-02-30"), "is not a date"),
        (("--revision", "x" * 200), "--revision"),
        (("--against", "none.json"), "none.json"),
    ],
)
def test_papers_that_are_asked_for_wrongly(job_file, tmp_path, args, words):
    said = run("make", job_file, "--out", tmp_path / "out", "--only", "json", *args)
    assert (said.code, said.out) == (2, "")
    assert words in said.err
    assert not (tmp_path / "out").exists()


# the two streams


class Stream:
    def __init__(self, encoding):
        self.encoding = encoding


@pytest.mark.parametrize(
    ("encoding", "plain"),
    [("utf-8", False), ("UTF8", False), ("utf-16", False), ("ascii", True), ("latin-1", True), ("cp1252", True),
     ("no such", True), (None, True)],
)  # fmt: skip
def test_a_stream_is_plain_unless_it_speaks_unicode(encoding, plain):
    assert stream.is_plain(Stream(encoding)) is plain
    assert stream.is_plain(None) is True


def test_letters_that_a_stream_does_not_know_are_escaped(monkeypatch):
    out, err = (io.TextIOWrapper(io.BytesIO(), encoding="ascii") for _ in range(2))
    monkeypatch.setattr(sys, "stdout", out)
    monkeypatch.setattr(sys, "stderr", err)
    stream.say("90\u00b0\n")
    stream.tell("90\u00b0")
    assert out.buffer.getvalue() == b"90\\xb0" + os.linesep.encode()
    assert err.buffer.getvalue().split() == [b"90\\xb0"]
    stream.hand_over("90\u00b0\n")
    assert out.buffer.getvalue().endswith("90\u00b0\n".encode())


def test_without_streams_nothing_is_said_and_nothing_fails(monkeypatch):
    for name in ("stdout", "stderr"):
        monkeypatch.setattr(sys, name, None)
    stream.say("a\n")
    stream.hand_over("a\n")
    stream.tell("a")


@pytest.mark.slow
def test_messages_that_nobody_takes_leave_the_exit_code():
    if not os.path.exists("/dev/full"):
        pytest.skip("there is no /dev/full here")
    with open("/dev/full", "w") as full:
        done = subprocess.run(
            [sys.executable, "-m", "pipemodel", "check", "missing.yaml"], stdout=subprocess.PIPE, stderr=full,
            cwd=ROOT, timeout=60,
        )  # fmt: skip
    assert (done.returncode, done.stdout) == (2, b"")


# interrupts


def frame(*files):
    """Frames of code in some files, the innermost first."""
    above = None
    for name in reversed(files):
        above = types.SimpleNamespace(f_code=types.SimpleNamespace(co_filename=name), f_back=above)
    return above


@pytest.fixture
def heeded():
    """Act on SIGUSR1 in this process; the calls made of it."""
    calls = []
    before = signal.getsignal(signal.SIGUSR1)
    interrupt.on_signal(signal.SIGUSR1, lambda: calls.append(time.monotonic()))
    yield calls, signal.getsignal(signal.SIGUSR1)
    signal.signal(signal.SIGUSR1, before)


LOADING = "<frozen importlib._bootstrap>"


def test_a_signal_is_heeded_at_once_where_nothing_is_loaded(heeded):
    calls, handle = heeded
    handle(signal.SIGUSR1, frame("a.py", "b.py"))
    assert len(calls) == 1
    handle(signal.SIGUSR1, None)
    assert len(calls) == 2


@pytest.mark.parametrize("files", [(LOADING, "b.py"), ("a.py", LOADING, "b.py"), ("a.py", "b.py", LOADING)])
def test_a_signal_while_something_is_loaded_comes_again(heeded, files):
    calls, handle = heeded
    handle(signal.SIGUSR1, frame(*files))
    assert calls == []
    until = time.monotonic() + 10.0
    while not calls and time.monotonic() < until:
        time.sleep(0.01)
    assert len(calls) == 1


def test_a_thread_heeds_nothing_because_it_cannot():
    before = signal.getsignal(signal.SIGUSR1)
    thread = threading.Thread(target=interrupt.on_signal, args=(signal.SIGUSR1, interrupt.stop))
    thread.start()
    thread.join()
    assert signal.getsignal(signal.SIGUSR1) is before


@pytest.mark.slow
def test_an_interrupt_ends_with_130_and_a_word(job_file):
    code = (
        "import sys, time; from pipemodel import story, cli\n"
        "def wait(*a, **k): print('here', flush=True); time.sleep(60)\n"
        "story.read = wait; sys.argv = ['pipemodel', 'schedule', sys.argv[1]]; cli.main()\n"
    )
    with subprocess.Popen(
        [sys.executable, "-c", code, str(job_file)], stdout=subprocess.PIPE, stderr=subprocess.PIPE, cwd=ROOT
    ) as process:
        assert process.stdout.readline() == b"here\n"
        process.send_signal(signal.SIGINT)
        assert process.wait(30.0) == 130
        assert process.stderr.read().split() == [b"interrupted"]


# files that are not to be overwritten


def test_of_several_new_files_all_are_written_or_none(tmp_path):
    one, two = tmp_path / "one", tmp_path / "two"
    write_new({one: b"1", two: b"2"})
    assert (one.read_bytes(), two.read_bytes()) == (b"1", b"2")
    three = tmp_path / "three"
    with pytest.raises(ThereAlreadyError) as caught:
        write_new({three: b"3", two: b"4"})
    assert str(two) in caught.value.message
    assert caught.value.exit_code == 2
    with pytest.raises(FileNotFoundError):
        write_new({three: b"3", tmp_path / "none" / "x": b"4"})
    assert sorted(p.name for p in tmp_path.iterdir()) == ["one", "two"]
    assert two.read_bytes() == b"2"


# faults by their flags


def test_a_fault_is_given_by_the_flag_on_its_line_and_once():
    lines = JobLines()
    lines.say("a\nb")
    lines.give("c: ", "3", "--see")
    lines.give("d: ", None, "--dee")
    lines.end(" # x")
    assert lines.text == "a\nb\nc: 3 # x\n"
    faults = [Fault("wrong", Place(3, 4)), Fault("wrong", Place(3, 9)), Fault("odd", Place(2, 1))]
    assert by_flag(JobError("j", faults), lines) == ["odd", "--see: wrong"]


@pytest.mark.parametrize(
    ("text", "written"),
    [("15", "15"), ("-1.5", "-1.5"), ("0", "0"), ("007", '"007"'), ("1e3", '"1e3"'), ("towel rail", "towel rail"),
     ("no", '"no"'), ("On", '"On"'), ("null", '"null"'), ("a: b", '"a: b"'), ("${x}", '"${x}"'), (" 3 ", "3"),
     ("a\nb", '"a\\nb"'), ("1234567890", '"1234567890"'), ("x", '"x"'), ("\u00e4", '"\u00e4"')],
)  # fmt: skip
def test_values_are_quoted_unless_they_are_plainly_themselves(text, written):
    assert scalar(text) == written


# the live view


@contextlib.contextmanager
def shown(*args):
    with subprocess.Popen(
        [sys.executable, "-m", "pipemodel", "show", *map(str, args)], cwd=ROOT, stdout=subprocess.PIPE,
        stderr=subprocess.PIPE, text=True, env={**os.environ, "BROWSER": "echo %s"},
    ) as child:  # fmt: skip
        try:
            yield child
        finally:
            child.kill()


@pytest.mark.slow
def test_the_live_view_says_what_is_wrong_with_its_place_and_goes_on(job_file):
    job_file.write_text(LEAST.replace("clearance: 5", "clearance: five"))
    with shown(job_file) as child:
        assert child.stdout.readline().startswith("http://127.0.0.1:")
        child.send_signal(signal.SIGINT)
        assert child.wait(30.0) == 0
        wrong, showing = child.stderr.read().splitlines()
    assert wrong.startswith(f"{job_file}:4:12: 'five' is no length")
    assert showing == f"showing {job_file}; stop with Ctrl-C"


@pytest.mark.slow
@pytest.mark.parametrize("open_it", [False, True])
def test_the_live_view_opens_a_browser_only_when_asked(job_file, monkeypatch, open_it):
    """Run in this process, with a server that is stopped as soon as it runs."""
    opened, stopped = [], []

    class Server:
        url = "http://127.0.0.1:1/"

        def __init__(self, showing, port):
            self.port = port

        def run(self):
            os.kill(os.getpid(), signal.SIGTERM)

        def stop(self):
            stopped.append(self.port)

    before = {number: signal.getsignal(number) for number in (signal.SIGINT, signal.SIGTERM)}
    monkeypatch.setattr("pipemodel.live.server.Server", Server)
    monkeypatch.setattr("webbrowser.open", opened.append)
    try:
        said = run("show", job_file, "--port", "54321", *(["--open"] if open_it else []))
    finally:
        for number, handler in before.items():
            signal.signal(number, handler)
    assert (said.code, said.out) == (0, "http://127.0.0.1:1/\n")
    assert stopped == [54321]
    assert opened == (["http://127.0.0.1:1/"] if open_it else [])


def test_help_says_one_line_of_each_command_in_the_order_of_work():
    said = run("--help")
    names = [line.split()[0] for line in said.out.split("Commands:")[1].splitlines() if line.strip()]
    assert [n for n in names if n in program.COMMANDS] == [
        "check", "schedule", "route", "make", "show", "measured", "cut", "jig", "bend", "new", "calibrate", "room",
        "learn", "tables", "schema",
    ]  # fmt: skip
    assert run("-h").out == said.out
    far = run("frobnicate", CUPBOARD)
    assert far.code == 2
    assert "Did you mean" not in far.err


TWO_RUNS = NO_HOLD.replace("runs:\n", "runs:\n  straight:\n    points: [[0, 50, 900], [300, 50, 900]]\n")
"""One that needs no pull, and one that cannot be held."""


@pytest.mark.parametrize(("yaml", "code"), [(LEAST, 0), (NO_HOLD, 1), (TWO_RUNS, 1)])
def test_one_run_that_cannot_be_pulled_is_enough_to_end_with_1(tmp_path, yaml, code):
    path = tmp_path / "two.yaml"
    path.write_text(yaml)
    for form in ("text", "json", "csv"):
        said = run("schedule", path, "--format", form)
        assert said.code == code
        assert said.out
    assert run("check", path).code == code


@pytest.mark.parametrize(
    ("command", "words"),
    [
        (("bend", "set"), ("How far aside, axis to axis.", "Start end to the centre of its first bend.",
                           "... or to the back of its first bend.", "... or to the centre of its last bend.",
                           "How far on after it, from its last bend's centre.", "Straight it needs before a bend.",
                           "Straight it needs after it.")),
        (("bend", "90"), ("Start end to the bend.", "Bend to the finish end.")),
        (("bend", "passover"), ("Start end to its middle.", "How far its middle lies above the tube's axis; below 0 for"
                                " under.", "Between it and the outside of the tube.",
                                "End to end, in a straight line.")),
        (("make",), ("Date the papers; undated if left out.", "Tell what changed since an earlier pack.",
                     "Size of paper of the full-size pages.")),
    ],
)  # fmt: skip
def test_the_help_says_from_where_to_where(command, words):
    said = " ".join(run(*command, "--help").out.split())
    for sentence in words:
        assert sentence in said


def test_ended_by_the_system_it_says_so_in_its_code():
    """POSIX shells give 128 and the number of the signal, 15 for SIGTERM."""
    with pytest.raises(SystemExit) as ended:
        make._stop()
    assert ended.value.code == 143
