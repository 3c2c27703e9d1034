"""How four views and a table share a sheet: as large as a standard scale allows (ISO 5455)."""

from collections.abc import Sequence
from typing import NamedTuple

from pipemodel.drawing.clipping import ClipWindow
from pipemodel.drawing.primitives import FlatPoint

SCALES = (1, 2, 5, 10, 20, 50, 100, 200, 500, 1000, 2000, 5000, 10000)
AROUND_MM = 12.0
"""Room round a view for its dimensions and labels."""
TITLE_MM = 8.0
"""Room above a view for its title."""
GAP_MM = 3.0
LEAST_WIDTH_MM = 38.0
"""A view is given as much, or what its title needs."""
LEAST_ISOMETRIC_MM = 75.0
"""And that of the isometric."""


class ViewLayout(NamedTuple):
    """Where everything goes: a cell for front, side, plan, isometric and table, and the scales 1:n.

    `first_angle` tells whether front, side and plan take the places of first angle projection.
    """

    front: ClipWindow
    side: ClipWindow
    plan: ClipWindow
    isometric: ClipWindow
    table: ClipWindow
    scale: int
    isometric_scale: int
    first_angle: bool = False


def lay_out(
    area: ClipWindow,
    front: FlatPoint,
    side: FlatPoint,
    plan: FlatPoint,
    isometric: FlatPoint,
    table: FlatPoint,
    titles: tuple[float, float, float] = (0.0, 0.0, 0.0),
    from_right: bool = False,
) -> ViewLayout:
    """Lay out a sheet.

    Args:
        area: what of the sheet is to be used.
        front: width and height of the view, mm of the room; the same for `side`, `plan` and `isometric`.
        side: the other elevation.
        plan: from above.
        isometric: has a scale of its own where there is more or less room for it.
        table: width and height in mm of the sheet.
        titles: how wide the titles of front, side and plan are, mm of the sheet.
        from_right: whether the side view is taken from the right, and so belongs to the left of the front.
    """
    for scale in SCALES:
        f, s, p = (_cell(size, scale, title) for size, title in zip((front, side, plan), titles, strict=True))
        # The isometric is the one that may come out smaller, by two steps of the scale, to save the rest.
        found = [
            _layout([_turned(cell, area) if from_right else cell for cell in cells], scale, iso, in_place)
            for cells, in_place in _arrangements(area, f, s, p, table)
            if cells is not None and (iso := _scale_for(isometric, cells[3])) <= _next(_next(scale))
        ]
        if found:
            return min(found, key=lambda layout: layout.isometric_scale)
    half = ClipWindow(area.left, area.low, area.left + area.width / 2.0, area.low + area.height / 2.0)
    return ViewLayout(half, half, half, half, half, SCALES[-1], SCALES[-1])


def _arrangements(
    area: ClipWindow, front: FlatPoint, side: FlatPoint, plan: FlatPoint, table: FlatPoint
) -> list[tuple[tuple[ClipWindow, ClipWindow, ClipWindow, ClipWindow, ClipWindow] | None, bool]]:
    """Return the ways to share a sheet that there is room for, each with whether it is first angle projection."""
    return [
        (_square(area, front, side, plan, table, table_right=True), True),
        (_square(area, front, side, plan, table, table_right=False), True),
        (_stacked(area, front, side, plan, table), False),
        (_abreast(area, front, side, plan, table), True),
    ]


def _layout(cells: Sequence[ClipWindow], scale: int, isometric_scale: int, first_angle: bool) -> ViewLayout:
    front, side, plan, isometric, table = cells
    return ViewLayout(front, side, plan, isometric, table, scale, isometric_scale, first_angle)


def _turned(cell: ClipWindow, area: ClipWindow) -> ClipWindow:
    """Return a cell's place on the sheet with left and right exchanged."""
    both = area.left + area.right
    return ClipWindow(both - cell.right, cell.low, both - cell.left, cell.high)


