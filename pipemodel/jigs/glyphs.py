"""Lettering that prints: capitals and figures of straight strokes, each as wide as two lines of plastic or more.

Every sign is drawn on a grid 4 wide and 6 high, as chains of points joined by straight strokes; there is no curve
and no gap narrower than a stroke, so that a coarse nozzle keeps it legible.
"""

import unicodedata

import numpy as np

from pipemodel.jigs.base import Polygon

_STROKES: dict[str, str] = {
    "A": "00 04 26 44 40,02 42",
    "B": "00 06 36 45 44 33 42 41 30 00,03 33",
    "C": "45 36 16 05 01 10 30 41",
    "D": "00 06 26 44 42 20 00",
    "E": "40 00 06 46,03 33",
    "F": "00 06 46,03 33",
    "G": "45 36 16 05 01 10 30 41 43 23",
    "H": "00 06,40 46,03 43",
    "I": "10 30,20 26,16 36",
    "J": "46 41 30 10 01",
    "K": "00 06,46 03 40",
    "L": "06 00 40",
    "M": "00 06 23 46 40",
    "N": "00 06 40 46",
    "O": "10 01 05 16 36 45 41 30 10",
    "P": "00 06 36 45 44 33 03",
    "Q": "10 01 05 16 36 45 41 30 10,22 40",
    "R": "00 06 36 45 44 33 03,23 40",
    "S": "45 36 16 05 04 13 33 42 41 30 10 01",
    "T": "20 26,06 46",
    "U": "06 01 10 30 41 46",
    "V": "06 20 46",
    "W": "06 10 23 30 46",
    "X": "00 46,06 40",
    "Y": "06 23 46,23 20",
    "Z": "06 46 00 40",
    "0": "10 01 05 16 36 45 41 30 10,12 34",
    "1": "05 26 20,00 40",
    "2": "05 16 36 45 44 00 40",
    "3": "06 46 24 33 42 41 30 10 01",
    "4": "30 36 02 42",
    "5": "46 06 03 33 42 41 30 00",
    "6": "36 16 04 01 10 30 41 42 33 03",
    "7": "06 46 20",
    "8": "13 04 05 16 36 45 44 33 13 02 01 10 30 41 42 33",
    "9": "10 30 42 45 36 16 05 04 13 43",
    "-": "03 43",
    "+": "03 43,21 25",
    "/": "00 46",
    ".": "20 21",
    ",": "10 21",
    ":": "21 22,24 25",
    "=": "02 42,04 44",
    "(": "36 14 12 30",
    ")": "16 34 32 10",
    "°": "15 24 35 26 15",
    " ": "",
    "?": "04 05 16 36 45 44 23 22,20 20",
}
"""Strokes by sign: chains parted by commas, points as column and row from the lower left."""

PITCH = 5.6
"""From one sign to the next, in columns."""


def printable(text: str) -> str:
    """Return text in the signs there are: capitals, accents dropped, anything unknown as a question mark."""
    plain = unicodedata.normalize("NFKD", text.replace("×", "x").replace("_", "-").replace("ø", "o").replace("ß", "ss"))
    bare = "".join(c for c in plain if not unicodedata.combining(c)).upper()
    return "".join(c if c in _STROKES else "?" for c in bare)


def width_of(text: str, height: float) -> float:
    """Return how long a line of text of this height comes out, mm, stroke and all."""
    unit = height / 6.0
    return max(0.0, (len(printable(text)) * PITCH - (PITCH - 4.0)) * unit) + stroke_of(height)


def stroke_of(height: float) -> float:
    """Return the width of the strokes of text of this height."""
    return 0.16 * height


def strokes(text: str, height: float, middle: Polygon, along: Polygon) -> list[Polygon]:
    """Return convex outlines (n, 2) that together make a line of text.

    Args:
        text: what to write, signs outside the table already replaced by `printable`.
        height: of the capitals, mm, from mid-stroke to mid-stroke.
        middle: the middle of the line (2,).
        along: the direction in which it reads (2,), a unit vector.
    """
    unit, half = height / 6.0, stroke_of(height) / 2.0
    up = np.array([-along[1], along[0]])
    total = (len(text) * PITCH - (PITCH - 4.0)) * unit
    out: list[Polygon] = []
    for i, sign in enumerate(text):
        for chain in _STROKES[sign].split(","):
            points = [
                middle + along * ((int(p[0]) + i * PITCH) * unit - total / 2.0) + up * (int(p[1]) * unit - height / 2.0)
                for p in chain.split()
            ]
            out += [_stroke(p, q, half, along) for p, q in zip(points, points[1:], strict=False)]
    return out


def _stroke(p: Polygon, q: Polygon, half: float, along: Polygon) -> Polygon:
    """Return a stroke from p to q with pointed ends, so that two that meet leave no notch."""
    length = float(np.linalg.norm(q - p))
    e = (q - p) / length if length > 0.0 else along
    n = np.array([-e[1], e[0]])
    corner = half * np.tan(np.pi / 8.0)
    return np.array(
        [
            p - e * half - n * corner,
            p - e * corner - n * half,
            q + e * corner - n * half,
            q + e * half - n * corner,
            q + e * half + n * corner,
            q + e * corner + n * half,
            p - e * corner + n * half,
            p - e * half + n * corner,
        ]
    )
