"""A page of text of a fixed width, on which everything is made harmless, and plain ASCII if need be."""

from collections.abc import Iterable

from pipemodel.messages.units import Language
from pipemodel.wording.safe_text import columns, shown, to_ascii, wrapped

WIDTH = 80
LONGEST_NAME = 200


class TextPage:
    """Lines being written one under the other.

    Args:
        ascii: write nothing but ASCII.
        language: what it is written in.
        width: columns to a line.
    """

    def __init__(self, ascii: bool = False, language: Language = "en", width: int = WIDTH) -> None:
        self.ascii, self.language = ascii, language
        self.width = width
        self.lines: list[str] = []

    def heading(self, name: str) -> None:
        """Write a title with a rule under it."""
        start = len(self.lines)
        self.text(name, longest=LONGEST_NAME)
        self.lines.append("=" * max(columns(line) for line in self.lines[start:]))

    def text(self, text: str, first: str = "", rest: str | None = None, longest: int | None = None) -> None:
        """Write a text from anywhere, wrapped; `first` begins its first line, `rest` or as many blanks the others."""
        safe = shown(text, longest)
        rest = None if rest is None else self._plain(rest)
        self.lines += wrapped(self._plain(safe), self.width, self._plain(first), rest)

    def raw(self, *lines: str) -> None:
        """Write lines of our own as they are, such as the head of a table."""
        self.lines += map(self._plain, lines)

    def notes(self, title: str, notes: Iterable[str]) -> None:
        """Write a titled list of notes, or nothing where there are none."""
        notes = tuple(notes)
        if notes:
            self.raw("")
            self.text(title)
            for note in notes:
                self.text(note, "  - ")

    def _plain(self, text: str) -> str:
        return to_ascii(text, self.language) if self.ascii else text

    def finished(self) -> str:
        """Return the page, every line ended."""
        return "\n".join(line.rstrip() for line in self.lines) + "\n"
