"""What a drawing shows of a body from one side: the strokes that may be seen, and what hides others.

A tube's outline is known exactly: at every place along it the outline lies square to the axis and to the line
of sight, a radius to either side. Between the two sides it hides what lies behind; so a ribbon along the axis, facing
the eye, stands for it. A mesh shows the edges where its faces meet at more than a slight angle, and those where it
turns away from the eye.

Everything here is in the frame of the view: x to the right, y up, z towards the eye, mm.
"""

from dataclasses import dataclass
from math import ceil, cos, pi, radians, sin
from typing import NamedTuple, TypeAlias

import numpy as np

from pipemodel.geometry.arrays import Bools, Floats, Ints
from pipemodel.geometry.centreline import Arc, Centreline
from pipemodel.geometry.shapes.mesh import Mesh
from pipemodel.geometry.vectors import Vec3
from pipemodel.geometry.view import View

STEP_DEG = 6.0
"""A bend's outline is drawn in steps of this; a former of 55 mm then strays by 0.08 mm."""
AROUND = 24
"""Sides of the circle that ends a tube."""
END_ON = 0.02
"""Below this sine between axis and line of sight a place is seen end-on."""
SMOOTH_DEG = 25.0
"""Faces that meet at less than this run smoothly into each other."""


@dataclass(frozen=True)
class SeenTube:
    """A tube seen from outside: its centreline and outside diameter, mm."""

    line: Centreline
    outside_mm: float


Body: TypeAlias = SeenTube | Mesh


class ViewFrame(NamedTuple):
    """A view's axes as the rows of a rotation (3, 3), and the point that becomes its origin."""

    axes: Floats
    origin: Floats

    def of(self, points: Floats) -> Floats:
        """Return points (n, 3) of the room in the view's frame."""
        turned: Floats = (points - self.origin) @ self.axes.T
        return turned


@dataclass(frozen=True, eq=False)
class Outline:
    """Segments (n, 2, 3) to draw, and triangles (m, 3, 3) that hide what lies behind them.

    `rim` (m, 3) tells of each side of a triangle, from a corner to the next, whether the body ends there as seen;
    elsewhere another triangle goes on. `own` (n, 2) are the two triangles that each segment bounds, which cannot
    hide it; -1 where there is none.
    """

    segments: Floats
    triangles: Floats
    rim: Bools
    own: Ints


def frame_of(view: View, origin: Vec3) -> ViewFrame:
    """Return the frame of a view."""
    return ViewFrame(np.array([view.right, view.upright, view.eye]), np.array(origin))


def outline_of(body: Body, frame: ViewFrame) -> Outline:
    """Return what is drawn of a body, and what of it hides other things."""
    return _of_rod(body, frame) if isinstance(body, SeenTube) else _of_mesh(body, frame)


class _Stations(NamedTuple):
    """Places along a tube: points (n, 3), and unit vectors (n, 3) along the axis and to the outline's side.

    `end_on` tells which are seen along the axis, `through` where a bend passes through the line of sight.
    """

    points: Floats
    ahead: Floats
    side: Floats
    end_on: Bools
    through: Ints


def _of_rod(rod: SeenTube, frame: ViewFrame) -> Outline:
    radius = rod.outside_mm / 2.0
    at = _stations(rod.line, frame)
    left, right = at.points + radius * at.side, at.points - radius * at.side
    # A leg seen end-on has no sides; everything else has.
    drawn = ~(at.end_on[:-1] & at.end_on[1:])
    segments = [np.stack([edge[:-1], edge[1:]], axis=1)[drawn] for edge in (left, right)]
    triangles = [
        np.stack([left[:-1], left[1:], right[1:]], axis=1)[drawn],
        np.stack([right[1:], right[:-1], left[:-1]], axis=1)[drawn],
    ]
    rim = [np.tile([True, False, False], (len(t), 1)) for t in triangles]
    rings = {0, len(at.points) - 1, *at.through.tolist()}
    rings |= {int(k) for i in np.flatnonzero(~drawn) for k in (i, i + 1)}
    for k in sorted(rings):
        ring = _ring(at.points[k], at.ahead[k], radius)
        segments.append(np.stack([ring, np.roll(ring, -1, axis=0)], axis=1))
        fan = np.stack([ring[1:-1], ring[2:], np.broadcast_to(ring[0], ring[2:].shape)], axis=1)
        triangles.append(fan)
        outer = np.tile([True, False, False], (len(fan), 1))
        outer[-1, 1] = outer[0, 2] = True
        rim.append(outer)
    every = np.concatenate(segments)
    return Outline(every, np.concatenate(triangles), np.concatenate(rim), np.full((len(every), 2), -1, dtype=np.int64))


