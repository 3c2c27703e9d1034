"""Putting a finished folder in another's place so that one of the two stands there at every moment, where it can be."""

import ctypes
import errno
import os
import shutil
import sys
from pathlib import Path

from pipemodel.output.interrupts import held_interrupts
from pipemodel.output.leftovers import OLD, new_folder

_AT_FDCWD = -100
_RENAME_EXCHANGE = 2
_CANNOT = (errno.ENOSYS, errno.EINVAL, errno.ENOTSUP, errno.EOPNOTSUPP, errno.EPERM)


def exchange(new: Path, target: Path) -> None:
    """Put a folder in the place of another; what was in the other lies at `new` afterwards, or nowhere.

    Where the system exchanges two names in one step (Linux), nothing can come in between. Elsewhere it takes two
    renames; an interrupt waits until both are done, and what a power cut leaves half done, `leftovers.tidy_up` mends.

    Args:
        new: the finished folder.
        target: the folder to replace, on the same disk.

    Raises:
        OSError: if the disk refuses; both folders are where they were then.
    """
    with held_interrupts():
        if not _exchanged(new, target):
            _renamed_twice(new, target)


def _renamed_twice(new: Path, target: Path) -> None:
    aside = new_folder(target.parent, OLD)
    old = aside / target.name
    try:
        target.rename(old)
        try:
            new.rename(target)
        except BaseException:
            old.rename(target)
            raise
    finally:
        # Only if there is something in the target's place: else the old folder is all there is.
        if os.path.lexists(target):
            shutil.rmtree(aside, ignore_errors=True)


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
