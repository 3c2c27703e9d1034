"""Drawings one below the other as one SVG document, and the strip of words at the foot."""

from collections.abc import Sequence
from html import escape

from pipemodel.drawing.lettering import wrapped
from pipemodel.drawing.sheet import Sheet
from pipemodel.drawing.svg import to_svg
from pipemodel.wording.safe_text import shown

GAP_MM = 6.0
"""White between two drawings."""
FOOT_MM = 2.0
"""Height of the letters at the foot."""
EDGE_MM = 2.0
"""White to either side of them."""


def foot_strip(text: str, width: float) -> Sheet:
    """Return a strip with lines of text to stand under the drawings."""
    lines = wrapped(shown(text), FOOT_MM, width - 2.0 * EDGE_MM)
    sheet = Sheet(width, 2.0 * FOOT_MM * (len(lines) + 0.5))
    for number, line in enumerate(lines):
        sheet.words(line, (EDGE_MM, sheet.height - 2.0 * FOOT_MM * (number + 1)), FOOT_MM)
    return sheet


def below_each_other(name: str, sheets: Sequence[Sheet]) -> str:
    """Return sheets as one SVG document, one below the other; one unit is one mm."""
    wide = max(sheet.width for sheet in sheets)
    high = sum(sheet.height for sheet in sheets) + GAP_MM * (len(sheets) - 1)
    parts, y = [], 0.0
    for sheet in sheets:
        drawn = to_svg(sheet, unit="")
        parts.append(f'<g transform="translate(0 {y:g})">{drawn}</g>')
        y += sheet.height + GAP_MM
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{wide:g}mm" height="{high:g}mm" '
        f'viewBox="0 0 {wide:g} {high:g}"><title>{escape(shown(name))}</title>{"".join(parts)}</svg>'
    )
