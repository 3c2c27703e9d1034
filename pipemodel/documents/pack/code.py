"""The QR code on the job sheet: which job and which state of it, so that a sheet can be matched to its pack."""

from itertools import groupby

from pipemodel.drawing.sheet import Role, Sheet
from pipemodel.wording.safe_text import to_ascii

QUIET = 4
"""Light modules round a code (ISO/IEC 18004, from memory)."""


def code_text(identity: str, state: str) -> str:
    """Return what the code says: identity and revision, in plain letters; not a link."""
    return to_ascii(f"{identity}; {state}" if state else identity)


def identity_code(text: str, side: float) -> Sheet:
    """Draw a text in ASCII as a QR code on a sheet `side` mm square.

    Its quiet zone is on the sheet at the left and below; above and at the right it is the margin of the page, so that
    the code lies in line with what else stands there.
    """
    from reportlab.graphics.barcode.qr import QrCodeWidget

    code = QrCodeWidget(text, barLevel="M").qr
    code.make()
    step = side / (code.getModuleCount() + QUIET)
    sheet = Sheet(side, side)
    for row, modules in enumerate(code.modules):
        y = side - (row + 1) * step
        # Dark neighbours are one bar, so that no hairline shows between them.
        for dark, places in groupby(range(len(modules)), key=modules.__getitem__):
            first, *others = places
            x0, x1 = (first + QUIET) * step, (first + len(others) + 1 + QUIET) * step
            if dark:
                sheet.line([(x0, y), (x1, y), (x1, y + step), (x0, y + step)], Role.DIMENSION, closed=True, filled=True)
    return sheet
