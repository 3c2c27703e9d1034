"""A child process as its parent sees it: it answers requests, within limits, and its death is an answer too.

What may crash or never end (reading a file of unknown origin, a graphics driver) runs in a process of its own. A child
starts isolated (`python -I`): neither the current folder nor PYTHON* variables decide what it imports. This very
package is handed to it by its location, and further import paths only after Python's own.
"""

import atexit
import os
import pickle
import signal
import subprocess
import sys
import threading
from contextlib import suppress
from dataclasses import dataclass
from importlib.util import find_spec
from pathlib import Path
from types import TracebackType
from typing import Any

from pipemodel.processes.frames import read_frame, write_frame

PACKAGE = Path(__file__).resolve().parents[1]
# The package is loaded from where its parent's lies, whatever else is installed under its name.
_BOOT = """
import sys
from importlib import util
package, function, parent, seconds, memory, *paths = sys.argv[1:]
sys.path += [path for path in paths if path not in sys.path]
spec = util.spec_from_file_location("pipemodel", package + "/__init__.py", submodule_search_locations=[package])
module = sys.modules["pipemodel"] = util.module_from_spec(spec)
spec.loader.exec_module(module)
from pipemodel.processes.inside import serve
serve(function, int(parent), float(seconds), int(memory))
"""


@dataclass(frozen=True)
class ChildLimits:
    """What a child may take for one request: seconds by the clock, and bytes of memory where the system can hold it.

    Where the system counts processor time, that is held to as many seconds for each core; then a child on a busy
    machine may be given longer by the clock, `busy_seconds`.
    """

    seconds: float
    memory_bytes: int = 0
    """0 for as much as there is."""
    busy_seconds: float = 0.0

    @property
    def clock_seconds(self) -> float:
        """How long one request may take by the clock."""
        return max(self.seconds, self.busy_seconds) if find_spec("resource") else self.seconds


class ChildError(RuntimeError):
    """A child that gave no answer; `reason` says why, in words that end a sentence."""

    def __init__(self, reason: str) -> None:
        super().__init__(reason)
        self.reason = reason


class ChildDiedError(ChildError):
    """The child was stopped by the system or by what it loaded; `signal` is the signal's number, 0 if there is none."""

    def __init__(self, code: int) -> None:
        self.signal, self.code = max(-code, 0), code
        super().__init__(f"stopped with {self.signal_name}" if self.signal else f"ended with code {code}")

    @property
    def signal_name(self) -> str:
        """The signal with its number and its name."""
        return _signal_name(self.signal)


class ChildSlowError(ChildError):
    """The child was not done within its time."""

    def __init__(self, seconds: float) -> None:
        self.seconds = seconds
        super().__init__(f"was not done after {seconds:g} s")


class ChildFailedError(ChildError):
    """The child's own code raised: `kind` is the exception's name, `message` what it said."""

    def __init__(self, kind: str, message: str) -> None:
        super().__init__(f"{kind}: {message}" if message else kind)
        self.kind, self.message = kind, message


class Child:
    """A process that answers requests one after the other with one function.

    Args:
        function: "module:name" of a function from bytes to bytes, within this package.
        limits: what one request may take.

    Raises:
        ChildError: if it cannot be started.
    """

    def __init__(self, function: str, limits: ChildLimits) -> None:
        self._limits = limits
        self._late = False
        given = [str(PACKAGE), function, str(os.getpid()), str(limits.seconds), str(limits.memory_bytes)]
        try:
            self._process = subprocess.Popen(
                [sys.executable, "-I", "-c", _BOOT, *given, *_further_paths()],
                stdin=subprocess.PIPE,
                stdout=subprocess.PIPE,
                stderr=subprocess.DEVNULL,
                cwd=os.path.abspath(os.sep),
                env=_clean_environment(),
            )
        except OSError as error:
            raise ChildError(f"could not be started: {error.strerror or error}") from error
        self.answered = 0
        """How many requests it has answered."""
        with _lock:
            _living.add(self)

    def __enter__(self) -> "Child":
        return self

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None, at: TracebackType | None) -> None:
        self.end()

    def ask(self, request: bytes) -> bytes:
        """Return the answer to one request.

        Raises:
            ChildError: if there is none; the child has ended then, unless it says itself what failed.
        """
        timer = threading.Timer(self._limits.clock_seconds, self._give_up)
        timer.daemon = True
        timer.start()
        stdin, stdout = self._process.stdin, self._process.stdout
        assert stdin is not None
        assert stdout is not None
        try:
            with suppress(BrokenPipeError):
                write_frame(stdin, request)
            answer = read_frame(stdout)
        except BaseException:
            self.end()  # an answer that nobody waited for must not be taken for the next one's
            raise
        finally:
            timer.cancel()
        if answer is None:
            code = self.end()
            if self._late:
                raise ChildSlowError(self._limits.clock_seconds)
            if -code in _OUT_OF_TIME:
                raise ChildSlowError(self._limits.seconds)
            raise ChildDiedError(code)
        self.answered += 1
        if answer[:1] != b"=":
            kind, _, message = answer[1:].decode("utf-8", "replace").partition("\n")
            raise ChildFailedError(kind, message)
        return answer[1:]

    def end(self) -> int:
        """End the child if it has not ended yet; return its exit code, below zero for a signal."""
        with _lock:
            _living.discard(self)
        with suppress(OSError):
            if self._process.stdin is not None:
                self._process.stdin.close()
        try:
            # A child that crashed has a moment to be found dead by its own signal.
            code = self._process.wait(0.0 if self._late else 0.5)
        except subprocess.TimeoutExpired:
            self._process.kill()
            code = self._process.wait()
        if self._process.stdout is not None:
            self._process.stdout.close()
        return code

    def kill(self) -> None:
        """Stop the child at once; whoever waits for its answer gets a `ChildDiedError`."""
        self._process.kill()

    def _give_up(self) -> None:
        self._late = True
        self._process.kill()


def call(function: str, argument: Any, limits: ChildLimits) -> bytes:
    """Run one function of this package in a child of its own and return its answer.

    Args:
        function: "module:name" of a function that takes the argument pickled, and returns bytes.
        argument: what to hand over; it is ours, so it travels as a pickle. Answers are never unpickled.
        limits: what it may take.

    Raises:
        ChildError: if there is no answer.
    """
    with Child(function, limits) as child:
        return child.ask(pickle.dumps(argument))


def end_all() -> None:
    """Stop every child that this process has started."""
    with _lock:
        children = list(_living) if os.getpid() == _owner else []
    for child in children:
        child.kill()


_lock = threading.Lock()
_living: set[Child] = set()
_owner = os.getpid()
_OUT_OF_TIME = {int(getattr(signal, "SIGXCPU", 0)) or None}
atexit.register(end_all)


def _further_paths() -> list[str]:
    """Return where else this process imports from; never the current folder, which may be anybody's."""
    here = os.path.realpath(os.getcwd())
    return [path for path in sys.path if os.path.isabs(path) and os.path.realpath(path) != here]


def _clean_environment() -> dict[str, str]:
    kept = {name: value for name, value in os.environ.items() if not name.upper().startswith("PYTHON")}
    # One thread each: less memory set aside, and the same sums on any number of cores.
    return {**kept, "OMP_NUM_THREADS": "1", "OPENBLAS_NUM_THREADS": "1"}


def _signal_name(number: int) -> str:
    try:
        return f"signal {number} ({signal.Signals(number).name})"
    except ValueError:
        return f"signal {number}"
