"""Surfaces that somebody left a little broken: faces turned the wrong way, and edges that meet a side half way."""

from collections import defaultdict

import numpy as np

from pipemodel.geometry.arrays import Floats, Ints
from pipemodel.geometry.shapes.triangles import closes, edge_ways

ON_MM = 1e-3
"""A corner so near to an edge lies on it."""
_ROUNDS = 3
_MOST_OPEN = 2000
"""With more open edges than this it is no seam that was missed but a surface that was never closed."""


def mended(vertices: Floats, faces: Ints) -> tuple[Ints, bool]:
    """Return the faces (m, 3) of a surface, so turned that each piece of it looks outward, and whether it closes.

    Args:
        vertices: its corners, (n, 3) mm.
        faces: its faces; one that does not close even when its seams are mended comes back as it was.
    """
    welded = _welded(vertices, faces)
    for whole in (faces,) if np.array_equal(welded, faces) else (faces, welded):
        once = _doubles_once(whole)
        for found in (whole, once, _without_doubles(whole), _with_seams(vertices, once)):
            if not len(found):
                continue
            if closes(found):
                return found, True
            turned = _turned(vertices, found)
            if turned is not None:
                return turned, True
    return faces, False


def _welded(vertices: Floats, faces: Ints) -> Ints:
    """Return the faces on one corner wherever several lie at the same place, without those that come to nothing."""
    places = np.round((vertices - vertices.min(axis=0)) / ON_MM)
    _, first, number = np.unique(places, axis=0, return_index=True, return_inverse=True)
    found = first[number.reshape(-1)][faces]
    return np.asarray(found[np.all(found != np.roll(found, 1, axis=1), axis=1)])


def _doubles_once(faces: Ints) -> Ints:
    """Return the faces with one of those that lie on each other."""
    _, kept = np.unique(np.sort(faces, axis=1), axis=0, return_index=True)
    return np.asarray(faces[np.sort(kept)])


def _without_doubles(faces: Ints) -> Ints:
    """Return the faces without those that lie on another: the skin between two bodies that touch."""
    _, which, count = np.unique(np.sort(faces, axis=1), axis=0, return_inverse=True, return_counts=True)
    return np.asarray(faces[count[which.reshape(-1)] == 1])


def _turned(vertices: Floats, faces: Ints) -> Ints | None:
    """Return the faces turned to agree with their neighbours, outward; None if not each edge has just two faces."""
    beside: dict[tuple[int, int], list[int]] = defaultdict(list)
    triangles = faces.tolist()
    for number, (a, b, c) in enumerate(triangles):
        for p, q in ((a, b), (b, c), (c, a)):
            beside[(p, q) if p < q else (q, p)].append(number)
    if any(len(two) != 2 for two in beside.values()):
        return None
    seen = [False] * len(triangles)
    for first in range(len(triangles)):
        if seen[first]:
            continue
        seen[first] = True
        piece, waiting = [first], [first]
        while waiting:
            number = waiting.pop()
            a, b, c = triangles[number]
            for p, q in ((a, b), (b, c), (c, a)):
                one, two = beside[(p, q) if p < q else (q, p)]
                other = two if one == number else one
                x, y, z = triangles[other]
                if seen[other]:
                    continue
                if (p, q) in ((x, y), (y, z), (z, x)):
                    triangles[other] = [z, y, x]
                seen[other] = True
                piece.append(other)
                waiting.append(other)
        rows = np.array([triangles[number] for number in piece])
        corner = vertices[rows] - vertices[rows[0, 0]]
        if float(np.einsum("ij,ij->", corner[:, 0], np.cross(corner[:, 1], corner[:, 2]))) < 0.0:
            for number in piece:
                triangles[number].reverse()
    found = np.array(triangles, dtype=np.int64)
    return found if closes(found) else None


def _with_seams(vertices: Floats, faces: Ints) -> Ints:
    """Return the faces with those divided on whose open edges a corner of another open edge lies."""
    for _ in range(_ROUNDS):
        edges = np.sort(edge_ways(faces), axis=1)
        kept, count = np.unique(edges, axis=0, return_counts=True)
        lone = kept[(count % 2 == 1) & (kept[:, 0] != kept[:, 1])]
        if not 0 < len(lone) <= _MOST_OPEN:
            return faces
        ends = np.unique(lone)
        begin, along = vertices[lone[:, 0]], vertices[lone[:, 1]] - vertices[lone[:, 0]]
        size = np.linalg.norm(along, axis=1)
        rel = vertices[ends][None] - begin[:, None]
        level = np.einsum("ijk,ik->ij", rel, along) / size[:, None]
        off = np.linalg.norm(rel - level[..., None] * (along / size[:, None])[:, None], axis=2)
        on = (off < ON_MM) & (level > ON_MM) & (level < size[:, None] - ON_MM)
        runs = {}
        for k in np.flatnonzero(on.any(axis=1)).tolist():
            between = np.flatnonzero(on[k])
            order = between[np.argsort(level[k, between])]
            runs[(int(lone[k, 0]), int(lone[k, 1]))] = [int(ends[i]) for i in order]
        if not runs:
            return faces
        faces = _divided(faces, runs)
    return faces


def _divided(faces: Ints, runs: dict[tuple[int, int], list[int]]) -> Ints:
    found: list[list[int]] = []
    for a, b, c in faces.tolist():
        for p, q, r in ((a, b, c), (b, c, a), (c, a, b)):
            between = runs.get((p, q)) or runs.get((q, p), [])[::-1]
            if between and r not in between:
                way = [p, *between, q]
                found += [[s, t, r] for s, t in zip(way, way[1:], strict=False)]
                break
        else:
            found.append([a, b, c])
    return np.array(found, dtype=np.int64)
