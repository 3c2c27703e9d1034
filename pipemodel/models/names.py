"""Names of things for the elements of a model: as the model has them, made such as a job can hold, each once."""

from collections import Counter
from collections.abc import Sequence

from pipemodel.job.names import LONGEST
from pipemodel.job.room_file_forms import FILE_KEY
from pipemodel.models.values import Element

_SPARE = 16
"""Characters kept free for what tells things of one name apart."""


def names_of(elements: Sequence[Element]) -> list[str]:
    """Return a name for each element; elements of one name are numbered in the order of their GUIDs."""
    plain = [_plain(element) for element in elements]
    shared = Counter(name.casefold() for name in plain)
    taken = {name.casefold() for name in plain} | {FILE_KEY}
    found = list(plain)
    number: Counter[str] = Counter()
    for i in sorted(range(len(elements)), key=lambda i: (elements[i].guid, i)):
        key = plain[i].casefold()
        if shared[key] == 1 and key != FILE_KEY:
            continue
        while True:
            number[key] += 1
            name = f"{plain[i]} ({number[key]})"
            if name.casefold() not in taken:
                break
        taken.add(name.casefold())
        found[i] = name
    return found


def _plain(element: Element) -> str:
    """Return the element's own name, without what a thing's name cannot hold."""
    text = element.name or element.kind or "part"
    text = "".join(c if c.isprintable() else " " for c in text).replace("${", "$ {")
    text = " ".join(text.split())[: LONGEST - _SPARE].strip()
    return text or element.kind or "part"
