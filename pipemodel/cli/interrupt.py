"""An interrupt waits until a library has been loaded.

A compiled library that is interrupted while it is being loaded takes that for a fault of its own: the interrupt is
lost, and what needs the library would be left out as if it were not installed.
"""

import signal
import threading
from collections.abc import Callable
from types import FrameType

AGAIN_S = 0.05


def on_signal(number: int, act: Callable[[], None]) -> None:
    """Call `act` when a signal comes, or as soon after it as nothing is being loaded.

    Args:
        number: the signal, such as `signal.SIGINT`.
        act: what to do; it may raise.
    """

    def handle(number: int, frame: FrameType | None) -> None:
        if not _loading(frame):
            act()
            return
        again = threading.Timer(AGAIN_S, _send, [number])
        again.daemon = True
        again.start()

    if threading.current_thread() is threading.main_thread():
        signal.signal(number, handle)


def stop() -> None:
    """End as Python does on an interrupt."""
    raise KeyboardInterrupt


def _send(number: int) -> None:
    """Send a signal to the main thread, so that it wakes even from a wait; where that cannot be, to this one."""
    if hasattr(signal, "pthread_kill"):
        main = threading.main_thread().ident
        assert main is not None
        signal.pthread_kill(main, number)
    else:
        signal.raise_signal(number)


def _loading(frame: FrameType | None) -> bool:
    """Return whether an import is going on in the frame or in those that called it."""
    while frame is not None:
        if frame.f_code.co_filename == "<frozen importlib._bootstrap>":
            return True
        frame = frame.f_back
    return False