def _square(
    area: ClipWindow, front: FlatPoint, side: FlatPoint, plan: FlatPoint, table: FlatPoint, table_right: bool
) -> tuple[ClipWindow, ClipWindow, ClipWindow, ClipWindow, ClipWindow] | None:
    """The plan under the front view, the side view beside it: the places of first angle projection (ISO 5456-2)."""
    column = max(front[0], plan[0])
    row = max(front[1], side[1])
    left, top = area.left, area.high
    right = left + column + GAP_MM
    below = top - row - GAP_MM
    if right + side[0] > area.right or below - plan[1] < area.low:
        return None
    if table_right:
        if right + table[0] > area.right or area.low + table[1] > below:
            return None
        table_at = ClipWindow(right, area.low, right + table[0], area.low + table[1])
        iso = ClipWindow(right, table_at.high + GAP_MM, area.right, below)
    else:
        if left + table[0] > right or area.low + table[1] > below - plan[1] - GAP_MM:
            return None
        table_at = ClipWindow(left, area.low, left + table[0], area.low + table[1])
        iso = ClipWindow(right, area.low, area.right, below)
    if iso.height < 2.0 * AROUND_MM:
        return None
    return (
        ClipWindow(left, below + GAP_MM, left + column, top),
        ClipWindow(right, below + GAP_MM, right + side[0], top),
        ClipWindow(left, below - plan[1], left + column, below),
        iso,
        table_at,
    )


def _stacked(
    area: ClipWindow, front: FlatPoint, side: FlatPoint, plan: FlatPoint, table: FlatPoint
) -> tuple[ClipWindow, ClipWindow, ClipWindow, ClipWindow, ClipWindow] | None:
    """Front and plan one under the other over the whole width; side, isometric and table in a row beneath."""
    below = area.high - front[1] - GAP_MM - plan[1] - GAP_MM
    if max(front[0], plan[0]) > area.width or below - max(side[1], table[1]) < area.low:
        return None
    middle, right = area.left + side[0] + GAP_MM, area.right - table[0]
    if right - middle < 3.0 * AROUND_MM:
        return None
    return (
        ClipWindow(area.left, area.high - front[1], area.right, area.high),
        ClipWindow(area.left, area.low, middle - GAP_MM, below),
        ClipWindow(area.left, below + GAP_MM, area.right, below + GAP_MM + plan[1]),
        ClipWindow(middle, area.low, right - GAP_MM, below),
        ClipWindow(right, area.low, area.right, area.low + table[1]),
    )


def _abreast(
    area: ClipWindow, front: FlatPoint, side: FlatPoint, plan: FlatPoint, table: FlatPoint
) -> tuple[ClipWindow, ClipWindow, ClipWindow, ClipWindow, ClipWindow] | None:
    """For what is tall: plan under front in one column, the side view in the next, isometric over table in the last."""
    column = max(front[0], plan[0])
    middle = area.left + column + GAP_MM
    right = middle + side[0] + GAP_MM
    below = area.high - front[1] - GAP_MM
    if below - plan[1] < area.low or area.high - side[1] < area.low or right + table[0] > area.right:
        return None
    return (
        ClipWindow(area.left, area.high - front[1], area.left + column, area.high),
        ClipWindow(middle, area.high - side[1], middle + side[0], area.high),
        ClipWindow(area.left, below - plan[1], area.left + column, below),
        ClipWindow(right, area.low + table[1] + GAP_MM, area.right, area.high),
        ClipWindow(right, area.low, right + table[0], area.low + table[1]),
    )


def _cell(size: FlatPoint, scale: int, title: float = 0.0) -> FlatPoint:
    return (max(size[0] / scale + 2.0 * AROUND_MM, LEAST_WIDTH_MM, title), size[1] / scale + 2.0 * AROUND_MM + TITLE_MM)


def _scale_for(size: FlatPoint, cell: ClipWindow) -> int:
    """Return the largest scale at which a view goes into a cell."""
    for scale in SCALES if cell.width >= LEAST_ISOMETRIC_MM else ():
        wide, high = _cell(size, scale)
        if wide <= cell.width and high <= cell.height:
            return scale
    return SCALES[-1] * 10


def _next(scale: int) -> int:
    return next((s for s in SCALES if s > scale), scale)
