"""Lines of the room stop short of words: edges, hatching and other faint lines are left out behind letters."""

from collections.abc import Iterator
from math import hypot

import numpy as np

from pipemodel.drawing.placing import LabelOutline, box_of
from pipemodel.drawing.primitives import FlatPoint, Line, Role, Text
from pipemodel.drawing.sheet import Item, Sheet

FREE_MM = 0.3
"""How far such a line stops before letters."""
LEAST_MM = 0.2
"""What is left of it between words, and shorter than this, is left out as well."""
_GIVE_WAY = (Role.ROOM, Role.ROOM_HIDDEN, Role.CUT, Role.HATCH, Role.PAPER)


def interrupted(sheet: Sheet) -> Sheet:
    """Return a sheet whose faint lines stop at its words; everything belongs to the run it belonged to."""
    boxes = [box_of(item, FREE_MM) for item in sheet.primitives() if isinstance(item, Text)]
    if not boxes:
        return sheet
    corners = np.array(boxes)
    low, high = corners.min(axis=1), corners.max(axis=1)
    items: list[Item] = []
    begins: list[int] = []
    for item in sheet.items:
        begins.append(len(items))
        if isinstance(item, Line) and item.role in _GIVE_WAY and not item.closed:
            points = np.array(item.points)
            near = np.all((low <= points.max(axis=0)) & (high >= points.min(axis=0)), axis=1)
            items += _parts(item, [boxes[i] for i in np.flatnonzero(near)])
        else:
            items.append(item)
    begins.append(len(items))
    owned = [(begins[a], begins[b], run) for a, b, run in sheet.owned]
    return Sheet(sheet.width, sheet.height, sheet.title, sheet.factor, items, owned)


def _parts(line: Line, boxes: list[LabelOutline]) -> Iterator[Line]:
    """Yield what of a line lies in none of some boxes, the line itself where all of it does."""
    parts: list[list[FlatPoint]] = []
    for a, b in zip(line.points, line.points[1:], strict=False):
        for low, high in _free(a, b, boxes):
            ends = [(a[0] + (b[0] - a[0]) * t, a[1] + (b[1] - a[1]) * t) if 0.0 < t < 1.0 else (a, b)[t == 1.0]
                    for t in (low, high)]  # fmt: skip
            if parts and parts[-1][-1] == ends[0]:
                parts[-1].append(ends[1])
            else:
                parts.append(ends)
    if parts == [list(line.points)]:
        yield line
        return
    for part in parts:
        if sum(hypot(q[0] - p[0], q[1] - p[1]) for p, q in zip(part, part[1:], strict=False)) >= LEAST_MM:
            yield line._replace(points=tuple(part))


def _free(a: FlatPoint, b: FlatPoint, boxes: list[LabelOutline]) -> list[tuple[float, float]]:
    """Return from where to where a stroke lies in no box, as shares of its length, in order."""
    free, at = list[tuple[float, float]](), 0.0
    for low, high in sorted(cut for box in boxes if (cut := _within(a, b, box))):
        if low > at:
            free.append((at, low))
        at = max(at, high)
    return [*free, (at, 1.0)] if at < 1.0 else free


def _within(a: FlatPoint, b: FlatPoint, box: LabelOutline) -> tuple[float, float] | None:
    """Return from where to where a stroke lies in a box, whose corners go round anticlockwise; None if nowhere."""
    low, high = 0.0, 1.0
    for (px, py), (qx, qy) in zip(box, (*box[1:], box[0]), strict=True):
        nx, ny = py - qy, qx - px
        begins = nx * (a[0] - px) + ny * (a[1] - py)
        grows = nx * (b[0] - a[0]) + ny * (b[1] - a[1])
        if grows == 0.0:
            if begins < 0.0:
                return None
        elif grows > 0.0:
            low = max(low, -begins / grows)
        else:
            high = min(high, -begins / grows)
    return (low, high) if low < high else None
