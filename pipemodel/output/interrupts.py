"""Interrupts that wait until what must not be left half done is done."""

import signal
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from types import FrameType


@contextmanager
def held_interrupts() -> Iterator[None]:
    """Hold back what would interrupt the main thread; it comes as soon as the block is done."""
    if threading.current_thread() is not threading.main_thread():
        yield
        return
    came: list[int] = []

    def note(number: int, frame: FrameType | None) -> None:
        came.append(number)

    numbers = [signal.SIGINT, signal.SIGTERM]
    before = {number: signal.getsignal(number) for number in numbers}
    for number in numbers:
        signal.signal(number, note)
    try:
        yield
    finally:
        for number, handler in before.items():
            signal.signal(number, signal.SIG_DFL if handler is None else handler)
        for each in dict.fromkeys(came):
            signal.raise_signal(each)
