"""A child process from within: limits first, then one answer for each request, until the parent is gone."""

import importlib
import os
import queue
import signal
import sys
import threading
import time
from contextlib import suppress
from math import ceil
from typing import BinaryIO

from pipemodel.processes.frames import read_frame, write_frame

IDLE_S = 60.0
"""A child that nobody asks anything for so long ends; its parent starts another when it needs one."""
_PR_SET_PDEATHSIG = 1


def serve(function: str, parent: int, seconds: float, memory_bytes: int) -> None:
    """Answer requests with a function until the parent closes the pipe or dies.

    Args:
        function: "module:name" of a function from bytes to bytes.
        parent: the parent's process id.
        seconds: how long one request may take by the clock; the parent sees to that, the system to processor time.
        memory_bytes: how much memory this process may take, 0 for no limit.
    """
    _die_with(parent)
    _limit(memory_bytes)
    # The parent decides what an interrupt means.
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    answers = _keep_stdout()
    requests: queue.SimpleQueue[bytes] = queue.SimpleQueue()
    threading.Thread(target=_listen, args=(requests,), daemon=True).start()
    while True:
        try:
            request = requests.get(timeout=IDLE_S)
        except queue.Empty:
            return
        _limit_time(seconds)
        write_frame(answers, _answer(function, request))


def _answer(function: str, request: bytes) -> bytes:
    try:
        module, name = function.split(":")
        answer: bytes = getattr(importlib.import_module(module), name)(request)
    except Exception as error:
        return f"!{type(error).__name__}\n{error}".encode("utf-8", "replace")
    return b"=" + answer


def _listen(requests: "queue.SimpleQueue[bytes]") -> None:
    """Take requests in a thread of its own: so it is noticed in the middle of any work that the parent has gone."""
    while (request := read_frame(sys.stdin.buffer)) is not None:
        requests.put(request)
    os._exit(0)


def _keep_stdout() -> BinaryIO:
    """Return the pipe to the parent, and let what libraries print to stdout go where stderr goes."""
    kept = os.fdopen(os.dup(1), "wb")
    os.dup2(2, 1)
    return kept


def _die_with(parent: int) -> None:
    """See that the system stops this process when the parent dies, where it can, even inside compiled code."""
    if sys.platform != "linux":
        return
    import ctypes

    with suppress(OSError, AttributeError):
        ctypes.CDLL(None).prctl(_PR_SET_PDEATHSIG, signal.SIGKILL)
    if os.getppid() != parent:
        os._exit(0)


def _limit(memory_bytes: int) -> None:
    """Hold this process to its memory, and let a crash leave no core file behind."""
    try:
        import resource
    except ImportError:  # Windows
        return
    with suppress(ValueError, OSError):
        resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
    if memory_bytes:
        with suppress(ValueError, OSError):
            _, hard = resource.getrlimit(resource.RLIMIT_AS)
            most = memory_bytes if hard == resource.RLIM_INFINITY else min(memory_bytes, hard)
            resource.setrlimit(resource.RLIMIT_AS, (most, hard))


def _limit_time(seconds: float) -> None:
    """Hold this process to so many more seconds of processor time on each core, where the system counts it."""
    try:
        import resource
    except ImportError:  # Windows
        return
    with suppress(ValueError, OSError):
        _, hard = resource.getrlimit(resource.RLIMIT_CPU)
        soft = ceil(time.process_time() + seconds * (os.cpu_count() or 1)) + 1
        resource.setrlimit(resource.RLIMIT_CPU, (soft, hard))
