"""The two streams: the answer goes to stdout, everything else to stderr, and neither can crash on a letter."""

import codecs
import errno
import os
import sys
from typing import TextIO


def is_plain(stream: TextIO | None) -> bool:
    """Return whether a stream can do no better than plain ASCII: any that does not write Unicode in full."""
    try:
        return codecs.lookup(getattr(stream, "encoding", None) or "ascii").name not in _UNICODE
    except LookupError:
        return True


_UNICODE = {codecs.lookup(name).name for name in ("utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be", "utf-32")}


def say(text: str) -> None:
    """Print an answer for people to stdout, all of it, now; see `is_plain` for which letters it may hold.

    Raises:
        OSError: if the answer could not be written, such as on a full disk.
    """
    if sys.stdout is not None:
        encoding = sys.stdout.encoding or "ascii"
        _put(text.replace("\n", os.linesep).encode(encoding, "backslashreplace"))


def hand_over(text: str) -> None:
    """Put an answer for programs on stdout: UTF-8 and its own line ends, whatever the terminal speaks.

    Raises:
        OSError: if the answer could not be written, such as on a full disk.
    """
    if sys.stdout is not None:
        _put(text.encode("utf-8"))


def _put(data: bytes) -> None:
    try:
        sys.stdout.flush()
        sys.stdout.buffer.write(data)
        sys.stdout.buffer.flush()
    except OSError as error:
        # Python flushes once more when it ends; let that go nowhere.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        # A reader who has seen enough (`| head`) and closes the pipe is no error.
        if error.errno not in (errno.EPIPE, errno.EINVAL):
            raise


def count(done: int, of: int) -> None:
    """Show on a terminal how many of several jobs are done, each over the last; nothing where stderr is none."""
    if sys.stderr is not None and sys.stderr.isatty():
        print(f"{done}/{of}", end="\r" if done < of else "\n", file=sys.stderr, flush=True)


def tell(line: str) -> None:
    """Print a message to stderr."""
    if sys.stderr is None:
        return
    try:
        print(line.encode(sys.stderr.encoding or "ascii", "backslashreplace").decode(sys.stderr.encoding or "ascii"),
              file=sys.stderr, flush=True)  # fmt: skip
    except OSError:
        # Nobody listens; the exit code still tells.
        os.dup2(os.open(os.devnull, os.O_WRONLY), 2)
