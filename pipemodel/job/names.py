"""Names of jobs, runs and things: they become file names and titles, on any machine."""

import re
import unicodedata
from collections.abc import Iterable

from pipemodel.job.quantities import shown

LONGEST = 80
LONGEST_REVISION = 20
NAME_PATTERN = r"^[^./\\\s][^/\\]*$"
"""What a JSON Schema can say of a name; `name_fault` says the rest."""

_DEVICES = re.compile(r"(?:con|prn|aux|nul|clock\$|com[0-9¹²³]|lpt[0-9¹²³])(?:\..*)?", re.IGNORECASE)
_SLASHES = re.compile(r"[/\\]+")
_TAKEN = {"job": "job.step, which holds the whole job"}


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
    if "/" in name or "\\" in name:
        better = _SLASHES.sub("-", name).strip(".- ") or what
        return f"the name {shown(name)!r} would be a path; write {shown(better)!r}"
    if name.startswith(".") or name.endswith(".") or re.match(r"[A-Za-z]:", name):
        better = name.replace(":", " ", 1).strip(". ") or what
        return f"the name {shown(name)!r} cannot be a file's; write {shown(better)!r}"
    if _DEVICES.fullmatch(name):
        return f"the name {shown(name)!r} belongs to a device on some machines; write {shown(f'{what} {name}')!r}"
    if what == "run" and name.casefold() in _TAKEN:
        return f"a run called {shown(name)!r} would have the same file as {_TAKEN[name.casefold()]}; call it otherwise"
    return None


def revision_fault(text: str) -> str | None:
    """Return what is wrong with the revision of a job, or None."""
    if not text.strip() or len(text) > LONGEST_REVISION or not text.isprintable():
        return f"a revision is a few letters or figures, such as B, at most {LONGEST_REVISION}"
    return None


def same_names(names: Iterable[str]) -> list[tuple[str, str]]:
    """Return (name, earlier name) for each name that would share a file with an earlier one."""
    first: dict[str, str] = {}
    twice = []
    for name in names:
        folded = unicodedata.normalize("NFC", unicodedata.normalize("NFC", name).casefold())
        if folded in first:
            twice.append((name, first[folded]))
        else:
            first[folded] = name
    return twice
