"""The page's scripts share one scope: a name declared in two of them ends the later one before its first line."""

import re
from collections import Counter
from pathlib import Path

import pipemodel.documents.page.page as page

FOLDER = Path(page.__file__).parent
DECLARED = re.compile(r"^(?:async )?(?:const|let|var|class|function\*?) ")
NAME = re.compile(r"^(?:async )?(?:class|function\*?) (\w+)|(?:^(?:const|let|var) |, )(\w+) = ")


def outermost(line: str) -> str:
    """What of a line stands in no brackets."""
    depth, out = 0, ""
    for letter in line:
        depth -= letter in ")]}"
        out += letter if depth == 0 else ""
        depth += letter in "([{"
    return out


def names_of(text: str) -> list[str]:
    """The names that a script declares outside any function, by the lines that begin with a declaration."""
    lines = [outermost(line) for line in text.splitlines() if DECLARED.match(line)]
    return [match[1] or match[2] for line in lines for match in NAME.finditer(line)]


def test_no_name_is_declared_in_two_scripts_of_the_page() -> None:
    names = [name for file in (*page.SCRIPTS, *page.ANSWERS) for name in names_of((FOLDER / file).read_text("utf-8"))]
    assert {"V", "WayIn", "Descent", "GROWS", "lowerOf"} <= set(names)
    assert [name for name, often in Counter(names).items() if often > 1] == []
