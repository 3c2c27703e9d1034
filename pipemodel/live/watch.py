"""Seeing that a file was saved: by looking at its time and size a few times a second, which works on any disk."""

import time
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path
from typing import Any, TypeAlias

from pipemodel.job.yaml_tree import read_tree

LOOK_S = 0.1
"""How often the files are looked at."""
SETTLE_S = 0.03
"""A file that changes again within this is still being written."""
MOST_SETTLING = 20
_FILE_KEYS = ("file", "history", "learned")

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
    """Return the job file and every file that it names: meshes of the room, formers, benders, histories."""
    try:
        values = read_tree(path.read_text(encoding="utf-8", errors="replace")).values
    except OSError:
        return (path,)
    named = dict.fromkeys(path.parent / name for name in _named(values))
    return (path, *named)


def _named(values: Any) -> Iterator[str]:
    if isinstance(values, dict):
        for key, value in values.items():
            if key in _FILE_KEYS and isinstance(value, str):
                yield value
            else:
                yield from _named(value)
    elif isinstance(values, list):
        for value in values:
            yield from _named(value)
