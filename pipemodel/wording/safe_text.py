"""Text that is safe to show: hostile names made harmless, and plain ASCII where a terminal can do no better."""

import unicodedata

from pipemodel.messages.units import Language

_PLAIN = {
    "×": "x", "°": " deg", "–": "-", "—": "-", "−": "-", "‑": "-", "Ø": "O", "ø": "o", "±": "+/-", "≤": "<=", "≥": ">=",
    "→": "->", "←": "<-", "·": ".", "…": "...", "‘": "'", "’": "'", "“": '"', "”": '"', "½": "1/2", "¼": "1/4",
    "¾": "3/4", "ß": "ss", "æ": "ae", "Æ": "AE", "œ": "oe", "Œ": "OE", "đ": "d", "ł": "l", "Ł": "L", "″": '"',
}  # fmt: skip
_UMLAUTS = str.maketrans({"ä": "ae", "ö": "oe", "ü": "ue", "Ä": "Ae", "Ö": "Oe", "Ü": "Ue", "„": '"'})
_HIDDEN = ("Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp")
"""Unicode categories with no shape of their own: controls, direction marks, surrogates, unassigned, line ends."""
_MARKS_IN_A_ROW = 3


def shown(text: str, longest: int | None = None) -> str:
    r"""Return text on one line that can do nothing to a terminal, a page or a reader.

    Controls, escape sequences, line ends and marks that change the direction of reading are written out as
    `\x1b` or `\u202e`; more than three marks piled on one letter are left out. Text longer than `longest`
    characters is cut and ends in "...".
    """
    if not text.isascii() or not text.isprintable():
        text = "".join(_visible(text))
    if longest is not None and len(text) > longest:
        text = text[: max(longest - 3, 1)] + "..."
    return text


def _visible(text: str) -> list[str]:
    out: list[str] = []
    marks = 0
    for c in text:
        category = unicodedata.category(c)
        marks = marks + 1 if category in ("Mn", "Me") else 0
        if category in _HIDDEN:
            out.append(c.encode("unicode_escape", "backslashreplace").decode("ascii") if c != "\t" else " ")
        elif marks <= _MARKS_IN_A_ROW:
            out.append(c)
    return out


def to_ascii(text: str, language: Language = "en") -> str:
    r"""Return text in ASCII alone: signs and accents in their plain form, anything else as `\u20ac`.

    In German umlauts are written with an e, as German has it.
    """
    if text.isascii():
        return text
    if language == "de":
        text = text.translate(_UMLAUTS)
    return "".join(c if c.isascii() else _ascii_of(c) for c in text)


def _ascii_of(c: str) -> str:
    if c in _PLAIN:
        return _PLAIN[c]
    bare = "".join(d for d in unicodedata.normalize("NFKD", c) if not unicodedata.combining(d))
    return bare if bare.isascii() and bare else c.encode("unicode_escape").decode("ascii")


def columns(text: str) -> int:
    """Return how many columns of a terminal a text takes: two for a wide letter, none for a mark on another."""
    if text.isascii():
        return len(text)
    return sum(_columns_of(c) for c in text)


def _columns_of(c: str) -> int:
    from wcwidth import wcwidth  # its tables are the same with every Python; plain text does without

    return max(wcwidth(c), 0)


def wrapped(text: str, width: int, first: str = "", rest: str | None = None) -> list[str]:
    """Return text broken into lines of at most `width` columns; a word too long for a line is cut.

    Args:
        text: what to break, on spaces.
        width: columns to a line, indents included.
        first: what the first line begins with.
        rest: what the other lines begin with; as many spaces as `first` has if left out.
    """
    rest = " " * columns(first) if rest is None else rest
    lines: list[str] = []
    line, free = first, width - columns(first)
    empty = True
    for word in text.split():
        need = columns(word)
        if not empty and need + 1 > free:
            lines.append(line)
            line, free, empty = rest, width - columns(rest), True
        while need > free:
            head = _fitting(word, free)
            lines.append(line + head)
            word = word[len(head) :]
            line, free, need = rest, width - columns(rest), columns(word)
        gap = "" if empty else " "
        line, free, empty = line + gap + word, free - need - len(gap), False
    return [*lines, line]


def _fitting(word: str, free: int) -> str:
    taken = 0
    for i, c in enumerate(word):
        taken += _columns_of(c)
        if taken > free:
            return word[: max(i, 1)]
    return word
