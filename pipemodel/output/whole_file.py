"""A file of the user's own that is written over whole or not at all."""

import os
import tempfile
from pathlib import Path


class ChangedError(Exception):
    """The file is no longer what was read of it."""


def write_whole_file(path: Path, text: str, before: str | None = None) -> None:
    """Write a file beside itself first, so that it is never half there, and give it the mode it had.

    Args:
        path: the file; a link stays a link.
        text: all that it is to hold.
        before: what it held when it was read, "" where it was not there; None to write whatever is there now.

    Raises:
        ChangedError: if it holds something else by now; then it is left as it is.
        OSError: if the disk refuses; then it is left as it was.
    """
    target = path.resolve()
    number, beside = tempfile.mkstemp(prefix=f".{target.name}.", dir=target.parent)
    try:
        with os.fdopen(number, "wb") as file:
            file.write(text.encode("utf-8"))
            file.flush()
            os.fsync(file.fileno())
        os.chmod(beside, target.stat().st_mode & 0o777 if target.exists() else 0o666 & ~umask())
        if before is not None and before != (target.read_bytes().decode("utf-8-sig") if target.exists() else ""):
            raise ChangedError
        os.replace(beside, target)
    except BaseException:
        os.unlink(beside)
        raise


def umask() -> int:
    """Return which bits of its mode a new file does not get."""
    mask = os.umask(0)
    os.umask(mask)
    return mask
