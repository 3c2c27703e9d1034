"""Parts set out on beds: as many beds as it takes, row by row, nothing over anything else."""

from collections.abc import Sequence
from dataclasses import dataclass

from pipemodel.jigs.split import MARGIN_MM
from pipemodel.job.jig import Bed

APART_MM = 5.0
"""Bed left free between two parts."""


@dataclass(frozen=True)
class PlateSpot:
    """Where a part's lower left corner goes: on which bed, counted from 0, and where on it, mm."""

    bed: int
    x_mm: float
    y_mm: float


def set_out(sizes: Sequence[tuple[float, float]], bed: Bed) -> tuple[PlateSpot, ...]:
    """Return a spot for each part of the given sizes (along x, along y), deepest parts first, row after row.

    Every part must fit the bed by itself.
    """
    right, top = bed.x_mm - MARGIN_MM, bed.y_mm - MARGIN_MM
    spots: dict[int, PlateSpot] = {}
    rows: list[list[float]] = []  # bed, x where the row goes on, y of the row, height of the row
    for i in sorted(range(len(sizes)), key=lambda i: (-round(sizes[i][1], 6), -round(sizes[i][0], 6), i)):
        width, depth = sizes[i]
        row = next((r for r in rows if r[1] + width <= right + 1e-6 and depth <= r[3] + 1e-6), None)
        if row is None:
            last = max((r[0] for r in rows), default=0.0)
            y = max((r[2] + r[3] + APART_MM for r in rows if r[0] == last), default=MARGIN_MM)
            if y + depth > top + 1e-6:
                last, y = last + 1.0, MARGIN_MM
            row = [last, MARGIN_MM, y, depth]
            rows.append(row)
        spots[i] = PlateSpot(int(row[0]), row[1], row[2])
        row[1] += width + APART_MM
    return tuple(spots[i] for i in range(len(sizes)))
