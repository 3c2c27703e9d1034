"""How much room letters take, near enough to keep them clear of each other on any machine's sans-serif face."""

from functools import lru_cache

from pipemodel.wording.safe_text import columns

CAP_HEIGHT = 0.72
"""Height of a capital over the font size, for the common sans-serif faces."""
_NARROW, _DIGIT, _SMALL, _CAPITAL, _WIDE = 0.36, 0.64, 0.62, 0.78, 1.0
_THIN = frozenset(" .,:;'|!iljIft()[]/-")
_BROAD = frozenset("mwMW@%")
_BOLD = 1.1


def width_of(text: str, height: float, bold: bool = False) -> float:
    """Return how wide a line of text runs in DejaVu Sans or narrower faces, mm; `height` is that of its capitals."""
    em = height / CAP_HEIGHT
    return em * _widths(text) * (_BOLD if bold else 1.0)


def fitting(text: str, height: float, room: float, bold: bool = False) -> str:
    """Return a text, cut and with three dots at its end where it runs wider than some room, mm."""
    while len(text) > 2 and width_of(text, height, bold) > room:
        text = text[:-2].rstrip() + "\u2026"
    return text


def wrapped(text: str, height: float, width: float, bold: bool = False) -> list[str]:
    """Return a text in lines no wider than so many mm; a word that is wider by itself is parted."""
    lines: list[str] = []
    for word in text.split():
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and width_of(longer, height, bold) <= width:
            lines[-1] = longer
            continue
        while len(word) > 1 and width_of(word, height, bold) > width:
            fits = next((n for n in range(len(word) - 1, 1, -1) if width_of(word[:n], height, bold) <= width), 1)
            lines.append(word[:fits])
            word = word[fits:]
        lines.append(word)
    return lines


@lru_cache(maxsize=4096)
def _widths(text: str) -> float:
    """Return how wide a text is in its own size; asked for again at each place that is tried for it."""
    return sum(_width(c) for c in text)


def _width(c: str) -> float:
    if c in _THIN:
        return _NARROW
    if c in _BROAD:
        return _WIDE
    if c.isdigit():
        return _DIGIT
    if c.isascii():
        return _CAPITAL if c.isupper() else _SMALL
    return _CAPITAL if columns(c) == 1 else 2.0 * _SMALL
