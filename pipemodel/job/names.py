"""Names of jobs, runs and things, and which names of runs cannot be told apart as files."""

import re
import unicodedata
from collections.abc import Iterable

from pipemodel.job.quantities import shown
from pipemodel.messages.values import Count, Message, Name, Word, message

LONGEST = 80
LONGEST_REVISION = 20
RUN_PATTERN = r"^[^.\s].*$"
TITLE_PATTERN = r"^\S.*$"
"""What a JSON Schema can say of the name of a run, and of any other; `name_fault` says the rest."""

_DEVICES = re.compile(r"(?:con|prn|aux|nul|clock\$|com[0-9¹²³]|lpt[0-9¹²³])(?:\..*)?", re.IGNORECASE)
_TAKEN = "job"
"""The stem of the files that hold the whole job."""
_FURTHER = re.compile(r"-(?:pulls|jig|setting-out)(?=-|$)")
"""What stands after a run's name in the names of its further files."""


def name_fault(what: str, name: str) -> Message | None:
    """Return what is wrong with the name of a job, a run or a thing, and what would be right; or None.

    Args:
        what: what it names, such as "run", a word of the templates.
        name: the name.
    """
    if not name.strip():
        return message("name.none", what=Word(what))
    if len(name) > LONGEST:
        return message("name.long", what=Word(what), n=Count(len(name)), most=Count(LONGEST))
    if "${" in name:
        return message("name.expression", what=Word(what))
    if any(unicodedata.category(c) in ("Cc", "Cs", "Zl", "Zp") for c in name):
        return message("name.control", name=Name(shown(name)))
    if name != name.strip():
        return message("name.space", name=Name(shown(name)))
    return _run_fault(name) if what == "run" else None


def _run_fault(name: str) -> Message | None:
    """Return why a name cannot be a run's, whose files are called after it.

    What files cannot have within their names, such as the stroke of "15/22 mm", is left to `output.file_names`.
    """
    if name.startswith(".") or name.endswith(".") or re.match(r"[A-Za-z]:", name):
        better = name.replace(":", " ", 1).strip("./\\ ") or "run"
        return message("name.no file", name=Name(shown(name)), better=Name(shown(better)))
    if is_device(name):
        return message("name.device", name=Name(shown(name)), better=Name(shown(f"run {name}")))
    if name.casefold() == _TAKEN:
        return message("name.taken", name=Name(shown(name)))
    return None


def revision_fault(text: str) -> Message | None:
    """Return what is wrong with the revision of a job, or None."""
    if not text.strip() or len(text) > LONGEST_REVISION or not text.isprintable():
        return message("name.revision", most=Count(LONGEST_REVISION))
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
