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
