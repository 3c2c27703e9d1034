"""File names: the run's own name wherever that is safe on every system, and what makes two names the same file."""

import re
from itertools import chain, count
from pathlib import Path
from typing import Protocol

from pipemodel.bending.schedule import Schedule
from pipemodel.job.names import RunNames, is_device
from pipemodel.job.names import file_key as file_key

# Not `pathvalidate`: beside what no system allows, what nobody can see (marks of direction, joiners) has to go, and
# names are changed as little as it takes, or the files of a job would be called otherwise than before.
JOB_STEM = "job"
SET_OUT_STEM = f"{JOB_STEM}-setting-out"
DRAWING_STEMS = (
    SET_OUT_STEM,
    f"{JOB_STEM}-plan",
    *(f"{JOB_STEM}-{what}-{n}" for what in ("bay", "joists") for n in range(1, 10)),
)
"""Of the drawings of a job besides its own."""
_UNSAFE = re.compile(r'[\x00-\x1f\x7f-\x9f<>:"/\\|?*]|[\u200b-\u200f\u2028-\u202e\u2060-\u206f\ufeff\ud800-\udfff]')
_LONGEST_BYTES = 100


class Folder(Protocol):
    """Where a writer puts its files: `folder / name` is the path of a new file."""

    def __truediv__(self, name: str, /) -> Path:
        """Return the path of a new file."""
        ...


def run_stems(schedule: Schedule) -> dict[str, str]:
    """Return the stem of the files of each run, by the run's name.

    A name that would be a path, that some system reserves, that is very long, or that shares a file with another is
    changed as little as it takes; no two stems are the same file on any system.
    """
    taken = RunNames()
    for stem in (JOB_STEM, *DRAWING_STEMS):
        taken.add(stem)
    stems: dict[str, str] = {}
    for solved in schedule.runs:
        base = _safe(solved.name)
        others = (f"{before}{base}-{number}" for number in count(2) for before in ("", "run "))
        stems[solved.name] = next(stem for stem in chain([base], others) if taken.add(stem) is None)
    return stems


def is_file_name(name: str) -> bool:
    """Return whether a text can be the name of one file, on every system."""
    return bool(name) and not _UNSAFE.search(name) and name == name.strip(" ").rstrip(".") and not is_device(name)


def _safe(name: str) -> str:
    stem = _UNSAFE.sub("_", name).strip(" .")
    if not stem or is_device(stem):
        stem = f"run {stem}".strip()
    return stem.encode()[:_LONGEST_BYTES].decode(errors="ignore").strip(" .")
