"""What was worked out of a file, kept from one command to the next in the user's folder for such things.

Everything in there can be worked out again: what is damaged, gone or too much is as if it had never been kept, and a
disk that refuses is no fault of the command. `PIPEMODEL_CACHE` names another folder; `off` keeps nothing.
"""

import os
import sys
import tempfile
from contextlib import suppress
from hashlib import sha256
from pathlib import Path

FOLDER = "PIPEMODEL_CACHE"
MOST_BYTES = 1_000_000_000
"""What all that is kept may take together; what was not asked for longest goes first."""
_ENDING = ".kept"
_BLOCK_BYTES = 1 << 20


def digest_of(path: Path, *more: str) -> str:
    """Return a digest of what is in a file, and of some words; "" for a file that cannot be read."""
    digest = sha256("\n".join(more).encode("utf-8", "surrogateescape"))
    try:
        with path.open("rb") as file:
            while block := file.read(_BLOCK_BYTES):
                digest.update(block)
    except OSError:
        return ""
    return digest.hexdigest()


def kept(key: str) -> bytes | None:
    """Return what was kept under a key, a digest; None if it is not there whole."""
    folder = _folder()
    if folder is None:
        return None
    try:
        with (folder / f"{key}{_ENDING}").open("rb") as file:
            seal, data = file.read(sha256().digest_size), file.read()
            if sha256(data).digest() != seal:
                return None
            with suppress(OSError):
                os.utime(file.fileno() if os.utime in os.supports_fd else file.name)
    except OSError:
        return None
    return data


def keep(key: str, data: bytes) -> None:
    """Keep something under a key, a digest, and let go of what is too much."""
    folder = _folder()
    if folder is None or len(data) > MOST_BYTES:
        return
    with suppress(OSError):
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        number, beside = tempfile.mkstemp(suffix=_ENDING, dir=folder)
        try:
            with os.fdopen(number, "wb") as file:
                file.write(sha256(data).digest())
                file.write(data)
            os.replace(beside, folder / f"{key}{_ENDING}")
        except BaseException:
            os.unlink(beside)
            raise
        _let_go(folder)


def _let_go(folder: Path) -> None:
    found: list[tuple[int, int, Path]] = []
    for path in folder.glob(f"*{_ENDING}"):
        with suppress(OSError):
            about = path.stat()
            found.append((about.st_mtime_ns, about.st_size, path))
    total = 0
    for _, size, path in sorted(found, reverse=True):
        total += size
        if total > MOST_BYTES:
            path.unlink(missing_ok=True)


def _folder() -> Path | None:
    """Return where things are kept; None for nowhere."""
    said = os.environ.get(FOLDER)
    if said:
        return None if said == "off" else Path(said)
    base = {"win32": os.environ.get("LOCALAPPDATA", ""), "darwin": "~/Library/Caches"}.get(
        sys.platform, os.environ.get("XDG_CACHE_HOME") or "~/.cache"
    )
    folder = Path(os.path.expanduser(base)) / "pipemodel"
    return folder if folder.is_absolute() else None
