"""How far out of round a bend may be: the limits printed. Nobody prints how much tube flattens in a grooved former."""

OVALITY_PERCENT = 8.0
"""Longest less shortest diameter, of the diameter: UFGS-15901 table 5-4 (ferrous pipe, R >= 5 D)."""
FLATTENING_PERCENT = 10.0
"""The same, of the nominal diameter: TEMA RCB-2.31, U-tubes, as quoted in two specifications."""
SHORTEST_PERCENT = 75.0
"""The shortest diameter of a bend, of the diameter before: FAA-H-8083-30 chapter 7."""


def out_of_round_mm(outside_mm: float) -> float:
    """Return the most by which the longest diameter of a bend may exceed the shortest: the strictest limit printed.

    Of the three limits that of 8 % is always the strictest. With nothing between the longest and the diameter before,
    the shortest keeps 92 %, far more than the 75 % of the third, which so never decides.
    """
    return outside_mm * min(OVALITY_PERCENT, FLATTENING_PERCENT, 100.0 - SHORTEST_PERCENT) / 100.0
