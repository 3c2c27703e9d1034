"""The job file as text: found, readable, of a sane size, and UTF-8 that YAML may hold."""

import re
from os import PathLike
from pathlib import Path

from pipemodel.job.model import Fault, JobError, Place

LARGEST_BYTES = 5_000_000
"""A job of a thousand runs takes a few hundred kilobytes."""

FILE = Place()
"""Where a fault of the whole file is said to stand."""

# YAML's control characters, and the three that some readers take for a line's end and editors do not.
_NOT_TEXT = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u2028\u2029\ufffe\uffff]")


def read_text(path: str | PathLike[str], most: int = LARGEST_BYTES) -> str:
    """Return the text of a file of a job, of at most so many bytes.

    Raises:
        JobError: if it is missing, unreadable, a folder, too large, or no UTF-8 text.
    """
    try:
        with Path(path).open("rb") as file:
            data = file.read(most + 1)
    except FileNotFoundError:
        raise _refused(path, "there is no such file; give the path of one") from None
    except IsADirectoryError:
        raise _refused(path, "this is a folder; give the path of a file in it") from None
    except PermissionError:
        raise _refused(path, "this file may not be read; change its permissions") from None
    except (OSError, ValueError) as error:
        reason = error.strerror if isinstance(error, OSError) and error.strerror else str(error)
        raise _refused(path, f"this file cannot be read: {reason}") from None
    if len(data) > most:
        raise _refused(path, f"this file is too large for a job; at most {most / 1e6:g} MB are read")
    return _decoded(path, data)


def _decoded(path: str | PathLike[str], data: bytes) -> str:
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        raise _refused(path, "this file is saved as UTF-16; save it as UTF-8")
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        place = _place_at(data[: error.start].decode("utf-8-sig", "replace"))
        byte = data[error.start]
        raise _refused(path, f"no UTF-8 text (byte 0x{byte:02x}); save the job as UTF-8", place) from None
    if match := _NOT_TEXT.search(text):
        place = _place_at(text[: match.start()])
        character = f"character U+{ord(match[0]):04X}"
        raise _refused(path, f"no plain text ({character} cannot be in a job); is this the right file?", place)
    return text


def _place_at(before: str) -> Place:
    return Place(before.count("\n") + 1, len(before) - before.rfind("\n"))


def _refused(path: str | PathLike[str], message: str, place: Place = FILE) -> JobError:
    return JobError(str(path), [Fault(message, place)])
