"""Names of jobs, runs and things, and which names of runs cannot be told apart as files."""

import re
import unicodedata
from collections.abc import Iterable

from pipemodel.job.quantities import shown

LONGEST = 80
LONGEST_REVISION = 20
RUN_PATTERN = r"^[^.\s].*$"
TITLE_PATTERN = r"^\S.*$"
"""What a JSON Schema can say of the name of a run, and of any other; `name_fault` says the rest."""

_DEVICES = re.compile(r"(?:con|prn|aux|nul|clock\$|com[0-9¹²³]|lpt[0-9¹²³])(?:\..*)?", re.IGNORECASE)
_TAKEN = {"job": "job.step, which holds the whole job"}
_FURTHER = re.compile(r"-(?:pulls|jig|setting-out)(?=-|$)")
"""What stands after a run's name in the names of its further files."""


def name_fault(what: str, name: str) -> str | None:
    """Return what is wrong with the name of a job, a run or a thing, and what would be right; or None.

    Args:
        what: what it names, such as "run".
        name: the name.
    """
    if not name.strip():
        return f"a {what} needs a name"
    if len(name) > LONGEST:
        return f"the name of this {what} has {len(name)} characters; use at most {LONGEST}"
    if "${" in name:
        return f"the name of a {what} cannot be an expression"
    if any(unicodedata.category(c) in ("Cc", "Cs", "Zl", "Zp") for c in name):
        return f"the name {shown(name)!r} holds a control character; leave it out"
    if name != name.strip():
        return f"the name {shown(name)!r} begins or ends with a space; leave it out"
    return _run_fault(name) if what == "run" else None


def _run_fault(name: str) -> str | None:
    """Return why a name cannot be a run's, whose files are called after it.

    What files cannot have within their names, such as the stroke of "15/22 mm", is left to `output.file_names`.
    """
    if name.startswith(".") or name.endswith(".") or re.match(r"[A-Za-z]:", name):
        better = name.replace(":", " ", 1).strip("./\\ ") or "run"
        return f"the name {shown(name)!r} cannot be a file's; write {shown(better)!r}"
    if is_device(name):
        return f"the name {shown(name)!r} belongs to a device on some machines; write {shown(f'run {name}')!r}"
    if name.casefold() in _TAKEN:
        return f"a run called {shown(name)!r} would have the same file as {_TAKEN[name.casefold()]}; call it otherwise"
    return None


def revision_fault(text: str) -> str | None:
    """Return what is wrong with the revision of a job, or None."""
    if not text.strip() or len(text) > LONGEST_REVISION or not text.isprintable():
        return f"a revision is a few letters or figures, such as B, at most {LONGEST_REVISION}"
    return None


def is_device(name: str) -> bool:
    """Return whether some system takes a name, with any ending, for one of its devices."""
    return _DEVICES.fullmatch(name) is not None


def file_key(name: str) -> str:
    """Return what two names have in common that are one file on some system: capitals and accents do not count."""
    return unicodedata.normalize("NFC", unicodedata.normalize("NFC", name).casefold())


class RunNames:
    """Names of runs whose files do not meet: not as one name, and not as `a-pulls.svg` of a and of a-pulls."""

    def __init__(self) -> None:
        self._own: dict[str, str] = {}
        self._before: dict[str, str] = {}

    def add(self, name: str) -> str | None:
        """Take a name in; if it would share a file with one that is in, return that and leave the name out."""
        key = file_key(name)
        befores = [key[: end.start()] for end in _FURTHER.finditer(key)]
        met = next((self._own[k] for k in (key, *befores) if k in self._own), self._before.get(key))
        if met is None:
            self._own[key] = name
            self._before.update(dict.fromkeys(befores, name))
        return met


def same_names(names: Iterable[str]) -> list[tuple[str, str]]:
    """Return (name, earlier name) for each run's name that would share a file with an earlier one."""
    seen = RunNames()
    return [(name, earlier) for name in names if (earlier := seen.add(name)) is not None]
