"""Whether a rigid set of balls can stand anywhere with one of them in the plane of an opening: no, or not shown.

All placements with that ball's middle in the opening are divided into cells: where in the opening, which way the piece
looks, how it is rolled about that way. No ball's middle strays farther from where it stands at the middle of a cell
than a bound that follows from the cell's size; distances change no faster than places. So a cell is empty where one
ball, with that bound taken off, still reaches nearer to something than it may. Cells that are not empty are halved. All
cells empty: a proof. A cell whose middle is clear, or too many cells: nothing is shown.

Directions are cells on the six faces of a cube. `_LOOSE` bounds how much more than the direction the frame turns that
is carried from the middle of a face: 1 / cos(t / 2) for t up to the corner of a face, 54.74 degrees.
"""

from collections.abc import Callable, Sequence
from math import pi
from typing import TYPE_CHECKING, NamedTuple, TypeAlias

import numpy as np

from pipemodel.geometry.arrays import Floats, Ints

if TYPE_CHECKING:
    from numpy.typing import NDArray

Field: TypeAlias = Callable[[Floats], Floats]
"""From points, (n, 3), to signed distances, (n,); no two points differ by more than they are apart."""
Bools: TypeAlias = "NDArray[np.bool_]"
_LOOSE = 1.126
NEAR = 8.0
"""Cells are halved by what the balls do that are no farther from the first than so many times what they keep off."""
SLACK_MM = 1e-6
"""What is nearer than it may be by less than this shows nothing: the numbers are no finer."""


class Gate(NamedTuple):
    """An opening in its own frame: origin, rows of unit vectors across, up and inwards, (3, 3), and outline, (n, 2).

    `solid` says that its edges are those of things, which the piece keeps off as well; else only its axis stays within.
    """

    origin: Floats
    axes: Floats
    outline: Floats
    solid: bool = True

    def screen(self, points: Floats) -> Floats:
        """Return how far points, (n, 3), are from the plane of the opening where it is closed, (n,)."""
        own = (points - self.origin) @ self.axes.T
        inside, edge = _to_outline(self.outline, own[:, :2])
        out: Floats = np.hypot(own[:, 2], np.where(inside, edge, 0.0))
        return out

    def edge_points(self, out_mm: float) -> Floats:
        """Return points in the plane all round, (n, 3), so far outside the edges and about 5 mm apart."""
        points = []
        after = np.roll(self.outline, -1, axis=0)
        area = float((self.outline[:, 0] * after[:, 1] - self.outline[:, 1] * after[:, 0]).sum())
        for p, q in zip(self.outline, after, strict=True):
            size = float(np.linalg.norm(q - p))
            if size == 0.0:
                continue
            out = np.array([q[1] - p[1], p[0] - q[0]]) / size * (1.0 if area > 0.0 else -1.0)
            shares = (np.arange(max(int(size / 5.0), 2)) + 0.5) / max(int(size / 5.0), 2)
            points.append(p + shares[:, None] * (q - p) + out_mm * out)
        flat = np.concatenate(points)
        whole: Floats = flat @ self.axes[:2] + self.origin
        return whole


def _to_outline(outline: Floats, points: Floats) -> tuple[Bools, Floats]:
    """Return which points, (n, 2), lie within an outline, and how far each is from its edges."""
    inside = np.zeros(len(points), dtype=bool)
    least = np.full(len(points), np.inf)
    for p, q in zip(outline, np.roll(outline, -1, axis=0), strict=True):
        along = q - p
        share = np.clip((points - p) @ along / max(float(along @ along), 1e-30), 0.0, 1.0)
        least = np.minimum(least, np.linalg.norm(points - p - share[:, None] * along, axis=1))
        crosses = (p[1] > points[:, 1]) != (q[1] > points[:, 1])
        rise = q[1] - p[1] if q[1] != p[1] else 1.0
        inside ^= crosses & (points[:, 0] < p[0] + (points[:, 1] - p[1]) / rise * along[0])
    return inside, least


class Cells(NamedTuple):
    """Cells: middles and half sizes, (n, 5), of across, up, two ways on a cube's face and roll; and the face, (n,)."""

    middle: Floats
    half: Floats
    face: Ints

    def take(self, which: Ints) -> "Cells":
        """Return some of them."""
        return Cells(self.middle[which], self.half[which], self.face[which])


def cannot_cross(
    points: Floats, gate: Gate, fields: Sequence[Field], keep_mm: float, inward_only: bool, most: int
) -> bool:
    """Tell whether it is proved that balls cannot stand with the first of them in an opening.

    Args:
        points: middles of the balls, (n, 3): the first is the origin, the first axis is the way the piece looks.
        gate: the opening.
        fields: of the things about it.
        keep_mm: no ball's middle may be nearer than this to anything: the tube's radius and the margin.
        inward_only: whether the piece looks inwards (or along the plane) when it crosses.
        most: balls of cells that are looked at before nothing is said.
    """
    far = np.linalg.norm(points, axis=1)
    off = np.linalg.norm(points[:, 1:], axis=1)
    cells = _first(gate.outline, keep_mm if gate.solid else 0.0, bool((off > 1e-9).any()))
    # What bends away is stopped near the opening, what is straight far from it.
    near = far <= (NEAR * keep_mm if (off > 1e-9).any() else np.inf)
    weights = np.array([1.0, 1.0, far[near].max(), far[near].max(), off[near].max()])
    if _judged(_straight_in(gate, bool((off > 1e-9).any())), points, far, off, gate, fields, keep_mm)[2].any():
        return False
    looked = 0
    while len(cells.face):
        looked += len(cells.face) * len(points)
        if looked > most:
            return False
        looks, empty, clear = _judged(cells, points, far, off, gate, fields, keep_mm)
        if inward_only:
            turn = _LOOSE * np.hypot(cells.half[:, 2], cells.half[:, 3])
            empty |= looks + turn < 0.0
            clear &= looks >= 0.0
        if (clear & ~empty).any():
            return False
        cells = _halved(cells.take(np.flatnonzero(~empty)), weights)
    return True


