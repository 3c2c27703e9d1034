"""Temporary folders with their owner's mark in their names, so that what a killed process left can be swept up.

A mark says which process made a folder, when that process began, and on which machine: a number alone may belong to
another process by now. What a living process owns is let alone, and so is what another machine may be working on.
"""

import hashlib
import os
import re
import shutil
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from pipemodel.output.interrupts import held_interrupts

PART, OLD = ".part", ".old"
"""Endings of a folder being filled, and of one that holds the folder it is to replace."""
STALE_S = 86_400.0
"""What another machine left, or one where processes cannot be looked up, is taken for left over after a day."""
_PREFIX = ".pipemodel"
_MARKED = re.compile(rf"{re.escape(_PREFIX)}-(\d+)-(\d+)-([0-9a-f]{{8}})-\w+({re.escape(PART)}|{re.escape(OLD)})")


def new_folder(beside: Path, ending: str) -> Path:
    """Make a temporary folder in `beside`, marked as this process's.

    Raises:
        OSError: if the disk refuses.
    """
    pid = os.getpid()
    prefix = f"{_PREFIX}-{pid}-{_began(pid) or 0}-{_machine()}-"
    return Path(tempfile.mkdtemp(prefix=prefix, suffix=ending, dir=beside))


@contextmanager
def temporary_folder(beside: Path, ending: str) -> Iterator[Path]:
    """Make a temporary folder in `beside` and take it away again, whatever comes in between.

    Raises:
        OSError: if the disk refuses to make it.
    """
    path = None
    try:
        with held_interrupts():
            path = new_folder(beside, ending)
        yield path
    finally:
        with held_interrupts():
            if path is not None:
                shutil.rmtree(path, ignore_errors=True)


def tidy_up(beside: Path) -> None:
    """Sweep up in a folder what processes left there that have been killed.

    A folder that was set aside and never replaced goes back to its place first: nothing that was whole is lost.
    """
    with suppress(OSError):
        for path in sorted(beside.iterdir()):
            mark = _MARKED.fullmatch(path.name)
            if mark is None or path.is_symlink() or not path.is_dir() or not _left(path, mark):
                continue
            if mark.group(4) == OLD:
                _put_back(path)
            shutil.rmtree(path, ignore_errors=True)


def _put_back(aside: Path) -> None:
    for old in aside.iterdir():
        target = aside.parent / old.name
        if not os.path.lexists(target):
            with suppress(OSError):
                old.rename(target)


def _left(path: Path, mark: "re.Match[str]") -> bool:
    """Return whether nobody is working on a marked folder any more."""
    pid, began, machine = int(mark.group(1)), int(mark.group(2)), mark.group(3)
    if machine == _machine() and began:
        return _began(pid) != began
    try:
        return time.time() - path.stat().st_mtime > STALE_S
    except OSError:
        return False


def _began(pid: int) -> int | None:
    """Return when a process began, in the system's own count; None if there is none, or the system does not say."""
    if sys.platform != "linux":
        return None
    try:
        # The name in brackets may hold anything; 20 fields after it comes the time.
        return int(
            Path(f"/proc/{pid}/stat").read_text(encoding="utf-8", errors="replace").rpartition(")")[2].split()[19]
        )
    except (OSError, ValueError, IndexError):
        return None


def _machine() -> str:
    """Return a mark of this machine, its run since it was switched on, and the numbering its processes share."""
    parts = [os.uname().nodename if hasattr(os, "uname") else ""]
    with suppress(OSError):
        parts.append(Path("/proc/sys/kernel/random/boot_id").read_text())
    with suppress(OSError):
        parts.append(os.readlink("/proc/self/ns/pid"))
    return hashlib.sha256("\n".join(parts).encode("utf-8", "surrogateescape")).hexdigest()[:8]
