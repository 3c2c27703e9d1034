"""Where to look from: square on to nothing, with bends and ends as far apart on the paper as can be.

The view is a parallel one, so that a length keeps its scale over the whole picture and a label can be put on any
point by a sum.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import cos, radians, sin
from typing import TYPE_CHECKING

import numpy as np

from pipemodel.bending.schedule import Schedule
from pipemodel.geometry.centreline import Arc
from pipemodel.geometry.vectors import Vec3

if TYPE_CHECKING:
    from numpy.typing import NDArray

AZIMUTHS = tuple(side * away for away in (35, 55, 20, 70, 145, 125, 160, 110) for side in (-1, 1))
"""Where the onlooker stands, in degrees from south, positive towards east; none looks along an axis, or along the
45 degrees that sets are often made with."""
ELEVATIONS = (22.0, 35.0)
PADDING = 0.09
"""Room left about the runs, as a part of their largest extent."""
LEAST_PADDING_MM = 70.0
MOST_KEYS = 500
FROM_SOUTH = 0.35
"""How much is forgone for a view from the south, where east lies to the right as on a map."""


@dataclass(frozen=True)
class View:
    """A parallel view onto a picture of `size` (width, height) pixels.

    `right`, `up` and `back` (towards the onlooker) are unit vectors (3,); `centre` (3,) lies in the middle of the
    picture; `scale` is pixels to the mm; `low` and `high` (3,) bound what is looked at.
    """

    right: "NDArray[np.float64]"
    up: "NDArray[np.float64]"
    back: "NDArray[np.float64]"
    centre: "NDArray[np.float64]"
    scale: float
    size: tuple[int, int]
    low: "NDArray[np.float64]"
    high: "NDArray[np.float64]"

    def project(self, points: "NDArray[np.float64] | Sequence[Vec3]") -> "NDArray[np.float64]":
        """Return where points of shape (n, 3) lie on the picture: (n, 2) pixels, from the upper left."""
        away = np.asarray(points, dtype=float).reshape(-1, 3) - self.centre
        x = self.size[0] / 2.0 + away @ self.right * self.scale
        y = self.size[1] / 2.0 - away @ self.up * self.scale
        return np.column_stack([x, y])


def key_points(schedule: Schedule) -> list[Vec3]:
    """Return the points that must be told apart: ends of the runs and middles of their bends."""
    points: list[Vec3] = []
    for solved in schedule.runs:
        line = solved.centreline
        points += [line.start, *(arc.point_at(arc.length / 2.0) for arc in line.arcs), line.finish]
    return points


def samples(schedule: Schedule) -> "NDArray[np.float64]":
    """Return points along all centrelines, close enough together to bound them; (n, 3)."""
    points: list[Vec3] = []
    for solved in schedule.runs:
        for piece in solved.centreline.pieces:
            steps = 12 if isinstance(piece, Arc) else 1
            points += [piece.point_at(piece.length * i / steps) for i in range(steps + 1)]
    return np.array(points, dtype=float)


def best_view(schedule: Schedule, extra: Sequence[Vec3], size: tuple[int, int]) -> View:
    """Return the view that keeps ends and bends furthest apart.

    Args:
        schedule: the runs to look at.
        extra: more points that must be seen, such as those of clashes.
        size: the picture's width and height in pixels.
    """
    keys = np.array(key_points(schedule), dtype=float)
    # Every point is held against every other: of very many, a part will do.
    keys = keys[:: len(keys) // MOST_KEYS + 1]
    outline = np.vstack([samples(schedule), *([np.array(extra, dtype=float)] if extra else [])])
    thickest = max(solved.tube.outside_mm for solved in schedule.runs)
    low, high = outline.min(axis=0) - thickest / 2.0, outline.max(axis=0) + thickest / 2.0
    pad = max(float((high - low).max()) * PADDING, LEAST_PADDING_MM)
    views = [_view(az, el, outline, pad, size, low - pad, high + pad) for el in ELEVATIONS for az in AZIMUTHS]
    # Stable: the first of equals is taken, so that the same job is always seen from the same side.
    return max(views, key=lambda view: round(_apart(view, keys) + (FROM_SOUTH if view.right[0] > 0.5 else 0.0), 6))


def _view(
    azimuth: float,
    elevation: float,
    outline: "NDArray[np.float64]",
    pad: float,
    size: tuple[int, int],
    low: "NDArray[np.float64]",
    high: "NDArray[np.float64]",
) -> View:
    a, e = radians(azimuth), radians(elevation)
    back = np.array([sin(a) * cos(e), -cos(a) * cos(e), sin(e)])
    right = np.array([cos(a), sin(a), 0.0])
    up = np.cross(back, right)
    x, y = outline @ right, outline @ up
    middle = right * (x.min() + x.max()) / 2.0 + up * (y.min() + y.max()) / 2.0
    depth = float(((low + high) / 2.0) @ back)
    scale = min(size[0] / (np.ptp(x) + 2.0 * pad), size[1] / (np.ptp(y) + 2.0 * pad))
    return View(right, up, back, middle + back * depth, float(scale), size, low, high)


def _apart(view: View, keys: "NDArray[np.float64]") -> float:
    """Score a view: how far each point is from its nearest neighbour on the paper, in logarithms, summed."""
    flat = view.project(keys)
    gaps = np.hypot(*(flat[:, None, :] - flat[None, :, :]).transpose(2, 0, 1))
    np.fill_diagonal(gaps, np.inf)
    return float(np.log(np.clip(gaps.min(axis=1), 1.0, 400.0)).mean())
