"""The angle card of the pack: which bends have one, and how large it is."""

from math import cos, radians, sin, tan

CARD_LEG_MM = 60.0
"""How long a card's edges lie along the legs."""
THROAT_MM = 3.0
"""How far a card's corner stays clear of the bend's inside."""
WIDEST_CARD_DEG = 150.0
"""Between the legs of a bend of more, a card judges nothing; common practice, no source."""
WIDEST_CARD_MM = 186.0
"""A card is cut out of one sheet: A4 less its margins, the narrowest paper there is."""
EDGE_MM, FOOT_MM, HEAD_MM = 6.0, 9.0, 4.0
"""Paper about a card: beside it, under it and over it."""


def card_corners(
    angle_deg: float, radius_mm: float, outside_mm: float, leg: float = CARD_LEG_MM
) -> list[tuple[float, float]]:
    """Return the corners of a card that lies in a bend's inside, its two long edges along the legs.

    The corner between them is cut off where the bend's inside would touch it, so that only the legs are judged.
    """
    inside = radians(180.0 - angle_deg)
    throat = max(radius_mm - outside_mm / 2.0, 0.0) * tan(radians(angle_deg) / 2.0) + THROAT_MM
    far = throat + leg
    return [
        (throat, 0.0),
        (far, 0.0),
        (far * cos(inside), far * sin(inside)),
        (throat * cos(inside), throat * sin(inside)),
    ]


def paper_of(corners: list[tuple[float, float]]) -> tuple[float, float]:
    """Return width and height of the paper that a card takes."""
    xs, ys = zip(*corners, strict=True)
    return max(xs) - min(xs) + 2.0 * EDGE_MM, max(ys) + FOOT_MM + HEAD_MM


def has_card(angle_deg: float, radius_mm: float, outside_mm: float) -> bool:
    """Whether the pack holds a card for a bend, which a check may then ask for."""
    if angle_deg > WIDEST_CARD_DEG:
        return False
    return max(paper_of(card_corners(angle_deg, radius_mm, outside_mm))) <= WIDEST_CARD_MM
