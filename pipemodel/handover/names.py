"""File names for runs: the run's own name wherever that is safe on every system."""

import re

from pipemodel.bending.schedule import Schedule

JOB_STEM = "job"
_UNSAFE = re.compile(r'[\x00-\x1f\x7f-\x9f<>:"/\\|?*]|[\u200b-\u200f\u2028-\u202e\u2060-\u206f\ufeff\ud800-\udfff]')
_RESERVED = re.compile(r"(con|prn|aux|nul|com\d|lpt\d)(\..*)?", re.IGNORECASE)
_LONGEST_BYTES = 100


def run_stems(schedule: Schedule) -> dict[str, str]:
    """Return the stem of the files of each run, by the run's name.

    A name that would be a path, that some system reserves, that is very long, or that differs from another's
    only in case is changed as little as it takes; no two stems are the same.
    """
    taken = {JOB_STEM}
    stems: dict[str, str] = {}
    for solved in schedule.runs:
        stem = base = _safe(solved.name)
        number = 2
        while stem.casefold() in taken:
            stem, number = f"{base}-{number}", number + 1
        taken.add(stem.casefold())
        stems[solved.name] = stem
    return stems


def _safe(name: str) -> str:
    stem = _UNSAFE.sub("_", name).strip(" .")
    if not stem or _RESERVED.fullmatch(stem):
        stem = f"run {stem}".strip()
    return stem.encode()[:_LONGEST_BYTES].decode(errors="ignore").strip(" .")
