"""What a PDF really draws, read out of its content streams: strokes and areas in mm, text as its readers get it."""

import io
from functools import lru_cache
from typing import NamedTuple

import numpy as np
from pypdf import PdfReader
from pypdf.generic import ContentStream

MM_PER_POINT = 25.4 / 72.0


class Path(NamedTuple):
    """A painted path: its points (n, 2) in mm from the page's lower left corner; curves give their ends only."""

    points: np.ndarray
    filled: bool
    closed: bool
    width: float


class Page(NamedTuple):
    """A page: its size in mm, what it paints, and its text."""

    width: float
    height: float
    paths: list
    text: str


@lru_cache(maxsize=4)
def pages_of(data):
    """Return every page of a PDF given as bytes."""
    reader = PdfReader(io.BytesIO(data))
    return [_page(reader, page) for page in reader.pages]


@lru_cache(maxsize=4)
def text_of(data):
    """Return all text of a PDF, page after page."""
    return "\n".join(page.extract_text() for page in PdfReader(io.BytesIO(data)).pages)


def fonts_of(data):
    """Return each font named in a PDF, and whether its letters are in the file."""
    fonts = {}
    for page in PdfReader(io.BytesIO(data)).pages:
        for font in page["/Resources"].get("/Font", {}).values():
            font = font.get_object()
            descriptor = font.get("/FontDescriptor")
            held = descriptor is not None and "/FontFile2" in descriptor.get_object()
            fonts[font["/BaseFont"]] = held
    return fonts


def _page(reader, page):
    matrix, width, stack, paths = np.eye(3), 1.0, [], []
    parts, here = [], []
    for operands, operator in ContentStream(page.get_contents(), reader).operations:
        values = [float(x) for x in operands if isinstance(x, int | float)] if operator != b"Tj" else []
        if operator == b"q":
            stack.append((matrix, width))
        elif operator == b"Q":
            matrix, width = stack.pop()
        elif operator == b"cm":
            a, b, c, d, e, f = values
            matrix = np.array([[a, b, 0], [c, d, 0], [e, f, 1]]) @ matrix
        elif operator == b"w":
            width = values[0] * abs(np.linalg.det(matrix[:2, :2])) ** 0.5 * MM_PER_POINT
        elif operator == b"m":
            here = [values]
            parts.append((here, False))
        elif operator == b"l":
            here.append(values)
        elif operator == b"c":
            here.append(values[4:])
        elif operator == b"re":
            x, y, w, h = values
            parts.append(([[x, y], [x + w, y], [x + w, y + h], [x, y + h]], True))
        elif operator == b"h" and parts:
            parts[-1] = (parts[-1][0], True)
        elif operator in (b"S", b"s", b"f", b"f*", b"F", b"B", b"B*", b"b", b"n"):
            filled = operator in (b"f", b"f*", b"F", b"B", b"B*", b"b")
            if operator != b"n":
                for points, closed in parts:
                    flat = np.column_stack([np.array(points), np.ones(len(points))]) @ matrix
                    paths.append(Path(flat[:, :2] * MM_PER_POINT, filled, closed or operator in (b"s", b"b"), width))
            parts = []
    box = page.mediabox
    size = (float(box.width) * MM_PER_POINT, float(box.height) * MM_PER_POINT)
    return Page(*size, paths, page.extract_text())
