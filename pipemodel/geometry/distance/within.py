"""How deep a tube lies in a convex solid, where neither its axis nor its rims tell.

Of a tube wholly within, no end went in from outside, so its flat ends tell nothing: it is as deep as its axis at the
deepest place, ends included, and the tube's radius. Of another, the deepest point may lie on the disc of a flat end, or
on the side beside it.
"""

import numpy as np

from pipemodel.geometry.arrays import Floats, normals_to, vec3
from pipemodel.geometry.centreline import Arc, Centreline
from pipemodel.geometry.distance.targets import Nearest
from pipemodel.geometry.shapes.base import Targets

SPOKES = 24
STEP_DEG = 5.0
"""How closely the sections of a bend are looked at."""
CLOSE_MM = 1e-6
"""How closely the deepest point on the outside is found."""
_AROUND = np.array([[a, b] for a in (-1.0, 0.0, 1.0) for b in (-1.0, 0.0, 1.0) if a or b])
FLUSH_MM = 1e-9
"""What lies no farther out than this counts as within."""


def deepened(line: Centreline, outside_mm: float, solids: Targets, row: int, found: Nearest) -> Nearest:
    """Return how deep a tube lies in a convex solid, if that is deeper than was found on its axis and round its rims.

    Args:
        line: the tube's axis.
        outside_mm: its outside diameter.
        solids: convex solids.
        row: which of them.
        found: what was found; the two overlap.
    """
    radius = outside_mm / 2.0
    ends = np.array([line.start, line.finish])
    value, away = solids.field(np.full(2, row), ends)
    k = int(np.argmin(value))
    if float(value.max()) <= 0.0 and float(value[k]) - radius < found.distance:
        rims = _rims(line, radius)
        if float(solids.field(np.full(len(rims), row), rims)[0].max()) <= FLUSH_MM:
            point, other = ends[k] - radius * away[k], ends[k] - value[k] * away[k]
            return Nearest(float(value[k]) - radius, (0.0, line.length)[k], vec3(point), vec3(other))
    if float(value.min()) > radius:
        return found
    return min(
        (found, *(_on_skin(line, radius, solids, row, k, found.distance) for k in (0, 1) if value[k] <= radius)),
        key=lambda nearest: nearest.distance,
    )


def _on_skin(line: Centreline, radius: float, solids: Targets, row: int, end: int, best: float) -> Nearest:
    """Return the deepest point on a flat end, or on the side so near to it that no ball as wide as the tube fits."""
    reach = min(2.0 * radius, line.length)

    def points(spots: Floats) -> tuple[Floats, Floats]:
        # How far over the skin from the middle of the disc: on the disc up to the radius, then along the side.
        over, turn = spots[:, 0], spots[:, 1]
        inward = np.clip(over - radius, 0.0, reach)
        at = inward if end == 0 else line.length - inward
        middle = np.array([line.point_at(s) for s in at.tolist()])
        way = np.array([line.direction_at(s) for s in at.tolist()])
        u = normals_to(way)
        v = np.cross(way, u)
        ring = np.cos(turn)[:, None] * u + np.sin(turn)[:, None] * v
        return middle + np.clip(over, 0.0, radius)[:, None] * ring, at

    def depths(spots: Floats) -> Floats:
        return solids.field(np.full(len(spots), row), points(spots)[0])[0]

    over, turns = np.linspace(0.0, radius + reach, 13), np.linspace(0.0, 2.0 * np.pi, SPOKES, endpoint=False)
    spots = np.stack(np.meshgrid(over, turns), axis=-1).reshape(-1, 2)
    step = np.array([over[1], turns[1]])
    value = depths(spots)
    k = int(np.argmin(value))
    spot, deepest = spots[k], float(value[k])
    # A depth changes no faster than the place it is measured at.
    while step[0] > CLOSE_MM and deepest - step[0] - radius * step[1] < best:
        beside = spot + step * _AROUND
        value = depths(beside)
        k = int(np.argmin(value))
        if float(value[k]) < deepest:
            spot, deepest = beside[k], float(value[k])
        else:
            step = 0.5 * step
    place, at = points(spot[None])
    value, away = solids.field(np.array([row]), place)
    return Nearest(float(value[0]), float(at[0]), vec3(place[0]), vec3(place[0] - value[0] * away[0]))


def _rims(line: Centreline, radius: float) -> Floats:
    """Return points round the tube: with them in a convex solid, so is all of it, but for a hair at a bend's back."""
    centres, ways = [], []
    for piece in line.pieces:
        count = int(np.ceil(piece.angle_deg / STEP_DEG)) if isinstance(piece, Arc) else 1
        for s in np.linspace(0.0, piece.length, count + 1).tolist():
            centres.append(piece.point_at(s))
            ways.append(piece.direction_at(s))
    middle, way = np.array(centres), np.array(ways)
    u = normals_to(way)
    v = np.cross(way, u)
    turns = np.linspace(0.0, 2.0 * np.pi, SPOKES, endpoint=False)
    ring = np.cos(turns)[:, None] * u[:, None] + np.sin(turns)[:, None] * v[:, None]
    out: Floats = (middle[:, None] + radius * ring).reshape(-1, 3)
    return out
