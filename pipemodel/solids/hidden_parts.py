"""Which parts of straight segments are seen, and which lie behind triangles: exact, by clipping.

What a triangle hides of a segment is one stretch of it: where it lies inside the triangle's three sides as seen,
and behind its plane. All in the frame of a view: x to the right, y up, z towards the eye, mm.
"""

import numpy as np

from pipemodel.geometry.arrays import Bools, Floats, Ints

INSIDE_MM = 0.01
"""How far inside a rim something must lie to be hidden: what bounds a body stays seen. Other sides reach out as far."""
BEHIND_MM = 0.02
"""How far behind its plane."""
GAP_MM = 0.1
"""Stretches shorter than this, seen or hidden, are the roughness of the triangles."""
EDGE_ON = 1e-9
AT_ONCE = 128
"""Segments looked at in one sweep, to bound what is kept in memory."""


class Screen:
    """Triangles that stand in the way.

    Args:
        triangles: their corners (m, 3, 3).
        rim: whether nothing goes on beyond each side, from a corner to the next (m, 3).
    """

    def __init__(self, triangles: Floats, rim: Bools) -> None:
        a, b, c = triangles[:, 0], triangles[:, 1], triangles[:, 2]
        u, v = b - a, c - a
        doubled = u[:, 0] * v[:, 1] - u[:, 1] * v[:, 0]
        size = np.maximum(np.abs(u[:, :2]).max(axis=1), np.abs(v[:, :2]).max(axis=1)) if len(a) else doubled
        self.kept = np.flatnonzero(np.abs(doubled) > EDGE_ON * np.maximum(size, 1.0) ** 2)
        corners = triangles[self.kept]
        clockwise = doubled[self.kept] < 0.0
        corners = np.where(clockwise[:, None, None], corners[:, ::-1], corners)
        # Turned round, the sides come in the order second, first, third.
        rim = np.where(clockwise[:, None], rim[self.kept][:, [1, 0, 2]], rim[self.kept])
        self.low, self.high = corners[:, :, :2].min(axis=1), corners[:, :, :2].max(axis=1)
        self.near = corners[:, :, 2].max(axis=1)
        start = corners[:, :, :2]
        along = np.roll(start, -1, axis=1) - start
        length = np.linalg.norm(along, axis=2)
        # Distance inside each side: normal . p - offset.
        self.normal = (
            np.stack([-along[:, :, 1], along[:, :, 0]], axis=2) / np.where(length > 0, length, 1.0)[:, :, None]
        )
        self.offset = np.einsum("ijk,ijk->ij", self.normal, start) + np.where(rim, INSIDE_MM, -INSIDE_MM)
        u, v = corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]
        n = np.cross(u, v)
        self.slope = -n[:, :2] / n[:, 2:]
        self.height = corners[:, 0, 2] - np.einsum("ij,ij->i", self.slope, corners[:, 0, :2])

    def hidden(self, segments: Floats, own: Ints) -> list[list[tuple[float, float]]]:
        """Return the hidden stretches of each segment, from 0 to 1 along it, in order and apart.

        Args:
            segments: their ends (n, 2, 3).
            own: numbers of two triangles that cannot hide each (n, 2), -1 for none.
        """
        out: list[list[tuple[float, float]]] = [[] for _ in range(len(segments))]
        pairs = [self._pairs(segments[k : k + AT_ONCE], k) for k in range(0, len(segments), AT_ONCE)]
        if not pairs:
            return out
        of, at = (np.concatenate(part) for part in zip(*pairs, strict=True))
        free = (self.kept[at][:, None] != own[of]).all(axis=1)
        of, at = of[free], at[free]
        p, d = segments[of, 0], segments[of, 1] - segments[of, 0]
        # Each condition is a + t b > 0.
        a = np.empty((len(of), 4))
        b = np.empty((len(of), 4))
        a[:, :3] = np.einsum("ijk,ik->ij", self.normal[at], p[:, :2]) - self.offset[at]
        b[:, :3] = np.einsum("ijk,ik->ij", self.normal[at], d[:, :2])
        slope = self.slope[at]
        a[:, 3] = np.einsum("ij,ij->i", slope, p[:, :2]) + self.height[at] - p[:, 2] - BEHIND_MM
        b[:, 3] = np.einsum("ij,ij->i", slope, d[:, :2]) - d[:, 2]
        flat = np.abs(b) < 1e-12
        cut = -a / np.where(flat, 1.0, b)
        begin = np.where(flat, np.where(a > 0.0, 0.0, 2.0), np.where(b > 0.0, cut, 0.0)).max(axis=1)
        end = np.where(flat, np.where(a > 0.0, 1.0, -1.0), np.where(b < 0.0, cut, 1.0)).min(axis=1)
        begin, end = np.maximum(begin, 0.0), np.minimum(end, 1.0)
        there = np.flatnonzero(end > begin)
        there = there[np.lexsort((begin[there], of[there]))]
        for k, x, y in zip(of[there].tolist(), begin[there].tolist(), end[there].tolist(), strict=True):
            out[k].append((x, y))
        size = np.linalg.norm((segments[:, 1] - segments[:, 0])[:, :2], axis=1)
        return [_united(parts, GAP_MM / max(n, 1e-12)) if parts else parts for parts, n in zip(out, size, strict=True)]

    def _pairs(self, segments: Floats, first: int) -> tuple[Ints, Ints]:
        """Return which segments, counted from `first`, may be hidden by which triangles."""
        low, high = segments.min(axis=1), segments.max(axis=1)
        all_low, all_high = low.min(axis=0), high.max(axis=0)
        some = np.flatnonzero(self._touching(all_low, all_high))
        touching = (
            (self.high[some, 0] > low[:, :1])
            & (self.low[some, 0] < high[:, :1])
            & (self.high[some, 1] > low[:, 1:2])
            & (self.low[some, 1] < high[:, 1:2])
            & (self.near[some] > low[:, 2:] + BEHIND_MM)
        )
        of, at = np.nonzero(touching)
        return of + first, some[at]

    def _touching(self, low: Floats, high: Floats) -> Bools:
        touching: Bools = (
            (self.high[:, 0] > low[0])
            & (self.low[:, 0] < high[0])
            & (self.high[:, 1] > low[1])
            & (self.low[:, 1] < high[1])
            & (self.near > low[2] + BEHIND_MM)
        )
        return touching


def _united(parts: list[tuple[float, float]], gap: float) -> list[tuple[float, float]]:
    out: list[tuple[float, float]] = []
    for a, b in parts:
        if out and a - out[-1][1] <= gap:
            if b > out[-1][1]:
                out[-1] = (out[-1][0], b)
        else:
            out.append((a, b))
    if out[0][0] <= gap:
        out[0] = (0.0, out[0][1])
    if 1.0 - out[-1][1] <= gap:
        out[-1] = (out[-1][0], 1.0)
    return [(a, b) for a, b in out if b - a > gap]
