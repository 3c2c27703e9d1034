"""Whether points fit between straight sides however they are turned: what lies in a passage whole, lies so.

Take weights of some sides of the outline's hull, none negative and 1 in all, by which their outer normals add up to
nothing. However the points are moved, they reach out towards these sides by the same weighted mean, and there is room
for the weighted mean of how far out the sides are: if that is less, the points do not fit. Two or three sides make the
least room (linear programming), so these are all asked. How far points reach changes no faster than they do, so turns
are divided into cells: where the passage looks, on the faces of a cube, and how the piece is rolled about that. A cell
that cannot hold a fit is left out.
"""

from itertools import combinations, product
from math import inf, pi, sqrt

import numpy as np

from pipemodel.geometry.arrays import Floats
from pipemodel.ways_in.crossing import LOOSE

MOST = 300_000
"""Cells that are looked at before nothing is said."""
MOST_SIDES, ROUND_SIDES = 12, 24
"""Of more sides, so many that hold the outline are taken; and so many round the circle that does."""
SURE = 0.5
"""What is lacking at the best is said to this share at least."""


def sides_of(hull: Floats) -> tuple[Floats, Floats]:
    """Return the outer normals of a convex outline, (n, 2), anticlockwise, and how far out its sides are, (n,)."""
    along = np.roll(hull, -1, axis=0) - hull
    normals = np.stack([along[:, 1], -along[:, 0]], axis=1) / np.linalg.norm(along, axis=1)[:, None]
    return normals, np.einsum("ij,ij->i", normals, hull)


def weights_of(normals: Floats) -> Floats:
    """Return the weights, (m, n), by which two or three of n normals make nothing; each row adds up to 1."""
    n = len(normals)
    pairs = np.array(list(combinations(range(n), 2)))
    pairs = pairs[np.linalg.norm(normals[pairs].sum(axis=1), axis=1) < 1e-9]
    triples = np.array(list(combinations(range(n), 3)))
    matrix = np.concatenate([normals[triples].transpose(0, 2, 1), np.ones((len(triples), 1, 3))], axis=1)
    able = np.abs(np.linalg.det(matrix)) > 1e-9
    shares = np.linalg.solve(matrix[able], np.array([[0.0], [0.0], [1.0]]))[:, :, 0]
    closed = (shares > -1e-9).all(axis=1)
    out = np.zeros((len(pairs) + int(closed.sum()), n))
    out[np.arange(len(pairs))[:, None], pairs] = 0.5
    out[np.arange(len(pairs), len(out))[:, None], triples[able][closed]] = shares[closed].clip(0.0)
    return out


def lacking(points: Floats, hull: Floats, keep_mm: float) -> float:
    """Return by how much the sides of a passage are too near for points, at the least; 0 where that is not shown.

    Args:
        points: (n, 3), all of which lie in the passage.
        hull: its convex outline, (n, 2), anticlockwise.
        keep_mm: what the points keep off its sides.
    """
    normals, heights = sides_of(hull)
    if len(hull) <= MOST_SIDES:
        return _lacking(points, normals, heights - keep_mm, rolls=True)
    middle = hull.mean(axis=0)
    radius = float(np.linalg.norm(hull - middle, axis=1).max())
    # Sides all round a circle are the same however they are rolled.
    round_ = _regular(ROUND_SIDES, normals[0])
    by = _lacking(points, round_, np.full(ROUND_SIDES, radius - keep_mm), rolls=False)
    if by:
        return by
    narrowest = int(np.argmin(heights + (hull @ -normals.T).max(axis=0)))
    few = _regular(MOST_SIDES, normals[narrowest])
    return _lacking(points, few, (hull @ few.T).max(axis=0) - keep_mm, rolls=True)


def _regular(count: int, first: Floats) -> Floats:
    """Return unit vectors evenly all round, (count, 2)."""
    turns = np.arange(count) * 2.0 * pi / count
    aside = np.array([-first[1], first[0]])
    out: Floats = np.cos(turns)[:, None] * first + np.sin(turns)[:, None] * aside
    return out


def _lacking(points: Floats, normals: Floats, heights: Floats, rolls: bool) -> float:
    points = points - (points.min(axis=0) + points.max(axis=0)) / 2.0
    reach = float(np.linalg.norm(points, axis=1).max())
    weights = weights_of(normals)
    room = weights @ heights
    # Face of the cube, where on it, roll; half the cell's side on the face, half its roll.
    cells = np.array([(face, 0.0, 0.0, roll, 1.0, pi / 4.0) for face in range(6) for roll in (0.25, 0.75, 1.25, 1.75)])
    cells[:, 3] *= pi
    if not rolls:
        cells = cells[::4] * (1.0, 1.0, 1.0, 0.0, 1.0, 0.0)
    best, looked = inf, 0
    while len(cells):
        looked += len(cells)
        if looked > MOST:
            return 0.0
        first, second = _frames(cells)
        x, y = first @ points.T, second @ points.T
        reaches = np.stack([(a * x + b * y).max(axis=1) for a, b in normals], axis=1)
        need = (reaches @ weights.T - room).max(axis=1)
        best = min(best, float(need.min()))
        if best <= 0.0:
            return 0.0
        turned = reach * LOOSE * sqrt(2.0) * cells[:, 4]
        rolled = np.sqrt((x * x + y * y).max(axis=1)) * cells[:, 5]
        left = need - turned - rolled <= SURE * best
        cells = _halved(cells[left], turned[left], rolled[left])
    return SURE * best


def _halved(cells: Floats, turned: Floats, rolled: Floats) -> Floats:
    """Return the parts of cells, each cell halved in what it strays most by."""
    out = []
    for which, moves in (
        (turned >= rolled, [(0.0, i, j, 0.0) for i, j in product((-0.5, 0.5), repeat=2)]),
        (turned < rolled, [(0.0, 0.0, 0.0, i) for i in (-0.5, 0.5)]),
    ):
        for move in moves:
            part = cells[which].copy()
            part[:, :4] += np.array(move) * part[:, [4, 4, 4, 5]]
            part[:, 4:] *= (1.0, 0.5) if move[3] else (0.5, 1.0)
            out.append(part)
    return np.concatenate(out)


def _frames(cells: Floats) -> tuple[Floats, Floats]:
    """Return two unit vectors across where the passage looks, (n, 3): carried from the face's middle, rolled."""
    rows, face = np.arange(len(cells)), cells[:, 0].astype(int)
    axis, sign = face // 2, np.where(face % 2, -1.0, 1.0)
    ahead, first = np.zeros((len(cells), 3)), np.zeros((len(cells), 3))
    ahead[rows, axis], first[rows, (axis + 1) % 3] = sign, 1.0
    looks = ahead.copy()
    looks[rows, (axis + 1) % 3], looks[rows, (axis + 2) % 3] = cells[:, 1], cells[:, 2]
    looks /= np.linalg.norm(looks, axis=1)[:, None]
    about = np.cross(ahead, looks)
    less = 1.0 / (1.0 + np.einsum("ij,ij->i", ahead, looks))[:, None]
    carried = first + np.cross(about, first) + less * np.cross(about, np.cross(about, first))
    second = np.cross(looks, carried)
    cos, sin = np.cos(cells[:, 3:4]), np.sin(cells[:, 3:4])
    return cos * carried + sin * second, cos * second - sin * carried
