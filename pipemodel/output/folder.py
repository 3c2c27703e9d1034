"""A folder that is written whole or not at all, and never over what somebody else put there.

Everything goes into a temporary folder beside the target first. Only when all of it is there does it take the
target's place, in one step where the system can. No name in it is given out twice. A small list of what was written,
with a hash of each file, is kept in the folder; a target is replaced only when it holds exactly that. So a changed or
added file is never lost, and no file of an earlier answer lies among those of a later one.
"""

import hashlib
import json
import os
import re
import shutil
import threading
from collections.abc import Callable
from contextlib import ExitStack
from pathlib import Path

from pipemodel.messages.values import NOTHING, Count, Name, SaidError, bare, message
from pipemodel.output.exchange import exchange
from pipemodel.output.file_names import Folder, file_key, is_file_name
from pipemodel.output.leftovers import PART, temporary_folder, tidy_up
from pipemodel.output.refused import refused
from pipemodel.output.whole_file import umask
from pipemodel.wording.safe_text import shown

MANIFEST = ".pipemodel-manifest.json"
_FORMAT = "pipemodel.manifest/1"
_LARGEST_MANIFEST = 50_000_000
_SHOWN = 5
_DROPPED = re.compile(r"\.DS_Store|\._.*|Thumbs\.db|ehthumbs\.db|desktop\.ini|\.directory", re.IGNORECASE)
"""What file managers put into every folder they show. It is nobody's work: it stands in nobody's way."""


class FolderError(SaidError):
    """A folder that cannot or must not be written; nothing in it was touched."""


class NewFolder:
    """A folder being filled: `folder / name` is the path of a new file, and every name is given out once."""

    def __init__(self, path: Path) -> None:
        self._path = path
        self._lock = threading.Lock()
        self._taken: dict[str, str] = {file_key(MANIFEST): MANIFEST}

    def __truediv__(self, name: str) -> Path:
        """Give out a name.

        Raises:
            FolderError: if it was given out before, in any spelling that some system takes for the same, or if it
                cannot be a file's name on every system.
        """
        if not is_file_name(name):
            raise FolderError(message("folder.name", name=Name(shown(name))))
        with self._lock:
            key = file_key(name)
            if key in self._taken:
                first = Name(shown(self._taken[key]))
                raise FolderError(message("folder.same file", first=first, second=Name(shown(name))))
            self._taken[key] = name
        return self._path / name


def check_free(out: Path) -> None:
    """See that a folder may be written: not there yet, empty, or holding nothing but what was written here.

    Raises:
        FolderError: naming what is in the way.
    """
    if not out.exists():
        if out.is_symlink():
            raise FolderError(message("folder.link", out=_path(out)))
        return
    if not out.is_dir():
        raise FolderError(message("folder.file", out=_path(out)))
    strange = sorted(_not_ours(out))
    if strange:
        more = message("folder.more", n=Count(len(strange) - _SHOWN)) if len(strange) > _SHOWN else NOTHING
        names = bare(", ".join(strange[:_SHOWN]))
        raise FolderError(message("folder.strange", out=_path(out), names=names, more=more))


def write_whole(out: Path, write: Callable[[Folder], object]) -> list[Path]:
    """Fill a folder by calling `write` with a temporary one, then put it in place; return the paths written.

    Whatever goes wrong on the way, an interrupt included, leaves the target as it was. What earlier calls left beside
    the target when they were killed is swept up.

    Raises:
        FolderError: if the target must not be replaced, or the disk refuses.
    """
    # A link stays a link: what it points to is replaced.
    target = Path(os.path.realpath(out))
    tidy_up(target.parent)
    check_free(out)
    with ExitStack() as at_the_end:
        try:
            target.parent.mkdir(parents=True, exist_ok=True)
            temporary = at_the_end.enter_context(temporary_folder(target.parent, PART))
        except OSError as error:
            raise FolderError(message("folder.beside", out=_path(out), why=refused(error))) from error
        try:
            write(NewFolder(temporary))
            names = sorted(p.relative_to(temporary).as_posix() for p in temporary.rglob("*") if p.is_file())
            (temporary / MANIFEST).write_text(_manifest(temporary, names), encoding="utf-8")
            os.chmod(temporary, 0o777 & ~umask())
            check_free(out)
            _put_in_place(temporary, target)
        except OSError as error:
            raise FolderError(message("folder.cannot", out=_path(out), why=refused(error))) from error
    return [out / name for name in names]


def _path(path: Path) -> Name:
    return bare(str(path))


def _put_in_place(temporary: Path, target: Path) -> None:
    if not target.exists():
        temporary.rename(target)
        return
    for path in target.iterdir():
        if _DROPPED.fullmatch(path.name) and path.is_file():
            shutil.copyfile(path, temporary / path.name)
    exchange(temporary, target)


def _not_ours(folder: Path) -> set[str]:
    """Return what lies in a folder that is not as the list in it says.

    Only folders that hold something of ours are looked into, so that a disk full of other things costs no time.
    """
    ours = _listed(folder)
    parents = {str(parent) for name in ours for parent in Path(name).parents}
    strange: set[str] = set()
    waiting = [folder]
    while waiting:
        for path in waiting.pop().iterdir():
            name = path.relative_to(folder).as_posix()
            if path.is_dir() and not path.is_symlink() and name in parents:
                waiting.append(path)
            elif _DROPPED.fullmatch(path.name) and name not in ours and path.is_file():
                continue
            elif (name != MANIFEST and ours.get(name) != _hash(path)) or (name == MANIFEST and not ours):
                strange.add(name)
    return strange


def _listed(folder: Path) -> dict[str, str]:
    path = folder / MANIFEST
    try:
        # A pipe of that name would keep us waiting for ever.
        if not path.is_file() or path.stat().st_size > _LARGEST_MANIFEST:
            return {}
        manifest = json.loads(path.read_text(encoding="utf-8"))
        files = manifest["files"] if manifest["format"] == _FORMAT else {}
        return {str(name): str(digest) for name, digest in files.items()}
    except (OSError, ValueError, KeyError, TypeError, AttributeError, RecursionError):
        return {}


def _manifest(folder: Path, names: list[str]) -> str:
    files = {name: _hash(folder / name) for name in names}
    return json.dumps({"format": _FORMAT, "files": files}, indent=2) + "\n"


def _hash(path: Path) -> str:
    if path.is_symlink() or not path.is_file():
        return "no plain file"
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()
