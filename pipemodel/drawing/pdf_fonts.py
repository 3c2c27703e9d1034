"""The two faces of the pack, embedded in the file so that it prints the same everywhere."""

from functools import cache

from pipemodel.drawing.fonts import font_file
from pipemodel.wording.safe_text import shown

PLAIN, BOLD = "Pack", "Pack-Bold"


def register_fonts() -> tuple[str, str]:
    """Register DejaVu Sans, which comes with matplotlib, and return the names of its plain and bold faces."""
    from reportlab.lib.fonts import addMapping
    from reportlab.pdfbase import pdfmetrics
    from reportlab.pdfbase.ttfonts import TTFont

    for name, bold in ((PLAIN, False), (BOLD, True)):
        if name not in pdfmetrics.getRegisteredFontNames():
            file = font_file(bold)
            if file is None:
                raise ImportError("the pack needs DejaVu Sans, which comes with matplotlib")
            pdfmetrics.registerFont(TTFont(name, file))
        addMapping(PLAIN, int(bold), 0, name)
    return PLAIN, BOLD


def legible(text: str, longest: int | None = None) -> str:
    r"""Return text on one line with every letter that the faces lack written out, as `\u7ba1`."""
    safe = shown(text, longest)
    if safe.isascii():
        return safe
    known = _letters()
    return "".join(c if ord(c) in known else c.encode("unicode_escape").decode("ascii") for c in safe)


@cache
def _letters() -> frozenset[int]:
    from reportlab.pdfbase import pdfmetrics

    plain, bold = (frozenset(pdfmetrics.getFont(name).face.charToGlyph) for name in register_fonts())
    # Beyond the basic plane the library writes letters that readers cannot copy out again.
    return frozenset(code for code in plain & bold if code <= 0xFFFF)
