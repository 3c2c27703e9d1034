"""A room file and the surfaces beside it, written whole or not at all, and never over what somebody changed."""

import hashlib
import os
import re
import tempfile
from pathlib import Path

from pipemodel.messages.values import bare, message
from pipemodel.output.folder import FolderError
from pipemodel.output.refused import refused
from pipemodel.output.whole_file import umask

_SEAL = re.compile(rb"# seal ([0-9a-f]{16})(?: with surfaces ([0-9a-f]{16}))? of ([0-9a-f]{16})\n")
"""The first line: a digest of all that follows, of the file of surfaces, and of what it was made of."""
_MOST_BYTES = 200_000_000


def _sealed(text: str, surfaces: bytes | None, source: str) -> bytes:
    """Return the bytes of a room file, with a first line by which it is known again unchanged."""
    body = text.encode("utf-8")
    beside = "" if surfaces is None else f" with surfaces {_digest(surfaces)}"
    return f"# seal {_digest(body)}{beside} of {source}\n".encode() + body


def surfaces_path(out: Path) -> Path:
    """Return the path of the file of surfaces beside a room file."""
    return out.with_suffix(".glb")


def see_free(out: Path) -> str:
    """See that a room file and the surfaces beside it may be written: not there, or written here and not changed.

    Returns:
        The digest of what those that are there were made of, "" for none.

    Raises:
        FolderError: naming what is in the way.
    """
    beside = surfaces_path(out)
    seal = None
    if os.path.lexists(out):
        seal = _SEAL.match(_read(out))
        if seal is None or _digest(_read(out)[seal.end() :]) != seal[1].decode():
            raise FolderError(message("folder.not ours", file=bare(str(out))))
    if os.path.lexists(beside) and (seal is None or seal[2] is None or _digest(_read(beside)) != seal[2].decode()):
        raise FolderError(message("folder.not ours", file=bare(str(beside))))
    whole = seal is not None and (seal[2] is None or beside.exists())
    return seal[3].decode() if seal is not None and whole else ""


def write_room(out: Path, text: str, surfaces: bytes | None, source: str) -> None:
    """Write a room file and the surfaces beside it.

    Args:
        out: the room file.
        text: what stands in it.
        surfaces: the file of surfaces, None for no such file.
        source: a digest of what it was made of.

    Raises:
        FolderError: if something is in the way, or the disk refuses.
    """
    see_free(out)
    beside = surfaces_path(out)
    made: list[tuple[str, Path]] = []
    try:
        if surfaces is not None:
            made.append((_temporary(beside, surfaces), beside))
        made.append((_temporary(out, _sealed(text, surfaces, source)), out))
        for temporary, target in made:
            os.replace(temporary, target)
        if surfaces is None:
            beside.unlink(missing_ok=True)
    except OSError as error:
        raise FolderError(message("file.unwritten", file=bare(str(out)), why=refused(error))) from error
    finally:
        for temporary, _ in made:
            Path(temporary).unlink(missing_ok=True)


def _temporary(target: Path, data: bytes) -> str:
    number, path = tempfile.mkstemp(prefix=f".{target.name}.", dir=target.parent)
    with os.fdopen(number, "wb") as file:
        file.write(data)
        os.fchmod(number, 0o666 & ~umask())
    return path


def _read(path: Path) -> bytes:
    try:
        if not path.is_file() or path.stat().st_size > _MOST_BYTES:
            raise FolderError(message("folder.not ours", file=bare(str(path))))
        return path.read_bytes()
    except OSError as error:
        raise FolderError(message("file.unread", file=bare(str(path)), why=refused(error))) from error


def _digest(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()[:16]