def _first(outline: Floats, edge_mm: float, rolls: bool) -> Cells:
    """Return one cell for each face of the cube: the first ball keeps so far off the edges of the opening."""
    low, high = outline.min(axis=0) + edge_mm - SLACK_MM, outline.max(axis=0) - edge_mm + SLACK_MM
    if (low > high).any():
        return Cells(np.zeros((0, 5)), np.zeros((0, 5)), np.zeros(0, dtype=np.int64))
    middle = np.tile([*(low + high) / 2.0, 0.0, 0.0, 0.0], (6, 1))
    half = np.tile([*(high - low) / 2.0, 1.0, 1.0, pi if rolls else 0.0], (6, 1))
    return Cells(middle, half, np.arange(6))


def _straight_in(gate: Gate, rolls: bool) -> Cells:
    """Return cells with no size that look straight in at the middle of an opening: what most often is clear."""
    count = 8 if rolls else 1
    middle = np.zeros((count, 5))
    middle[:, :2] = (gate.outline.min(axis=0) + gate.outline.max(axis=0)) / 2.0
    middle[:, 4] = np.arange(count) * (2.0 * pi / count)
    return Cells(middle, np.zeros((count, 5)), np.full(count, 4))


def _judged(
    cells: Cells, points: Floats, far: Floats, off: Floats, gate: Gate, fields: Sequence[Field], keep_mm: float
) -> tuple[Floats, Bools, Bools]:
    """Return how far inwards each cell's middle looks, which cells are empty, and which middles are clear."""
    n, k = len(cells.face), len(points)
    turns = _turns(cells)
    own = np.einsum("nij,kj->nki", turns, points)
    own[:, :, :2] += cells.middle[:, None, :2]
    half = cells.half
    stray = np.hypot(half[:, 0], half[:, 1])[:, None] + (
        far * (_LOOSE * np.hypot(half[:, 2], half[:, 3]))[:, None] + off * half[:, 4:5]
    )
    places = (own.reshape(-1, 3) @ gate.axes + gate.origin).reshape(-1, 3)
    empty, clear = np.zeros(n, dtype=bool), np.ones(n, dtype=bool)
    for field in (gate.screen, *fields) if gate.solid else fields:
        left = np.flatnonzero(~empty)
        if not len(left):
            break
        rows = (left[:, None] * k + np.arange(k)).reshape(-1)
        value = field(places[rows]).reshape(-1, k)
        empty[left] |= (value + stray[left] < keep_mm - SLACK_MM).any(axis=1)
        clear[left] &= (value >= keep_mm).all(axis=1)
    return turns[:, 2, 0], empty, clear


def _turns(cells: Cells) -> Floats:
    """Return the turns of the cells' middles, (n, 3, 3), from the piece's own frame to the opening's."""
    n = len(cells.face)
    axis, sign = cells.face // 2, np.where(cells.face % 2, -1.0, 1.0)
    rows = np.arange(n)
    looks = np.zeros((n, 3))
    front = np.zeros((n, 3))
    front[rows, axis] = sign
    looks[rows, axis] = sign
    looks[rows, (axis + 1) % 3] = cells.middle[:, 2]
    looks[rows, (axis + 2) % 3] = cells.middle[:, 3]
    looks /= np.linalg.norm(looks, axis=1)[:, None]
    # A frame with the face's middle for its first axis, carried to the direction by the least turn.
    second = np.zeros((n, 3))
    second[rows, (axis + 1) % 3] = 1.0
    base = np.stack([front, second, np.cross(front, second)], axis=2)
    cross = np.cross(front, looks)
    cosine = np.einsum("ni,ni->n", front, looks)
    skew = np.zeros((n, 3, 3))
    skew[:, 0, 1], skew[:, 0, 2], skew[:, 1, 2] = -cross[:, 2], cross[:, 1], -cross[:, 0]
    skew -= np.transpose(skew, (0, 2, 1))
    carry = np.eye(3) + skew + skew @ skew / (1.0 + cosine)[:, None, None]
    c, s = np.cos(cells.middle[:, 4]), np.sin(cells.middle[:, 4])
    roll = np.zeros((n, 3, 3))
    roll[:, 0, 0] = 1.0
    roll[:, 1, 1], roll[:, 1, 2], roll[:, 2, 1], roll[:, 2, 2] = c, -s, s, c
    out: Floats = carry @ base @ roll
    return out


def _halved(cells: Cells, weights: Floats) -> Cells:
    """Return cells halved along what lets the balls near the first stray most."""
    longest = np.argmax(cells.half * weights, axis=1)
    rows = np.arange(len(longest))
    half = cells.half.copy()
    half[rows, longest] /= 2.0
    step = np.zeros_like(half)
    step[rows, longest] = half[rows, longest]
    return Cells(
        np.concatenate([cells.middle - step, cells.middle + step]),
        np.concatenate([half, half]),
        np.concatenate([cells.face, cells.face]),
    )
