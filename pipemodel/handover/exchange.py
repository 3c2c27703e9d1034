"""Putting a finished folder in another's place so that one of the two stands there at every moment, where it can be."""

import ctypes
import errno
import os
import signal
import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from types import FrameType

_AT_FDCWD = -100
_RENAME_EXCHANGE = 2
_CANNOT = (errno.ENOSYS, errno.EINVAL, errno.ENOTSUP, errno.EOPNOTSUPP, errno.EPERM)


def exchange(new: Path, target: Path, aside: Path) -> None:
    """Put a folder in the place of another; the old one lies at `new` or `aside` afterwards.

    Where the system exchanges two names in one step (Linux), nothing can come in between. Elsewhere it takes two
    renames; an interrupt waits until both are done, and what a power cut leaves half done, `leftovers.tidy_up` mends.

    Args:
        new: the finished folder.
        target: the folder to replace, on the same disk.
        aside: a name that is free, for the old folder.

    Raises:
        OSError: if the disk refuses; both folders are where they were then.
    """
    with held_interrupts():
        if _exchanged(new, target):
            return
        target.rename(aside)
        try:
            new.rename(target)
        except BaseException:
            aside.rename(target)
            raise


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


def _exchanged(a: Path, b: Path) -> bool:
    """Exchange two names in one step; False where the system or the disk cannot."""
    if sys.platform != "linux":
        return False
    try:
        rename = ctypes.CDLL(None, use_errno=True).renameat2
    except (OSError, AttributeError):
        return False
    if rename(_AT_FDCWD, os.fsencode(a), _AT_FDCWD, os.fsencode(b), _RENAME_EXCHANGE) == 0:
        return True
    number = ctypes.get_errno()
    if number in _CANNOT:
        return False
    raise OSError(number, os.strerror(number))
