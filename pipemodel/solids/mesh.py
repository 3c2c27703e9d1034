"""The hollow tube as triangles: rings of points computed straight from the centreline.

Every point lies on the true surface. The points of a ring sit half a step further round than those of the
ring before, so that the triangles come out nearly equilateral where the surface curves both ways, which is
the shape that spends the fewest of them on a given tolerance.

How far a triangle strays from a torus is the sum of what it strays along its two curvatures, which are worst
together on the back of the bend. With A the sagitta of one step round the tube and B that of one step along
the back, a triangle of base sqrt(8 A) and height sqrt(8 B), in lengths scaled by curvature, strays most at the
centre of its circumscribed circle, by half that circle's radius squared: (A + 4 B)^2 / (16 B), and by no more
than A once 4 B <= A. On the throat the surface curves opposite ways, and the two make up for each other.
"""

from math import acos, ceil, cos, pi, radians, sqrt

import numpy as np

from pipemodel.geometry.arrays import Floats
from pipemodel.geometry.centreline import Arc, Centreline, LinePiece
from pipemodel.geometry.shapes.mesh import Mesh
from pipemodel.geometry.shapes.solids_of_triangles import sides_for
from pipemodel.geometry.vectors import Vec3, any_normal, cross

MOST_AT_ONCE = pi / 4.0
"""A bend never turns further than this from one ring to the next, in radians, so that it does not fold."""
FINEST = 1e-6
"""The tolerance asked for is never taken finer than this part of the tube's diameter."""


def tube_mesh(line: Centreline, outside_mm: float, wall_mm: float, chord_mm: float) -> Mesh:
    """Return the hollow tube round a centreline as a closed mesh with flat ends.

    Args:
        line: the centreline; neighbouring pieces tangent to each other.
        outside_mm: outside diameter, mm.
        wall_mm: wall, mm; less than half the outside diameter.
        chord_mm: how far a triangle may stray from the true surface, mm; more than 0.

    Raises:
        ValueError: if the wall leaves no bore, the tolerance is not positive, or the line has no length.
    """
    outer, inner = outside_mm / 2.0, outside_mm / 2.0 - wall_mm
    if not 0.0 < inner < outer:
        raise ValueError(f"a tube of {outside_mm:g} outside has no bore with a wall of {wall_mm:g}")
    if not chord_mm > 0.0:
        raise ValueError(f"a chord tolerance must be more than 0, not {chord_mm:g}")
    pieces = [piece for piece in line.pieces if piece.length > 0.0]
    if not pieces:
        raise ValueError("a tube needs a centreline with some length")
    around, steps = steps_for(pieces, outer, max(chord_mm, FINEST * outside_mm))
    centres, normals, binormals = _rings(pieces, steps)
    rings = len(centres)

    # The bore shares the outside's layout, so that no wall is too thin for the two to keep apart.
    angle = (np.arange(around) + 0.5 * np.arange(rings)[:, None]) * (2.0 * pi / around)
    spokes = np.cos(angle)[..., None] * normals[:, None, :] + np.sin(angle)[..., None] * binormals[:, None, :]
    surface = [(centres[:, None, :] + radius * spokes).reshape(-1, 3) for radius in (outer, inner)]

    here = np.arange(rings * around).reshape(rings, around)
    after = np.roll(here, -1, axis=1)
    rows = [
        np.stack([here[:-1], after[:-1], here[1:]], axis=-1),
        np.stack([after[:-1], after[1:], here[1:]], axis=-1),
    ]
    skin = np.concatenate([row.reshape(-1, 3) for row in rows])
    bore = rings * around
    start, finish = (here[0], after[0]), (after[-1], here[-1])
    ends = [
        triangle
        for a, b in (start, finish)
        for triangle in (np.stack([b, a, a + bore], axis=-1), np.stack([b, a + bore, b + bore], axis=-1))
    ]
    return Mesh(np.concatenate(surface), np.concatenate([skin, skin[:, ::-1] + bore, *ends]))


def steps_for(pieces: list[LinePiece], radius: float, chord_mm: float) -> tuple[int, list[int]]:
    """Return how many points go round the tube and how many steps along each piece keep within the tolerance.

    Of all pairs that do, the one with the fewest triangles. `radius` is that of the tube's outside, mm.
    """
    fewest = sides_for(radius, chord_mm)
    bends = [(piece.radius + radius, radians(piece.angle_deg)) for piece in pieces if isinstance(piece, Arc)]
    legs = len(pieces) - len(bends)
    best: tuple[int, int, list[int]] | None = None
    for around in range(fewest, 3 * fewest + 2):
        sagitta = radius * (1.0 - cos(pi / around))
        # Solve (A + 4 B)^2 = 16 B e for the larger B: the greatest step that the tolerance leaves.
        along = (2.0 * chord_mm - sagitta + 2.0 * sqrt(max(chord_mm * (chord_mm - sagitta), 0.0))) / 4.0
        steps = [_steps(back, angle, along) for back, angle in bends]
        total = around * (legs + sum(steps))
        if best is None or total < best[0]:
            best = (total, around, steps)
        if around * (legs + len(bends)) > best[0]:
            break
    assert best is not None
    each = iter(best[2])
    return best[1], [next(each) if isinstance(piece, Arc) else 1 for piece in pieces]


def _steps(back: float, angle: float, sagitta: float) -> int:
    """Return how many equal steps of an arc of radius `back` over `angle` stay within a sagitta."""
    step = 2.0 * acos(1.0 - sagitta / back) if sagitta < back else pi
    return max(1, ceil(angle / min(step, MOST_AT_ONCE) - 1e-9))


def _rings(pieces: list[LinePiece], steps: list[int]) -> tuple[Floats, ...]:
    """Return centre, normal and binormal of every ring, (m, 3) each.

    The frame is carried along without twist: unchanged on a leg, turned with the tube round a bend.
    """
    normal: Vec3 = any_normal(pieces[0].direction)
    binormal = cross(pieces[0].direction, normal)
    frames = [[np.array([pieces[0].start]), np.array([normal]), np.array([binormal])]]
    for piece, count in zip(pieces, steps, strict=True):
        n, b = frames[-1][1][-1], frames[-1][2][-1]
        if isinstance(piece, Arc):
            angle = np.linspace(0.0, radians(piece.angle_deg), count + 1)[1:]
            axis = np.array(piece.axis)
            spokes = _turned(np.array(piece.spoke), axis, angle)
            frames.append([piece.centre + piece.radius * spokes, _turned(n, axis, angle), _turned(b, axis, angle)])
        else:
            frames.append([np.array([piece.finish]), n[None], b[None]])
    return tuple(np.concatenate(part) for part in zip(*frames, strict=True))


def _turned(v: Floats, axis: Floats, angle: Floats) -> Floats:
    """Return v turned about a unit axis by each angle in radians (Rodrigues' formula), (k, 3)."""
    c, s = np.cos(angle)[:, None], np.sin(angle)[:, None]
    turned: Floats = v * c + np.cross(axis, v) * s + axis * (v @ axis) * (1.0 - c)
    return turned
