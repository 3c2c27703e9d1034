"""Seeing that a file was saved: by looking at its time and size a few times a second, which works on any disk."""

import os
import time
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path
from typing import Any, TypeAlias

from pipemodel.job.room_file_forms import FILE_KEY, MOST_FILES
from pipemodel.job.room_files import MOST_BYTES
from pipemodel.job.yaml_tree import read_tree

LOOK_S = 0.1
"""How often the files are looked at."""
SETTLE_S = 0.03
"""A file that changes again within this is still being written."""
MOST_SETTLING = 20
_FILE_KEYS = (FILE_KEY, "history", "learned")

Look: TypeAlias = tuple[tuple[int, int, int] | None, ...]


def look_at(paths: Iterable[Path]) -> Look:
    """Return when each file was changed, its size and which file it is; None for one that is not there."""
    return tuple(_look(path) for path in paths)


def _look(path: Path) -> tuple[int, int, int] | None:
    try:
        stat = path.stat()
    except OSError:
        return None
    return stat.st_mtime_ns, stat.st_size, stat.st_ino


def settled(paths: Iterable[Path], pause: Callable[[float], object] = time.sleep) -> Look:
    """Wait until the files have stopped changing, and return how they are then.

    An editor may write a file in several goes, or put a new one in the old one's place.
    """
    paths = tuple(paths)
    before = look_at(paths)
    for _ in range(MOST_SETTLING):
        pause(SETTLE_S)
        now = look_at(paths)
        if now == before and now[0] is not None:
            break
        before = now
    return before


def files_of(path: Path) -> tuple[Path, ...]:
    """Return the job file and every file that it names: meshes of the room, formers, benders, histories.

    Of room files, what they name in turn is among them.
    """
    found = {path: None}
    rooms = [path]
    while rooms:
        one = rooms.pop()
        try:
            with one.open(encoding="utf-8", errors="replace") as file:
                values = read_tree(file.read(MOST_BYTES)).values
        except OSError:
            continue
        room = values.get("room") if isinstance(values, dict) else None
        held = set(_named({FILE_KEY: room.get(FILE_KEY)})) if isinstance(room, dict) else set()
        for name in _named(values):
            named = Path(os.path.normpath(one.parent / name))
            if name in held and named not in found and len(found) <= MOST_FILES:
                rooms.append(named)
            found.setdefault(named)
    return tuple(found)


def _named(values: Any) -> Iterator[str]:
    if isinstance(values, dict):
        for key, value in values.items():
            if key in _FILE_KEYS and isinstance(value, str):
                yield value
            elif key == FILE_KEY and isinstance(value, list):
                yield from (one for one in value if isinstance(one, str))
                yield from _named(value)
            else:
                yield from _named(value)
    elif isinstance(values, list):
        for value in values:
            yield from _named(value)
