"""Are code, docs and screens in plain present-day English? Names every quaint word with its place; exit code 1 if any.

Names of files may be given; without any, every file that git knows is read.
"""

import re
import subprocess
import sys
from pathlib import Path

INSTEAD = {
    "anew": "again",
    "albeit": "though",
    "betwixt": "between",
    "ere": "before",
    "heed": "follow, notice",
    "hence": "so",
    "hither": "here",
    "ill": "bad, badly",
    "lest": "so that … not",
    "let be": "left alone",
    "nought": "zero, nothing",
    "oft": "often",
    "speak of": "name, say",
    "speaks of": "names, says",
    "thence": "from there",
    "therein": "in it",
    "thereof": "of it",
    "thither": "there",
    "told": "said, named, given, listed",
    "twixt": "between",
    "whence": "from where",
    "wherein": "in which",
    "whither": "where to",
    "yonder": "there",
}
"""The word, and what to write in its place. "Told apart" is plain enough."""
EXEMPT = {".ci/plain_words.py", "CHANGELOG.md", "docs/mutations.md"}
_WORD = re.compile(rf"(?<![\w'-])({'|'.join(INSTEAD)})(?![\w'-])(?! apart)", re.IGNORECASE)


def quaint(text: str) -> list[tuple[int, str]]:
    """Return the line and the word, for each quaint word of a text; names in code count by their parts."""
    found = []
    for number, line in enumerate(text.splitlines(), 1):
        found += [(number, m[1].lower()) for m in _WORD.finditer(line.replace("_", " "))]
    return found


def main(names: list[str]) -> int:
    """Look through files and print what is found."""
    if not names:
        listed = subprocess.run(["git", "ls-files"], capture_output=True, text=True, check=True).stdout
        names = listed.splitlines()
    wrong = 0
    for name in names:
        if name in EXEMPT or not Path(name).is_file():
            continue
        try:
            text = Path(name).read_text(encoding="utf-8")
        except UnicodeDecodeError:
            continue
        for line, word in quaint(text):
            print(f"{name}:{line}: {word!r} is a word of books; write {INSTEAD[word]!r}")
            wrong += 1
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