def _stations(line: Centreline, frame: ViewFrame) -> _Stations:
    points: list[Vec3] = []
    ahead: list[Vec3] = []
    bent: list[bool] = []
    for piece in line.pieces:
        steps = ceil(piece.angle_deg / STEP_DEG) if isinstance(piece, Arc) else 1
        for i in range(steps + 1):
            s = piece.length * i / steps
            points.append(piece.point_at(s))
            ahead.append(piece.direction_at(s))
            bent.append(isinstance(piece, Arc) and 0 < i < steps)
    along = np.array(ahead) @ frame.axes.T
    # Square to the axis and to the line of sight, which is z: (y, -x, 0).
    side = np.stack([along[:, 1], -along[:, 0], np.zeros(len(along))], axis=1)
    size = np.linalg.norm(side, axis=1)
    end_on = size < END_ON
    side[~end_on] /= size[~end_on, None]
    known = np.flatnonzero(~end_on)
    if len(known) == 0:
        side[:] = (1.0, 0.0, 0.0)
    for k in np.flatnonzero(end_on):
        if len(known):
            side[k] = side[known[np.argmin(np.abs(known - k))]]
    for i in range(1, len(side)):
        # Left stays left where the tube passes through the line of sight.
        if side[i] @ side[i - 1] < 0.0:
            side[i] = -side[i]
    least = (size < np.r_[2.0, size[:-1]]) & (size <= np.r_[size[1:], 2.0]) & (size < sin(radians(STEP_DEG)))
    return _Stations(frame.of(np.array(points)), along, side, end_on, np.flatnonzero(least & np.array(bent)))


def _ring(centre: Floats, ahead: Floats, radius: float) -> Floats:
    other = np.array([0.0, 0.0, 1.0]) if abs(ahead[2]) < 0.9 else np.array([1.0, 0.0, 0.0])
    a = np.cross(ahead, other)
    a /= np.linalg.norm(a)
    b = np.cross(ahead, a)
    angle = np.arange(AROUND) * (2.0 * pi / AROUND)
    ring: Floats = centre + radius * (np.cos(angle)[:, None] * a + np.sin(angle)[:, None] * b)
    return ring


def _of_mesh(mesh: Mesh, frame: ViewFrame) -> Outline:
    vertices = frame.of(np.asarray(mesh.vertices, dtype=np.float64))
    faces = np.asarray(mesh.faces)
    corners = vertices[faces]
    normal = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    size = np.linalg.norm(normal, axis=1)
    normal /= np.where(size > 0.0, size, 1.0)[:, None]
    edges = np.concatenate([faces[:, [0, 1]], faces[:, [1, 2]], faces[:, [2, 0]]])
    face = np.tile(np.arange(len(faces)), 3)
    order = np.lexsort((face, *np.sort(edges, axis=1).T))
    ends, face = np.sort(edges, axis=1)[order], face[order]
    first = np.flatnonzero(np.r_[True, (ends[1:] != ends[:-1]).any(axis=1)])
    count = np.diff(np.r_[first, len(ends)])
    own = np.stack([face[first], np.where(count > 1, face[np.minimum(first + 1, len(face) - 1)], -1)], axis=1)
    a, b = normal[own[:, 0]], normal[own[:, 1]]
    real = (size[own[:, 0]] > 0.0) & (size[own[:, 1]] > 0.0)
    bent = real & (np.einsum("ij,ij->i", a, b) < cos(radians(SMOOTH_DEG)))
    outline = real & ((a[:, 2] > 0.0) != (b[:, 2] > 0.0))
    turned_away = (a[:, 2] <= 0.0) & (b[:, 2] <= 0.0) & (count == 2)
    drawn = ((count != 2) | bent | outline) & ~turned_away
    of_edge = np.empty(len(ends), dtype=bool)
    of_edge[order] = np.repeat((count != 2) | outline, count)
    return Outline(vertices[ends[first][drawn]], corners, of_edge.reshape(3, -1).T, own[drawn])
