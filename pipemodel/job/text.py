"""The job file as text: found, readable, of a sane size, and UTF-8 that YAML may hold."""

import re
from os import PathLike
from pathlib import Path

from pipemodel.job.model import Fault, JobError, Place
from pipemodel.messages.values import Message, Name, Number, message

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
        raise _refused(path, message("fault.no file")) from None
    except IsADirectoryError:
        raise _refused(path, message("fault.folder")) from None
    except PermissionError:
        raise _refused(path, message("fault.not permitted")) from None
    except (OSError, ValueError) as error:
        raise _refused(path, message("fault.cannot be read", reason=Name(why_unread(error), quoted=False))) from None
    if len(data) > most:
        raise _refused(path, message("fault.large file", most=Number(most / 1e6)))
    return _decoded(path, data)


def why_unread(error: Exception) -> str:
    """Return why a file could not be read, by what the system says."""
    return error.strerror if isinstance(error, OSError) and error.strerror else str(error)


def _decoded(path: str | PathLike[str], data: bytes) -> str:
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        raise _refused(path, message("fault.utf-16"))
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        place = _place_at(data[: error.start].decode("utf-8-sig", "replace"))
        byte = Name(f"{data[error.start]:02x}", quoted=False)
        raise _refused(path, message("fault.no utf-8", byte=byte), place) from None
    if match := _NOT_TEXT.search(text):
        place = _place_at(text[: match.start()])
        raise _refused(path, message("fault.no text", code=Name(f"{ord(match[0]):04X}", quoted=False)), place)
    return text


def _place_at(before: str) -> Place:
    return Place(before.count("\n") + 1, len(before) - before.rfind("\n"))


def _refused(path: str | PathLike[str], said: Message, place: Place = FILE) -> JobError:
    return JobError(str(path), [Fault(said, place)])
