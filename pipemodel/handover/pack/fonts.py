"""The two faces of the pack, embedded in the file so that it prints the same everywhere."""

import importlib.util
from pathlib import Path

PLAIN, BOLD = "Pack", "Pack-Bold"
_FILES = {PLAIN: "DejaVuSans.ttf", BOLD: "DejaVuSans-Bold.ttf"}


def register_fonts() -> tuple[str, str]:
    """Register DejaVu Sans, which comes with matplotlib, and return the names of its plain and bold faces."""
    from reportlab.lib.fonts import addMapping
    from reportlab.pdfbase import pdfmetrics
    from reportlab.pdfbase.ttfonts import TTFont

    spec = importlib.util.find_spec("matplotlib")
    assert spec is not None, "matplotlib is a dependency of pipemodel"
    assert spec.origin is not None, "matplotlib is a package with a file"
    folder = Path(spec.origin).parent / "mpl-data" / "fonts" / "ttf"
    for name, file in _FILES.items():
        if name not in pdfmetrics.getRegisteredFontNames():
            pdfmetrics.registerFont(TTFont(name, str(folder / file)))
    addMapping(PLAIN, 0, 0, PLAIN)
    addMapping(PLAIN, 1, 0, BOLD)
    return PLAIN, BOLD
