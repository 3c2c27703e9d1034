"""The QR code on the job sheet: which job and which state of it, so that a sheet can be matched to its pack."""

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
        for first, last in _stretches(modules):
            x0, x1 = (first + QUIET) * step, (last + QUIET) * step
            sheet.line([(x0, y), (x1, y), (x1, y + step), (x0, y + step)], Role.DIMENSION, closed=True, filled=True)
    return sheet


def _stretches(modules: list[bool | None]) -> list[tuple[int, int]]:
    """Where dark modules begin and end, so that no hairline shows between neighbours."""
    out: list[tuple[int, int]] = []
    for i, dark in enumerate(modules):
        if dark and out and out[-1][1] == i:
            out[-1] = (out[-1][0], i + 1)
        elif dark:
            out.append((i, i + 1))
    return out
