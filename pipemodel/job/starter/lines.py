"""Lines of a job file that remember which flag or question each value came from."""

import json
import re

from pipemodel.messages.say import say
from pipemodel.messages.units import Language, units_for
from pipemodel.messages.values import Message, message

_PLAIN_NUMBER = re.compile(r"-?(?:0|[1-9]\d{0,8})(?:\.\d{1,9})?")
_PLAIN_WORDS = re.compile(r"[A-Za-z][A-Za-z0-9 -]{0,60}[A-Za-z0-9]")
_NOT_WORDS = frozenset(("yes", "no", "on", "off", "true", "false", "null"))


def scalar(text: str) -> str:
    """Return a value as YAML: bare where it is a plain number or plain words, else in quotes."""
    text = text.strip()
    plain = _PLAIN_NUMBER.fullmatch(text) or (_PLAIN_WORDS.fullmatch(text) and text.lower() not in _NOT_WORDS)
    return text if plain else json.dumps(text, ensure_ascii=False)


class JobLines:
    """The text of a job file, line by line; its names and comments are in a language."""

    def __init__(self, language: Language = "en") -> None:
        self.language = language
        self._lines: list[str] = []
        self._flags: dict[int, str] = {}

    def say(self, text: str = "") -> None:
        """Add a line (or several) as it is."""
        self._lines += text.split("\n")

    def give(self, before: str, value: str | None, flag: str) -> None:
        """Add a line with the value of a flag; nothing when the flag was not given."""
        if value is not None:
            self._lines.append(before + scalar(value))
            self._flags[len(self._lines)] = flag

    def words(self, said: Message) -> str:
        """Return words in the language of the job."""
        return say(said, units_for("mm", self.language))

    def about(self, said: Message) -> None:
        """Add a comment, after an empty line."""
        self.say("\n" + self.words(said))

    def named(self, said: Message) -> str:
        """Return a name in the language of the job, as YAML."""
        return scalar(self.words(said))

    def name(self, name: str, flag: str) -> None:
        """Add the name of the job, and the language of its papers."""
        self.give("job: ", name, flag)
        if self.language != "en":
            self.say(f"language: {self.language}")

    def begin_run(self) -> None:
        """Begin the one run of the job, at the origin."""
        self.say(f"runs:\n  {self.named(message('bend.piece'))}:\n    start: [0, 0, 0]\n    route:")

    def end(self, text: str) -> None:
        """Add text to the end of the last line."""
        self._lines[-1] += text

    def flag_at(self, line: int) -> str | None:
        """Return the flag whose value stands on a line (from 1), if any."""
        return self._flags.get(line)

    @property
    def text(self) -> str:
        """The whole file."""
        return "\n".join(self._lines) + "\n"
