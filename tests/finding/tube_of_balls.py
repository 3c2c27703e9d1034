"""How near a bent tube comes to blocks, by points on its axis: made here of corners alone, without pipemodel.

Every bend is an arc of a circle that touches both legs; the axis is laid out in points a millimetre apart.
"""

from collections.abc import Sequence

import numpy as np

Point = Sequence[float]


def axis_points(corners: Sequence[Point], radius: float, step: float = 1.0) -> np.ndarray:
    """Return points of the axis of a tube through some corners, (n, 3)."""
    p = np.array(corners, dtype=float)
    out: list[np.ndarray] = []
    here = p[0]
    for before, corner, after in zip(p, p[1:], p[2:], strict=False):
        u, v = corner - before, after - corner
        u, v = u / np.linalg.norm(u), v / np.linalg.norm(v)
        angle = np.arccos(np.clip(u @ v, -1, 1))
        back = radius * np.tan(angle / 2)
        begin = corner - back * u
        out.append(_line(here, begin, step))
        side = v - (v @ u) * u
        side = side / np.linalg.norm(side)
        turn = np.linspace(0, angle, max(int(radius * angle / step), 2))[:, None]
        out.append(begin + radius * side * (1 - np.cos(turn)) + radius * u * np.sin(turn))
        here = corner + back * v
    out.append(_line(here, p[-1], step))
    return np.concatenate(out)


def _line(a: np.ndarray, b: np.ndarray, step: float) -> np.ndarray:
    n = max(int(np.linalg.norm(b - a) / step), 2)
    return a + np.linspace(0, 1, n)[:, None] * (b - a)


def nearest_to_boxes(corners: Sequence[Point], radius: float, boxes: Sequence[tuple[Point, Point]]) -> float:
    """Return the least distance of the axis from blocks along the axes of the room."""
    points = axis_points(corners, radius)
    least = np.inf
    for low, high in boxes:
        off = np.maximum(np.maximum(np.array(low) - points, points - np.array(high)), 0.0)
        least = min(least, float(np.linalg.norm(off, axis=1).min()))
    return least
